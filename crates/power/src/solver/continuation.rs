//! The branch of solutions continued from no load.

use super::assembly::{Pattern, Point};
use super::law;
use super::newton::{BRISK, Failure, PATIENT, solve, solve_within, tangent};
use crate::netlist::{Device, KNEE, LoadKind, Netlist};

/// How far the branch goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Reached {
    /// The last solution on it.
    pub point: Point,
    /// At full load; else the element that ends the branch, when it could be told.
    pub end: Option<End>,
}

/// What ends a branch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The voltage at this element collapses.
    Collapse(usize),
    /// The caller's condition broke at this element.
    Condition(usize),
}

/// Narrowest interval of the load fraction that is told apart.
const NARROW: f64 = 1e-8;

/// Follows the branch from `start` to `goal` (1 is full load). `broken` looks at a solution and
/// names the first element that could not remain in its state.
///
/// The goal is tried at once. Newton's method mostly meets the upper branch first, because every
/// current that is wanted at constant power is a concave function of voltage there, but diodes spoil
/// that: so the landing counts only where every such supply keeps most of its voltage (a fold of one
/// load lies at half of it). Otherwise the branch is walked in steps small enough to stay on it.
///
/// # Errors
/// [`Failure`] when there is no solution at the start.
pub fn to_full_load(
    netlist: &Netlist,
    pattern: &Pattern,
    references: &[bool],
    start: &Point,
    goal: f64,
    broken: &dyn Fn(&Point) -> Option<usize>,
) -> Result<Reached, Failure> {
    let try_at = |from: &Point, fraction: f64, steps: usize| -> Result<Point, Option<usize>> {
        let point =
            solve_within(netlist, pattern, references, from, fraction, steps).map_err(|_| None)?;
        match collapsed(netlist, pattern, start, &point) {
            Some(item) => Err(Some(item)),
            None => Ok(point),
        }
    };
    let mut good = start.clone();
    if let Ok(point) = try_at(&good, goal, PATIENT)
        && keeps(netlist, start, &point, DIRECT)
        && broken(&point).is_none()
    {
        return Ok(Reached { point, end: None });
    }
    let mut step = (goal - good.fraction) / 4.0;
    let mut end = None;
    while good.fraction < goal && step > NARROW {
        let fraction = (good.fraction + step).min(goal);
        match try_at(&good, fraction, BRISK) {
            Ok(point) if !keeps(netlist, &good, &point, STEP) => {}
            Ok(point) => match broken(&point) {
                None => {
                    good = point;
                    step *= 1.5;
                    if let Some(near) = fold_ahead(netlist, pattern, references, &good) {
                        step = step.min(0.9 * (near - good.fraction).max(2.0 * NARROW));
                    }
                    continue;
                }
                Some(item) => end = Some(End::Condition(item)),
            },
            Err(item) => {
                if let Some(item) = item {
                    end = Some(End::Collapse(item));
                }
            }
        }
        step /= 2.0;
    }
    if good.fraction >= goal {
        return Ok(Reached { point: good, end: None });
    }
    let end = match end {
        Some(End::Condition(item)) => Some(End::Condition(item)),
        other => steepest(netlist, pattern, references, &good).map(End::Collapse).or(other),
    };
    Ok(Reached { point: good, end })
}

/// Share of its no-load voltage that every constant-power supply must keep for the direct attempt to
/// count, and of its last voltage for a step to count.
const DIRECT: f64 = 0.75;
const STEP: f64 = 0.85;
/// Voltage below which a rail is dead.
const DEAD: f64 = 0.5;

/// Whether every constant-power supply keeps this share of its voltage.
fn keeps(netlist: &Netlist, from: &Point, to: &Point, share: f64) -> bool {
    netlist.items.iter().filter(|item| item.active).all(|item| {
        power_port(&item.device).is_none_or(|(a, b, floor)| {
            let was = from.x[a] - from.x[b];
            // A rail that is dead has nothing to keep.
            was <= floor.max(DEAD) || to.x[a] - to.x[b] >= share * was
        })
    })
}

