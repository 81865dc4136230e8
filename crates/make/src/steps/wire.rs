//! Steps of wiring: by stage and loom, power first.

use super::bench::{Bench, listed};
use super::drill::capital;
use super::{Group, Step, Torque, tools};
use crate::making::{Cut, End};
use crate::table::exact;
use loomdeck_model::element::ElementKind;
use loomdeck_model::wire::{EndKind, Gauge};
use loomdeck_model::{Face, Landing, LoomId, Place, PlugPlace, Robot, Subject, WireId};
use loomdeck_space::access::Tool;
use loomdeck_space::order::{MoveKind, Order};
use std::collections::{BTreeMap, BTreeSet};

/// Wires that are laid in one step.
const TOGETHER: usize = 8;

/// In how many moves each wire still comes up, and which of its ends are made.
pub struct Laid {
    moves: BTreeMap<WireId, usize>,
    ends: BTreeSet<(WireId, usize)>,
}

impl Laid {
    pub fn of(order: &Order) -> Self {
        let mut moves = BTreeMap::new();
        for m in &order.assembly {
            if let MoveKind::Wire(wires) = &m.what {
                for w in wires {
                    *moves.entry(*w).or_insert(0) += 1;
                }
            }
        }
        Self { moves, ends: BTreeSet::new() }
    }

    /// Wires that no move has.
    pub fn expect(&mut self, wires: &[WireId]) {
        for w in wires {
            self.moves.insert(*w, 1);
        }
    }

    /// The ends that are made now: in the last move of a wire all that are left, before that those on the
    /// face that is up.
    fn now(&mut self, robot: &Robot, wire: WireId, face: Face) -> Vec<usize> {
        let left = self.moves.get(&wire).copied().unwrap_or(1);
        self.moves.insert(wire, left.saturating_sub(1));
        let w = &robot.wires[wire.0];
        let here =
            |i: usize| face_of(robot, if i == 0 { w.from } else { w.to }).is_none_or(|f| f == face);
        let mut made = Vec::new();
        for i in 0..2 {
            if (left <= 1 || here(i)) && self.ends.insert((wire, i)) {
                made.push(i);
            }
        }
        made
    }
}

/// The face on which a wire lands; `None` off the board.
fn face_of(robot: &Robot, landing: Landing) -> Option<Face> {
    match landing {
        Landing::Part { part, .. } => match robot.parts[part.0].place {
            Place::Board(p) => Some(p.face),
            Place::Zone { .. } => None,
        },
        Landing::Plug { plug, half: loomdeck_model::Half::Board, .. } => match robot.plugs[plug.0].place
        {
            PlugPlace::Fixed(p) => Some(p.face),
            PlugPlace::Tail { face, .. } => Some(face),
        },
        Landing::Plug { .. } => None,
    }
}

/// Lays the wires of a move, in the order of wiring: stage by stage, loom by loom.
pub fn lay(bench: &mut Bench<'_>, wires: &[WireId], face: Face, tools: &[Tool], laid: &mut Laid) {
    let making = bench.making;
    let mut rest: Vec<WireId> = wires.to_vec();
    for group in &making.wiring {
        let mine: Vec<WireId> = group.wires.iter().copied().filter(|w| rest.contains(w)).collect();
        rest.retain(|w| !mine.contains(w));
        for few in mine.chunks(TOGETHER) {
            let title = match group.loom {
                Some(loom) => format!("Loom {}: {}", bench.robot.looms[loom.0].name, group.stage.word()),
                None => capital(group.stage.word()),
            };
            let step = lay_step(bench, few, title, group.loom, (face, tools), laid);
            bench.done(step);
        }
    }
    // Wires without a length are in no group.
    for few in rest.chunks(TOGETHER) {
        let step = lay_step(bench, few, "Wires".to_owned(), None, (face, tools), laid);
        bench.done(step);
    }
}

