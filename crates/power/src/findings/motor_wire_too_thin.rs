//! A wire between a driver and its motor is thinner than the driver allows.

use super::{All, help};
use crate::circuit::motors::motor_of;
use crate::fuse::reach::Metal;
use crate::fuse::{curve, withstand};
use crate::heat::wire::{self, Conductor};
use crate::results::ElementResult;
use loomdeck_model::element::{Channel, Driver, ElementKind};
use loomdeck_model::units::{Amperes, Celsius, Volts};
use loomdeck_model::wire::Gauge;
use loomdeck_model::{Finding, Landing, Page, PartId, Remedy, Severity, WireId};
use std::collections::BTreeSet;

/// The page.
pub const PAGE: Page = Page {
    slug: "motor-wire-too-thin",
    severity: Severity::Fix,
    title: "A motor wire is thinner than its driver allows",
    physics: "Between a driver and its motor no fuse of the supply guards the wire: the driver's own limit does. A motor that is held fast draws the bus voltage over its winding's resistance, up to the driver's peak current. For as long as you allow a stall, every wire on that way must stay within its insulation and both terminals, starting as warm as the warmest lasting situation leaves it. What the driver can give for ever, or the held motor can draw if that is less, must not overheat it even when nobody notices the stall: that is a lesser matter, because it takes a jam and an absent builder. A fuse on the way counts with the current it may let pass for ever.",
    source: "The driver's stated peak and continuous current; heat balance as for `wire-too-hot`; IEC 60364-4-43, 433.1, for the principle that what limits the current protects the wire",
    limits: "A driver without an electronic limit at its stated peak does not protect anything; look at its data. A short circuit between the motor wires is left to the driver's own protection.",
    before: small_robot!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-30a\" }"),
        part!("driver", "motor-driver-12v-24v-10a"),
        part!("wheel", "drive-gearmotor-12v-60w"),
        wire!("heart", "battery.plus", "fuse.in", 6, 100),
        wire!("feed", "fuse.out", "driver.plus", 4, 300),
        wire!("return", "driver.minus", "battery.minus", 4, 300),
        wire!("motor-a", "driver.motor-a", "wheel.a", 0.35, 300),
        wire!("motor-b", "driver.motor-b", "wheel.b", 0.35, 300),
        situation!("on")
    ),
    after: small_robot!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-30a\" }"),
        part!("driver", "motor-driver-12v-24v-10a"),
        part!("wheel", "drive-gearmotor-12v-60w"),
        wire!("heart", "battery.plus", "fuse.in", 6, 100),
        wire!("feed", "fuse.out", "driver.plus", 4, 300),
        wire!("return", "driver.minus", "battery.minus", 4, 300),
        wire!("motor-a", "driver.motor-a", "wheel.a", 2.5, 300),
        wire!("motor-b", "driver.motor-b", "wheel.b", 2.5, 300),
        situation!("on")
    ),
};

/// What can flow between a bridge and its motor.
struct Way {
    wires: BTreeSet<WireId>,
    /// Most while the motor is held fast.
    stalled: Amperes,
    /// Most for ever.
    lasting: Amperes,
    /// A fuse limits the lasting current.
    fused: bool,
}

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    let metal = Metal::of(&all.circuit, all.robot);
    for (part, e, kind) in help::elements(all) {
        let ElementKind::Driver(d) = kind else { continue };
        for channel in &d.channels {
            let way = way(all, &metal, part, e, d, channel);
            let worst = way.wires.iter().filter_map(|&w| Some((w, judge(all, w, &way)?)));
            let worst = worst.max_by(|a, b| {
                (a.1.severity < b.1.severity)
                    .cmp(&(b.1.severity < a.1.severity))
                    .then(a.1.over.total_cmp(&b.1.over))
            });
            if let Some((wire, judged)) = worst {
                out.push(finding(all, part, channel, d, &way, wire, &judged));
            }
        }
    }
}

fn way(all: &All<'_>, metal: &Metal, part: PartId, e: usize, d: &Driver, channel: &Channel) -> Way {
    let mut wires = BTreeSet::new();
    for node in [channel.a, channel.b] {
        wires.extend(metal.behind(&all.circuit, all.robot, all.circuit.local(part, node)).wires);
    }
    let ends: Vec<Landing> =
        wires.iter().flat_map(|w| [all.robot.wires[w.0].from, all.robot.wires[w.0].to]).collect();
    let bus = all.study.situations.iter().filter_map(|s| match &s.parts[part.0].elements[e] {
        ElementResult::Driver { voltage, running: true, .. } => Some(*voltage),
        _ => None,
    });
    let bus = bus.fold(Volts(0.0), Volts::max);
    let held = ends.iter().find_map(|end| match end {
        Landing::Part { part, .. } => motor_of(all.robot, *part).map(|(_, m)| bus.0 / m.resistance.0),
        Landing::Plug { .. } => None,
    });
    let held = held.unwrap_or(f64::INFINITY);
    // A fuse that the way leads into lets this much pass for ever.
    let through =
        all.study.fuses.iter().filter(|f| {
            ends.iter().any(|end| matches!(end, Landing::Part { part, .. } if *part == f.part))
        });
    let fuse = through.filter_map(|f| {
        let data = f.fuse.and_then(|t| all.robot.types[t.0].fuse.as_ref())?;
        Some(data.rating.0 * curve::surely_opens(&data.curve))
    });
    let fuse = fuse.fold(f64::INFINITY, f64::min);
    Way {
        wires,
        stalled: Amperes(d.peak.0.min(held)),
        lasting: Amperes(d.continuous.0.min(held).min(fuse)),
        fused: fuse.is_finite(),
    }
}

