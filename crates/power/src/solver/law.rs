//! The laws of the elements: value and slope at a point. Pure numbers.

use crate::netlist::{KNEE, LoadKind};

/// Current of a load at voltage `v`, and its slope in A/V. `current` is at the nominal voltage.
pub fn load(kind: LoadKind, current: f64, nominal: f64, v: f64) -> (f64, f64) {
    let resistive = current / nominal;
    if v < 0.0 || kind == LoadKind::Resistance {
        return (resistive * v, resistive);
    }
    let knee = KNEE * nominal;
    match kind {
        LoadKind::Current if v >= knee => (current, 0.0),
        LoadKind::Current => (current * v / knee, current / knee),
        _ => constant_power(current * nominal, v, knee),
    }
}

/// Current that takes constant power above `floor`, and its slope; a resistor below.
pub fn constant_power(power: f64, v: f64, floor: f64) -> (f64, f64) {
    if v >= floor {
        (power / v, -power / (v * v))
    } else {
        (power * v / (floor * floor), power / (floor * floor))
    }
}

/// Junction current at junction voltage `u`, and its slope. The exponential continues as a straight
/// line from 40 slopes above the knee, far beyond any real current, so that it never overflows.
pub fn junction(saturation: f64, slope: f64, leak: f64, u: f64) -> (f64, f64) {
    const STEEPEST: f64 = 60.0;
    let x = u / slope;
    let (e, de) = if x > STEEPEST {
        let top = STEEPEST.exp();
        (top * (1.0 + x - STEEPEST), top)
    } else {
        (x.exp(), x.exp())
    };
    (saturation * (e - 1.0) + leak * u, saturation * de / slope + leak)
}

/// Saturation current of a diode with forward voltage `forward` at `current`.
pub fn saturation(forward: f64, current: f64, slope: f64, series: f64) -> f64 {
    let u = (forward - current * series).max(slope);
    current / ((u / slope).exp() - 1.0)
}

/// Loss of a converter at output current `i`, and its slope, from its points.
pub fn loss(points: &[(f64, f64)], i: f64) -> (f64, f64) {
    let i = i.max(0.0);
    let Some(&(last_i, last_w)) = points.last() else { return (0.0, 0.0) };
    if i >= last_i && last_i > 0.0 {
        return (last_w * i / last_i, last_w / last_i);
    }
    for pair in points.windows(2) {
        let ((i0, w0), (i1, w1)) = (pair[0], pair[1]);
        if i <= i1 {
            let slope = (w1 - w0) / (i1 - i0);
            return (w0 + slope * (i - i0), slope);
        }
    }
    (last_w, 0.0)
}

/// Which of three values is the middle one: index and value. The complementarity conditions of
/// limited sources are written with it: the middle one of (i − low, gap, i − high) is zero.
pub fn middle(x: [f64; 3]) -> (usize, f64) {
    let mut order = [0usize, 1, 2];
    order.sort_by(|&p, &q| x[p].total_cmp(&x[q]));
    (order[1], x[order[1]])
}
