//! How long charging takes.
//!
//! Constant current until the voltage limit, then constant voltage. Where the open-circuit voltage is a
//! straight line in the charge, the current at constant voltage falls as exp(−t/τ) with
//! τ = 3600·R·C/(η·k), k in volts from empty to full; a curve of several straight lines is followed line by
//! line. A lead-acid battery reaches its limit earlier than its resistance says, because its plates
//! polarise: about the share I/C of an hour is left then (a fifth at C/5, a tenth at C/10; common
//! practice), and what is left flows in as an exponential of its own.

use super::strings::{Metal, Pole};
use super::types::Charging;
use crate::circuit::open_circuit;
use crate::faults::Ground;
use crate::operate::elements;
use loomdeck_model::PartId;
use loomdeck_model::element::{Battery, Charger, ElementKind};
use loomdeck_model::units::*;

/// Charging ends when the current has fallen to this share of the capacity per hour: a twentieth for
/// lithium, a fiftieth for lead-acid (common practice, from memory).
pub const ENDS_LITHIUM: f64 = 1.0 / 20.0;
/// See [`ENDS_LITHIUM`].
pub const ENDS_LEAD: f64 = 1.0 / 50.0;

/// Share of the charge put in that can be taken out again: 0.85 for lead-acid, 0.99 for lithium, 0.7
/// for nickel metal hydride (common practice, from memory; as in the run time).
pub fn efficiency(b: &Battery) -> f64 {
    if b.chemistry.is_lead() {
        0.85
    } else if b.chemistry.is_lithium() {
        0.99
    } else {
        0.7
    }
}

/// A string as its charger sees it.
#[derive(Clone, Debug)]
pub struct Cell {
    /// Capacity of the smallest battery, Ah.
    pub capacity: f64,
    /// Resistance of all, ohms.
    pub ohms: f64,
    /// Share of the charge that is stored.
    pub efficiency: f64,
    /// Open-circuit voltage of all by charge from 0 to 1, rising.
    pub curve: Vec<(f64, f64)>,
    /// Lead-acid.
    pub lead: bool,
}

impl Cell {
    /// Of batteries in series. `None` when there is none.
    pub fn of(batteries: &[&Battery]) -> Option<Self> {
        let first = batteries.first()?;
        let mut charges: Vec<f64> =
            batteries.iter().flat_map(|b| b.open_circuit.iter().map(|p| p.0)).collect();
        charges.extend([0.0, 1.0]);
        charges.sort_by(f64::total_cmp);
        charges.dedup();
        let volts = |s: f64| batteries.iter().map(|b| open_circuit(b, s)).sum();
        Some(Self {
            capacity: batteries.iter().map(|b| b.capacity.0).fold(f64::INFINITY, f64::min),
            ohms: batteries.iter().map(|b| b.resistance.0).sum(),
            efficiency: batteries.iter().map(|b| efficiency(b)).fold(f64::INFINITY, f64::min),
            curve: charges.into_iter().map(|s| (s, volts(s))).collect(),
            lead: first.chemistry.is_lead(),
        })
    }
}

/// A charge from start to end.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Run {
    /// At constant current, s.
    pub constant_current: f64,
    /// At constant voltage, s.
    pub constant_voltage: f64,
    /// Time in s, current in A.
    pub curve: Vec<(f64, f64)>,
}

impl Run {
    /// Altogether, s.
    pub fn time(&self) -> f64 {
        self.constant_current + self.constant_voltage
    }
}

/// Charges a string from a state of charge with this current and voltage limit.
pub fn charge(cell: &Cell, start: f64, amperes: f64, volts: f64) -> Run {
    if cell.lead { charge_lead(cell, start, amperes) } else { charge_line(cell, start, amperes, volts) }
}

/// Line by line along the open-circuit curve.
pub fn charge_line(cell: &Cell, start: f64, amperes: f64, volts: f64) -> Run {
    let ends = (ENDS_LITHIUM * cell.capacity).min(0.9 * amperes);
    let mut run = Run { curve: vec![(0.0, amperes)], ..Run::default() };
    // Charge of 1 per ampere second.
    let gain = cell.efficiency / (3600.0 * cell.capacity);
    for pair in cell.curve.windows(2) {
        let ((s0, v0), (s1, v1)) = (pair[0], pair[1]);
        if s1 <= start || s1 <= s0 {
            continue;
        }
        let slope = (v1 - v0) / (s1 - s0);
        let from = start.max(s0);
        let at = |s: f64| v0 + slope * (s - s0);
        let limited = |s: f64| (volts - at(s)) / cell.ohms;
        // Constant current up to where it meets the voltage limit.
        let meets = if limited(s1) >= amperes {
            s1
        } else if limited(from) <= amperes || slope <= 0.0 {
            from
        } else {
            (s0 + (volts - amperes * cell.ohms - v0) / slope).clamp(from, s1)
        };
        run.constant_current += (meets - from) / (gain * amperes);
        if meets < s1 {
            let (first, last) = (limited(meets).min(amperes), limited(s1).max(ends));
            if first <= ends {
                break;
            }
            let tau = cell.ohms / (slope.max(1e-9) * gain);
            let base = run.time();
            let span = tau * (first / last).ln();
            if run.curve.len() == 1 {
                run.curve.push((base, amperes));
            }
            run.curve.extend((1..=8).map(|i| {
                let t = span * f64::from(i) / 8.0;
                (base + t, first * (-t / tau).exp())
            }));
            run.constant_voltage += span;
            if limited(s1) <= ends {
                break;
            }
        }
    }
    if run.curve.len() == 1 {
        run.curve.push((run.time(), amperes));
    }
    run
}

