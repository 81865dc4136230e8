//! There is no room for a wire's end and its bend in front of a terminal.

use super::layout::{Layout, Solid};
use super::mm;
use super::plug_blocked::first_touch;
use crate::geometry::TerminalSpot;
use crate::shape::{Convex, along, direction};
use loomdeck_model::part_type::Exit;
use loomdeck_model::{
    Finding, Landing, Outline, Page, PartId, Point, Remedy, Severity, Subject, WireId,
};
use std::collections::BTreeMap;

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "terminal-exit-blocked",
    severity: Severity::Fix,
    title: "No room for a wire's end and bend in front of a terminal",
    physics: "In front of a terminal stands the stiff end of the wire, its ferrule, lug or boot, and then the \
        wire bends away. It needs the length of the boot and one bend radius, three times its outside \
        diameter. The free length is measured along the exit, over the width of the wire, to the next \
        part that is tall enough to be in the way. Less than the boot and one diameter and the wire \
        cannot be put in at all; less than the bend and it is kinked.",
    source: "FAA AC 43.13-1B, 11-96: bend radius of at least three diameters at terminal strips where the \
        wire is supported (from memory).",
    limits: "The bend is taken to start where the boot ends. Tools are not looked at. Silicone wire bends \
        tighter than this, solid wire less.",
    before: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [75, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.right\"\nsize_mm2 = 1.5\n"
    ),
    after: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [84, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.right\"\nsize_mm2 = 1.5\n"
    ),
};

/// Bend radius at a terminal, in outside diameters.
const BEND: f64 = 3.0;

/// Looks at every wired terminal on the board, with its thickest wire.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    let mut thickest: BTreeMap<(PartId, usize), (f64, WireId)> = BTreeMap::new();
    for (i, w) in layout.robot.wires.iter().enumerate() {
        let d = w.insulation.outside_diameter(w.gauge).0;
        for landing in [w.from, w.to] {
            if let Landing::Part { part, terminal } = landing {
                let known = thickest.entry((part, terminal)).or_insert((d, WireId(i)));
                if d > known.0 {
                    *known = (d, WireId(i));
                }
            }
        }
    }
    for s in layout.all() {
        let crate::geometry::Owner::Part(part) = s.body.owner else { continue };
        for t in &s.body.terminals {
            if let Some((d, wire)) = thickest.get(&(part, t.terminal)) {
                out.extend(look(layout, s, part, t, *d, *wire));
            }
        }
    }
}

fn look(
    layout: &Layout,
    s: &Solid,
    part: PartId,
    t: &TerminalSpot,
    d: f64,
    wire: WireId,
) -> Option<Finding> {
    let Exit::Along(angle) = t.exit else { return None };
    let way = direction(angle.0);
    let terminal = &layout.robot.type_of(part).terminals[t.terminal];
    let need = terminal.boot.0 + BEND * d;
    let side = Point::new(-way.y * d / 2.0, way.x * d / 2.0);
    let far = along(t.at, way, need);
    let strip = Convex::new(vec![
        along(t.at, side, -1.0),
        along(far, side, -1.0),
        along(far, side, 1.0),
        along(t.at, side, 1.0),
    ]);
    let outline = Outline(strip.corners.clone());
    let (free, by) = layout
        .near(s.face, &outline, 0.0)
        .into_iter()
        .filter(|o| o.body.owner != s.body.owner && o.body.top.0 > t.height.0 - d / 2.0)
        .filter(|o| o.body.base.0 < t.height.0 + d / 2.0)
        .filter(|o| o.pieces.iter().any(|p| p.overlaps(&strip)))
        .map(|o| (first_touch(&o.pieces, &strip, t.at, way), o))
        .reduce(|a, b| if b.0 < a.0 { b } else { a })?;
    let least = terminal.boot.0 + d;
    let severity = if free < least { Severity::Fix } else { Severity::Look };
    let what = format!(
        "{} leaves {} free in front of {}.{}; {} needs {}.",
        by.name(),
        mm(free),
        s.name(),
        terminal.name,
        layout.robot.wires[wire.0].name,
        mm(need)
    );
    let why = format!(
        "The end is {} long and the wire, {} thick, bends at three times its thickness.",
        terminal.boot,
        mm(d)
    );
    let short = need - free;
    let moves = vec![(s, Point::new(-way.x, -way.y), short), (by, way, short)];
    let remedy = layout.best_move(moves).unwrap_or_else(|| {
        Remedy::advice(format!(
            "Make {} more room between {} and {}, or turn one of them.",
            mm(short),
            s.name(),
            by.name()
        ))
    });
    Some(
        Finding::new(PAGE.slug, severity, s.subject.clone(), what, why, PAGE.source)
            .with_subject(by.subject.clone())
            .with_subject(Subject::Wire(layout.robot.wires[wire.0].name.clone()))
            .with_value("free_mm", free)
            .with_limit("free_mm", need)
            .with_remedy(remedy)
            .with_spot(s.face, t.at),
    )
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
        assert!((f.limits["free_mm"] - (5.0 + 3.0 * d)).abs() < 1e-9);
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
