//! A part that is worked on often comes off only after others.

use super::tries::{Tries, comes_off_with_fewer, spaces};
use super::words;
use crate::findings::layout::{Layout, Solid};
use crate::geometry::Owner;
use crate::order::{Order, Service};
use loomdeck_model::{Finding, Page, Remedy, Severity, Subject};

/// From this many others on.
const MANY: usize = 2;

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "often-used-part-buried",
    severity: Severity::Look,
    title: "A part that is worked on often comes off only after others",
    physics: "Cards, fuses and trimmers say how often they are used, and batteries, contactors and slip rings wear. For each \
        such part the least is found that must come off before it: everything that covers one of its \
        fasteners on either face, or stands above it, in the way that costs fewest other parts. Each \
        of those means screws, wires to undo and to mark, and a chance to put one back wrongly.",
    source: "Two others as the limit: common practice, no source.",
    limits: "What is counted is taking the part off, not reaching its card or fuse, which is looked at by itself. \
        A part counts as often used when its reach needs say so in other words than once, never, seldom or when \
        programming.",
    before: crate::findings::robot!(
        "[[type]]\nname = \"card-box\"\ntitle = \"box with a card\"\ngroup = \"boxes\"\nabout = \"A module with a card slot.\"\n\
         basis = \"made up\"\nsize_mm = [40, 30]\nheight_mm = 20\nmass_g = 50\nholes_mm = [[4, 4], [36, 26]]\n\
         hole_diameter_mm = 3.4\nfixing = { style = \"bolt-and-nut\", thread = \"M3\", head = \"countersunk\" }\n\
         [[type.reach]]\nwhat = \"card\"\nat_mm = [20, 0]\nheight_mm = 10\ntowards = \"down\"\nwidth_mm = 12\n\
         depth_mm = 20\noften = \"each show\"\n\
         [[part]]\nname = \"player\"\ntype = \"card-box\"\nface = \"front\"\nat_mm = [80, 60]\n\
         [[part]]\nname = \"left-driver\"\ntype = \"box\"\nface = \"back\"\nat_mm = [90, 45]\n\
         fixing = { style = \"insert\" }\n\
         [[part]]\nname = \"right-driver\"\ntype = \"box\"\nface = \"back\"\nat_mm = [150, 72]\n\
         fixing = { style = \"insert\" }\n"
    ),
    after: crate::findings::robot!(
        "[[type]]\nname = \"card-box\"\ntitle = \"box with a card\"\ngroup = \"boxes\"\nabout = \"A module with a card slot.\"\n\
         basis = \"made up\"\nsize_mm = [40, 30]\nheight_mm = 20\nmass_g = 50\nholes_mm = [[4, 4], [36, 26]]\n\
         hole_diameter_mm = 3.4\nfixing = { style = \"bolt-and-nut\", thread = \"M3\", head = \"countersunk\" }\n\
         [[type.reach]]\nwhat = \"card\"\nat_mm = [20, 0]\nheight_mm = 10\ntowards = \"down\"\nwidth_mm = 12\n\
         depth_mm = 20\noften = \"each show\"\n\
         [[part]]\nname = \"player\"\ntype = \"card-box\"\nface = \"front\"\nat_mm = [80, 60]\n\
         fixing = { style = \"insert\" }\n\
         [[part]]\nname = \"left-driver\"\ntype = \"box\"\nface = \"back\"\nat_mm = [90, 45]\n\
         fixing = { style = \"insert\" }\n\
         [[part]]\nname = \"right-driver\"\ntype = \"box\"\nface = \"back\"\nat_mm = [150, 72]\n\
         fixing = { style = \"insert\" }\n"
    ),
};

/// Looks at every part that is worked on often.
pub fn find(layout: &Layout, order: &Order, out: &mut Vec<Finding>) {
    for s in &order.service {
        let Some(often) = &s.often else { continue };
        if !s.impossible && s.others() >= MANY {
            out.push(finding(layout, s, often));
        }
    }
}

fn finding(layout: &Layout, s: &Service, often: &str) -> Finding {
    let subject = crate::faces::subject(layout.robot, s.owner);
    let others: Vec<Subject> = s
        .remove
        .iter()
        .filter(|o| **o != s.owner)
        .map(|o| crate::faces::subject(layout.robot, *o))
        .collect();
    let names: Vec<String> = others.iter().map(|o| o.name().to_owned()).collect();
    let name = subject.name();
    let what = format!(
        "To take {name} off, you take {} other parts off first: {}. {name} is worked on {often}.",
        names.len(),
        words::list(&names)
    );
    let why = format!(
        "In all that is {} fasteners and {} to undo and to put back. No way gets by with fewer{}.",
        s.fasteners,
        match s.wires.len() {
            0 => "no wire".to_owned(),
            1 => "1 wire".to_owned(),
            n => format!("{n} wires"),
        },
        if s.exact { "" } else { ", as far as the search went" }
    );
    let mut f = Finding::new(PAGE.slug, PAGE.severity, subject.clone(), what, why, PAGE.source)
        .with_value("other_count", names.len() as f64)
        .with_limit("other_count", (MANY - 1) as f64)
        .with_value("fastener_count", s.fasteners as f64)
        .with_value("wire_count", s.wires.len() as f64);
    if let Some(solid) = layout.solid(&subject) {
        f = f.with_spot(solid.face, solid.middle());
    }
    f.remedies = remedies(layout, s.owner, &subject, &others);
    f
}

fn remedies(layout: &Layout, owner: Owner, subject: &Subject, others: &[Subject]) -> Vec<Remedy> {
    let mut tries = Tries::new(layout);
    let better = comes_off_with_fewer(owner, MANY);
    tries.other_fixing(owner, &better);
    let blocked = spaces(layout, owner, |n| n.when == crate::access::When::Hold);
    let solids: Vec<&Solid> = others.iter().filter_map(|s| layout.solid(s)).collect();
    if let Some(own) = layout.solid(subject) {
        tries.another_place(own, &solids, &blocked, &better);
    }
    let kept = tries.kept();
    if kept.is_empty() {
        return vec![Remedy::advice(format!(
            "Give {} a place that nothing else covers, or hold it so that it is screwed from its own face \
             alone.",
            subject.name()
        ))];
    }
    kept
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::PAGE;
    use crate::findings::tests::{count, found};

    #[test]
    fn both_nuts_hide_under_parts_of_the_other_face() {
        let (_, all) = found(PAGE.before);
        let f = all.iter().find(|f| f.slug == PAGE.slug).unwrap();
        assert_eq!(f.values["other_count"], 2.0);
        assert!(f.remedies.iter().any(|r| !r.edits.is_empty()), "{:?}", f.remedies);
    }

    #[test]
    fn what_is_used_once_may_be_buried() {
        assert_eq!(count(&PAGE.before.replace("each show", "once"), PAGE.slug), 0);
    }
}
