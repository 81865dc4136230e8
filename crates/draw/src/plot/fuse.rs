//! A fuse against the wire it protects and the loads it must carry, both axes logarithmic.

use super::Plot;
use super::axis::{Axis, Chart};
use crate::face::Look;
use crate::palette::Theme;
use crate::svg::{Ink, Spot, weight};
use crate::words;
use loomdeck_model::units::{Amperes, three_digits};
use loomdeck_model::{Robot, Severity};
use loomdeck_power::FuseResult;

const SHORTEST: f64 = 0.001;
const LONGEST: f64 = 20_000.0;

/// Draws the opening band, how long the weakest wire bears a current, and the loads.
pub fn fuse(robot: &Robot, result: &FuseResult, theme: Theme, size: (f64, f64)) -> Plot {
    let look = Look::full_size(theme);
    let c = &result.curves;
    let name = format!("{} {}", robot.parts[result.part.0].name, result.way);
    let x = range(result);
    let y = Axis { low: SHORTEST, high: LONGEST, log: true };
    let mut chart = Chart::new(size, 20.0, look, x, y, &format!("Fuse in {name}"));
    band(&mut chart, &c.fastest, &c.slowest, theme);
    for v in x.log_ticks() {
        chart.tick_x(v, &three_digits(v));
    }
    for power in -3..=4 {
        let v = 10f64.powi(power);
        let label = match power {
            -3 => "1\u{2009}ms".to_owned(),
            -2 => "10\u{2009}ms".to_owned(),
            4 => "10\u{2009}000\u{2009}s".to_owned(),
            _ => format!("{}\u{2009}s", three_digits(v)),
        };
        chart.tick_y(v, &label);
    }
    chart.name_axes("current, A", "time");
    let accent = look.palette().accent;
    let edge = Ink::line(accent, weight::OUTLINE).rounded();
    for curve in [&c.fastest, &c.slowest] {
        let points = within(&chart, curve);
        chart.curve(&points, edge);
    }
    let danger = theme.severity(Severity::Danger);
    let wire = within(&chart, &c.withstand);
    chart.limit(&wire, true, danger);
    let short = result.prospective.0;
    if short.is_finite() && x.holds(short) {
        let (a, b) = (chart.at(short, y.high), chart.at(short, y.low));
        chart.curve(&[a, b], look.dimension().dashed(2.0, 1.4));
    }
    name_all(&mut chart, robot, result, &wire, short);
    chart.finish()
}

fn range(result: &FuseResult) -> Axis {
    let c = &result.curves;
    let rating = result.rating.map_or(1.0, |r| r.0.max(0.1));
    let loads = c.loads.iter().map(|l| l.current.0.abs()).filter(|a| *a > 0.01 * rating);
    let low = loads.fold(0.4 * rating, f64::min).max(rating / 50.0);
    let loads = c.loads.iter().map(|l| l.current.0.abs());
    let high = loads
        .chain([12.0 * rating, 1.2 * result.prospective.0.min(60.0 * rating)])
        .fold(rating, f64::max);
    Axis { low: low * 0.8, high: high * 1.1, log: true }
}

fn within(chart: &Chart, curve: &[(f64, f64)]) -> Vec<Spot> {
    // Beyond the frame only the part inside is drawn: the curve is cut where it leaves.
    let mut points: Vec<Spot> = Vec::new();
    for (i, (x, y)) in curve.iter().enumerate() {
        let inside = |p: &(f64, f64)| chart.x.holds(p.0) && chart.y.holds(p.1);
        if inside(&(*x, *y)) {
            if i > 0 && !inside(&curve[i - 1]) {
                points.push(cut(chart, (*x, *y), curve[i - 1]));
            }
            points.push(chart.at(*x, *y));
        } else if i > 0 && inside(&curve[i - 1]) {
            points.push(cut(chart, curve[i - 1], (*x, *y)));
        }
    }
    points
}

/// Where the straight line on paper from a point inside to one outside leaves the frame.
fn cut(chart: &Chart, inside: (f64, f64), outside: (f64, f64)) -> Spot {
    let (mut low, mut high) = (0.0, 1.0);
    let at = |t: f64| {
        let log = |a: f64, b: f64| (a.max(1e-12).ln() * (1.0 - t) + b.max(1e-12).ln() * t).exp();
        (log(inside.0, outside.0), log(inside.1, outside.1))
    };
    for _ in 0..40 {
        let middle = (low + high) / 2.0;
        let (x, y) = at(middle);
        if chart.x.holds(x) && chart.y.holds(y) { low = middle } else { high = middle }
    }
    let (x, y) = at(low);
    chart.at(x, y)
}

/// Fills what lies between the two curves. Where the slow edge is open at its upper end, the fuse
/// may never open: the band then goes on upwards.
fn band(chart: &mut Chart, fastest: &[(f64, f64)], slowest: &[(f64, f64)], theme: Theme) {
    let (mut corners, slow) = (within(chart, fastest), within(chart, slowest));
    let (Some(first), Some(never)) = (corners.first().copied(), slow.first().copied()) else { return };
    let top = chart.area.low.y;
    corners.insert(0, Spot::new(first.x, top));
    corners.extend(slow.iter().rev());
    corners.push(Spot::new(never.x, top));
    chart.canvas.corners(&corners, true, Ink::fill(theme.tint()));
}

/// The loads that decide: none other flows as strongly for as long.
fn demanding(result: &FuseResult) -> Vec<&loomdeck_power::LoadPoint> {
    let long = |l: &loomdeck_power::LoadPoint| l.time.map_or(f64::INFINITY, |t| t.0);
    let all = &result.curves.loads;
    let beaten = |i: usize| {
        let (a, t) = (all[i].current.0, long(&all[i]));
        all.iter().enumerate().any(|(j, b)| {
            let (same, no_less) = (b.current.0 == a && long(b) == t, b.current.0 >= a && long(b) >= t);
            no_less && (!same || j < i)
        })
    };
    (0..all.len()).filter(|i| !beaten(*i)).map(|i| &all[i]).collect()
}

fn name_all(chart: &mut Chart, robot: &Robot, result: &FuseResult, wire: &[Spot], short: f64) {
    let p = chart.look.palette();
    if let Some(at) = wire.get(wire.len() / 2) {
        let name = result.weakest.map_or("the weakest wire", |w| robot.wires[w.0].name.as_str());
        let words = format!("{name} must not carry more");
        chart.name(*at, &words, chart.look.theme.severity(Severity::Danger), false);
    }
    let slowest = &result.curves.slowest;
    if let (Some((x, y)), Some(rating)) = (slowest.get(slowest.len() / 2), result.rating) {
        let words = format!("{} fuse opens within this band", rating);
        chart.name(chart.at(*x, *y), &words, p.accent, false);
    }
    if short.is_finite() && chart.x.holds(short) {
        let words = format!("short circuit: {}", Amperes(short));
        chart.name(chart.at(short, 0.004), &words, p.quiet, false);
    }
    // The curves are named first, near by; the loads have the room to their left.
    for load in demanding(result) {
        let time = load.time.map_or(LONGEST * 0.6, |t| t.0);
        // What hardly flows says nothing about the fuse.
        if load.current.0 <= 0.01 * result.rating.map_or(0.0, |r| r.0) {
            continue;
        }
        let words = match load.time {
            Some(t) => format!("{}: {} for {}", load.what, load.current, words::time(t.0)),
            None => format!("{}: {}", load.what, load.current),
        };
        let at = chart.at(load.current.0, time);
        chart.name(at, &words, p.ink, true);
    }
}
