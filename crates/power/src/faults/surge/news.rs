//! What is well, and where the models end, in sentences.

use super::events::{FUSE_BEARS, opens_at_once};
use super::types::*;
use crate::faults::Ground;
use loomdeck_model::units::{Amperes, Volts};

/// What is well, with its margin.
pub(super) fn good(ground: &Ground<'_>, found: &Surge) -> Vec<String> {
    let mut out = Vec::new();
    let robot = ground.robot;
    let rated: Vec<_> = found.events.iter().filter_map(|e| Some((e, e.make_a?))).collect();
    if !rated.is_empty() && rated.iter().all(|(e, make)| e.peak_a <= *make) {
        let closest = rated.iter().max_by(|a, b| (a.0.peak_a / a.1).total_cmp(&(b.0.peak_a / b.1)));
        if let Some((e, make)) = closest {
            out.push(format!(
                "Every contact makes less than it is rated for when capacitors fill; the closest is {} with {} of {}.",
                e.name,
                Amperes(e.peak_a),
                Amperes(*make)
            ));
        }
    }
    let pulses: Vec<&FusePulse> = found.events.iter().flat_map(|e| &e.fuses).collect();
    if let Some(most) = pulses.iter().max_by(|a, b| a.percent.total_cmp(&b.percent))
        && most.percent <= FUSE_BEARS
    {
        out.push(format!(
            "No fuse ages when the robot is switched on: the surge that is hardest on one brings {} {} to {} of what melts it.",
            robot.parts[most.part.0].name,
            most.way,
            if most.percent < 1.0 {
                "less than 1\u{2009}%".to_owned()
            } else {
                format!("{:.0}\u{2009}%", most.percent)
            }
        ));
    }
    if !found.dips.is_empty() && found.dips.iter().flat_map(|d| &d.rails).all(|r| r.resets.is_empty()) {
        let rails = found.dips.iter().flat_map(|d| &d.rails).filter_map(|r| Some((r, r.needs_v?)));
        if let Some((r, needs)) =
            rails.min_by(|a, b| (a.0.lowest_v - a.1).total_cmp(&(b.0.lowest_v - b.1)))
        {
            out.push(format!(
                "Nothing resets when motors start: {} dips furthest, to {} for an instant; it needs {}.",
                robot.parts[r.part.0].name,
                Volts(r.lowest_v),
                Volts(needs)
            ));
        }
    }
    let dumps = || found.dumps.iter().filter(|d| d.capacitance_f.is_some());
    if dumps().next().is_some() && dumps().all(|d| d.peak_v <= d.limit_v) {
        let closest = dumps().max_by(|a, b| (a.peak_v / a.limit_v).total_cmp(&(b.peak_v / b.limit_v)));
        if let Some(d) = closest {
            out.push(format!(
                "When the battery lets go while motors brake, no driver's supply jumps past its limit; the closest is {}: at most {} against {}.",
                robot.parts[d.driver.0].name,
                Volts(d.peak_v),
                Volts(d.limit_v)
            ));
        }
    }
    out
}

/// Where the models end.
pub(super) fn validity(ground: &Ground<'_>, found: &Surge) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    if found.events.is_empty() && found.dips.is_empty() {
        return out;
    }
    out.push("Contacts close at once and do not bounce. Converters and drivers start later than the surge, so they and the motors take nothing; lamps and heaters are left out.".to_owned());
    out.push("Batteries are as full as in the fullest situation and have a resistance, but no slower dip of their own. Wires are at 20 °C.".to_owned());
    out.push("Where wires are not tied together with their return, 100 mm between them are taken for their inductance. The contacts, fuses and capacitors have 10 nH each, the battery 100 nH.".to_owned());
    if found.capacitors.iter().any(|c| c.assumed) {
        let names: Vec<&str> = found
            .capacitors
            .iter()
            .filter(|c| c.assumed)
            .map(|c| ground.robot.parts[c.part.0].name.as_str())
            .collect();
        out.push(format!(
            "These state no input capacitance, and 22 µF are taken for each: {}.",
            names.join(", ")
        ));
    }
    out.push("Capacitors in modules have 40 µs over their value as series resistance (40 mΩ at 1000 µF), as low-impedance ones do; others make a lower peak.".to_owned());
    let quick = found.events.iter().flat_map(|e| e.fuses.iter().map(move |f| (e, f)));
    if quick.into_iter().any(|(e, f)| f.percent > 1.0 && e.lasts_s < 0.02) {
        out.push("Fuses are held against the I²·t at the end of their stated curve. A surge is shorter than that curve reaches; there the I²·t that melts an element changes little, and its maker's own figure goes before.".to_owned());
    }
    if !found.dips.is_empty() {
        out.push("A starting motor is its winding with 0.5 ms of electrical time constant at full duty; a driver that ramps up makes a smaller dip. Converters are taken to follow their input at once, without what their outputs store.".to_owned());
    }
    if !found.dumps.is_empty() {
        out.push("The jump when the battery opens while motors brake is a bound: the largest power its motors can give at the fastest speed of any situation. How far the supply goes on rising is told where motors feed back.".to_owned());
    }
    if !found.openings.is_empty() {
        out.push("What a contact puts out when it opens is the energy of its loop's inductance, a bound; the arc is not computed.".to_owned());
    }
    if found.events.iter().any(opens_at_once) {
        out.push(
            "Where a fuse would open in the surge, the surge is shown as if it did not.".to_owned(),
        );
    }
    out
}
