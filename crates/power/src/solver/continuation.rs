//! The branch of solutions continued from no load.

use super::assembly::{Pattern, Point};
use super::law;
use super::newton::{Failure, Solver, solve_near, tangent};
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
    /// This converter is at its limit, and what hangs on it takes constant power: less voltage only
    /// makes it ask for more current.
    Limit(usize),
    /// The caller's condition broke at this element.
    Condition(usize),
}

/// What the caller watches: tells of every element that could leave its state how much it has left,
/// V or A; negative once it has left.
pub type Margins<'a> = dyn Fn(&[f64], &mut dyn FnMut(usize, f64)) + 'a;

/// Narrowest interval of the load fraction that is told apart.
const NARROW: f64 = 1e-8;
/// Steps of Newton's method for the attempt at full load at once.
const DIRECT_STEPS: usize = 15;
/// Steps from a prediction.
const STEPS: usize = 10;
/// How much earlier than along the tangent a limit may be met.
const EARLY: f64 = 1.1;
/// Most attempts on one branch.
const ATTEMPTS: usize = 400;
/// Share of the way to what is expected to end the branch that is taken at once.
const NEARLY: f64 = 0.99;
/// Shares of the end of a similar branch at which a branch is sought.
const BACK: [f64; 2] = [0.985, 0.993];
/// A limit that would be met within this much more load is what ended the branch.
const AT_ONCE: f64 = 1e-6;

/// Follows the branch from `start` to `goal` (1 is full load). `margins` looks at a solution and tells
/// which elements could not remain in their state.
///
/// The goal is tried at once. Newton's method mostly meets the upper branch first, because every
/// current that is wanted at constant power is a concave function of voltage there, but diodes spoil
/// that: so the landing counts only where every such supply keeps most of its voltage (a fold of one
/// load lies at half of it). Otherwise the branch is walked along its tangent, in steps small enough
/// to stay on it. Where a fold or a limit can be foreseen, the walk goes nearly up to it, so that the
/// distance left shrinks a hundredfold with every step.
///
/// # Errors
/// [`Failure`] when there is no solution at the start.
pub fn to_full_load(
    netlist: &Netlist,
    pattern: &Pattern,
    solver: &Solver<'_>,
    start: &Point,
    goal: f64,
    margins: &Margins<'_>,
) -> Result<Reached, Failure> {
    let branch = Branch { netlist, pattern, solver, start, margins };
    let direct = solve_near(solver, netlist, start, goal, DIRECT_STEPS);
    if let Ok((point, _)) = direct
        && collapsed(netlist, pattern, start, &point).is_none()
        && keeps(netlist, start, &point, DIRECT)
        && branch.broken(&point).is_none()
    {
        return Ok(Reached { point, end: None });
    }
    let slope = tangent(solver, netlist, start)?;
    let step = (goal - start.fraction) / 4.0;
    Ok(branch.walk(None, Here { point: start.clone(), slope }, goal, step))
}

/// Follows a branch whose end is known roughly: `near` is the end of a branch that differs a little
/// (other resistances). `None` when the branch is not met a little before that end.
pub fn to_full_load_near(
    netlist: &Netlist,
    pattern: &Pattern,
    solver: &Solver<'_>,
    near: &Point,
    goal: f64,
    margins: &Margins<'_>,
) -> Option<Reached> {
    let met = |from: &Point, share: f64| {
        let fraction = share * near.fraction;
        let (point, slope) = solve_near(solver, netlist, from, fraction, STEPS).ok()?;
        // Before its end the branch has more voltage everywhere, not less.
        keeps(netlist, from, &point, 0.999).then_some(Here { point, slope })
    };
    let here = met(near, BACK[1])?;
    let before = met(&here.point, BACK[0])?;
    let start = before.point.clone();
    let branch = Branch { netlist, pattern, solver, start: &start, margins };
    if branch.broken(&here.point).is_some() {
        return None;
    }
    let step = 0.5 * (near.fraction - here.point.fraction);
    Some(branch.walk(Some(before), here, goal, step))
}

