//! Names and numbers on a small picture, and which tools of a step are shown at work.

use super::Scene;
use super::frame::{Sheet, is_near};
use super::paint::{shape_of, wire_ends};
use crate::face::{Matter, forms, paint_name, way_uses};
use crate::labels::{Block, Form, Placed, Placer, Wish};
use crate::svg::{Canvas, Ink, Spot, Type, weight};
use crate::text;
use loomdeck_make::Step;
use loomdeck_make::steps::Group;
use loomdeck_model::{Landing, Place, Subject, WireId};
use loomdeck_space::Owner;
use loomdeck_space::access::{Job, Need, ToolUse, When};
use std::collections::BTreeSet;

/// More new things than this carry numbers from the start.
const MOST_NAMES: usize = 6;
/// More tools than this at once would hide the board.
const MOST_TOOLS: usize = 24;

/// The tools of a step on the face that is up: of each thing to be done, the first way that is free, or the
/// first of all. Empty where there are so many that they would hide the board.
pub fn reach<'a>(matter: &Matter<'a>, step: &Step) -> Vec<&'a ToolUse> {
    let when = match step.group {
        Group::Stays | Group::Set => When::Prepare,
        Group::Parts | Group::Covers => When::Hold,
        Group::Wires => When::Wire,
        Group::Drill | Group::Plugs | Group::Checks => return Vec::new(),
    };
    let landings: Vec<Landing> = step.wires.iter().flat_map(|w| ends_of(matter, *w)).collect();
    let wanted = |need: &&Need| match (need.when, need.owner, &need.job) {
        (When::Wire, Some(Owner::Part(part)), Job::Terminal { terminal }) => {
            landings.contains(&Landing::Part { part, terminal: *terminal })
        }
        (When::Wire, ..) => false,
        _ => step.adds.contains(&need.subject),
    };
    let mut uses: Vec<&ToolUse> = Vec::new();
    for need in matter.geometry.access.needs.iter().filter(|n| n.when == when).filter(wanted) {
        uses.extend(way_uses(need));
    }
    uses.retain(|u| step.face.is_none_or(|f| f == u.face));
    if uses.len() > MOST_TOOLS { Vec::new() } else { uses }
}

fn ends_of(matter: &Matter<'_>, wire: WireId) -> [Landing; 2] {
    let w = &matter.robot.wires[wire.0];
    [w.from, w.to]
}

/// The labels of one picture, with their places.
#[derive(Default)]
pub struct Labels {
    wishes: Vec<Wish>,
    quiet: Vec<bool>,
    placed: Vec<Placed>,
    /// What the numbers stand for; empty when names are written out.
    pub keys: Vec<String>,
}

impl Labels {
    /// A name at each of some places, those that find room; nothing is written over `marks`.
    pub fn at(sheet: &Sheet, points: &[(String, Spot)], marks: &[Block]) -> Self {
        let u = sheet.look.per_mm;
        let mut labels = Self::default();
        let mut placer = Placer::new(sheet.room(), 0.6 * u);
        for mark in marks {
            placer.keep_off(*mark);
        }
        for (name, at) in points {
            let forms = forms(name, sheet.size(), 34.0 * u, None);
            labels.want(Wish { target: *at, home: None, forms }, false);
        }
        for (i, wish) in labels.wishes.iter().enumerate() {
            labels.placed.extend(placer.near(i, wish, &[10.0 * u, 24.0 * u]));
        }
        labels
    }

    /// Boxes of all labels.
    pub fn blocks(&self) -> Vec<Block> {
        self.placed.iter().map(|p| p.block).collect()
    }

    /// Draws them: leaders first.
    pub fn paint(&self, canvas: &mut Canvas, sheet: &Sheet) {
        let u = sheet.look.per_mm;
        let p = sheet.look.palette();
        canvas.group("labels");
        let rim = Ink::line(p.board, 4.0 * weight::DIMENSION * u);
        for placed in self.placed.iter().filter(|l| l.leader.len() > 1) {
            // Up to the edge of the thing: its inside is small enough as it is.
            let (end, target) = (placed.leader[0], placed.leader[1]);
            let tip = self.wishes[placed.wish].home.map_or(target, |home| home.nearest(end));
            canvas.line(end, tip, rim);
            canvas.line(end, tip, sheet.look.dimension());
        }
        for placed in &self.placed {
            let form = &self.wishes[placed.wish].forms[placed.form];
            if self.keys.is_empty() || self.quiet[placed.wish] {
                let colour = if self.quiet[placed.wish] { p.quiet } else { p.ink };
                let set = Type::new(sheet.size(), colour).rimmed(p.board);
                paint_name(canvas, placed.block.centre(), form, set);
            } else {
                number(canvas, sheet, placed.block.centre(), &form.lines[0]);
            }
        }
        canvas.end();
    }
}

/// A number in a ring of the accent colour.
fn number(canvas: &mut Canvas, sheet: &Sheet, at: Spot, digits: &str) {
    let u = sheet.look.per_mm;
    let p = sheet.look.palette();
    let ring = Ink::line(p.accent, weight::DETAIL * u).filled(p.paper);
    canvas.circle(at, number_radius(digits, sheet), ring);
    let size = 0.9 * sheet.size();
    canvas.text(
        Spot::new(at.x, at.y + 0.32 * size),
        digits,
        Type::new(size, p.accent).centred().strong(),
    );
}

