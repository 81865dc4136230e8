//! Symbols of the trade (the shapes of IEC 60617 where it has one), drawn with few strokes in a
//! square of 8 mm.

use crate::svg::{Canvas, Ink, Outliner, Spot, Type};
use loomdeck_model::PartType;
use loomdeck_model::element::ElementKind;

/// What a box is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Symbol {
    Battery,
    Fuse,
    Switch,
    Contactor,
    Bus,
    Converter,
    Driver,
    Motor,
    Diode,
    Resistor,
    Capacitor,
    Charger,
    SlipRing,
    Meter,
    Plug,
    Load,
    /// A wire goes on upon another sheet.
    Flag,
}

impl Symbol {
    /// The symbol of a part type: that of its weightiest element.
    pub fn of(kind: &PartType) -> Self {
        let symbol = |e: &ElementKind| match e {
            ElementKind::Battery(_) => (0, Self::Battery),
            ElementKind::Charger(_) => (1, Self::Charger),
            ElementKind::Driver(_) => (2, Self::Driver),
            ElementKind::Converter(_) => (3, Self::Converter),
            ElementKind::Motor(_) => (4, Self::Motor),
            ElementKind::Contactor(_) => (5, Self::Contactor),
            ElementKind::Protection(_) | ElementKind::Switch(_) => (6, Self::Switch),
            ElementKind::FuseWay(_) => (7, Self::Fuse),
            ElementKind::SlipRing(_) => (8, Self::SlipRing),
            ElementKind::Load(_) => (9, Self::Load),
            ElementKind::Diode(_) => (10, Self::Diode),
            ElementKind::Resistor(_) => (11, Self::Resistor),
            ElementKind::Meter(_) => (12, Self::Meter),
            ElementKind::Capacitor(_) => (13, Self::Capacitor),
            ElementKind::Bus(_) => (14, Self::Bus),
        };
        let first = kind.elements.iter().map(|e| symbol(&e.kind)).min_by_key(|(rank, _)| *rank);
        first.map_or(Self::Load, |(_, s)| s)
    }

