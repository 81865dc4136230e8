//! Short circuits.

use super::words::{amperes, any, few, opening, square_seconds, volts};
use super::{Chapter, Matter};
use crate::book::Table;
use loomdeck_model::WireId;
use loomdeck_power::faults::short::{Family, Hot, Never, Opening, Opens, Row, Short};

/// The chapter.
pub(super) fn chapter(m: &Matter<'_>) -> Chapter {
    let found = &m.faults.short;
    let mut c = Chapter::new(
        "short",
        "Short circuits",
        "Every wire, plug and load shorted to its return and to what lies beside it: what flows, what opens, when, and \
         how warm the conductor is by then. Full batteries give the largest current, low ones the slowest opening.",
    );
    c.says.clone_from(&found.good_news);
    c.tables = vec![
        returns(m, found, "Wires shorted to their return at the far end", |f| f == Family::End),
        returns(m, found, "Wires shorted in the middle", |f| f == Family::Middle),
        returns(m, found, "Shorts at plugs, loads and sources", |f| {
            matches!(f, Family::Plug | Family::Load | Family::Source)
        }),
        strained(m, found),
        touching(m, found),
        selectivity(m, found),
    ];
    c.limits.clone_from(&found.validity);
    c
}

fn wire(m: &Matter<'_>, id: WireId) -> String {
    m.robot.wires[id.0].name.clone()
}

/// How hot, and how near its limit; the closest come first.
fn nearness(r: &Row) -> f64 {
    let hot = r.hottest.as_ref();
    hot.map_or(f64::NEG_INFINITY, |h| h.reaches_c.map_or(f64::INFINITY, |t| t - h.limit_c))
}

fn returns(m: &Matter<'_>, found: &Short, title: &str, wanted: impl Fn(Family) -> bool) -> Table {
    let heads =
        ["****at", ">full", ">low", "****opens", ">let through", "***hottest", ">gets to", ">bears"];
    let mut t = Table::new(title, &heads, "");
    let mut rows: Vec<&Row> = found.to_return.iter().filter(|r| wanted(r.family)).collect();
    rows.sort_by(|a, b| {
        let never = |r: &Row| r.never.is_none();
        never(a).cmp(&never(b)).then(nearness(b).total_cmp(&nearness(a)))
    });
    for r in rows {
        let hot = r.hottest.as_ref();
        t.row([
            r.at.clone(),
            amperes(r.full.current_a),
            amperes(r.low.current_a),
            match &r.never {
                Some(why) => never(m, why),
                None => ends(m, &r.full.opens, &r.low.opens),
            },
            any(r.full.let_through_a2s, |(_, most)| square_seconds(most)),
            any(hot, |h| wire(m, h.wire)),
            any(hot, reaches),
            any(hot, |h| format!("{:.0}\u{2009}°C", h.limit_c)),
        ]);
    }
    t
}

fn reaches(h: &Hot) -> String {
    h.reaches_c.map_or_else(|| "over 400\u{2009}°C".to_owned(), |t| format!("{t:.0}\u{2009}°C"))
}

fn device(m: &Matter<'_>, o: &Opening) -> String {
    let name = super::way(m.robot, o.part, &o.element);
    match o.what {
        Opens::Fuse => name,
        Opens::Protection => format!("{name} (protection)"),
        Opens::Trip => format!("{name} switches off"),
        Opens::Limit | Opens::Driver => format!("{name} holds {}", amperes(o.rating_a)),
    }
}

/// What opens first, from its soonest with full batteries to its latest with low ones.
fn ends(m: &Matter<'_>, full: &[Opening], low: &[Opening]) -> String {
    let Some(first) = full.first() else { return "nothing".to_owned() };
    let late = low.iter().find(|o| o.part == first.part && o.element == first.element).unwrap_or(first);
    match (first.fastest_s, late.slowest_s) {
        (Some(a), Some(b)) if b >= 1e-3 => {
            format!("{} in {} to {}", device(m, first), opening(a), opening(b))
        }
        (_, Some(b)) => format!("{} within {}", device(m, first), opening(b).replace("under ", "")),
        _ => device(m, first),
    }
}

fn never(m: &Matter<'_>, why: &Never) -> String {
    match why {
        Never::Unfused => "no fuse on its way".to_owned(),
        Never::TooSmall { part, way, surely_a, .. } => {
            format!("perhaps never: {} wants {}", super::way(m.robot, *part, way), amperes(*surely_a))
        }
        Never::Limited { part, limit_a } => format!("{} holds {}", m.part(*part), amperes(*limit_a)),
        Never::Driven { part, peak_a } => format!("{} holds {}", m.part(*part), amperes(*peak_a)),
    }
}

/// Contacts beyond their rating, each at the short that strains it most.
fn strained(m: &Matter<'_>, found: &Short) -> Table {
    let heads = ["****contact", ">carries", ">rated", "****short at", "****opens"];
    let mut t = Table::new("Contacts that carry more than their rating until it opens", &heads, "");
    let mut worst: Vec<(&loomdeck_power::faults::short::Strained, &Row)> = Vec::new();
    for r in &found.to_return {
        for s in &r.strained {
            match worst.iter_mut().find(|(w, _)| w.what == s.what) {
                Some(w) if s.current_a > w.0.current_a => *w = (s, r),
                Some(_) => {}
                None => worst.push((s, r)),
            }
        }
    }
    worst.sort_by(|a, b| {
        let over = |s: &loomdeck_power::faults::short::Strained| s.current_a / s.rating_a.max(1e-9);
        over(b.0).total_cmp(&over(a.0))
    });
    for (s, r) in worst {
        t.row([
            s.what.clone(),
            amperes(s.current_a),
            amperes(s.rating_a),
            r.at.clone(),
            ends(m, &r.full.opens, &r.low.opens),
        ]);
    }
    t
}

fn touching(m: &Matter<'_>, found: &Short) -> Table {
    let heads = ["***in", "***wire", "***on", ">apart", ">flows", "***opens", "***destroys"];
    let mut t = Table::new("Wires side by side whose insulation fails", &heads, "");
    let mut rows: Vec<_> = found.touching.iter().collect();
    rows.sort_by_key(|r| r.destroys.is_empty());
    for r in rows {
        let hurt = r
            .destroys
            .iter()
            .map(|h| format!("{} ({} of {})", m.part(h.part), volts(h.voltage_v), volts(h.limit_v)));
        t.row([
            r.place.clone(),
            wire(m, r.high),
            wire(m, r.low),
            volts(r.before_v),
            any(r.current_a, amperes),
            r.opens.first().map_or_else(String::new, |o| device(m, o)),
            few(hurt),
        ]);
    }
    t
}

fn selectivity(m: &Matter<'_>, found: &Short) -> Table {
    let heads = [
        "***near the battery",
        ">rated",
        "***near the short",
        ">rated",
        ">shorts from",
        ">to",
        "****which opens first",
    ];
    let mut t = Table::new("Which of two fuses in a row opens first", &heads, "");
    for p in &found.selectivity {
        let says = match p.sure_to_a {
            Some(a) if a >= p.most_a => "the near one, surely".to_owned(),
            Some(a) => format!("the near one up to {}; beyond that perhaps both", amperes(a)),
            None => "not sure: both may open".to_owned(),
        };
        t.row([
            super::way(m.robot, p.upper.0, &p.upper.1),
            amperes(p.upper_a),
            super::way(m.robot, p.lower.0, &p.lower.1),
            amperes(p.lower_a),
            amperes(p.least_a),
            amperes(p.most_a),
            says,
        ]);
    }
    t
}
