//! A short draws too little to open its fuse.

use crate::faults::Ground;
use crate::faults::short::{Never, Row, Short};
use crate::findings::help;
use crate::fuse::curve::surely_opens;
use crate::fuse::series::{fuse_named, ratings};
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::{Amperes, Celsius};
use loomdeck_model::{Finding, Page, PartId, Remedy, Severity};
use std::collections::BTreeMap;

/// The page.
pub const PAGE: Page = Page {
    slug: "short-never-cleared",
    severity: Severity::Danger,
    title: "A short circuit draws too little to open its fuse",
    physics: "A fuse opens only when the current is well above its rating: a blade fuse surely from 135 % on. A long thin wire holds the current back, as does a small or nearly empty battery. When a short at the far end draws less than what opens the fuse surely, it may flow until the battery is empty. All of the battery's power then goes into the wires, and whatever bridges the two conductors glows.\n\nEvery short is solved on the whole network, with full batteries and with nearly empty ones; the smaller current counts here.",
    source: "Opening-time limits of ISO 8820-3 (from memory) or the fuse type's own; IEC 60364-4-43, 434.5, for the principle: the smallest short-circuit current must open the device; the solved network",
    limits: "A bolted short of 1 mΩ. An arc draws less. The battery's stated resistance is used for the nearly empty battery too.",
    before: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "blade-30a", "lamp", 0.75, 6000),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "blade-3a", "lamp", 0.75, 6000),
        situation!("on")
    ),
};

/// What a smaller fuse must gain on the smallest current.
const SURE: f64 = 0.9;

pub(super) fn find(ground: &Ground<'_>, found: &Short, out: &mut Vec<Finding>) {
    // One finding a fuse: the short that draws least stands for all behind it.
    let mut worst: BTreeMap<(PartId, &str), (&Row, f64, usize)> = BTreeMap::new();
    for row in &found.to_return {
        let Some(Never::TooSmall { part, way, surely_a, .. }) = &row.never else { continue };
        let entry = worst.entry((*part, way)).or_insert((row, *surely_a, 0));
        entry.2 += 1;
        if row.low.current_a < entry.0.low.current_a {
            entry.0 = row;
        }
    }
    for ((part, way), (row, surely, count)) in worst {
        out.push(finding(ground, part, way, row, surely, count));
    }
}

fn finding(
    ground: &Ground<'_>,
    part: PartId,
    way: &str,
    row: &Row,
    surely: f64,
    count: usize,
) -> Finding {
    let robot = ground.robot;
    let name = &robot.parts[part.0].name;
    let (least, opens) = (Amperes(row.low.current_a), Amperes(surely));
    let heat = row.hottest.as_ref();
    let burns = heat.is_some_and(|h| h.reaches_c.is_none_or(|c| c > h.limit_c));
    let heated = heat.map_or(String::new(), |h| {
        let wire = &robot.wires[h.wire.0].name;
        match h.reaches_c {
            Some(c) if c > h.limit_c => {
                format!(" {wire} reaches {:.0} of {:.0}.", Celsius(c), Celsius(h.limit_c))
            }
            Some(c) => format!(" The wires bear it: {wire} settles at {:.0}.", Celsius(c)),
            None => format!(" {wire} burns."),
        }
    });
    let others = if count > 1 {
        format!(" {} other places behind it are alike.", count - 1)
    } else {
        String::new()
    };
    let severity = if burns { Severity::Danger } else { Severity::Fix };
    let mut f = Finding::new(
        PAGE.slug,
        severity,
        help::part(robot, part),
        format!(
            "A short at {} draws {least} while the battery is low; the fuse in {name} {way} surely opens only from {opens} on.{heated}{others}",
            row.at
        ),
        "The wires and the battery hold the current back more than the fuse allows for.",
        PAGE.source,
    )
    .with_value("current_a", least.0)
    .with_limit("current_a", opens.0)
    .with_situation(&robot.situations[row.situation.0].name);
    if let Some(h) = heat {
        f = f.with_subject(help::wire(robot, h.wire));
        if let Some(c) = h.reaches_c {
            f = f.with_value("temperature_c", c).with_limit("temperature_c", h.limit_c);
        }
    }
    if let Some(remedy) = smaller(ground, part, way, least.0) {
        f = f.with_remedy(remedy);
    }
    f.with_remedy(Remedy::advice(
        "Use thicker or shorter wires there, so that a short draws enough, or split the way into smaller ones with smaller fuses.",
    ))
}

/// The largest fuse that this current opens surely and that still carries what it must.
fn smaller(ground: &Ground<'_>, part: PartId, way: &str, least: f64) -> Option<Remedy> {
    let robot = ground.robot;
    let result = ground.power.fuses.iter().find(|f| f.part == part && f.way == way)?;
    let element = robot.type_of(part).elements.iter().find(|e| e.name == way)?;
    let ElementKind::FuseWay(holder) = &element.kind else { return None };
    let fuse = robot.types[result.fuse?.0].fuse.as_ref()?;
    let surely = surely_opens(&fuse.curve);
    let fits = |r: &f64| r * surely <= SURE * least && result.smallest.is_some_and(|s| *r >= s.0);
    let rating = ratings(robot, holder).into_iter().rfind(|r| fits(r))?;
    let named = fuse_named(robot, &holder.form, rating)?;
    Some(Remedy::edit(
        format!("Put a {} fuse into {} {way}.", Amperes(rating), robot.parts[part.0].name),
        vec![help::set_fuse(robot, part, way, &named)],
    ))
}
