//! Situations, fuses, run time and spare capacity in words and tables.

use super::data::{DayPart, SituationPart, Table, TreeRow};
use crate::diagram::tree::{Row, strokes};
use crate::words;
use loomdeck_model::units::{Amperes, Celsius, Volts, Watts, three_digits};
use loomdeck_model::{PartId, Robot, Situation};
use loomdeck_power::{
    ConverterState, DayResult, ElementResult, EndOfBranch, FuseResult, Outcome, PowerStudy,
    SituationResult, SpareKind,
};

/// Size of type of the tree's remarks, mm: 9 pt.
const TREE_TYPE: f64 = 9.0 * 0.3528;

/// Consumers listed per situation, and wires: the worst come first, and all of them are in the
/// results that the command line writes.
const CONSUMERS: usize = 8;
const HOTTEST: usize = 5;

/// Every situation.
pub fn situations(robot: &Robot, power: &PowerStudy) -> Vec<SituationPart> {
    power.situations.iter().map(|s| situation(robot, s)).collect()
}

fn situation(robot: &Robot, result: &SituationResult) -> SituationPart {
    let s = &robot.situations[result.situation.0];
    // Figures of a state that does not exist would only mislead.
    let solved = !matches!(result.outcome, Outcome::Unsolved { .. } | Outcome::Chatters { .. });
    let (rails, resting) = rails(robot, result);
    let tables = [consumers(robot, result), rails, hottest(robot, result)];
    SituationPart {
        name: s.name.clone(),
        about: s.about.clone(),
        outcome: outcome(robot, result),
        setting: setting(robot, s),
        sources: if solved { sources(robot, result) } else { Vec::new() },
        resting: if solved { resting } else { String::new() },
        cautions: super::front::beside(robot, result, s),
        tables: tables.into_iter().filter(|t| solved && !t.rows.is_empty()).collect(),
    }
}

fn setting(robot: &Robot, s: &Situation) -> String {
    let names = |ids: &mut dyn Iterator<Item = &PartId>| {
        ids.map(|p| robot.parts[p.0].name.clone()).collect::<Vec<_>>().join(", ")
    };
    let closed = names(&mut s.closed.iter());
    let mut parts = vec![if closed.is_empty() {
        "All switches open".to_owned()
    } else {
        format!("Closed: {closed}")
    }];
    if !s.unplugged.is_empty() {
        let plugs: Vec<&str> = s.unplugged.iter().map(|p| robot.plugs[p.0].name.as_str()).collect();
        parts.push(format!("unplugged: {}", plugs.join(", ")));
    }
    parts.push(format!("batteries at {}", words::percent(s.charge)));
    parts.push(format!("air {}", whole(s.ambient.unwrap_or(robot.limits.ambient))));
    if s.speed.0 != 0.0 {
        parts.push(format!("{}", s.speed));
    }
    if s.slope != 0.0 {
        parts.push(format!("slope {}", words::percent(s.slope)));
    }
    if let Some(t) = s.lasts {
        parts.push(format!("lasts {}", words::time(t.0)));
    }
    parts.join(" · ")
}

fn outcome(robot: &Robot, result: &SituationResult) -> String {
    let name = |p: &PartId| robot.parts[p.0].name.clone();
    let mut text = match &result.outcome {
        Outcome::Solved => String::new(),
        Outcome::Ends { fraction, part, how } => {
            let who = part.as_ref().map_or_else(|| "the supply".to_owned(), name);
            let does = match how {
                EndOfBranch::Collapses => "can no longer be fed and its voltage collapses",
                EndOfBranch::Limits => "is at its limit and its voltage collapses",
                EndOfBranch::DropsOut => "drops out because its supply is too low",
                EndOfBranch::Opens => "opens",
                EndOfBranch::Chatters => "loses its coil and chatters",
            };
            format!(
                "The robot does not reach full load: at {} of it {who} {does}. The figures are those at that load.",
                words::percent(*fraction)
            )
        }
        Outcome::Chatters { part } => {
            format!("{} closes, starves its own coil, opens and closes again.", name(part))
        }
        Outcome::Unsolved { at } => format!("This situation has no solution: look at {at}."),
    };
    let unfed: Vec<String> = result.unfed.iter().flat_map(|u| u.parts.iter().map(name)).collect();
    if !unfed.is_empty() {
        if !text.is_empty() {
            text.push(' ');
        }
        text.push_str(&format!("Without supply: {}.", unfed.join(", ")));
    }
    text
}

