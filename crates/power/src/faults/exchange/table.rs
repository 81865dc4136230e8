//! The table of body halves against board halves, and what is said around it.

use super::mate::mate;
use super::types::{Case, Cell, Deed, Exchange, HarmKind, Mate, PlugRow, Verdict};
use loomdeck_model::{PlugId, Robot};

/// Rows and columns.
pub fn rows(robot: &Robot) -> Vec<PlugRow> {
    robot
        .plugs
        .iter()
        .enumerate()
        .map(|(p, plug)| {
            let family = robot.family_of(PlugId(p));
            let arrangement = family.map_or("", |f| plug.arrangement(f));
            let word = if arrangement.is_empty() { plug.keying.clone() } else { String::new() };
            let colour = plug.colour.map(|c| c.to_string()).unwrap_or_default();
            PlugRow {
                plug: PlugId(p),
                name: plug.name.clone(),
                family: robot.types[plug.family.0].name.clone(),
                arrangement: arrangement.to_owned(),
                mark: [colour, word]
                    .into_iter()
                    .filter(|w| !w.is_empty())
                    .collect::<Vec<_>>()
                    .join(", "),
            }
        })
        .collect()
}

/// Row: body half; column: board half.
pub fn cells(robot: &Robot, found: &Exchange) -> Vec<Vec<Cell>> {
    let plugs = || (0..robot.plugs.len()).map(PlugId);
    plugs().map(|body| plugs().map(|board| cell(robot, found, body, board)).collect()).collect()
}

fn concerns(deed: Deed, body: PlugId, board: PlugId) -> bool {
    match deed {
        Deed::Wrong { body: a, board: b, .. } => (a, b) == (body, board),
        Deed::Swapped { one, other } => (one, other) == (body, board) || (other, one) == (body, board),
        Deed::Reversed { plug } | Deed::Out { plug } => plug == body && body == board,
    }
}

fn cell(robot: &Robot, found: &Exchange, body: PlugId, board: PlugId) -> Cell {
    let mate = mate(robot, body, board);
    let cases: Vec<usize> = found
        .cases
        .iter()
        .enumerate()
        .filter(|(_, c)| concerns(c.deed, body, board))
        .map(|c| c.0)
        .collect();
    let told = |i: usize| &found.cases[found.told_by(i)];
    let worst = cases.iter().copied().max_by_key(|&i| (told(i).verdict, usize::MAX - i));
    let verdict = worst.map_or(Verdict::Harmless, |i| told(i).verdict);
    let word = match (mate, worst) {
        (Mate::OtherFamily, _) => "will not mate: another family".to_owned(),
        (Mate::SameGender, _) => "will not mate: pins on the same half".to_owned(),
        (Mate::OtherKeying, _) => "will not mate: another arrangement".to_owned(),
        (Mate::OutOfReach, _) => "out of reach".to_owned(),
        (Mate::Own | Mate::Fits, Some(i)) => in_words(robot, found, i),
        (Mate::Own | Mate::Fits, None) => "harmless".to_owned(),
    };
    Cell { mate, verdict, word, cases }
}

/// What a case does, in a few words.
fn in_words(robot: &Robot, found: &Exchange, index: usize) -> String {
    let told = &found.cases[found.told_by(index)];
    let deed = match found.cases[index].deed {
        Deed::Wrong { reversed: true, .. } | Deed::Reversed { .. } => "turned round: ",
        Deed::Swapped { .. } => "both swapped: ",
        Deed::Out { .. } => "left out: ",
        Deed::Wrong { .. } => "",
    };
    if told.verdict == Verdict::Dark {
        let names: Vec<&str> =
            told.dark.iter().take(2).map(|p| robot.parts[p.0].name.as_str()).collect();
        let more = if told.dark.len() > 2 { " and more" } else { "" };
        return format!("{deed}no damage; {}{more} without supply", names.join(", "));
    }
    let Some(harm) = told.harms.first() else { return "harmless".to_owned() };
    let what = match harm.kind {
        HarmKind::MovesByItself => "moves by itself",
        HarmKind::WrongCommand => "on another's command",
        HarmKind::RunsBackwards => "turns the other way",
        HarmKind::WireTooHot => "too hot",
        HarmKind::TooMuchVoltage | HarmKind::SignalDriven => "too much voltage",
        HarmKind::Reversed => "fed the wrong way round",
        HarmKind::BridgeShorted => "output shorted",
        HarmKind::PushedBack => "pushed from behind",
        HarmKind::TooMuchCurrent => "too much current",
        HarmKind::OutputsJoined => "two outputs joined",
        HarmKind::FuseOpens => "fuse opens",
    };
    let like = if found.cases[index].like.is_some() { "as elsewhere: " } else { "" };
    format!("{deed}{like}{} {what}", harm.name)
}

/// What is covered and what not.
pub fn validity(robot: &Robot, cases: &[Case]) -> Vec<String> {
    let mut used: Vec<&str> = Vec::new();
    for s in cases.iter().flat_map(|c| &c.situations) {
        let name = robot.situations[s.0].name.as_str();
        if !used.contains(&name) {
            used.push(name);
        }
    }
    vec![
        "Covered: one body half in one wrong place, two swapped, one the wrong way round where its family allows it, one left out. Three or more plugs changed about in a ring are not covered.".to_owned(),
        format!("Each is solved in at most two situations in which its plugs are mated, those that feed most of the robot: {}.", used.join(", ")),
        "A loom is taken to reach a place up to twice its path to its zone away, plus tails, slack and what its joint needs: it may come from any side. A plug of a zone without a measured path reaches everything.".to_owned(),
        "Steady state with every fuse still in; what happens in the first moments is not in it. A signal is judged by the voltage at its terminal and by the outputs joined to it.".to_owned(),
    ]
}

/// What is well.
pub fn good_news(robot: &Robot, found: &Exchange) -> Vec<String> {
    let mut news = Vec::new();
    let harms = |i: usize| found.cases[found.told_by(i)].verdict == Verdict::Harms;
    let exchanges = |c: &Case| matches!(c.deed, Deed::Wrong { .. } | Deed::Swapped { .. });
    let any = found.cases.iter().enumerate().any(|(i, c)| c.possible && exchanges(c) && harms(i));
    if robot.plugs.len() > 1 && !any {
        let fits = found.table.iter().flatten().filter(|c| c.mate == Mate::Fits).count();
        let kept = found.keying.iter().map(|k| k.apart.len()).sum::<usize>();
        news.push(match (fits, kept) {
            (0, 0) => "No plug goes into another's place.".to_owned(),
            (0, k) => format!("No plug goes into another's place; arrangement or gender keeps {k} harmful pairs apart."),
            (n, k) => format!("{n} wrong places are possible and none of them harms; arrangement or gender keeps {k} harmful pairs apart."),
        });
    }
    let out = |c: &Case| matches!(c.deed, Deed::Out { .. }) && !c.situations.is_empty();
    let left_out = found.cases.iter().filter(|c| out(c)).count();
    if left_out > 0 && !found.cases.iter().enumerate().any(|(i, c)| out(c) && harms(i)) {
        news.push(format!("Each of {left_out} plugs may be left out while the rest is on: nothing is damaged and nothing moves by itself."));
    }
    news
}