    /// Draws it around a centre.
    pub fn draw(self, canvas: &mut Canvas, c: Spot, ink: Ink<'_>, colour: &str) {
        let p = |x: f64, y: f64| Spot::new(c.x + x, c.y + y);
        let solid = Ink::fill(colour);
        let line = |canvas: &mut Canvas, points: &[(f64, f64)]| {
            let spots: Vec<Spot> = points.iter().map(|(x, y)| p(*x, *y)).collect();
            canvas.corners(&spots, false, ink);
        };
        match self {
            Self::Battery => {
                for (x, h) in [(-2.4, 3.0), (0.8, 3.0)] {
                    line(canvas, &[(x, -h), (x, h)]);
                }
                for x in [-0.8, 2.4] {
                    canvas.rectangle(p(x - 0.3, -1.5), p(x + 0.3, 1.5), 0.0, solid);
                }
                line(canvas, &[(-4.0, 0.0), (-2.4, 0.0)]);
                line(canvas, &[(2.4, 0.0), (4.0, 0.0)]);
            }
            Self::Fuse => {
                canvas.rectangle(p(-2.6, -1.2), p(2.6, 1.2), 0.0, ink);
                line(canvas, &[(-4.0, 0.0), (4.0, 0.0)]);
            }
            Self::Switch | Self::Contactor => {
                line(canvas, &[(-4.0, 1.0), (-2.0, 1.0), (1.9, -2.2)]);
                line(canvas, &[(2.0, 1.0), (4.0, 1.0)]);
                if self == Self::Contactor {
                    canvas.rectangle(p(-1.6, 2.2), p(1.6, 3.8), 0.0, ink);
                    line(canvas, &[(-0.1, 2.2), (-0.1, -0.6)]);
                }
            }
            Self::Bus => {
                canvas.rectangle(p(-3.8, -0.7), p(3.8, 0.7), 0.2, solid);
                for x in [-2.4, 0.0, 2.4] {
                    line(canvas, &[(x, 0.7), (x, 2.8)]);
                }
            }
            Self::Converter | Self::Charger => {
                canvas.rectangle(p(-3.2, -3.2), p(3.2, 3.2), 0.0, ink);
                line(canvas, &[(-3.2, 3.2), (3.2, -3.2)]);
                line(canvas, &[(0.8, 1.4), (2.6, 1.4)]);
                line(canvas, &[(0.8, 2.2), (2.6, 2.2)]);
                if self == Self::Converter {
                    line(canvas, &[(-2.6, -2.2), (-0.8, -2.2)]);
                    line(canvas, &[(-2.6, -1.4), (-0.8, -1.4)]);
                } else {
                    let mut d = Outliner::default();
                    d.start(p(-2.6, -1.7));
                    d.bend(p(-2.1, -3.0), p(-1.6, -1.8));
                    d.bend(p(-1.1, -0.6), p(-0.6, -1.9));
                    canvas.path(&d.finish(), ink);
                }
            }
            Self::Driver => {
                canvas.rectangle(p(-3.2, -3.2), p(3.2, 3.2), 0.0, ink);
                line(canvas, &[(-1.6, -2.0), (-1.6, 2.0)]);
                line(canvas, &[(1.6, -2.0), (1.6, 2.0)]);
                line(canvas, &[(-1.6, 0.0), (1.6, 0.0)]);
            }
            Self::Motor | Self::Meter => {
                canvas.circle(c, 3.3, ink);
                let letter = if self == Self::Motor { "M" } else { "V" };
                canvas.text(p(0.0, 1.45), letter, Type::new(4.4, colour).centred());
            }
            Self::Diode => {
                line(canvas, &[(-4.0, 0.0), (4.0, 0.0)]);
                canvas.corners(&[p(-1.6, -2.0), p(1.6, 0.0), p(-1.6, 2.0)], true, ink.filled(colour));
                line(canvas, &[(1.6, -2.0), (1.6, 2.0)]);
            }
            Self::Resistor => {
                canvas.rectangle(p(-2.6, -1.2), p(2.6, 1.2), 0.0, ink);
                line(canvas, &[(-4.0, 0.0), (-2.6, 0.0)]);
                line(canvas, &[(2.6, 0.0), (4.0, 0.0)]);
            }
            Self::Capacitor => {
                line(canvas, &[(-4.0, 0.0), (-0.7, 0.0)]);
                line(canvas, &[(0.7, 0.0), (4.0, 0.0)]);
                line(canvas, &[(-0.7, -2.4), (-0.7, 2.4)]);
                line(canvas, &[(0.7, -2.4), (0.7, 2.4)]);
            }
            Self::SlipRing => {
                canvas.circle(c, 3.3, ink);
                canvas.circle(c, 1.7, ink);
                line(canvas, &[(-4.0, 0.0), (-3.3, 0.0)]);
                line(canvas, &[(1.7, 0.0), (4.0, 0.0)]);
            }
            Self::Plug => {
                line(canvas, &[(-4.0, 0.0), (-0.6, 0.0)]);
                canvas.rectangle(p(-0.6, -0.6), p(2.2, 0.6), 0.0, solid);
                let mut d = Outliner::default();
                d.start(p(2.6, -2.2));
                d.bend(p(-0.4, -2.2), p(-0.4, 0.0));
                d.bend(p(-0.4, 2.2), p(2.6, 2.2));
                canvas.path(&d.finish(), ink);
                line(canvas, &[(2.6, 0.0), (4.0, 0.0)]);
            }
            Self::Load => canvas.rectangle(p(-3.2, -2.4), p(3.2, 2.4), 0.6, ink),
            Self::Flag => {
                line(canvas, &[(-2.6, -2.2), (1.2, -2.2), (3.4, 0.0), (1.2, 2.2), (-2.6, 2.2)])
            }
        }
    }
}
