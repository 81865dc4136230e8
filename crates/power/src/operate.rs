//! Finds the operating point of a situation: which converters, drivers and coils are on, how far the
//! load can be raised, and how warm the wires are while they carry it.

use crate::circuit::Circuit;
use crate::circuit::values::{Level, Ready, States, amperes, window};
use crate::heat::robot::{Wires, ambient};
use crate::heat::wire;
use crate::netlist::{Device, Exported};
use crate::results::EndOfBranch;
use crate::solver::islands::Fed;
use crate::solver::{
    End, Failure, Point, Reached, Solver, guess, solve, solve_close, to_full_load, to_full_load_near,
};
use loomdeck_model::element::ElementKind;
use loomdeck_model::{PartId, Robot, Situation, WireId};

/// A network with the solution that was found.
#[derive(Clone, Debug)]
pub struct Solution {
    /// The network, with what is fed and what the motors do.
    pub ready: Ready,
    /// On or off.
    pub states: States,
    /// Voltages and currents.
    pub point: Point,
    /// Why it is not at full load, when it is not.
    pub end: Option<Stop>,
}

/// Why a solution is not at full load.
#[derive(Clone, Debug, PartialEq)]
pub enum Stop {
    /// The branch ends at an item.
    Ends(Option<usize>, EndOfBranch),
    /// A coil cannot decide (item).
    Chatters(usize),
    /// No solution even without load (unknown).
    Unsolved(usize),
}

/// Most changes of state before a coil is said to chatter.
const MOST_CHANGES: usize = 16;

/// The solver of one situation, turned to a network of it.
fn turned<'s, 'c>(
    solver: &'s mut Option<Solver<'c>>,
    circuit: &'c Circuit,
    ready: &Ready,
) -> &'s Solver<'c> {
    let (netlist, references) = (&ready.netlist, &ready.fed.references);
    if let Some(solver) = solver.as_mut() {
        solver.take(netlist, references);
    }
    solver.get_or_insert_with(|| Solver::of(&circuit.core, netlist, references))
}

/// Solves one level of a situation from nothing. `ohms` are the resistances of the wires.
pub fn from_nothing(
    circuit: &Circuit,
    robot: &Robot,
    situation: &Situation,
    level: Level,
    ohms: &[f64],
) -> Solution {
    match circuit.with_pulled(robot, situation) {
        Some(own) => operate(&own, robot, situation, level, ohms, &mut None),
        None => operate(circuit, robot, situation, level, ohms, &mut None),
    }
}

/// Voltage between two nodes of a solution; `None` when either is fed by nothing or they belong to parts
/// of the network that nothing joins.
pub fn across(solution: &Solution, plus: usize, minus: usize) -> Option<f64> {
    joined(&solution.ready.fed, plus, minus).then(|| solution.point.x[plus] - solution.point.x[minus])
}

/// Solves one level of a situation from nothing.
fn operate<'c>(
    circuit: &'c Circuit,
    robot: &Robot,
    situation: &Situation,
    level: Level,
    ohms: &[f64],
    solver: &mut Option<Solver<'c>>,
) -> Solution {
    let begin = |states: &States| {
        let ready = circuit.ready(robot, situation, level, states, ohms);
        let start = guess(&ready.netlist, &circuit.pattern, &ready.fed);
        (ready, start)
    };
    let mut states = States::new(circuit);
    let (mut ready, mut start) = begin(&states);
    // What will run shows mostly in the guess already: one layer of supplies after the other. What the
    // solution then says counts.
    let mut foreseen = false;
    while switch_on(circuit, robot, &ready, &mut states, &start) {
        foreseen = true;
        (ready, start) = begin(&states);
    }
    let mut changes = 0;
    loop {
        let point = match solve(turned(solver, circuit, &ready), &ready.netlist, &start, 0.0) {
            Ok(found) => found,
            Err(_) if foreseen => {
                foreseen = false;
                states = States::new(circuit);
                (ready, start) = begin(&states);
                continue;
            }
            Err(failure) => {
                let unknown = match failure {
                    Failure::Singular { unknown } => unknown,
                    Failure::Astray => 0,
                };
                return Solution { ready, states, point: start, end: Some(Stop::Unsolved(unknown)) };
            }
        };
        let changed = settle_states(circuit, robot, &ready, &mut states, &point).or(block(
            &ready,
            &mut states,
            &point,
        ));
        let Some(coil) = changed else {
            // What shows without load need not be found at the end of the branch.
            if changes <= MOST_CHANGES && unblock(&ready, &mut states, &point) {
                changes += 1;
                (ready, start) = begin(&states);
                continue;
            }
            let turned = turned(solver, circuit, &ready);
            let mut raised = raise(circuit, robot, ready, states, point, turned);
            if changes <= MOST_CHANGES && unblock(&raised.ready, &mut raised.states, &raised.point) {
                changes += 1;
                states = raised.states;
                (ready, start) = begin(&states);
                continue;
            }
            return raised;
        };
        changes += 1;
        if changes > MOST_CHANGES {
            return Solution { ready, states, point, end: Some(Stop::Chatters(coil)) };
        }
        (ready, start) = begin(&states);
    }
}

