//! The end that is threaded last finds no room beside the wires that are in the opening already.

use crate::findings::layout::Layout;
use crate::findings::mm;
use crate::openings::OpeningAdvice;
use loomdeck_model::{Edit, EditValue, Face, Finding, Page, PassShape, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "end-finds-no-room",
    severity: Severity::Fix,
    title: "A fitted end finds no room beside the wires in the pass-through",
    physics: "A loom is made up on the bench and threaded through the board wire by wire, the widest end first. A \
        narrower end then has to pass beside the wires that are in already: the opening must hold their \
        bundle and the end side by side, along its longest line. The end that is worst off is told.",
    source: "Widths of ends: common practice for lugs, tabs and crimp contacts, no single source. Bundle: \
        published packings of circles.",
    limits: "Wires are taken to lie in a round bundle; in a slot they can be spread, which gives more room. \
        A grommet takes 1.5 mm on each side.",
    before: crate::findings::robot!(
        "[[pass]]\nname = \"hatch\"\nat_mm = [100, 20]\ndiameter_mm = 13\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [170, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.right\"\nsize_mm2 = 2.5\n\
         [[wire]]\nname = \"two\"\nfrom = \"amp.right\"\nto = \"player.right\"\nsize_mm2 = 2.5\nend_from = \"ring-5\"\n\
         end_to = \"ring-6\"\n"
    ),
    after: crate::findings::robot!(
        "[[pass]]\nname = \"hatch\"\nat_mm = [100, 20]\ndiameter_mm = 16\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [170, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.right\"\nsize_mm2 = 2.5\n\
         [[wire]]\nname = \"two\"\nfrom = \"amp.right\"\nto = \"player.right\"\nsize_mm2 = 2.5\nend_from = \"ring-5\"\n\
         end_to = \"ring-6\"\n"
    ),
};

/// Looks at every opening.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    for advice in &layout.geometry.openings {
        let Some(end) = advice.end.filter(|e| e.room < e.width) else { continue };
        let pass = &layout.board.passes[advice.pass.0];
        // An end that would not go through alone is told as that.
        if crate::faces::opening(pass.shape).1 < end.width.0 {
            continue;
        }
        let wire = &layout.robot.wires[end.wire.0];
        let what = format!(
            "The end of {} is {} wide; beside the wires already in {} only {} are left.",
            wire.name,
            mm(end.width.0),
            pass.name,
            mm(end.room.0.max(0.0))
        );
        let why =
            "You thread the widest ends first; each further one has to pass beside those that are in.";
        out.push(
            Finding::new(
                PAGE.slug,
                PAGE.severity,
                Subject::Pass(pass.name.clone()),
                what,
                why,
                PAGE.source,
            )
            .with_subject(Subject::Wire(wire.name.clone()))
            .with_value("width_mm", end.width.0)
            .with_limit("width_mm", end.room.0)
            .with_remedy(resized(layout, advice))
            .with_spot(Face::Front, pass.at),
        );
    }
}

/// The opening as it is proposed.
pub fn resized(layout: &Layout, advice: &OpeningAdvice) -> Remedy {
    let pass = &layout.board.passes[advice.pass.0];
    let on = Subject::Pass(pass.name.clone());
    let set = |key: &str, value: EditValue| Edit::Set { on: on.clone(), key: key.into(), value };
    let (mut edits, size) = match advice.shape {
        PassShape::Round(d) => (vec![set("diameter", EditValue::Length(d))], format!("{d} across")),
        PassShape::Slot { length, width, .. } => (
            vec![set("length", EditValue::Length(length)), set("width", EditValue::Length(width))],
            format!("a slot of {length} by {width}"),
        ),
        PassShape::Rect { length, width, corner, .. } => (
            vec![
                set("length", EditValue::Length(length)),
                set("width", EditValue::Length(width)),
                set("corner", EditValue::Length(corner)),
            ],
            format!("{length} by {width} with corners of {corner}"),
        ),
    };
    if matches!(pass.shape, PassShape::Round(_)) && !matches!(advice.shape, PassShape::Round(_)) {
        edits.insert(0, Edit::Unset { on: on.clone(), key: "diameter".into() });
    }
    let beside = advice.nearest.as_ref().map_or_else(String::new, |(subject, left)| {
        format!(" {} are then left to {}.", mm(left.0), subject.name())
    });
    Remedy::edit(format!("Make {} {size}.{beside}", pass.name), edits)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::PAGE;
    use crate::findings::tests::found;

    #[test]
    fn the_room_is_what_the_others_leave() {
        let (robot, all) = found(PAGE.before);
        let f = all.iter().find(|f| f.slug == PAGE.slug).unwrap();
        let w = &robot.wires[0];
        let d = w.insulation.outside_diameter(w.gauge).0;
        // A ring for M6 is 12 mm wide and goes first; the one for M5 passes beside that wire.
        assert!((f.values["width_mm"] - 10.0).abs() < 1e-9);
        let (opening, left) = (13.0, f.limits["width_mm"]);
        assert!((opening - d - left).abs() < 1e-9, "{left}");
    }
}
