//! A card, fuse, trimmer or button cannot be got at in the finished board.

use super::tried::{Tried, job_word};
use super::words;
use crate::access::{Job, Need, reach};
use crate::findings::{marks, mm, robot};
use crate::geometry::Owner;
use loomdeck_model::part_type::ReachNeed;
use loomdeck_model::{Edit, EditValue, Finding, Page, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "reach-blocked",
    severity: Severity::Fix,
    title: "Something you use is not to be got at in the finished board",
    physics: "A part says what hands and tools need at it: where, which way they come, how wide and how \
        deep. That space is held as a solid against everything else that stands on the face, with heights. \
        The overlap is the least move along the face that brings what is in the way out of that space. A \
        USB plug takes at least 42 mm: itself, its boot and the bend of its cable.\n\nWhat points off the \
        face from below the part's underside is worked from the other face, through an opening of the \
        board that lets the tool through.",
    source: "Sizes as the part type states them; thickness of a card or plug between two fingers 16 mm, \
        USB plug with boot and bend 42 mm: common practice, no source.",
    limits: "The part itself is never in the way of its own space, except from below its underside. Wires \
        are taken to be pushed aside. What is needed once, or for programming only, and what lies under a cover that comes off, \
        is marked for a look.",
    before: robot!(
        "[[type]]\nname = \"reader\"\ntitle = \"card reader\"\ngroup = \"boxes\"\n\
         about = \"Takes a card from the right.\"\nbasis = \"made up\"\nsize_mm = [40, 30]\nheight_mm = 12\n\
         mass_g = 20\nfixing = { style = \"adhesive\" }\n\
         reach = [{ what = \"card\", at_mm = [38, 15], height_mm = 6, towards = \"right\", width_mm = 16, \
         depth_mm = 30, often = \"each show\" }]\n\
         [[part]]\nname = \"player\"\ntype = \"reader\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [80, 60]\n"
    ),
    after: robot!(
        "[[type]]\nname = \"reader\"\ntitle = \"card reader\"\ngroup = \"boxes\"\n\
         about = \"Takes a card from the right.\"\nbasis = \"made up\"\nsize_mm = [40, 30]\nheight_mm = 12\n\
         mass_g = 20\nfixing = { style = \"adhesive\" }\n\
         reach = [{ what = \"card\", at_mm = [38, 15], height_mm = 6, towards = \"right\", width_mm = 16, \
         depth_mm = 30, often = \"each show\" }]\n\
         [[part]]\nname = \"player\"\ntype = \"reader\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [98.5, 60]\n"
    ),
};

/// Looks at everything that types ask for.
pub fn find(tried: &Tried, out: &mut Vec<Finding>) {
    for need in tried.needs() {
        let Job::Reach { need: index } = need.job else { continue };
        if need.is_free() || super::no_room_in_body::is_it(need) {
            continue;
        }
        let Some(Owner::Part(part)) = need.owner else { continue };
        let Some(found) = finding(tried, need, &tried.layout.robot.type_of(part).reach[index]) else {
            continue;
        };
        // Two places for the same thing behind the same blocker are told once, with the worse overlap.
        match out.iter_mut().find(|f| is_same(f, &found)) {
            Some(known) if known.values["overlap_mm"] < found.values["overlap_mm"] => *known = found,
            Some(_) => {}
            None => out.push(found),
        }
    }
}

/// The same thing of the same part is blocked by the same.
fn is_same(a: &Finding, b: &Finding) -> bool {
    let what = |f: &Finding| f.what.split(':').next().map(str::to_owned);
    a.slug == b.slug && a.subjects == b.subjects && what(a) == what(b) && a.why == b.why
}

/// Needed so seldom that it may be awkward.
fn seldom(often: &str) -> bool {
    ["once", "programming", "rarely", "never"].iter().any(|word| often.contains(word))
}

fn finding(tried: &Tried, need: &Need, wants: &ReachNeed) -> Option<Finding> {
    let way = need.ways.first()?;
    let used = way.uses.iter().find(|u| !u.blockers.is_empty())?;
    let worst = used.blockers.first()?;
    let what = format!(
        "You cannot get at {} in the finished board: {} reaches {} into the space of the {}{}.",
        job_word(tried.layout, need),
        words::by(worst),
        mm(worst.overlap.0),
        used.tool.word(),
        words::and_others(&used.blockers)
    );
    let why = format!(
        "It takes a space {} wide and {} deep, and you need it {}.",
        wants.width, wants.depth, wants.often
    );
    let awkward = seldom(&wants.often) || tried.only_covers(need);
    let severity = if awkward { Severity::Look } else { Severity::Fix };
    let mut f = Finding::new(PAGE.slug, severity, need.subject.clone(), what, why, PAGE.source)
        .with_value("overlap_mm", worst.overlap.0)
        .with_limit("overlap_mm", 0.0)
        .with_spot(used.face, used.at)
        .with_marks(marks::tool(tried.layout, used));
    if worst.by != need.subject {
        f = f.with_subject(worst.by.clone());
    }
    f.remedies.extend(access_hole(tried, need, wants));
    f.remedies.extend(tried.remedies(need));
    if tried.only_covers(need) {
        f.remedies.push(Remedy::advice(format!(
            "Take {} off for it, or cut an opening into it.",
            words::by(worst)
        )));
    } else if f.remedies.is_empty() {
        f.remedies.push(Remedy::advice(format!(
            "Keep {} by {} clear in front of it, or turn {} another way.",
            wants.width,
            wants.depth,
            need.subject.name()
        )));
    }
    Some(f)
}

