//! Around the board: dimension marks, datum, scale bar and title.

use super::names::Names;
use super::view::{Look, Matter, View};
use crate::labels::Block;
use crate::svg::{Canvas, Ink, Spot};
use crate::text;
use crate::words;
use loomdeck_model::LengthUnit;
use loomdeck_model::units::{MM_PER_INCH, three_digits};

/// Title of a drawing, for readers that cannot see it.
pub fn title(matter: &Matter<'_>, view: View) -> String {
    format!("{}: {}", matter.robot.name, view.words())
}

/// The rectangle that the drawing needs.
pub fn extent(matter: &Matter<'_>, look: Look, bounds: Block, names: &Names) -> Block {
    let u = look.per_mm;
    if look.bare {
        return names.drawn.grown(2.0 * u);
    }
    let blocks = names.blocks();
    let corners = blocks.iter().flat_map(|b| [b.low, b.high]);
    let all =
        Block::over([names.drawn.low, names.drawn.high].into_iter().chain(corners)).unwrap_or(bounds);
    let low = Spot::new(all.low.x.min(names.drawn.low.x - 14.0 * u), all.low.y);
    let high = Spot::new(all.high.x, all.high.y.max(names.drawn.high.y + 9.0 * u) + 11.0 * u);
    let head = text::width(&matter.robot.name, look.size()).max(60.0 * u);
    let needs = head + 62.0 * u - (high.x - low.x);
    let wider = needs.max(0.0) / 2.0;
    Block::new(Spot::new(low.x - wider, low.y), Spot::new(high.x + wider, high.y)).grown(3.0 * u)
}

/// The paper.
pub fn ground(canvas: &mut Canvas, look: Look, extent: Block) {
    canvas.rectangle(extent.low, extent.high, 0.0, Ink::fill(look.palette().paper));
}

/// Dimension marks, datum, scale bar and title.
pub fn marks(
    canvas: &mut Canvas,
    matter: &Matter<'_>,
    view: View,
    look: Look,
    bounds: Block,
    extent: Block,
) {
    let u = look.per_mm;
    let unit = matter.robot.book.unit;
    if look.bare {
        return;
    }
    canvas.group("marks");
    // The marks stand clear of plugs on tails, which reach beyond the edge.
    let drawn = super::names::with_plugs(matter, view, bounds);
    level(canvas, look, bounds, drawn.high.y + 6.0 * u, &words::length(bounds.width(), unit));
    upright(canvas, look, bounds, drawn.low.x - 6.0 * u, &words::length(bounds.height(), unit));
    datum(canvas, matter, view, look);

    let base = extent.high.y - 4.0 * u;
    scale_bar(canvas, look, Spot::new(extent.low.x + 4.0 * u, base), unit);
    let right = Spot::new(extent.high.x - 4.0 * u, base);
    let name = text::cut_if_longer(&matter.robot.name, look.size(), extent.width() - 66.0 * u);
    canvas.text(
        Spot::new(right.x, right.y - 1.3 * look.size()),
        &name,
        look.type_main().ending().strong(),
    );
    canvas.text(right, view.words(), look.type_quiet().ending());
    canvas.end();
}

fn level(canvas: &mut Canvas, look: Look, bounds: Block, y: f64, label: &str) {
    let u = look.per_mm;
    for x in [bounds.low.x, bounds.high.x] {
        canvas.line(Spot::new(x, bounds.high.y + u), Spot::new(x, y + 2.0 * u), look.dimension());
        slash(canvas, look, Spot::new(x, y));
    }
    canvas.line(Spot::new(bounds.low.x, y), Spot::new(bounds.high.x, y), look.dimension());
    let at = Spot::new(bounds.centre().x, y + 0.32 * look.size());
    canvas.text(at, label, look.type_quiet().centred().rimmed(look.palette().paper));
}

fn upright(canvas: &mut Canvas, look: Look, bounds: Block, x: f64, label: &str) {
    let u = look.per_mm;
    for y in [bounds.low.y, bounds.high.y] {
        canvas.line(Spot::new(bounds.low.x - u, y), Spot::new(x - 2.0 * u, y), look.dimension());
        slash(canvas, look, Spot::new(x, y));
    }
    canvas.line(Spot::new(x, bounds.low.y), Spot::new(x, bounds.high.y), look.dimension());
    let at = Spot::new(x + 0.32 * look.size(), bounds.centre().y);
    canvas.text(at, label, look.type_quiet().centred().upwards().rimmed(look.palette().paper));
}

fn slash(canvas: &mut Canvas, look: Look, at: Spot) {
    let r = 1.2 * look.per_mm;
    let (a, b) = (Spot::new(at.x - r, at.y + r), Spot::new(at.x + r, at.y - r));
    canvas.line(
        a,
        b,
        Ink { line: look.detail().line.map(|(_, w)| (look.palette().quiet, w)), ..look.detail() },
    );
}

/// A filled quarter circle in the corner from which the hole table measures.
fn datum(canvas: &mut Canvas, matter: &Matter<'_>, view: View, look: Look) {
    if matter.making.holes.is_empty() {
        return;
    }
    let d = &matter.making.datum;
    let at = view.spot(d.at);
    let inwards = |flipped: bool| if flipped { -1.0 } else { 1.0 };
    let mirror = if view.near() == loomdeck_model::Face::Back { -1.0 } else { 1.0 };
    let (dx, dy) = (inwards(d.from_right) * mirror, -inwards(d.from_top));
    let r = 4.0 * look.per_mm;
    let mut path = crate::svg::Outliner::default();
    path.start(at);
    path.to(Spot::new(at.x + dx * r, at.y));
    path.arc(r, dx * dy > 0.0, Spot::new(at.x, at.y + dy * r));
    path.close();
    canvas.path(&path.finish(), Ink::fill(look.palette().accent));
}

/// A bar of a round length, about 40 mm on paper.
fn scale_bar(canvas: &mut Canvas, look: Look, at: Spot, unit: LengthUnit) {
    let u = look.per_mm;
    let (one, name) = match unit {
        LengthUnit::Mm => (1.0, "mm"),
        LengthUnit::Inch => (MM_PER_INCH, "in"),
    };
    let wanted = 40.0 * u / one;
    let power = 10f64.powf(wanted.log10().floor());
    let length = [5.0, 2.0, 1.0].into_iter().map(|m| m * power).find(|l| *l <= wanted).unwrap_or(power);
    let cell = length * one / 4.0;
    let (top, bottom) = (at.y - 1.6 * u, at.y);
    for i in 0..4 {
        let x = at.x + cell * f64::from(i);
        let ink = if i % 2 == 0 { look.detail().filled(look.palette().ink) } else { look.detail() };
        canvas.rectangle(Spot::new(x, top), Spot::new(x + cell, bottom), 0.0, ink);
    }
    let label = format!("{}\u{2009}{name}", three_digits(length));
    canvas.text(Spot::new(at.x + 4.0 * cell + 1.5 * u, at.y), &label, look.type_quiet());
    canvas.text(Spot::new(at.x, top - 1.2 * u), "0", look.type_quiet().centred());
}
