//! There is no room for fingers at the latch of a plug.

use super::tried::Tried;
use super::words;
use crate::access::{Job, tools};
use crate::findings::{marks, mm, robot};
use loomdeck_model::{Finding, Page, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "plug-latch-without-room",
    severity: Severity::Fix,
    title: "No room for fingers beside a plug that locks",
    physics: "A plug that locks is held at its two sides between thumb and finger, which press the latch and go \
        with the body half as it comes off by half the mated length. On both sides a finger's width must be \
        free, from the middle of the plug to where the fingers end up. The overlap is the least move along \
        the face that frees them.",
    source: "Common practice, no source: 20 mm for a finger with some air.",
    limits: "The latch is taken to be at the sides; one on top is pressed from above and needs the sides all \
        the same for pulling. Wires are taken to be pushed aside.",
    before: robot!(
        "[[zone]]\nname = \"leg\"\npath_mm = 300\n\
         [[plug]]\nname = \"leg-plug\"\nfamily = \"plug-2\"\nzone = \"leg\"\nface = \"front\"\n\
         at_mm = [175, 30]\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [152, 45]\n"
    ),
    after: robot!(
        "[[zone]]\nname = \"leg\"\npath_mm = 300\n\
         [[plug]]\nname = \"leg-plug\"\nfamily = \"plug-2\"\nzone = \"leg\"\nface = \"front\"\n\
         at_mm = [175, 30]\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [152, 56.5]\n"
    ),
};

/// Looks at every fixed plug that locks.
pub fn find(tried: &Tried, out: &mut Vec<Finding>) {
    for need in tried.needs().filter(|n| n.job == Job::Unplug) {
        let Some(grip) = need.ways.first().and_then(|w| w.uses.get(1)) else { continue };
        let Some(worst) = grip.blockers.iter().find(|b| b.by != Subject::Robot) else { continue };
        let name = need.subject.name();
        let what = format!(
            "Your fingers do not get at the latch of {name}: {} reaches {} into their space{}.",
            words::by(worst),
            mm(worst.overlap.0),
            words::and_others(&grip.blockers)
        );
        let why = format!(
            "Thumb and finger take {}\u{2009}mm on each side of it, and go with it as it comes off.",
            tools::FINGER
        );
        let mut f = Finding::new(PAGE.slug, PAGE.severity, need.subject.clone(), what, why, PAGE.source)
            .with_subject(worst.by.clone())
            .with_value("overlap_mm", worst.overlap.0)
            .with_limit("overlap_mm", 0.0)
            .with_spot(grip.face, grip.at)
            .with_marks(marks::tool(tried.layout, grip));
        f.remedies = tried.remedies(need);
        if f.remedies.is_empty() {
            f.remedies
                .push(Remedy::advice(format!("Give {name} a free side, or let it hang on a tail.")));
        }
        out.push(f);
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};

    #[test]
    fn the_overlap_is_of_a_finger() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "plug-latch-without-room").unwrap();
        // The plug's side is at y = 36, so the finger ends at 56; the box begins at y = 45.
        assert!((f.values["overlap_mm"] - 11.0).abs() < 1e-4);
        assert!(f.remedies[0].text.starts_with("Move"), "{}", f.remedies[0].text);
    }

    #[test]
    fn a_plug_that_does_not_lock_is_pulled_from_behind() {
        let loose = super::PAGE.before.replace("locks = true", "locks = false");
        assert_eq!(count(&loose, "plug-latch-without-room"), 0);
    }
}
