//! A wire cannot bend as gently as it should in front of its terminal.

use super::tried;
use crate::bend::Bend;
use crate::findings::access::tried::Tried;
use crate::findings::terminal_exit_blocked::{free_ahead, stiff_end_is_blocked};
use crate::findings::{mm, robot};
use crate::shape::direction;
use loomdeck_model::part_type::Exit;
use loomdeck_model::{Finding, Page, Point, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "bend-too-tight",
    severity: Severity::Look,
    title: "A wire has no room to bend in front of its terminal",
    physics: "Out of a terminal comes the stiff end of the wire, then a little that must stay straight, then the \
        bend. The bend is a quarter of a ring with the least inside radius for such wire; the wire may also \
        go straight on, or down to the face where there is height, and off the face it may bend any way \
        round. The finding shows when each of these meets a part, nut, head or mount. Two wires may share a \
        lane, so wires are not in each other's way.\n\nBent tighter than this, insulation creases and strands \
        break where they leave the crimp.",
    source: "Inside radius 3 outside diameters for single wires at terminals: FAA AC 43.13-1B, 11-96 (from \
        memory); 6 for screened cables: NASA-STD-8739.4, 7.3.21; 2 for silicone, and one diameter straight \
        behind a crimp: common practice, no source.",
    limits: "The stiff end is as long as the terminal's type states. The part itself is not in the way.",
    before: robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [82, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.right\"\nsize_mm2 = 1.5\n"
    ),
    after: robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [88, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.right\"\nsize_mm2 = 1.5\n"
    ),
};

/// Looks at every wire end in use.
pub fn find(all: &Tried, out: &mut Vec<Finding>) {
    for bend in &all.layout.geometry.bends {
        let wall = |w: &crate::bend::BendWay| w.blockers.iter().any(|b| b.by == Subject::Robot);
        if bend.is_free() || bend.ways.first().is_none_or(wall) || stiff_end_is_blocked(all.layout, bend)
        {
            continue;
        }
        out.extend(finding(all, bend));
    }
}

fn finding(all: &Tried, bend: &Bend) -> Option<Finding> {
    let layout = all.layout;
    let worst = bend.ways.first()?.blockers.first()?;
    let (wire, place) = (tried::wire(all, bend), tried::place(all, bend));
    let need = bend.need().0;
    let ahead = free_ahead(layout, bend, need);
    let (by, free) = match &ahead {
        Some((free, other)) => (other.subject.clone(), *free),
        None => (worst.by.clone(), (need - worst.overlap.0).max(0.0)),
    };
    let what = format!(
        "{wire} has no room to bend at {place}: {} leaves {} free, and it needs {}.",
        by.name(),
        mm(free),
        mm(need)
    );
    let subject = crate::faces::subject(layout.robot, bend.owner);
    let mut f =
        Finding::new(PAGE.slug, PAGE.severity, subject.clone(), what, tried::made_of(bend), PAGE.source)
            .with_subject(by)
            .with_subject(Subject::Wire(wire.to_owned()))
            .with_value("free_mm", free)
            .with_limit("free_mm", need)
            .with_spot(bend.face, bend.at)
            .with_marks(tried::marks(layout, bend));
    f.remedies.extend(tried::trim(all, bend));
    f.remedies.extend(tried::softer(all, bend));
    let works = |thing: &crate::faces::Standing| tried::frees(all, bend, thing);
    if let (Exit::Along(angle), Some((free, other)), Some(own)) =
        (bend.exit, &ahead, layout.solid(&subject))
    {
        let way = direction(angle.0);
        let short = need - free;
        let moves = vec![(own, Point::new(-way.x, -way.y), short), (*other, way, short)];
        f.remedies.extend(all.best_move(moves, works));
    }
    if let Some(own) = layout.solid(&subject) {
        f.remedies.extend(all.turn(own, works));
    }
    if f.remedies.is_empty() {
        f.remedies.push(Remedy::advice(format!(
            "Make {} more room in front of {place}.",
            mm((need - free).max(0.1))
        )));
    }
    Some(f)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};

    #[test]
    fn the_need_is_end_straight_radius_and_wire() {
        let (robot, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "bend-too-tight").unwrap();
        let d = robot.wires[0].insulation.outside_diameter(robot.wires[0].gauge).0;
        // Boot 5, a ring: one diameter straight, three inside the bend, one for the wire.
        assert!((f.limits["free_mm"] - (5.0 + 5.0 * d)).abs() < 1e-9);
        // Terminal at x = 68, the other box from x = 82.
        assert!((f.values["free_mm"] - 14.0).abs() < 1e-4);
    }

    #[test]
    fn a_wire_may_go_to_the_side_or_over_a_low_part() {
        // The other box only half covers the way: the bend goes round to the free side.
        let aside = super::PAGE.before.replace("at_mm = [82, 60]", "at_mm = [82, 75]");
        assert_eq!(count(&aside, "bend-too-tight"), 0);
        let low = super::PAGE
            .before
            .replace("height_mm = 8\nexit = \"right\"", "height_mm = 24\nexit = \"right\"");
        assert_eq!(count(&low, "bend-too-tight"), 0);
    }

    #[test]
    fn a_trimmed_boot_or_soft_insulation_is_offered_where_it_is_enough() {
        let with = |boot: &str| {
            super::PAGE.before.replace("boot_mm = 5\nrole", &format!("boot_mm = 8\n{boot}role"))
        };
        let (_, all) = found(&with("boot_trimmed_mm = 0.5\n"));
        let f = all.iter().find(|f| f.slug == "bend-too-tight").unwrap();
        assert!(f.remedies[0].text.starts_with("Trim the boot at amp.right"), "{:?}", f.remedies);
        let cut = with("boot_trimmed_mm = 0.5\n")
            .replace("size_mm2 = 1.5", "size_mm2 = 1.5\ntrim_from = true");
        assert_eq!(count(&cut, "bend-too-tight"), 0);
        // Silicone bends to two diameters: 5 + 4 d within 17 mm, where PVC needs 5 + 5 d.
        let (_, all) = found(&super::PAGE.before.replace("at_mm = [82, 60]", "at_mm = [85, 60]"));
        let f = all.iter().find(|f| f.slug == "bend-too-tight").unwrap();
        let soft = f.remedies.iter().find(|r| r.text.contains("silicone insulation")).unwrap();
        assert!(!soft.edits.is_empty());
        let text = super::PAGE
            .before
            .replace("at_mm = [82, 60]", "at_mm = [85, 60]")
            .replace("size_mm2 = 1.5", "size_mm2 = 1.5\ninsulation = \"silicone\"");
        assert_eq!(count(&text, "bend-too-tight"), 0);
    }
}
