//! Wrong wires.

use super::words::{amperes, any, few, few_or_nothing, opening, volts};
use super::{Chapter, Matter};
use crate::book::Table;
use loomdeck_model::PartId;
use loomdeck_power::faults::crossed::{Crossed, Hurt, Which};

/// The chapter.
pub(super) fn chapter(m: &Matter<'_>) -> Chapter {
    let found = &m.faults.crossed;
    let mut c = Chapter::new(
        "crossed",
        "Wrong wires",
        "A battery or a charger the wrong way round, and each return missing in turn: its current finds another way, \
         perhaps through a signal’s ground.",
    );
    c.says.clone_from(&found.good_news);
    c.tables = vec![reversed(m, found), returns(m, found)];
    c.limits.clone_from(&found.validity);
    c
}

fn names(m: &Matter<'_>, parts: &[PartId]) -> String {
    few(parts.iter().map(|p| m.part(*p)))
}

fn hurt(m: &Matter<'_>, hurt: &[Hurt]) -> String {
    few_or_nothing(hurt.iter().map(|h| format!("{} ({})", m.part(h.part), volts(h.voltage_v))))
}

fn reversed(m: &Matter<'_>, found: &Crossed) -> Table {
    let heads = [
        "****the wrong way round",
        "**as in",
        ">current",
        "***opens",
        ">within",
        "****destroys",
        "***held back by",
    ];
    let mut t = Table::new("Sources the wrong way round", &heads, "");
    for r in &found.reversed {
        let what = match r.which {
            Which::Pack => format!("all of {}", names(m, &r.parts)),
            Which::One | Which::Charger => names(m, &r.parts),
        };
        t.row([
            what,
            m.situation(r.situation),
            any(r.current_a, amperes),
            r.opens
                .as_ref()
                .map_or_else(|| "nothing".to_owned(), |(part, way, _)| super::way(m.robot, *part, way)),
            any(r.opens.as_ref(), |(.., slowest)| opening(*slowest)),
            hurt(m, &r.hurt),
            names(m, &r.held_by),
        ]);
    }
    t
}

fn returns(m: &Matter<'_>, found: &Crossed) -> Table {
    let heads = [
        "***missing",
        "**as in",
        ">carried",
        "*****its current takes",
        "***destroys",
        "***without supply",
    ];
    let mut t = Table::new("Returns missing, one at a time", &heads, "");
    for r in &found.returns {
        let ways: Vec<String> = r
            .detours
            .iter()
            .take(3)
            .map(|d| {
                let what = if d.signal { " (a signal’s)" } else { "" };
                let hot = d.reaches_c.map_or_else(
                    || ", over 400\u{2009}°C".to_owned(),
                    |t| if t > d.limit_c { format!(", {t:.0}\u{2009}°C") } else { String::new() },
                );
                format!("{}{what} {}{hot}", m.robot.wires[d.wire.0].name, amperes(d.current_a))
            })
            .collect();
        t.row([
            m.robot.wires[r.wire.0].name.clone(),
            m.situation(r.situation),
            amperes(r.carried_a),
            if ways.is_empty() { "no other way".to_owned() } else { ways.join(", ") },
            hurt(m, &r.hurt),
            names(m, &r.fails),
        ]);
    }
    t
}