/// A solution with its tangent dx/dλ.
#[derive(Clone)]
struct Here {
    point: Point,
    slope: Vec<f64>,
}

impl Here {
    /// Rate of the voltage between two nodes.
    fn rate(&self, a: usize, b: usize) -> f64 {
        self.slope[a] - self.slope[b]
    }
}

/// Why a step was not taken.
#[derive(Clone, Copy)]
enum Halt {
    /// No solution was met, or one of another branch.
    Lost,
    /// An element fell below its floor.
    Fallen(usize),
    /// The caller's condition broke.
    Broken(usize),
}

struct Branch<'a> {
    netlist: &'a Netlist,
    pattern: &'a Pattern,
    solver: &'a Solver<'a>,
    start: &'a Point,
    margins: &'a Margins<'a>,
}

impl Branch<'_> {
    /// Walks on from one or two solutions with this first step. Until its first failure a walk
    /// strides; after it, it is wary: it aims at what it foresees, and once there it probes what lies
    /// beyond.
    fn walk(&self, mut before: Option<Here>, mut here: Here, goal: f64, mut step: f64) -> Reached {
        let mut wary = before.is_some();
        let mut halt = None;
        let mut probing = false;
        for _ in 0..ATTEMPTS {
            if here.point.fraction >= goal || step <= NARROW {
                break;
            }
            let fold = before.as_ref().and_then(|b| self.fold(b, &here));
            let fraction = (here.point.fraction + step).min(goal);
            match self.attempt(&here, fold, fraction) {
                Ok(next) => {
                    before = Some(std::mem::replace(&mut here, next));
                    halt = None;
                    if probing {
                        // What was foreseen here does not end the branch; it only bends.
                        (wary, probing, before) = (false, false, None);
                        step = (goal - here.point.fraction) / 16.0;
                    } else if !wary {
                        step *= 2.0;
                    }
                }
                Err(why) => {
                    (halt, wary, probing) = (Some(why), true, false);
                    step /= 2.0;
                }
            }
            let foreseen = self.foreseen(before.as_ref(), &here, wary);
            let near = (NEARLY * foreseen).max(2.0 * NARROW);
            if halt.is_some() || !wary || foreseen.is_infinite() {
                step = step.min(near);
            } else {
                (step, probing) = (near, foreseen <= 2.0 * NARROW);
            }
        }
        if here.point.fraction >= goal {
            return Reached { point: here.point, end: None };
        }
        let end = self.end(&here, halt);
        Reached { point: here.point, end }
    }

    /// How much more load until something is foreseen to happen: a fold, and for a wary walk limits.
    fn foreseen(&self, before: Option<&Here>, here: &Here, wary: bool) -> f64 {
        let fold = before.and_then(|b| self.fold(b, here)).unwrap_or(f64::INFINITY);
        if !wary {
            return fold;
        }
        let limit = self.limit(here).map_or(f64::INFINITY, |l| l.1);
        fold.min(limit).min(self.crossing(here))
    }

    fn end(&self, here: &Here, halt: Option<Halt>) -> Option<End> {
        if let Some(Halt::Broken(item)) = halt {
            return Some(End::Condition(item));
        }
        if let Some((item, _)) = self.limit(here).filter(|l| l.1 <= AT_ONCE) {
            return Some(End::Limit(item));
        }
        let fallen = match halt {
            Some(Halt::Fallen(item)) => Some(item),
            _ => None,
        };
        self.steepest(here).or(fallen).map(End::Collapse)
    }

    /// A solution at another fraction, predicted along the tangent.
    fn attempt(&self, here: &Here, fold: Option<f64>, fraction: f64) -> Result<Here, Halt> {
        let &Branch { netlist, pattern, solver, start, .. } = self;
        let predicted = self.predict(here, fold, fraction);
        let (point, slope) =
            solve_near(solver, netlist, &predicted, fraction, STEPS).map_err(|_| Halt::Lost)?;
        if let Some(item) = collapsed(netlist, pattern, start, &point) {
            return Err(Halt::Fallen(item));
        }
        if !keeps(netlist, &predicted, &point, STEP) || !keeps(netlist, &here.point, &point, STRIDE) {
            return Err(Halt::Lost);
        }
        if self.jumps_to_limit(here, &point) {
            return Err(Halt::Lost);
        }
        match self.broken(&point) {
            Some(item) => Err(Halt::Broken(item)),
            None => Ok(Here { point, slope }),
        }
    }

    /// Where the branch should be: along its tangent, or along the parabola that a fold ahead bends
    /// it into (x goes with the root of the distance to the fold).
    fn predict(&self, here: &Here, fold: Option<f64>, fraction: f64) -> Point {
        let ahead = fraction - here.point.fraction;
        let by = match fold {
            Some(d) if d > ahead => 2.0 * d.sqrt() * (d.sqrt() - (d - ahead).sqrt()),
            _ => ahead,
        };
        let mut x: Vec<f64> = here.point.x.iter().zip(&here.slope).map(|(x, s)| x + by * s).collect();
        for (item, &k) in self.netlist.items.iter().zip(&self.pattern.extra) {
            // A junction's voltage goes with the logarithm of its current.
            if let Device::Diode { slope_v, .. } = item.device {
                let rise = x[k] - here.point.x[k];
                if rise > 0.0 {
                    x[k] = here.point.x[k] + slope_v * (rise / slope_v).ln_1p();
                }
            }
        }
        Point { x, fraction }
    }

    /// The first element that could not stay as it is.
    fn broken(&self, point: &Point) -> Option<usize> {
        let mut first = None;
        (self.margins)(&point.x, &mut |item, margin| {
            if margin < 0.0 {
                first = first.or(Some(item));
            }
        });
        first
    }

    /// How much more load until the first of the caller's margins is used up, along the tangent.
    fn crossing(&self, here: &Here) -> f64 {
        let mut now = Vec::new();
        (self.margins)(&here.point.x, &mut |_, margin| now.push(margin));
        let ahead: Vec<f64> = here.point.x.iter().zip(&here.slope).map(|(x, s)| x + s).collect();
        let (mut next, mut nearest) = (now.iter(), f64::INFINITY);
        (self.margins)(&ahead, &mut |_, margin| {
            let now = next.next().copied().unwrap_or(f64::INFINITY);
            if margin < now {
                nearest = nearest.min(now.max(0.0) / (now - margin));
            }
        });
        nearest
    }

    /// Whether a converter is at its limit that should not have met it yet: then the solution is one
    /// of another branch, which comes back from the limit at a lower voltage.
    fn jumps_to_limit(&self, here: &Here, point: &Point) -> bool {
        let ahead = point.fraction - here.point.fraction;
        self.netlist.items.iter().zip(&self.pattern.extra).filter(|(item, _)| item.active).any(
            |(item, &k)| {
                let Device::Converter { limit_a, .. } = item.device else { return false };
                let was = limit_a - here.point.x[k];
                let at_limit = |left: f64| left <= 1e-9 * limit_a;
                !at_limit(was)
                    && at_limit(limit_a - point.x[k])
                    && was > EARLY * ahead * here.slope[k].max(0.0)
            },
        )
    }

    /// The converter that meets its limit next, and how much more load that takes.
    fn limit(&self, here: &Here) -> Option<(usize, f64)> {
        let meets = |(index, item): (usize, &crate::netlist::Item)| {
            let Device::Converter { limit_a, .. } = item.device else { return None };
            let k = self.pattern.extra[index];
            let (left, rate) = (limit_a - here.point.x[k], here.slope[k]);
            (left > 0.0 && rate > 0.0).then_some((index, left / rate))
        };
        let active = self.netlist.items.iter().enumerate().filter(|(_, item)| item.active);
        active.filter_map(meets).min_by(|p, q| p.1.total_cmp(&q.1))
    }

    /// How much more load until the branch folds. The fraction as a function of the voltage that
    /// falls fastest is smooth through the fold and has its maximum there; two solutions with their
    /// tangents give it as a cubic.
    fn fold(&self, before: &Here, here: &Here) -> Option<f64> {
        let worst = self.steepest(here)?;
        let (a, b, _) = power_port(&self.netlist.items[worst].device)?;
        let fall = (here.point.x[a] - here.point.x[b]) - (before.point.x[a] - before.point.x[b]);
        let (r0, r1) = (before.rate(a, b), here.rate(a, b));
        if r0 >= 0.0 || r1 >= 0.0 || fall >= 0.0 {
            return None;
        }
        // Along s, from 0 at the first to 1 at the second: λ' = m0 + b·s + c·s².
        let (m0, m1) = (fall / r0, fall / r1);
        let rise = here.point.fraction - before.point.fraction;
        let (b, c) = (2.0 * (3.0 * rise - 2.0 * m0 - m1), 3.0 * (m0 + m1 - 2.0 * rise));
        let top = |s: f64| (s > 1.0 && s.is_finite()).then_some(s);
        let root = (b * b - 4.0 * c * m0).max(0.0).sqrt();
        let line = m0 / (m0 - m1);
        let s = match (top(2.0 * m0 / (root - b)), top(-2.0 * m0 / (root + b))) {
            (Some(p), Some(q)) => p.min(q),
            (p, q) => p.or(q).or(top(line))?,
        };
        let at = |s: f64| s * (m0 + s * (b / 2.0 + s * c / 3.0));
        let ahead = at(s) - at(1.0);
        // Near a fold 1/(dv/dλ)² goes to zero along a straight line. A cubic that says something
        // quite different sees a bend, not a fold.
        let straight = rise * r0 * r0 / (r1 * r1 - r0 * r0);
        (straight > 0.0 && ahead > 0.3 * straight && ahead < 1.5 * straight).then_some(ahead)
    }

    /// The element whose supply falls fastest with the load, relative to what it is.
    fn steepest(&self, here: &Here) -> Option<usize> {
        let mut best: Option<(usize, f64)> = None;
        for (index, item) in self.netlist.items.iter().enumerate().filter(|(_, i)| i.active) {
            let Some((a, b, _)) = power_port(&item.device) else { continue };
            let v = here.point.x[a] - here.point.x[b];
            if v <= 0.0 || !draws(item, self.pattern, index, &here.point) {
                continue;
            }
            let fall = -here.rate(a, b) / v;
            if best.is_none_or(|(_, most)| fall > most * (1.0 + 1e-9)) {
                best = Some((index, fall));
            }
        }
        best.map(|(index, _)| index)
    }
}

/// Share of its no-load voltage that every constant-power supply must keep for the direct attempt to
/// count, of its predicted voltage for a step to count, and of its last.
const DIRECT: f64 = 0.75;
const STEP: f64 = 0.85;
const STRIDE: f64 = 0.7;
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
pub(super) fn collapsed(
    netlist: &Netlist,
    pattern: &Pattern,
    start: &Point,
    at: &Point,
) -> Option<usize> {
    debug_assert_eq!(at.x.len(), pattern.size);
    let fallen = |(index, item): (usize, &crate::netlist::Item)| {
        let (a, b, floor) = power_port(&item.device)?;
        let (was, is) = (start.x[a] - start.x[b], at.x[a] - at.x[b]);
        (floor > 0.0 && was > floor && is <= floor).then_some((index, is / was))
    };
    let active = netlist.items.iter().enumerate().filter(|(_, item)| item.active);
    active.filter_map(fallen).min_by(|p, q| p.1.total_cmp(&q.1)).map(|(index, _)| index)
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
