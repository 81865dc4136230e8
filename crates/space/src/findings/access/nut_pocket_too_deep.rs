//! The board is too thin to take a captive nut flush.

use crate::faces::{standing, thread_of};
use crate::findings::layout::Layout;
use crate::findings::robot;
use crate::held::pocket;
use loomdeck_model::{Edit, EditValue, Finding, Page, Remedy, Severity};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "nut-pocket-too-deep",
    severity: Severity::Look,
    title: "The board is too thin for a nut sunk flush",
    physics: "A captive nut that is to lie flush takes a pocket as deep as it is high. What is left of the board \
        under it carries the pull of the screw, and wants to be one thread diameter thick; where the board \
        does not have both, the nut stands out by the rest.",
    source: "Heights of nuts: ISO 4032. One diameter of board left under the nut: common practice, no source.",
    limits: "A thin nut (ISO 4035) needs about half the depth; none is asked for here.",
    before: robot!(
        "[[type]]\nname = \"plate\"\ntitle = \"plate\"\ngroup = \"boxes\"\nabout = \"A plate on M6.\"\n\
         basis = \"made up\"\nsize_mm = [40, 30]\nheight_mm = 10\nmass_g = 50\nholes_mm = [[8, 8], [32, 22]]\n\
         hole_diameter_mm = 6.6\nfixing = { style = \"captive-nut\", thread = \"M6\", head = \"pan\", sunk = true }\n\
         [[part]]\nname = \"amp\"\ntype = \"plate\"\nface = \"front\"\nat_mm = [50, 50]\n"
    ),
    after: robot!(
        "[[type]]\nname = \"plate\"\ntitle = \"plate\"\ngroup = \"boxes\"\nabout = \"A plate on M6.\"\n\
         basis = \"made up\"\nsize_mm = [40, 30]\nheight_mm = 10\nmass_g = 50\nholes_mm = [[8, 8], [32, 22]]\n\
         hole_diameter_mm = 6.6\nfixing = { style = \"captive-nut\", thread = \"M6\", head = \"pan\" }\n\
         [[part]]\nname = \"amp\"\ntype = \"plate\"\nface = \"front\"\nat_mm = [50, 50]\n"
    ),
};

/// Looks at every sunk nut; one finding a thing.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    let board = layout.board.thickness;
    for thing in standing(layout.robot) {
        let Some(hole) = thing.kind.holes.first() else { continue };
        let thread = thread_of(thing.fixing, hole.diameter);
        let Some(p) = pocket(thing.fixing, thread, thing.at.face, board) else { continue };
        if p.proud.0 <= 1e-6 {
            continue;
        }
        let name = thing.subject.name();
        let what = format!(
            "The captive nuts of {name} do not lie flush in the {}: they stand out by {}, since the pocket \
             may be only {} deep.",
            p.face.word(),
            p.proud,
            p.depth
        );
        let why = format!(
            "A nut of {} is {} high, and {} of the {board} of board must stay under it.",
            thread.word(),
            crate::hardware::nut(thread).height,
            thread.major()
        );
        let set = |key: &str, value| Edit::Set { on: thing.subject.clone(), key: key.into(), value };
        let mut f =
            Finding::new(PAGE.slug, PAGE.severity, thing.subject.clone(), what, why, PAGE.source)
                .with_value("proud_mm", p.proud.0)
                .with_limit("proud_mm", 0.0)
                .with_spot(p.face, thing.at.to_board(hole.at));
        if board >= crate::hardware::insert_length(thread) {
            f.remedies.push(Remedy::edit(
                format!("Fix {name} with threaded inserts instead."),
                vec![set("fixing.style", EditValue::Text("insert".into()))],
            ));
        }
        f.remedies.push(Remedy::edit(
            format!("Let the nuts of {name} lie on the {}.", p.face.word()),
            vec![set("fixing.sunk", EditValue::Flag(false))],
        ));
        out.push(f);
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};

    #[test]
    fn what_stands_out_is_arithmetic() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "nut-pocket-too-deep").unwrap();
        // ISO 4032: M6 nuts are 5.2 high; 9 mm of board less 6 mm leave 3 mm.
        assert!((f.values["proud_mm"] - 2.2).abs() < 1e-9);
        let thin = super::PAGE.before.replace("thread = \"M6\"", "thread = \"M3\"");
        assert_eq!(count(&thin, "nut-pocket-too-deep"), 0);
    }
}
