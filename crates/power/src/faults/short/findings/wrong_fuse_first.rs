//! The fuse of many goes before the fuse of one.

use crate::faults::Ground;
use crate::faults::short::{Pair, Short};
use crate::findings::help;
use crate::fuse::curve::derating;
use crate::fuse::series::{fuse_named, ratings};
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::Amperes;
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "wrong-fuse-first",
    severity: Severity::Look,
    title: "The main fuse goes before the small one",
    physics: "Two fuses in series carry the same short. The one nearer to the fault should open and the other stay, so that the rest of the robot lives on and you see at once where to look. Specimens of one rating differ: between the fastest and the slowest lies a factor of five in time. The lower fuse surely goes first where its slowest specimen is quicker than the upper one's fastest. Where the bands overlap it is a matter of luck, and this finding comes when the odds are even or worse: the middle of the upper band is no slower than the middle of the lower one, at the largest current a short behind both draws.\n\nThe results hold the table of all pairs, with the current up to which the order is sure.",
    source: "Opening-time limits of ISO 8820-3 (from memory) or the fuse types' own; IEC 60269 and common practice for comparing bands; the solved network",
    limits: "Both fuses at 25 °C and cold before; what else the upper one carries makes it a little quicker. At large currents both open within milliseconds and may open together.",
    before: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        part!("battery", "lead-agm-12v-12ah"),
        part!("main", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("branch", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("load", "lamp"),
        wire!("heart", "battery.plus", "main.in", 4, 100),
        wire!("middle", "main.out", "branch.in", 4, 100),
        wire!("feed", "branch.out", "load.plus", 1.5, 300),
        wire!("return", "load.minus", "battery.minus", 1.5, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        part!("battery", "lead-agm-12v-12ah"),
        part!("main", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("branch", "fuse-holder-blade", "fuses = { way = \"blade-2a\" }"),
        part!("load", "lamp"),
        wire!("heart", "battery.plus", "main.in", 4, 100),
        wire!("middle", "main.out", "branch.in", 4, 100),
        wire!("feed", "branch.out", "load.plus", 1.5, 300),
        wire!("return", "load.minus", "battery.minus", 1.5, 300),
        situation!("on")
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Short, out: &mut Vec<Finding>) {
    for pair in found.selectivity.iter().filter(|p| p.times <= 1.0) {
        out.push(finding(ground, pair));
    }
}

fn finding(ground: &Ground<'_>, pair: &Pair) -> Finding {
    let robot = ground.robot;
    let name = |p: &(loomdeck_model::PartId, String)| format!("{} {}", robot.parts[p.0.0].name, p.1);
    let (upper, lower) = (Amperes(pair.upper_a), Amperes(pair.lower_a));
    let f = Finding::new(
        PAGE.slug,
        Severity::Look,
        help::part(robot, pair.lower.0),
        format!(
            "A short behind {} is as likely to open the {upper} fuse in {} as its own of {lower}: up to {:.0} flow through both.",
            name(&pair.lower),
            name(&pair.upper),
            Amperes(pair.most_a)
        ),
        "The fuse nearer to the battery is no slower than the one nearer to the short.",
        PAGE.source,
    )
    .with_subject(help::part(robot, pair.upper.0))
    .with_value("rating_a", pair.upper_a)
    .with_limit("rating_a", pair.lower_a)
    .with_value("current_a", pair.most_a);
    help::with_first(
        f,
        smaller(ground, pair),
        Remedy::advice(
            "Choose the two at least a factor of two apart, where the wires and the loads allow it, or leave one of them out.",
        ),
    )
}

/// The largest fuse for the lower way that is less than half the upper one and carries its load.
fn smaller(ground: &Ground<'_>, pair: &Pair) -> Option<Remedy> {
    let robot = ground.robot;
    let (part, way) = (pair.lower.0, &pair.lower.1);
    let result = ground.power.fuses.iter().find(|f| f.part == part && f.way == *way)?;
    let element = robot.type_of(part).elements.iter().find(|e| e.name == *way)?;
    let ElementKind::FuseWay(holder) = &element.kind else { return None };
    let least = result.smallest?;
    let worth = derating(robot.ambient(robot.parts[part.0].place, None).0);
    let fits = |r: &f64| *r <= 0.5 * pair.upper_a * worth.max(0.8) && *r >= least.0;
    let rating = ratings(robot, holder).into_iter().rfind(|r| fits(r))?;
    let named = fuse_named(robot, &holder.form, rating)?;
    Some(Remedy::edit(
        format!("Put a {} fuse into {} {way}.", Amperes(rating), robot.parts[part.0].name),
        vec![help::set_fuse(robot, part, way, &named)],
    ))
}
