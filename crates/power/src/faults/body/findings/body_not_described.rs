//! How warm the body gets is only known as a range.

use super::super::types::BodyHeat;
use crate::faults::Ground;
use loomdeck_model::{Finding, Page, Remedy, Severity, Subject};

/// The page.
pub const PAGE: Page = Page {
    slug: "body-not-described",
    severity: Severity::Look,
    title: "How warm the body gets is only known as a range",
    physics: "The same heat warms a close body much more than a roomy one. Without a `[body]` table the air is followed over the day for two sealed bodies of 3 mm plastic at 30 °C outside: the closest box around the board with 100 mm on its sides, with 25 % less convection than the formulas say, and one of four times its surface with 25 % more.",
    source: "As under `body-warmer-than-assumed`; the sizes of the two bodies: common practice, no source",
    limits: "No openings, no fan, no sun. What warms up with the air: the parts and the board.",
    before: concat!(
        "format = 1\n[robot]\nname = \"Bench\"\n\n[board]\nsize_mm = [300, 200]\nthickness_mm = 6\nmaterial = \"plywood\"\ndepth_front_mm = 120\ndepth_back_mm = 60\n",
        board_robot!()
    ),
    after: concat!(
        "format = 1\n[robot]\nname = \"Bench\"\n\n[body]\nsurface_m2 = 1\nwall = \"plywood\"\nthickness_mm = 6\n\n[board]\nsize_mm = [300, 200]\nthickness_mm = 6\nmaterial = \"plywood\"\ndepth_front_mm = 120\ndepth_back_mm = 60\n",
        board_robot!()
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &BodyHeat, out: &mut Vec<Finding>) {
    let Some(typical) = &found.typical else { return };
    let assumed = found.situations.iter().map(|s| s.assumed.0).fold(f64::NEG_INFINITY, f64::max);
    let over = typical.high.0 > assumed;
    let planned = ground.robot.day.iter().map(|d| found.situations[d.situation.0].inside.0);
    let most = planned.fold(0.0, f64::max);
    out.push(
        Finding::new(
            PAGE.slug,
            if over { Severity::Look } else { Severity::Note },
            Subject::Robot,
            format!(
                "You do not describe the body: sealed, it reaches between {:.0} and {:.0} on your day at {:.0} outside; the study assumes {assumed:.0}\u{2009}°C.",
                typical.low.0, typical.high, typical.outside
            ),
            format!(
                "Up to {most:.0}\u{2009}W stay in it; the lower figure is for {:.1} of wall, the upper for {:.1}.",
                typical.large, typical.small
            ),
            PAGE.source,
        )
        .with_value("temperature_c", typical.high.0)
        .with_value("least_temperature_c", typical.low.0)
        .with_limit("temperature_c", assumed)
        .with_remedy(Remedy::advice(
            "Measure the body's outer surface and write it down: `[body]` with `surface_m2`, the wall, its openings.",
        )),
    );
}
