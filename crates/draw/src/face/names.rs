//! Names and numbered tags: which there are, where they go, how they look.

use super::parts::{footprint, outward, placement, plug_shape};
use super::view::{Look, Matter, View};
use super::wires::middle;
use crate::labels::{Block, Column, Form, Placed, Placer, Wish};
use crate::svg::{Canvas, Ink, Spot, Type, weight};
use crate::text;
use loomdeck_model::{Face, Finding, PlugPlace, Point, Severity, Subject};
use loomdeck_space::Leg;
use std::collections::BTreeSet;

/// What a label says.
#[derive(Clone, Debug)]
enum Says {
    /// The name of a part, plug or loom, or where wires go.
    Name { quiet: bool },
    /// The number of a finding.
    Tag(Severity),
}

/// All labels of a drawing, with their places.
pub struct Names {
    wishes: Vec<Wish>,
    says: Vec<Says>,
    placed: Vec<Placed>,
    /// Board, plugs and arrows: what stands within the dimension marks.
    pub drawn: Block,
}

/// Where on the board a finding belongs: its own spot, else that of its first subject with one.
pub fn spot_of(matter: &Matter<'_>, finding: &Finding) -> Option<(Face, Point)> {
    finding.spot.or_else(|| finding.subjects.iter().find_map(|s| spot_of_subject(matter, s)))
}

fn spot_of_subject(matter: &Matter<'_>, subject: &Subject) -> Option<(Face, Point)> {
    let robot = matter.robot;
    match subject {
        Subject::Part(name) => {
            let part = robot.parts.iter().find(|p| p.name == *name)?;
            let place = placement(part)?;
            let (low, high) = robot.types[part.kind.0].outline.bounds();
            let centre = Point::new((low.x + high.x) / 2.0, (low.y + high.y) / 2.0);
            Some((place.face, place.to_board(centre)))
        }
        Subject::Plug(name) => {
            let plug = robot.plugs.iter().find(|p| p.name == *name)?;
            Some(match &plug.place {
                PlugPlace::Fixed(p) => (p.face, p.at),
                PlugPlace::Tail { face, at, .. } => (*face, *at),
            })
        }
        Subject::Wire(name) => middle(matter, robot.wire(name)?),
        Subject::Loom(name) => {
            let at = robot.looms.iter().position(|l| l.name == *name)?;
            let run = matter.geometry.looms.iter().find(|l| l.loom.0 == at)?;
            let s = run
                .trunk
                .iter()
                .max_by(|a, b| a.from.distance(a.to).total_cmp(&b.from.distance(b.to)))?;
            Some((s.face, Point::new((s.from.x + s.to.x) / 2.0, (s.from.y + s.to.y) / 2.0)))
        }
        Subject::Pass(name) => {
            let board = robot.board.as_ref()?;
            board.passes.iter().find(|p| p.name == *name).map(|p| (Face::Front, p.at))
        }
        Subject::BoardMount(name) => {
            let board = robot.board.as_ref()?;
            board.mounts.iter().find(|m| m.name == *name).map(|m| (Face::Front, m.at))
        }
        _ => None,
    }
}

/// Room around the letters of a label, as a share of their size.
const PAD: f64 = 0.22;

/// The shapes that a name may take: on one line, no wider than `most`; within its home also on several, or
/// reading upwards.
pub fn forms(name: &str, size: f64, most: f64, home: Option<Block>) -> Vec<Form> {
    let pad = PAD * size;
    let flat = |lines: Vec<String>| {
        let wide = lines.iter().map(|l| text::width(l, size)).fold(0.0, f64::max);
        let height = size * (0.95 + 1.1 * (lines.len() - 1) as f64);
        Form { width: wide + 2.0 * pad, height: height + pad, upright: false, lines }
    };
    let mut all = vec![flat(vec![text::cut_if_longer(name, size, most)])];
    if let Some(home) = home {
        for lines in 2..=3 {
            if let Some(cut) =
                text::wrap(name, size, home.width() - 4.0 * pad, lines).filter(|c| c.len() > 1)
            {
                all.push(flat(cut));
            }
        }
        let mut upright = all[0].clone();
        (upright.width, upright.height, upright.upright) = (upright.height, upright.width, true);
        all.push(upright);
        if let Some(cut) = text::wrap(name, size, home.height() - 4.0 * pad, 2).filter(|c| c.len() > 1) {
            let mut two = flat(cut);
            (two.width, two.height, two.upright) = (two.height, two.width, true);
            all.push(two);
        }
    }
    all
}

