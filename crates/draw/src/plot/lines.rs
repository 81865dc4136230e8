//! Curves of one quantity against another, with limits that are hatched on their far side.

use super::Plot;
use super::axis::{Axis, Chart};
use crate::face::Look;
use crate::palette::Theme;
use crate::svg::{Ink, Spot, weight};
use loomdeck_model::Severity;
use loomdeck_model::units::three_digits;

/// One curve.
#[derive(Clone, Debug)]
pub struct Curve {
    /// What it is, set beside it.
    pub name: String,
    /// Its points, rising in the first.
    pub points: Vec<(f64, f64)>,
    /// It is only there for comparison: thin and dashed.
    pub faint: bool,
}

/// A value that must not be passed.
#[derive(Clone, Debug)]
pub struct Edge {
    /// What it is.
    pub name: String,
    /// The value.
    pub at: f64,
    /// What lies below it is forbidden, not what lies above.
    pub below: bool,
}

/// What is drawn.
#[derive(Clone, Debug, Default)]
pub struct Lines {
    /// Title, for readers who do not see it.
    pub title: String,
    /// Name of the level axis, with its unit.
    pub x: String,
    /// Name of the upright axis, with its unit.
    pub y: String,
    /// The curves.
    pub curves: Vec<Curve>,
    /// The limits.
    pub edges: Vec<Edge>,
}

/// Most points of a curve in print: more cannot be seen.
const MOST: usize = 400;

/// Draws the curves; `None` when there is nothing to draw.
pub fn lines(of: &Lines, theme: Theme, size: (f64, f64)) -> Option<Plot> {
    let all = || of.curves.iter().flat_map(|c| &c.points).filter(|p| p.0.is_finite() && p.1.is_finite());
    let (left, right) = span(all().map(|p| p.0))?;
    let (low, high) = span(all().map(|p| p.1).chain(of.edges.iter().map(|e| e.at)))?;
    if right <= left {
        return None;
    }
    let look = Look::full_size(theme);
    let p = look.palette();
    let (x, step_x) = axis(left, right);
    let (y, step_y) = axis(low.min(0.0), if high > low { high } else { low + 1.0 });
    let mut chart = Chart::new(size, 17.0, look, x, y, &of.title);
    for (axis, step, upright) in [(x, step_x, false), (y, step_y, true)] {
        let mut v = (axis.low / step).round() * step;
        while v <= axis.high * (1.0 + 1e-9) + 1e-12 {
            // What should be zero is not quite, after so many steps.
            let shown = if v.abs() < step * 1e-6 { 0.0 } else { v };
            let label = three_digits(shown);
            if upright {
                chart.tick_y(shown, &label)
            } else {
                chart.tick_x(shown, &label)
            }
            v += step;
        }
    }
    chart.name_axes(&of.x, &of.y);
    for edge in of.edges.iter().filter(|e| y.holds(e.at)) {
        let (from, to) = (chart.at(x.low, edge.at), chart.at(x.high, edge.at));
        chart.limit(&[from, to], !edge.below, theme.severity(Severity::Danger));
    }
    for curve in &of.curves {
        let points: Vec<Spot> = thinned(&curve.points).map(|(a, b)| chart.at(a, b)).collect();
        let ink = if curve.faint {
            Ink::line(p.quiet, weight::OUTLINE * 0.8).dashed(1.8, 1.2)
        } else {
            Ink::line(p.accent, weight::OUTLINE * 1.4).rounded()
        };
        chart.curve(&points, ink);
    }
    for edge in of.edges.iter().filter(|e| y.holds(e.at)) {
        let at = chart.at(x.low + 0.3 * (x.high - x.low), edge.at);
        chart.name(at, &edge.name, theme.severity(Severity::Danger), false);
    }
    for curve in &of.curves {
        if let Some(at) = namesake(&curve.points) {
            let colour = if curve.faint { p.quiet } else { p.accent };
            chart.name(chart.at(at.0, at.1), &curve.name, colour, false);
        }
    }
    Some(chart.finish())
}

fn span(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values.fold(None, |span, v| {
        let (low, high) = span.unwrap_or((v, v));
        Some((v.min(low), v.max(high)))
    })
}

/// An axis over a span in round steps, with the step.
fn axis(low: f64, high: f64) -> (Axis, f64) {
    let step = super::axis::round_step((high - low) / 5.0);
    let (from, to) = ((low / step + 1e-9).floor() * step, (high / step - 1e-9).ceil() * step);
    (Axis { low: from, high: to, log: false }, step)
}

/// No more points than can be seen, the last among them.
fn thinned(points: &[(f64, f64)]) -> impl Iterator<Item = (f64, f64)> {
    let every = points.len().div_ceil(MOST).max(1);
    let last = points.len().saturating_sub(1);
    let kept = move |(i, _): &(usize, &(f64, f64))| i % every == 0 || *i == last;
    points.iter().enumerate().filter(kept).map(|(_, p)| *p)
}

/// Where a curve is named: where it is highest, but not at its very ends.
fn namesake(points: &[(f64, f64)]) -> Option<(f64, f64)> {
    let n = points.len();
    let inner = points.iter().skip(n / 5).take((n - 2 * (n / 5)).max(1));
    inner.copied().max_by(|a, b| a.1.total_cmp(&b.1))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn curve(points: &[(f64, f64)]) -> Lines {
        let curves = vec![Curve { name: "bus".to_owned(), points: points.to_vec(), faint: false }];
        Lines { title: "t".to_owned(), x: "m/s".to_owned(), y: "V".to_owned(), curves, edges: vec![] }
    }

    #[test]
    fn nothing_is_drawn_of_nothing() {
        assert!(lines(&curve(&[]), Theme::Paper, (100.0, 60.0)).is_none());
        assert!(lines(&curve(&[(1.0, 2.0)]), Theme::Paper, (100.0, 60.0)).is_none());
        assert!(lines(&curve(&[(0.0, f64::NAN), (1.0, 2.0)]), Theme::Paper, (100.0, 60.0)).is_none());
    }

    #[test]
    fn a_limit_above_the_curve_is_within_the_picture() {
        let mut of = curve(&[(0.0, 0.0), (1.0, 10.0), (2.0, 20.0)]);
        of.edges.push(Edge { name: "most".to_owned(), at: 34.0, below: false });
        let plot = lines(&of, Theme::Paper, (120.0, 70.0));
        let svg = plot.map(|p| p.svg).unwrap_or_default();
        assert!(svg.contains("most") && svg.contains("bus"), "{svg}");
    }

    #[test]
    fn axes_hold_negative_values_too() {
        let (a, step) = axis(-3.0, 17.0);
        assert!(a.low <= -3.0 && a.high >= 17.0 && step > 0.0);
    }
}
