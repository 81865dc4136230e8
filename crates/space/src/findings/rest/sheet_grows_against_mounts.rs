//! The sheet grows more than its bolts have room in their holes.

use super::super::layout::Layout;
use super::super::mm;
use super::remedies::middle;
use super::{corners, laden};
use crate::rest::Rest;
use crate::rest::growth::{Growth, MountGrowth};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Edit, EditValue, Face, Finding, Page, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "sheet-grows-against-mounts",
    severity: Severity::Look,
    title: "The sheet grows against its bolts",
    physics: "Plastic grows with heat: polyethylene by a tenth to a fifth of a millimetre per metre and kelvin, ten \
        times as much as steel. The frame it is bolted to does not follow. Where a bolt has no room left \
        in its hole, the sheet bows out between its mounts or tears at the hole.\n\nThe growth α·L·ΔT is \
        taken from the point about which the mounts share it best, from the 20 °C of the workshop to the \
        coldest and the hottest air you state. A bolt in the middle of its hole has half the play either \
        way.",
    source: "Linear expansion: published tables, as a band. Clearance holes: ISO 273 or inch charts. A workshop at \
        20 °C: common practice.",
    limits: "The frame is taken as not growing, the holes as drilled where they should be. Wood moves more with \
        damp than with heat; that is not reckoned. If nothing is stated about cold, a winter's night in a \
        van is not in these figures.",
    before: laden!(
        "thickness_mm = 9\nmaterial = \"hdpe\"\n",
        concat!(corners!(), "[limits]\nambient_degc = 45\n")
    ),
    after: laden!(
        "thickness_mm = 9\nmaterial = \"plywood\"\n",
        concat!(corners!(), "[limits]\nambient_degc = 45\n")
    ),
};

/// Looks at every mount, and speaks of the one that lacks most.
pub fn find(layout: &Layout, rest: &Rest, out: &mut Vec<Finding>) {
    let Some(growth) = &rest.growth else { return };
    let Some(worst) = growth.worst() else { return };
    let board = layout.board;
    let mount = &board.mounts[worst.mount];
    let [least, most] = worst.moves;
    let what = format!(
        "Between {:.0} and {:.0} the sheet moves {} to {} past the bolt {}; its hole leaves {} either way.",
        growth.coldest,
        growth.hottest,
        mm(least.0),
        mm(most.0),
        mount.name,
        mm(worst.play.0)
    );
    let why = format!(
        "{} grows by {} to {} over the {} between its farthest mounts, from the {:.0} at which it is fitted. With \
         no room it bows or tears at the holes.",
        board.material.word(),
        mm(growth.over_span[0].0),
        mm(growth.over_span[1].0),
        mm(growth.span.0),
        growth.made_at
    );
    let subject = Subject::BoardMount(mount.name.clone());
    let mut f = Finding::new(PAGE.slug, PAGE.severity, subject, what, why, PAGE.source)
        .with_value("moves_mm", most.0)
        .with_value("moves_least_mm", least.0)
        .with_value("span_mm", growth.span.0)
        .with_limit("moves_mm", worst.play.0)
        .with_spot(Face::Front, mount.at);
    f.remedies.push(wider_holes(layout, growth).unwrap_or_else(|| {
        Remedy::advice(format!(
            "Cut slots that point at x {}, y {} for all bolts but one, or mount the board nearer its middle.",
            mm(middle(layout).x),
            mm(middle(layout).y)
        ))
    }));
    out.push(f);
}

/// Wider holes for every bolt that lacks room, when a wide washer still covers them.
fn wider_holes(layout: &Layout, growth: &Growth) -> Option<Remedy> {
    let mounts = &layout.board.mounts;
    let lacking: Vec<&MountGrowth> =
        growth.mounts.iter().filter(|m| m.moves[1].0 > m.play.0 + 1e-9).collect();
    let mut edits = Vec::new();
    let mut widest = Millimetres::ZERO;
    for m in lacking {
        let thread = mounts[m.mount].thread;
        // Up to the next half millimetre: a bit that is sold.
        let hole = Millimetres((m.hole_needed(thread).0 * 2.0 - 1e-9).ceil() / 2.0);
        // Wide washers are three threads across (ISO 7093, from memory); a thread's width must stay.
        if hole > thread.major() * 2.0 {
            return None;
        }
        widest = widest.max(hole);
        edits.push(Edit::Set {
            on: Subject::BoardMount(mounts[m.mount].name.clone()),
            key: "hole".into(),
            value: EditValue::Length(hole),
        });
    }
    let text = format!(
        "Drill the mounts' holes up to {widest} wide, put wide washers on, centre the bolts and tighten them only \
         so far that the sheet can still slide; hold the nuts with thread lock."
    );
    Some(Remedy::edit(text, edits))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};
    use loomdeck_model::edit::apply;
    use loomdeck_model::{Folder, read};

    /// Half the diagonal between the mounts, 458.0 mm, times 25 K times 100 and 200 millionths a kelvin,
    /// against (5.5 − 5) / 2 of an M5 in an ISO 273 medium hole.
    #[test]
    fn growth_by_hand() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "sheet-grows-against-mounts").unwrap();
        let radius = 370f64.hypot(270.0) / 2.0;
        assert!((f.values["moves_mm"] - radius * 25.0 * 200e-6).abs() < 1e-9);
        assert!((f.values["moves_least_mm"] - radius * 25.0 * 100e-6).abs() < 1e-9);
        assert!((f.limits["moves_mm"] - 0.25).abs() < 1e-9);
    }

    #[test]
    fn wider_holes_work() {
        let text = super::PAGE.before;
        let (_, all) = found(text);
        let f = all.iter().find(|f| f.slug == "sheet-grows-against-mounts").unwrap();
        assert_eq!(f.remedies[0].edits.len(), 4);
        let folder = apply(&Folder::single(text), &f.remedies[0].edits).unwrap();
        let robot = read(&folder).0.unwrap();
        let left = crate::findings(&robot, &crate::study(&robot));
        assert!(left.iter().all(|f| f.slug != "sheet-grows-against-mounts"));
    }

    /// Published worked example: 70 millionths a kelvin over 3 m and 10 K grow 2.1 mm.
    #[test]
    fn a_worked_example() {
        let text = super::PAGE
            .before
            .replace("size_mm = [400, 300]", "size_mm = [3000, 300]")
            .replace("material = \"hdpe\"", "material = \"polycarbonate\"")
            .replace("ambient_degc = 45", "ambient_degc = 30");
        let robot = loomdeck_model::testing::robot(&text);
        let growth = crate::study(&robot).rest.unwrap().growth.unwrap();
        let per_metre = growth.over_span[1].0 / growth.span.0 * 3000.0;
        assert!((per_metre - 2.1).abs() < 1e-9, "{per_metre}");
        assert_eq!(count(super::PAGE.after, "sheet-grows-against-mounts"), 0);
    }
}
