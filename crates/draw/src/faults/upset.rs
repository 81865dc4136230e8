//! Hum and upset.

use super::words::{amperes, any, volts};
use super::{Chapter, Matter};
use crate::book::Table;
use loomdeck_model::units::three_digits;
use loomdeck_power::faults::upset::{Link, Upset};

/// The chapter.
pub(super) fn chapter(m: &Matter<'_>) -> Chapter {
    let found = &m.faults.upset;
    let mut c = Chapter::new(
        "upset",
        "Hum and upset",
        "Millivolts that currents put between the ground of an input and the ground of the output that drives it, and \
         whether their levels fit.",
    );
    if found.links.is_empty() {
        return c;
    }
    c.says.clone_from(&found.good_news);
    c.says.extend(
        found.clashes.iter().map(|k| format!("{} and {} both drive one wire.", k.names[0], k.names[1])),
    );
    c.tables = vec![shifts(m, found), levels(found), causes(m, found)];
    c.limits.clone_from(&found.validity);
    c
}

fn millivolts(mv: f64) -> String {
    format!("{}\u{2009}mV", three_digits(if mv.abs() < 5e-4 { 0.0 } else { mv }))
}

fn shifts(m: &Matter<'_>, found: &Upset) -> Table {
    let heads = ["***from", "***to", ">noticed", ">mean", ">at the peaks", ">below full scale", "***in"];
    let mut t = Table::new("Between the grounds of the two ends", &heads, "");
    let mut links: Vec<&Link> = found.links.iter().filter(|l| l.worst().is_some()).collect();
    links.sort_by(|a, b| b.noticed_mv().total_cmp(&a.noticed_mv()));
    for l in links {
        let Some(s) = l.worst() else { continue };
        let audio = l.kind == loomdeck_power::faults::upset::Kind::Audio;
        t.row([
            l.from_name.clone(),
            l.to_name.clone(),
            millivolts(l.noticed_mv()),
            millivolts(s.mean_mv),
            millivolts(s.peak_mv),
            any(l.below_full_scale_db().filter(|_| audio), |d| format!("{:.0}\u{2009}dB", -d)),
            m.situation(s.situation),
        ]);
    }
    t
}

fn levels(found: &Upset) -> Table {
    let heads = ["***from", "***to", ">sends", ">wants", ">bears", "***ground"];
    let mut t = Table::new("Levels", &heads, "");
    for l in &found.links {
        let ground = match (l.isolated, l.common) {
            (true, _) => "balanced or isolated",
            (false, true) => "one piece of metal",
            (false, false) => "none in common",
        };
        t.row([
            l.from_name.clone(),
            l.to_name.clone(),
            volts(l.sends_v),
            volts(l.wants_v),
            super::words::known(l.bears_v, volts),
            ground.to_owned(),
        ]);
    }
    t
}

fn causes(m: &Matter<'_>, found: &Upset) -> Table {
    let heads =
        ["***to", "***wire that causes it", ">carries", ">drops", ">share", "*****star point", ">then"];
    let mut t = Table::new("What causes the shifts", &heads, "");
    for l in &found.links {
        let Some(c) = &l.cause else { continue };
        let star = c.star.as_ref();
        t.row([
            l.to_name.clone(),
            m.robot.wires[c.wire.0].name.clone(),
            amperes(c.current_a),
            millivolts(c.drop_mv),
            format!("{}\u{2009}%", c.share_percent.round()),
            any(star, |s| {
                format!("lead “{}” of {} to {}", s.end, m.robot.wires[s.wire.0].name, s.landing_name)
            }),
            any(star, |s| millivolts(s.after_mv)),
        ]);
    }
    t
}
