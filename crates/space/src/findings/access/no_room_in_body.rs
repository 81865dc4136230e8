//! What is done with the board in the body meets the body.

use super::tried::{Tried, job_word};
use crate::access::{Job, Need};
use crate::findings::{marks, mm, robot};
use crate::screw;
use crate::shape::norm;
use loomdeck_model::part_type::{Fixing, FixingStyle};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{EditValue, Finding, Outline, Page, Point, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "no-room-in-body",
    severity: Severity::Fix,
    title: "What is done in the body meets its wall",
    physics: "Some things are done with the board in the body: a charger is plugged in, a card is changed. \
        The body's cover is off then, so nothing limits a hand in front of the front. Behind the back their \
        space must end within the free depth, and beyond the board's edge within the free room there, as the \
        board's file states them. The overlap is how far it reaches into the wall.",
    source: "The depths and the edge room stated for the board.",
    limits: "The body is taken as flat walls, parallel to the board and its edges. Nothing is said where the \
        edge room is not stated; another finding says so.",
    before: robot!(
        "edge_room_mm = 10\n\
         [[type]]\nname = \"reader\"\ntitle = \"card reader\"\ngroup = \"boxes\"\n\
         about = \"Takes a card from the right.\"\nbasis = \"made up\"\nsize_mm = [40, 30]\nheight_mm = 12\n\
         mass_g = 20\nfixing = { style = \"adhesive\" }\n\
         reach = [{ what = \"card\", at_mm = [38, 15], height_mm = 6, towards = \"right\", width_mm = 16, \
         depth_mm = 30, often = \"each show\", in_place = true }]\n\
         [[part]]\nname = \"player\"\ntype = \"reader\"\nface = \"front\"\nat_mm = [155, 60]\n"
    ),
    after: robot!(
        "edge_room_mm = 10\n\
         [[type]]\nname = \"reader\"\ntitle = \"card reader\"\ngroup = \"boxes\"\n\
         about = \"Takes a card from the right.\"\nbasis = \"made up\"\nsize_mm = [40, 30]\nheight_mm = 12\n\
         mass_g = 20\nfixing = { style = \"adhesive\" }\n\
         reach = [{ what = \"card\", at_mm = [38, 15], height_mm = 6, towards = \"right\", width_mm = 16, \
         depth_mm = 30, often = \"each show\", in_place = true }]\n\
         [[part]]\nname = \"player\"\ntype = \"reader\"\nface = \"front\"\nat_mm = [141.5, 60]\n"
    ),
};

/// Looks at everything done in use.
pub fn find(tried: &Tried, out: &mut Vec<Finding>) {
    for need in tried.needs().filter(|n| is_it(n)) {
        out.extend(finding(tried, need));
    }
}

/// A need in use that the body blocks in its best way.
pub fn is_it(need: &Need) -> bool {
    let in_use = matches!(need.job, Job::Reach { .. } | Job::Unplug);
    in_use && !need.is_free() && wall(need).is_some()
}

fn wall(need: &Need) -> Option<(&crate::access::ToolUse, Millimetres)> {
    let uses = need.ways.first()?.uses.iter();
    uses.filter_map(|u| Some((u, u.blockers.iter().find(|b| b.by == Subject::Robot)?.overlap))).next()
}

fn finding(tried: &Tried, need: &Need) -> Option<Finding> {
    let (used, overlap) = wall(need)?;
    let layout = tried.layout;
    let high = used.solids.iter().map(|s| s.to.0).fold(0.0, f64::max);
    let depth = crate::faces::depth(layout.board, used.face);
    let why = if used.face == loomdeck_model::Face::Back && high > depth.0 {
        format!("It reaches {} off the {}; the body leaves {} there.", mm(high), used.face.word(), depth)
    } else {
        let room = layout.board.edge_room.unwrap_or_default();
        format!("It reaches {} beyond the board's edge; the body leaves {room}.", mm(overlap.0 + room.0))
    };
    let what = format!(
        "You cannot get at {} with the board in the body: the {} would reach {} into its wall.",
        job_word(layout, need),
        used.tool.word(),
        mm(overlap.0)
    );
    let mut f = Finding::new(PAGE.slug, PAGE.severity, need.subject.clone(), what, why, PAGE.source)
        .with_value("overlap_mm", overlap.0)
        .with_limit("overlap_mm", 0.0)
        .with_spot(used.face, used.at)
        .with_marks(marks::tool(layout, used));
    f.remedies.extend(inwards(tried, need, used));
    f.remedies.extend(lower(tried, need, overlap.0));
    if let Some(solid) = layout.solid(&need.subject) {
        f.remedies.extend(tried.turn(solid, |thing| tried.frees(need, thing)));
    }
    if f.remedies.is_empty() {
        f.remedies.push(Remedy::advice(format!(
            "Give it {} more room in the body, or do it with the board taken out.",
            mm(overlap.0)
        )));
    }
    Some(f)
}

