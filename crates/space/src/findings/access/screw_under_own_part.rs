//! A part lies over a screw that must be undone to take it off.

use super::tried::Tried;
use crate::access::{Job, Need, ToolUse, Way, When};
use crate::findings::{marks, mm, robot};
use crate::geometry::Owner;
use loomdeck_model::part_type::{Fixing, FixingStyle};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{EditValue, Finding, Page, Remedy, Severity};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "screw-under-own-part",
    severity: Severity::Fix,
    title: "A part covers the screw that lets it go",
    physics: "Cleats stand beside a part and hook over its edge; the end that comes off is unscrewed with the \
        part in place. A screw of that end within the part's own outline lies under the part, and no order \
        of work helps: the part cannot come off until its own screw is out. The overlap is how far the part \
        reaches over the space of the screwdriver.",
    source: "Plane geometry.",
    limits: "Through the holes of any other fixing the screws are taken to be reached from above, whatever \
        stands beside the hole on the part itself: types do not say.",
    before: robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         fixing = { style = \"cleat\", slides = \"right\" }\n"
    ),
    after: robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         fixing = { style = \"insert\" }\n"
    ),
};

/// Looks at every fastener that lets a part go.
pub fn find(tried: &Tried, out: &mut Vec<Finding>) {
    for need in tried.needs() {
        let (Job::Fastener { hole }, When::Hold, Some(owner)) = (&need.job, need.when, need.owner)
        else {
            continue;
        };
        if need.is_free() || !need.ways.iter().all(|w| itself(need, w).is_some()) {
            continue;
        }
        let Some((used, overlap)) = need.ways.first().and_then(|w| itself(need, w)) else { continue };
        let name = need.subject.name();
        let what = format!(
            "{name} lies over the screw of its own cleat and covers its driver by {}: it can be neither put \
             on nor taken off.",
            mm(overlap.0)
        );
        let why = format!("The screw at its hole {} is undone with the part in place.", hole + 1);
        let mut f = Finding::new(PAGE.slug, PAGE.severity, need.subject.clone(), what, why, PAGE.source)
            .with_value("overlap_mm", overlap.0)
            .with_limit("overlap_mm", 0.0)
            .with_spot(used.face, used.at)
            .with_marks(marks::tool(tried.layout, used));
        f.remedies = otherwise(tried, owner, name);
        f.remedies.push(Remedy::advice(format!(
            "Put the cleats of {name} outside its outline: give its type holes beside it."
        )));
        out.push(f);
    }
}

/// The use of a way in which the thing itself is in the way, and how far.
fn itself<'w>(need: &Need, way: &'w Way) -> Option<(&'w ToolUse, Millimetres)> {
    let mut all = way.uses.iter().flat_map(|u| u.blockers.iter().map(move |b| (u, b)));
    all.find(|(_, b)| b.by == need.subject).map(|(u, b)| (u, b.overlap))
}

/// Other fixings that let go: an insert or a captive nut, then bolt and nut.
fn otherwise(tried: &Tried, owner: Owner, name: &str) -> Vec<Remedy> {
    let Some(now) = tried.stands(owner) else { return Vec::new() };
    let text = |style: FixingStyle| EditValue::Text(style.word().into());
    let tries = [
        (FixingStyle::Insert, format!("Fix {name} with screws into threaded inserts.")),
        (FixingStyle::CaptiveNut, format!("Fix {name} with screws into captive nuts.")),
        (FixingStyle::BoltAndNut, format!("Fix {name} with bolts and nuts.")),
    ];
    tries
        .into_iter()
        .filter(|(style, _)| {
            let thread = now.fixing.thread.map_or(3.0, |t| t.major().0);
            *style != FixingStyle::Insert || tried.layout.board.thickness.0 >= 2.0 * thread
        })
        .filter_map(|(style, words)| {
            let fixing = Fixing { style, slides: None, ..now.fixing.clone() };
            tried.held(owner, fixing, words, &[("style", text(style))], |thing| {
                let needs = crate::access::needs_of(tried.scene(), thing);
                needs.iter().filter(|n| matches!(n.job, Job::Fastener { .. })).all(|n| n.is_free())
            })
        })
        .take(1)
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::findings::tests::{count, found};
    use loomdeck_model::Edit;

    #[test]
    fn cleats_beside_the_part_are_reached() {
        // The end that comes off is at the larger x; there the hole is moved out of the outline.
        let beside =
            super::PAGE.before.replace("holes_mm = [[4, 4], [36, 26]]", "holes_mm = [[4, 4], [48, 26]]");
        assert_eq!(count(&beside, "screw-under-own-part"), 0);
        // The other end stays, so the part may lie over it.
        let other = super::PAGE.before.replace("slides = \"right\"", "slides = \"left\"");
        assert_eq!(count(&other, "screw-under-own-part"), 1);
    }

    #[test]
    fn an_insert_is_offered_and_works() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "screw-under-own-part");
        let edits = f.map(|f| f.remedies[0].edits.clone()).unwrap_or_default();
        assert!(matches!(&edits[..], [Edit::Set { key, .. }] if key == "fixing.style"));
    }
}
