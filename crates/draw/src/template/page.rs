//! One page of a template.

use super::tiles::{OVERLAP, Tile, margin};
use super::{Page, Template, mark_reach, shows_on, size, worked_from};
use crate::face::Look;
use crate::labels::Block;
use crate::svg::{Canvas, Ink, Spot, Type, weight};
use crate::text;
use loomdeck_make::bit::Bit;
use loomdeck_make::{Hole, HoleShape, Work};
use loomdeck_model::units::MM_PER_INCH;
use loomdeck_model::{Face, LengthUnit, Point};

const LOOK: Look = Look::full_size(crate::palette::Theme::Paper);

/// Side of the calibration square, mm, and what it is called.
pub const fn square(unit: LengthUnit) -> (f64, &'static str) {
    match unit {
        LengthUnit::Mm => (100.0, "100\u{2009}mm"),
        LengthUnit::Inch => (4.0 * MM_PER_INCH, "4\u{2009}in"),
    }
}

/// The longest calibration line that fits: a whole number of 50 mm, or of inches.
fn calibration_length(room: f64, unit: LengthUnit) -> (f64, String, f64) {
    match unit {
        LengthUnit::Mm => {
            let n = (room / 50.0).floor().max(1.0) * 50.0;
            (n, format!("{n}\u{2009}mm"), 10.0)
        }
        LengthUnit::Inch => {
            let n = (room / MM_PER_INCH).floor().max(1.0);
            (n * MM_PER_INCH, format!("{n}\u{2009}in"), MM_PER_INCH / 2.0)
        }
    }
}

fn blank(template: &Template<'_>, title: &str) -> Canvas {
    let s = template.tiling.sheet;
    Canvas::new(Spot::new(0.0, 0.0), Spot::new(s.width, s.height), title)
}

fn face_words(face: Face) -> &'static str {
    match face {
        Face::Front => "Front template",
        Face::Back => "Back template, mirrored as you see the back",
    }
}

fn heading(canvas: &mut Canvas, template: &Template<'_>, right: &str) {
    let p = LOOK.palette();
    let s = template.tiling.sheet;
    let at = Spot::new(margin::LEFT, 12.0);
    let set = Type::new(size() * 1.15, p.ink).strong();
    canvas.text(at, face_words(template.face), set);
    canvas.text(Spot::new(s.width - margin::RIGHT, 12.0), right, Type::new(size(), p.quiet).ending());
}

/// The page with the square, the plan of the sheets and what to do.
pub fn calibration_page(template: &Template<'_>) -> Page {
    let title = format!("{}: check the printer first", face_words(template.face));
    let mut canvas = blank(template, &title);
    let (sheet, p) = (template.tiling.sheet, LOOK.palette());
    heading(&mut canvas, template, "Check the printer first");
    let (side, called) = square(template.unit());
    let low = Spot::new(margin::LEFT + 6.0, margin::TOP + 10.0);
    canvas.group("calibration-square");
    canvas.rectangle(low, Spot::new(low.x + side, low.y + side), 0.0, LOOK.detail());
    canvas.end();
    let centre = Spot::new(low.x + side / 2.0, low.y + side / 2.0);
    canvas.text(Spot::new(centre.x, centre.y - 1.0), called, Type::new(size(), p.ink).centred());
    let second = "in both directions";
    canvas.text(Spot::new(centre.x, centre.y + 5.0), second, Type::new(size(), p.quiet).centred());

    let level = sheet.width > sheet.height;
    let (plan_at, plan_room, text_at, text_room) = if level {
        let x = low.x + side + 16.0;
        let wide = sheet.width - margin::RIGHT - x;
        (Spot::new(low.x, low.y + side + 14.0), (side, 42.0), Spot::new(x, low.y + 4.0), wide)
    } else {
        let y = low.y + side + 14.0;
        let wide = sheet.width - margin::RIGHT - low.x;
        (Spot::new(low.x + side + 14.0, low.y), (56.0, side), Spot::new(low.x, y), wide)
    };
    plan(&mut canvas, template, plan_at, plan_room);
    let mut y = text_at.y;
    for paragraph in instructions(template) {
        for line in text::wrap_or_cut(&paragraph, size(), text_room, 12) {
            canvas.text(Spot::new(text_at.x, y), &line, Type::new(size(), p.ink));
            y += size() * 1.25;
        }
        y += size() * 0.6;
    }
    calibration_lines(&mut canvas, template);
    Page { svg: canvas.finish(), sheet, title }
}

