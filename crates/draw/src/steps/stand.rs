//! The board laid down on a face: what it stands on, and where its weight is.

use super::frame::{Sheet, is_near};
use super::says::Labels;
use super::{Sketch, finished, paint};
use crate::face::{Matter, View};
use crate::labels::Block;
use crate::palette::Theme;
use crate::svg::{Canvas, Ink, Outliner, Spot, weight};
use loomdeck_model::{Point, Subject};
use loomdeck_space::rest::{BoardMass, Laid, Stand};

/// Draws the face that the board lies on, with its feet, the outline they span and the centre of mass.
/// `None` without a board.
pub fn laid(
    matter: &Matter<'_>,
    laid: &Laid,
    mass: &BoardMass,
    theme: Theme,
    room: (f64, f64),
) -> Option<Sketch> {
    let sheet = Sheet::of(matter, View::Face(laid.down), theme, room)?;
    let mut canvas = sheet.canvas(&format!("{}: {} down", matter.robot.name, laid.down.word()));
    paint::board(&mut canvas, matter, &sheet);
    bodies(&mut canvas, matter, &sheet);
    let u = sheet.look.per_mm;
    let accent = sheet.look.palette().accent;
    canvas.group("support");
    let span = sheet.view.corners(&laid.support);
    canvas.corners(&span, true, Ink::line(accent, weight::DETAIL * u).rounded());
    crate::face::hatch(&mut canvas, &span, 2.2 * u, Ink::line(accent, 0.6 * weight::DIMENSION * u));
    for foot in &laid.feet {
        canvas.circle(sheet.view.spot(Point::new(foot.at.x, foot.at.y)), 1.3 * u, Ink::fill(accent));
    }
    canvas.end();
    let centre = sheet.view.spot(Point::new(mass.centre.x, mass.centre.y));
    centre_of_mass(&mut canvas, centre, &sheet);
    let labels = names(&sheet, laid, centre);
    labels.paint(&mut canvas, &sheet);
    sheet.strip(&mut canvas, false, "down, seen from below");
    Some(finished(canvas, &sheet, labels.blocks(), Vec::new()))
}

fn bodies(canvas: &mut Canvas, matter: &Matter<'_>, sheet: &Sheet) {
    canvas.group("there");
    for face in &matter.geometry.faces {
        for body in face.bodies.iter().filter(|_| is_near(sheet.view, face.face)) {
            let shape = sheet.view.corners(&body.outline.0);
            canvas.corners(&shape, true, sheet.old_ink().filled(sheet.look.palette().paper));
        }
    }
    canvas.end();
}

/// A circle in four quarters, two of them filled.
fn centre_of_mass(canvas: &mut Canvas, at: Spot, sheet: &Sheet) {
    let u = sheet.look.per_mm;
    let p = sheet.look.palette();
    let r = 1.8 * u;
    canvas.group("centre-of-mass");
    canvas.circle(at, r, Ink::line(p.ink, weight::DETAIL * u).filled(p.paper));
    for (x, y) in [(1.0, -1.0), (-1.0, 1.0)] {
        let mut d = Outliner::default();
        d.start(at);
        d.to(Spot::new(at.x + x * r, at.y));
        d.arc(r, false, Spot::new(at.x, at.y + y * r));
        d.close();
        canvas.path(&d.finish(), Ink::fill(p.ink));
    }
    canvas.end();
}

/// What each foot is, once a thing, and the centre of mass.
fn names(sheet: &Sheet, laid: &Laid, centre: Spot) -> Labels {
    let u = sheet.look.per_mm;
    let mut points: Vec<(String, Spot)> = Vec::new();
    for foot in &laid.feet {
        let name = match (&foot.on, foot.stand) {
            (_, Stand::Sheet) => "corner of the sheet".to_owned(),
            (Subject::Board, _) => "foot".to_owned(),
            (on, _) => on.name().to_owned(),
        };
        if points.iter().all(|(n, _)| *n != name) {
            points.push((name, sheet.view.spot(Point::new(foot.at.x, foot.at.y))));
        }
    }
    points.push(("centre of mass".to_owned(), centre));
    let spots: Vec<Block> = points.iter().map(|(_, s)| Block::around(*s, 3.6 * u, 3.6 * u)).collect();
    Labels::at(sheet, &points, &spots)
}