/// Makes the ends of some wires on a part that is not on yet.
pub fn early(bench: &mut Bench<'_>, wires: &[WireId], part: &Subject, face: Face, laid: &mut Laid) {
    let robot = bench.robot;
    let on = |landing: Landing| match landing {
        Landing::Part { part: p, .. } => robot.parts[p.0].name == part.name(),
        Landing::Plug { plug, .. } => robot.plugs[plug.0].name == part.name(),
    };
    let mut step =
        bench.step(Group::Wires, format!("Ends on {} that come before it is on", part.name()));
    step.face = Some(face);
    for w in wires {
        let wire = &robot.wires[w.0];
        let ends = [wire.from, wire.to];
        let made: Vec<usize> = (0..2).filter(|i| on(ends[*i]) && laid.ends.insert((*w, *i))).collect();
        describe(bench, &mut step, *w, &made, true, &[]);
    }
    step.watch.push(format!("These ends cannot be reached once {} stands in its place.", part.name()));
    bench.done(step);
}

fn lay_step(
    bench: &Bench<'_>,
    wires: &[WireId],
    title: String,
    loom: Option<LoomId>,
    (face, tools): (Face, &[Tool]),
    laid: &mut Laid,
) -> Step {
    let again = wires.iter().all(|w| bench.has_wire(*w));
    let title = if again { format!("{title}, the other ends") } else { title };
    let mut step = bench.step(Group::Wires, title);
    step.face = bench.robot.board.as_ref().map(|_| face);
    for w in wires {
        let made = laid.now(bench.robot, *w, face);
        describe(bench, &mut step, *w, &made, !bench.has_wire(*w), tools);
    }
    if let Some(loom) = loom {
        ties(bench, &mut step, loom, wires);
    }
    step
}

/// One wire in a sentence, with its tools and torques.
fn describe(
    bench: &Bench<'_>,
    step: &mut Step,
    wire: WireId,
    made: &[usize],
    new: bool,
    reached_with: &[Tool],
) {
    let w = &bench.robot.wires[wire.0];
    let cut = bench.making.cuts.iter().find(|c| c.wire == wire);
    step.wires.push(wire);
    let ends: Vec<String> = made
        .iter()
        .map(|i| {
            let end = cut.map(|c| if *i == 0 { &c.from } else { &c.to });
            let landing = if *i == 0 { w.from } else { w.to };
            let words = end_words(bench, step, (end, w.gauge), landing);
            step.cautions.extend(live_end(bench.robot, landing).filter(|c| !step.cautions.contains(c)));
            torque(bench.robot, step, landing, reached_with);
            words
        })
        .collect();
    let what = match (new, cut) {
        (true, Some(cut)) => format!("{} ({})", w.name, wire_words(bench, cut)),
        _ => w.name.clone(),
    };
    let ends = if ends.is_empty() { "lay it in place".to_owned() } else { ends.join("; ") };
    step.words.push(format!("{what}: {ends}."));
    if new && cut.is_some_and(|c| c.measure_first) {
        step.watch.push(format!("Measure before you cut {}: part of its way is not stated.", w.name));
    }
}

fn wire_words(bench: &Bench<'_>, cut: &Cut) -> String {
    let reel = format!("{}, {}", cut.spool.gauge, cut.spool.colour);
    if cut.cut.0 > 0.0 { format!("{reel}, {}", exact(cut.cut, bench.unit())) } else { reel }
}

/// The end at a battery is live as soon as it is on.
fn live_end(robot: &Robot, landing: Landing) -> Option<String> {
    let Landing::Part { part, .. } = landing else { return None };
    let battery = robot.type_of(part).elements.iter().any(|e| matches!(e.kind, ElementKind::Battery(_)));
    battery.then(|| {
        format!(
            "Make the ends at {}, but leave them off and covered until the first power: from then on the whole wire is \
             live, and nothing but its fuse stops the current.",
            robot.parts[part.0].name
        )
    })
}

/// Insulated terminals are made for wires up to this size (common practice).
const INSULATED_UP_TO: f64 = 6.0;