fn number_radius(digits: &str, sheet: &Sheet) -> f64 {
    let u = sheet.look.per_mm;
    (text::width(digits, 0.9 * sheet.size()) / 2.0 + 0.5 * u).max(2.0 * u)
}

/// Places a name at each new thing; when not all find room, numbers instead, and quiet names where the new
/// wires end.
pub fn place(matter: &Matter<'_>, scene: &Scene<'_>, sheet: &Sheet) -> Labels {
    let targets = targets(matter, scene, sheet);
    if targets.len() <= MOST_NAMES {
        let mut labels = Labels::default();
        for (name, home) in &targets {
            labels.want(name_wish(name, *home, sheet), false);
        }
        let count = labels.wishes.len();
        labels.want_ends(matter, scene, sheet);
        labels.settle(matter, scene, sheet);
        if labels.placed.iter().filter(|p| p.wish < count).count() == count {
            return labels;
        }
    }
    let mut labels = Labels::default();
    for (i, (name, home)) in targets.iter().enumerate() {
        let digits = (i + 1).to_string();
        let side = 2.0 * number_radius(&digits, sheet);
        let form = Form { lines: vec![digits], width: side, height: side, upright: false };
        labels.want(Wish { target: home.centre(), home: Some(*home), forms: vec![form] }, false);
        labels.keys.push(name.clone());
    }
    labels.settle(matter, scene, sheet);
    labels
}

/// The new things with a place of their own on the sheet.
fn targets(matter: &Matter<'_>, scene: &Scene<'_>, sheet: &Sheet) -> Vec<(String, Block)> {
    let each = scene.added.iter().filter_map(|subject| {
        let block = match subject {
            Subject::Pass(name) => {
                let board = matter.robot.board.as_ref()?;
                let at = board.passes.iter().find(|p| p.name == *name)?.at;
                Block::around(sheet.view.spot(at), 1.0, 1.0)
            }
            Subject::BoardMount(name) => {
                let board = matter.robot.board.as_ref()?;
                let at = board.mounts.iter().find(|m| m.name == *name)?.at;
                Block::around(sheet.view.spot(at), 1.0, 1.0)
            }
            other => Block::over(shape_of(matter, sheet, other)?.0)?,
        };
        Some((subject.name().to_owned(), block))
    });
    each.collect()
}

fn name_wish(name: &str, home: Block, sheet: &Sheet) -> Wish {
    let u = sheet.look.per_mm;
    let forms = forms(name, sheet.size(), 34.0 * u, Some(home));
    Wish { target: home.centre(), home: Some(home), forms }
}

impl Labels {
    fn want(&mut self, wish: Wish, quiet: bool) {
        self.wishes.push(wish);
        self.quiet.push(quiet);
    }

    /// The parts and plugs where the new wires end, each once.
    fn want_ends(&mut self, matter: &Matter<'_>, scene: &Scene<'_>, sheet: &Sheet) {
        let mut seen: BTreeSet<String> = BTreeSet::new();
        for wire in scene.wires {
            for subject in landings(matter, *wire) {
                if scene.added.contains(&subject) || !seen.insert(subject.name().to_owned()) {
                    continue;
                }
                let Some((shape, face)) = shape_of(matter, sheet, &subject) else { continue };
                let Some(home) = Block::over(shape).filter(|_| is_near(sheet.view, face)) else {
                    continue;
                };
                self.want(name_wish(subject.name(), home, sheet), true);
            }
        }
    }

    fn settle(&mut self, matter: &Matter<'_>, scene: &Scene<'_>, sheet: &Sheet) {
        let u = sheet.look.per_mm;
        let mut placer = Placer::new(sheet.room(), 0.6 * u);
        for subject in scene.there.iter().chain(scene.added) {
            let Some((shape, face)) = shape_of(matter, sheet, subject) else { continue };
            if let Some(block) = Block::over(shape).filter(|_| is_near(sheet.view, face)) {
                placer.rather_not(block, if scene.added.contains(subject) { 0.6 / u } else { 0.1 / u });
            }
        }
        for wire in scene.wires {
            for spot in wire_ends(matter, sheet, *wire) {
                placer.rather_not(Block::around(spot, 3.0 * u, 3.0 * u), 1.0 / u);
            }
        }
        for i in 0..self.wishes.len() {
            let wish = &self.wishes[i];
            let reaches: &[f64] = if self.quiet[i] { &[] } else { &[14.0, 30.0] };
            let reaches: Vec<f64> = reaches.iter().map(|r| r * u).collect();
            let found = placer.within(i, wish).or_else(|| placer.near(i, wish, &reaches));
            self.placed.extend(found);
        }
    }
}

/// The parts and plugs on the board that a wire lands on.
fn landings(matter: &Matter<'_>, wire: WireId) -> Vec<Subject> {
    let robot = matter.robot;
    let each = ends_of(matter, wire).into_iter().filter_map(|landing| match landing {
        Landing::Part { part, .. } => {
            let part = &robot.parts[part.0];
            matches!(part.place, Place::Board(_)).then(|| Subject::Part(part.name.clone()))
        }
        Landing::Plug { plug, .. } => Some(Subject::Plug(robot.plugs[plug.0].name.clone())),
    });
    each.collect()
}
