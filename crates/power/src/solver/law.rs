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

/// A quantity between 0 and `most` that makes `gap` zero while it lies strictly between; at 0 the gap
/// may be positive, at `most` negative. `scale` turns the gap into the quantity's unit.
///
/// Written as: the middle one of (quantity, gap, quantity − most) is zero. Returns whether the gap
/// is the one to be zero, and the residual. The gap is weighed lightly, so that the limits take hold
/// only once the quantity has really passed them; without a load a current at its limit would be sent
/// into next to nothing.
pub fn limited(quantity: f64, most: f64, gap: f64, scale: f64) -> (bool, f64) {
    const LIGHTLY: f64 = 0.01;
    let weighed = LIGHTLY * scale * gap;
    if weighed > quantity {
        (false, quantity)
    } else if weighed < quantity - most {
        (false, quantity - most)
    } else {
        (true, gap)
    }
}
