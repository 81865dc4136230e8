//! The batteries as a pack.

use super::words::{any, watts};
use super::{Chapter, Matter};
use crate::book::Table;
use crate::plot::{Curve, Lines};
use crate::words::time;
use loomdeck_model::PartId;
use loomdeck_model::units::{Volts, three_digits};
use loomdeck_power::faults::pack::Pack;

/// The chapter.
pub(super) fn chapter(m: &Matter<'_>) -> Chapter {
    let found = &m.faults.pack;
    let mut c = Chapter::new(
        "pack",
        "The batteries as a pack",
        "Balance, charging, storage, and who cuts off before a cell is harmed. Charge where you can see it, by the \
         maker’s word.",
    );
    if found.strings.is_empty() {
        return c;
    }
    c.says.clone_from(&found.good_news);
    c.tables = vec![
        balance(m, found),
        taps(found),
        charging(m, found),
        storage(found),
        draws(found),
        cut_off(m, found),
        opens(m, found),
        parallel(found),
    ];
    c.plots = curves(m, found);
    c.limits.clone_from(&found.validity);
    c
}

fn names(m: &Matter<'_>, parts: &[PartId]) -> String {
    if parts.is_empty() {
        return "none".to_owned();
    }
    super::words::few(parts.iter().map(|p| m.part(*p)))
}

fn string(found: &Pack, index: usize) -> String {
    found.strings.get(index).map_or_else(String::new, |s| s.names.join(" + "))
}

fn volts(v: Volts) -> String {
    super::words::volts(v.0)
}

fn percent(p: f64) -> String {
    format!("{}\u{2009}%", three_digits(p))
}

fn balance(m: &Matter<'_>, found: &Pack) -> Table {
    let heads = [
        "****batteries in series",
        "***taken in a day",
        ">apart",
        ">of capacity",
        "**loses most",
        "***flat",
    ];
    let mut t = Table::new("Balance", &heads, "");
    for b in &found.balance {
        let taken: Vec<String> = b.taken.iter().map(ToString::to_string).collect();
        let flat = match (b.charged_apart, b.flat_in_show) {
            (true, _) => "never: each has its own charger".to_owned(),
            (false, Some(n)) => format!("in show {n}, charged in series"),
            (false, None) => "never".to_owned(),
        };
        t.row([
            string(found, b.string),
            taken.join(", "),
            b.apart.to_string(),
            percent(b.apart_percent),
            any(b.lowest, |p| m.part(p)),
            flat,
        ]);
    }
    t
}

fn taps(found: &Pack) -> Table {
    let heads = ["***part", "****draws from", ">on the day", ">at most"];
    let mut t = Table::new("What hangs between the batteries", &heads, "");
    for b in &found.balance {
        for tap in &b.taps {
            let which = if tap.below { "those below its tap" } else { "those above its tap" };
            t.row([tap.name.clone(), which.to_owned(), tap.taken.to_string(), tap.most.to_string()]);
        }
    }
    t
}

fn charging(m: &Matter<'_>, found: &Pack) -> Table {
    let heads =
        ["***charger", "***charges", ">with", ">bears", ">from", ">takes", ">up to", ">from empty"];
    let mut t = Table::new("Charging", &heads, "");
    for c in &found.charging {
        t.row([
            m.part(c.charger),
            string(found, c.string),
            c.current.to_string(),
            c.limit.to_string(),
            crate::words::percent(c.start),
            time(c.time.0),
            time(c.up_to.0),
            time(c.from_empty.0),
        ]);
    }
    t
}

fn days(d: f64) -> String {
    if !d.is_finite() || d > 3650.0 { "years".to_owned() } else { format!("{d:.0}\u{2009}days") }
}

fn storage(found: &Pack) -> Table {
    let heads =
        ["***battery", ">drawn", ">loses by itself", ">flat after", ">charge again after", "*****how"];
    let mut t = Table::new("Everything off", &heads, "");
    for s in &found.storage {
        let (least, _, most) = s.self_discharge_percent;
        t.row([
            s.name.clone(),
            s.draw.to_string(),
            format!("{} to {} a month", three_digits(least), percent(most)),
            days(s.flat_days),
            days(s.recharge_days),
            s.advice.to_owned(),
        ]);
    }
    t
}

fn draws(found: &Pack) -> Table {
    let mut t = Table::new("Who draws while everything is off", &["***part", ">takes"], "");
    for d in &found.draws {
        t.row([d.name.clone(), watts(d.power.0)]);
    }
    t
}

fn cut_off(m: &Matter<'_>, found: &Pack) -> Table {
    let heads = [
        "***battery",
        ">ends at",
        ">harmed below",
        "***opens in time",
        "****goes on below",
        "***last to stop",
    ];
    let mut t = Table::new("Who cuts off before a cell is harmed", &heads, "");
    let at = |m: &Matter<'_>, (part, v): (PartId, Volts)| format!("{} at {}", m.part(part), volts(v));
    for c in &found.cut_off {
        let who = match (c.opened_by, c.metered) {
            (Some(by), _) => at(m, by),
            (None, true) => "nobody; a meter shows it".to_owned(),
            (None, false) => "nobody".to_owned(),
        };
        t.row([
            c.name.clone(),
            volts(c.stated),
            volts(c.damage),
            who,
            names(m, &c.goes_on),
            any(c.last_to_stop, |l| at(m, l)),
        ]);
    }
    t
}

fn opens(m: &Matter<'_>, found: &Pack) -> Table {
    let heads = ["***protection", "**in", ">carries", ">opens at", "****lose supply", "****keep it"];
    let mut t = Table::new("When a protection opens", &heads, "");
    for o in &found.opens {
        t.row([
            super::way(m.robot, o.part, &o.element),
            m.situation(o.situation),
            o.carried.to_string(),
            o.opens_at.to_string(),
            names(m, &o.lose),
            names(m, &o.keep),
        ]);
    }
    t
}

fn parallel(found: &Pack) -> Table {
    let heads = ["****side by side", "****and", ">flows", ">bears", ">apart at most"];
    let mut t = Table::new("One full, one half empty, joined", &heads, "");
    for p in &found.parallel {
        t.row([
            string(found, p.strings.0),
            string(found, p.strings.1),
            p.current.to_string(),
            p.limit.to_string(),
            volts(p.bears),
        ]);
    }
    t
}

fn curves(m: &Matter<'_>, found: &Pack) -> Vec<Lines> {
    let each = found.charging.iter().map(|c| Lines {
        title: format!("Charging with {}", m.part(c.charger)),
        x: "time, h".to_owned(),
        y: "current, A".to_owned(),
        curves: vec![Curve {
            name: string(found, c.string),
            points: c.current_curve.iter().map(|(t, a)| (t / 3600.0, *a)).collect(),
            faint: false,
        }],
        edges: Vec::new(),
    });
    each.collect()
}