fn named(name: &str, look: Look, home: Option<Block>) -> Vec<Form> {
    forms(name, look.size(), 62.0 * look.per_mm, home)
}

fn tag_radius(number: usize, look: Look) -> f64 {
    let digits = number.to_string();
    (text::width(&digits, look.size() * 0.9) / 2.0 + 0.9 * look.per_mm).max(3.0 * look.per_mm)
}

/// Collects what wants a label and finds a place for each.
pub fn place(matter: &Matter<'_>, view: View, look: Look, bounds: Block) -> Names {
    let drawn = with_plugs(matter, view, bounds);
    let mut names = Names { wishes: Vec::new(), says: Vec::new(), placed: Vec::new(), drawn };
    // To the right and above there is paper to spare; to the left and below stand dimension marks.
    let u = look.per_mm;
    let room = Block::new(
        Spot::new(drawn.low.x + 0.5 * u, drawn.low.y - 7.0 * u),
        Spot::new(drawn.high.x + 9.0 * u, drawn.high.y - 0.5 * u),
    );
    let mut placer = Placer::new(room, 1.2 * u);
    if look.bare {
        return names;
    }
    spare_what_is_drawn(&mut placer, matter, view);
    // The lines from the board out to its dimension mark.
    for y in [bounds.low.y, bounds.high.y] {
        placer.spare_line(
            Spot::new(drawn.low.x - 8.0 * u, y),
            Spot::new(bounds.low.x, y),
            weight::OUTLINE,
        );
    }

    names.want_parts(matter, view, look);
    let parts = names.wishes.len();
    names.want_tags(matter, view, look);
    let tags = names.wishes.len();
    names.want_plugs(matter, view, look, &mut placer);
    let plugs = names.wishes.len();
    names.want_exits(matter, view, look, bounds);
    let exits = names.wishes.len();
    names.want_looms(matter, view, look);

    // Names at home first, the tightest homes first; then tags; then names on leaders.
    let mut order: Vec<usize> = (0..parts).chain(tags..plugs).collect();
    order.sort_by(|a, b| {
        let area = |i: usize| names.wishes[i].home.map_or(0.0, |h| h.width() * h.height());
        area(*a).total_cmp(&area(*b)).then(a.cmp(b))
    });
    let mut left: Vec<usize> = Vec::new();
    for i in order {
        match placer.within(i, &names.wishes[i]) {
            Some(p) => names.placed.push(p),
            None => left.push(i),
        }
    }
    for wish in &mut names.wishes[parts..] {
        wish.target = placer.step_aside(wish.target);
    }
    let mut far: Vec<usize> = Vec::new();
    left.sort_unstable();
    let rest = (parts..tags).map(|i| (i, 16.0)).chain(left.into_iter().map(|i| (i, 24.0)));
    for (i, reach) in rest.chain((plugs..names.wishes.len()).map(|i| (i, 18.0))) {
        let wish = &names.wishes[i];
        match placer.near(i, wish, &[reach * look.per_mm, 2.0 * reach * look.per_mm]) {
            Some(p) => names.placed.push(p),
            // A loom is told by its wires; its name is left out rather than hung far away.
            None if i < exits => far.push(i),
            None => {}
        }
    }
    names.columns(&far, look);
    names
}

