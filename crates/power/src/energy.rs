//! How long the batteries last through the day.
//!
//! Lead-acid gives a capacity that shrinks with the rate: Peukert's law in its rated-hour form,
//! t = H·(C/(I·H))^k, at the maker's own cut-off. Lithium and nickel give their capacity, and end when
//! the open-circuit voltage less I·R meets the cut-off. Never both: Peukert's exponent already holds
//! what the resistance does to a lead-acid battery.
//!
//! The power that a battery gives in a situation is taken to stay as the voltage sinks, so that the
//! current rises; true of converters and drivers, a little on the safe side for lamps.

use crate::circuit::open_circuit;
use crate::fuse::reach::battery;
use crate::results::*;
use loomdeck_model::element::Battery;
use loomdeck_model::units::*;
use loomdeck_model::{PartId, Robot};

/// Share of the charge put in that can be taken out again: 0.85 for lead-acid, 0.99 for lithium, 0.7
/// for nickel metal hydride (common practice, from memory).
fn charge_efficiency(b: &Battery) -> f64 {
    if b.chemistry.is_lead() {
        0.85
    } else if b.chemistry.is_lithium() {
        0.99
    } else {
        0.7
    }
}

/// Time a battery lasts at a constant current by Peukert's law in the rated-hour form, hours.
/// Below the rated rate the rated capacity is taken, no more.
pub fn peukert_hours(capacity_ah: f64, rated_hours: f64, exponent: f64, amperes: f64) -> f64 {
    capacity_ah / drain(capacity_ah, rated_hours, exponent, amperes)
}

/// Rate at which a current uses up the rated capacity, A.
fn drain(capacity_ah: f64, rated_hours: f64, exponent: f64, amperes: f64) -> f64 {
    let rated = capacity_ah / rated_hours;
    amperes * (amperes / rated).max(1.0).powf(exponent - 1.0)
}

/// State of one battery on its way through the day.
#[derive(Clone, Debug)]
struct Cell<'a> {
    part: PartId,
    battery: &'a Battery,
    charge: f64,
    /// Ampere seconds out, and seconds in use.
    out: f64,
    used: f64,
    drained: f64,
    lowest: f64,
    energy: f64,
}

impl Cell<'_> {
    /// Current and voltage under this power at the present charge; positive current discharges.
    fn at(&self, power: f64) -> (f64, f64) {
        let (emf, r) = (open_circuit(self.battery, self.charge), self.battery.resistance.0);
        let root = (emf * emf / 4.0 - power * r).max(0.0).sqrt();
        let v = emf / 2.0 + root;
        if v > 0.0 { (power / v, v) } else { (0.0, 0.0) }
    }

    fn cut_off(&self) -> f64 {
        self.battery.cut_off_per_cell.0 * f64::from(self.battery.cells)
    }

    /// Uses it for a while. Whether it is empty afterwards.
    fn step(&mut self, power: f64, dt: f64) -> bool {
        let b = self.battery;
        let capacity = b.capacity.0 * 3600.0;
        let (i, v) = self.at(power);
        if i < 0.0 {
            self.charge = (self.charge - i * charge_efficiency(b) * dt / capacity).min(1.0);
            return false;
        }
        let rate = if b.chemistry.is_lead() {
            drain(b.capacity.0, b.rated_hours.max(0.1), b.peukert.max(1.0), i)
        } else {
            i
        };
        self.charge -= rate * dt / capacity;
        self.energy += v * i * dt / 3600.0;
        if i > 0.0 {
            self.out += i * dt;
            self.used += dt;
            self.drained += rate * dt;
            self.lowest = self.lowest.min(v);
        }
        let flat = !b.chemistry.is_lead() && v < self.cut_off();
        i > 0.0 && (self.charge <= 0.0 || flat)
    }
}

/// Longest repeated day that is followed, in days.
const MOST_DAYS: usize = 200;