/// How a wire fares.
struct Judged {
    severity: Severity,
    current: Amperes,
    /// `None`: beyond the model, it burns.
    reached: Option<f64>,
    limit: Celsius,
    over: f64,
}

fn judge(all: &All<'_>, id: WireId, way: &Way) -> Option<Judged> {
    let wire = &all.robot.wires[id.0];
    let conductor = Conductor::of(wire.gauge, wire.insulation);
    let limit = withstand::lasting_limit(all.robot, id);
    let (short, long) = temperatures(all, id, &conductor, way);
    let judged = |severity, current, reached: Option<f64>| {
        let over = reached.map_or(wire::HOTTEST, |t| t) - limit.0;
        (over > 0.0).then_some(Judged { severity, current, reached, limit, over })
    };
    judged(Severity::Fix, way.stalled, short).or_else(|| judged(Severity::Look, way.lasting, long))
}

/// Temperature at the end of an allowed stall, and under the lasting current.
fn temperatures(
    all: &All<'_>,
    id: WireId,
    conductor: &Conductor,
    way: &Way,
) -> (Option<f64>, Option<f64>) {
    let none = vec![0.0; all.robot.wires.len()];
    let bundles = all.wires.bundles_of(id, &none);
    let air = crate::heat::robot::ambient(all.robot, id, None).0;
    let lasting = |s: &&crate::results::SituationResult| all.robot.situations[s.situation.0].lasting;
    let rms =
        all.study.situations.iter().filter(lasting).map(|s| s.wires[id.0].rms.0).fold(0.0, f64::max);
    let start = wire::steady(conductor, rms, air, &bundles).map_or(wire::HOTTEST, |s| s.inside);
    let end = wire::after(conductor, way.stalled.0, air, &bundles, start, all.robot.limits.stall.0);
    let long = wire::steady(conductor, way.lasting.0, air, &bundles).map(|s| s.inside);
    ((end < wire::HOTTEST).then_some(end), long)
}

fn finding(
    all: &All<'_>,
    part: PartId,
    channel: &Channel,
    d: &Driver,
    way: &Way,
    id: WireId,
    judged: &Judged,
) -> Finding {
    let wire = &all.robot.wires[id.0];
    let name = &all.robot.parts[part.0].name;
    let reaches = judged.reached.map_or_else(
        || "burns: it passes 400\u{2009}°C".to_owned(),
        |t| format!("reaches {:.0}", Celsius(t)),
    );
    let stall = all.robot.limits.stall;
    let (when, why) = if judged.severity == Severity::Fix {
        (
            format!("when its motor is held fast for {stall}"),
            format!(
                "{name} {} lets {} pass then (its peak is {}), and no fuse of the supply guards this wire.",
                channel.name, way.stalled, d.peak
            ),
        )
    } else {
        let by = if way.fused { "its fuse lets pass for ever" } else { "the driver can give for ever" };
        (
            "when its motor is held fast and nobody notices".to_owned(),
            format!(
                "{} is what {by}. In an allowed stall of {stall} the driver's limit protects it.",
                way.lasting
            ),
        )
    };
    let mut f = Finding::new(
        PAGE.slug,
        judged.severity,
        help::wire(all.robot, id),
        format!("{} {reaches} {when}; it is good for {:.0}.", wire.name, judged.limit),
        why,
        PAGE.source,
    )
    .with_subject(help::part(all.robot, part))
    .with_value("current_a", judged.current.0)
    .with_value("stall_time_s", stall.0)
    .with_limit("temperature_c", judged.limit.0);
    if let Some(t) = judged.reached {
        f = f.with_value("temperature_c", t);
    }
    help::with_first(
        f,
        thicker(all, way),
        Remedy::advice("Use thicker wire, or set the driver's limit lower."),
    )
}

/// Thickens every wire of the way that needs it.
fn thicker(all: &All<'_>, way: &Way) -> Option<Remedy> {
    let mut sizes = Vec::new();
    for &id in way.wires.iter().filter(|&&id| judge(all, id, way).is_some()) {
        let wire = &all.robot.wires[id.0];
        let limit = withstand::lasting_limit(all.robot, id).0;
        let cool = |g: &Gauge| {
            let (short, long) = temperatures(all, id, &Conductor::of(*g, wire.insulation), way);
            let stays = |t: Option<f64>| t.is_some_and(|t| t <= limit);
            stays(short) && stays(long)
        };
        let thicker = wire.gauge.series().into_iter().filter(|g| g.area() > wire.gauge.area());
        let fits = |g: &Gauge| [wire.from, wire.to].iter().all(|&end| help::fits(all.robot, end, *g));
        let size = thicker.into_iter().find(|g| cool(g) && fits(g))?;
        sizes.push((id, size));
    }
    let told: Vec<String> =
        sizes.iter().map(|(w, g)| format!("{} to {g}", all.robot.wires[w.0].name)).collect();
    let edits = sizes.iter().map(|&(w, g)| help::set_size(all.robot, w, g)).collect();
    (!sizes.is_empty()).then(|| Remedy::edit(format!("Thicken {}.", told.join(", ")), edits))
}