/// Everything drawn that a label should rather not hide.
fn spare_what_is_drawn(placer: &mut Placer, matter: &Matter<'_>, view: View) {
    let edge = matter.robot.board.as_ref().map(|b| view.corners(&b.outline.0)).unwrap_or_default();
    spare_outline(placer, &edge);
    for plug in &matter.robot.plugs {
        if let Some((shape, _)) = plug_shape(matter, plug, view) {
            spare_outline(placer, &shape);
        }
    }
    for part in &matter.robot.parts {
        if placement(part).is_some_and(|p| p.face == view.near())
            && let Some(b) = Block::over(footprint(matter.robot, part, view))
        {
            placer.body(b, 0.15);
        }
    }
    for run in &matter.geometry.wires {
        for leg in &run.legs {
            if let Leg::Along { face, points, .. } = leg
                && *face == view.near()
            {
                let w = &matter.robot.wires[run.wire.0];
                let width = w.insulation.outside_diameter(w.gauge).0;
                for pair in points.windows(2) {
                    placer.spare_line(view.spot(pair[0]), view.spot(pair[1]), width);
                }
            }
        }
    }
    for hole in &matter.making.holes {
        let b = Block::around(view.spot(hole.at), hole.diameter().0, hole.diameter().0);
        placer.rather_not(b, 1.0);
    }
}

/// A closed line that is better not hidden.
fn spare_outline(placer: &mut Placer, corners: &[Spot]) {
    for i in 0..corners.len() {
        placer.spare_line(corners[i], corners[(i + 1) % corners.len()], weight::OUTLINE);
    }
}

impl Names {
    fn want(&mut self, wish: Wish, says: Says) {
        self.wishes.push(wish);
        self.says.push(says);
    }

    fn want_parts(&mut self, matter: &Matter<'_>, view: View, look: Look) {
        for part in &matter.robot.parts {
            if placement(part).is_none_or(|p| p.face != view.near()) {
                continue;
            }
            let Some(home) = Block::over(footprint(matter.robot, part, view)) else { continue };
            let forms = named(&part.name, look, Some(home));
            self.want(
                Wish { target: home.centre(), home: Some(home), forms },
                Says::Name { quiet: false },
            );
        }
    }

    fn want_tags(&mut self, matter: &Matter<'_>, view: View, look: Look) {
        for (i, finding) in matter.findings.iter().enumerate() {
            let Some((face, at)) = spot_of(matter, finding) else { continue };
            if !view.shows(face) {
                continue;
            }
            let side = 2.0 * tag_radius(i + 1, look);
            let form =
                Form { lines: vec![(i + 1).to_string()], width: side, height: side, upright: false };
            let wish = Wish { target: view.spot(at), home: None, forms: vec![form] };
            self.want(wish, Says::Tag(finding.severity));
        }
    }

    fn want_plugs(&mut self, matter: &Matter<'_>, view: View, look: Look, placer: &mut Placer) {
        for plug in &matter.robot.plugs {
            let face = match &plug.place {
                PlugPlace::Fixed(p) => p.face,
                PlugPlace::Tail { face, .. } => *face,
            };
            let Some((shape, middle)) = plug_shape(matter, plug, view) else { continue };
            let Some(home) = Block::over(shape) else { continue };
            placer.body(home, 0.5);
            if face == view.near() {
                let forms = named(&plug.name, look, Some(home));
                self.want(Wish { target: middle, home: Some(home), forms }, Says::Name { quiet: false });
            }
        }
    }

