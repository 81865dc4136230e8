//! What the builder must know of the first moments: one file per kind of finding.

#[macro_use]
mod bench;
mod contact_closes_on_surge;
mod fuse_ages_at_switch_on;
mod logic_resets_when_motor_starts;
mod pre_charge_does_not_fill;
mod supply_jumps_when_battery_opens;
mod supply_swings_past_limit;

use super::types::*;
use crate::faults::Ground;
use crate::findings::All;
use loomdeck_model::units::{Ohms, Seconds};
use loomdeck_model::{Finding, Page, Remedy};

/// A page per kind.
pub const PAGES: &[Page] = &[
    contact_closes_on_surge::PAGE,
    fuse_ages_at_switch_on::PAGE,
    logic_resets_when_motor_starts::PAGE,
    pre_charge_does_not_fill::PAGE,
    supply_jumps_when_battery_opens::PAGE,
    supply_swings_past_limit::PAGE,
];

/// All findings of this room.
pub(super) fn all(ground: &Ground<'_>, found: &Surge) -> Vec<Finding> {
    let all = All {
        robot: ground.robot,
        study: ground.power,
        circuit: ground.circuit.clone(),
        wires: ground.wires.clone(),
    };
    let mut out = Vec::new();
    contact_closes_on_surge::find(&all, found, &mut out);
    fuse_ages_at_switch_on::find(&all, found, &mut out);
    logic_resets_when_motor_starts::find(&all, found, &mut out);
    pre_charge_does_not_fill::find(&all, found, &mut out);
    supply_jumps_when_battery_opens::find(&all, found, &mut out);
    supply_swings_past_limit::find(&all, found, &mut out);
    out
}

/// What a surge comes from, in a sentence.
fn because(e: &SurgeEvent) -> String {
    format!(
        "Empty capacitors of {:.0}\u{2009}µF in all are joined to {:.1}\u{2009}V; for {} only wires, contacts, fuses and the battery itself hold the current back.",
        1e6 * e.capacitance_f,
        e.voltage_v,
        short(e.lasts_s)
    )
}

/// A short time.
fn short(seconds: f64) -> String {
    match seconds {
        s if s < 0.001 => format!("{:.2}\u{2009}ms", 1e3 * s),
        s if s < 0.01 => format!("{:.1}\u{2009}ms", 1e3 * s),
        s if s < 0.1 => format!("{:.0}\u{2009}ms", 1e3 * s),
        s => format!("{:.1}", Seconds(s)),
    }
}

/// An energy.
fn joules(energy: f64) -> String {
    if energy < 0.1 { format!("{:.0}\u{2009}mJ", 1e3 * energy) } else { format!("{energy:.1}\u{2009}J") }
}

/// Advice to fill the capacitors first, in a way that leaves nothing joined while the contact is open.
fn fill_first(e: &SurgeEvent) -> Option<Remedy> {
    let p = e.proposed?;
    let ohms = Ohms(p.ohms);
    let time = short((p.time_s * 1.5).max(0.5));
    let gain = format!(
        "It carries {:.1}\u{2009}A at first and takes {} each time. Describe that moment as a situation.",
        p.peak_a,
        joules(p.energy_j)
    );
    let name = &e.name;
    let text = match e.closes {
        // Whatever leads past a contactor leads past the stop that opens it.
        Closes::Contactor => format!(
            "Fill the capacitors first: behind {name}, in the same line, a resistor of {ohms} that a second contactor bridges {time} after {name} has closed. Lead nothing past {name} itself. {gain}"
        ),
        Closes::Switch if e.stops_motors => format!(
            "Fill the capacitors first: take a switch with a stage of its own for it, which joins them through a resistor of {ohms} with its fuse for {time} before the last stage. No resistor stays joined while {name} is off, and none leads past a stop. {gain}"
        ),
        Closes::Plug | Closes::Lug => return None,
        Closes::Switch => format!(
            "Fill the capacitors first: a resistor of {ohms} with a fuse and a push button of its own across {name}, held for {time} before it closes. {gain}"
        ),
    };
    Some(Remedy::advice(text))
}
