//! What a contact must put out when it opens. A bound: the arc's waveform is not computed.

use super::types::{Opening, SurgeEvent};
use crate::faults::Ground;
use crate::operate::elements;
use crate::results::ElementResult;
use loomdeck_model::SituationId;
use loomdeck_model::element::ElementKind;

/// Every switch and contactor with its largest current in any situation.
pub(super) fn all(ground: &Ground<'_>, surges: &[SurgeEvent]) -> Vec<Opening> {
    let mut out = Vec::new();
    for (part, e, _) in elements(&ground.circuit) {
        let break_a = match &ground.robot.type_of(part).elements[e].kind {
            ElementKind::Switch(s) => s.make_break,
            ElementKind::Contactor(c) => c.make_break,
            _ => continue,
        };
        let most = ground
            .power
            .situations
            .iter()
            .filter_map(|s| match &s.parts[part.0].elements[e] {
                ElementResult::Path { current, peak, .. } => {
                    Some((current.0.abs().max(peak.0.abs()), s.situation))
                }
                ElementResult::Contactor { current, rms, .. } => {
                    Some((current.0.abs().max(rms.0), s.situation))
                }
                _ => None,
            })
            .fold((0.0, SituationId(0)), |a, b| if b.0 > a.0 { b } else { a });
        let Some(inductance_h) = surges.iter().find(|s| s.part == Some(part)).map(|s| s.loop_h) else {
            continue;
        };
        out.push(Opening {
            part,
            current_a: most.0,
            situation: most.1,
            inductance_h,
            energy_j: 0.5 * inductance_h * most.0 * most.0,
            break_a: break_a.map(|a| a.0),
        });
    }
    out
}
