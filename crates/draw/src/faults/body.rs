//! Heat in the body.

use super::words::{any, celsius, watts};
use super::{Chapter, Matter};
use crate::book::Table;
use crate::plot::{Curve, Edge, Lines};
use crate::words::time;
use loomdeck_power::faults::body::{Band, BodyHeat};

/// Parts listed by the heat they make.
const HEATERS: usize = 6;

/// The chapter.
pub(super) fn chapter(m: &Matter<'_>) -> Chapter {
    let found = &m.faults.body;
    let mut c = Chapter::new(
        "body",
        "Heat in the body",
        "What every part turns into heat, and how warm the closed body gets over the day. The band holds what the \
         formulas for moving air are off by.",
    );
    c.says.clone_from(&found.good_news);
    c.says.extend(shell(found));
    c.tables = vec![sources(found), heaters(found), stretches(m, found), limits(m, found)];
    c.plots.extend(course(m, found));
    c.limits.clone_from(&found.validity);
    c
}

fn band(b: Band) -> String {
    let (low, likely, high) = (b.low.0.round(), b.likely.0.round(), b.high.0.round());
    if low == high {
        format!("{likely}\u{2009}°C")
    } else {
        format!("{likely}\u{2009}°C ({low} to {high})")
    }
}

fn shell(found: &BodyHeat) -> Vec<String> {
    let mut out = Vec::new();
    if let Some(s) = &found.shell {
        out.push(format!(
            "Through its {} the body loses {:.1}\u{2009}W for each kelvin that the air inside is warmer, and {:.1}\u{2009}W by \
             air that moves through it; it goes two thirds of the way to a new temperature in {}.",
            s.surface,
            s.wall_w_per_k,
            s.air_w_per_k,
            time(s.time_constant.0)
        ));
    }
    if let Some(t) = &found.typical {
        out.push(format!(
            "The body is not described. With air of {} outside, a body of usual size around this board ({} to {}) would \
             reach {} to {}.",
            celsius(t.outside),
            t.small,
            t.large,
            celsius(t.low),
            celsius(t.high)
        ));
    }
    if let Some(cure) = &found.cure {
        let fan = cure.fan.map(|f| format!("a fan that moves {f}"));
        let vents = cure.vents.map(|v| {
            let area = (v.0 * 1e4).ceil();
            format!(
                "two openings of {area}\u{2009}cm² free area each, one {} above the other",
                cure.vent_height
            )
        });
        let ways: Vec<String> = fan.into_iter().chain(vents).collect();
        if !ways.is_empty() {
            out.push(format!("To stay at {}: {}.", celsius(cure.keeps), ways.join(", or ")));
        }
    }
    out
}

fn sources(found: &BodyHeat) -> Table {
    let heads = [
        "***situation",
        ">in the body",
        ">of it wires",
        ">in the open",
        ">work",
        ">light, sound",
        ">assumed",
        "***settles at",
    ];
    let mut t = Table::new("Heat by situation", &heads, "");
    for s in &found.situations {
        t.row([
            s.name.clone(),
            watts(s.inside.0),
            watts(s.wires.0),
            watts(s.outside.0),
            watts(s.work.0),
            watts(s.leaves.0),
            celsius(s.assumed),
            any(s.settled, band),
        ]);
    }
    t
}

/// What heats most in the situation that heats the body most.
fn heaters(found: &BodyHeat) -> Table {
    let hottest = found.situations.iter().max_by(|a, b| a.inside.0.total_cmp(&b.inside.0));
    let title = hottest.map_or_else(String::new, |s| format!("What heats most: {}", s.name));
    let mut t = Table::new(&title, &["***part", "**loss", ">heat", "**"], "");
    for p in hottest.iter().flat_map(|s| &s.parts).filter(|p| p.heat.0 >= 0.05).take(HEATERS) {
        let place = if p.inside { "" } else { "in the open" };
        t.row([p.name.clone(), p.kind.to_owned(), watts(p.heat.0), place.to_owned()]);
    }
    t
}

fn stretches(m: &Matter<'_>, found: &BodyHeat) -> Table {
    let heads = ["***stretch", ">from", ">to", "***warmest air inside", ">assumed"];
    let mut t = Table::new("The air inside over the day", &heads, "");
    for s in found.day.iter().flat_map(|d| &d.stretches) {
        t.row([
            m.situation(s.situation),
            time(s.from.0),
            time(s.to.0),
            band(s.warmest),
            celsius(s.assumed),
        ]);
    }
    t
}

fn limits(m: &Matter<'_>, found: &BodyHeat) -> Table {
    let heads = ["***part", ">bears", "***gets", "**in", "**"];
    let mut t = Table::new("Parts with a limit for the air around them", &heads, "");
    for p in &found.parts {
        t.row([
            p.name.clone(),
            celsius(p.limit),
            band(p.air),
            any(p.situation, |s| m.situation(s)),
            if p.computed { String::new() } else { "as assumed".to_owned() },
        ]);
    }
    t
}

fn course(m: &Matter<'_>, found: &BodyHeat) -> Option<Lines> {
    let day = found.day.as_ref()?;
    let hours = |points: &[(f64, f64)]| points.iter().map(|(t, v)| (t / 3600.0, *v)).collect();
    let curve = |name: &str, points: &[(f64, f64)], faint| Curve {
        name: name.to_owned(),
        points: hours(points),
        faint,
    };
    let assumed = m.robot.limits.ambient;
    Some(Lines {
        title: "Air inside the body over the day".to_owned(),
        x: "time, h".to_owned(),
        y: "air inside, °C".to_owned(),
        curves: vec![
            curve("by the formulas", &day.likely, false),
            curve("at least", &day.low, true),
            curve("at most", &day.high, true),
        ],
        edges: vec![Edge {
            name: format!("assumed: {}", celsius(assumed)),
            at: assumed.0,
            below: false,
        }],
    })
}
