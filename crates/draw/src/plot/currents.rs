//! What the batteries give in each situation.

use super::Plot;
use super::axis::{Axis, Chart};
use crate::face::Look;
use crate::palette::Theme;
use crate::svg::{Ink, Spot, weight};
use crate::text;
use loomdeck_model::units::{Amperes, three_digits};
use loomdeck_model::{Robot, Severity};
use loomdeck_power::{ElementResult, PowerStudy};

const ROW: f64 = 9.0;

/// One situation of the plot.
struct Row {
    name: String,
    mean: f64,
    peak: f64,
}

/// A bar per situation: mean current of the battery that gives most, its peak as a tick, and the
/// batteries' limit as a hatched edge.
pub fn currents(robot: &Robot, power: &PowerStudy, theme: Theme, width: f64) -> Plot {
    let look = Look::full_size(theme);
    let size = look.size();
    let rows: Vec<Row> = power.situations.iter().map(|s| row(robot, s)).collect();
    let limit = limit(robot);
    let largest = rows.iter().map(|r| r.mean.max(r.peak)).fold(1.0, f64::max);
    let shown = limit.filter(|l| *l < 2.5 * largest);
    let (x, step) = Axis::from_zero(largest.max(shown.unwrap_or(0.0)) * 1.02);
    let left = rows.iter().map(|r| text::width(&r.name, size)).fold(10.0, f64::max) + 5.0;
    let height = 23.0 + ROW * rows.len() as f64;
    let y = Axis { low: 0.0, high: rows.len().max(1) as f64, log: false };
    let mut chart = Chart::new((width, height), left, look, x, y, "Battery current by situation");
    let mut v = 0.0;
    while v <= x.high * (1.0 + 1e-9) {
        chart.tick_x(v, &three_digits(v));
        v += step;
    }
    chart.name_axes("battery current, A", "");
    for (i, r) in rows.iter().enumerate() {
        bar(&mut chart, r, rows.len() - i - 1, shown);
    }
    if let Some(l) = shown {
        let top = chart.at(l, y.high);
        let line = [Spot::new(top.x, top.y), chart.at(l, 0.0)];
        let danger = theme.severity(Severity::Danger);
        chart.limit(&line, true, danger);
        let words = format!("limit {}", Amperes(l));
        let at = Spot::new(top.x, top.y - 2.0);
        chart.canvas.text(at, &words, crate::svg::Type::new(size, danger).ending());
    }
    chart.finish()
}

fn row(robot: &Robot, result: &loomdeck_power::SituationResult) -> Row {
    let mut row = Row { name: robot.situations[result.situation.0].name.clone(), mean: 0.0, peak: 0.0 };
    for part in &result.parts {
        for element in &part.elements {
            if let ElementResult::Battery { current, peak, .. } = element
                && current.0.abs() >= row.mean.abs()
            {
                row.mean = current.0;
                row.peak = peak.0;
            }
        }
    }
    row
}

fn limit(robot: &Robot) -> Option<f64> {
    let batteries = robot.parts.iter().flat_map(|p| &robot.types[p.kind.0].elements);
    let limits = batteries.filter_map(|e| match &e.kind {
        loomdeck_model::element::ElementKind::Battery(b) => Some(b.discharge_limit.0),
        _ => None,
    });
    limits.reduce(f64::min)
}

fn bar(chart: &mut Chart, row: &Row, from_below: usize, limit: Option<f64>) {
    let (look, p) = (chart.look, chart.look.palette());
    let y = chart.at(0.0, from_below as f64 + 0.5).y;
    let (zero, end) = (chart.at(0.0, 0.0).x, chart.at(row.mean.max(0.0), 0.0).x);
    let size = look.size();
    let set = crate::svg::Type::new(size, p.ink);
    chart.canvas.text(Spot::new(chart.area.low.x - 2.5, y + 0.32 * size), &row.name, set.ending());
    let (low, high) = (Spot::new(zero, y - 2.4), Spot::new(end, y + 2.4));
    if end - zero > 0.05 {
        let ink = Ink::line(p.accent, weight::DETAIL).filled(look.theme.tint());
        chart.canvas.rectangle(low, high, 0.0, ink);
    }
    let mut reach = end;
    if row.peak > row.mean.max(0.0) * 1.02 {
        let x = chart.at(row.peak, 0.0).x;
        chart.canvas.line(Spot::new(end, y), Spot::new(x, y), look.detail());
        chart.canvas.line(Spot::new(x, y - 1.8), Spot::new(x, y + 1.8), look.outline());
        reach = x;
    }
    let mut words = Amperes(tidy(row.mean.abs())).to_string();
    if row.mean < -0.005 {
        words = format!("{words} into the battery");
    }
    if row.peak > row.mean.max(0.0) * 1.02 && row.peak > 0.0 {
        words = format!("{words}, peak {}", Amperes(tidy(row.peak)));
    }
    let wide = text::width(&words, size);
    // Beside the bar where there is room up to the limit's line or the frame, else upon it.
    let edge = limit.map(|l| chart.at(l, 0.0).x).filter(|x| *x > reach + 1.0);
    let free = reach + 3.0 + wide < edge.unwrap_or(chart.area.high.x);
    let at = if free { reach + 2.0 } else { zero + 2.0 };
    chart.canvas.text(Spot::new(at, y + 0.32 * size), &words, set.rimmed(p.paper));
}

/// Currents below a milliampere are none on this plot.
fn tidy(a: f64) -> f64 {
    if a < 0.001 { 0.0 } else { a }
}
