//! Axes, and labels that point at what they name.

use super::Plot;
use crate::face::Look;
use crate::labels::{Block, Form, Placer, Wish};
use crate::svg::{Canvas, Ink, Spot, Type, weight};
use crate::text;

/// An axis: a range of values, linear or logarithmic.
#[derive(Clone, Copy, Debug)]
pub struct Axis {
    /// Smallest value.
    pub low: f64,
    /// Largest value.
    pub high: f64,
    /// Equal factors take equal lengths.
    pub log: bool,
}

impl Axis {
    /// From 0 to at least this, in round steps; with the step.
    pub fn from_zero(high: f64) -> (Self, f64) {
        let step = round_step(high.max(1e-9) / 5.0);
        let top = (high / step).ceil().max(1.0) * step;
        (Self { low: 0.0, high: top, log: false }, step)
    }
    /// Where a value stands: 0 at the low end, 1 at the high end; held within.
    pub fn share(&self, value: f64) -> f64 {
        let share = if self.log {
            let v = value.max(1e-12);
            (v / self.low).ln() / (self.high / self.low).ln()
        } else {
            (value - self.low) / (self.high - self.low)
        };
        share.clamp(0.0, 1.0)
    }
    /// The value lies within.
    pub fn holds(&self, value: f64) -> bool {
        value >= self.low * (1.0 - 1e-12) && value <= self.high * (1.0 + 1e-12)
    }
    /// 1, 2 and 5 times powers of ten within.
    pub fn log_ticks(&self) -> Vec<f64> {
        let mut ticks = Vec::new();
        let (from, to) = (self.low.log10().floor() as i32, self.high.log10().ceil() as i32);
        for power in from..=to {
            for m in [1.0, 2.0, 5.0] {
                let v = m * 10f64.powi(power);
                if self.holds(v) {
                    ticks.push(v);
                }
            }
        }
        ticks
    }
}

/// The nearest of 1, 2 and 5 times a power of ten that is not below.
pub fn round_step(x: f64) -> f64 {
    let power = 10f64.powf(x.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * power)
        .find(|s| *s >= x * (1.0 - 1e-9))
        .unwrap_or(10.0 * power)
}

/// A plot under way.
pub struct Chart {
    /// The drawing.
    pub canvas: Canvas,
    /// Its look.
    pub look: Look,
    /// Where curves are drawn.
    pub area: Block,
    /// To the right.
    pub x: Axis,
    /// Up.
    pub y: Axis,
    placer: Placer,
    labels: Vec<Block>,
    wishes: Vec<(Wish, &'static str, bool)>,
}

impl Chart {
    /// An empty plot of this size with axes.
    pub fn new(size: (f64, f64), left: f64, look: Look, x: Axis, y: Axis, title: &str) -> Self {
        let (low, high) = (Spot::new(0.0, 0.0), Spot::new(size.0, size.1));
        let mut canvas = Canvas::new(low, high, title);
        canvas.rectangle(low, high, 0.0, Ink::fill(look.palette().paper));
        let area = Block::new(Spot::new(left, 9.0), Spot::new(size.0 - 4.0, size.1 - 14.0));
        let placer = Placer::new(area.grown(-0.8), 1.0);
        Self { canvas, look, area, x, y, placer, labels: Vec::new(), wishes: Vec::new() }
    }

    /// Where a pair of values lies.
    pub fn at(&self, x: f64, y: f64) -> Spot {
        Spot::new(
            self.area.low.x + self.area.width() * self.x.share(x),
            self.area.high.y - self.area.height() * self.y.share(y),
        )
    }

    /// A mark on the lower axis with its line.
    pub fn tick_x(&mut self, value: f64, label: &str) {
        let at = self.at(value, self.y.low);
        let p = self.look.palette();
        let grid = Ink::line(p.faint, weight::DIMENSION * 0.7);
        self.canvas.line(
            Spot::new(at.x, self.area.low.y),
            Spot::new(at.x, self.area.high.y + 1.2),
            grid,
        );
        let set = Type::new(self.look.size(), p.quiet).centred();
        self.canvas.text(Spot::new(at.x, self.area.high.y + 6.0), label, set);
    }

    /// A mark on the left axis with its line.
    pub fn tick_y(&mut self, value: f64, label: &str) {
        let at = self.at(self.x.low, value);
        let p = self.look.palette();
        let grid = Ink::line(p.faint, weight::DIMENSION * 0.7);
        self.canvas.line(
            Spot::new(self.area.low.x - 1.2, at.y),
            Spot::new(self.area.high.x, at.y),
            grid,
        );
        let set = Type::new(self.look.size(), p.quiet).ending();
        self.canvas.text(Spot::new(self.area.low.x - 2.2, at.y + 0.32 * self.look.size()), label, set);
    }

