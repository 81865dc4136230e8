//! Shorts: at every wire, plug and load, to the return and to neighbours; what opens, when, and how warm
//! the wire gets by then.
//!
//! `places` lists where shorts are made, `bases` solves them over one factorisation for each set of parts
//! that runs, `driven` takes those behind motor drivers from their data, `judge` says what opens when and how warm everything is by then, `selectivity` which of two
//! fuses goes first, `touch` what happens when two rails touch.

mod bases;
mod driven;
mod export;
mod findings;
mod judge;
mod places;
mod selectivity;
mod touch;
mod types;

pub use bases::JOINT_OHMS;
pub use export::exported;
pub use judge::adiabatic;
pub use types::*;

use super::Ground;
use bases::{Bases, Solved};
use driven::Outputs;
use judge::Judge;
use loomdeck_model::{Finding, Page, Situation, SituationId};
use places::Job;
use std::collections::BTreeMap;

/// Explanations of this room's findings.
pub const PAGES: &[Page] = findings::PAGES;

/// Charge of a battery that is as good as empty: the smallest current of a short.
const LOW: f64 = 0.1;
/// Voltage to the return below which there is nothing to short.
const LIVE: f64 = 1.0;
/// A short that draws less is fed by nothing but leakage, A.
const LEAST: f64 = 0.5;

/// What the builder must know of it.
pub fn findings(ground: &Ground<'_>, found: &Short) -> Vec<Finding> {
    findings::findings(ground, found)
}

/// Works it out.
pub fn study(ground: &Ground<'_>) -> Short {
    let robot = ground.robot;
    let judge = Judge::of(ground);
    let jobs = places::jobs(&ground.circuit, robot);
    let drivers = driven::outputs(ground);
    let piece = places::pieces(&ground.circuit);
    let work = Work { ground, judge: &judge, jobs: &jobs, drivers: &drivers };
    // Two halves, whatever the machine: what is found must not depend on it.
    let half = jobs.len() / 2;
    let (first, second) = std::thread::scope(|scope| {
        let second = scope.spawn(|| work.part(half..jobs.len(), None));
        let first = work.part(0..half, Some(&piece));
        (first, second.join())
    });
    let Part { mut worst, mut met, touching } = first;
    match second {
        Ok(second) => {
            worst.extend(second.worst);
            selectivity::join(&mut met, second.met);
        }
        Err(panic) => std::panic::resume_unwind(panic),
    }
    let to_return: Vec<Row> = worst.into_values().collect();
    let selectivity = selectivity::table(&judge, &met);
    let good_news = good_news(ground, &to_return, &selectivity);
    let validity = validity(robot.situations.is_empty());
    Short { to_return, touching, selectivity, good_news, validity }
}

/// What the shorts of a robot share.
struct Work<'a> {
    ground: &'a Ground<'a>,
    judge: &'a Judge<'a>,
    jobs: &'a [Job],
    drivers: &'a Outputs<'a>,
}

/// What some of the shorts give: the worst row of each job, fuses met in series, rails that touch.
#[derive(Default)]
struct Part {
    worst: BTreeMap<usize, Row>,
    met: selectivity::Met,
    touching: Vec<Touch>,
}

impl Work<'_> {
    /// Some of the jobs in all situations, and with the pieces of metal the rails that touch.
    fn part(&self, some: std::ops::Range<usize>, piece: Option<&[usize]>) -> Part {
        let Self { ground, judge, jobs, drivers } = *self;
        let mut part = Part::default();
        for id in switched(ground) {
            let ohms = ground.ohms(id);
            let at_charge = |charge: f64| {
                let situation = Situation { charge, ..ground.robot.situations[id.0].clone() };
                Bases::of(&ground.circuit, ground.robot, id, situation, ohms.clone())
            };
            let (mut full, mut low) = (at_charge(1.0), at_charge(LOW));
            for index in some.clone() {
                let job = &jobs[index];
                let row = match drivers.get(&job.node) {
                    Some(output) => driven::row(judge, &mut full, job, output),
                    None => row(judge, &mut full, &mut low, job, &mut part.met),
                };
                let Some(row) = row else { continue };
                let worse = |w: &Row| row.full.current_a > w.full.current_a;
                if part.worst.get(&index).is_none_or(worse) {
                    part.worst.insert(index, row);
                }
            }
            if let Some(piece) = piece {
                touch::add(ground, judge, &mut full, piece, drivers, &mut part.touching);
            }
        }
        part
    }
}

/// Lasting situations that differ in what is switched, plugged or powered: the first of each kind.
fn switched(ground: &Ground<'_>) -> Vec<SituationId> {
    let mut seen = Vec::new();
    let mut out = Vec::new();
    for (index, s) in ground.robot.situations.iter().enumerate().filter(|(_, s)| s.lasting) {
        let kind = (&s.closed, &s.unplugged, &s.powered);
        if !seen.contains(&kind) {
            seen.push(kind);
            out.push(SituationId(index));
        }
    }
    out
}

