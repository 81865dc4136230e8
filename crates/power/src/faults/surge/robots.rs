//! Whole robots: pages, dips, dumps, openings and pre-charge against sums by hand.

#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::*;
use crate::faults::testing::Room;
use crate::findings::shelf;
use loomdeck_model::{PartId, Severity};

const ROOM: Room<Surge> = Room { pages: PAGES, study, findings };

fn part(ground: &Ground<'_>, name: &str) -> PartId {
    PartId(ground.robot.parts.iter().position(|p| p.name == name).unwrap())
}

#[test]
fn every_page_shows_its_finding_and_its_cure() {
    ROOM.keeps_its_pages();
}

#[test]
fn every_finding_has_numbers_and_remedies() {
    for f in ROOM.told_before() {
        assert!(!f.remedies.is_empty() && !f.values.is_empty(), "{}", f.slug);
    }
}

/// More than twice the make rating is to be mended, less is worth a look, and 10 % above it is nothing.
#[test]
fn how_far_above_its_rating_a_contact_closes() {
    let slug = "contact-closes-on-surge";
    ROOM.with(ROOM.page(slug).before, |g, found| {
        let mut found = found.clone();
        let event = found.events.iter().position(|e| e.closes == Closes::Switch).unwrap();
        let make = found.events[event].make_a.unwrap();
        let mut told = |times: f64| {
            found.events[event].peak_a = times * make;
            findings(g, &found).into_iter().find(|f| f.slug == slug).map(|f| f.severity)
        };
        assert_eq!(told(1.05), None);
        assert_eq!(told(1.5), Some(Severity::Look));
        assert_eq!(told(2.5), Some(Severity::Fix));
        found.events[event].make_a = None;
        let rating = found.events[event].rating_a.unwrap();
        for (times, severity) in [(4.0, None), (6.0, Some(Severity::Look))] {
            found.events[event].peak_a = times * rating;
            let f = findings(g, &found).into_iter().find(|f| f.slug == slug);
            assert_eq!(f.map(|f| f.severity), severity, "{times}");
        }
    });
}

/// Nothing is advised that leads past a contactor: it would lead past the stop.
#[test]
fn no_button_across_a_contactor() {
    ROOM.with(ROOM.page("contact-closes-on-surge").before, |g, found| {
        let mut found = found.clone();
        for e in &mut found.events {
            e.closes = Closes::Contactor;
            e.stops_motors = true;
        }
        let all = findings(g, &found);
        let f = all.iter().find(|f| f.slug == "contact-closes-on-surge").unwrap();
        assert!(f.what.contains("no longer stops the motors"), "{}", f.what);
        assert!(f.remedies.iter().any(|r| r.text.contains("in the same line")));
        assert!(f.remedies.iter().all(|r| !r.text.contains("push button")));
    });
}

/// Once the winding's current stands, the supply is down by that current times the resistance in common:
/// battery, fuse, its holder and the wires; Ohm's law. The swing before that may go a little deeper.
#[test]
fn a_dip_is_current_times_what_is_in_common() {
    ROOM.with(ROOM.page("logic-resets-when-motor-starts").before, |g, found| {
        let dip = &found.dips[0];
        let load = dip.rails.iter().find(|r| r.part == part(g, "load")).unwrap();
        let battery = shelf::battery(g.robot.type_of(part(g, "battery"))).unwrap();
        let holder = part(g, "fuse");
        let way = shelf::way(g.robot.type_of(holder), "way").unwrap();
        let fuse = g.robot.parts[holder.0].fuses["way"];
        let fuse = g.robot.types[fuse.0].fuse.as_ref().unwrap();
        let copper: f64 = ["heart", "feed", "return"]
            .iter()
            .map(|n| g.robot.wires.iter().position(|w| w.name == *n).unwrap())
            .map(|w| g.circuit.cold[w])
            .sum();
        let ohms = battery.resistance.0 + fuse.cold.0 + way.contact.0 + copper;
        let fall = load.before_v - load.lowest_v;
        // The load draws half an ampere, which the standing voltage already counts.
        assert!(fall > 0.99 * dip.current_a * ohms, "{fall} against {}", dip.current_a * ohms);
        assert!(fall < 1.10 * dip.current_a * ohms, "{fall} against {}", dip.current_a * ohms);
    });
}

/// A motor gives most at half its short-circuit current, (k·ω)²/(4·R) (maximum power transfer), and the jump
/// is that current times the capacitor's resistance and what the loop's inductance adds.
#[test]
fn a_dump_is_bounded_by_maximum_power_transfer() {
    assert!((rails::braking_power(12.0, 0.5, 1e9) - 72.0).abs() < 1e-9);
    assert!((rails::braking_power(12.0, 0.5, 4.0) - 40.0).abs() < 1e-9);
    ROOM.with(ROOM.page("supply-jumps-when-battery-opens").before, |g, found| {
        let dump = &found.dumps[0];
        let cap = found.capacitors.iter().find(|c| c.part == part(g, "driver")).unwrap();
        let henries = found.events.iter().map(|e| e.loop_h).fold(0.0, f64::max);
        let jump = dump.current_a * (cap.esr_ohm + (henries / cap.farads).sqrt());
        assert!((dump.peak_v - dump.before_v - jump).abs() < 1e-9);
        assert!(dump.peak_v > dump.limit_v);
    });
}

/// A contact puts out ½·L·I² at its largest current.
#[test]
fn an_opening_contact_puts_out_its_loops_energy() {
    ROOM.with(ROOM.page("contact-closes-on-surge").before, |g, found| {
        let opening = found.openings.iter().find(|o| o.part == part(g, "switch")).unwrap();
        let event = found.events.iter().find(|e| e.part == Some(opening.part)).unwrap();
        // Half an ampere is what the load takes.
        assert!((opening.current_a - 0.5).abs() < 1e-3, "{}", opening.current_a);
        assert!((opening.energy_j - 0.5 * event.loop_h * 0.25).abs() < 1e-3 * opening.energy_j);
    });
}

/// Only what lies behind the switch is filled: ½·C·V² of that, four time constants of that.
#[test]
fn pre_charge_counts_what_lies_behind_the_switch() {
    let text = ROOM.page("pre-charge-does-not-fill").after;
    // A second load before the switch, with a capacitor of its own.
    let more = "\n[[part]]\nname = \"early\"\ntype = \"player\"\nzone = \"body\"\n\n[[wire]]\nname = \"early-1\"\nfrom = \"switch.a\"\nto = \"early.plus\"\nsize_mm2 = 1\nlength_mm = 100\n\n[[wire]]\nname = \"early-2\"\nfrom = \"early.minus\"\nto = \"battery.minus\"\nsize_mm2 = 1\nlength_mm = 100\n";
    for text in [text.to_owned(), format!("{text}{more}")] {
        ROOM.with(&text, |_, found| {
            let event = found.events.iter().find(|e| e.closes == Closes::Switch).unwrap();
            let p = event.present.as_ref().unwrap();
            assert!((p.farads - 4700e-6).abs() < 1e-9, "{}", p.farads);
            let v = event.voltage_v;
            assert!((p.energy_j - 0.5 * 4700e-6 * v * v).abs() < 0.01 * p.energy_j);
            assert!((p.time_s - 4.0 * 10.0 * 4700e-6).abs() < 1e-9);
            // A tenth of an ampere through ten ohms leaves a volt away.
            assert!((p.filled_percent - 100.0 * (v - 1.0) / v).abs() < 0.5, "{}", p.filled_percent);
            assert!((p.lasting_w - 0.1).abs() < 0.005, "{}", p.lasting_w);
        });
    }
}
