//! Two wires meet head on between parts that face each other.

use super::tried;
use crate::bend::{Bend, facing};
use crate::findings::access::tried::Tried;
use crate::findings::{marks, mm, robot};
use crate::shape::direction;
use loomdeck_model::part_type::Exit;
use loomdeck_model::{Finding, Page, Point, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "facing-wires-meet",
    severity: Severity::Fix,
    title: "Two wires meet head on between their parts",
    physics: "Two terminals point at each other, at the same height and in line. Their stiff ends must clear each \
        other, and their wires bend away, each to its own side, one after the other: sharing the lane, they \
        keep one thickness between their middle lines. The distance is from terminal to terminal; less than \
        both stiff ends and the wires cannot be put in at all.",
    source: "Plane geometry of two bends with the radii of FAA AC 43.13-1B, 11-96 (from memory), and \
        NASA-STD-8739.4, 7.3.21.",
    limits: "Both wires are taken to lie at the height of their terminals.",
    before: robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [87, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.right\"\nsize_mm2 = 1.5\n\
         [[wire]]\nname = \"two\"\nfrom = \"amp.left\"\nto = \"player.left\"\nsize_mm2 = 1.5\n"
    ),
    after: robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [93, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.right\"\nsize_mm2 = 1.5\n\
         [[wire]]\nname = \"two\"\nfrom = \"amp.left\"\nto = \"player.left\"\nsize_mm2 = 1.5\n"
    ),
};

/// Looks at every pair of facing terminals in use.
pub fn find(all: &Tried, out: &mut Vec<Finding>) {
    let layout = all.layout;
    let bends = &layout.geometry.bends;
    for pair in facing(&layout.geometry.faces, bends) {
        let Some(other) = pair.other.filter(|o| *o > pair.one) else { continue };
        let (a, b) = (&bends[pair.one], &bends[other]);
        let (distance, least) = (pair.distance.0, pair.least.0);
        let stiff = (a.stiff() + b.stiff()).0;
        // Where one bend alone does not fit, that is told by itself.
        if distance >= least - 1e-6 || !a.is_free() || !b.is_free() {
            continue;
        }
        let severity = if distance < stiff { Severity::Fix } else { Severity::Look };
        let (here, there) = (tried::place(all, a), tried::place(all, b));
        let what = format!(
            "The wires at {here} and {there} meet head on: {} from terminal to terminal, and they need {}.",
            mm(distance),
            mm(least)
        );
        let why = format!(
            "Their stiff ends take {} and {}, and between them the bends need {}.",
            mm(a.stiff().0),
            mm(b.stiff().0),
            mm(least - stiff)
        );
        let subject = |b: &Bend| crate::faces::subject(layout.robot, b.owner);
        let mut f = Finding::new(PAGE.slug, severity, subject(a), what, why, PAGE.source)
            .with_subject(subject(b))
            .with_value("distance_mm", distance)
            .with_limit("distance_mm", least)
            .with_spot(a.face, a.at)
            .with_marks([marks::span(a.face, a.at, b.at, marks::length(distance))]);
        for wire in [a, b].map(|b| Subject::Wire(tried::wire(all, b).to_owned())) {
            if !f.subjects.contains(&wire) {
                f.subjects.push(wire);
            }
        }
        if pair.trimmed.0 <= distance {
            let trims = [a, b].into_iter().filter(|b| b.trim_saves.is_some());
            let (places, edits): (Vec<String>, Vec<_>) =
                trims.map(|b| (tried::place(all, b), tried::trim_edit(all, b))).unzip();
            let text = format!(
                "Trim the boots at {}: {} is then enough.",
                places.join(" and "),
                mm(pair.trimmed.0)
            );
            f.remedies.push(Remedy::edit(text, edits));
        }
        f.remedies.extend(apart(all, a, b, least - distance));
        if f.remedies.is_empty() {
            f.remedies.push(Remedy::advice(format!(
                "Move one of them sideways by {}, so that the terminals are not in line, or turn one.",
                mm((a.end_width.0 + b.end_width.0) / 2.0)
            )));
        }
        out.push(f);
    }
}

/// One of the two moved away.
fn apart(all: &Tried, a: &Bend, b: &Bend, by: f64) -> Option<Remedy> {
    let layout = all.layout;
    let Exit::Along(angle) = a.exit else { return None };
    let way = direction(angle.0);
    let solid = |b: &Bend| layout.solid(&crate::faces::subject(layout.robot, b.owner));
    let moves = vec![(solid(a)?, Point::new(-way.x, -way.y), by), (solid(b)?, way, by)];
    all.best_move(moves, |_| true)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};

    #[test]
    fn terminals_out_of_line_do_not_meet() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "facing-wires-meet").unwrap();
        // From x = 68 to x = 89.
        assert!((f.values["distance_mm"] - 21.0).abs() < 1e-6);
        let aside = super::PAGE.before.replace("at_mm = [87, 60]", "at_mm = [87, 74]");
        assert_eq!(count(&aside, "facing-wires-meet"), 0);
    }
}