fn row(
    judge: &Judge<'_>,
    full: &mut Bases<'_>,
    low: &mut Bases<'_>,
    job: &Job,
    met: &mut selectivity::Met,
) -> Option<Row> {
    use crate::solver::sweep::Place;
    let back = Place::Node(job.back);
    let before_v = full.before(job.place, back)?;
    if before_v < LIVE {
        return None;
    }
    let strong = full.short(job.place, back)?;
    let high = judge.case(full, &strong, 1.0);
    if high.current_a < LEAST {
        return None;
    }
    selectivity::meet(judge, full, &strong, job.back, met);
    let mut never = judge.never(full, &strong, &high);
    let mut hottest = judge.hottest(full, &strong, time(&high, &never));
    let weak = low.short(job.place, back);
    let weak_case = weak.as_ref().map(|weak| {
        let case = judge.case(low, weak, LOW);
        selectivity::meet(judge, low, weak, job.back, met);
        let lasting = judge.never(low, weak, &case);
        let warmest = judge.hottest(low, weak, time(&case, &lasting));
        if warmer(&warmest, &hottest) {
            hottest = warmest;
        }
        never = never.take().or(lasting);
        case
    });
    Some(Row {
        family: job.family,
        at: job.at.clone(),
        wires: job.wires.clone(),
        situation: full.id,
        before_v,
        low: weak_case.unwrap_or_else(|| high.clone()),
        full: high,
        never,
        hottest,
        strained: judge.strained(full, &strong),
        lets_go: full.lets_go(&strong),
    })
}

/// How long a short lasts at most; `None`: for ever. A protection that says no time is taken as slow as the
/// slowest thing it may do: nothing is claimed, so that only for-ever or a fuse's time is used.
fn time(case: &Case, never: &Option<Never>) -> Option<f64> {
    match never {
        Some(_) => None,
        None => Some(judge::ends(&case.opens, case.current_a).1.unwrap_or(0.0)),
    }
}

/// Whether one conductor is closer to its limit than another.
fn warmer(one: &Option<Hot>, other: &Option<Hot>) -> bool {
    let over = |h: &Hot| {
        h.reaches_c.map_or(f64::INFINITY, |c| (c - h.start_c) / (h.limit_c - h.start_c).max(1.0))
    };
    match (one, other) {
        (Some(a), Some(b)) => over(a) > over(b),
        (one, _) => one.is_some(),
    }
}

fn good_news(ground: &Ground<'_>, rows: &[Row], pairs: &[Pair]) -> Vec<String> {
    let mut news = Vec::new();
    let fused: Vec<&Row> = rows.iter().filter(|r| r.never.is_none()).collect();
    let name = |h: &Hot| ground.robot.wires[h.wire.0].name.as_str();
    let over = |h: &&Hot| h.reaches_c.is_none_or(|c| c > h.limit_c);
    let hot: Vec<&Hot> = fused.iter().filter_map(|r| r.hottest.as_ref()).collect();
    if !fused.is_empty() && !hot.iter().any(over) {
        let closest = hot.iter().min_by(|a, b| {
            let left = |h: &Hot| h.limit_c - h.reaches_c.unwrap_or(f64::INFINITY);
            left(a).total_cmp(&left(b))
        });
        let margin = closest.map_or(String::new(), |h| {
            format!(
                " The closest is {}: {:.0}\u{2009}°C of {:.0}\u{2009}°C.",
                name(h),
                h.reaches_c.unwrap_or(h.limit_c),
                h.limit_c
            )
        });
        news.push(format!(
            "{} of {} shorts to the return are ended by a fuse, a protection or a source that switches off before any wire passes what its insulation bears.{margin}",
            fused.len(),
            rows.len()
        ));
    }
    if !pairs.is_empty() && pairs.iter().all(|p| p.times > 1.0) {
        let sure = pairs.iter().filter(|p| p.sure_to_a.is_some_and(|a| a >= p.most_a)).count();
        news.push(match (pairs.len(), sure) {
            (1, 0) => "Of two fuses in series the one nearer to the short is the quicker.".to_owned(),
            (1, _) => "Of two fuses in series the one nearer to the short is the quicker, and surely opens first at any current.".to_owned(),
            (all, sure) => format!(
                "Of {all} pairs of fuses in series the one nearer to the short is the quicker in all; in {sure} it surely opens first at any current."
            ),
        });
    }
    news
}

fn validity(empty: bool) -> Vec<String> {
    if empty {
        return Vec::new();
    }
    [
        "The short itself is bolted metal of 1\u{2009}mΩ; an arc or a loose touch draws less, and may draw too little to open a fuse.",
        "Full batteries with their stated resistance give the largest current; the smallest is that of the same batteries at 10\u{2009}% charge. Old or cold ones give less still, and a fuse then takes longer.",
        "Opening times follow each fuse's own band at 25\u{2009}°C, from the fastest specimen to the slowest; beyond its last point the energy let through stays the same.",
        "A protection in a battery opens at its stated current; how quickly is not stated.",
        "A shorted converter, charger or motor driver holds its stated limit for ever, unless its type says `shorted = \"trips\"`. Many pulse (hiccup) and heat less. A transistor burnt through holds nothing back.",
        "Up to 5\u{2009}s insulation may reach its short-circuit limit; beyond that its lasting limit counts. Capacitors and inductance are left out: they matter in the first milliseconds.",
        "The first fuse of several is cut in thought only: where several sources feed a short, each is taken to end with its own fuse.",
        "What a contactor that lets go does to its contacts under such a current is not computed; the current is that of closed contacts.",
    ]
    .map(str::to_owned)
    .to_vec()
}

/// A solved short, for those beside this file.
type Done = Solved;

#[cfg(test)]
mod tests;
