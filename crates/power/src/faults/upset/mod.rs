//! Hum and upset: millivolts on shared returns, level and polarity of signals, brown-out under stall.

mod cause;
mod findings;
pub mod links;
mod types;

#[cfg(test)]
mod tests;

pub use findings::{PAGES, findings};
pub use types::*;

use super::Ground;
use crate::circuit::Circuit;
use crate::circuit::motors::{Wish, motor_of};
use crate::circuit::values::Level;
use crate::operate::{Solution, across, from_nothing};
use loomdeck_model::{Landing, MotorTask, PartId, Robot, Situation, SituationId};

/// Audio grounds further apart than this, dB below full scale, are heard in a pause (common practice).
pub const HEARD_DB: f64 = -60.0;
/// And than this, over the music (common practice).
pub const LOUD_DB: f64 = -40.0;
/// How far grounds of logic may be apart, as a share of the level: 0.4 V of 3.3 V lie between the highest
/// low level sent (0.4 V) and the highest taken as low (0.8 V). Source: JEDEC JESD8C, 3.3 V interface
/// levels (from memory), scaled with the level.
pub const LOGIC_MARGIN: f64 = 0.4 / 3.3;
/// Share of an input's level that counts as high (common practice: 0.6 to 0.7 of the supply).
pub const HIGH: f64 = 0.6;

/// A situation solved at all levels, and with its motors off.
pub(crate) struct Solved {
    situation: SituationId,
    ohms: Vec<f64>,
    quiet: Situation,
    /// Mean, rms, peak, mean with the motors off.
    levels: [Solution; 4],
}

impl Solved {
    /// The two solutions that a measure compares.
    fn pair(&self, measure: Measure) -> (&Solution, &Solution) {
        let (a, b) = indices(measure);
        (&self.levels[a], &self.levels[b])
    }
}

/// Indices into `Solved::levels` of what a measure compares.
const fn indices(measure: Measure) -> (usize, usize) {
    match measure {
        Measure::Mean => (0, 0),
        Measure::Peak => (2, 2),
        Measure::MeanToPeak => (2, 0),
        Measure::Beat => (1, 0),
        Measure::MotorsOn => (0, 3),
    }
}

/// One of `Solved::levels`, of any network.
fn at_level(
    ground: &Ground<'_>,
    circuit: &Circuit,
    id: SituationId,
    quiet: &Situation,
    ohms: &[f64],
    index: usize,
) -> Solution {
    let situation = if index == 3 { quiet } else { &ground.robot.situations[id.0] };
    let level = [Level::Mean, Level::Rms, Level::Peak, Level::Mean][index];
    from_nothing(circuit, ground.robot, situation, level, ohms)
}

/// Works it out.
pub fn study(ground: &Ground<'_>) -> Upset {
    let (mut links, clashes) = links::all(ground);
    let wanted = links.iter().any(|l| l.common && !l.isolated);
    let solved: Vec<Solved> = if wanted { solve(ground) } else { Vec::new() };
    for link in links.iter_mut().filter(|l| l.common && !l.isolated) {
        let Some(grounds) = links::grounds(ground, link) else { continue };
        link.shifts = solved.iter().filter_map(|s| shift(&s.levels, s.situation, grounds)).collect();
    }
    cause::explain(ground, &mut links, &solved);
    let good_news = good_news(ground, &links, &clashes);
    let validity = if links.is_empty() { Vec::new() } else { validity() };
    Upset { links, clashes, validity, good_news }
}

fn solve(ground: &Ground<'_>) -> Vec<Solved> {
    let robot = ground.robot;
    robot
        .situations
        .iter()
        .enumerate()
        .map(|(s, situation)| {
            let id = SituationId(s);
            let ohms = ground.ohms(id);
            let mut quiet = situation.clone();
            quiet.motors = motors(robot).map(|m| (m, MotorTask::Off)).collect();
            let solve = |i| at_level(ground, &ground.circuit, id, &quiet, &ohms, i);
            let mean = solve(0);
            let still = mean.ready.motors.iter().all(|n| matches!(n.wish, Wish::Off { .. }));
            let off = if still { mean.clone() } else { solve(3) };
            let levels = [mean, solve(1), solve(2), off];
            Solved { situation: id, ohms, quiet, levels }
        })
        .collect()
}

