//! There is no order in which everything goes on the board.

use super::tries::{Tries, spaces, unlocks};
use super::words;
use crate::findings::layout::{Layout, Solid};
use crate::findings::mm;
use crate::geometry::Owner;
use crate::order::{Order, StuckFastener};
use loomdeck_model::{Finding, Page, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "no-order-of-work",
    severity: Severity::Fix,
    title: "There is no order in which everything goes on the board",
    physics: "A part goes on, and comes off again, when each of its fasteners can be reached on every face that \
        it needs: a bolt from both at once. What is on already may stand in the way, and then it has to go \
        on later. When two parts each have to go on before the other there is no order. The same holds for \
        a longer circle, and for a fastener that the board itself, or its own part, hides.\n\nTaking off \
        everything that can be reached, again and again, either empties the board or ends at what locks itself; \
        it does not matter in which order you do it, because taking things off never hides a fastener. Of what is \
        left, the finding names the fewest fasteners that would have to be held in another way. Each remedy has \
        been tried on a copy: after it there is an order.",
    source: "Geometry of the parts and of the tools; sizes of tools as the page of each blocked fastener states \
        them.",
    limits: "Parts are lifted straight off their face, or slid out of their cleats and then lifted: tilting a part out \
        from under another is not considered. Wires bend out of the way of tools, unless they lie on the \
        very head that is turned.",
    before: crate::findings::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         fixing = { head = \"countersunk\", turned = true }\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [94, 50]\n\
         fixing = { head = \"countersunk\", turned = true }\n"
    ),
    after: crate::findings::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         fixing = { style = \"insert\" }\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [94, 50]\n\
         fixing = { head = \"countersunk\", turned = true }\n"
    ),
};

/// One finding for each part that has stuck fasteners.
pub fn find(layout: &Layout, order: &Order, out: &mut Vec<Finding>) {
    let mut owners: Vec<Owner> = order.stuck.iter().map(|s| s.owner).collect();
    owners.sort_unstable();
    owners.dedup();
    for owner in owners {
        let stuck: Vec<&StuckFastener> = order.stuck.iter().filter(|s| s.owner == owner).collect();
        out.extend(finding(layout, order, owner, &stuck));
    }
}

fn finding(layout: &Layout, order: &Order, owner: Owner, stuck: &[&StuckFastener]) -> Option<Finding> {
    let robot = layout.robot;
    let subject = crate::faces::subject(robot, owner);
    let first = stuck.iter().max_by(|a, b| a.overlap.0.total_cmp(&b.overlap.0))?;
    let mut by: Vec<&Subject> = Vec::new();
    for s in stuck.iter().flat_map(|s| &s.by) {
        if !by.contains(&s) {
            by.push(s);
        }
    }
    let own = |s: &&Subject| **s == subject;
    let names: Vec<String> = by
        .iter()
        .map(|s| match s {
            Subject::Board => "the board itself".to_owned(),
            s if own(s) => "its own body".to_owned(),
            s => s.name().to_owned(),
        })
        .collect();
    let things: Vec<String> = stuck.iter().map(|s| words::thing(robot, owner, &s.job)).collect();
    let for_good = stuck.iter().all(|s| s.for_good);
    let (things, names) = (words::list(&things), words::list(&names));
    let name = subject.name();
    let overlap = mm(first.overlap.0);
    let what = if for_good {
        format!(
            "You cannot reach {things} of {name} in any order of work: {names} is in the way by {overlap}."
        )
    } else {
        let one = by.len() == 1;
        format!(
            "You cannot reach {things} of {name} once {names} {} on: {} by up to {overlap}. And {names} cannot \
             go on after {name} either.",
            if one { "is" } else { "are" },
            match (one, stuck.len()) {
                (true, 1) => "it covers it",
                (true, _) => "it covers them",
                (false, 1) => "they cover it",
                (false, _) => "they cover them",
            }
        )
    };
    let waiting: Vec<String> =
        order.stuck_things.iter().map(|o| crate::faces::subject(robot, *o).name().to_owned()).collect();
    let why = format!(
        "Taking off whatever can be reached ends with {} still on the board: each of them waits for another, or \
         for a fastener that stays hidden.",
        words::list(&waiting)
    );
    let mut f = Finding::new(PAGE.slug, PAGE.severity, subject.clone(), what, why, PAGE.source)
        .with_value("overlap_mm", first.overlap.0)
        .with_limit("overlap_mm", 0.0)
        .with_value("fastener_count", stuck.len() as f64)
        .with_value("stuck_part_count", order.stuck_things.len() as f64)
        .with_spot(first.face, first.at);
    for s in by.iter().filter(|s| !own(s) && ***s != Subject::Board) {
        f = f.with_subject((**s).clone());
    }
    f.remedies = remedies(layout, order, owner, &subject, stuck, &by);
    Some(f)
}

fn remedies(
    layout: &Layout,
    order: &Order,
    owner: Owner,
    subject: &Subject,
    stuck: &[&StuckFastener],
    by: &[&Subject],
) -> Vec<Remedy> {
    let mut tries = Tries::new(layout);
    let better = unlocks(order, owner);
    tries.other_fixing(owner, &better);
    let blocked = spaces(layout, owner, |n| stuck.iter().any(|s| s.job == n.job));
    let others: Vec<&Solid> = by.iter().filter_map(|s| layout.solid(s)).collect();
    if let Some(own) = layout.solid(subject) {
        tries.another_place(own, &others, &blocked, &better);
    }
    let kept = tries.kept();
    if kept.is_empty() {
        let text = format!(
            "Hold {} so that it is screwed from its own face alone, or move it away from what hides its \
             fasteners.",
            subject.name()
        );
        return vec![Remedy::advice(text)];
    }
    kept
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::tries::applied;
    use super::PAGE;
    use crate::findings::tests::found;
    use loomdeck_model::Severity;

    #[test]
    fn two_parts_whose_nuts_hide_under_each_other() {
        let (robot, all) = found(PAGE.before);
        let hits: Vec<_> = all.iter().filter(|f| f.slug == PAGE.slug).collect();
        // One of the two is enough to break the circle.
        assert_eq!(hits.len(), 1, "{hits:?}");
        let f = hits[0];
        assert_eq!(f.severity, Severity::Fix);
        assert_eq!(f.values["stuck_part_count"], 2.0);
        assert!(f.what.contains("cannot go on after amp"), "{}", f.what);
        let tried: Vec<_> = f.remedies.iter().filter(|r| !r.edits.is_empty()).collect();
        assert!(tried.len() >= 2 && f.remedies.len() == tried.len(), "{:?}", f.remedies);
        for r in tried {
            let mended = applied(&robot, &r.edits).unwrap();
            let order = crate::order::study(&mended, &crate::study(&mended));
            assert!(order.stuck.is_empty() && order.stuck_things.is_empty(), "{}", r.text);
        }
    }

    #[test]
    fn apart_there_is_an_order() {
        let text = PAGE.before.replace("at_mm = [94, 50]", "at_mm = [194, 100]");
        let (robot, all) = found(&text);
        assert!(all.iter().all(|f| f.slug != PAGE.slug));
        let order = crate::order::study(&robot, &crate::study(&robot));
        assert_eq!(order.service.len(), 2);
        assert!(order.service.iter().all(|s| s.others() == 0 && !s.impossible));
    }
}