fn instructions(template: &Template<'_>) -> Vec<String> {
    let (_, called) = square(template.unit());
    let mut all = vec![
        format!("Print at “actual size” or 100 %, never “fit to page”. Measure the square: each side must be {called}."),
        "Measure the long lines at the left and lower edge of a sheet. If one is off by more than 0.3 %, \
         print again with the scale corrected by what you measured."
            .to_owned(),
    ];
    if template.tiling.tiles.len() > 1 {
        all.push(
            "Cut each sheet along its dashed line, lay it on its neighbour so that the diamonds meet, \
             and tape it. The plan above shows how they lie."
                .to_owned(),
        );
    }
    match template.face {
        Face::Front => {
            all.push("Lay the drawn outline on the edges of the board and tape the template to the front. Mark every centre with an awl or punch through the paper, then drill by the drill plan; the hole table is what counts.".to_owned());
        }
        Face::Back => {
            let registration = template.matter.making.holes.iter().enumerate();
            let numbers: Vec<String> =
                registration.filter(|(_, h)| h.registration).map(|(i, _)| (i + 1).to_string()).collect();
            if !numbers.is_empty() {
                all.push(format!(
                    "Turn the board over about its upright edge. Lay this template so that holes {} (double rings), \
                     drilled from the front, lie under their marks; push a bit through each to hold it.",
                    numbers.join(" and ")
                ));
            }
            let drilled = template.matter.making.holes.iter().any(|h| h.side == Face::Back);
            if !drilled {
                all.push("No hole is drilled from this face. These sheets show where inserts, nuts and parts of the back go; to drill you do not need them.".to_owned());
            }
            all.push("Holes without a bit beside their number are already there: they only show that the sheet lies right.".to_owned());
        }
    }
    all
}

/// A small plan of the sheets.
fn plan(canvas: &mut Canvas, template: &Template<'_>, at: Spot, room: (f64, f64)) {
    let p = LOOK.palette();
    let corners = template.tiling.tiles.iter().flat_map(|t| [t.shows.low, t.shows.high]);
    let Some(all) = Block::over(corners) else { return };
    let scale = (room.0 / all.width()).min(room.1 / all.height());
    let small = |s: Spot| Spot::new(at.x + (s.x - all.low.x) * scale, at.y + (s.y - all.low.y) * scale);
    let outline: Vec<Spot> = template.outline.iter().map(|s| small(*s)).collect();
    canvas.group("plan");
    canvas.corners(&outline, true, LOOK.detail().filled(p.board));
    for tile in &template.tiling.tiles {
        canvas.rectangle(small(tile.shows.low), small(tile.shows.high), 0.0, LOOK.dimension());
        let c = small(tile.shows.centre());
        let set = Type::new(size(), p.quiet).centred();
        canvas.text(Spot::new(c.x, c.y + 0.32 * size()), &tile.name(), set);
    }
    canvas.end();
}

/// One sheet.
pub fn tile_page(template: &Template<'_>, tile: &Tile) -> Page {
    let face = match template.face {
        Face::Front => "Front",
        Face::Back => "Back",
    };
    let title = format!("{face} template, sheet {}", tile.name());
    let mut canvas = blank(template, &title);
    let sheet = template.tiling.sheet;
    let name = format!("{} · sheet {}", template.matter.robot.name, tile.name());
    heading(&mut canvas, template, &text::cut_if_longer(&name, size(), 110.0));
    let window = sheet.window();
    let shift = Spot::new(window.low.x - tile.shows.low.x, window.low.y - tile.shows.low.y);
    let paper = Shifted { template, shift, tile };
    canvas.clip(window.low, window.high);
    paper.board(&mut canvas);
    paper.openings(&mut canvas);
    paper.holes(&mut canvas);
    paper.labels(&mut canvas);
    canvas.end();
    paper.joints(&mut canvas, window);
    calibration_lines(&mut canvas, template);
    Page { svg: canvas.finish(), sheet, title }
}

/// The template as one sheet shows it.
struct Shifted<'a, 'b> {
    template: &'a Template<'b>,
    shift: Spot,
    tile: &'a Tile,
}

impl Shifted<'_, '_> {
    fn at(&self, s: Spot) -> Spot {
        Spot::new(s.x + self.shift.x, s.y + self.shift.y)
    }

    fn on_sheet(&self, centre: Spot, reach: f64) -> bool {
        let near = self.tile.shows.nearest(centre);
        near.distance(centre) <= reach
    }

    fn board(&self, canvas: &mut Canvas) {
        let corners: Vec<Spot> = self.template.outline.iter().map(|s| self.at(*s)).collect();
        canvas.group("outline");
        canvas.corners(&corners, true, LOOK.detail());
        canvas.end();
        canvas.group("footprints");
        let view = self.template.view;
        for part in &self.template.matter.robot.parts {
            if !crate::face::is_on(part, self.template.face) {
                continue;
            }
            let shape = crate::face::footprint(self.template.matter.robot, part, view);
            let shape: Vec<Spot> = shape.into_iter().map(|s| self.at(s)).collect();
            canvas.corners(&shape, true, LOOK.far());
        }
        canvas.end();
    }

