//! Pushed by hand, the motors lift a supply above what something on it bears.

use super::names;
use crate::faults::motion::{Motion, Push, Victim};
use crate::findings::{All, help, shelf};
use loomdeck_model::units::*;
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "pushed-bus-too-high",
    severity: Severity::Danger,
    title: "Pushed by hand, the motors lift the bus too high",
    physics: "A motor that is turned from outside is a generator: its voltage is k·ω. The four body diodes of each bridge of a driver that is off rectify it onto the driver's supply. While the supply is cut off from the battery nothing takes the current, and the voltage follows the speed; with a way back to the battery the current flows as soon as that voltage passes the battery's, the supply stays near it, and the builder feels the drag.\n\nThe network is solved at one speed after another up to `push_speed_m_s`, with the switches off and on, the chargers out and in. The speed at which a limit is passed is narrowed down by further solutions.",
    source: "The permanent-magnet motor's equations (v = i·R + k·ω, torque = k·i); diodes by their forward voltage; the stated absolute maximum, damage and rated voltages",
    limits: "Steady speed. The battery is taken to accept the current. A pulse from the windings' inductance when a contact opens is not in it.",
    before: roller!("push_speed_m_s = 2.5", "", ""),
    after: roller!("push_speed_m_s = 2.5", "", way_back!("schottky-60a-100v-plate", 4)),
};

pub(super) fn find(all: &All<'_>, found: &Motion, out: &mut Vec<Finding>) {
    let with = || found.pushes.iter().filter(|p| p.with_battery);
    let mut drivers: Vec<(&Push, &Victim)> = Vec::new();
    for (p, v) in with().flat_map(|p| p.victims.iter().map(move |v| (p, v))).filter(|v| v.1.driver) {
        match drivers.iter_mut().find(|d| d.1.part == v.part) {
            Some(known) if v.at_m_s < 0.99 * known.1.at_m_s => *known = (p, v),
            Some(_) => {}
            None => drivers.push((p, v)),
        }
    }
    for (push, v) in drivers {
        let runs_at = lowest(all, v);
        let stronger = shelf::other_driver(
            all,
            v.part,
            |o| o.absolute_max.0 > v.reached_v && o.window_low < runs_at,
            ", which bears this voltage",
        );
        out.push(help::with_first(told(all, found, push, &[v]), stronger, way(found)));
    }
    // What hangs on the same rails is told once, by what goes first.
    let others = with()
        .map(|p| (p, p.victims.iter().filter(|v| !v.driver).collect::<Vec<_>>()))
        .filter(|(_, v)| !v.is_empty())
        .min_by(|a, b| a.1[0].at_m_s.total_cmp(&b.1[0].at_m_s));
    if let Some((push, victims)) = others {
        out.push(told(all, found, push, &victims).with_remedy(way(found)));
    }
}

/// The way past the switch, with what it gains where that is known.
fn way(found: &Motion) -> Remedy {
    let closed = found.pushes.iter().find(|p| p.with_battery && p.name == "switched on");
    let most = closed.map(|p| p.buses.iter().flat_map(|b| &b.series).map(|s| s.1).fold(0.0, f64::max));
    let gain = most.filter(|v| *v > 0.0).map_or(String::new(), |v| {
        format!(
            ": with the switch closed the bus stays at {:.1}, and with a diode about a volt above that",
            Volts(v)
        )
    });
    Remedy::advice(format!(
        "Lead the current from the bus back to the battery's side of the switch through a power diode and a fuse of its own{gain}. The diode lets nothing out of the battery."
    ))
}

fn told(all: &All<'_>, found: &Motion, push: &Push, victims: &[&Victim]) -> Finding {
    let first = victims[0];
    let what = format!(
        "Pushed faster than {:.1} ({}), the motors lift the supply of {} above its {} of {:.1}; at {:.1} it reaches {:.1}.",
        MetresPerSecond(first.at_m_s),
        push.name,
        names(victims.iter().map(|v| v.name.as_str())),
        first.limit,
        Volts(first.limit_v),
        MetresPerSecond(found.push_speed_m_s),
        Volts(first.reached_v),
    );
    let given = push.points.last().map_or(0.0, |p| p.into_battery_a);
    let why = if given > 0.1 {
        "The body diodes of the drivers rectify what the motors generate; the way back to the battery takes some of it, but at this speed not enough."
    } else {
        "The body diodes of the drivers rectify what the motors generate, and nothing takes the current away at a lower voltage."
    };
    let mut f = Finding::new(
        PAGE.slug,
        Severity::Danger,
        help::part(all.robot, first.part),
        what,
        why,
        PAGE.source,
    )
    .with_value("voltage_v", first.reached_v)
    .with_limit("voltage_v", first.limit_v)
    .with_value("speed_m_s", first.at_m_s)
    .with_limit("speed_m_s", found.push_speed_m_s);
    for v in &victims[1..] {
        f = f.with_subject(help::part(all.robot, v.part));
    }
    f
}

/// The lowest supply at which the driver runs in any situation.
fn lowest(all: &All<'_>, v: &Victim) -> Volts {
    use crate::results::ElementResult;
    let running =
        all.study.situations.iter().flat_map(|s| &s.parts[v.part.0].elements).filter_map(|e| match e {
            ElementResult::Driver { peak_voltage, running: true, .. } => Some(*peak_voltage),
            _ => None,
        });
    running.fold(Volts(f64::INFINITY), Volts::min)
}
