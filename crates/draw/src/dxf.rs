//! The board for a router, a laser or the bench: DXF, release 12, in millimetres.
//!
//! One file a face, with a layer for each operation of the drill plan on that face: `MARK`, `REGISTER-…`,
//! `PILOT-…`, `DRILL-…`, `POCKET-…`, `BLIND-…`, `HALF-…` and `REST-…` (large holes), `COUNTERSINK-…`, and in both
//! files `CUT` and `EDGE`, which are done with the board on its edge. The size of the bit follows the operation.
//! `HOLES` has every finished hole of the face once, `OUTLINE` the board, `TEXT` the numbers. The back is
//! mirrored as you see it, about the middle of the board, so that both files lie in the same rectangle.
//! Release 12 is the one that every program reads; its header has no place for the unit, so the unit is also
//! written as text. Source for the format: the group codes of the published DXF reference.

use crate::face::Matter;
use loomdeck_make::plan::{Lies, Operation, Stage, Stop, ToolInHand};
use loomdeck_make::{Hole, HoleShape};
use loomdeck_model::{Face, LengthUnit, Outline, Point};
use std::collections::BTreeMap;
use std::fmt::Write;

/// Writes a face.
pub fn write(matter: &Matter<'_>, face: Face) -> String {
    let empty = Outline::default();
    let outline = matter.robot.board.as_ref().map_or(&empty, |b| &b.outline);
    let (low, high) =
        if outline.0.is_empty() { (Point::default(), Point::default()) } else { outline.bounds() };
    let mut file = File { mirror: (face == Face::Back).then_some(low.x + high.x), ..File::default() };
    if !outline.0.is_empty() {
        file.polyline("OUTLINE", &outline.0.iter().map(|p| (*p, 0.0)).collect::<Vec<_>>());
    }
    let making = matter.making;
    for (i, hole) in making.holes.iter().enumerate() {
        file.finished(i + 1, hole, face);
    }
    for stage in &making.plan.stages {
        if stage.lies == Lies::Up(face) || stage.lies == Lies::OnEdge {
            file.stage(stage, &making.holes, matter.robot.book.unit);
        }
    }
    let name = crate::face::View::Face(face).words();
    file.words("TEXT", Point::new(low.x, high.y + 12.0), 4.0, "Unit: millimetre", false);
    file.words("TEXT", Point::new(low.x, high.y + 6.0), 4.0, name, false);
    file.finish(low, high)
}

/// The layer of a stage; `None`: nothing is drawn for it.
pub fn layer_of(stage: &Stage, unit: LengthUnit) -> Option<String> {
    let operation = match stage.operation {
        Operation::Mark => "MARK",
        Operation::Register => "REGISTER",
        Operation::Pilot => "PILOT",
        Operation::Drill => "DRILL",
        Operation::Pocket => "POCKET",
        Operation::Blind => "BLIND",
        Operation::OpeningFirst => "HALF",
        Operation::OpeningSecond => "REST",
        Operation::Countersink => "COUNTERSINK",
        Operation::Saw => "CUT",
        Operation::EdgeRelief => "EDGE",
        Operation::Deburr | Operation::File => return None,
    };
    Some(match stage.tool {
        ToolInHand::Bit(bit) => layer_name(operation, &bit.size_word()),
        ToolInHand::FlatBottom(d) => layer_name(operation, &loomdeck_make::table::exact(d, unit)),
        ToolInHand::Countersink(angle) => layer_name(operation, &format!("{}deg", angle.0)),
        _ => operation.to_owned(),
    })
}

#[derive(Default)]
struct File {
    entities: String,
    /// Layer and its colour number.
    layers: BTreeMap<String, u8>,
    /// Sum of the two x that are exchanged, when the drawing is mirrored.
    mirror: Option<f64>,
}

impl File {
    fn at(&self, p: Point) -> Point {
        self.mirror.map_or(p, |sum| Point::new(sum - p.x, p.y))
    }

    fn layer(&mut self, name: &str) -> String {
        let colour = match name.split('-').next().unwrap_or_default() {
            "OUTLINE" | "HOLES" => 7,
            "MARK" | "REGISTER" | "SIGHTS" => 3,
            "PILOT" => 4,
            "DRILL" => 1,
            "HALF" | "REST" | "CUT" => 5,
            "BLIND" | "POCKET" => 30,
            "COUNTERSINK" => 6,
            _ => 8,
        };
        self.layers.insert(name.to_owned(), colour);
        name.to_owned()
    }

    fn circle(&mut self, layer: &str, at: Point, radius: f64) {
        let (layer, at) = (self.layer(layer), self.at(at));
        let _ = write!(
            self.entities,
            "0\nCIRCLE\n8\n{layer}\n10\n{}\n20\n{}\n30\n0.0\n40\n{}\n",
            real(at.x),
            real(at.y),
            real(radius)
        );
    }

