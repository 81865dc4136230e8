//! Stopping.

use super::words::{any, percent, speed, volts};
use super::{Chapter, Matter};
use crate::book::Table;
use crate::words::time;
use loomdeck_model::units::three_digits;
use loomdeck_power::faults::motion::drag::Coast;
use loomdeck_power::faults::stop::{StopKind, StopRow, Stopping};

/// The chapter.
pub(super) fn chapter(m: &Matter<'_>) -> Chapter {
    let found = &m.faults.stop;
    let mut c = Chapter::new(
        "stop",
        "Stopping",
        "What each switch, stop button, pulled plug and lost radio link leaves live or moving, and how far the robot \
         rolls. Keep a stop within reach wherever people are near; local rules decide what is enough.",
    );
    if found.movers.is_empty() {
        return c;
    }
    c.says.clone_from(&found.good_news);
    c.tables = vec![rows(found), rolls(found), alive(found), failures(found)];
    c.limits.clone_from(&found.validity);
    c
}

const fn kind(k: StopKind) -> &'static str {
    match k {
        StopKind::Switch => "switch opened",
        StopKind::Coil => "coil without supply",
        StopKind::Plug => "plug pulled",
        StopKind::Radio => "radio link lost",
    }
}

fn list(names: &[String]) -> String {
    super::words::few_or_nothing(names.iter().cloned())
}

fn rows(found: &Stopping) -> Table {
    let heads = ["***what", "**", "**as in", "****stops", "****can still move"];
    let mut t = Table::new("What stops what", &heads, "");
    for r in found.rows.iter().filter(|r| !r.stopped.is_empty() || r.kind == StopKind::Radio) {
        t.row([
            r.name.clone(),
            kind(r.kind).to_owned(),
            r.situation.clone(),
            list(&r.stopped),
            list(&r.moving),
        ]);
    }
    let idle = found.rows.iter().filter(|r| r.stopped.is_empty() && r.kind != StopKind::Radio);
    let mut idle: Vec<&str> = idle.map(|r| r.name.as_str()).collect();
    idle.sort_unstable();
    idle.dedup();
    if !idle.is_empty() {
        t.note = format!("Nothing stops by {}.", idle.join(", "));
    }
    t
}

fn rolls(found: &Stopping) -> Table {
    let down = format!(">down {}", percent(found.steepest_percent));
    let heads = ["***after", "**as in", ">on the level", ">in", &down, ">in", ">bus meanwhile"];
    let title = format!("How far it rolls from {}", speed(found.speed_m_s));
    let mut t = Table::new(&title, &heads, "");
    for r in found.rows.iter().filter(|r| r.flat.is_some()) {
        let way = |c: &Option<Coast>| any(c.as_ref(), distance);
        let takes = |c: &Option<Coast>| any(c.as_ref().and_then(|c| c.time_s), time);
        t.row([
            r.name.clone(),
            r.situation.clone(),
            way(&r.flat),
            takes(&r.flat),
            way(&r.slope),
            takes(&r.slope),
            volts(r.bus_v),
        ]);
    }
    t
}

fn distance(c: &Coast) -> String {
    match (c.distance_m, c.settles_m_s) {
        (Some(d), _) => format!("{}\u{2009}m", three_digits(d)),
        (None, Some(v)) if !v.is_finite() => "rolls faster and faster".to_owned(),
        (None, Some(v)) => format!("rolls on with {}", speed(v)),
        (None, None) => "rolls on".to_owned(),
    }
}

/// What else goes dark, and what stays alive.
fn alive(found: &Stopping) -> Table {
    let heads = ["***what", "**as in", "****loses its supply", "****stays alive"];
    let mut t = Table::new("What else it does", &heads, "");
    let told = |r: &&StopRow| !r.stopped.is_empty();
    for r in found.rows.iter().filter(told) {
        t.row([r.name.clone(), r.situation.clone(), list(&r.dark), list(&r.live)]);
    }
    t
}

fn failures(found: &Stopping) -> Table {
    let heads = ["****when", "***this no longer stops", "****can move", "***stops even so"];
    let mut t = Table::new("Single failures that defeat a stop", &heads, "");
    for f in &found.failures {
        t.row([f.what.clone(), f.defeats.clone(), list(&f.moving), list(&f.left)]);
    }
    t
}
