//! A wire with its ends fitted does not go through its opening.

use super::layout::Layout;
use super::mm;
use crate::faces::opening;
use crate::openings::narrower_end;
use loomdeck_model::{Edit, EditValue, Face, Finding, Page, PassShape, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "end-larger-than-pass-through",
    severity: Severity::Fix,
    title: "A fitted end does not go through the pass-through",
    physics: "A loom is made up on the bench and then threaded through the board, with its lugs and \
        contacts fitted. Each wire can be threaded from either side, so the narrower of its two ends \
        must go through. Its width is compared with the narrowest width of the opening.",
    source: "Widths of ends: common practice for lugs, tabs and crimp contacts, no single source.",
    limits: "The other wires are not yet in the opening: thread the widest first. Housings of plugs are \
        taken as put on after threading.",
    before: super::robot!(
        "[[pass]]\nname = \"hatch\"\nat_mm = [100, 20]\ndiameter_mm = 9\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [170, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.right\"\nsize_mm2 = 1.5\n"
    ),
    after: super::robot!(
        "[[pass]]\nname = \"hatch\"\nat_mm = [100, 20]\ndiameter_mm = 13\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [170, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.right\"\nsize_mm2 = 1.5\n"
    ),
};

/// Looks at every opening.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    for fill in &layout.geometry.fills {
        let pass = &layout.board.passes[fill.pass.0];
        let (_, width) = opening(pass.shape);
        let widest = fill
            .wires
            .iter()
            .map(|w| (narrower_end(layout.robot, *w).0, &layout.robot.wires[w.0]))
            .reduce(|a, b| if b.0 > a.0 { b } else { a });
        let Some((end, wire)) = widest.filter(|(end, _)| *end > width + 1e-9) else { continue };
        let what = format!(
            "The ends of {} are {} wide; the pass-through {} is {}.",
            wire.name,
            mm(end),
            pass.name,
            mm(width)
        );
        let why = "You thread the made-up wire through the board with its narrower end first.";
        let on = Subject::Pass(pass.name.clone());
        let size = mm((end + 1.0).ceil());
        let key = if matches!(pass.shape, PassShape::Round(_)) { "diameter" } else { "width" };
        let edit = Edit::Set { on: on.clone(), key: key.into(), value: EditValue::Length(size) };
        let text = format!("Make {} {size} wide, or fit the end after threading.", pass.name);
        out.push(
            Finding::new(PAGE.slug, PAGE.severity, on, what, why, PAGE.source)
                .with_subject(Subject::Wire(wire.name.clone()))
                .with_value("width_mm", end)
                .with_limit("width_mm", width)
                .with_remedy(Remedy::edit(text, vec![edit]))
                .with_spot(Face::Front, pass.at),
        );
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::findings::tests::{count, found};

    #[test]
    fn the_narrower_end_counts() {
        let (_, all) = found(PAGE.before);
        let f = all.iter().find(|f| f.slug == PAGE.slug).unwrap();
        assert_eq!((f.values["width_mm"], f.limits["width_mm"]), (12.0, 9.0));
        // A ferrule on the other end goes through first.
        let text = PAGE.before.replace("to = \"player.right\"", "to = \"player.left\"");
        assert_eq!(count(&text, PAGE.slug), 0);
    }
}