/// A lead-acid string: constant current until the share I/C of an hour is left, then an exponential
/// that brings the rest: τ = 1 h/η, until the current has fallen to a fiftieth of the capacity.
pub fn charge_lead(cell: &Cell, start: f64, amperes: f64) -> Run {
    let rate = amperes / cell.capacity;
    let left = rate.clamp(0.0, 0.5);
    let missing = (1.0 - left - start).max(0.0);
    let bulk = 3600.0 * missing / (rate * cell.efficiency);
    // Begun with less missing, the current begins lower on the same exponential.
    let first = if start > 1.0 - left { amperes * (1.0 - start) / left.max(1e-9) } else { amperes };
    let tau = 3600.0 * left / (rate * cell.efficiency);
    let ends = (ENDS_LEAD * cell.capacity).min(0.9 * amperes);
    let tail = if first > ends { tau * (first / ends).ln() } else { 0.0 };
    let mut curve = vec![(0.0, first), (bulk, first)];
    curve.extend((1..=16).map(|i| {
        let t = tail * f64::from(i) / 16.0;
        (bulk + t, first * (-t / tau.max(1e-9)).exp())
    }));
    Run { constant_current: bulk, constant_voltage: tail, curve }
}

/// Every charger with the strings it charges.
pub fn all(
    ground: &Ground<'_>,
    poles: &[Pole<'_>],
    metal: &Metal,
    strings: &[Vec<usize>],
) -> Vec<Charging> {
    let robot = ground.robot;
    let chargers: Vec<(PartId, &Charger)> = elements(&ground.circuit)
        .filter_map(|(part, e, _)| match &robot.type_of(part).elements[e].kind {
            ElementKind::Charger(c) => Some((part, c)),
            _ => None,
        })
        .collect();
    let mut found = Vec::new();
    for (charger, data) in chargers {
        let ends = |string: &[usize]| {
            let (top, low) = (&poles[string[0]], &poles[string[string.len() - 1]]);
            let at = |n| metal.piece(ground.circuit.local(charger, n));
            at(data.plus) == metal.piece(top.plus) && at(data.minus) == metal.piece(low.minus)
        };
        let fed: Vec<usize> = (0..strings.len()).filter(|&n| ends(&strings[n])).collect();
        for &number in &fed {
            found.extend(one(ground, poles, (charger, data), number, &strings[number], fed.len()));
        }
    }
    found
}

fn one(
    ground: &Ground<'_>,
    poles: &[Pole<'_>],
    (charger, data): (PartId, &Charger),
    number: usize,
    string: &[usize],
    shared: usize,
) -> Option<Charging> {
    let batteries: Vec<&Battery> = string.iter().map(|&i| poles[i].battery).collect();
    let cell = Cell::of(&batteries)?;
    let amperes = data.current.0 / shared as f64;
    if amperes <= 0.0 || cell.capacity <= 0.0 || cell.ohms <= 0.0 {
        return None;
    }
    let after_day = |i: usize| {
        let day = ground.power.day.as_ref()?;
        day.batteries.iter().find(|b| b.part == poles[i].part).map(|b| b.end.clamp(0.0, 1.0))
    };
    let start = string.iter().filter_map(|&i| after_day(i)).reduce(f64::min).unwrap_or(0.0);
    let run = charge(&cell, start, amperes, data.voltage.0);
    let spread = if cell.lead { 1.5 } else { 1.15 };
    Some(Charging {
        charger,
        string: number,
        current: Amperes(amperes),
        rate_per_h: amperes / cell.capacity,
        limit: Amperes(batteries.iter().map(|b| b.charge_limit.0).fold(f64::INFINITY, f64::min)),
        start,
        constant_current: Seconds(run.constant_current),
        constant_voltage: Seconds(run.constant_voltage),
        time: Seconds(run.time()),
        up_to: Seconds(spread * run.time()),
        from_empty: Seconds(charge(&cell, 0.0, amperes, data.voltage.0).time()),
        current_curve: run.curve,
    })
}
