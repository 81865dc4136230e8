//! The first moments.

use super::words::{amperes, any, farads, joules, known, ohms, percent, square_seconds, volts, watts};
use super::{Chapter, Matter};
use crate::book::Table;
use crate::plot::{Curve, Edge, Lines};
use crate::words::time;
use loomdeck_power::faults::surge::{Closes, Surge, SurgeEvent};

/// Surges that are drawn: the strongest.
const DRAWN: usize = 2;

/// The chapter.
pub(super) fn chapter(m: &Matter<'_>) -> Chapter {
    let found = &m.faults.surge;
    let mut c = Chapter::new(
        "surge",
        "The first moments",
        "What flows while capacitors fill and motors start, and what the bus sees when the battery lets go, with the \
         inductance of the wires as they are laid.",
    );
    if found.events.is_empty() && found.dips.is_empty() {
        return c;
    }
    c.says.clone_from(&found.good_news);
    c.tables = vec![
        surges(m, found),
        fuses(m, found),
        charging(m, found),
        dips(m, found),
        dumps(m, found),
        openings(m, found),
        capacitors(m, found),
    ];
    c.plots = curves(m, found);
    c.limits.clone_from(&found.validity);
    c
}

fn what(e: &SurgeEvent) -> String {
    match e.closes {
        Closes::Switch | Closes::Contactor => format!("{} closes", e.name),
        Closes::Plug => format!("{} is plugged in", e.name),
        Closes::Lug => format!("last lug on {}", e.name),
    }
}

fn surges(m: &Matter<'_>, found: &Surge) -> Table {
    let heads = ["****when", "**as in", ">fills", ">peak", ">at", ">lasts", ">may make", ">energy"];
    let mut t = Table::new("Surges", &heads, "");
    for e in &found.events {
        t.row([
            what(e),
            m.situation(e.situation),
            farads(e.capacitance_f),
            amperes(e.peak_a),
            time(e.peak_time_s),
            time(e.lasts_s),
            match e.closes {
                Closes::Switch | Closes::Contactor => known(e.make_a, amperes),
                Closes::Plug | Closes::Lug => String::new(),
            },
            joules(e.source_j),
        ]);
    }
    t
}

/// Every fuse with the surge that is hardest on it.
fn fuses(m: &Matter<'_>, found: &Surge) -> Table {
    let heads = ["***fuse", ">rating", "****when", ">peak", ">I²t", ">melts at", ">of that"];
    let mut t = Table::new("Surges through fuses", &heads, "");
    let mut worst: Vec<(&loomdeck_power::faults::surge::FusePulse, &SurgeEvent)> = Vec::new();
    for e in &found.events {
        for f in &e.fuses {
            match worst.iter_mut().find(|(w, _)| w.part == f.part && w.way == f.way) {
                Some(w) if f.percent > w.0.percent => *w = (f, e),
                Some(_) => {}
                None => worst.push((f, e)),
            }
        }
    }
    worst.sort_by(|a, b| b.0.percent.total_cmp(&a.0.percent));
    for (f, e) in worst {
        t.row([
            super::way(m.robot, f.part, &f.way),
            amperes(f.rating_a),
            what(e),
            amperes(f.peak_a),
            square_seconds(f.i2t_a2s),
            square_seconds(f.melting_a2s),
            percent(f.percent),
        ]);
    }
    t
}

/// Resistors that fill the capacitors first: those that are there, else what would do.
fn charging(m: &Matter<'_>, found: &Surge) -> Table {
    let heads =
        ["****before", "***resistor", ">value", ">first current", ">heat each time", ">wait", "***"];
    let mut t = Table::new("Filling the capacitors first", &heads, "");
    for e in &found.events {
        if let Some(p) = &e.present {
            t.row([
                what(e),
                m.part(p.part),
                ohms(p.ohms),
                amperes(e.voltage_v / p.ohms),
                joules(p.energy_j),
                time(p.time_s),
                format!("fills to {}, bears {}", percent(p.filled_percent), watts(p.power_w)),
            ]);
        } else if let Some(p) = &e.proposed {
            t.row([
                what(e),
                "proposed".to_owned(),
                ohms(p.ohms),
                amperes(p.peak_a),
                joules(p.energy_j),
                time(p.time_s),
                format!("{} left over the contact", volts(p.left_v)),
            ]);
        }
    }
    t
}

