//! Opening times of fuses.

use loomdeck_model::element::FusePoint;
use loomdeck_model::units::Seconds;

/// Opening-time limits of medium blade fuses: multiple of the rating, no specimen before, all by.
/// Source: ISO 8820-3 (2002), operating time ratings of type C, the widest row where editions and
/// makers differ (from memory).
pub const BLADE: [(f64, f64, Option<f64>); 6] = [
    (1.10, 360_000.0, None),
    (1.35, 0.75, Some(600.0)),
    (1.60, 0.25, Some(50.0)),
    (2.00, 0.15, Some(5.0)),
    (3.50, 0.04, Some(0.5)),
    (6.00, 0.02, Some(0.1)),
];

/// The points of [`BLADE`].
pub fn blade() -> Vec<FusePoint> {
    BLADE
        .iter()
        .map(|&(multiple, fastest, slowest)| FusePoint {
            multiple,
            fastest: Seconds(fastest),
            slowest: slowest.map(Seconds),
        })
        .collect()
}

/// Ratings on sale in the blade forms, A (common practice; ISO 8820-3 lists the values up to 40).
pub const RATINGS: [f64; 21] = [
    1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 50.0, 60.0, 70.0, 80.0,
    100.0, 125.0, 150.0, 200.0,
];

/// Straight line on logarithmic paper between two points; a constant I²·t beyond the last.
fn between(points: &[(f64, f64)], multiple: f64) -> Option<f64> {
    let (first, last) = (points.first()?, points.last()?);
    if multiple < first.0 {
        return None;
    }
    if multiple >= last.0 {
        return Some(last.1 * (last.0 / multiple).powi(2));
    }
    let i = points.iter().position(|p| p.0 > multiple)?;
    let ((m0, t0), (m1, t1)) = (points[i - 1], points[i]);
    let share = (multiple / m0).ln() / (m1 / m0).ln();
    Some((t0.ln() + share * (t1 / t0).ln()).exp())
}

/// No specimen opens before this at a multiple of its rating; infinite below the first point.
pub fn fastest(curve: &[FusePoint], multiple: f64) -> f64 {
    let points: Vec<_> = curve.iter().map(|p| (p.multiple, p.fastest.0.max(1e-4))).collect();
    between(&points, multiple).unwrap_or(f64::INFINITY)
}

/// Every specimen has opened by then; infinite where one may never open.
pub fn slowest(curve: &[FusePoint], multiple: f64) -> f64 {
    let points: Vec<_> =
        curve.iter().filter_map(|p| p.slowest.map(|t| (p.multiple, t.0.max(1e-4)))).collect();
    between(&points, multiple).unwrap_or(f64::INFINITY)
}

/// The least multiple at which every specimen opens at last. Anything below it may flow for ever.
pub fn surely_opens(curve: &[FusePoint]) -> f64 {
    curve.iter().find(|p| p.slowest.is_some()).map_or(1.35, |p| p.multiple)
}

/// What a rating is worth in warm air: 1 at 25 °C, 0.95 at 65 °C, 0.90 at 85 °C. Re-rating of blade
/// fuses as makers publish it, with a spread of ±0.05 between makers (from memory).
pub fn derating(celsius: f64) -> f64 {
    match celsius {
        t if t <= 25.0 => 1.0,
        t if t <= 65.0 => 1.0 - 0.05 * (t - 25.0) / 40.0,
        t => (0.95 - 0.05 * (t - 65.0) / 20.0).max(0.5),
    }
}
