//! The state of the robot in each situation.

use crate::talk::{PartInSituation, SituationOn, TerminalInSituation, WireInSituation};
use loomdeck_model::Robot;
use loomdeck_power::SituationResult;
use loomdeck_study::Study;

/// To a millionth: more digits than are known, fewer than a float has.
fn micro(x: f64) -> f64 {
    if x.is_finite() { (x * 1e6).round() / 1e6 + 0.0 } else { 0.0 }
}

/// Every situation, in the robot's order.
pub fn situations(study: &Study) -> Vec<SituationOn> {
    study.power.situations.iter().map(|s| situation(&study.robot, s)).collect()
}

/// One situation.
pub fn situation(robot: &Robot, s: &SituationResult) -> SituationOn {
    let described = &robot.situations[s.situation.0];
    let fed = s.wires.iter().filter(|w| w.fed);
    SituationOn {
        name: described.name.clone(),
        note: Some(described.about.clone()).filter(|a| !a.is_empty()),
        wires: fed
            .map(|w| {
                let wire = &robot.wires[w.wire.0];
                WireInSituation {
                    name: wire.name.clone(),
                    current_a: micro(w.current.0),
                    drop_v: micro(w.drop.0),
                    temperature_c: w.temperature.map(|t| micro(t.0)),
                    limit_c: Some(wire.insulation.limit().0),
                }
            })
            .collect(),
        terminals: s
            .terminals
            .iter()
            .filter_map(|t| {
                Some(TerminalInSituation { name: t.name.clone(), voltage_v: micro(t.voltage?.0) })
            })
            .collect(),
        parts: s
            .parts
            .iter()
            .map(|p| PartInSituation {
                name: robot.parts[p.part.0].name.clone(),
                power_w: micro(p.power.0),
            })
            .collect(),
    }
}
