//! The state of the robot in each situation.

use crate::talk::{LoadsOn, PartInSituation, SituationOn, TerminalInSituation, WireInSituation};
use loomdeck_model::{Robot, sound};
use loomdeck_power::SituationResult;
use loomdeck_study::Study;

/// With so many decimals: more digits than are known, fewer than a float has, so that what a drag changes by
/// nothing worth knowing reads the same.
fn to(decimals: i32, x: f64) -> f64 {
    let steps = 10_f64.powi(decimals);
    if x.is_finite() { (x * steps).round() / steps + 0.0 } else { 0.0 }
}

/// Every situation, in the robot's order.
pub fn situations(robot: &Robot) -> Vec<SituationOn> {
    let each = robot.situations.iter().map(|described| SituationOn {
        name: described.name.clone(),
        note: Some(described.about.clone()).filter(|a| !a.is_empty()),
        speed_m_s: to(3, described.speed.0),
        charge_percent: to(1, described.charge * 100.0),
        volume_percent: sound::volume(robot, described).map(|v| to(1, v * 100.0)),
    });
    each.collect()
}

/// The robot in the situation of this name.
pub fn loads(study: &Study, name: &str) -> Option<LoadsOn> {
    let of = |s: &&SituationResult| study.robot.situations[s.situation.0].name == name;
    study.power.situations.iter().find(of).map(|s| loads_in(&study.robot, s))
}

fn loads_in(robot: &Robot, s: &SituationResult) -> LoadsOn {
    let fed = s.wires.iter().filter(|w| w.fed);
    LoadsOn {
        situation: robot.situations[s.situation.0].name.clone(),
        wires: fed
            .map(|w| {
                let wire = &robot.wires[w.wire.0];
                WireInSituation {
                    name: wire.name.clone(),
                    current_a: to(4, w.current.0),
                    drop_v: to(5, w.drop.0),
                    temperature_c: w.temperature.map(|t| to(2, t.0)),
                    limit_c: Some(wire.insulation.limit().0),
                }
            })
            .collect(),
        terminals: s
            .terminals
            .iter()
            .filter_map(|t| {
                Some(TerminalInSituation { name: t.name.clone(), voltage_v: to(4, t.voltage?.0) })
            })
            .collect(),
        parts: s
            .parts
            .iter()
            .map(|p| PartInSituation {
                name: robot.parts[p.part.0].name.clone(),
                power_w: to(3, p.power.0),
            })
            .collect(),
    }
}