fn motors(robot: &Robot) -> impl Iterator<Item = PartId> + '_ {
    (0..robot.parts.len()).map(PartId).filter(|&p| motor_of(robot, p).is_some())
}

/// Ground of the input (second) against ground of the output (first).
fn shift(levels: &[Solution; 4], situation: SituationId, grounds: (usize, usize)) -> Option<Shift> {
    let mv = |s: &Solution| across(s, grounds.1, grounds.0).map(|v| 1000.0 * v);
    let [mean, rms, peak, quiet] = levels;
    let mean_mv = mv(mean)?;
    // What a motor alone feeds has no voltage once it is off: then nothing is there to differ.
    let quiet_mv = mv(quiet).unwrap_or(0.0);
    Some(Shift { situation, mean_mv, rms_mv: mv(rms)?, peak_mv: mv(peak)?, quiet_mv })
}

fn validity() -> Vec<String> {
    vec![
        "Direct and slowly changing currents; the inductance of wires, what couples through the air, and the chopping of drivers are not in it. Heard is what changes: from mean to peak, the beat that the rms has beyond the mean, and motors going on and off, each with all loads at once.".to_owned(),
        "The ground of a part is one node; what its own board drops inside is not in it.".to_owned(),
    ]
}

fn good_news(ground: &Ground<'_>, links: &[Link], clashes: &[Clash]) -> Vec<String> {
    let mut news = Vec::new();
    let judged: Vec<&Link> = links.iter().filter(|l| !l.shifts.is_empty()).collect();
    let audio = judged.iter().filter(|l| l.kind == Kind::Audio).filter_map(|l| l.below_full_scale_db());
    if let Some(most) = audio.reduce(f64::max).filter(|&db| db < HEARD_DB) {
        news.push(format!(
            "Currents on shared returns stay {:.0}\u{2009}dB or more below full scale at every audio input; {:.0}\u{2009}dB are not heard.",
            -most, -HEARD_DB
        ));
    }
    let logic = judged.iter().filter(|l| l.kind == Kind::Logic && l.wants_v > 0.0);
    let part = |l: &&Link| {
        let mv = l.noticed_mv();
        Some((mv / 1000.0 / (l.wants_v * LOGIC_MARGIN), mv))
    };
    if let Some((share, mv)) =
        logic.filter_map(part).max_by(|a, b| a.0.total_cmp(&b.0)).filter(|w| w.0 < 1.0)
    {
        news.push(format!(
            "The grounds of logic parts stay within {mv:.0}\u{2009}mV of one another where they exchange signals: {:.0}\u{2009}% of what they bear.",
            100.0 * share
        ));
    }
    let level = |l: &Link| {
        l.bears_v.is_none_or(|b| l.sends_v <= b)
            && (l.kind == Kind::Audio || l.sends_v >= HIGH * l.wants_v)
    };
    if !links.is_empty() && clashes.is_empty() && links.iter().all(level) {
        let n = links.len();
        news.push(format!("Every one of {n} signals has a level that its input takes."));
    }
    let _ = ground;
    news
}

/// What is noticed of a shift in an altered network, mV.
pub(crate) fn after(
    ground: &Ground<'_>,
    circuit: &Circuit,
    solved: &Solved,
    measure: Measure,
    grounds: (usize, usize),
) -> Option<f64> {
    let (a, b) = indices(measure);
    let mv = |index: usize| {
        let solution = at_level(ground, circuit, solved.situation, &solved.quiet, &solved.ohms, index);
        across(&solution, grounds.1, grounds.0).map(|v| 1000.0 * v)
    };
    let first = mv(a)?;
    let second = if a == b { first } else { mv(b).unwrap_or(0.0) };
    Some(measure.of(first, second).abs())
}

/// A part of a landing.
pub(crate) fn part_of(landing: Landing) -> Option<loomdeck_model::PartId> {
    match landing {
        Landing::Part { part, .. } => Some(part),
        Landing::Plug { .. } => None,
    }
}
