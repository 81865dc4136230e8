//! A part is taller than the free depth in front of its face.

use super::layout::{Layout, Solid};
use super::{marks, mm};
use crate::faces::depth;
use crate::geometry::Owner;
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Edit, EditValue, Finding, Page, Remedy, Severity};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "too-deep",
    severity: Severity::Fix,
    title: "A part is taller than the room in front of its face",
    physics: "The body leaves a certain depth free in front of the board and behind it. A part stands \
        off its face by its height, standoffs included. What is taller keeps the board from going in \
        or the cover from closing.",
    source: "The depths stated for the board.",
    limits: "The free depth is taken as the same everywhere on a face; a keep-out region can lower it. \
        Plugs and wires that stick up out of a part are not in its height.",
    before: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"back\"\nat_mm = [100, 50]\n\
         fixing = { style = \"standoff\", standoff_mm = 30 }\n"
    ),
    after: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"back\"\nat_mm = [100, 50]\n\
         fixing = { style = \"standoff\", standoff_mm = 25 }\n"
    ),
};

/// Looks at every body.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    for s in layout.all() {
        let free = depth(layout.board, s.face);
        let over = s.body.top - free;
        if over.0 <= 1e-6 {
            continue;
        }
        let what = format!(
            "{} stands {} off the {}, {} more than the {} that are free there.",
            s.name(),
            s.body.top,
            s.face.word(),
            over,
            free
        );
        let why = "The board does not go in, or the cover does not close.";
        let mut f = Finding::new(PAGE.slug, PAGE.severity, s.subject.clone(), what, why, PAGE.source)
            .with_value("height_mm", s.body.top.0)
            .with_limit("height_mm", free.0)
            .with_spot(s.face, s.middle())
            .with_marks(marks::whole(s.face, &s.pieces, format!("{} too high", mm(over.0))));
        f.remedies.extend(shorter_standoff(s, over));
        f.remedies.extend(other_face(layout, s));
        if f.remedies.is_empty() {
            f.remedies.push(Remedy::advice(format!(
                "Lay {} flat, choose a lower module, or find {} more room in the body.",
                s.name(),
                over
            )));
        }
        out.push(f);
    }
}

/// Standoffs may shrink to this, mm; common practice, no source: pins and solder need the rest.
const LEAST_STANDOFF: f64 = 4.0;

fn shorter_standoff(s: &Solid, over: Millimetres) -> Option<Remedy> {
    let standoff = ((s.body.base - over).0 * 10.0 + 1e-6).floor() / 10.0;
    let part = matches!(s.body.owner, Owner::Part(_));
    (part && standoff >= LEAST_STANDOFF).then(|| {
        let edit = Edit::Set {
            on: s.subject.clone(),
            key: "fixing.standoff".into(),
            value: EditValue::Length(Millimetres(standoff)),
        };
        Remedy::edit(format!("Use standoffs of {} for {}.", mm(standoff), s.name()), vec![edit])
    })
}

fn other_face(layout: &Layout, s: &Solid) -> Option<Remedy> {
    let other = s.face.other();
    let Owner::Part(part) = s.body.owner else { return None };
    if s.body.top > depth(layout.board, other) {
        return None;
    }
    // Turned over about its own origin: its outline is mirrored there.
    let at = layout.placed_at(s.body.owner)?;
    let kind = layout.robot.type_of(part);
    let loomdeck_model::Place::Board(old) = layout.robot.parts[part.0].place else { return None };
    let outline =
        loomdeck_model::Placement { face: other, at, turn: old.turn }.outline_to_board(&kind.outline);
    let free = layout.over_edge(&outline) <= 1e-6
        && layout.near(other, &outline, layout.robot.limits.gap.0).is_empty();
    free.then(|| {
        let value = EditValue::Text(other.word().to_owned());
        let edit = Edit::Set { on: s.subject.clone(), key: "face".into(), value };
        Remedy::edit(format!("Mount {} on the {}.", s.name(), other.word()), vec![edit])
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;

    #[test]
    fn standoffs_count() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "too-deep").unwrap();
        assert_eq!((f.values["height_mm"], f.limits["height_mm"]), (50.0, 45.0));
        assert!(f.remedies[0].text.contains("25"), "{}", f.remedies[0].text);
    }
}
