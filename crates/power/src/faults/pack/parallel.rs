//! Strings side by side: what flows when they are joined at different charge.

use super::strings::{Metal, Pole};
use super::types::SideBySide;
use crate::circuit::open_circuit;
use loomdeck_model::units::*;

/// Charge of the emptier one.
const EMPTIER: f64 = 0.5;

/// Current between two strings: difference of their open-circuit voltages over both resistances.
pub fn balancing(full_v: f64, emptier_v: f64, ohms: f64) -> f64 {
    (full_v - emptier_v) / ohms.max(1e-6)
}

/// All pairs that hang side by side.
pub fn study(poles: &[Pole<'_>], metal: &Metal, strings: &[Vec<usize>]) -> Vec<SideBySide> {
    let ends = |s: &[usize]| (metal.piece(poles[s[0]].plus), metal.piece(poles[s[s.len() - 1]].minus));
    let mut all = Vec::new();
    for (a, one) in strings.iter().enumerate() {
        for (b, other) in strings.iter().enumerate().skip(a + 1) {
            if ends(one) == ends(other) {
                all.push(pair(poles, (a, one), (b, other)));
            }
        }
    }
    all
}

fn pair(poles: &[Pole<'_>], (a, one): (usize, &[usize]), (b, other): (usize, &[usize])) -> SideBySide {
    let volts = |s: &[usize], charge: f64| -> f64 {
        s.iter().map(|&i| open_circuit(poles[i].battery, charge)).sum()
    };
    let ohms: f64 = one.iter().chain(other).map(|&i| poles[i].battery.resistance.0).sum();
    let bears = |s: &[usize]| {
        // For a moment twice what it bears for long (common practice, no source).
        2.0 * s.iter().map(|&i| poles[i].battery.charge_limit.0).fold(f64::INFINITY, f64::min)
    };
    let into_other = balancing(volts(one, 1.0), volts(other, EMPTIER), ohms);
    let into_one = balancing(volts(other, 1.0), volts(one, EMPTIER), ohms);
    let (current, limit) = if into_other / bears(other) >= into_one / bears(one) {
        (into_other, bears(other))
    } else {
        (into_one, bears(one))
    };
    SideBySide {
        strings: (a, b),
        current: Amperes(current),
        limit: Amperes(limit),
        bears: Volts(limit * ohms),
    }
}
