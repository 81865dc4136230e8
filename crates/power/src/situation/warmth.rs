//! Temperatures that need more than one situation.

use super::Landings;
use crate::heat::robot::Wires;
use crate::heat::wire;
use crate::results::*;
use loomdeck_model::Robot;
use loomdeck_model::units::Celsius;

/// Completes the temperatures of situations that do not last: the wire starts as warm as the warmest
/// lasting situation leaves it.
pub fn finish_short(robot: &Robot, wires: &Wires, landings: &Landings, results: &mut [SituationResult]) {
    let mut start: Vec<Option<f64>> = vec![None; robot.wires.len()];
    for (situation, result) in robot.situations.iter().zip(results.iter()) {
        if situation.lasting {
            for wire in &result.wires {
                let t = wire.settled.map_or(wire::HOTTEST, |s| s.0);
                let slot = &mut start[wire.wire.0];
                *slot = Some(slot.map_or(t, |s: f64| s.max(t)));
            }
        }
    }
    for (situation, result) in robot.situations.iter().zip(results.iter_mut()) {
        let Some(time) = situation.lasts.filter(|_| !situation.lasting) else { continue };
        for wire_result in &mut result.wires {
            let w = wire_result.wire;
            let air = wire_result.ambient.0;
            let begin = start[w.0].unwrap_or(air).max(air);
            let (conductor, settled) = (&wires.conductors[w.0], wire_result.settled.map(|s| s.0));
            let amperes = wire_result.rms.0;
            let end = wire::after_towards(conductor, amperes, air, settled, begin, time.0);
            let end = end.max(begin.min(wire_result.settled.map_or(end, |s| s.0)));
            wire_result.temperature = (end < wire::HOTTEST).then_some(Celsius(end));
        }
    }
    for result in results {
        warm_terminals(landings, result);
    }
}

/// Terminals are as warm as the warmest conductor on them.
fn warm_terminals(landings: &Landings, result: &mut SituationResult) {
    let mut on = vec![f64::NEG_INFINITY; landings.all.len()];
    for (ends, warm) in landings.ends.iter().zip(&result.wires) {
        for &end in ends {
            on[end] = on[end].max(warm.temperature.map_or(wire::HOTTEST, |c| c.0));
        }
    }
    for (terminal, t) in result.terminals.iter_mut().zip(on) {
        terminal.temperature = (t.is_finite() && t < wire::HOTTEST).then_some(Celsius(t));
    }
}