/// Switches on the converters and drivers whose supply lies within their window at these voltages.
/// Whether any was off.
fn switch_on(
    circuit: &Circuit,
    robot: &Robot,
    ready: &Ready,
    states: &mut States,
    point: &Point,
) -> bool {
    let mut any = false;
    for (part, e, item) in elements(circuit) {
        let kind = &robot.type_of(part).elements[e].kind;
        let Some((plus, minus, low, high)) = window(circuit, part, kind) else { continue };
        let v = point.x[plus] - point.x[minus];
        if !states.running[item] && joined(&ready.fed, plus, minus) && v >= low && v <= high {
            states.running[item] = true;
            any = true;
        }
    }
    any
}

/// Whether two nodes are fed in one connected part, so that there is a voltage between them.
fn joined(fed: &Fed, plus: usize, minus: usize) -> bool {
    fed.nodes[plus] && fed.nodes[minus] && fed.part[plus] == fed.part[minus]
}

/// Reverse voltage from which a diode counts as blocking, and forward voltage from which not.
const BLOCKS: f64 = 0.1;

/// Marks diodes that block. Returns the first newly marked.
fn block(ready: &Ready, states: &mut States, point: &Point) -> Option<usize> {
    let mut first = None;
    for (index, item) in ready.netlist.items.iter().enumerate().filter(|(_, i)| i.active) {
        if let Device::Diode { a, b, .. } = item.device
            && point.x[a] - point.x[b] < -BLOCKS
            && !states.conducting[index]
        {
            states.blocking[index] = true;
            first = first.or(Some(index));
        }
    }
    first
}

/// Frees diodes that were marked as blocking and would conduct. Whether any was.
fn unblock(ready: &Ready, states: &mut States, point: &Point) -> bool {
    let mut any = false;
    for (index, item) in ready.netlist.items.iter().enumerate() {
        if let Device::Diode { a, b, .. } = item.device
            && states.blocking[index]
        {
            let fed = &ready.fed;
            // An anode that is fed drives a cathode that is not.
            let drives = fed.nodes[a] && !fed.nodes[b];
            let forward = fed.nodes[a] && fed.part[a] == fed.part[b] && point.x[a] - point.x[b] > BLOCKS;
            if drives || forward {
                states.blocking[index] = false;
                states.conducting[index] = true;
                any = true;
            }
        }
    }
    any
}

/// Solves again near a known solution of the same level, with other resistances; from nothing when
/// that fails.
fn operate_near<'c>(
    circuit: &'c Circuit,
    robot: &Robot,
    situation: &Situation,
    level: Level,
    ohms: &[f64],
    near: &Solution,
    solver: &mut Option<Solver<'c>>,
) -> Solution {
    let ready = circuit.ready_again(robot, situation, level, near, ohms);
    let solved = match &near.end {
        None => at_full_load(circuit, robot, ready, near, solver),
        Some(Stop::Ends(..)) => {
            let check = |x: &[f64], each: &mut dyn FnMut(usize, f64)| {
                margins(circuit, robot, &ready, &near.states, x, each);
            };
            let solver = turned(solver, circuit, &ready);
            to_full_load_near(&ready.netlist, &circuit.pattern, solver, &near.point, 1.0, &check)
                .map(|reached| raised(circuit, robot, ready, near.states.clone(), reached))
        }
        Some(_) => None,
    };
    solved
        .filter(|s| !unblock(&s.ready, &mut s.states.clone(), &s.point))
        .unwrap_or_else(|| operate(circuit, robot, situation, level, ohms, solver))
}

