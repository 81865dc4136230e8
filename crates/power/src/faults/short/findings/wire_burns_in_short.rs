//! A wire passes what its insulation bears before the fuse opens.

use crate::faults::Ground;
use crate::faults::short::{Hot, Opens, Row, Short};
use crate::findings::help;
use crate::fuse::curve::slowest;
use crate::fuse::series::{fuse_named, ratings};
use crate::heat::wire::{self, Conductor};
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::{Amperes, Celsius, Seconds};
use loomdeck_model::{Finding, Page, Remedy, Severity, WireId};
use std::collections::BTreeMap;

/// The page.
pub const PAGE: Page = Page {
    slug: "wire-burns-in-short",
    severity: Severity::Danger,
    title: "A short circuit burns a wire before the fuse opens",
    physics: "Until the slowest specimen of the fuse has opened, every wire on the way of the short heats with I²·t. In the first seconds next to no heat leaves: the copper takes it (adiabatic heating, with k = 115 A·√s/mm² for copper in PVC from 70 °C to 160 °C), with the part of the insulation that the heat has reached by then. A current that divides takes every way back there is, so that a thin wire beside a thick one, a signal's return or a screen, carries its share: what the fuse protects in the thick wire may burn the thin one.\n\n`fuse-larger-than-wire-allows` holds each fuse against the wires it is meant for. This finding comes from solving the short itself, and tells only what that one does not: wires that are not behind the fuse on the chart, but on the way of the current.",
    source: "IEC 60949 (1988), adiabatic and non-adiabatic heating; IEC 60364-5-54, annex A, for k (from memory); IEC 60364-4-43, 434.5.2; opening-time limits of ISO 8820-3 (from memory) or the fuse type's own; the solved network",
    limits: "A bolted short of 1 mΩ; full and nearly empty batteries, whichever heats more. Up to 5 s the short-circuit limit of the insulation counts, beyond that its lasting one.",
    before: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        part!("battery", "lead-agm-12v-35ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-30a\" }"),
        part!("load", "lamp"),
        wire!("heart", "battery.plus", "fuse.in", 10, 100),
        wire!("feed", "fuse.out", "load.plus", 6, 300),
        wire!("return", "load.minus", "battery.minus", 6, 3000),
        wire!("ground", "load.minus", "battery.minus", 0.22, 100),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        part!("battery", "lead-agm-12v-35ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-3a\" }"),
        part!("load", "lamp"),
        wire!("heart", "battery.plus", "fuse.in", 10, 100),
        wire!("feed", "fuse.out", "load.plus", 6, 300),
        wire!("return", "load.minus", "battery.minus", 6, 3000),
        wire!("ground", "load.minus", "battery.minus", 0.22, 100),
        situation!("on")
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Short, out: &mut Vec<Finding>) {
    let mut worst: BTreeMap<WireId, (&Row, &Hot)> = BTreeMap::new();
    for row in &found.to_return {
        let (None, Some(hot)) = (&row.never, &row.hottest) else { continue };
        if hot.reaches_c.is_some_and(|c| c <= hot.limit_c) || told(ground, row, hot.wire) {
            continue;
        }
        let hotter = |h: &Hot| h.reaches_c.unwrap_or(f64::INFINITY);
        let entry = worst.entry(hot.wire).or_insert((row, hot));
        if hotter(hot) > hotter(entry.1) {
            *entry = (row, hot);
        }
    }
    out.extend(worst.into_values().map(|(row, hot)| finding(ground, row, hot)));
}

/// Whether `fuse-larger-than-wire-allows` tells of this wire already: a fuse that opens is above its window.
fn told(ground: &Ground<'_>, row: &Row, id: WireId) -> bool {
    let fuses = row.full.opens.iter().filter(|o| o.what == Opens::Fuse);
    fuses.into_iter().any(|o| {
        ground.power.fuses.iter().any(|f| {
            f.part == o.part
                && f.way == o.element
                && (f.wires.contains(&id) || f.before.contains(&id))
                && f.largest.is_none_or(|most| most.0 < o.rating_a)
        })
    })
}

