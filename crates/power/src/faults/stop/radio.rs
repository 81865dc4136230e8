//! The radio link: who is commanded by it, and what its loss does.

use super::types::*;
use loomdeck_model::element::{ElementKind, SignalLoss};
use loomdeck_model::{Landing, PartId, Robot};
use std::collections::BTreeSet;

/// What happens when the link is lost.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Loss {
    /// The drivers let the motors stand.
    Stops,
    /// They go on.
    Holds,
    /// Nobody has said.
    Unknown,
}

/// The receiver, and the drivers its signals reach, through controllers and plugs.
pub fn commanded(robot: &Robot) -> Option<(PartId, Vec<PartId>)> {
    let receiver = (0..robot.parts.len()).map(PartId).find(|&p| robot.type_of(p).radio_link)?;
    let signal = |l: Landing| match l {
        Landing::Part { part, terminal } => robot.type_of(part).terminals[terminal].signal.is_some(),
        Landing::Plug { .. } => false,
    };
    // Parts hand signals on from any terminal to any other; plugs only straight through.
    let key = |l: Landing| match l {
        Landing::Part { part, .. } => (0, part.0, 0),
        Landing::Plug { plug, contact, .. } => (1, plug.0, contact),
    };
    let mut reached = BTreeSet::from([(0, receiver.0, 0)]);
    loop {
        let before = reached.len();
        for w in &robot.wires {
            let carries = |l: Landing| matches!(l, Landing::Plug { .. }) || signal(l);
            if carries(w.from) && carries(w.to) {
                let (a, b) = (key(w.from), key(w.to));
                if reached.contains(&a) || reached.contains(&b) {
                    reached.extend([a, b]);
                }
            }
        }
        if reached.len() == before {
            break;
        }
    }
    let drivers = reached
        .into_iter()
        .filter(|k| k.0 == 0)
        .map(|k| PartId(k.1))
        .filter(|&p| robot.type_of(p).elements.iter().any(|e| matches!(e.kind, ElementKind::Driver(_))))
        .collect();
    Some((receiver, drivers))
}

/// What the loss of the link does to some drivers.
pub fn loss(robot: &Robot, drivers: &[PartId]) -> Loss {
    match robot.motion.radio_loss {
        Some(SignalLoss::Stops) => Loss::Stops,
        Some(SignalLoss::Holds) => Loss::Holds,
        None => Loss::Unknown,
        Some(SignalLoss::Silent) => {
            let each =
                drivers.iter().flat_map(|&p| &robot.type_of(p).elements).filter_map(|e| match &e.kind {
                    ElementKind::Driver(d) => Some(d.signal_loss),
                    _ => None,
                });
            let mut worst = Loss::Stops;
            for own in each {
                worst = match (own, worst) {
                    (Some(SignalLoss::Holds), _) | (_, Loss::Holds) => Loss::Holds,
                    (Some(SignalLoss::Stops), w) => w,
                    _ => Loss::Unknown,
                };
            }
            worst
        }
    }
}

/// The row of the lost link.
pub fn row(robot: &Robot, found: &Stopping) -> Option<StopRow> {
    let (receiver, drivers) = commanded(robot)?;
    if drivers.is_empty() || found.movers.iter().all(|m| !m.motor) {
        return None;
    }
    let name = robot.parts[receiver.0].name.clone();
    let motors = || found.movers.iter().filter(|m| m.motor).map(|m| m.name.clone());
    let told = match loss(robot, &drivers) {
        Loss::Stops => {
            "Without the radio link the drivers are told to stand; they keep their supply and can be told to move again."
        }
        Loss::Holds => "Without the radio link the drivers go on with the last command.",
        Loss::Unknown => "What the drivers do without the radio link is not stated.",
    };
    Some(StopRow {
        kind: StopKind::Radio,
        name,
        situation: String::new(),
        stopped: Vec::new(),
        moving: motors().collect(),
        dark: Vec::new(),
        live: Vec::new(),
        flat: None,
        slope: None,
        generated_a: 0.0,
        bus_v: 0.0,
        return_only: false,
        told: told.to_owned(),
    })
}
