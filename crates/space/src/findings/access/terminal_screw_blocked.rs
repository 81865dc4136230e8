//! The screw of a terminal in use lies under something in the finished board.

use super::tried::{Tried, job_word};
use super::words;
use crate::access::{Job, Need};
use crate::findings::{marks, mm, robot};
use loomdeck_model::{Finding, Page, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "terminal-screw-blocked",
    severity: Severity::Look,
    title: "A terminal's screw is not to be got at in the finished board",
    physics: "To change a wire you turn the screw of its terminal: a screwdriver with shaft, handle and hand, \
        or on a stud the box of a nut driver or an open spanner that swings 30°. Their space is held against \
        everything else on the face. What stands in it must come off before the wire can. The overlap is \
        the least move along the face that brings it out of that space.",
    source: "Open spanners take hold anew every 30° (common practice); sockets as ISO 2725-1 allows (from \
        memory); screwdrivers and hands: common practice, no source.",
    limits: "Covers are taken off anyway and do not count here. The order of work says whether everything \
        can be wired at all. The part itself is not in its own way.",
    before: robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [180, 50]\n\
         [[part]]\nname = \"shelf\"\ntype = \"box\"\nface = \"front\"\nat_mm = [22, 52]\n\
         fixing = { style = \"standoff\", standoff_mm = 30 }\n\
         [[pass]]\nname = \"hatch\"\nat_mm = [150, 20]\ndiameter_mm = 20\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.left\"\nto = \"player.left\"\nsize_mm2 = 1.5\n"
    ),
    after: robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [180, 50]\n\
         [[part]]\nname = \"shelf\"\ntype = \"box\"\nface = \"front\"\nat_mm = [6, 52]\n\
         fixing = { style = \"standoff\", standoff_mm = 30 }\n\
         [[pass]]\nname = \"hatch\"\nat_mm = [150, 20]\ndiameter_mm = 20\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.left\"\nto = \"player.left\"\nsize_mm2 = 1.5\n"
    ),
};

/// Looks at every terminal in use; one finding a part, for the worst of its terminals.
pub fn find(tried: &Tried, out: &mut Vec<Finding>) {
    let mut last: Option<(Subject, usize)> = None;
    for need in tried.needs().filter(|n| matches!(n.job, Job::Terminal { .. })) {
        if need.is_free() || tried.only_covers(need) {
            continue;
        }
        let Some(f) = finding(tried, need) else { continue };
        // Terminals in a row lie under the same thing; the worst of them stands for all.
        match &last {
            Some((subject, at)) if *subject == need.subject => {
                if f.values["overlap_mm"] > out[*at].values["overlap_mm"] {
                    out[*at] = f;
                }
            }
            _ => {
                last = Some((need.subject.clone(), out.len()));
                out.push(f);
            }
        }
    }
}

fn finding(tried: &Tried, need: &Need) -> Option<Finding> {
    let used = need.ways.first()?.uses.first()?;
    let worst = used.blockers.first()?;
    let what = format!(
        "In the finished board you cannot turn {}: {} reaches {} into the space of the {}{}.",
        job_word(tried.layout, need),
        words::by(worst),
        mm(worst.overlap.0),
        used.tool.word(),
        words::and_others(&used.blockers)
    );
    let why = match worst.by {
        Subject::Board => "The handle would lie in the board.".to_owned(),
        _ => format!("{} must come off before you can change the wire.", words::by(worst)),
    };
    let mut f = Finding::new(PAGE.slug, PAGE.severity, need.subject.clone(), what, why, PAGE.source)
        .with_value("overlap_mm", worst.overlap.0)
        .with_limit("overlap_mm", 0.0)
        .with_subject(worst.by.clone())
        .with_spot(used.face, used.at)
        .with_marks(marks::tool(tried.layout, used));
    f.remedies = tried.remedies(need);
    if f.remedies.is_empty() {
        f.remedies.push(Remedy::advice(format!(
            "Wire {} before {} goes on.",
            need.subject.name(),
            words::by(worst)
        )));
    }
    Some(f)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};

    #[test]
    fn the_overlap_is_into_the_shaft_of_the_driver() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "terminal-screw-blocked").unwrap();
        // The screw is at x = 52 and the driver for up to 6 mm² 6 wide; the shelf ends at x = 62.
        assert!((f.values["overlap_mm"] - 13.0).abs() < 0.1, "{}", f.values["overlap_mm"]);
    }

    #[test]
    fn a_terminal_without_a_wire_asks_for_nothing_and_a_cover_may_lie_over_it() {
        let (bare, _) = super::PAGE.before.split_once("[[wire]]").unwrap();
        assert_eq!(count(bare, "terminal-screw-blocked"), 0);
        let cover = super::PAGE.before.replace("group = \"boxes\"", "group = \"covers\"");
        assert_eq!(count(&cover, "terminal-screw-blocked"), 0);
    }
}
