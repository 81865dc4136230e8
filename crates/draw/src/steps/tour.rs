//! The way of the hand over the holes of one stage of the drill plan.

use super::frame::Sheet;
use super::{Sketch, finished, paint};
use crate::face::{Matter, View};
use crate::labels::{Block, Form, Placer, Wish};
use crate::palette::Theme;
use crate::svg::{Canvas, Ink, Spot, Type, weight};
use crate::text;
use loomdeck_make::plan::{Lies, Stage};
use loomdeck_model::Face;
use std::collections::BTreeSet;

/// Smallest dot of a hole, mm of paper.
const LEAST_DOT: f64 = 0.7;
/// Size of the hole numbers: capitals of 2.1 mm, as in the tables.
const NUMBER: f64 = 0.88;

/// Draws the holes of a stage, joined in the order in which they are made, from the datum corner on; each
/// with its number where there is room. `None` without a board.
pub fn tour(matter: &Matter<'_>, stage: &Stage, theme: Theme, room: (f64, f64)) -> Option<Sketch> {
    let up = match stage.lies {
        Lies::Up(face) => face,
        Lies::OnEdge => Face::Front,
    };
    let sheet = Sheet::of(matter, View::Face(up), theme, room)?;
    let mut canvas = sheet.canvas(&format!("{}: {}", matter.robot.name, sheet.view.words()));
    paint::board(&mut canvas, matter, &sheet);
    let spots: Vec<Spot> = stage.stops.iter().map(|s| sheet.view.spot(s.at)).collect();
    edge(&mut canvas, matter, &sheet, stage);
    way(&mut canvas, matter, &sheet, &spots);
    dots(&mut canvas, matter, &sheet, stage);
    let labels = numbers(&mut canvas, &sheet, stage, &spots);
    let how = if stage.lies == Lies::OnEdge { "seen, on edge" } else { "up" };
    sheet.strip(&mut canvas, stage.turn_over, how);
    Some(finished(canvas, &sheet, labels, Vec::new()))
}

/// The outer edge, where that is what is worked on.
fn edge(canvas: &mut Canvas, matter: &Matter<'_>, sheet: &Sheet, stage: &Stage) {
    let Some(board) = matter.robot.board.as_ref() else { return };
    if stage.stops.iter().any(|s| s.hole.is_none()) {
        canvas.corners(&sheet.view.corners(&board.outline.0), true, sheet.new_ink());
    }
}

fn way(canvas: &mut Canvas, matter: &Matter<'_>, sheet: &Sheet, spots: &[Spot]) {
    let u = sheet.look.per_mm;
    let p = sheet.look.palette();
    let start = sheet.view.spot(matter.making.datum.at);
    canvas.group("way");
    let line: Vec<Spot> = std::iter::once(start).chain(spots.iter().copied()).collect();
    canvas.corners(&line, false, Ink::line(p.accent, weight::DETAIL * u).rounded());
    canvas.circle(start, 1.1 * u, Ink::fill(p.accent));
    canvas.end();
}

fn dots(canvas: &mut Canvas, matter: &Matter<'_>, sheet: &Sheet, stage: &Stage) {
    let u = sheet.look.per_mm;
    let p = sheet.look.palette();
    canvas.group("stops");
    for stop in &stage.stops {
        let own = stop.hole.and_then(|h| matter.making.holes.get(h)).map(|h| h.diameter());
        let wide = stop.diameter.or(own).map_or(0.0, |d| d.0);
        let ink = Ink::line(p.ink, weight::DETAIL * u).filled(p.paper);
        canvas.circle(sheet.view.spot(stop.at), (wide / 2.0).max(LEAST_DOT * u), ink);
    }
    canvas.end();
}

/// Numbers of the holes, those that find room; each hole once.
fn numbers(canvas: &mut Canvas, sheet: &Sheet, stage: &Stage, spots: &[Spot]) -> Vec<Block> {
    let u = sheet.look.per_mm;
    let size = NUMBER * sheet.size();
    let mut placer = Placer::new(sheet.room(), 0.3 * u);
    for spot in spots {
        placer.keep_off(Block::around(*spot, 1.8 * LEAST_DOT * u, 1.8 * LEAST_DOT * u));
    }
    for pair in spots.windows(2) {
        placer.spare_line(pair[0], pair[1], 0.4 * u);
    }
    canvas.group("numbers");
    let mut seen: BTreeSet<usize> = BTreeSet::new();
    let mut blocks = Vec::new();
    for (i, (stop, spot)) in stage.stops.iter().zip(spots).enumerate() {
        let Some(hole) = stop.hole.filter(|h| seen.insert(*h)) else { continue };
        let digits = (hole + 1).to_string();
        let form = Form {
            width: text::width(&digits, size) + 0.6 * u,
            height: size * 0.8,
            upright: false,
            lines: vec![digits],
        };
        let wish = Wish { target: *spot, home: None, forms: vec![form] };
        let Some(placed) = placer.near(i, &wish, &[4.0 * u]) else { continue };
        let c = placed.block.centre();
        let set = Type::new(size, sheet.look.palette().ink).centred().rimmed(sheet.look.palette().board);
        canvas.text(Spot::new(c.x, c.y + 0.32 * size), &wish.forms[0].lines[0], set);
        blocks.push(placed.block);
    }
    canvas.end();
    blocks
}
