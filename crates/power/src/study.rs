//! Runs everything.

use crate::circuit::Circuit;
use crate::energy;
use crate::fuse::unfused::unfused;
use crate::fuse::window::Fuses;
use crate::fuse::withstand::lasting_limit;
use crate::heat::robot::Wires;
use crate::lanes;
use crate::netlist::Exported;
use crate::operate::{self, Operated, all_levels};
use crate::results::*;
use crate::situation::{Landings, finish_short, report};
use crate::spare;
use crate::unjudged::{loudspeaker_leads, not_computed};
use loomdeck_model::units::Celsius;
use loomdeck_model::{Robot, Situation, SituationId, WireId};
use loomdeck_space::Geometry;

/// Solves every situation and judges fuses, run time and spare capacity.
///
/// Deterministic: the situations are independent of one another, so that working on them side by
/// side changes nothing.
pub fn study(robot: &Robot, geometry: &Geometry) -> PowerStudy {
    let circuit = Circuit::of(robot, geometry);
    let wires = Wires::of(robot, geometry);
    let landings = Landings::of(robot, &circuit);
    let (operated, mut situations): (Vec<Operated>, Vec<SituationResult>) =
        each_situation(robot, |id, situation| {
            let at = all_levels(&circuit, robot, &wires, situation);
            let result = report(robot, &circuit, &landings, &wires, id, &at);
            (at, result)
        })
        .into_iter()
        .unzip();
    finish_short(robot, &wires, &landings, &mut situations);
    let fuses = Fuses::of(robot, &circuit, &wires, &operated, &situations);
    let fuse_results = fuses.all();
    let unfused = unfused(robot, &circuit, &fuses.metal);
    let day = energy::day(robot, &situations);
    let spare = spare::rows(robot, &situations, &fuse_results);
    let mut study =
        PowerStudy { situations, fuses: fuse_results, day, spare, unfused, good_news: Vec::new() };
    study.good_news = good_news(robot, &study);
    study
}

/// The networks of all situations with their solutions, for an independent solver.
pub fn export(robot: &Robot, geometry: &Geometry) -> Vec<Exported> {
    let circuit = Circuit::of(robot, geometry);
    let wires = Wires::of(robot, geometry);
    each_situation(robot, |_, situation| {
        let at = all_levels(&circuit, robot, &wires, situation);
        operate::export(&circuit, &situation.name, &at.mean)
    })
}

/// Works on the situations side by side: none needs another.
fn each_situation<T: Send>(robot: &Robot, work: impl Fn(SituationId, &Situation) -> T + Sync) -> Vec<T> {
    let all = &robot.situations;
    lanes::each(all.len(), || (), |(), s| work(SituationId(s), &all[s]))
}

/// How close a loss comes to its limit, with as many digits as tell them apart.
fn closeness(loss: f64, limit: f64) -> String {
    let percent = |digits: usize| format!("{:.digits$}\u{2009}%", 100.0 * loss);
    let whole = format!("{:.0}\u{2009}%", 100.0 * limit);
    let bound = |digits: usize| format!("{:.digits$}\u{2009}%", 100.0 * limit);
    match [1, 2].into_iter().find(|&d| percent(d) != bound(d)) {
        Some(d) => format!("comes closest with {} of {whole}", percent(d)),
        None => format!("has none of its {whole} to spare"),
    }
}

/// Says which wires are not computed, the first few by name.
fn without(robot: &Robot, silent: &[WireId]) -> String {
    const NAMED: usize = 6;
    if silent.is_empty() {
        return String::new();
    }
    // Loudspeaker leads first: they carry more than a signal does.
    let leads = loudspeaker_leads(robot);
    let (strong, weak): (Vec<WireId>, Vec<WireId>) = silent.iter().partition(|w| leads.contains(w));
    let first = strong.iter().chain(&weak).take(NAMED);
    let names: Vec<&str> = first.map(|w| robot.wires[w.0].name.as_str()).collect();
    let purpose = match (strong.is_empty(), weak.is_empty()) {
        (true, _) => "signals",
        (_, true) => "loudspeakers",
        _ => "signals and loudspeakers",
    };
    let rest = match silent.len().saturating_sub(NAMED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let (wires, are) = if silent.len() == 1 { ("wire", "is") } else { ("wires", "are") };
    format!(" {} {wires} for {purpose} {are} not computed: {}{rest}.", silent.len(), names.join(", "))
}

/// What is well, with its margin.
fn good_news(robot: &Robot, study: &PowerStudy) -> Vec<String> {
    let mut news = Vec::new();
    let mut closest: Option<(f64, WireId, SituationId)> = None;
    let mut all_within = true;
    for w in (0..robot.wires.len()).map(WireId) {
        let limit = lasting_limit(robot, w);
        for s in &study.situations {
            match s.wires[w.0].temperature {
                Some(t) => {
                    let margin = (limit - t).0;
                    all_within &= margin >= 0.0;
                    if s.wires[w.0].fed && closest.is_none_or(|(least, ..)| margin < least) {
                        closest = Some((margin, w, s.situation));
                    }
                }
                None => all_within = false,
            }
        }
    }
    if let (true, Some((margin, w, s))) = (all_within, closest) {
        let silent = not_computed(robot, &study.situations);
        let every = if silent.is_empty() { "Every wire" } else { "Every wire that is computed" };
        news.push(format!(
            "{every} stays at least {:.0}\u{2009}K below its limit; the closest is {} in `{}`.{}",
            margin.floor(),
            robot.wires[w.0].name,
            robot.situations[s.0].name,
            without(robot, &silent)
        ));
    }
    let hot = study.situations.iter().flat_map(|s| &s.wires).filter_map(|w| w.temperature);
    let hottest = hot.fold(Celsius(f64::NEG_INFINITY), Celsius::max);
    if all_within && hottest.0.is_finite() {
        news.push(format!("The hottest conductor anywhere reaches {hottest:.0}."));
    }
    if !study.situations.is_empty() && study.situations.iter().all(|s| s.outcome == Outcome::Solved) {
        let worst = study
            .situations
            .iter()
            .flat_map(|s| &s.drops)
            .max_by(|a, b| (a.fraction / a.limit).total_cmp(&(b.fraction / b.limit)));
        if let Some(worst) = worst.filter(|d| d.fraction <= d.limit) {
            news.push(format!(
                "No supply loses more than its share on the way; {} {}.",
                robot.parts[worst.part.0].name,
                closeness(worst.fraction, worst.limit)
            ));
        }
    }
    if let Some(day) = study.day.as_ref().filter(|d| d.fits) {
        news.push(match day.run_time {
            Some(t) => format!(
                "The batteries last {:.1}\u{2009}h, the planned day takes {:.1}\u{2009}h.",
                t.0 / 3600.0,
                day.planned.0 / 3600.0
            ),
            None => "The batteries never run empty when the planned day is repeated.".to_owned(),
        });
    }
    news
}

#[cfg(test)]
mod tests {
    use super::closeness;

    #[test]
    fn a_loss_just_below_its_limit_is_told_from_it() {
        assert_eq!(closeness(0.024, 0.03), "comes closest with 2.4\u{2009}% of 3\u{2009}%");
        assert_eq!(closeness(0.0297, 0.03), "comes closest with 2.97\u{2009}% of 3\u{2009}%");
        assert_eq!(closeness(0.029_98, 0.03), "has none of its 3\u{2009}% to spare");
    }
}
