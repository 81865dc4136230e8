//! Pushed, braked, lowered.

use super::words::{amperes, any, celsius, farads, joules, newtons, percent, speed, volts};
use super::{Chapter, Matter};
use crate::book::Table;
use crate::plot::{Curve, Edge, Lines};
use crate::words::time;
use loomdeck_model::units::{Celsius, three_digits};
use loomdeck_power::faults::motion::{Braking, Dump, Motion, Push, Rolling};

/// The chapter.
pub(super) fn chapter(m: &Matter<'_>) -> Chapter {
    let found = &m.faults.motion;
    let mut c = Chapter::new(
        "motion",
        "Pushed, braked, lowered",
        "The motors as generators: what the bus sees while somebody pushes the robot, while it brakes, and when the \
         battery lets go meanwhile. The ways of the current are found by solving the network at each speed.",
    );
    if found.motors.is_empty() {
        return c;
    }
    c.says.clone_from(&found.good_news);
    c.says.extend(found.slope.as_ref().map(slope));
    c.says.extend(found.braking.as_ref().map(|b| braking(m, b)));
    c.tables = vec![
        motors(found),
        pushes(found),
        wakes(found),
        diodes(found),
        ways(found),
        brakes(found),
        dumps(found),
    ];
    c.plots = bus(found);
    c.limits.clone_from(&found.validity);
    c
}

fn slope(r: &Rolling) -> String {
    let lead = format!(
        "On a slope of {} it is pulled with {} and held with {} at rest",
        percent(r.slope_percent),
        newtons(r.pull_n),
        newtons(r.hold_n)
    );
    match (r.settles_m_s, r.shorted_m_s) {
        (None, _) => format!("{lead}: it stands by itself."),
        (Some(v), Some(s)) => format!(
            "{lead}: left alone it rolls away and settles at {}; with the windings shorted at {}. Chock the wheels.",
            speed(v),
            speed(s)
        ),
        (Some(v), None) => {
            format!("{lead}: left alone it rolls away and settles at {}. Chock the wheels.", speed(v))
        }
    }
}

fn braking(m: &Matter<'_>, b: &Braking) -> String {
    let most = b.points.iter().map(|p| p.into_battery_a).fold(0.0, f64::max);
    let takes = match (b.battery, b.charge_limit_a) {
        (Some(battery), Some(limit)) => {
            format!(", of which {} may be charged with {}", m.part(battery), amperes(limit))
        }
        _ => String::new(),
    };
    let opens = match (b.protection, b.protection_a) {
        (Some(part), Some(at)) => format!(" {} opens at {} of charge.", m.part(part), amperes(at)),
        _ => String::new(),
    };
    format!("The strongest braking gives the battery {}{takes}.{opens}", amperes(most))
}

fn motors(found: &Motion) -> Table {
    let heads =
        ["***motor", "*****turned from outside", ">V per m/s", ">drag per m/s", ">turns/min to damage"];
    let mut t = Table::new("Motors as generators", &heads, "");
    for motor in &found.motors {
        t.row([
            motor.name.clone(),
            match motor.volts_per_m_s {
                Some(_) => "turns with its wheel and gives current".to_owned(),
                None => motor.told.clone(),
            },
            any(motor.volts_per_m_s, three_digits),
            any(motor.shorted_n_per_m_s, newtons),
            any(motor.damage_rpm, |r| format!("{r:.0}")),
        ]);
    }
    t
}

fn state(p: &Push) -> String {
    if p.with_battery { p.name.clone() } else { format!("{}, battery cut off", p.name) }
}

fn pushes(found: &Motion) -> Table {
    let heads = ["***pushed", ">at", ">bus", ">into battery", ">push", "****first to suffer"];
    let mut t = Table::new("Pushed by hand", &heads, "");
    for p in &found.pushes {
        let Some(end) = p.points.last() else { continue };
        let bus = p.buses.iter().filter_map(|b| b.series.last()).map(|s| s.1).fold(0.0, f64::max);
        let victim = p.victims.first().map_or_else(
            || "nothing".to_owned(),
            |v| format!("{}: {} of {} from {}", v.name, v.limit, volts(v.limit_v), speed(v.at_m_s)),
        );
        t.row([
            state(p),
            speed(end.speed_m_s),
            volts(bus),
            amperes(end.into_battery_a),
            newtons(end.force_n),
            victim,
        ]);
    }
    t
}

fn wakes(found: &Motion) -> Table {
    let mut t =
        Table::new("What wakes up while pushed", &["***pushed", "***part", ">from", ">gets"], "");
    for p in &found.pushes {
        for w in &p.wakes {
            t.row([state(p), w.name.clone(), speed(w.at_m_s), volts(w.reached_v)]);
        }
    }
    t
}

fn diodes(found: &Motion) -> Table {
    let heads =
        ["***diode", "***pushed", ">carries", ">bears", ">drop", ">junction", ">blocks", ">may block"];
    let mut t = Table::new("Diodes at the stated speed", &heads, "");
    for p in &found.pushes {
        for d in &p.diodes {
            t.row([
                d.name.clone(),
                state(p),
                amperes(d.current_a),
                amperes(d.rating_a),
                volts(d.forward_v),
                super::words::known(d.junction_c, |j| celsius(Celsius(j))),
                any(d.reverse_v, volts),
                volts(d.reverse_limit_v),
            ]);
        }
    }
    t
}