/// What the batteries and chargers give, those that give the same in one line of words.
fn sources(robot: &Robot, result: &SituationResult) -> Vec<String> {
    let mut groups: Vec<(&str, String, Vec<&str>)> = Vec::new();
    for part in &result.parts {
        for element in &part.elements {
            let (way, current, peak, voltage) = match element {
                ElementResult::Battery { current, peak, voltage, .. } if current.0 < -0.0005 => {
                    ("Into", current, peak, voltage)
                }
                ElementResult::Battery { current, peak, voltage, .. } => {
                    ("From", current, peak, voltage)
                }
                ElementResult::Charger { voltage, current, .. } if current.0.abs() > 1e-3 => {
                    ("From", current, current, voltage)
                }
                _ => continue,
            };
            let size = Amperes(current.0.abs());
            let power = watts(Watts(size.0 * voltage.0));
            let most = if way == "From" && peak.0 > 1.02 * current.0 {
                format!(", at most {},", amps(*peak))
            } else {
                String::new()
            };
            let words = format!("{}{most} at {}, {power}", amps(size), volts(*voltage));
            let name = robot.parts[part.part.0].name.as_str();
            match groups.iter_mut().find(|(w, text, _)| *w == way && *text == words) {
                Some((.., names)) => names.push(name),
                None => groups.push((way, words, vec![name])),
            }
        }
    }
    if groups.is_empty() {
        return vec!["Nothing feeds the robot".to_owned()];
    }
    let each = groups.into_iter().map(|(way, words, names)| match names.as_slice() {
        [one] => format!("{way} {one}: {words}"),
        _ => format!("{way} {} each: {words}", names.join(", ")),
    });
    each.collect()
}

fn consumers(robot: &Robot, result: &SituationResult) -> Table {
    let mut t = Table::new(
        "Main consumers",
        &["***part", ">current", ">peak", ">voltage", "****doing"],
        "Nothing takes current.",
    );
    let mut rows: Vec<(f64, [String; 5])> = Vec::new();
    for part in &result.parts {
        let name = &robot.parts[part.part.0].name;
        for element in &part.elements {
            match element {
                ElementResult::Load { voltage, current, peak, activity, .. } if current.0 > 0.0005 => {
                    rows.push((
                        current.0 * voltage.0,
                        [name.clone(), amps(*current), amps(*peak), volts(*voltage), activity.clone()],
                    ))
                }
                ElementResult::Motor { voltage, current, turning_rpm, stalled, torque, .. }
                    if current.0.abs() > 0.0005 =>
                {
                    let doing = if *stalled {
                        format!("held fast, {torque}")
                    } else {
                        format!("{} turns/min, {torque}", three_digits(*turning_rpm))
                    };
                    rows.push((
                        (current.0 * voltage.0).abs(),
                        [name.clone(), amps(*current), String::new(), volts(*voltage), doing],
                    ));
                }
                _ => {}
            }
        }
    }
    rows.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (_, row) in rows.into_iter().take(CONSUMERS) {
        t.row(row);
    }
    t
}

