//! What happens in the first moments: surges into capacitors, load dump, dips, pre-charge.
//!
//! The robot's network is taken with the resistance of batteries, wires, contacts and fuses, the
//! inductance of its wires and the capacitors of its modules, reduced to its loops (`network`) and
//! followed by a stiff integrator (`rodas`) until nothing moves any more.

mod bench;
mod events;
mod findings;
pub mod inductance;
pub mod network;
mod news;
mod openings;
mod precharge;
mod rails;
pub mod rodas;
mod stops;
mod trace;
mod types;

#[cfg(test)]
mod robots;
#[cfg(test)]
mod tests;

pub use trace::{Extreme, Trace};
pub use types::*;

use super::Ground;
use bench::Bench;
use loomdeck_model::{Finding, Page};
use serde::Serialize;

/// Explanations of this room's findings.
pub const PAGES: &[Page] = findings::PAGES;

/// Works it out.
pub fn study(ground: &Ground<'_>) -> Surge {
    let bench = Bench::of(ground);
    let events: Vec<SurgeEvent> = events::all(&bench).into_iter().map(|e| e.0).collect();
    let mut found = Surge {
        dips: rails::dips(&bench),
        dumps: rails::dumps(&bench, &events),
        openings: openings::all(ground, &events),
        capacitors: bench.caps.iter().map(|c| c.used.clone()).collect(),
        events,
        good_news: Vec::new(),
        validity: Vec::new(),
    };
    found.good_news = news::good(ground, &found);
    found.validity = news::validity(ground, &found);
    found
}

/// What the builder must know of it.
pub fn findings(ground: &Ground<'_>, found: &Surge) -> Vec<Finding> {
    findings::all(ground, found)
}

/// A surge with its network and the integrated steps as plain numbers, for an independent integrator.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ExportedSurge {
    /// What closes.
    pub name: String,
    /// All paths before reduction: resistance, inductance, voltage, capacitors, diodes.
    pub full: Vec<network::Path>,
    /// The paths left.
    pub paths: Vec<network::Path>,
    /// Times, s.
    pub times_s: Vec<f64>,
    /// Current of each path left, A, by time.
    pub currents_a: Vec<Vec<f64>>,
    /// Voltage of each capacitor that is left, without its own resistance, V, by time; with its number.
    pub capacitors: Vec<usize>,
    /// The same order.
    pub voltages_v: Vec<Vec<f64>>,
    /// What the study says.
    pub event: SurgeEvent,
}

/// All surges of a robot with their numbers.
pub fn export(ground: &Ground<'_>) -> Vec<ExportedSurge> {
    let bench = Bench::of(ground);
    events::all(&bench)
        .into_iter()
        .map(|(event, trace, full)| {
            let (net, last) = (&trace.network, trace.times.last().copied().unwrap_or(0.0));
            let n = net.loops.len();
            // Close together at first, and far apart later.
            let start = (event.lasts_s * 1e-3).max(1e-9);
            let times_s: Vec<f64> =
                (0..60).map(|k| start * (last / start).powf(f64::from(k) / 60.0)).collect();
            let over = |of: &dyn Fn(&[f64]) -> f64| times_s.iter().map(|&t| trace.at(t, of)).collect();
            ExportedSurge {
                name: event.name.clone(),
                full,
                paths: net.paths.clone(),
                currents_a: (0..net.paths.len()).map(|p| over(&|y| net.current(p, y))).collect(),
                capacitors: net.capacitor_numbers(),
                voltages_v: (0..net.capacitors.len()).map(|k| over(&|y| y[n + k])).collect(),
                times_s,
                event,
            }
        })
        .collect()
}