/// Wires on the way of the motors' current, unfused ones first.
fn ways(found: &Motion) -> Table {
    let mut t = Table::new("The way back to the battery", &["***pushed", "*****wires", "****fuses"], "");
    for p in found.pushes.iter().filter(|p| p.with_battery && !p.way.is_empty()) {
        let wire = |w: &loomdeck_power::faults::motion::WayWire| {
            let bare = if w.unfused { " (no fuse)" } else { "" };
            format!("{} {}{bare}", w.name, amperes(w.current_a))
        };
        let fuse = |f: &loomdeck_power::faults::motion::WayFuse| {
            format!("{} {} of {}", f.name, amperes(f.current_a), amperes(f.rating_a))
        };
        let mut way: Vec<_> = p.way.iter().collect();
        way.sort_by(|a, b| b.unfused.cmp(&a.unfused).then(b.current_a.total_cmp(&a.current_a)));
        let wires = super::words::few(way.into_iter().map(wire));
        t.row([state(p), wires, super::words::few(p.fuses.iter().map(fuse))]);
    }
    t
}

fn brakes(found: &Motion) -> Table {
    let heads = [">speed", ">bus", ">into the battery", ">from the motors", ">force"];
    let mut t = Table::new("Commanded braking, as strongly as the drivers allow", &heads, "");
    let points = found.braking.iter().flat_map(|b| &b.points).collect::<Vec<_>>();
    // A handful of speeds tell the curve.
    let every = points.len().div_ceil(6).max(1);
    for p in points.iter().rev().step_by(every).rev() {
        t.row([
            speed(p.speed_m_s),
            volts(p.bus_v),
            amperes(p.into_battery_a),
            super::words::watts(p.power_w),
            newtons(p.force_n),
        ]);
    }
    t
}

fn dumps(found: &Motion) -> Table {
    let heads = [
        "***opens while braking",
        "**",
        ">energy",
        ">in",
        ">at most",
        ">bears",
        ">window passed in",
        ">diodes alone",
    ];
    let mut t = Table::new("The battery lets go while the robot brakes", &heads, "");
    let (safe, open): (Vec<&Dump>, Vec<&Dump>) = found.dumps.iter().partition(|d| d.way_left);
    for d in open {
        t.row([
            d.name.clone(),
            d.what.to_owned(),
            joules(d.energy_j),
            farads(d.farads_f),
            volts(d.bound_v),
            volts(d.absolute_max_v),
            any(d.to_window_s, time),
            any(d.by_diodes_v, volts),
        ]);
    }
    let mut names: Vec<String> = safe.iter().map(|d| d.name.clone()).collect();
    names.dedup();
    if !names.is_empty() {
        t.note = format!(
            "When it is {} that opens, the current still finds another way to a battery.",
            super::words::few(names)
        );
    }
    t
}

/// Bus voltage against push speed, with the way to the battery and without, driver by driver.
fn bus(found: &Motion) -> Vec<Lines> {
    let mut out: Vec<(String, Lines)> = Vec::new();
    for p in &found.pushes {
        for b in &p.buses {
            let at = match out.iter().position(|(name, _)| *name == b.name) {
                Some(at) => at,
                None => {
                    let lines = Lines {
                        title: format!("Supply of {} while pushed", b.name),
                        x: "speed, m/s".to_owned(),
                        y: "supply, V".to_owned(),
                        curves: Vec::new(),
                        edges: vec![Edge {
                            name: format!("destroys it: {}", volts(b.absolute_max_v)),
                            at: b.absolute_max_v,
                            below: false,
                        }],
                    };
                    out.push((b.name.clone(), lines));
                    out.len() - 1
                }
            };
            let same = |c: &Curve| close(&c.points, &b.series);
            match out[at].1.curves.iter_mut().find(|c| same(c) && c.faint != p.with_battery) {
                // Curves that lie upon one another are named together.
                Some(c) => c.name = format!("{}; {}", c.name, state(p)),
                None => out[at].1.curves.push(Curve {
                    name: state(p),
                    points: b.series.clone(),
                    faint: !p.with_battery,
                }),
            }
        }
    }
    let mut different: Vec<Lines> = Vec::new();
    for (_, lines) in out {
        let same = |k: &&mut Lines| {
            k.curves.len() == lines.curves.len()
                && k.curves.iter().zip(&lines.curves).all(|(a, b)| close(&a.points, &b.points))
        };
        match different.iter_mut().find(same) {
            // Drivers on one bus see the same: the first stands for all.
            Some(first) if !first.title.ends_with("alike") => first.title += ", and of others alike",
            Some(_) => {}
            None => different.push(lines),
        }
    }
    different
}

/// Two curves that cannot be told apart in print.
fn close(a: &[(f64, f64)], b: &[(f64, f64)]) -> bool {
    let size = a.iter().map(|p| p.1.abs()).fold(1.0, f64::max);
    a.len() == b.len() && a.iter().zip(b).all(|(p, q)| (p.1 - q.1).abs() < 0.005 * size)
}