fn dips(m: &Matter<'_>, found: &Surge) -> Table {
    let heads = ["***start of", "***part", ">before", ">lowest", ">needs", "***resets"];
    let mut t = Table::new("Dips when motors start", &heads, "");
    for d in &found.dips {
        let motors = super::words::few(d.motors.iter().map(|p| m.part(*p)));
        for r in &d.rails {
            t.row([
                motors.clone(),
                m.part(r.part),
                volts(r.before_v),
                volts(r.lowest_v),
                known(r.needs_v, volts),
                super::words::few(r.resets.iter().map(|p| m.part(*p))),
            ]);
        }
    }
    t
}

fn dumps(m: &Matter<'_>, found: &Surge) -> Table {
    let heads = [
        "***driver",
        ">before",
        ">fed back",
        ">first instant",
        ">destroyed at",
        ">capacitance",
        ">then rises",
    ];
    let mut t = Table::new("The battery opens under braking: the first instant", &heads, "");
    for d in &found.dumps {
        t.row([
            m.part(d.driver),
            volts(d.before_v),
            amperes(d.current_a),
            volts(d.peak_v),
            volts(d.limit_v),
            known(d.capacitance_f, farads),
            any(d.rises_v_s, |r| format!("{}/s", volts(r))),
        ]);
    }
    t
}

fn openings(m: &Matter<'_>, found: &Surge) -> Table {
    let heads = ["***contact", ">current", "***in", ">stored in its loop", ">may break"];
    let mut t = Table::new("Contacts that open", &heads, "");
    for o in &found.openings {
        t.row([
            m.part(o.part),
            amperes(o.current_a),
            m.situation(o.situation),
            joules(o.energy_j),
            known(o.break_a, amperes),
        ]);
    }
    t
}

fn capacitors(m: &Matter<'_>, found: &Surge) -> Table {
    let mut t = Table::new("Capacitors counted", &["***part", ">value", ">own resistance", "**"], "");
    for c in &found.capacitors {
        let how = if c.assumed { "assumed" } else { "" };
        t.row([m.part(c.part), farads(c.farads), ohms(c.esr_ohm), how.to_owned()]);
    }
    t
}

fn curves(m: &Matter<'_>, found: &Surge) -> Vec<Lines> {
    let ms = |s: &[(f64, f64)]| s.iter().map(|(t, v)| (t * 1e3, *v)).collect::<Vec<_>>();
    let mut strongest: Vec<&SurgeEvent> = found.events.iter().collect();
    strongest.sort_by(|a, b| b.peak_a.total_cmp(&a.peak_a));
    let surge = strongest.into_iter().take(DRAWN).map(|e| Lines {
        title: format!("Surge: {}", what(e)),
        x: "time, ms".to_owned(),
        y: "current, A".to_owned(),
        curves: vec![Curve {
            name: "through the contact".to_owned(),
            points: ms(&e.current_a),
            faint: false,
        }],
        edges: e
            .make_a
            .map(|a| Edge { name: format!("may make {}", amperes(a)), at: a, below: false })
            .into_iter()
            .collect(),
    });
    let deepest = found.dips.iter().max_by(|a, b| a.current_a.total_cmp(&b.current_a));
    let dip = deepest.map(|d| Lines {
        title: format!("Supply of {} when its motors start", m.part(d.driver)),
        x: "time, ms".to_owned(),
        y: "supply, V".to_owned(),
        curves: vec![Curve { name: m.part(d.driver), points: ms(&d.driver_v), faint: false }],
        edges: Vec::new(),
    });
    surge.chain(dip).collect()
}
