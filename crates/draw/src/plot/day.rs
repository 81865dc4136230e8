//! Charge of the batteries over the day.

use super::Plot;
use super::axis::{Axis, Chart, round_step};
use crate::face::Look;
use crate::palette::Theme;
use crate::svg::{Ink, Spot, weight};
use crate::text;
use crate::words;
use loomdeck_model::units::three_digits;
use loomdeck_model::{Robot, Severity};
use loomdeck_power::DayResult;

/// Draws the state of charge against time, with the steps of the day named.
pub fn day(robot: &Robot, day: &DayResult, theme: Theme, size: (f64, f64)) -> Plot {
    let look = Look::full_size(theme);
    let p = look.palette();
    let end = day.steps.iter().map(|s| s.time.0).fold(day.planned.0, f64::max).max(60.0);
    let (unit, called) = if end > 7200.0 { (3600.0, "h") } else { (60.0, "min") };
    let x = Axis { low: 0.0, high: end / unit, log: false };
    let y = Axis { low: 0.0, high: 100.0, log: false };
    let mut chart = Chart::new(size, 17.0, look, x, y, "Charge over the day");
    let step = round_step(end / unit / 8.0);
    let mut t = 0.0;
    while t <= x.high * (1.0 + 1e-9) {
        chart.tick_x(t, &three_digits(t));
        t += step;
    }
    for v in [0.0, 25.0, 50.0, 75.0, 100.0] {
        chart.tick_y(v, &three_digits(v));
    }
    chart.name_axes(&format!("time, {called}"), "charge, %");
    let floor = [chart.at(0.0, 0.0), chart.at(x.high, 0.0)];
    chart.limit(&floor, false, theme.severity(Severity::Danger));
    steps(&mut chart, robot, day, unit);
    for (i, battery) in day.batteries.iter().enumerate() {
        let mut points = vec![chart.at(0.0, battery.start * 100.0)];
        for s in &day.steps {
            let charge = s.charge.get(i).copied().unwrap_or(0.0);
            points.push(chart.at(s.time.0 / unit, charge * 100.0));
        }
        let ink = Ink::line(p.accent, weight::OUTLINE * 1.4).rounded();
        chart.curve(&points, ink);
        let name = &robot.parts[battery.part.0].name;
        if let Some(last) = points.last() {
            let words = format!("{name}: {} left", words::percent(battery.end));
            chart.name(*last, &words, p.accent, true);
        }
    }
    chart.finish()
}

/// Thin upright lines between the steps; a name where it fits between them.
fn steps(chart: &mut Chart, robot: &Robot, day: &DayResult, unit: f64) {
    let p = chart.look.palette();
    let mut from = 0.0;
    for s in day.steps.iter().filter(|s| s.time.0 > 0.0) {
        let to = s.time.0 / unit;
        let (a, b) = (chart.at(from, 100.0), chart.at(to, 100.0));
        let line = chart.look.dimension().dashed(1.2, 1.2);
        chart.canvas.line(b, Spot::new(b.x, chart.area.high.y), line);
        let name = &robot.situations[s.situation.0].name;
        let size = chart.look.size();
        let set = crate::svg::Type::new(size, p.quiet);
        if text::width(name, size) < b.x - a.x - 2.0 {
            chart.canvas.text(Spot::new((a.x + b.x) / 2.0, a.y - 1.5), name, set.centred());
        }
        from = to;
    }
}