/// Runs the day. `None` without a day or a battery.
pub fn day(robot: &Robot, results: &[SituationResult]) -> Option<DayResult> {
    let mut cells: Vec<Cell> = (0..robot.parts.len())
        .map(PartId)
        .filter_map(|part| {
            let battery = battery(robot, part)?;
            Some(Cell {
                part,
                battery,
                charge: 1.0,
                out: 0.0,
                used: 0.0,
                drained: 0.0,
                lowest: open_circuit(battery, 1.0),
                energy: 0.0,
            })
        })
        .collect();
    if cells.is_empty() || robot.day.is_empty() {
        return None;
    }
    let powers: Vec<Vec<f64>> = robot
        .day
        .iter()
        .map(|step| cells.iter().map(|c| battery_power(&results[step.situation.0], c.part)).collect())
        .collect();
    let planned: f64 = robot.day.iter().map(|s| s.time.0).sum();
    let mut steps = vec![DayPoint {
        situation: robot.day[0].situation,
        time: Seconds(0.0),
        charge: vec![1.0; cells.len()],
        energy: WattHours(0.0),
    }];
    let mut clock = 0.0;
    let mut empty: Option<(f64, PartId)> = None;
    for (step, power) in robot.day.iter().zip(&powers) {
        pass(&mut cells, power, step.time.0, &mut clock, &mut empty, true);
        steps.push(DayPoint {
            situation: step.situation,
            time: Seconds(clock),
            charge: cells.iter().map(|c| c.charge).collect(),
            energy: WattHours(cells.iter().map(|c| c.energy).sum()),
        });
    }
    let fits = empty.is_none();
    let batteries = cells.iter().map(report).collect();
    let mut days = 1;
    while empty.is_none() && days < MOST_DAYS {
        for (step, power) in robot.day.iter().zip(&powers) {
            pass(&mut cells, power, step.time.0, &mut clock, &mut empty, false);
        }
        days += 1;
    }
    Some(DayResult {
        steps,
        batteries,
        run_time: empty.map(|e| Seconds(e.0)),
        first_empty: empty.map(|e| e.1),
        fits,
        planned: Seconds(planned),
    })
}

fn pass(
    cells: &mut [Cell],
    powers: &[f64],
    time: f64,
    clock: &mut f64,
    empty: &mut Option<(f64, PartId)>,
    to_the_end: bool,
) {
    let count = (time / 30.0).ceil().clamp(1.0, 2000.0);
    let dt = time / count;
    for _ in 0..count as usize {
        if empty.is_some() && !to_the_end {
            return;
        }
        *clock += dt;
        for (cell, &power) in cells.iter_mut().zip(powers) {
            if cell.step(power, dt) && empty.is_none() {
                *empty = Some((*clock, cell.part));
            }
        }
    }
}

fn battery_power(result: &SituationResult, part: PartId) -> f64 {
    result.parts[part.0]
        .elements
        .iter()
        .find_map(|e| match e {
            ElementResult::Battery { current, voltage, .. } => Some(current.0 * voltage.0),
            _ => None,
        })
        .unwrap_or(0.0)
}

fn report(cell: &Cell) -> BatteryDay {
    let b = cell.battery;
    let given = if cell.drained > 0.0 { b.capacity.0 * cell.out / cell.drained } else { b.capacity.0 };
    BatteryDay {
        part: cell.part,
        start: 1.0,
        end: cell.charge,
        mean: Amperes(if cell.used > 0.0 { cell.out / cell.used } else { 0.0 }),
        capacity: AmpereHours(given),
        lowest: Volts(cell.lowest),
        cut_off: Volts(cell.cut_off()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn peukert_meets_the_published_examples() {
        // 100 Ah at 20 h, k = 1.4, 10 A: "about 7.5 h" (a battery seller's worked example; the
        // formula gives 7.58); k = 1.2, 10 A: 8.706 h by the formula.
        assert!((peukert_hours(100.0, 20.0, 1.4, 10.0) - 7.58).abs() < 0.01);
        assert!((peukert_hours(100.0, 20.0, 1.2, 10.0) - 8.706).abs() < 0.001);
        // At the rated rate it lasts the rated time, whatever the exponent.
        assert!((peukert_hours(80.0, 20.0, 1.3, 4.0) - 20.0).abs() < 1e-9);
        // The other common form, t = C1/I^k with C1 at a 1 A rate, as published: 100 Ah, k = 1.2, 5 A:
        // 14.5 h. A battery of 100 Ah at 1 A has rated_hours = 100.
        assert!((peukert_hours(100.0, 100.0, 1.2, 5.0) - 14.5).abs() < 0.05);
    }
}
