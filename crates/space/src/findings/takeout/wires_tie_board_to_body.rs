//! Wires leave the board without a plug.

use super::super::layout::Layout;
use crate::takeout::TakeOut;
use loomdeck_model::{Finding, Page, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "wires-tie-board-to-body",
    severity: Severity::Look,
    title: "Wires tie the board to the body",
    physics: "A board comes out when its plugs are pulled and its bolts are off. A wire that runs from the board to \
        a part in the body without a plug has to be unscrewed each time, and found again each time.",
    source: "Common practice, no source.",
    limits: "Told only where an opening for the board is stated: there it is meant to come out.",
    before: super::super::robot!(
        "[body_opening]\nsize_mm = [220, 170]\n\
         [[zone]]\nname = \"leg\"\npath_mm = 300\nexit_mm = [200, 75]\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [80, 60]\n\
         [[part]]\nname = \"lamp\"\ntype = \"box\"\nzone = \"leg\"\n\
         [[wire]]\nname = \"feed\"\nfrom = \"amp.right\"\nto = \"lamp.left\"\nsize_mm2 = 1.5\n"
    ),
    after: super::super::robot!(
        "[body_opening]\nsize_mm = [220, 170]\n\
         [[zone]]\nname = \"leg\"\npath_mm = 300\nexit_mm = [200, 75]\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [80, 60]\n\
         [[part]]\nname = \"lamp\"\ntype = \"box\"\nzone = \"leg\"\n\
         [[plug]]\nname = \"leg-plug\"\nfamily = \"plug-2\"\nzone = \"leg\"\nface = \"front\"\nat_mm = [200, 75]\ntail_mm = 60\n\
         [[wire]]\nname = \"feed\"\nfrom = \"amp.right\"\nto = \"leg-plug.board.1\"\nsize_mm2 = 1.5\n\
         [[wire]]\nname = \"feed-on\"\nfrom = \"leg-plug.body.1\"\nto = \"lamp.left\"\nsize_mm2 = 1.5\n"
    ),
};

/// Looks at every wire that leaves the board.
pub fn find(layout: &Layout, take_out: &TakeOut, out: &mut Vec<Finding>) {
    let tied = &take_out.tied;
    if tied.is_empty() || layout.board.body_opening.is_none() {
        return;
    }
    let robot = layout.robot;
    let name = |i: usize| robot.wires[tied[i].0].name.as_str();
    let (who, verb) = match tied.len() {
        1 => (name(0).to_owned(), "leaves"),
        2 => (format!("{} and {}", name(0), name(1)), "leave"),
        n => (format!("{}, {} and {} more", name(0), name(1), n - 2), "leave"),
    };
    let what = format!("{who} {verb} the board without a plug.");
    let why =
        "To take the board out you have to unscrew them, and to know afterwards where each belongs.";
    let wire = |i: usize| Subject::Wire(name(i).to_owned());
    let mut f = Finding::new(PAGE.slug, PAGE.severity, wire(0), what, why, PAGE.source)
        .with_value("wire_count", tied.len() as f64)
        .with_limit("wire_count", 0.0)
        .with_remedy(Remedy::advice("Lead them over a plug at the edge of the board."));
    f.subjects.extend((1..tied.len()).map(wire));
    out.push(f);
}

#[cfg(test)]
mod tests {
    use crate::findings::tests::count;

    #[test]
    fn only_boards_that_come_out() {
        assert_eq!(count(super::PAGE.before, "wires-tie-board-to-body"), 1);
        let fixed = super::PAGE.before.replace("[body_opening]\nsize_mm = [220, 170]\n", "");
        assert_eq!(count(&fixed, "wires-tie-board-to-body"), 0);
    }
}
