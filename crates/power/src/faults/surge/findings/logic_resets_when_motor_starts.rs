//! Something resets when a motor starts.

use super::short;
use crate::faults::surge::types::*;
use crate::findings::{All, help, shelf};
use crate::results::ElementResult;
use loomdeck_model::units::{Amperes, Volts};
use loomdeck_model::wire::Gauge;
use loomdeck_model::{Finding, Page, PartId, Remedy, Severity, WireId};

/// The page.
pub const PAGE: Page = Page {
    slug: "logic-resets-when-motor-starts",
    severity: Severity::Fix,
    title: "Electronics reset when a motor starts",
    physics: "A motor that stands still has no voltage of its own: at full duty only its winding limits the current, many times what it takes when it turns. The battery's resistance and that of the wires in common pull every supply on the same rail down by that step; at first the capacitors help, then the inductance of the wires delays what comes after. Electronics that see less than they need, even for a millisecond, start anew.\n\nThe step of all motors of a driver at once is followed in time on the network with its capacitors; the dip is taken off the voltages that the situation has while those motors stand.",
    source: "The motor's winding resistance and its driver's peak current; Kirchhoff's laws; the stated brown-out voltages",
    limits: "Full duty at once: a control that ramps up makes a smaller dip. Converters are taken to follow their input without what their outputs store. The battery has no slower dip of its own.",
    before: small_robot!(
        load_with!("player", 100, 20),
        part!("battery", "lead-agm-12v-12ah"),
        two_wheels!("dual-motor-driver-24v-30a", "drive-gearmotor-12v-60w", 2.5)
    ),
    after: small_robot!(
        load_with!("player", 100, 20),
        part!("battery", "lead-agm-12v-12ah"),
        two_wheels!("dual-motor-driver-24v-30a", "drive-gearmotor-12v-60w", 6)
    ),
};

pub(super) fn find(all: &All<'_>, found: &Surge, out: &mut Vec<Finding>) {
    let mut told: Vec<PartId> = Vec::new();
    let mut rails: Vec<(&Dip, &RailDip)> =
        found.dips.iter().flat_map(|d| d.rails.iter().map(move |r| (d, r))).collect();
    rails.retain(|(_, r)| !r.resets.is_empty());
    rails.sort_by(|a, b| a.1.part.cmp(&b.1.part).then(a.1.lowest_v.total_cmp(&b.1.lowest_v)));
    for (dip, rail) in rails {
        let resets: Vec<PartId> =
            rail.resets.iter().copied().filter(|&p| !browns_out_anyway(all, p)).collect();
        if resets.is_empty() || told.contains(&rail.part) {
            continue;
        }
        told.push(rail.part);
        out.push(finding(all, dip, rail, &resets));
    }
}

/// An operating point already shows it below its brown-out voltage, which is told there.
fn browns_out_anyway(all: &All<'_>, part: PartId) -> bool {
    let kind = all.robot.type_of(part);
    let low = kind.elements.iter().find_map(|e| match &e.kind {
        loomdeck_model::element::ElementKind::Load(l) => Some(l.brown_out.0),
        _ => None,
    });
    all.study.situations.iter().any(|s| {
        s.parts[part.0].elements.iter().any(|e| match e {
            ElementResult::Load { peak_voltage, .. } => low.is_some_and(|low| peak_voltage.0 < low),
            _ => false,
        })
    })
}

/// A remedy gains this much more than it must.
const IN_HAND: f64 = 1.1;

