//! A converter holds a short for ever, with more than the wire bears.

use crate::faults::Ground;
use crate::faults::short::{Hot, Never, Row, Short};
use crate::findings::help;
use crate::fuse::withstand::{lasting_limit, surroundings};
use crate::heat::wire::{self, Conductor};
use loomdeck_model::units::{Amperes, Celsius};
use loomdeck_model::wire::Gauge;
use loomdeck_model::{Finding, Page, Remedy, Severity, WireId};
use std::collections::BTreeMap;

/// The page.
pub const PAGE: Page = Page {
    slug: "converter-feeds-short",
    severity: Severity::Fix,
    title: "A converter feeds a short for ever, and the wire does not bear it",
    physics: "A converter does not drive a large current into a short: it holds its limit, and no fuse at its input sees more than the usual current, because at next to no voltage there is next to no power. So nothing opens, and the wire at its output carries the limit until somebody looks. The wire must bear that current for ever, or a fuse smaller than the limit must stand at its beginning.",
    source: "The converter's stated limit; the heat balance of `wire-too-hot`",
    limits: "Converters are taken to hold their limit. Many pulse instead (hiccup) and heat much less; when its data sheet says so, this finding does not apply.",
    before: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 0.5),
        part!("battery-a", "lead-agm-12v-12ah"),
        part!("battery-b", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-7-5a\" }"),
        part!("converter", "converter-24v-12v-10a"),
        part!("load", "lamp"),
        wire!("link", "battery-a.plus", "battery-b.minus", 4, 100),
        wire!("heart", "battery-b.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "converter.in-plus", 1.5, 300),
        wire!("back", "converter.in-minus", "battery-a.minus", 1.5, 300),
        wire!("lamp-feed", "converter.out-plus", "load.plus", 0.22, 300),
        wire!("lamp-back", "load.minus", "converter.out-minus", 2.5, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 0.5),
        part!("battery-a", "lead-agm-12v-12ah"),
        part!("battery-b", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-7-5a\" }"),
        part!("converter", "converter-24v-12v-10a"),
        part!("load", "lamp"),
        wire!("link", "battery-a.plus", "battery-b.minus", 4, 100),
        wire!("heart", "battery-b.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "converter.in-plus", 1.5, 300),
        wire!("back", "converter.in-minus", "battery-a.minus", 1.5, 300),
        wire!("lamp-feed", "converter.out-plus", "load.plus", 2.5, 300),
        wire!("lamp-back", "load.minus", "converter.out-minus", 2.5, 300),
        situation!("on")
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Short, out: &mut Vec<Finding>) {
    let mut worst: BTreeMap<WireId, (&Row, &Hot)> = BTreeMap::new();
    for row in &found.to_return {
        let (Some(Never::Limited { .. }), Some(hot)) = (&row.never, &row.hottest) else { continue };
        if hot.reaches_c.is_none_or(|c| c > hot.limit_c) {
            worst.entry(hot.wire).or_insert((row, hot));
        }
    }
    out.extend(worst.into_values().map(|(row, hot)| finding(ground, row, hot)));
}

fn finding(ground: &Ground<'_>, row: &Row, hot: &Hot) -> Finding {
    let robot = ground.robot;
    let wire = &robot.wires[hot.wire.0];
    let feeder = match row.never {
        Some(Never::Limited { part, .. }) => part,
        _ => row.full.sources.first().map_or(loomdeck_model::PartId(0), |s| s.part),
    };
    let name = &robot.parts[feeder.0].name;
    let reached = match hot.reaches_c {
        Some(c) => format!("settles at {:.0}", Celsius(c)),
        None => "burns".to_owned(),
    };
    let mut f = Finding::new(
        PAGE.slug,
        Severity::Fix,
        help::wire(robot, hot.wire),
        format!(
            "Shorted at {}, {name} feeds {} into {} for as long as it is on; the wire {reached}, and bears {:.0} for long.",
            row.at,
            Amperes(hot.current_a),
            wire.name,
            Celsius(hot.limit_c)
        ),
        format!("{name} holds its limit, and no fuse on the way opens at that current."),
        PAGE.source,
    )
    .with_subject(help::part(robot, feeder))
    .with_value("current_a", hot.current_a)
    .with_limit("temperature_c", hot.limit_c)
    .with_situation(&robot.situations[row.situation.0].name);
    if let Some(c) = hot.reaches_c {
        f = f.with_value("temperature_c", c);
    }
    let around = surroundings(robot, &ground.wires, &ground.power.situations, hot.wire);
    let limit = lasting_limit(robot, hot.wire).0;
    let fits = |g: &Gauge| {
        let ends = help::fits(robot, wire.from, *g) && help::fits(robot, wire.to, *g);
        ends && g.area() > wire.gauge.area()
    };
    let cool = wire.gauge.series().into_iter().filter(fits).find(|&g| {
        let conductor = Conductor::of(g, wire.insulation);
        let settled = wire::steady(&conductor, hot.current_a * 1.02, around.air, &around.bundles);
        settled.is_some_and(|s| s.inside <= limit)
    });
    if let Some(gauge) = cool {
        f = f.with_remedy(help::resize(robot, hot.wire, gauge, ""));
    }
    f.with_remedy(Remedy::advice(format!(
        "Put a fuse smaller than {} at the output of {name}, or use one that switches off when it is shorted.",
        Amperes(hot.current_a)
    )))
}