    /// Where wires leave the board for a zone without a plug.
    fn want_exits(&mut self, matter: &Matter<'_>, view: View, look: Look, bounds: Block) {
        let mut seen: BTreeSet<(usize, i64, i64)> = BTreeSet::new();
        for run in &matter.geometry.wires {
            let mut face = None;
            for pair in run.legs.windows(2) {
                for leg in pair {
                    if let Leg::Along { face: on, .. } = leg {
                        face = Some(*on);
                    }
                }
                let (tail, body) = (&pair[0], &pair[1]);
                let ends = match (tail, body) {
                    (Leg::Tail { at, .. }, Leg::Body { zone, .. })
                    | (Leg::Body { zone, .. }, Leg::Tail { at, .. }) => Some((*at, *zone)),
                    _ => None,
                };
                let Some((at, zone)) = ends else { continue };
                let key = (zone.0, (at.x * 10.0) as i64, (at.y * 10.0) as i64);
                let plugged = matter.robot.plugs.iter().any(|p| match &p.place {
                    PlugPlace::Tail { at: own, .. } => own.distance(at) < 0.1,
                    PlugPlace::Fixed(_) => false,
                });
                if plugged || face.is_some_and(|f| f != view.near()) || !seen.insert(key) {
                    continue;
                }
                let out = outward(bounds, view.spot(at));
                let start = view.spot(at);
                let tip =
                    Spot::new(start.x + 6.0 * look.per_mm * out.x, start.y + 6.0 * look.per_mm * out.y);
                self.drawn = union(self.drawn, Block::new(tip, tip));
                let name = format!("to {}", matter.robot.zones[zone.0].name);
                self.want(
                    Wish { target: start, home: None, forms: named(&name, look, None) },
                    Says::Name { quiet: true },
                );
            }
        }
    }

    fn want_looms(&mut self, matter: &Matter<'_>, view: View, look: Look) {
        for run in &matter.geometry.looms {
            let here = run.trunk.iter().filter(|s| s.face == view.near() && s.wires.len() > 1);
            let longest = here.max_by(|a, b| a.from.distance(a.to).total_cmp(&b.from.distance(b.to)));
            let Some(stretch) = longest else { continue };
            let target = view.spot(stretch.from).towards(view.spot(stretch.to), 0.5);
            let name = format!("{} loom", matter.robot.looms[run.loom.0].name);
            let wish = Wish { target, home: None, forms: named(&name, look, None) };
            self.want(wish, Says::Name { quiet: true });
        }
    }

    /// The rest goes beside the drawing, left or right as it lies, evenly.
    fn columns(&mut self, far: &[usize], look: Look) {
        if far.is_empty() {
            return;
        }
        let mut by_x: Vec<usize> = far.to_vec();
        by_x.sort_by(|a, b| {
            self.wishes[*a].target.x.total_cmp(&self.wishes[*b].target.x).then(a.cmp(b))
        });
        let middle = self.drawn.centre().x;
        let leaning_left = by_x.iter().filter(|i| self.wishes[**i].target.x < middle).count();
        // Neither side takes more than two labels over its half.
        let half = by_x.len().div_ceil(2);
        let split = leaning_left.clamp(half.saturating_sub(1), half + 1).min(by_x.len());
        for (right, group) in [(false, &by_x[..split]), (true, &by_x[split..])] {
            if group.is_empty() {
                continue;
            }
            let wishes: Vec<(usize, &Wish)> = group.iter().map(|i| (*i, &self.wishes[*i])).collect();
            let gap = 1.4 * look.per_mm;
            let needs: f64 = wishes.iter().map(|(_, w)| w.forms[0].height + gap).sum();
            let spare = ((needs - self.drawn.height()) / 2.0).max(0.0);
            let x = if right {
                self.drawn.high.x + 10.0 * look.per_mm
            } else {
                self.drawn.low.x - 18.0 * look.per_mm
            };
            let column = Column {
                x,
                right,
                top: self.drawn.low.y - spare,
                bottom: self.drawn.high.y + spare,
                gap,
                stub: 4.0 * look.per_mm,
            };
            let placed = column.place(&wishes);
            self.placed.extend(placed);
        }
    }

    /// Boxes of all labels.
    pub fn blocks(&self) -> Vec<Block> {
        self.placed.iter().map(|p| p.block).collect()
    }