fn finding(all: &All<'_>, dip: &Dip, rail: &RailDip, resets: &[PartId]) -> Finding {
    let name = |p: PartId| all.robot.parts[p.0].name.as_str();
    let list = |parts: &[PartId]| parts.iter().map(|&p| name(p)).collect::<Vec<_>>().join(", ");
    let needs = rail.needs_v.unwrap_or(0.0);
    let situation = &all.robot.situations[dip.situation.0].name;
    let mut f = Finding::new(
        PAGE.slug,
        Severity::Fix,
        help::part(all.robot, rail.part),
        format!(
            "When {} {} at full duty in `{situation}`, the supply of {} dips from {:.1} to {:.1}; it needs {:.1}, and {} may reset.",
            list(&dip.motors),
            if dip.motors.len() == 1 { "starts" } else { "start" },
            name(rail.part),
            Volts(rail.before_v),
            Volts(rail.lowest_v),
            Volts(needs),
            list(resets)
        ),
        format!(
            "Standing, the motors take {} from {}; battery and wires in common lose that much within {}.",
            Amperes(dip.current_a),
            name(dip.driver),
            short(rail.time_s)
        ),
        PAGE.source,
    )
    .with_value("voltage_v", rail.lowest_v)
    .with_limit("voltage_v", needs)
    .with_situation(situation);
    for &p in resets.iter().filter(|&&p| p != rail.part) {
        f = f.with_subject(help::part(all.robot, p));
    }
    // The motors as the resistance that lowest_v drives the current through: how much less the supply may
    // lose at that current so that, with what they take then, enough is left.
    let left = rail.before_v - needs;
    let gain = IN_HAND * (rail.before_v - rail.lowest_v - left * rail.lowest_v / needs.max(0.1));
    for remedy in [thicker(all, dip, rail, gain), stiffer(all, dip, gain)].into_iter().flatten() {
        f = f.with_remedy(remedy);
    }
    f.with_remedy(Remedy::advice(
        "Let the control ramp the motors up over some tenths of a second, and limit their current while they stand.",
    ))
    .with_remedy(Remedy::advice(format!(
        "Lead {} its own pair of wires from the battery, with a diode and a capacitor behind it that bridges the dip.",
        name(rail.part)
    )))
}

/// Thickens the wires that the driver and the part have in common, each time the one that loses most,
/// until they lose this much less.
fn thicker(all: &All<'_>, dip: &Dip, rail: &RailDip, gain: f64) -> Option<Remedy> {
    let robot = all.robot;
    let drops = &all.study.situations[dip.situation.0].drops;
    let way = |part: PartId| drops.iter().find(|d| d.part == part);
    let theirs = way(rail.part)?;
    let common: Vec<WireId> =
        way(dip.driver)?.wires.iter().copied().filter(|w| theirs.wires.contains(w)).collect();
    let loses = |w: WireId, g: Gauge| dip.current_a * g.ohms_per_metre().0 * all.circuit.length[w.0];
    let mut sizes: Vec<(WireId, Gauge)> = common.iter().map(|&w| (w, robot.wires[w.0].gauge)).collect();
    let mut gained = 0.0;
    while gained < gain {
        let next = |&(w, g): &(WireId, Gauge)| {
            let wire = &robot.wires[w.0];
            let fits = |n: &Gauge| help::fits(robot, wire.from, *n) && help::fits(robot, wire.to, *n);
            g.thicker().filter(fits)
        };
        let (at, thick) =
            sizes.iter().enumerate().filter_map(|(i, s)| Some((i, next(s)?))).max_by(|a, b| {
                let lost = |i: usize| loses(sizes[i].0, sizes[i].1);
                lost(a.0).total_cmp(&lost(b.0)).then(b.0.cmp(&a.0))
            })?;
        gained += loses(sizes[at].0, sizes[at].1) - loses(sizes[at].0, thick);
        sizes[at].1 = thick;
    }
    sizes.retain(|&(w, g)| g != robot.wires[w.0].gauge);
    let told: Vec<String> =
        sizes.iter().map(|(w, g)| format!("{} to {g}", robot.wires[w.0].name)).collect();
    let edits = sizes.iter().map(|&(w, g)| help::set_size(robot, w, g)).collect();
    (!told.is_empty()).then(|| Remedy::edit(format!("Thicken {}.", told.join(", ")), edits))
}

/// A battery of less resistance that gives this much more while the motors start.
fn stiffer(all: &All<'_>, dip: &Dip, gain: f64) -> Option<Remedy> {
    let of = |p: PartId| shelf::battery(all.robot.type_of(p));
    let part = (0..all.robot.parts.len()).map(PartId).find(|&p| of(p).is_some())?;
    let own = of(part)?;
    let count = f64::from(u32::try_from(shelf::string(all, part).len()).unwrap_or(1));
    let gives = |r: f64| dip.current_a * count * (own.resistance.0 - r);
    shelf::other_battery(all, part, |b| gives(b.resistance.0) >= gain, ", which has less resistance")
}