/// Converters and drivers that give something, and the names of those that do not.
fn rails(robot: &Robot, result: &SituationResult) -> (Table, String) {
    let mut resting: Vec<(&str, Vec<&str>)> =
        vec![("Off", Vec::new()), ("Off, input outside its window", Vec::new()), ("Idle", Vec::new())];
    let mut t = Table::new(
        "Converters and drivers",
        &["**part", ">in", ">out", ">current", "**state"],
        "None is fed.",
    );
    for part in &result.parts {
        let name = &robot.parts[part.part.0].name;
        for element in &part.elements {
            match element {
                ElementResult::Converter { input_voltage, state, .. }
                    if *state == ConverterState::Off =>
                {
                    // Without any input it is simply off.
                    resting[usize::from(input_voltage.0.abs() > 0.5)].1.push(name);
                }
                ElementResult::Converter {
                    input_voltage,
                    output_voltage,
                    output_current,
                    state,
                    ..
                } => t.row([
                    name.clone(),
                    volts(*input_voltage),
                    volts(*output_voltage),
                    amps(*output_current),
                    match state {
                        ConverterState::Regulating => "holds its output",
                        ConverterState::Following => "input too low: output follows it",
                        ConverterState::Limiting => "at its current limit",
                        ConverterState::Off => "off: input outside its window",
                    }
                    .to_owned(),
                ]),
                ElementResult::Driver { voltage, current, running, channels, .. } => {
                    let busy = channels.iter().filter(|c| c.current.0.abs() > 0.005);
                    let each: Vec<String> = busy
                        .map(|c| match c.duty {
                            Some(d) => {
                                format!("{} {} at {}", c.name, amps(c.current), words::percent(d))
                            }
                            None => format!("{} {}", c.name, amps(c.current)),
                        })
                        .collect();
                    if each.is_empty() {
                        resting[if *running { 2 } else { 0 }].1.push(name);
                        continue;
                    }
                    let state = each.join(", ");
                    t.row([name.clone(), volts(*voltage), String::new(), amps(*current), state]);
                }
                _ => {}
            }
        }
    }
    resting.retain(|(_, names)| !names.is_empty());
    let each = resting.into_iter().map(|(how, names)| format!("{how}: {}.", names.join(", ")));
    (t, each.collect::<Vec<_>>().join(" "))
}

fn hottest(robot: &Robot, result: &SituationResult) -> Table {
    let mut t = Table::new(
        "Warmest wires",
        &["*wire", ">size", ">current", ">warm", ">room"],
        "No wire carries current.",
    );
    let mut rows: Vec<(f64, [String; 5])> = Vec::new();
    for w in result.wires.iter().filter(|w| w.rms.0 > 0.0005) {
        let wire = &robot.wires[w.wire.0];
        let limit = wire.insulation.limit();
        let (room, shown) = match w.temperature {
            Some(at) => (limit.0 - at.0, whole(at)),
            None => (f64::NEG_INFINITY, "beyond the model".to_owned()),
        };
        let left =
            if room.is_finite() { format!("{}\u{2009}K", room.round()) } else { "none".to_owned() };
        let row = [wire.name.clone(), wire.gauge.to_string(), amps(w.rms), shown, left];
        rows.push((room, row));
    }
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (_, row) in rows.into_iter().take(HOTTEST) {
        t.row(row);
    }
    t
}

/// The tree of supplies, with what is remarkable about a row wrapped into `room` mm.
pub fn tree(rows: &[Row], room: f64) -> Vec<TreeRow> {
    let each = rows.iter().enumerate().map(|(i, r)| {
        let mut notes = Vec::new();
        if !r.through.is_empty() {
            notes.push(format!("through {}", r.through));
        }
        if !r.also.is_empty() {
            notes.push(format!("also joined to {}", r.also.join(", ")));
        }
        TreeRow {
            strokes: strokes(rows, i),
            name: r.name.clone(),
            facts: r.facts.clone(),
            fuse: r.fuse.clone(),
            wires: r.wires.clone(),
            current: r.current.clone(),
            notes: crate::text::wrap_or_cut(&notes.join("; "), TREE_TYPE, room, 3),
        }
    });
    each.collect()
}

/// The fuse table.
pub fn fuses(robot: &Robot, power: &PowerStudy) -> Table {
    let mut t = Table::new(
        "Fuses",
        &["**way", ">fitted", ">carries", ">peak", ">least", ">most", "*****what sets the window"],
        "There is no fuse way.",
    );
    for f in &power.fuses {
        let some = |a: Option<Amperes>| a.map_or_else(|| "none".to_owned(), |a| a.to_string());
        let why = [&f.smallest_because, &f.largest_because];
        let why: Vec<&str> = why.iter().map(|w| w.as_str()).filter(|w| !w.is_empty()).collect();
        t.row([
            way(robot, f),
            f.rating.map_or_else(|| "empty".to_owned(), |r| r.to_string()),
            amps(f.rms),
            amps(f.peak),
            some(f.smallest),
            some(f.largest),
            super::front::quoted(&why.join("; ")),
        ]);
    }
    t
}

