//! How the board comes apart again: part by part, and as a whole.

use super::Files;
use super::data::{OutPart, OutStep, Table};
use crate::face::{self, Matter};
use crate::palette::Theme;
use crate::{steps, words};
use loomdeck_model::units::three_digits;
use loomdeck_model::{Board, LengthUnit, Robot, Subject};
use loomdeck_space::access::{self, Job, Tool, When};
use loomdeck_space::order::{Order, Service};
use loomdeck_space::takeout::{TakeOut, Way};
use loomdeck_space::{Geometry, Owner};

/// The name of a part or plug.
pub fn owner(robot: &Robot, owner: Owner) -> &str {
    match owner {
        Owner::Part(p) => &robot.parts[p.0].name,
        Owner::Plug(p) => &robot.plugs[p.0].name,
    }
}

/// Tools, each once, in words.
pub fn tools(tools: &[Tool]) -> String {
    let mut names: Vec<&str> = Vec::new();
    for word in tools.iter().map(|t| t.word()) {
        if !names.contains(&word) {
            names.push(word);
        }
    }
    names.join(", ")
}

/// What it takes to remove each part.
pub fn table(robot: &Robot, order: Option<&Order>) -> Table {
    let heads =
        ["part", "face", "***what comes off first", "**plugs to pull", ">wires", ">screws", "****tools"];
    let mut t = Table::new("Service", &heads, "Nothing stands on the board.");
    for s in order.into_iter().flat_map(|o| &o.service) {
        t.row([
            owner(robot, s.owner).to_owned(),
            s.face.word().to_owned(),
            first(robot, s),
            s.plugs.iter().map(|p| robot.plugs[p.0].name.as_str()).collect::<Vec<_>>().join(", "),
            s.wires.len().to_string(),
            s.fasteners.to_string(),
            tools(&s.tools),
        ]);
    }
    t
}

fn first(robot: &Robot, s: &Service) -> String {
    if s.impossible {
        return "cannot be removed: see the findings".to_owned();
    }
    let others: Vec<&str> =
        s.remove.iter().filter(|o| **o != s.owner).map(|o| owner(robot, *o)).collect();
    let mut words = if others.is_empty() { String::new() } else { others.join(", ") };
    if s.board_out {
        words = if words.is_empty() { "board out".to_owned() } else { format!("board out; {words}") };
    }
    if !s.exact {
        words.push_str(&format!(" (at least {} in any case)", s.lower_bound));
    }
    words
}

/// How the table is read, and what of it matters most.
pub fn notes(robot: &Robot, order: &Order) -> Vec<String> {
    if order.service.is_empty() {
        return Vec::new();
    }
    let mut notes = vec![
        "What has to come off before a part does, and what it takes. “Board out”: something is undone on the \
         other face, so the board comes out of the body first. Batteries are unplugged before anything."
            .to_owned(),
    ];
    let often: Vec<String> = order
        .service
        .iter()
        .filter_map(|s| s.often.as_ref().map(|o| format!("{} ({o})", owner(robot, s.owner))))
        .collect();
    if !often.is_empty() {
        notes.push(format!("Worked on most often: {}.", often.join(", ")));
    }
    if order.service.iter().any(|s| !s.exact) {
        notes.push(
            "Where a number stands in brackets, the list is the shortest that was found; no list is shorter than \
             that number of parts."
                .to_owned(),
        );
    }
    notes
}

/// What is worked by hand while the board is in place: cards, trimmers, fuses, plugs.
pub fn in_use(robot: &Robot, geometry: &Geometry) -> Table {
    let heads = ["part", "what", "**how often", "from", "with", "***room for hand or tool", ">places"];
    let mut t = Table::new("In use", &heads, "");
    let mut rows: Vec<([String; 6], usize)> = Vec::new();
    for need in geometry.access.needs.iter().filter(|n| n.when == When::Use) {
        let Some(way) = face::used_way(need) else { continue };
        let (what, often) = match (need.owner, &need.job) {
            (Some(Owner::Part(part)), Job::Reach { need }) => {
                let reach = &robot.type_of(part).reach[*need];
                (reach.what.replace('-', " "), reach.often.clone())
            }
            (_, Job::Unplug) => ("unplug".to_owned(), String::new()),
            _ => continue,
        };
        let mut faces: Vec<&str> = way.uses.iter().map(|u| u.face.word()).collect();
        faces.dedup();
        let used: Vec<Tool> = way.uses.iter().map(|u| u.tool).collect();
        let cells = [
            need.subject.name().to_owned(),
            what,
            often,
            faces.join(", "),
            tools(&used),
            room(way, robot.book.unit),
        ];
        match rows.iter_mut().find(|r| r.0 == cells) {
            Some(row) => row.1 += 1,
            None => rows.push((cells, 1)),
        }
    }
    for ([part, what, often, from, with, room], places) in rows {
        t.row([part, what, often, from, with, room, places.to_string()]);
    }
    t
}

