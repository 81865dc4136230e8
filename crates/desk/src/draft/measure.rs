//! Footprint and holes from measurements.

use super::sheet::Sheet;
use super::walk::{Length, Walk, number, pair};
use crate::talk::{DraftHole, DraftType, Place, Pt, Shape};
use loomdeck_model::format::{Dimension, MAX_CORNERS};
use loomdeck_model::read::outline::outline;
use loomdeck_model::{Outline, Point};

/// How finely a round footprint is drawn, mm.
const FACET: f64 = 0.05;
/// The smallest size that a part may have, mm.
const LEAST: f64 = 0.1;

/// What was measured.
#[derive(Debug, Default)]
pub struct Measured {
    shape: Shape,
    width: Option<Length>,
    depth: Option<Length>,
    diameter: Option<Length>,
    corners: Vec<(Length, Length)>,
    /// Height above its mounting surface, mm.
    pub height: Option<f64>,
    holes: Vec<(Length, Length)>,
    hole: Option<Length>,
}

/// Reads the measurements of a draft.
pub fn measured(draft: &DraftType, walk: &mut Walk) -> Measured {
    let text = |key: &str| draft.values.get(key);
    let mut m = Measured { shape: draft.shape, ..Measured::default() };
    match draft.shape {
        Shape::Rectangle => {
            m.width = walk.need("width", text("width"), LEAST, "How wide is it?");
            m.depth = walk.need("depth", text("depth"), LEAST, "How deep is it on the board?");
        }
        Shape::Round => {
            m.diameter = walk.need("diameter", text("diameter"), LEAST, "How wide is it across?");
        }
        Shape::Corners => m.corners = corners(&draft.corners, walk),
    }
    m.height = text("height").and_then(|t| walk.length(t.trim()));
    holes(draft, &mut m, walk);
    m
}

fn corners(list: &[Place], walk: &mut Walk) -> Vec<(Length, Length)> {
    if list.len() < 3 {
        walk.miss("corners", "Three corners at least, in order around the part.");
    }
    if list.len() > MAX_CORNERS {
        walk.say(
            "corners",
            &format!("These are {} corners; at most {MAX_CORNERS} are taken.", list.len()),
        );
        return Vec::new();
    }
    let all = places(list, "corners", walk);
    if all.len() == list.len() && all.len() >= 3 {
        let points = all.iter().map(|(x, y)| Point::new(x.mm, y.mm)).collect();
        if let Err(why) = outline(points) {
            walk.say("corners", &why);
        }
    }
    all
}

fn places(list: &[Place], field: &str, walk: &mut Walk) -> Vec<(Length, Length)> {
    let one = |(i, p): (usize, &Place)| {
        let x = walk.need(&format!("{field}.{i}.x"), Some(&p.x), -1e5, "How far from the left?");
        let y = walk.need(&format!("{field}.{i}.y"), Some(&p.y), -1e5, "How far from below?");
        Some((x?, y?))
    };
    list.iter().enumerate().filter_map(one).collect()
}

fn holes(draft: &DraftType, m: &mut Measured, walk: &mut Walk) {
    let text = |key: &str| draft.values.get(key);
    let bounds = bounds(&m.outline());
    let pattern = text("pattern").map_or("", String::as_str);
    match pattern {
        "corners" => {
            let edge =
                walk.need("hole_edge", text("hole_edge"), 0.0, "From the edges to their centres?");
            if let (Some(e), Some((low, high))) = (edge, bounds) {
                let (w, h) = (high[0] - low[0], high[1] - low[1]);
                if 2.0 * e.mm >= w.min(h) {
                    walk.say("hole_edge", "The holes would meet in the middle of the part.");
                } else {
                    let (x, y) = ([low[0] + e.mm, high[0] - e.mm], [low[1] + e.mm, high[1] - e.mm]);
                    m.holes.extend(grid(x, y, m.unit_with(&[e])));
                }
            }
        }
        "spacing" => {
            let across =
                walk.need("hole_across", text("hole_across"), 0.0, "From centre to centre, across?");
            let up = walk.need("hole_up", text("hole_up"), 0.0, "From centre to centre, upwards?");
            let mut first = |key: &str| {
                let given = text(key).is_some_and(|t| !t.trim().is_empty());
                given.then(|| walk.need(key, text(key), -1e5, ""))
            };
            let (left, below) = (first("hole_left"), first("hole_below"));
            let (Some(across), Some(up), Some((low, high))) = (across, up, bounds) else { return };
            let begin = |given: Option<Option<Length>>, low: f64, high: f64, span: f64| match given {
                Some(given) => given.map(|l| low + l.mm),
                None => Some((low + high - span) / 2.0),
            };
            let x = begin(left, low[0], high[0], across.mm);
            let y = begin(below, low[1], high[1], up.mm);
            if let (Some(x), Some(y)) = (x, y) {
                let unit = m.unit_with(&[across, up]);
                m.holes.extend(grid([x, x + across.mm], [y, y + up.mm], unit));
                if x < low[0] || x + across.mm > high[0] {
                    walk.say("hole_across", "These holes lie beside the part.");
                } else if y < low[1] || y + up.mm > high[1] {
                    walk.say("hole_up", "These holes lie beside the part.");
                }
            }
        }
        _ => {}
    }
    let before = m.holes.len();
    m.holes.extend(places(&draft.holes, "holes", walk));
    if m.holes.is_empty() {
        return;
    }
    m.hole = walk.need("hole_diameter", text("hole_diameter"), 0.5, "How wide are the holes?");
    if let Some(d) = m.hole.filter(|d| d.mm > 100.0) {
        walk.say("hole_diameter", &format!("This is {} mm; at most 100 mm is taken.", number(d.mm)));
    }
    let shape = m.outline();
    if shape.len() >= 3 && m.holes.len() == before + draft.holes.len() {
        for (i, (x, y)) in m.holes[before..].iter().enumerate() {
            if !holds(&shape, [x.mm, y.mm]) {
                walk.say(&format!("holes.{i}.x"), "This hole lies beside the part.");
            }
        }
    }
}

