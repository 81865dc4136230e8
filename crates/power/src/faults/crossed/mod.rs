//! Wrong wires: a battery or charger reversed, a missing return whose current goes through a signal ground.
//!
//! Each mistake changes the network (a battery led the other way, a wire without metal in it), which is then
//! solved from nothing like any situation.

mod findings;
mod returns;
mod reversed;
mod types;

pub use types::*;

use super::Ground;
use loomdeck_model::{Finding, Page};

/// Explanations of this room's findings.
pub const PAGES: &[Page] = findings::PAGES;

/// Current from which something flows that should not, A.
const FLOWS: f64 = 1.0;

/// Works it out.
pub fn study(ground: &Ground<'_>) -> Crossed {
    let reversed = reversed::reversed(ground);
    let returns = returns::lost(ground);
    let good_news = good_news(ground, &reversed, &returns);
    let validity = match ground.robot.situations.is_empty() {
        true => Vec::new(),
        false => [
            "Fuses count as whole when the voltages are told: they open within the time given, electronics die sooner.",
            "A part that is fed the wrong way round by more than 0.5\u{2009}V counts as destroyed unless a diode holds it off: no part type states a reverse voltage.",
            "A reversed charger is taken as a short across its leads: its rectifier conducts backwards. One with a protection of its own does nothing.",
            "A missing return is a wire without metal in it; its loads are otherwise as in the situation. Signals carry current only through what joins their returns to the supply's.",
        ]
        .map(str::to_owned)
        .to_vec(),
    };
    Crossed { reversed, returns, good_news, validity }
}

/// What the builder must know of it.
pub fn findings(ground: &Ground<'_>, found: &Crossed) -> Vec<Finding> {
    findings::findings(ground, found)
}

fn good_news(ground: &Ground<'_>, reversed: &[Reversed], returns: &[LostReturn]) -> Vec<String> {
    let mut news = Vec::new();
    let names = |parts: &[loomdeck_model::PartId]| {
        let all: Vec<&str> = parts.iter().map(|p| ground.robot.parts[p.0].name.as_str()).collect();
        all.join(", ")
    };
    let held = |r: &&Reversed| {
        r.hurt.is_empty() && !r.held_by.is_empty() && r.current_a.is_some_and(|a| a < FLOWS)
    };
    for r in reversed.iter().filter(held) {
        news.push(format!(
            "{} the wrong way round harms nothing: {} blocks.",
            names(&r.parts),
            names(&r.held_by)
        ));
    }
    let cool = |d: &Detour| d.reaches_c.is_some_and(|c| c <= d.limit_c);
    let harmless = |l: &LostReturn| l.hurt.is_empty() && l.detours.iter().all(cool);
    if !returns.is_empty() && returns.iter().all(harmless) {
        let most = returns
            .iter()
            .flat_map(|l| &l.detours)
            .filter(|d| d.signal)
            .max_by(|a, b| a.current_a.total_cmp(&b.current_a));
        let most = most.map_or(" None finds its way through a signal's wire.".to_owned(), |d| {
            format!(
                " The most that a signal's wire takes is {:.2}\u{2009}A in {}.",
                d.current_a, ground.robot.wires[d.wire.0].name
            )
        });
        news.push(format!(
            "Any one of the {} return wires that carry current may come off, and no other wire gets too hot.{most}",
            returns.len()
        ));
    }
    news
}

#[cfg(test)]
mod tests;