    /// Draws them: leaders first, then boxes.
    pub fn paint(&self, canvas: &mut Canvas, look: Look) {
        canvas.group("labels");
        let rim = Ink::line(look.palette().board, 3.0 * weight::DIMENSION * look.per_mm);
        for p in self.placed.iter().filter(|p| p.leader.len() > 1) {
            canvas.corners(&p.leader, false, rim);
            canvas.corners(&p.leader, false, look.dimension());
            if let Some(tip) = p.leader.last() {
                canvas.circle(*tip, 0.45 * look.per_mm, Ink::fill(look.palette().quiet));
            }
        }
        for p in &self.placed {
            let form = &self.wishes[p.wish].forms[p.form];
            match self.says[p.wish] {
                Says::Name { quiet } => name(canvas, p, form, quiet, look),
                Says::Tag(severity) => tag(canvas, p.block.centre(), &form.lines[0], severity, look),
            }
        }
        canvas.end();
    }
}

fn name(canvas: &mut Canvas, placed: &Placed, form: &Form, quiet: bool, look: Look) {
    let set = if quiet { look.type_quiet().slanted() } else { look.type_main() };
    let ground = if placed.leader.len() > 2 { look.palette().paper } else { look.palette().board };
    paint_name(canvas, placed.block.centre(), form, set.rimmed(ground));
}

/// The lines of a form around its middle.
pub fn paint_name(canvas: &mut Canvas, middle: Spot, form: &Form, set: Type<'_>) {
    let (size, set) = (set.size, set.centred());
    let count = form.lines.len() as f64;
    for (i, line) in form.lines.iter().enumerate() {
        let shift = (i as f64 - (count - 1.0) / 2.0) * 1.1 * size + 0.32 * size;
        if form.upright {
            canvas.text(Spot::new(middle.x + shift, middle.y), line, set.upwards());
        } else {
            canvas.text(Spot::new(middle.x, middle.y + shift), line, set);
        }
    }
}

/// A numbered round tag. The ring tells the severity without colour: filled for danger, double for
/// fix, single for look, broken for note.
pub fn tag(canvas: &mut Canvas, at: Spot, number: &str, severity: Severity, look: Look) {
    let colour = look.theme.severity(severity);
    let ground = look.palette().paper;
    let r = (text::width(number, look.size() * 0.9) / 2.0 + 0.9 * look.per_mm).max(3.0 * look.per_mm);
    let ring = Ink::line(colour, 2.0 * weight::DETAIL * look.per_mm).filled(ground);
    let mut letters = colour;
    match severity {
        Severity::Danger => {
            canvas.circle(at, r, Ink::fill(colour));
            letters = ground;
        }
        Severity::Fix => {
            canvas.circle(at, r - 0.25 * look.per_mm, ring);
            let inner = Ink::line(colour, weight::DETAIL * look.per_mm);
            canvas.circle(at, r - 0.85 * look.per_mm, inner);
        }
        Severity::Look => canvas.circle(at, r - 0.25 * look.per_mm, ring),
        Severity::Note => {
            canvas.circle(at, r - 0.25 * look.per_mm, ring.dashed(0.9 * look.per_mm, 0.7 * look.per_mm));
        }
    }
    let size = look.size() * if severity == Severity::Fix { 0.8 } else { 0.9 };
    let set = Type::new(size, letters).centred().strong();
    canvas.text(Spot::new(at.x, at.y + 0.32 * size), number, set);
}

/// The board with the plugs that reach beyond its edge.
pub fn with_plugs(matter: &Matter<'_>, view: View, bounds: Block) -> Block {
    let shapes = matter.robot.plugs.iter().filter_map(|p| plug_shape(matter, p, view));
    let corners = shapes.flat_map(|(shape, _)| shape).chain([bounds.low, bounds.high]);
    Block::over(corners).unwrap_or(bounds)
}

fn union(a: Block, b: Block) -> Block {
    Block::over([a.low, a.high, b.low, b.high]).unwrap_or(a)
}