    fn openings(&self, canvas: &mut Canvas) {
        canvas.group("openings");
        for hole in self.template.matter.making.holes.iter().filter(|h| h.is_sawn()) {
            let centre = self.template.view.spot(hole.at);
            if self.on_sheet(centre, hole.length().0 / 2.0 + hole.diameter().0 / 2.0) {
                let d = super::outline_of(self.template.view, hole, self.shift);
                canvas.path(&d, LOOK.detail());
            }
        }
        canvas.end();
    }

    fn holes(&self, canvas: &mut Canvas) {
        let holes = &self.template.matter.making.holes;
        canvas.group("holes");
        for (i, hole) in holes.iter().enumerate().filter(|(_, h)| shows_on(h, self.template.face)) {
            let centre = self.template.view.spot(hole.at);
            if self.on_sheet(centre, 2.0) {
                canvas.group_of("hole", &(i + 1).to_string());
                self.hole(canvas, hole, self.at(centre));
                canvas.end();
            } else if let HoleShape::Round(d) = hole.shape
                && self.on_sheet(centre, d.0 / 2.0)
            {
                canvas.circle(self.at(centre), d.0 / 2.0, LOOK.detail());
            }
        }
        canvas.end();
    }

    fn hole(&self, canvas: &mut Canvas, hole: &Hole, at: Spot) {
        let face = self.template.face;
        let ink = if worked_from(hole, face) { LOOK.detail() } else { LOOK.dimension() };
        let r = hole.diameter().0 / 2.0;
        if matches!(hole.shape, HoleShape::Round(_)) {
            canvas.circle(at, r, ink);
        }
        if hole.registration {
            canvas.circle(at, r + 1.2, LOOK.detail());
            canvas.circle(at, r + 2.0, LOOK.detail());
        }
        for work in &hole.work {
            match work {
                Work::Countersink { face: on, diameter, .. } if *on == face => {
                    canvas.circle(at, diameter.0 / 2.0, LOOK.detail().dashed(1.0, 0.8));
                }
                Work::Pocket { face: on, diameter, .. } if *on == face => {
                    canvas.circle(at, diameter.0 / 2.0, LOOK.detail().dashed(2.0, 0.8));
                }
                Work::EndHoles { bit, ends } => self.begun(canvas, *bit, ends),
                Work::CornerHoles { bit, corners, .. } => self.begun(canvas, *bit, corners),
                Work::EntryHole { bit, at } => self.begun(canvas, *bit, &[*at]),
                _ => {}
            }
        }
        crate::face::cross(canvas, at, mark_reach(hole), LOOK.dimension());
    }

    /// Holes from which an opening is sawn out.
    fn begun(&self, canvas: &mut Canvas, bit: Bit, at: &[Point]) {
        for p in at {
            let e = self.at(self.template.view.spot(*p));
            canvas.circle(e, bit.diameter().0 / 2.0, LOOK.detail());
            crate::face::cross(canvas, e, 2.5, LOOK.dimension());
        }
    }

    fn labels(&self, canvas: &mut Canvas) {
        canvas.group("labels");
        for (hole, placed, form) in &self.template.labels {
            let block = Block::new(self.at(placed.block.low), self.at(placed.block.high));
            if placed.block.overlap(self.tile.shows) <= 0.0 {
                continue;
            }
            if let [from, to] = placed.leader[..] {
                let hole = &self.template.matter.making.holes[*hole];
                let r = hole.diameter().0 / 2.0;
                let far = from.distance(to);
                // The leader ends at the rim, so that nothing blurs the centre.
                if far > r + 3.0 {
                    let rim = to.towards(from, (r + 1.0) / far);
                    canvas.line(self.at(from), self.at(rim), LOOK.dimension());
                }
            }
            let c = block.centre();
            let set = Type::new(size(), LOOK.palette().ink).centred();
            canvas.text(Spot::new(c.x, c.y + 0.32 * size()), &form.lines[0], set);
        }
        canvas.end();
    }

