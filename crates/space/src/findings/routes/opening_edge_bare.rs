//! Wires lie near the sharp edge of an opening that is not lined.

use crate::findings::layout::Layout;
use crate::findings::mm;
use crate::openings::{EdgeRelief, UNLINED};
use loomdeck_model::{Edit, EditValue, Face, Finding, Page, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "opening-edge-bare",
    severity: Severity::Look,
    title: "Wires go through an opening without grommet or edge trim",
    physics: "Wires that touch the edge of a sheet chafe through with vibration, and a supply wire that comes \
        bare there can burn. Where the bundle cannot be held well clear of the edge all round, the edge \
        is lined: with a grommet in a round hole, with edge trim in a slot or a rectangle.",
    source: "AC 43.13-1B, paragraph 11-115: 3/8 in of clearance at a penetration, otherwise a grommet.",
    limits: "The wires are taken to lie close together in the middle of the opening. In thick soft plastic with \
        both edges well rounded over the risk is smaller.",
    before: crate::findings::robot!(
        "[[pass]]\nname = \"hatch\"\nat_mm = [100, 20]\ndiameter_mm = 12\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [170, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.left\"\nto = \"player.left\"\nsize_mm2 = 1.5\n"
    ),
    after: crate::findings::robot!(
        "[[pass]]\nname = \"hatch\"\nat_mm = [100, 20]\ndiameter_mm = 12\ngrommet = true\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [170, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.left\"\nto = \"player.left\"\nsize_mm2 = 1.5\n"
    ),
};

/// Looks at every opening in use.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    for advice in &layout.geometry.openings {
        let pass = &layout.board.passes[advice.pass.0];
        if pass.grommet || advice.edge != EdgeRelief::Lined {
            continue;
        }
        let room = advice.beside;
        let what = format!(
            "The {} wires through {} lie {} from its edge; below {} it wants a lining.",
            advice.wires.len(),
            pass.name,
            mm(room.0),
            mm(UNLINED)
        );
        let why = "On a bare edge insulation chafes through.";
        let on = Subject::Pass(pass.name.clone());
        let edit = Edit::Set { on: on.clone(), key: "grommet".into(), value: EditValue::Flag(true) };
        let text = format!("Line {} with a grommet or edge trim.", pass.name);
        out.push(
            Finding::new(PAGE.slug, PAGE.severity, on, what, why, PAGE.source)
                .with_value("distance_mm", room.0)
                .with_limit("distance_mm", UNLINED)
                .with_remedy(Remedy::edit(text, vec![edit]))
                .with_spot(Face::Front, pass.at),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::PAGE;
    use crate::findings::tests::count;

    #[test]
    fn a_wide_opening_needs_no_lining() {
        assert_eq!(count(&PAGE.before.replace("diameter_mm = 12", "diameter_mm = 28"), PAGE.slug), 0);
        assert_eq!(count(PAGE.before, PAGE.slug), 1);
    }
}
