//! Wires whose current is not computed: those for signals, and the leads of loudspeakers.

use crate::results::SituationResult;
use loomdeck_model::wiring::Function;
use loomdeck_model::{Landing, PlugId, Robot, WireId};
use std::collections::BTreeSet;

/// Below this a wire counts as carrying nothing, A: the leakage that keeps the equations solvable.
const NOTHING: f64 = 1e-4;

/// The leads of loudspeakers: audio wires that end, through plugs or not, in an audio terminal whose type
/// states no signal level.
pub fn loudspeaker_leads(robot: &Robot) -> Vec<WireId> {
    let audio: Vec<WireId> = (0..robot.wires.len())
        .map(WireId)
        .filter(|w| robot.wires[w.0].function == Function::Audio)
        .collect();
    let mut leads = BTreeSet::new();
    let mut contacts: BTreeSet<(PlugId, u32)> = BTreeSet::new();
    loop {
        let before = leads.len();
        for &id in &audio {
            let wire = &robot.wires[id.0];
            let ends = [wire.from, wire.to];
            let strong = ends.iter().any(|&end| match end {
                Landing::Part { part, terminal } => {
                    let t = &robot.type_of(part).terminals[terminal];
                    t.role == loomdeck_model::part_type::TerminalRole::Audio && t.signal.is_none()
                }
                Landing::Plug { plug, contact, .. } => contacts.contains(&(plug, contact)),
            });
            if strong && leads.insert(id) {
                contacts.extend(ends.iter().filter_map(|&end| match end {
                    Landing::Plug { plug, contact, .. } => Some((plug, contact)),
                    Landing::Part { .. } => None,
                }));
            }
        }
        if leads.len() == before {
            return leads.into_iter().collect();
        }
    }
}

/// Wires for information or sound in which no situation finds a current.
pub fn not_computed(robot: &Robot, situations: &[SituationResult]) -> Vec<WireId> {
    let silent = |w: WireId| situations.iter().all(|s| s.wires[w.0].rms.0.abs() < NOTHING);
    (0..robot.wires.len())
        .map(WireId)
        .filter(|w| {
            let function = robot.wires[w.0].function;
            matches!(
                function,
                Function::Audio | Function::Logic | Function::Radio | Function::SignalReturn
            ) && silent(*w)
        })
        .collect()
}