/// Four holes, or two where a spacing is zero.
fn grid(x: [f64; 2], y: [f64; 2], unit: &'static str) -> Vec<(Length, Length)> {
    let at = |mm: f64| {
        let number = Dimension::Length.from_base(mm, unit).unwrap_or(mm);
        Length { number, unit, mm }
    };
    let mut all: Vec<(Length, Length)> = Vec::new();
    for y in y {
        for x in x {
            if !all.iter().any(|(a, b)| a.mm == x && b.mm == y) {
                all.push((at(x), at(y)));
            }
        }
    }
    all
}

/// Lower left and upper right of some points.
pub fn bounds(points: &[Pt]) -> Option<(Pt, Pt)> {
    let first = *points.first()?;
    Some(points.iter().fold((first, first), |(low, high), p| {
        ([low[0].min(p[0]), low[1].min(p[1])], [high[0].max(p[0]), high[1].max(p[1])])
    }))
}

/// Whether a point lies in a shape or on its edge (ray casting; the edge with a micrometre to spare).
fn holds(shape: &[Pt], [x, y]: Pt) -> bool {
    let mut inside = false;
    for (i, a) in shape.iter().enumerate() {
        let b = shape[(i + 1) % shape.len()];
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let long = dx.hypot(dy);
        if long > 0.0 {
            let along = ((x - a[0]) * dx + (y - a[1]) * dy) / long;
            let off = ((x - a[0]) * dy - (y - a[1]) * dx) / long;
            if off.abs() < 1e-3 && (-1e-3..=long + 1e-3).contains(&along) {
                return true;
            }
        }
        if (a[1] > y) != (b[1] > y) && x < a[0] + dx * (y - a[1]) / dy {
            inside = !inside;
        }
    }
    inside
}

impl Measured {
    /// The unit that all measurements share with these; else mm.
    fn unit_with(&self, others: &[Length]) -> &'static str {
        let own = [self.width, self.depth, self.diameter].into_iter().flatten();
        let mut all = own.chain(others.iter().copied()).map(|l| l.unit);
        let first = all.next().unwrap_or("mm");
        if all.all(|u| u == first) { first } else { "mm" }
    }

    /// The footprint as far as it is known, mm.
    pub fn outline(&self) -> Vec<Pt> {
        match self.shape {
            Shape::Rectangle => match (self.width, self.depth) {
                (Some(w), Some(d)) => vec![[0.0, 0.0], [w.mm, 0.0], [w.mm, d.mm], [0.0, d.mm]],
                _ => Vec::new(),
            },
            Shape::Round => self.diameter.map_or_else(Vec::new, |d| {
                let circle = Outline::circle(Point::new(0.0, 0.0), d.mm / 2.0, FACET);
                circle.0.iter().map(|p| [p.x, p.y]).collect()
            }),
            Shape::Corners => self.corners.iter().map(|(x, y)| [x.mm, y.mm]).collect(),
        }
    }

    /// The holes as far as they are known.
    pub fn drawn_holes(&self) -> Vec<DraftHole> {
        let diameter_mm = self.hole.map(|d| d.mm);
        self.holes.iter().map(|(x, y)| DraftHole { at_mm: [x.mm, y.mm], diameter_mm }).collect()
    }

    /// Writes the footprint.
    pub fn footprint(&self, sheet: &mut Sheet) {
        if let (Some(w), Some(d)) = (self.width, self.depth) {
            let (unit, text) = pair(w, d);
            sheet.line("width", &format!("size_{unit}"), &text);
        }
        if let Some(d) = self.diameter {
            sheet.line("diameter", &format!("diameter_{}", d.unit), &number(d.number));
        }
        list(sheet, "corners", "outline", &self.corners);
    }

    /// Writes the holes.
    pub fn holes(&self, sheet: &mut Sheet) {
        list(sheet, "hole_diameter", "holes", &self.holes);
        if let Some(d) = self.hole {
            sheet.line("hole_diameter", &format!("hole_diameter_{}", d.unit), &number(d.number));
        }
    }
}

/// Points in the unit that all of them share, else in mm.
fn list(sheet: &mut Sheet, path: &str, key: &str, points: &[(Length, Length)]) {
    let Some((first, _)) = points.first() else { return };
    let shared = points.iter().all(|(x, y)| x.unit == first.unit && y.unit == first.unit);
    let unit = if shared { first.unit } else { "mm" };
    let n = |l: &Length| number(if shared { l.number } else { l.mm });
    let all: Vec<String> = points.iter().map(|(x, y)| format!("[{}, {}]", n(x), n(y))).collect();
    sheet.line(path, &format!("{key}_{unit}"), &format!("[{}]", all.join(", ")));
}