/// Voltage at the constant-power input of an element, when it has one, with its nominal voltage.
fn power_port(device: &Device) -> Option<(usize, usize, f64)> {
    match *device {
        Device::Load { a, b, kind: LoadKind::Power, nominal_v, .. } => Some((a, b, KNEE * nominal_v)),
        Device::Converter { in_plus, in_minus, floor_v, .. } => Some((in_plus, in_minus, floor_v)),
        Device::Channel { plus, minus, .. } => Some((plus, minus, 0.0)),
        _ => None,
    }
}

/// The element that takes constant power and has fallen furthest, if any is below its floor although
/// it was above at the start.
fn collapsed(netlist: &Netlist, pattern: &Pattern, start: &Point, at: &Point) -> Option<usize> {
    debug_assert_eq!(at.x.len(), pattern.size);
    let fallen = |(index, item): (usize, &crate::netlist::Item)| {
        let (a, b, floor) = power_port(&item.device)?;
        let (was, is) = (start.x[a] - start.x[b], at.x[a] - at.x[b]);
        (floor > 0.0 && was > floor && is <= floor).then_some((index, is / was))
    };
    let active = netlist.items.iter().enumerate().filter(|(_, item)| item.active);
    active.filter_map(fallen).min_by(|p, q| p.1.total_cmp(&q.1)).map(|(index, _)| index)
}

/// The element whose supply falls fastest with the load, relative to what it is.
fn steepest(netlist: &Netlist, pattern: &Pattern, references: &[bool], at: &Point) -> Option<usize> {
    let slope = tangent(netlist, pattern, references, at).ok()?;
    let mut best: Option<(usize, f64)> = None;
    for (index, item) in netlist.items.iter().enumerate().filter(|(_, i)| i.active) {
        let Some((a, b, _)) = power_port(&item.device) else { continue };
        let v = at.x[a] - at.x[b];
        if v <= 0.0 || !draws(item, pattern, index, at) {
            continue;
        }
        let fall = -(slope[a] - slope[b]) / v;
        if best.is_none_or(|(_, most)| fall > most * (1.0 + 1e-9)) {
            best = Some((index, fall));
        }
    }
    best.map(|(index, _)| index)
}

fn draws(item: &crate::netlist::Item, pattern: &Pattern, index: usize, at: &Point) -> bool {
    let k = pattern.extra[index];
    match item.device {
        Device::Load { current_a, .. } => current_a > 0.0,
        Device::Converter { ref loss, .. } => at.x[k] > 0.0 || law::loss(loss, 0.0).0 > 0.0,
        Device::Channel { .. } => at.x[k] != 0.0,
        _ => false,
    }
}

/// Where a fold lies ahead: near it dv/dλ grows as 1/√(λ* − λ), so 1/(dv/dλ)² goes to zero along a
/// straight line. Two tangents a little apart give that line.
fn fold_ahead(netlist: &Netlist, pattern: &Pattern, references: &[bool], at: &Point) -> Option<f64> {
    let worst = steepest(netlist, pattern, references, at)?;
    let (a, b, _) = power_port(&netlist.items[worst].device)?;
    let inverse_square = |p: &Point| -> Option<f64> {
        let t = tangent(netlist, pattern, references, p).ok()?;
        let d = t[a] - t[b];
        (d < 0.0).then(|| 1.0 / (d * d))
    };
    let little = (1e-3 * at.fraction).max(1e-6);
    if at.fraction <= little {
        return None;
    }
    let before = solve(netlist, pattern, references, at, at.fraction - little).ok()?;
    let (y0, y1) = (inverse_square(&before)?, inverse_square(at)?);
    (y0 > y1).then(|| at.fraction + little * y1 / (y0 - y1))
}