/// The thing on lower standoffs, of a length that is kept.
fn lower(tried: &Tried, need: &Need, overlap: f64) -> Option<Remedy> {
    let owner = need.owner?;
    let now = tried.stands(owner)?;
    let thread = crate::faces::thread_of(now.fixing, now.kind.holes.first()?.diameter);
    let kept = match now.fixing.style {
        FixingStyle::Standoff => screw::standoffs(thread),
        _ => screw::spacers(thread),
    };
    let most = now.fixing.standoff.0 - overlap;
    let standoff = Millimetres(kept.into_iter().rfind(|l| *l <= most + 1e-6)?);
    let fixing = Fixing { standoff, ..now.fixing.clone() };
    let text = format!("Use standoffs of {standoff} under {}.", need.subject.name());
    let keys = [("standoff", EditValue::Length(standoff))];
    let clear = |thing: &crate::faces::Standing| tried.has_place(thing) && tried.frees(need, thing);
    tried.held(owner, fixing, text, &keys, clear)
}

/// The thing moved away from the edge.
fn inwards(tried: &Tried, need: &Need, used: &crate::access::ToolUse) -> Option<Remedy> {
    let layout = tried.layout;
    let solid = layout.solid(&need.subject)?;
    let corners: Vec<Point> = used.solids.iter().flat_map(|s| s.outline.0.iter().copied()).collect();
    let by = layout.pull_in(&Outline(corners), -layout.board.edge_room?.0);
    let far = norm(by);
    let way = crate::shape::unit(by)?;
    tried.best_move(vec![(solid, way, far)], |thing| tried.frees(need, thing))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};

    #[test]
    fn the_overlap_is_beyond_the_room() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "no-room-in-body").unwrap();
        // From x = 193 by 30 mm is 23 mm beyond the edge, 13 mm more than there is.
        assert!((f.values["overlap_mm"] - 13.0).abs() < 1e-9);
        assert!(f.remedies[0].text.contains("13.1"), "{}", f.remedies[0].text);
    }

    #[test]
    fn on_the_bench_and_without_a_stated_room_nothing_is_said() {
        let bench = super::PAGE.before.replace(", in_place = true", "");
        assert_eq!(count(&bench, "no-room-in-body"), 0);
        let unknown = super::PAGE.before.replace("edge_room_mm = 10\n", "");
        assert_eq!(count(&unknown, "no-room-in-body"), 0);
        assert_eq!(count(&unknown, "edge-room-not-stated"), 1);
    }

    #[test]
    fn the_depth_of_the_body_counts_too() {
        let off = super::PAGE.before.replace("towards = \"right\"", "towards = \"off\"");
        let deep = off.replace("depth_mm = 30", "depth_mm = 60");
        // Off the front the body's cover is off.
        assert_eq!(count(&deep, "no-room-in-body"), 0);
        let back = |text: &str| text.replace("face = \"front\"", "face = \"back\"");
        // 6 + 30 within 45 mm.
        assert_eq!(count(&back(&off), "no-room-in-body"), 0);
        // On standoffs of 12 mm it reaches 6 + 12 + 35 mm, on 4 mm just within.
        let raised = back(&off)
            .replace("depth_mm = 30", "depth_mm = 35")
            .replace(
                "at_mm = [155, 60]",
                "at_mm = [150, 60]\nfixing = { style = \"insert\", thread = \"M3\", standoff_mm = 12 }",
            )
            .replace("mass_g = 20\n", "mass_g = 20\nholes_mm = [[4, 4]]\nhole_diameter_mm = 3.4\n");
        let (_, all) = found(&raised);
        let f = all.iter().find(|f| f.slug == "no-room-in-body").unwrap();
        assert!(f.remedies[0].text.starts_with("Use standoffs of 4"), "{:?}", f.remedies);
        let (_, all) = found(&back(&deep));
        let f = all.iter().find(|f| f.slug == "no-room-in-body").unwrap();
        assert!((f.values["overlap_mm"] - 21.0).abs() < 1e-9);
    }
}