fn end_words(
    bench: &Bench<'_>,
    step: &mut Step,
    (end, gauge): (Option<&End>, Gauge),
    landing: Landing,
) -> String {
    let at = bench.robot.landing_word(landing);
    let Some(end) = end else { return at };
    if end.own_lead.is_some() {
        step.pick_up(["splice crimper".to_owned()]);
        return format!("splice to the lead of {at}, strip {}", exact(end.strip, bench.unit()));
    }
    step.pick_up(["wire stripper".to_owned()]);
    let (verb, tool) = match end.kind {
        EndKind::Ferrule => ("crimp a ferrule", "ferrule crimper"),
        EndKind::Ring(_) | EndKind::Fork(_) | EndKind::Receptacle(_)
            if gauge.area().0 > INSULATED_UP_TO =>
        {
            ("crimp the terminal", "crimper for heavy lugs")
        }
        EndKind::Ring(_) | EndKind::Fork(_) | EndKind::Receptacle(_) => {
            ("crimp the terminal", "crimper for insulated terminals")
        }
        EndKind::Contact | EndKind::HeaderContact => ("crimp the contact", "crimper for contacts"),
        EndKind::Soldered => ("solder", "soldering iron"),
        EndKind::Bare => ("bare end", ""),
        EndKind::Lead => ("splice", "splice crimper"),
    };
    if !tool.is_empty() {
        step.pick_up([tool.to_owned()]);
    }
    let kind = match end.kind {
        EndKind::Ring(_) | EndKind::Fork(_) | EndKind::Receptacle(_) => format!(" {}", end.kind),
        _ => String::new(),
    };
    format!("{at}, strip {}, {verb}{kind}", exact(end.strip, bench.unit()))
}

/// The tool that tightens it, and how tight.
fn torque(robot: &Robot, step: &mut Step, landing: Landing, reached_with: &[Tool]) {
    let Landing::Part { part, terminal } = landing else { return };
    let Some(t) = robot.type_of(part).terminals.get(terminal) else { return };
    step.pick_up(tools::of_fitting(t.fitting, reached_with));
    let Some(torque) = t.torque else { return };
    let at = robot.landing_word(landing);
    if !step.torques.iter().any(|known| known.at == at) {
        step.torques.push(Torque { at, torque });
    }
}

/// Ties of a loom: loosely while wires are still to come, all of them with its last wire.
fn ties(bench: &Bench<'_>, step: &mut Step, loom: LoomId, wires: &[WireId]) {
    let of_loom = |(i, w): (usize, &loomdeck_model::Wire)| (w.loom == Some(loom)).then_some(WireId(i));
    let all: Vec<WireId> = bench.robot.wires.iter().enumerate().filter_map(of_loom).collect();
    let complete = all.iter().all(|w| bench.has_wire(*w) || wires.contains(w));
    let Some(run) = bench.geometry.looms.iter().find(|l| l.loom == loom) else { return };
    if !complete {
        step.words.push("Tie it loosely: more wires of this loom follow.".to_owned());
        return;
    }
    if run.ties.is_empty() || all.iter().all(|w| bench.has_wire(*w)) {
        return;
    }
    let mut sizes: Vec<(f64, usize)> = Vec::new();
    for tie in &run.ties {
        match sizes.iter_mut().find(|(w, _)| (*w - tie.width.0).abs() < 1e-9) {
            Some((_, n)) => *n += 1,
            None => sizes.push((tie.width.0, 1)),
        }
    }
    let words: Vec<String> = sizes
        .iter()
        .map(|(w, n)| {
            let many = if *n == 1 { "tie" } else { "ties" };
            format!("{n} {many} {} wide", exact(loomdeck_model::units::Millimetres(*w), bench.unit()))
        })
        .collect();
    step.words.push(format!(
        "The loom is complete: tie it with {} and cut their tails flush.",
        listed(&words)
    ));
    step.pick_up(["side cutters".to_owned()]);
}