    /// Names of the axes: the upright one above it, the level one at its right end.
    pub fn name_axes(&mut self, x: &str, y: &str) {
        let p = self.look.palette();
        let set = Type::new(self.look.size(), p.ink).slanted();
        self.canvas.text(Spot::new(1.0, 5.5), y, set);
        self.canvas.text(Spot::new(self.area.high.x, self.area.high.y + 12.0), x, set.ending());
        let frame = self.look.dimension();
        self.canvas.line(
            Spot::new(self.area.low.x, self.area.low.y),
            Spot::new(self.area.low.x, self.area.high.y),
            frame,
        );
        self.canvas.line(
            Spot::new(self.area.low.x, self.area.high.y),
            Spot::new(self.area.high.x, self.area.high.y),
            frame,
        );
    }

    /// A curve; labels keep off it.
    pub fn curve(&mut self, points: &[Spot], ink: Ink<'_>) {
        self.canvas.corners(points, false, ink);
        for pair in points.windows(2) {
            self.placer.spare_line(pair[0], pair[1], 0.6);
        }
    }

    /// A limit: a line whose far side (to the left of its direction, or to the right) is hatched.
    pub fn limit(&mut self, points: &[Spot], left: bool, colour: &str) {
        let ink = Ink::line(colour, weight::OUTLINE).rounded();
        self.curve(points, ink);
        let side = if left { -1.0 } else { 1.0 };
        let mut rest = 1.0;
        for pair in points.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            let long = a.distance(b);
            if long < 1e-9 {
                continue;
            }
            let (dx, dy) = ((b.x - a.x) / long, (b.y - a.y) / long);
            while rest < long {
                let c = Spot::new(a.x + dx * rest, a.y + dy * rest);
                let tip =
                    Spot::new(c.x + 2.0 * (0.6 * dx - side * dy), c.y + 2.0 * (0.6 * dy + side * dx));
                self.canvas.line(c, tip, Ink::line(colour, weight::DIMENSION));
                rest += 1.6;
            }
            rest -= long;
        }
    }

    /// Names a place of the plot; set in the colour of what it names.
    pub fn name(&mut self, at: Spot, words: &str, colour: &'static str, dot: bool) {
        let size = self.look.size();
        let form = |lines: Vec<String>| {
            let wide = lines.iter().map(|l| text::width(l, size)).fold(0.0, f64::max);
            let high = size * (0.95 + 1.12 * (lines.len() - 1) as f64) + 0.6;
            Form { width: wide + 1.2, height: high, upright: false, lines }
        };
        let mut forms: Vec<Form> = Vec::new();
        if text::width(words, size) < 0.45 * self.area.width() {
            forms.push(form(vec![words.to_owned()]));
        }
        forms.push(form(text::wrap_or_cut(words, size, 0.3 * self.area.width(), 3)));
        self.wishes.push((Wish { target: at, home: None, forms }, colour, dot));
        if dot {
            self.placer.rather_not(Block::around(at, 3.0, 3.0), 8.0);
        }
    }

    /// Places the names and ends the plot.
    pub fn finish(mut self) -> Plot {
        let board = self.look.palette().paper;
        for (i, (wish, colour, dot)) in self.wishes.iter().enumerate() {
            if *dot {
                self.canvas.circle(wish.target, 1.3, Ink::fill(colour));
            }
            let reach = [7.0, 14.0, 28.0, 60.0];
            let Some(placed) = self.placer.near(i, wish, &reach) else { continue };
            let (from, to) = (placed.leader[0], placed.leader[1]);
            if from.distance(to) > 2.5 {
                self.canvas.line(from, to, self.look.dimension());
            }
            let form = &wish.forms[placed.form];
            let size = self.look.size();
            let c = placed.block.centre();
            for (n, line) in form.lines.iter().enumerate() {
                let shift = (n as f64 - (form.lines.len() - 1) as f64 / 2.0) * 1.12 * size + 0.32 * size;
                let set = Type::new(size, colour).centred().rimmed(board);
                self.canvas.text(Spot::new(c.x, c.y + shift), line, set);
            }
            self.labels.push(placed.block);
        }
        let (width, height) = (self.canvas.width(), self.canvas.height());
        Plot { svg: self.canvas.finish(), width, height, labels: self.labels }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn axes_are_round_and_hold_their_values() {
        let (axis, step) = Axis::from_zero(37.0);
        assert_eq!((axis.high, step), (40.0, 10.0));
        let log = Axis { low: 1.0, high: 100.0, log: true };
        assert!((log.share(10.0) - 0.5).abs() < 1e-12);
        assert_eq!(log.log_ticks(), vec![1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0]);
        assert_eq!(round_step(0.3), 0.5);
    }
}
