//! What holds a short at its own limit, and the wires that do not bear it: for converters and drivers alike.
//! Where only the terminals are too hot it is a matter to look at: they age, and nothing burns.

use crate::faults::Ground;
use crate::faults::short::{Hot, Never, Row, Short};
use crate::findings::help;
use crate::fuse::withstand::{lasting_limit, surroundings};
use crate::heat::wire::{self, Conductor};
use loomdeck_model::units::{Amperes, Celsius};
use loomdeck_model::wire::Gauge;
use loomdeck_model::{Finding, Page, PartId, Remedy, Severity, WireId};
use std::collections::BTreeMap;

/// A wire that does not bear what is held, with the short that heats it most.
type Case<'a> = (&'a Row, &'a Hot);

/// One finding for each thing that `holder` says holds a short, and severity.
pub fn find(
    ground: &Ground<'_>,
    found: &Short,
    out: &mut Vec<Finding>,
    page: &Page,
    holder: impl Fn(&Never) -> Option<PartId>,
) {
    let mut wires: BTreeMap<(PartId, WireId), Case<'_>> = BTreeMap::new();
    for row in &found.to_return {
        let Some(part) = row.never.as_ref().and_then(&holder) else { continue };
        let Some(hot) = &row.hottest else { continue };
        if hot.reaches_c.is_some_and(|c| c <= hot.limit_c) {
            continue;
        }
        let entry = wires.entry((part, hot.wire)).or_insert((row, hot));
        if hot.current_a > entry.1.current_a {
            *entry = (row, hot);
        }
    }
    let mut together: BTreeMap<(PartId, Severity), Vec<Case<'_>>> = BTreeMap::new();
    for ((part, _), case) in wires {
        let severity = if ends_only(ground, case.1) { Severity::Look } else { page.severity };
        together.entry((part, severity)).or_default().push(case);
    }
    for ((part, severity), mut cases) in together {
        let reached = |c: &Case<'_>| c.1.reaches_c.unwrap_or(f64::INFINITY);
        cases.sort_by(|a, b| reached(b).total_cmp(&reached(a)));
        out.extend(finding(ground, page, severity, part, &cases));
    }
}

/// Whether the insulation bears it, and only what ends the wire does not.
fn ends_only(ground: &Ground<'_>, hot: &Hot) -> bool {
    let bears = ground.robot.wires[hot.wire.0].insulation.limit().0;
    hot.limit_c < bears && hot.reaches_c.is_some_and(|c| c <= bears)
}

fn finding(
    ground: &Ground<'_>,
    page: &Page,
    severity: Severity,
    feeder: PartId,
    cases: &[Case<'_>],
) -> Option<Finding> {
    let robot = ground.robot;
    let &(row, hot) = cases.first()?;
    let wire = &robot.wires[hot.wire.0];
    let name = &robot.parts[feeder.0].name;
    let limit = Celsius(hot.limit_c);
    let bears = match severity {
        Severity::Look => {
            format!("its insulation bears {:.0}, what it ends in {limit:.0}", wire.insulation.limit())
        }
        _ => format!("it bears {limit:.0}"),
    };
    let reached = match hot.reaches_c {
        Some(c) => format!("settles at {:.0}", Celsius(c)),
        None => "burns".to_owned(),
    };
    let others = match &cases[1..] {
        [] => String::new(),
        [(_, other)] => format!(" {} is no better.", robot.wires[other.wire.0].name),
        more => format!(" {} more wires are no better.", more.len()),
    };
    let mut f = Finding::new(
        page.slug,
        severity,
        help::wire(robot, hot.wire),
        format!(
            "Shorted at {}, {name} feeds {} into {} for as long as it is on; the wire {reached}. For long {bears}.{others}",
            row.at,
            Amperes(hot.current_a),
            wire.name,
        ),
        format!("{name} holds its limit, and no fuse on the way opens at that current."),
        page.source,
    )
    .with_subject(help::part(robot, feeder));
    for (_, other) in &cases[1..] {
        f = f.with_subject(help::wire(robot, other.wire));
    }
    f = f
        .with_value("current_a", hot.current_a)
        .with_limit("temperature_c", hot.limit_c)
        .with_situation(&robot.situations[row.situation.0].name);
    if let Some(c) = hot.reaches_c {
        f = f.with_value("temperature_c", c);
    }
    if let Some(remedy) = thicker(ground, cases) {
        f = f.with_remedy(remedy);
    }
    Some(f.with_remedy(Remedy::advice(format!(
        "Put a fuse smaller than {} at the output of {name}. When its data sheet says that it switches off when shorted, say so in its type: `shorted = \"trips\"`.",
        Amperes(hot.current_a)
    ))))
}

/// Sizes that bear it, when the ends of every wire take one.
fn thicker(ground: &Ground<'_>, cases: &[Case<'_>]) -> Option<Remedy> {
    let robot = ground.robot;
    let sizes: Option<Vec<(WireId, Gauge)>> =
        cases.iter().map(|(_, hot)| Some((hot.wire, cool(ground, hot)?))).collect();
    let sizes = sizes?;
    let told: Vec<String> =
        sizes.iter().map(|&(w, g)| format!("{} to {g}", robot.wires[w.0].name)).collect();
    let edits = sizes.iter().map(|&(w, g)| help::set_size(robot, w, g)).collect();
    Some(Remedy::edit(format!("Thicken {}.", told.join(", ")), edits))
}

/// The thinnest size that bears what is held for ever and that the wire's ends take.
fn cool(ground: &Ground<'_>, hot: &Hot) -> Option<Gauge> {
    let robot = ground.robot;
    let wire = &robot.wires[hot.wire.0];
    let around = surroundings(robot, &ground.wires, &ground.power.situations, hot.wire);
    let limit = lasting_limit(robot, hot.wire).0;
    let fits = |g: &Gauge| {
        let ends = help::fits(robot, wire.from, *g) && help::fits(robot, wire.to, *g);
        ends && g.area() > wire.gauge.area()
    };
    wire.gauge.series().into_iter().filter(fits).find(|&g| {
        let conductor = Conductor::of(g, wire.insulation);
        let settled = wire::steady(&conductor, hot.current_a * 1.02, around.air, &around.bundles);
        settled.is_some_and(|s| s.inside <= limit)
    })
}