/// The solution at full load near one at full load.
fn at_full_load<'c>(
    circuit: &'c Circuit,
    robot: &Robot,
    ready: Ready,
    near: &Solution,
    solver: &mut Option<Solver<'c>>,
) -> Option<Solution> {
    let states = near.states.clone();
    let point = solve_close(turned(solver, circuit, &ready), &ready.netlist, &near.point, 1.0).ok()?;
    let stays = broken(circuit, robot, &ready, &states, &point).is_none();
    (stays && !fell(&ready, &near.point, &point)).then_some(Solution { ready, states, point, end: None })
}

/// A supply fell by more than a fifth between two solutions that should be close: perhaps the
/// lower branch.
fn fell(ready: &Ready, from: &Point, to: &Point) -> bool {
    ready.netlist.items.iter().filter(|i| i.active).any(|item| {
        let (a, b) = match item.device {
            Device::Load { a, b, .. } => (a, b),
            Device::Converter { in_plus, in_minus, .. } => (in_plus, in_minus),
            _ => return false,
        };
        let was = from.x[a] - from.x[b];
        was > 0.5 && to.x[a] - to.x[b] < 0.8 * was
    })
}

fn raise(
    circuit: &Circuit,
    robot: &Robot,
    ready: Ready,
    states: States,
    start: Point,
    solver: &Solver<'_>,
) -> Solution {
    let check = |x: &[f64], each: &mut dyn FnMut(usize, f64)| {
        margins(circuit, robot, &ready, &states, x, each);
    };
    let reached = to_full_load(&ready.netlist, &circuit.pattern, solver, &start, 1.0, &check);
    match reached {
        Ok(reached) => raised(circuit, robot, ready, states, reached),
        Err(_) => {
            let end = Some(Stop::Ends(None, EndOfBranch::Collapses));
            Solution { ready, states, point: start, end }
        }
    }
}

fn raised(circuit: &Circuit, robot: &Robot, ready: Ready, states: States, reached: Reached) -> Solution {
    let end = match (&reached.end, reached.point.fraction < 1.0) {
        (Some(End::Condition(item)), _) => Some(Stop::Ends(Some(*item), how(circuit, robot, *item))),
        (Some(End::Limit(item)), _) => Some(Stop::Ends(Some(*item), EndOfBranch::Limits)),
        (Some(End::Collapse(item)), _) => Some(Stop::Ends(Some(*item), EndOfBranch::Collapses)),
        (None, true) => Some(Stop::Ends(None, EndOfBranch::Collapses)),
        (None, false) => None,
    };
    Solution { ready, states, point: reached.point, end }
}

/// Sets on and off as the voltages without load say. Returns the item that changed last, if any did.
fn settle_states(
    circuit: &Circuit,
    robot: &Robot,
    ready: &Ready,
    states: &mut States,
    point: &Point,
) -> Option<usize> {
    let mut changed = None;
    for (part, e, item) in elements(circuit) {
        let kind = &robot.type_of(part).elements[e].kind;
        if let Some((plus, minus, low, high)) = window(circuit, part, kind) {
            // Only what is fed has a voltage to judge by; the unfed is off through its island.
            if joined(&ready.fed, plus, minus) {
                let v = point.x[plus] - point.x[minus];
                let run = v >= low && v <= high;
                if states.running[item] != run {
                    states.running[item] = run;
                    changed = Some(item);
                }
            }
        }
        if let ElementKind::Contactor(c) = kind {
            // A coil that is cut has no current, whatever lies across its ends.
            let cut = circuit.cut.get(item).copied().unwrap_or(false);
            let v = if cut { 0.0 } else { coil_voltage(circuit, part, c, ready, &point.x) };
            let pull =
                if states.pulled[item] { v.abs() >= c.drop_out.0 } else { v.abs() >= c.pull_in.0 };
            if states.pulled[item] != pull {
                states.pulled[item] = pull;
                changed = Some(item);
            }
        }
    }
    changed
}

fn coil_voltage(
    circuit: &Circuit,
    part: PartId,
    c: &loomdeck_model::element::Contactor,
    ready: &Ready,
    x: &[f64],
) -> f64 {
    let (a, b) = (circuit.local(part, c.coil_plus), circuit.local(part, c.coil_minus));
    if ready.fed.nodes[a] && ready.fed.part[a] == ready.fed.part[b] { x[a] - x[b] } else { 0.0 }
}