/// Name of a fuse way.
pub fn way(robot: &Robot, fuse: &FuseResult) -> String {
    let part = &robot.parts[fuse.part.0];
    let ways = robot.types[part.kind.0].elements.len();
    if ways > 1 { format!("{} {}", part.name, fuse.way) } else { part.name.clone() }
}

/// The day.
pub fn day(robot: &Robot, day: Option<&DayResult>) -> DayPart {
    let mut steps = Table::new("The day", &["**step", ">until", "**charge left", ">energy so far"], "");
    let mut batteries = Table::new(
        "Batteries",
        &["**battery", ">start", ">end", ">mean current", ">capacity at that", ">lowest", ">cut-off"],
        "",
    );
    let Some(d) = day else {
        let note = "No day is described. Add [[day]] steps to the robot's files to see how long the batteries last.";
        return DayPart { notes: vec![note.to_owned()], plot: None, steps, batteries };
    };
    for s in d.steps.iter().filter(|s| s.time.0 > 0.0) {
        let charge: Vec<String> = s.charge.iter().map(|c| words::percent(*c)).collect();
        let name = robot.situations[s.situation.0].name.clone();
        steps.row([
            name,
            words::time(s.time.0),
            charge.join(", "),
            format!("{}\u{2009}Wh", s.energy.0.round()),
        ]);
    }
    for b in &d.batteries {
        batteries.row([
            robot.parts[b.part.0].name.clone(),
            words::percent(b.start),
            words::percent(b.end),
            amps(b.mean),
            b.capacity.to_string(),
            volts(b.lowest),
            volts(b.cut_off),
        ]);
    }
    DayPart { notes: day_notes(robot, d), plot: None, steps, batteries }
}

fn day_notes(robot: &Robot, d: &DayResult) -> Vec<String> {
    let planned = words::time(d.planned.0);
    let mut notes = vec![if d.fits {
        format!("The planned day of {planned} fits into one charge.")
    } else {
        format!("The planned day of {planned} does not fit into one charge.")
    }];
    if let Some(t) = d.run_time {
        let who =
            d.first_empty.map_or_else(|| "a battery".to_owned(), |p| robot.parts[p.0].name.clone());
        notes.push(format!(
            "Repeated without charging, it ends after {}: {who} is empty first.",
            words::time(t.0)
        ));
    }
    notes
}

/// Spare capacity, by kind.
pub fn spare(robot: &Robot, power: &PowerStudy) -> Vec<Table> {
    let kinds = [
        (SpareKind::FuseWay, "Fuse ways"),
        (SpareKind::Converter, "Converters"),
        (SpareKind::Driver, "Drivers"),
        (SpareKind::Bus, "Bus bars"),
        (SpareKind::Contact, "Plug contacts"),
        (SpareKind::SlipRing, "Slip rings"),
        (SpareKind::Battery, "Batteries"),
    ];
    let mut tables = Vec::new();
    for (kind, title) in kinds {
        let mut t = Table::new(title, &["**what", ">used", ">limit", ">room", "*most in"], "");
        for row in power.spare.iter().filter(|r| r.what == kind) {
            let unit = |x: f64| {
                format!("{}\u{2009}{}", three_digits(if x.abs() < 0.001 { 0.0 } else { x }), row.unit)
            };
            t.row([
                row.name.clone(),
                unit(row.used),
                unit(row.limit),
                format!("{}\u{2009}%", row.headroom_percent.round()),
                row.situation.map_or_else(String::new, |s| robot.situations[s.0].name.clone()),
            ]);
        }
        if !t.rows.is_empty() {
            tables.push(t);
        }
    }
    tables
}

fn amps(a: Amperes) -> String {
    Amperes(if a.0.abs() < 0.0005 { 0.0 } else { a.0 }).to_string()
}

fn watts(w: Watts) -> String {
    Watts(if w.0.abs() < 0.005 { 0.0 } else { w.0 }).to_string()
}

fn volts(v: Volts) -> String {
    let v = if v.0.abs() < 0.005 { 0.0 } else { v.0 };
    format!("{v:.1}\u{2009}V").replace("-0.0", "0.0")
}

fn whole(t: Celsius) -> String {
    format!("{:.0}", t).replace("-0\u{2009}", "0\u{2009}")
}