/// Free, or what stands in it worst.
fn room(way: &access::Way, unit: LengthUnit) -> String {
    let blockers = way.uses.iter().flat_map(|u| &u.blockers);
    let worst = blockers.reduce(|a, b| if b.overlap > a.overlap { b } else { a });
    worst.map_or_else(
        || "free".to_owned(),
        |b| {
            let what = match &b.by {
                Subject::Robot => "the body",
                Subject::Board => "the board itself",
                other => other.name(),
            };
            format!("{what} stands {} in it", words::length(b.overlap.0, unit))
        },
    )
}

/// Taking the whole board out, step by step, with its way through the opening.
pub fn take_out(matter: &Matter<'_>, order: Option<&Order>, files: &mut Files) -> Option<OutPart> {
    let out: &TakeOut = order?.take_out.as_ref()?;
    let robot = matter.robot;
    let board = robot.board.as_ref()?;
    let unit = robot.book.unit;
    let picture = out.ways.first().and_then(|w| {
        let s = steps::through(matter, w, Theme::Paper, (90.0, 80.0))?;
        Some(files.picture("take-out", s.svg, "The board on its way through the opening", s.width))
    });
    Some(OutPart {
        steps: out_steps(robot, board, out),
        picture,
        way: way_words(board, out, unit),
        ways: ways(out, unit),
    })
}

fn out_steps(robot: &Robot, board: &Board, out: &TakeOut) -> Vec<OutStep> {
    let mut steps = Vec::new();
    let mut add = |title: &str, things: Vec<String>| {
        if !things.is_empty() {
            steps.push(OutStep { title: title.to_owned(), things });
        }
    };
    let plugs = out.plugs.iter().map(|p| robot.plugs[p.0].name.clone());
    add("Pull the plugs, in this order:", plugs.collect());
    let tied = out.tied.iter().map(|w| robot.wires[w.0].name.clone());
    add("Unscrew the wires that leave the board without a plug:", tied.collect());
    let mounts = out.mounts.iter().filter_map(|m| board.mounts.get(*m));
    let bolts = mounts.map(|m| format!("{} ({})", m.name, m.thread.word()));
    add("Take out the bolts, the lower ones first, with a hand on the board:", bolts.collect());
    steps
}

fn way_words(board: &Board, out: &TakeOut, unit: LengthUnit) -> Vec<String> {
    let Some(way) = out.ways.first() else {
        return vec![
            "No opening of the body is stated, so it is not known whether the board goes through it: add \
             [body_opening] to the board’s file."
                .to_owned(),
        ];
    };
    let gap = board.body_opening.as_ref().map_or(0.0, |o| o.gap.0);
    let turn = turn_of(way);
    let turned =
        if turn == 0 { String::new() } else { format!(", turned counter-clockwise by {turn}°") };
    let air = way.fit.air.0;
    let mut words = vec![if way.goes {
        format!(
            "It goes through the opening {}{turned}, with {} of air all round; {} is wanted.",
            way.leading.words(),
            words::length(air, unit),
            words::length(gap, unit)
        )
    } else if air >= 0.0 {
        format!(
            "It goes through the opening {}{turned}, but only with {} of air; {} is wanted.",
            way.leading.words(),
            words::length(air, unit),
            words::length(gap, unit)
        )
    } else {
        format!(
            "It does not go through the opening: at best, {}{turned}, it reaches over the rim by {}.",
            way.leading.words(),
            words::length(-air, unit)
        )
    }];
    for o in &way.in_the_way {
        let name = match &o.subject {
            Subject::Board => "the sheet",
            other => other.name(),
        };
        words.push(if o.air.0 < 0.0 {
            format!("In the way: {name}, by {}.", words::length(-o.air.0, unit))
        } else {
            format!("Close: {name}, with {} of air.", words::length(o.air.0, unit))
        });
    }
    words.push("The drawing shows the opening as you see it from outside.".to_owned());
    words
}

/// Every way through the opening, the one with most air first.
fn ways(out: &TakeOut, unit: LengthUnit) -> Table {
    let heads = ["***what goes first", ">turned by", ">air", ">no turn or place has more than", "*goes"];
    let mut t = Table::new("Ways through the opening", &heads, "");
    for w in &out.ways {
        t.row([
            w.leading.words().to_owned(),
            format!("{}°", turn_of(w)),
            air(w.fit.air.0, unit),
            air(w.fit.at_most.0, unit),
            if w.goes { "yes" } else { "no" }.to_owned(),
        ]);
    }
    t
}

/// Whole degrees, 0 to 359.
fn turn_of(way: &Way) -> i64 {
    (way.fit.pose.turn.0.round() as i64).rem_euclid(360)
}

/// Air, or how far over the rim.
fn air(mm: f64, unit: LengthUnit) -> String {
    if mm < 0.0 { format!("{} over the rim", words::length(-mm, unit)) } else { words::length(mm, unit) }
}

/// A small length: with the digits that are known, not with those of a ruler.
pub fn fine(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Mm if mm.abs() < 10.0 => {
            format!("{}\u{2009}mm", three_digits((mm * 100.0).round() / 100.0))
        }
        LengthUnit::Mm => words::length(mm, unit),
        LengthUnit::Inch => {
            let inches = mm / loomdeck_model::units::MM_PER_INCH;
            format!("{}\u{2009}in", three_digits((inches * 1000.0).round() / 1000.0))
        }
    }
}
