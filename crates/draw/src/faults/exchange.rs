//! Wrong plugs.

use super::{Chapter, Matter};
use crate::book::Table;
use loomdeck_model::PlugId;
use loomdeck_power::faults::exchange::{Case, Deed, Exchange, Harm, Keying, Verdict};

/// The chapter.
pub(super) fn chapter(m: &Matter<'_>) -> Chapter {
    let found = &m.faults.exchange;
    let mut c = Chapter::new(
        "exchange",
        "Wrong plugs",
        "Each plug put into each other place it fits, the wrong way round, and left out, with everything else on. Each \
         case is solved on the network.",
    );
    if found.plugs.is_empty() {
        return c;
    }
    c.says.clone_from(&found.good_news);
    c.says.extend(found.keying.iter().filter_map(|k| keying(m, k)));
    c.tables = vec![mates(found), alone(m, found), cases(m, found)];
    c.limits.clone_from(&found.validity);
    c
}

fn name(m: &Matter<'_>, plug: PlugId) -> String {
    m.robot.plugs[plug.0].name.clone()
}

/// What to change so that every exchange that is left is harmless.
fn keying(m: &Matter<'_>, k: &Keying) -> Option<String> {
    if k.changes.is_empty() && k.unsolved.is_empty() {
        return None;
    }
    let each: Vec<String> = k
        .changes
        .iter()
        .map(|c| {
            let mut to: Vec<String> = Vec::new();
            to.extend(c.keying.iter().map(|k| format!("arrangement {k}")));
            to.extend(c.pins_on.map(|half| format!("pins on the {half}’s half")));
            to.extend(c.family.iter().map(|f| format!("family {f}")));
            format!("{} ({})", name(m, c.plug), to.join(", "))
        })
        .collect();
    let mut text = String::new();
    if !each.is_empty() {
        let least = if k.smallest { "the smallest change" } else { "a change" };
        text = format!(
            "Of the plugs of {}, {least} that makes every exchange harmless: {}.",
            k.family,
            each.join("; ")
        );
    }
    if !k.unsolved.is_empty() {
        let names: Vec<String> = k.unsolved.iter().map(|p| name(m, *p)).collect();
        text += &format!(
            " Nothing on the shelf tells {} apart: mark them and keep them far apart.",
            names.join(", ")
        );
    }
    Some(text.trim_start().to_owned())
}

/// Body halves against board halves; only those that mate with another than their own.
fn mates(found: &Exchange) -> Table {
    let mut t = Table::new(
        "Body half in another plug’s board half",
        &["***body half", "***goes into", "*****what happens"],
        "",
    );
    for (row, cells) in found.plugs.iter().zip(&found.table) {
        for (column, cell) in found.plugs.iter().zip(cells) {
            let fits = cell.mate == loomdeck_power::faults::exchange::Mate::Fits;
            if row.plug != column.plug && fits {
                t.row([row.name.clone(), column.name.clone(), cell.word.clone()]);
            }
        }
    }
    let apart = found.table.iter().flatten().filter(|c| {
        use loomdeck_power::faults::exchange::Mate;
        !matches!(c.mate, Mate::Own | Mate::Fits)
    });
    let apart = apart.count();
    if apart > 0 {
        t.note = format!(
            "{apart} other pairs of halves do not mate: another family, gender or arrangement, or out of reach."
        );
    }
    t
}

/// Plugs left out or put in the wrong way round.
fn alone(m: &Matter<'_>, found: &Exchange) -> Table {
    let mut t =
        Table::new("Left out, and the wrong way round", &["***plug", "**", "*****what happens"], "");
    for (i, c) in found.cases.iter().enumerate().filter(|(_, c)| c.possible) {
        let (plug, how) = match c.deed {
            Deed::Out { plug } => (plug, "left out"),
            Deed::Reversed { plug } => (plug, "wrong way round"),
            Deed::Wrong { .. } | Deed::Swapped { .. } => continue,
        };
        let like = &found.cases[found.told_by(i)];
        t.row([name(m, plug), how.to_owned(), told(m, c, like)]);
    }
    t
}

/// What comes of a case, in a few words.
fn told(m: &Matter<'_>, c: &Case, like: &Case) -> String {
    let worst = like.harms.iter().map(|h| h.text.trim_end_matches('.')).take(2).collect::<Vec<_>>();
    if !worst.is_empty() {
        return worst.join("; ");
    }
    match c.verdict {
        Verdict::Harmless => "harmless".to_owned(),
        Verdict::Dark if c.dark.is_empty() => "something does not work".to_owned(),
        Verdict::Dark => {
            format!("without supply: {}", super::words::few(c.dark.iter().map(|p| m.part(*p))))
        }
        Verdict::Harms => "harms".to_owned(),
    }
}

/// The harmful exchanges, each with everything that goes wrong in it.
fn cases(m: &Matter<'_>, found: &Exchange) -> Table {
    let heads = ["****what is done", "***to", ">reaches", ">bears", "***in"];
    let mut t = Table::new("What is harmed by exchanges that can happen", &heads, "");
    for (i, c) in found.cases.iter().enumerate().filter(|(_, c)| c.possible) {
        for h in &found.cases[found.told_by(i)].harms {
            t.row([
                deed(m, c),
                h.name.clone(),
                figure(h, h.value),
                figure(h, h.limit),
                m.situation(h.situation),
            ]);
        }
    }
    t
}

fn figure(h: &Harm, value: f64) -> String {
    if value == 0.0 && h.limit == 0.0 {
        return String::new();
    }
    format!("{}\u{2009}{}", loomdeck_model::units::three_digits(value), h.unit)
}

fn deed(m: &Matter<'_>, c: &Case) -> String {
    match c.deed {
        Deed::Wrong { body, board, reversed } => {
            let turned = if reversed { ", turned round" } else { "" };
            format!("{} in the place of {}{turned}", name(m, body), name(m, board))
        }
        Deed::Swapped { one, other } => format!("{} and {} swapped", name(m, one), name(m, other)),
        Deed::Reversed { plug } => format!("{} the wrong way round", name(m, plug)),
        Deed::Out { plug } => format!("{} left out", name(m, plug)),
    }
}