/// The first element that cannot stay as it is under load.
fn broken(
    circuit: &Circuit,
    robot: &Robot,
    ready: &Ready,
    states: &States,
    point: &Point,
) -> Option<usize> {
    let mut first = None;
    margins(circuit, robot, ready, states, &point.x, &mut |item, margin| {
        if margin < 0.0 {
            first = first.or(Some(item));
        }
    });
    first
}

/// Tells of every element that could leave its state under load how much it has left, V or A.
fn margins(
    circuit: &Circuit,
    robot: &Robot,
    ready: &Ready,
    states: &States,
    x: &[f64],
    each: &mut dyn FnMut(usize, f64),
) {
    for (part, e, item) in elements(circuit) {
        let kind = &robot.type_of(part).elements[e].kind;
        let active = ready.netlist.items[item].active;
        match kind {
            ElementKind::Converter(_) | ElementKind::Driver(_) if states.running[item] && active => {
                if let Some((plus, minus, low, _)) = window(circuit, part, kind) {
                    each(item, x[plus] - x[minus] - low);
                }
            }
            ElementKind::Contactor(c) if states.pulled[item] => {
                each(item, coil_voltage(circuit, part, c, ready, x).abs() - c.drop_out.0);
            }
            ElementKind::Protection(p) if active => {
                let i = x[circuit.pattern.extra[item]];
                each(item, (p.discharge_limit.0 - i).min(p.charge_limit.0 + i));
            }
            _ => {}
        }
    }
}

fn how(circuit: &Circuit, robot: &Robot, item: usize) -> EndOfBranch {
    match circuit.element_of(item).map(|(part, e)| &robot.type_of(part).elements[e].kind) {
        Some(ElementKind::Protection(_)) => EndOfBranch::Opens,
        Some(ElementKind::Contactor(_)) => EndOfBranch::Chatters,
        Some(ElementKind::Converter(_) | ElementKind::Driver(_)) => EndOfBranch::DropsOut,
        _ => EndOfBranch::Collapses,
    }
}

/// Every element with its first item.
pub fn elements(circuit: &Circuit) -> impl Iterator<Item = (PartId, usize, usize)> + '_ {
    circuit.element_item.iter().enumerate().flat_map(|(part, firsts)| {
        firsts[..firsts.len() - 1].iter().enumerate().map(move |(e, &item)| (PartId(part), e, item))
    })
}

impl Circuit {
    /// The element that an item stands for.
    pub fn element_of(&self, item: usize) -> Option<(PartId, usize)> {
        let ends_before = |firsts: &Vec<usize>| firsts.last().is_none_or(|&after| after <= item);
        let part = self.element_item.partition_point(ends_before);
        self.element_item.get(part).filter(|firsts| firsts[0] <= item)?;
        let e = self.element_item[part].windows(2).position(|w| w[0] <= item && item < w[1])?;
        Some((PartId(part), e))
    }
}

/// All levels of a situation, with the wires at their temperatures.
#[derive(Clone, Debug)]
pub struct Operated {
    /// Mean currents.
    pub mean: Solution,
    /// What heats.
    pub rms: Solution,
    /// All peaks at once.
    pub peak: Solution,
    /// Settled wire temperatures, °C; `None` outside the model.
    pub settled: Vec<Option<wire::Settled>>,
    /// Resistances used.
    pub ohms: Vec<f64>,
    /// Air around each wire.
    pub air: Vec<f64>,
}

/// Change of temperature, K, below which the iteration of resistance and temperature stops.
const CLOSE: f64 = 0.02;

/// Most rounds of that iteration.
const MOST_ROUNDS: usize = 12;