fn finding(ground: &Ground<'_>, row: &Row, hot: &Hot) -> Finding {
    let robot = ground.robot;
    let wire = &robot.wires[hot.wire.0];
    let limit = Celsius(hot.limit_c);
    let reached = match hot.reaches_c {
        Some(c) => format!("reaches {:.0}", Celsius(c)),
        None => "burns: it passes 400\u{2009}°C".to_owned(),
    };
    let time = Seconds(hot.time_s.unwrap_or(0.0));
    let fuse = row.full.opens.first();
    let by = fuse.map_or(String::new(), |o| {
        format!(" before the {} fuse in {} has opened", Amperes(o.rating_a), robot.parts[o.part.0].name)
    });
    let mut f = Finding::new(
        PAGE.slug,
        Severity::Danger,
        help::wire(robot, hot.wire),
        format!(
            "A short at {} sends {:.0} through {}; it {reached}{by}. It bears {limit:.0} for that long.",
            row.at,
            Amperes(hot.current_a),
            wire.name
        ),
        format!(
            "{} in {} for up to {time}, from {:.0}.",
            Amperes(hot.current_a),
            wire.gauge,
            Celsius(hot.start_c)
        ),
        PAGE.source,
    )
    .with_value("current_a", hot.current_a)
    .with_value("time_s", time.0)
    .with_limit("temperature_c", hot.limit_c)
    .with_situation(&robot.situations[row.situation.0].name);
    if let Some(c) = hot.reaches_c {
        f = f.with_value("temperature_c", c);
    }
    if let Some(remedy) = smaller(ground, row, hot) {
        f = f.with_remedy(remedy);
    }
    // Thicker, it takes a larger share of the current as well: more is asked than its size alone.
    let thicker = wire.gauge.series().into_iter().find(|g| {
        let share = g.area().0 / wire.gauge.area().0;
        g.area() > wire.gauge.area()
            && wire::after(
                &Conductor::of(*g, wire.insulation),
                hot.current_a * share.sqrt().min(3.0),
                hot.start_c,
                &[],
                hot.start_c,
                time.0,
            ) < hot.limit_c
    });
    if let Some(gauge) = thicker {
        f = f.with_remedy(help::resize(robot, hot.wire, gauge, ""));
    }
    f.with_remedy(Remedy::advice(
        "Use a smaller fuse, or lead this wire so that no short can send its current through it.",
    ))
}

/// The largest fuse that opens before the wire is too hot, and still carries what it must.
fn smaller(ground: &Ground<'_>, row: &Row, hot: &Hot) -> Option<Remedy> {
    let robot = ground.robot;
    let opening = row.low.opens.iter().find(|o| o.what == Opens::Fuse)?;
    let (part, way) = (opening.part, opening.element.as_str());
    let result = ground.power.fuses.iter().find(|f| f.part == part && f.way == way)?;
    let element = robot.type_of(part).elements.iter().find(|e| e.name == way)?;
    let ElementKind::FuseWay(holder) = &element.kind else { return None };
    let fuse = robot.types[result.fuse?.0].fuse.as_ref()?;
    let conductor = &ground.wires.conductors[hot.wire.0];
    let cool = |rating: f64| {
        let time = slowest(&fuse.curve, opening.current_a / rating);
        let end = wire::after(conductor, hot.current_a, hot.start_c, &[], hot.start_c, time.min(60.0));
        end < hot.start_c + 0.9 * (hot.limit_c - hot.start_c)
    };
    let fits = |r: &f64| *r < opening.rating_a && result.smallest.is_some_and(|s| *r >= s.0) && cool(*r);
    let rating = ratings(robot, holder).into_iter().rfind(|r| fits(r))?;
    let named = fuse_named(robot, &holder.form, rating)?;
    Some(Remedy::edit(
        format!("Put a {} fuse into {} {way}.", Amperes(rating), robot.parts[part.0].name),
        vec![help::set_fuse(robot, part, way, &named)],
    ))
}