    /// Lines to cut along, crosses that must meet, and which sheet lies beyond.
    fn joints(&self, canvas: &mut Canvas, window: Block) {
        let p = LOOK.palette();
        canvas.group("joints");
        let corner = 6.0;
        for (x, y, dx, dy) in [
            (window.low.x, window.low.y, 1.0, 1.0),
            (window.high.x, window.low.y, -1.0, 1.0),
            (window.low.x, window.high.y, 1.0, -1.0),
            (window.high.x, window.high.y, -1.0, -1.0),
        ] {
            canvas.line(Spot::new(x, y), Spot::new(x + dx * corner, y), LOOK.dimension());
            canvas.line(Spot::new(x, y), Spot::new(x, y + dy * corner), LOOK.dimension());
        }
        let t = &self.template.tiling;
        let half = OVERLAP / 2.0;
        let next = |row: usize, column: usize| {
            t.tiles.iter().find(|n| n.row == row && n.column == column).map(Tile::name)
        };
        let (row, column) = (self.tile.row, self.tile.column);
        let upright = |x: f64| [Spot::new(x, window.low.y), Spot::new(x, window.high.y)];
        let level = |y: f64| [Spot::new(window.low.x, y), Spot::new(window.high.x, y)];
        let mut sides = Vec::new();
        if column > 0 {
            sides.push((upright(window.low.x + half), next(row, column - 1)));
        }
        if column + 1 < t.columns {
            sides.push((upright(window.high.x - half), next(row, column + 1)));
        }
        if row > 0 {
            sides.push((level(window.low.y + half), next(row - 1, column)));
        }
        if row + 1 < t.rows {
            sides.push((level(window.high.y - half), next(row + 1, column)));
        }
        let accent = Ink::line(p.accent, weight::DETAIL).dashed(3.0, 2.0);
        for ([a, b], name) in sides {
            canvas.line(a, b, accent);
            for part in [0.22, 0.78] {
                let c = a.towards(b, part);
                let ink = Ink::line(p.accent, weight::DETAIL);
                // Not a ring, which would look like a hole on paper without colours.
                crate::face::cross(canvas, c, 4.0, ink);
                let tip = |x: f64, y: f64| Spot::new(c.x + x, c.y + y);
                let diamond = [tip(2.6, 0.0), tip(0.0, 2.6), tip(-2.6, 0.0), tip(0.0, -2.6)];
                canvas.corners(&diamond, true, ink);
            }
            let c = a.towards(b, 0.36);
            let set = Type::new(size(), p.accent).centred().rimmed("#ffffff");
            let label = format!("sheet {}", name.unwrap_or_default());
            if (a.x - b.x).abs() < 1e-9 {
                canvas.text(Spot::new(c.x + 0.32 * size(), c.y), &label, set.upwards());
            } else {
                canvas.text(Spot::new(c.x, c.y + 0.32 * size()), &label, set);
            }
        }
        canvas.end();
    }
}

/// A line along the lower edge and one along the left edge, as long as the sheet allows.
fn calibration_lines(canvas: &mut Canvas, template: &Template<'_>) {
    let (sheet, unit, p) = (template.tiling.sheet, template.unit(), LOOK.palette());
    let window = sheet.window();
    canvas.group("calibration-lines");
    let (length, called, step) = calibration_length(window.width(), unit);
    let (x, y) = (window.low.x, sheet.height - 13.0);
    ruler(canvas, Spot::new(x, y), Spot::new(x + length, y), step);
    let note = format!("This line should be {called} long. It measures");
    canvas.text(Spot::new(x, y + 6.0), &note, Type::new(size(), p.quiet));
    let after = x + text::width(&note, size()) + 2.0;
    canvas.line(Spot::new(after, y + 6.5), Spot::new(after + 24.0, y + 6.5), LOOK.dimension());
    let (length, called, step) = calibration_length(window.height(), unit);
    let (x, y) = (8.0, window.high.y);
    ruler(canvas, Spot::new(x, y), Spot::new(x, y - length), step);
    let note = format!("should be {called}, measures");
    canvas.text(Spot::new(x + 5.2, y), &note, Type::new(size() * 0.9, p.quiet).upwards());
    let after = y - text::width(&note, size() * 0.9) - 2.0;
    canvas.line(Spot::new(x + 5.5, after), Spot::new(x + 5.5, after - 24.0), LOOK.dimension());
    canvas.end();
}

fn ruler(canvas: &mut Canvas, a: Spot, b: Spot, step: f64) {
    canvas.line(a, b, LOOK.detail());
    let length = a.distance(b);
    let count = (length / step).round() as usize;
    let across = Spot::new((b.y - a.y) / length, -(b.x - a.x) / length);
    for i in 0..=count {
        let c = a.towards(b, i as f64 / count as f64);
        let reach = if i == 0 || i == count { 2.5 } else { 1.0 };
        let tip = |s: f64| Spot::new(c.x + s * across.x * reach, c.y + s * across.y * reach);
        canvas.line(tip(-1.0), tip(1.0), LOOK.dimension());
    }
}