    fn line(&mut self, layer: &str, a: Point, b: Point) {
        let (layer, a, b) = (self.layer(layer), self.at(a), self.at(b));
        let _ = write!(
            self.entities,
            "0\nLINE\n8\n{layer}\n10\n{}\n20\n{}\n30\n0.0\n11\n{}\n21\n{}\n31\n0.0\n",
            real(a.x),
            real(a.y),
            real(b.x),
            real(b.y)
        );
    }

    /// A closed line through corners; the number is the bulge of the stretch that follows: the
    /// tangent of a quarter of its angle, positive counter-clockwise.
    fn polyline(&mut self, layer: &str, corners: &[(Point, f64)]) {
        let layer = self.layer(layer);
        let turn = if self.mirror.is_some() { -1.0 } else { 1.0 };
        let _ =
            write!(self.entities, "0\nPOLYLINE\n8\n{layer}\n66\n1\n10\n0.0\n20\n0.0\n30\n0.0\n70\n1\n");
        for (p, bulge) in corners {
            let p = self.at(*p);
            let _ = write!(
                self.entities,
                "0\nVERTEX\n8\n{layer}\n10\n{}\n20\n{}\n30\n0.0\n42\n{}\n",
                real(p.x),
                real(p.y),
                real(bulge * turn)
            );
        }
        let _ = write!(self.entities, "0\nSEQEND\n8\n{layer}\n");
    }

    /// Words; `place` mirrors the position with the drawing, never the letters.
    fn words(&mut self, layer: &str, at: Point, height: f64, words: &str, place: bool) {
        let layer = self.layer(layer);
        let at = if place { self.at(at) } else { at };
        let _ = write!(
            self.entities,
            "0\nTEXT\n8\n{layer}\n10\n{}\n20\n{}\n30\n0.0\n40\n{}\n1\n{}\n",
            real(at.x),
            real(at.y),
            real(height),
            plain(words)
        );
    }

    /// A slot or rectangle: a closed line with arcs at its ends or corners.
    fn long(&mut self, layer: &str, at: Point, (length, width): (f64, f64), turn: f64, corner: f64) {
        let (s, c) = turn.to_radians().sin_cos();
        let place = |x: f64, y: f64| Point::new(at.x + c * x - s * y, at.y + s * x + c * y);
        let (x, y) = (length / 2.0, width / 2.0);
        let r = corner.clamp(0.0, x.min(y));
        // A quarter circle's bulge is the tangent of a sixteenth of a turn.
        let quarter = (std::f64::consts::PI / 8.0).tan();
        let corners = [
            (place(r - x, -y), 0.0),
            (place(x - r, -y), quarter),
            (place(x, r - y), 0.0),
            (place(x, y - r), quarter),
            (place(x - r, y), 0.0),
            (place(r - x, y), quarter),
            (place(-x, y - r), 0.0),
            (place(-x, r - y), quarter),
        ];
        let mut line: Vec<(Point, f64)> = Vec::new();
        for (p, bulge) in corners {
            match line.last_mut() {
                // Square corners and round ends have two corners at one place.
                Some((last, b)) if last.distance(p) < 1e-9 => *b = bulge,
                _ => line.push((p, bulge)),
            }
        }
        if line.len() > 1 && line[0].0.distance(line[line.len() - 1].0) < 1e-9 {
            line.pop();
        }
        self.polyline(layer, &line);
    }

    fn point(&mut self, layer: &str, at: Point) {
        let (layer, at) = (self.layer(layer), self.at(at));
        let _ = write!(
            self.entities,
            "0\nPOINT\n8\n{layer}\n10\n{}\n20\n{}\n30\n0.0\n",
            real(at.x),
            real(at.y)
        );
    }

    fn contour(&mut self, layer: &str, hole: &Hole) {
        match hole.shape {
            HoleShape::Round(d) => self.circle(layer, hole.at, d.0 / 2.0),
            HoleShape::Slot { length, width, turn } => {
                self.long(layer, hole.at, (length.0, width.0), turn.0, width.0 / 2.0);
            }
            HoleShape::Rect { length, width, turn, corner } => {
                self.long(layer, hole.at, (length.0, width.0), turn.0, corner.0);
            }
        }
    }

    fn finished(&mut self, number: usize, hole: &Hole, face: Face) {
        if !crate::template::shows_on(hole, face) {
            return;
        }
        self.contour("HOLES", hole);
        if hole.registration {
            let reach = hole.diameter().0 / 2.0 + 3.0;
            let (x, y) = (hole.at.x, hole.at.y);
            self.line("SIGHTS", Point::new(x - reach, y), Point::new(x + reach, y));
            self.line("SIGHTS", Point::new(x, y - reach), Point::new(x, y + reach));
        }
        let r = hole.diameter().0 / 2.0 + 0.8;
        // Beside the hole on the side that is right on the finished drawing.
        let shift = if self.mirror.is_some() { -r } else { r };
        self.words(
            "TEXT",
            Point::new(hole.at.x + shift, hole.at.y + 0.8),
            2.5,
            &number.to_string(),
            true,
        );
    }

