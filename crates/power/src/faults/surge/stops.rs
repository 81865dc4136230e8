//! Whether a contact stops motors: what it leaves dead when it opens.

use super::bench::Bench;
use super::rails::{drivers, motors};
use crate::operate::{Solution, across, elements};
use loomdeck_model::element::ElementKind;

/// A motor that hangs on contacts alone counts as fed from here, V.
const FED: f64 = 1.0;

/// Whether motors are fed while a contact is closed and no longer when it is open.
pub(super) fn motors_by(bench: &Bench<'_>, open: &Solution, closed: &Solution) -> bool {
    let circuit = &bench.ground.circuit;
    let volts = |at: &Solution, a: usize, b: usize| across(at, a, b).unwrap_or(0.0).abs();
    let driven = drivers(bench).filter(|&(_, _, item, d)| !motors(bench, item, d).is_empty()).any(
        |(part, _, _, d)| {
            let (a, b) = (circuit.local(part, d.plus), circuit.local(part, d.minus));
            volts(closed, a, b) >= d.window_low.0 && volts(open, a, b) < d.window_low.0
        },
    );
    driven
        || elements(circuit).any(|(part, e, _)| {
            match &bench.ground.robot.type_of(part).elements[e].kind {
                ElementKind::Motor(m) => {
                    let (a, b) = (circuit.local(part, m.a), circuit.local(part, m.b));
                    volts(closed, a, b) > FED && volts(open, a, b) < FED
                }
                _ => false,
            }
        })
}