/// Solves all levels, iterating the wires' resistance with their own temperature.
///
/// A situation that does not last gives its wires no time to settle; their resistance is then taken at
/// no more than the temperature they reach in it from the air's.
pub fn all_levels(circuit: &Circuit, robot: &Robot, wires: &Wires, situation: &Situation) -> Operated {
    let n = robot.wires.len();
    let air: Vec<f64> = (0..n).map(|w| ambient(robot, WireId(w), Some(situation)).0).collect();
    let mut celsius = air.clone();
    let ohms_at = |celsius: &[f64]| -> Vec<f64> {
        (0..n).map(|w| circuit.wire_resistance(WireId(w), celsius[w])).collect()
    };
    let mut ohms = ohms_at(&celsius);
    let mut solver = None;
    let mut rms = operate(circuit, robot, situation, Level::Rms, &ohms, &mut solver);
    let mut settled = vec![None; n];
    for _ in 0..MOST_ROUNDS {
        let currents = wire_currents(circuit, &rms);
        let mut most: f64 = 0.0;
        settled = wires.steady(&currents, &air);
        for w in 0..n {
            let warm = match (settled[w], situation.lasting, situation.lasts) {
                (Some(s), true, _) | (Some(s), false, None) => s.inside,
                (found, _, Some(time)) => {
                    let (conductor, end) = (&wires.conductors[w], found.map(|s| s.inside));
                    wire::after_towards(conductor, currents[w], air[w], end, air[w], time.0)
                }
                (None, _, None) => wire::HOTTEST,
            };
            most = most.max((warm - celsius[w]).abs());
            celsius[w] = warm;
        }
        if most < CLOSE {
            break;
        }
        ohms = ohms_at(&celsius);
        rms = operate_near(circuit, robot, situation, Level::Rms, &ohms, &rms, &mut solver);
    }
    let mut again = |level: Level, other: Level, near: &Solution| -> Solution {
        if same_loads(robot, situation, level, other) {
            return near.clone();
        }
        let direct = near.end.is_none().then(|| {
            let ready = circuit.ready_again(robot, situation, level, near, &ohms);
            at_full_load(circuit, robot, ready, near, &mut solver)
                .filter(|s| !unblock(&s.ready, &mut s.states.clone(), &s.point))
        });
        direct.flatten().unwrap_or_else(|| operate(circuit, robot, situation, level, &ohms, &mut solver))
    };
    let mean = again(Level::Mean, Level::Rms, &rms);
    let peak = again(Level::Peak, Level::Mean, &mean);
    Operated { mean, rms, peak, settled, ohms, air }
}

/// Whether all loads take the same at two levels.
fn same_loads(robot: &Robot, situation: &Situation, one: Level, other: Level) -> bool {
    (0..robot.parts.len()).map(PartId).all(|part| {
        robot.type_of(part).elements.iter().all(|e| match &e.kind {
            ElementKind::Load(load) => {
                amperes(situation, part, load, one) == amperes(situation, part, load, other)
            }
            _ => true,
        })
    })
}

/// Currents of the wires.
pub fn wire_currents(circuit: &Circuit, solution: &Solution) -> Vec<f64> {
    circuit.wire_item.iter().map(|&item| solution.point.x[circuit.pattern.extra[item]]).collect()
}

/// Current of an item, from `a` to `b`.
pub fn item_current(circuit: &Circuit, solution: &Solution, item: usize) -> f64 {
    let x = &solution.point.x;
    let Ready { netlist, fed, .. } = &solution.ready;
    let it = &netlist.items[item];
    // What hangs on nothing carries nothing, not even the rounding of a solution.
    let hangs = matches!(it.device, Device::Branch { a, b, .. } if !fed.nodes[a] || !fed.nodes[b]);
    if !it.active || hangs {
        return 0.0;
    }
    crate::solver::current(&it.device, circuit.pattern.extra[item], x, solution.point.fraction)
}

/// The network of a situation with its solution as plain numbers.
pub fn export(circuit: &Circuit, name: &str, solution: &Solution) -> Exported {
    let Ready { netlist, fed, .. } = &solution.ready;
    let mut named = netlist.clone();
    named.nodes.clone_from(&circuit.template.nodes);
    for (item, template) in named.items.iter_mut().zip(&circuit.template.items) {
        item.name.clone_from(&template.name);
    }
    Exported {
        situation: name.to_owned(),
        fraction: solution.point.fraction,
        netlist: named,
        references: (0..netlist.nodes.len()).filter(|&v| fed.references[v]).collect(),
        voltages_v: (0..netlist.nodes.len())
            .map(|v| fed.nodes[v].then_some(solution.point.x[v]))
            .collect(),
        currents_a: (0..netlist.items.len()).map(|i| item_current(circuit, solution, i)).collect(),
    }
}
