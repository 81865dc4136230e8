//! A bolt that holds the board cannot be turned with everything in place.

use super::tried::Tried;
use super::words;
use crate::findings::{marks, mm, robot};
use loomdeck_model::{Finding, Page, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "mount-out-of-reach",
    severity: Severity::Fix,
    title: "A bolt that holds the board cannot be turned",
    physics: "The board comes out of the body by its bolts, so each must be reached with everything in place \
        and the cover off. They are taken as socket heads, turned from the front with an L-shaped key: either \
        the long arm stands in the head and the short one swings a full circle above, or the short arm \
        stands in the head and the long one swings a sixth of a turn over the face, in any of six places. \
        The finding shows when every one of these meets a part, a region kept for the body, or the body's \
        wall beyond the board's edge.",
    source: "Keys: ISO 4762; their arms: ISO 2936 (from memory). Fingers 20 mm: common practice, no source.",
    limits: "A long driver with a hex bit needs less room than this where nothing stands above the bolt. \
        Walls count only where the edge room is stated.",
    before: robot!(
        "edge_room_mm = 5\n\
         [[mount]]\nname = \"corner\"\nat_mm = [20, 20]\nthread = \"M6\"\nclear_mm = 18\n\
         [[type]]\nname = \"tower\"\ntitle = \"tall box\"\ngroup = \"boxes\"\nabout = \"A tall box.\"\n\
         basis = \"made up\"\nsize_mm = [40, 40]\nheight_mm = 45\nmass_g = 80\nfixing = { style = \"adhesive\" }\n\
         [[part]]\nname = \"horn\"\ntype = \"tower\"\nface = \"front\"\nat_mm = [50, 25]\n"
    ),
    after: robot!(
        "edge_room_mm = 5\n\
         [[mount]]\nname = \"corner\"\nat_mm = [20, 20]\nthread = \"M6\"\nclear_mm = 18\n\
         [[type]]\nname = \"tower\"\ntitle = \"tall box\"\ngroup = \"boxes\"\nabout = \"A tall box.\"\n\
         basis = \"made up\"\nsize_mm = [40, 40]\nheight_mm = 45\nmass_g = 80\nfixing = { style = \"adhesive\" }\n\
         [[part]]\nname = \"horn\"\ntype = \"tower\"\nface = \"front\"\nat_mm = [120, 25]\n"
    ),
};

/// Looks at every bolt of the board.
pub fn find(tried: &Tried, out: &mut Vec<Finding>) {
    let mounts = tried.needs().filter(|n| matches!(n.subject, Subject::BoardMount(_)));
    for need in mounts.filter(|n| !n.is_free()) {
        let Some(used) = need.ways.first().and_then(|w| w.uses.first()) else { continue };
        let Some(worst) = used.blockers.first() else { continue };
        let name = need.subject.name();
        let what = format!(
            "You cannot turn the bolt at {name} with the board in the body: {} reaches {} into the space of \
             the {}{}.",
            words::by(worst),
            mm(worst.overlap.0),
            used.tool.word(),
            words::and_others(&used.blockers)
        );
        let why = format!(
            "The board comes out by this bolt, and none of {} ways to set the key is free.",
            crate::access::KEY_PLACES
        );
        let mut f = Finding::new(PAGE.slug, PAGE.severity, need.subject.clone(), what, why, PAGE.source)
            .with_value("overlap_mm", worst.overlap.0)
            .with_limit("overlap_mm", 0.0)
            .with_spot(used.face, used.at)
            .with_marks(marks::tool(tried.layout, used));
        let parts = need.ways.iter().flat_map(|w| &w.uses).flat_map(|u| &u.blockers);
        let mut seen: Vec<&Subject> = Vec::new();
        for b in parts.filter(|b| b.by != Subject::Robot) {
            if !seen.contains(&&b.by) {
                seen.push(&b.by);
            }
        }
        f.subjects.extend(seen.into_iter().cloned());
        f.remedies = tried.remedies(need);
        if f.remedies.is_empty() {
            f.remedies.push(Remedy::advice(format!(
                "Clear a sixth of a circle around {name}, or move the mount to where a key can swing."
            )));
        }
        out.push(f);
    }
}

#[cfg(test)]
mod tests {
    use crate::findings::tests::count;

    #[test]
    fn a_low_part_lets_the_key_swing_over_it() {
        let low = super::PAGE.before.replace("height_mm = 45", "height_mm = 15");
        assert_eq!(count(&low, "mount-out-of-reach"), 0);
    }

    #[test]
    fn room_beyond_the_edge_is_enough() {
        let roomy = super::PAGE.before.replace("edge_room_mm = 5", "edge_room_mm = 100");
        assert_eq!(count(&roomy, "mount-out-of-reach"), 0);
    }
}