/// A hole for the tool, where only the board is in its way from the other face.
fn access_hole(tried: &Tried, need: &Need, wants: &ReachNeed) -> Option<Remedy> {
    let layout = tried.layout;
    let through = need.ways.iter().find(|w| {
        let mut all = w.uses.iter().flat_map(|u| &u.blockers).peekable();
        all.peek().is_some() && all.all(|b| b.by == Subject::Board)
    })?;
    let at = through.uses.first()?.at;
    let hole = reach::access_hole(wants);
    let clear = layout.holes_near(&loomdeck_model::Outline(vec![at]), 40.0).into_iter().all(|i| {
        let h = &layout.geometry.holes[i];
        let apart = at.distance(crate::shape::nearest_on_segment(at, h.from, h.to));
        apart - (h.diameter.0 + hole.0) / 2.0 >= layout.robot.limits.web.0
    });
    let edge = crate::shape::edge_distance(&layout.board.outline, at) - hole.0 / 2.0;
    if !clear || edge < layout.robot.limits.edge.0 {
        return None;
    }
    let mut names = (1..).map(|k| match k {
        1 => format!("access-{}", need.subject.name()),
        k => format!("access-{}-{k}", need.subject.name()),
    });
    let name = names.find(|n| layout.board.passes.iter().all(|p| p.name != *n))?;
    let keys = vec![
        ("at".to_owned(), EditValue::Point(at)),
        ("diameter".to_owned(), EditValue::Length(hole)),
        ("tools_only".to_owned(), EditValue::Flag(true)),
    ];
    Some(Remedy::edit(
        format!("Drill an access hole of {hole} at x {}, y {}.", mm(at.x), mm(at.y)),
        vec![Edit::Add { on: Subject::Pass(name), keys }],
    ))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};
    use loomdeck_model::{Edit, Severity, Subject};

    #[test]
    fn the_overlap_is_what_the_part_must_move() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "reach-blocked").unwrap();
        // The card's space ends at x = 98, the box begins at 80; above and below there is less than that.
        assert!((f.values["overlap_mm"] - 18.0).abs() < 1e-4, "{}", f.values["overlap_mm"]);
        assert_eq!(f.subjects[1], Subject::Part("amp".into()));
        assert!(f.remedies.iter().any(|r| r.text.starts_with("Move")), "{:?}", f.remedies);
    }

    #[test]
    fn once_is_worth_a_look_only() {
        let text = super::PAGE.before.replace("each show", "once");
        let (_, all) = found(&text);
        let f = all.iter().find(|f| f.slug == "reach-blocked").unwrap();
        assert_eq!(f.severity, Severity::Look);
    }

    #[test]
    fn a_low_neighbour_is_not_in_the_way_and_a_far_face_neither() {
        let low = super::PAGE.before.replace("height_mm = 6, towards", "height_mm = 40, towards");
        assert_eq!(count(&low, "reach-blocked"), 0);
        let far = super::PAGE.before.replace(
            "type = \"box\"\nface = \"front\"\nat_mm = [80, 60]",
            "type = \"box\"\nface = \"back\"\nat_mm = [120, 70]",
        );
        assert_eq!(count(&far, "reach-blocked"), 0);
    }

    #[test]
    fn what_lies_underneath_is_reached_through_an_access_hole() {
        // A trimmer on the underside of a board on 6 mm standoffs.
        let under = super::PAGE.before.replace(
            "what = \"card\", at_mm = [38, 15], height_mm = 6, towards = \"right\", width_mm = 16, depth_mm = 30",
            "what = \"trimmer\", at_mm = [20, 15], height_mm = 3, towards = \"off\", width_mm = 6, depth_mm = 60",
        );
        let under = under.replace(
            "fixing = { style = \"adhesive\" }",
            "fixing = { style = \"standoff\", thread = \"M3\", standoff_mm = 6 }",
        );
        let (_, all) = found(&under);
        let f = all.iter().find(|f| f.slug == "reach-blocked").unwrap();
        assert!(matches!(&f.remedies[0].edits[0], Edit::Add { on: Subject::Pass(_), .. }));
        let pass = "\n[[pass]]\nname = \"access-player\"\nat_mm = [50, 75]\ndiameter_mm = 7\ntools_only = true\n";
        assert_eq!(count(&format!("{under}{pass}"), "reach-blocked"), 0);
        let narrow = pass.replace("diameter_mm = 7", "diameter_mm = 5");
        assert_eq!(count(&format!("{under}{narrow}"), "reach-blocked"), 1);
    }
}