    /// One entity for each stop of a stage.
    fn stage(&mut self, stage: &Stage, holes: &[Hole], unit: LengthUnit) {
        let Some(layer) = layer_of(stage, unit) else { return };
        for stop in &stage.stops {
            self.stop(&layer, stage.operation, stop, holes);
        }
    }

    fn stop(&mut self, layer: &str, operation: Operation, stop: &Stop, holes: &[Hole]) {
        let hole = stop.hole.and_then(|h| holes.get(h));
        match (operation, hole, stop.diameter) {
            (Operation::Mark, ..) => self.point(layer, stop.at),
            (Operation::Saw | Operation::EdgeRelief, Some(hole), _) => self.contour(layer, hole),
            (_, _, Some(d)) => self.circle(layer, stop.at, d.0 / 2.0),
            // The outer edge is on its own layer already.
            _ => {}
        }
    }

    fn finish(self, low: Point, high: Point) -> String {
        let mut file = String::from("0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1009\n");
        let _ = write!(
            file,
            "9\n$INSBASE\n10\n0.0\n20\n0.0\n30\n0.0\n9\n$EXTMIN\n10\n{}\n20\n{}\n30\n0.0\n9\n$EXTMAX\n10\n{}\n20\n{}\n30\n0.0\n",
            real(low.x),
            real(low.y),
            real(high.x),
            real(high.y + 16.0)
        );
        file.push_str("9\n$LUNITS\n70\n2\n9\n$LUPREC\n70\n3\n9\n$MEASUREMENT\n70\n1\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n");
        file.push_str("0\nSECTION\n2\nTABLES\n");
        file.push_str("0\nTABLE\n2\nLTYPE\n70\n1\n0\nLTYPE\n2\nCONTINUOUS\n70\n0\n3\nSolid line\n72\n65\n73\n0\n40\n0.0\n0\nENDTAB\n");
        let _ = write!(file, "0\nTABLE\n2\nLAYER\n70\n{}\n", self.layers.len() + 1);
        file.push_str("0\nLAYER\n2\n0\n70\n0\n62\n7\n6\nCONTINUOUS\n");
        for (name, colour) in &self.layers {
            let _ = write!(file, "0\nLAYER\n2\n{name}\n70\n0\n62\n{colour}\n6\nCONTINUOUS\n");
        }
        file.push_str("0\nENDTAB\n");
        file.push_str("0\nTABLE\n2\nSTYLE\n70\n1\n0\nSTYLE\n2\nSTANDARD\n70\n0\n40\n0.0\n41\n1.0\n50\n0.0\n71\n0\n42\n2.5\n3\ntxt\n4\n\n0\nENDTAB\n");
        file.push_str("0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n");
        file.push_str(&self.entities);
        file.push_str("0\nENDSEC\n0\nEOF\n");
        file
    }
}

/// A number with six decimals at most and always a point.
fn real(value: f64) -> String {
    let text = format!("{:.6}", if value.is_finite() { value } else { 0.0 });
    let text = text.trim_end_matches('0');
    let text = if text.ends_with('.') { format!("{text}0") } else { text.to_owned() };
    if text == "-0.0" { "0.0".to_owned() } else { text }
}

/// Layer names of release 12 hold capitals, digits, `-`, `_` and `$`, 31 at most.
fn layer_name(operation: &str, bit: &str) -> String {
    let mut name = format!("{operation}-");
    for c in bit.chars() {
        match c {
            c if c.is_ascii_alphanumeric() => name.push(c.to_ascii_uppercase()),
            '.' | '/' => name.push('_'),
            '\u{2009}' => {}
            _ => name.push('-'),
        }
    }
    name.truncate(31);
    name
}

/// Release 12 texts are one line of ASCII.
fn plain(text: &str) -> String {
    text.chars().map(|c| if c.is_ascii() && !c.is_ascii_control() { c } else { '?' }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn layer_names_are_legal() {
        assert_eq!(layer_name("DRILL", "3.5\u{2009}mm"), "DRILL-3_5MM");
        assert_eq!(layer_name("DRILL", "11/64\u{2009}in"), "DRILL-11_64IN");
        assert!(layer_name("REST", &"x".repeat(60)).len() <= 31);
    }

    #[test]
    fn numbers_have_a_point() {
        for (x, t) in [(40.0, "40.0"), (-0.0, "0.0"), (1.25, "1.25"), (f64::NAN, "0.0")] {
            assert_eq!(real(x), t);
        }
    }
}
