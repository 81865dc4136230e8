//! The path to a zone is not measured.

use super::mm;
use crate::lengths::zone_path;
use loomdeck_model::{Finding, Half, Landing, Page, Place, Remedy, Robot, Severity, Subject, ZoneId};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "zone-path-not-stated",
    severity: Severity::Fix,
    title: "The path to a zone is not measured",
    physics: "A wire to a zone is as long as the path through the body from the edge of the board, with the \
        extra for joints that move and the length inside the zone. Without the measured path its length \
        is only known within a range: from a quarter of the board's diagonal to twice it. Voltage drops \
        and the cut list then take the longer end, and you cut too much.",
    source: "Common practice, no source: the range.",
    limits: "Measure with a piece of string along the way the loom will take, joints stretched furthest.",
    before: super::robot!(
        "[[zone]]\nname = \"leg\"\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"lamp\"\ntype = \"box\"\nzone = \"leg\"\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"lamp.left\"\nsize_mm2 = 0.5\n"
    ),
    after: super::robot!(
        "[[zone]]\nname = \"leg\"\npath_mm = 350\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"lamp\"\ntype = \"box\"\nzone = \"leg\"\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"lamp.left\"\nsize_mm2 = 0.5\n"
    ),
};

/// Looks at every zone that a wire of unknown length goes to.
pub fn find(robot: &Robot, out: &mut Vec<Finding>) {
    for (i, zone) in robot.zones.iter().enumerate().filter(|(_, z)| z.path.is_none()) {
        let here = |landing: Landing| match landing {
            Landing::Part { part, .. } => {
                matches!(robot.parts[part.0].place, Place::Zone { zone, .. } if zone.0 == i)
            }
            Landing::Plug { plug, half, .. } => half == Half::Body && robot.plugs[plug.0].zone.0 == i,
        };
        let within = |w: &&loomdeck_model::Wire| {
            let plug = |l| matches!(l, Landing::Plug { half: Half::Body, .. });
            here(w.from) && here(w.to) && !plug(w.from) && !plug(w.to)
        };
        let touching = robot.wires.iter().filter(|w| w.length.is_none() && (here(w.from) || here(w.to)));
        let wires: Vec<&str> = touching.filter(|w| !within(w)).map(|w| w.name.as_str()).collect();
        if wires.is_empty() {
            continue;
        }
        let path = zone_path(robot, ZoneId(i));
        let (least, most) = (mm(path.least), mm(path.most));
        let what = format!(
            "The path from the board to {} is not stated. {} {} there: {} to {} long on the way, as far as \
             can be told.",
            zone.name,
            wires.len(),
            if wires.len() == 1 { "wire goes" } else { "wires go" },
            least,
            most
        );
        let why = "The range is a quarter to twice the board's diagonal; drops and the cut list take the \
            longer end.";
        let text = format!(
            "Measure the path to {} with a piece of string, joints stretched furthest, and write it as \
             `path_mm`.",
            zone.name
        );
        out.push(
            Finding::new(
                PAGE.slug,
                PAGE.severity,
                Subject::Zone(zone.name.clone()),
                what,
                why,
                PAGE.source,
            )
            .with_value("length_mm", most.0)
            .with_value("shortest_mm", least.0)
            .with_remedy(Remedy::advice(text)),
        );
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;

    #[test]
    fn the_range_follows_the_board() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "zone-path-not-stated").unwrap();
        // 200 × 150: diagonal 250.
        assert_eq!((f.values["shortest_mm"], f.values["length_mm"]), (62.5, 500.0));
    }
}
