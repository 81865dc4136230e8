//! There is no room for a wire's stiff end in front of a terminal.

use super::layout::{Layout, Solid};
use super::plug_blocked::first_touch;
use super::{marks, mm};
use crate::access::Blocker;
use crate::bend::Bend;
use crate::shape::{Convex, along, direction};
use loomdeck_model::part_type::Exit;
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Edit, EditValue, Finding, Mark, Outline, Page, Point, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "terminal-exit-blocked",
    severity: Severity::Fix,
    title: "No room for a wire's end in front of a terminal",
    physics: "In front of a terminal stands the stiff end of the wire, its ferrule, lug or boot; behind a crimp \
        the wire stays straight for its own thickness, and then it needs its thickness once more to get \
        away at all. The free length is measured along the exit, over the width of the wire, to the next part \
        that is tall enough to be in the way. With less than that the wire cannot be put in. Room for a \
        gentle bend is another finding.",
    source: "Lengths of ends as the part types state them; one thickness straight behind a crimp: common \
        practice, no source.",
    limits: "Tools are not looked at here.",
    before: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [75, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.right\"\nsize_mm2 = 1.5\n"
    ),
    after: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [88, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.right\"\nsize_mm2 = 1.5\n"
    ),
};

/// Looks at every wire end in use on the board.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    for bend in &layout.geometry.bends {
        let least = least(bend);
        if let Some((free, by)) = free_ahead(layout, bend, least) {
            out.extend(finding(layout, bend, free, least, by));
        }
    }
}

/// Stiff end, straight, and the wire's thickness to get away.
fn least(bend: &Bend) -> f64 {
    (bend.stiff() + bend.diameter).0
}

/// The wire cannot be put in at all.
pub fn stiff_end_is_blocked(layout: &Layout, bend: &Bend) -> bool {
    free_ahead(layout, bend, least(bend)).is_some()
}

/// What stands next along the exit of a wire that leaves along the face, within a length, and how far.
pub fn free_ahead<'l, 'a>(
    layout: &'l Layout<'a>,
    bend: &Bend,
    length: f64,
) -> Option<(f64, &'l Solid<'a>)> {
    let Exit::Along(angle) = bend.exit else { return None };
    let way = direction(angle.0);
    let (d, z) = (bend.diameter.0, bend.height.0);
    let side = Point::new(-way.y * d / 2.0, way.x * d / 2.0);
    let far = along(bend.at, way, length);
    let strip = Convex::new(vec![
        along(bend.at, side, -1.0),
        along(far, side, -1.0),
        along(far, side, 1.0),
        along(bend.at, side, 1.0),
    ]);
    let outline = Outline(strip.corners.clone());
    layout
        .near(bend.face, &outline, 0.0)
        .into_iter()
        .filter(|o| o.body.owner != bend.owner && o.body.top.0 > z - d / 2.0)
        .filter(|o| o.body.base.0 < z + d / 2.0)
        .filter(|o| o.pieces.iter().any(|p| p.overlaps(&strip)))
        .map(|o| (first_touch(&o.pieces, &strip, bend.at, way), o))
        .reduce(|a, b| if b.0 < a.0 { b } else { a })
}

fn finding(layout: &Layout, bend: &Bend, free: f64, need: f64, by: &Solid) -> Option<Finding> {
    let wire = &layout.robot.wires[bend.wire.0];
    let place = layout.robot.landing_word(if bend.from_end { wire.from } else { wire.to });
    let subject = crate::faces::subject(layout.robot, bend.owner);
    let what = format!(
        "{} leaves {} free in front of {place}; the end of {} needs {}.",
        by.name(),
        mm(free),
        wire.name,
        mm(need)
    );
    let why = format!(
        "The end is {} long, and the wire, {} thick, must get away from it.",
        mm(bend.boot.0),
        mm(bend.diameter.0)
    );
    let short = need - free;
    let Exit::Along(angle) = bend.exit else { return None };
    let way = direction(angle.0);
    let mut f = Finding::new(PAGE.slug, PAGE.severity, subject.clone(), what, why, PAGE.source)
        .with_subject(by.subject.clone())
        .with_subject(Subject::Wire(wire.name.clone()))
        .with_value("free_mm", free)
        .with_limit("free_mm", need)
        .with_spot(bend.face, bend.at)
        .with_marks(mark(layout, bend, need, free, by));
    if bend.trim_saves.is_some_and(|saves| saves.0 >= short) {
        let key = if bend.from_end { "trim_from" } else { "trim_to" };
        let on = Subject::Wire(wire.name.clone());
        let edit = Edit::Set { on, key: key.into(), value: EditValue::Flag(true) };
        f.remedies.push(Remedy::edit(format!("Trim the boot at {place}."), vec![edit]));
    }
    let own = layout.solid(&subject)?;
    // Room for the bend as well, where it can be had.
    let gentle = short + (bend.need().0 - need);
    let moves = |far: f64| vec![(own, Point::new(-way.x, -way.y), far), (by, way, far)];
    f.remedies.extend(layout.best_move(moves(gentle)).or_else(|| layout.best_move(moves(short))));
    if f.remedies.is_empty() {
        f.remedies.push(Remedy::advice(format!(
            "Make {} more room between {} and {}, or turn one of them.",
            mm(short),
            own.name(),
            by.name()
        )));
    }
    Some(f)
}

/// The strip that the end needs, and the free stretch in it.
fn mark(layout: &Layout, bend: &Bend, need: f64, free: f64, by: &Solid) -> Vec<Mark> {
    let Exit::Along(angle) = bend.exit else { return Vec::new() };
    let way = direction(angle.0);
    let (z, half) = (bend.height.0, bend.diameter.0 / 2.0);
    let strip = crate::access::sweep::strip(bend.at, way, 0.0, need, bend.diameter.0);
    let space = crate::access::sweep::prism(strip, z - half, z + half);
    let blocker = Blocker { by: by.subject.clone(), overlap: Millimetres(need - free), stays: false };
    let mut out = marks::taken(layout, bend.face, &[space], &[blocker], "");
    if free > 0.05 {
        out.push(marks::span(bend.face, bend.at, along(bend.at, way, free), marks::length(free)));
    }
    out
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};
    use loomdeck_model::Severity;

    #[test]
    fn free_length_is_from_the_terminal() {
        let (robot, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "terminal-exit-blocked").unwrap();
        // Terminal at x = 68, the other box from x = 75.
        assert!((f.values["free_mm"] - 7.0).abs() < 1e-4);
        let d = robot.wires[0].insulation.outside_diameter(robot.wires[0].gauge).0;
        // Boot 5 of a ring, one diameter straight behind it and one to get away.
        assert!((f.limits["free_mm"] - (5.0 + 2.0 * d)).abs() < 1e-9);
        assert_eq!(f.severity, Severity::Fix);
    }

    #[test]
    fn a_low_neighbour_is_not_in_the_way() {
        let text = super::PAGE
            .before
            .replace("height_mm = 8\nexit = \"right\"", "height_mm = 24\nexit = \"right\"");
        assert_eq!(count(&text, "terminal-exit-blocked"), 0);
    }
}
