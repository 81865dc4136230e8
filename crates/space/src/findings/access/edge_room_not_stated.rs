//! Something reaches beyond the board's edge in the body, and it is not known how much room is there.

use crate::findings::layout::Layout;
use crate::findings::{mm, robot};
use loomdeck_model::{Face, Finding, Page, Point, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "edge-room-not-stated",
    severity: Severity::Note,
    title: "The room beyond the board's edge is not stated",
    physics: "Plugs at the edge are pulled outwards, cards come out over it and wires bend beyond it, all with \
        the board in the body. How much room the body leaves there is not stated, so none of this is checked. \
        The length is the furthest that anything reaches.",
    source: "Your own measure of the body: `edge_room_mm` of the board.",
    limits: "One room for all sides: the smallest counts.",
    before: robot!(
        "[[zone]]\nname = \"leg\"\npath_mm = 300\n\
         [[plug]]\nname = \"leg-plug\"\nfamily = \"plug-2\"\nzone = \"leg\"\nface = \"front\"\n\
         at_mm = [175, 30]\n"
    ),
    after: robot!(
        "edge_room_mm = 60\n\
         [[zone]]\nname = \"leg\"\npath_mm = 300\n\
         [[plug]]\nname = \"leg-plug\"\nfamily = \"plug-2\"\nzone = \"leg\"\nface = \"front\"\n\
         at_mm = [175, 30]\n"
    ),
};

/// Looks at everything that is done or lies in the body.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    if layout.board.edge_room.is_some() {
        return;
    }
    let geometry = layout.geometry;
    let tools = geometry.access.needs.iter().filter_map(|n| {
        let uses = n.ways.first()?.uses.iter();
        let far = uses.filter_map(|u| Some((u.beyond_edge?, u.face, u.at)));
        far.reduce(|a, b| if b.0 > a.0 { b } else { a }).map(|w| (w, n.subject.clone()))
    });
    let wires = geometry.bends.iter().filter_map(|b| {
        let over = b.ways.first()?.beyond_edge?;
        Some(((over, b.face, b.at), crate::faces::subject(layout.robot, b.owner)))
    });
    type Far = ((loomdeck_model::units::Millimetres, Face, Point), Subject);
    let worst = tools.chain(wires).reduce(|a: Far, b: Far| if b.0.0 > a.0.0 { b } else { a });
    let Some(((over, face, at), subject)) = worst else { return };
    let what = format!(
        "Nobody has said how much room the body leaves beyond the board's edge: {} needs {} of it, and that \
         is not checked.",
        subject.name(),
        mm(over.0)
    );
    let why = "Plugs, cards and wires at the edge need it with the board in the body.";
    out.push(
        Finding::new(PAGE.slug, PAGE.severity, Subject::Board, what, why, PAGE.source)
            .with_subject(subject)
            .with_value("beyond_edge_mm", over.0)
            .with_remedy(Remedy::advice(
                "Measure the least distance from the board's edge to the body and write it as `edge_room_mm`.",
            ))
            .with_spot(face, at),
    );
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;

    #[test]
    fn the_length_is_the_furthest() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "edge-room-not-stated").unwrap();
        // Plug to x = 195, then half its 40 mm, boot 5 and fingers 20: 40 mm beyond x = 200.
        assert!((f.values["beyond_edge_mm"] - 40.0).abs() < 1e-9);
    }
}
