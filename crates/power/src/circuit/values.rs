//! The numbers of one situation.

use super::motors::{self, Wish};
use super::{CHANNEL_ITEMS, Circuit, LEAST_OHMS, open_circuit};
use crate::netlist::{Device, Duty, MotorKind, Netlist};
use crate::operate::Solution;
use crate::solver::islands::{self, Fed};
use loomdeck_model::element::{Activity, Driver, ElementKind, Load};
use loomdeck_model::{PartId, Robot, Situation, SituationActivity};

/// Which measure of the loads' currents.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Mean: energy, and the operating point shown.
    Mean,
    /// Root mean square: heat.
    Rms,
    /// All peaks at once: sag.
    Peak,
}

/// What is not fixed by the situation alone: found by solving and looking.
#[derive(Clone, Debug, PartialEq)]
pub struct States {
    /// Converters and drivers that run, by item (the first of their element).
    pub running: Vec<bool>,
    /// Coils that pull, by item of the coil.
    pub pulled: Vec<bool>,
    /// Diodes that block, by item: they feed nothing.
    pub blocking: Vec<bool>,
    /// Diodes that were found to conduct under load: never taken as blocking again.
    pub conducting: Vec<bool>,
}

impl States {
    /// Nothing runs yet, no coil pulls, no diode blocks: the moment before switching on.
    pub fn new(circuit: &Circuit) -> Self {
        let n = circuit.template.items.len();
        let none = vec![false; n];
        Self { running: none.clone(), pulled: none.clone(), blocking: none.clone(), conducting: none }
    }
}

/// A network ready to be solved.
#[derive(Clone, Debug)]
pub struct Ready {
    /// The network; elements that cannot carry current are inactive.
    pub netlist: Netlist,
    /// What is fed.
    pub fed: Fed,
    /// Wanted speed of every motor, rad/s, and whether its gearbox or load holds it, by item.
    pub motors: Vec<MotorNote>,
}

/// What was decided about a motor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MotorNote {
    /// Its item.
    pub item: usize,
    /// What was asked.
    pub wish: Wish,
    /// Channel item that drives it.
    pub channel: Option<usize>,
    /// The torque asked for is more than the driver's peak current can give.
    pub beyond_peak: bool,
}

/// The activity of a load in a situation.
pub fn activity<'a>(situation: &'a Situation, part: PartId, load: &'a Load) -> Option<&'a Activity> {
    match situation.activity.get(&part) {
        Some(SituationActivity::Own(own)) => Some(own),
        Some(SituationActivity::Named(index)) => load.activities.get(*index),
        None => load.activities.get(load.usual),
    }
}

/// Current of a load at its nominal voltage, A.
pub fn amperes(situation: &Situation, part: PartId, load: &Load, level: Level) -> f64 {
    activity(situation, part, load).map_or(0.0, |a| match level {
        Level::Mean => a.mean.0,
        Level::Rms => a.rms.0,
        Level::Peak => a.peak.0.max(a.rms.0),
    })
}

impl Circuit {
    /// Fills in a situation. `ohms` are the resistances of the wires at their temperatures.
    pub fn ready(
        &self,
        robot: &Robot,
        situation: &Situation,
        level: Level,
        states: &States,
        ohms: &[f64],
    ) -> Ready {
        let mut netlist = self.blank.clone();
        for (wire, &item) in self.wire_item.iter().enumerate() {
            if let Device::Branch { resistance_ohm, .. } = &mut netlist.items[item].device {
                *resistance_ohm = ohms[wire];
            }
        }
        for (&(plug, _), &item) in &self.contact_item {
            netlist.items[item].active = !situation.unplugged.contains(&plug);
        }
        for (index, part) in robot.parts.iter().enumerate() {
            let id = PartId(index);
            for (e, element) in robot.type_of(id).elements.iter().enumerate() {
                let first = self.element_item[index][e];
                let fuse =
                    || part.fuses.get(&element.name).and_then(|&t| robot.types[t.0].fuse.as_ref());
                match &element.kind {
                    ElementKind::FuseWay(way) => match fuse() {
                        Some(f) => set_ohms(&mut netlist, first, way.contact.0 + f.cold.0),
                        None => netlist.items[first].active = false,
                    },
                    ElementKind::Battery(b) => {
                        if let Device::Branch { emf_v, .. } = &mut netlist.items[first].device {
                            *emf_v = open_circuit(b, situation.charge);
                        }
                    }
                    ElementKind::Switch(_) => {
                        netlist.items[first].active = situation.closed.contains(&id);
                    }
                    ElementKind::Contactor(c) => {
                        netlist.items[first + 1].active = states.pulled[first] != c.normally_closed;
                    }
                    ElementKind::Charger(_) => {
                        netlist.items[first].active = situation.powered.contains(&id);
                    }
                    ElementKind::Converter(_) => netlist.items[first].active = states.running[first],
                    ElementKind::Driver(_) if !states.running[first] => {
                        if let Device::Load { current_a, .. } = &mut netlist.items[first].device {
                            *current_a = 0.0;
                        }
                    }
                    ElementKind::Load(load) => {
                        if let Device::Load { current_a, .. } = &mut netlist.items[first].device {
                            *current_a = amperes(situation, id, load, level);
                        }
                    }
                    _ => {}
                }
            }
        }
        for (item, _) in netlist.items.iter_mut().zip(&self.cut).filter(|(_, cut)| **cut) {
            item.active = false;
        }
        let motors = self.drive(robot, situation, states, &mut netlist);
        for (item, _) in netlist.items.iter_mut().zip(&self.cut).filter(|(_, cut)| **cut) {
            item.active = false;
        }
        for (item, &blocks) in netlist.items.iter_mut().zip(&states.blocking) {
            item.active &= !blocks;
        }
        let fed = islands::analyse(&netlist);
        for (item, carries) in netlist.items.iter_mut().zip(&fed.carries) {
            item.active &= carries;
        }
        Ready { netlist, fed, motors }
    }

    /// [`Self::ready`] for the states of a solution, whose network differs only in the loads' level and in
    /// the resistances of the wires.
    pub fn ready_again(
        &self,
        robot: &Robot,
        situation: &Situation,
        level: Level,
        near: &Solution,
        ohms: &[f64],
    ) -> Ready {
        let mut ready = near.ready.clone();
        let items = &mut ready.netlist.items;
        for (wire, &item) in self.wire_item.iter().enumerate() {
            if let Device::Branch { resistance_ohm, .. } = &mut items[item].device {
                if joins(*resistance_ohm) != joins(ohms[wire]) {
                    return self.ready(robot, situation, level, &near.states, ohms);
                }
                *resistance_ohm = ohms[wire];
            }
        }
        for (index, firsts) in self.element_item.iter().enumerate() {
            let part = PartId(index);
            for (element, &first) in robot.type_of(part).elements.iter().zip(firsts) {
                if let ElementKind::Load(load) = &element.kind
                    && let Device::Load { current_a, .. } = &mut items[first].device
                {
                    *current_a = amperes(situation, part, load, level);
                }
            }
        }
        ready
    }

    /// Finds the motor on each bridge, with every plug mated and every switch closed.
    pub(super) fn join_motors(&mut self, robot: &Robot) {
        let joined = Joined::of(&self.template);
        let motors: Vec<(usize, usize, usize)> = (0..robot.parts.len())
            .map(PartId)
            .filter_map(|part| {
                let (e, m) = motors::motor_of(robot, part)?;
                Some((self.element_item[part.0][e], self.local(part, m.a), self.local(part, m.b)))
            })
            .collect();
        for item in &mut self.template.items {
            if let Device::Channel { a, b, motor, .. } = &mut item.device {
                let found = motors.iter().find(|m| joined.sense((*a, *b), (m.1, m.2)).is_some());
                *motor = found.map(|m| m.0);
            }
        }
    }

    /// Decides what every bridge and motor does.
    fn drive(
        &self,
        robot: &Robot,
        situation: &Situation,
        states: &States,
        netlist: &mut Netlist,
    ) -> Vec<MotorNote> {
        let joined = Joined::of(netlist);
        let mut channels = Vec::new();
        for index in 0..robot.parts.len() {
            for (e, element) in robot.type_of(PartId(index)).elements.iter().enumerate() {
                if let ElementKind::Driver(driver) = &element.kind {
                    let first = self.element_item[index][e];
                    for c in 0..driver.channels.len() {
                        channels.push((first + 1 + c * CHANNEL_ITEMS, driver, states.running[first]));
                    }
                }
            }
        }
        let mut notes = Vec::new();
        let mut leading: Vec<Option<usize>> = vec![None; channels.len()];
        for index in 0..robot.parts.len() {
            let part = PartId(index);
            let Some((e, motor)) = motors::motor_of(robot, part) else { continue };
            let item = self.element_item[index][e];
            let wish = motors::wish(robot, situation, part, motor);
            let ends = (self.local(part, motor.a), self.local(part, motor.b));
            let found = channels.iter().enumerate().find_map(|(n, &(channel, ..))| {
                let Device::Channel { a, b, .. } = netlist.items[channel].device else { return None };
                joined.sense((a, b), ends).map(|sense| (n, sense))
            });
            let leads = found.is_some_and(|(n, _)| {
                matches!(netlist.items[channels[n].0].device, Device::Channel { motor, .. } if motor == Some(item))
            });
            let channel = found.map(|(n, _)| channels[n].0);
            let k = motor.constant;
            let turned = |speed: f64| MotorKind::Turned { emf_v: k * speed };
            let mut beyond_peak = false;
            let kind = match (found, wish) {
                (None, Wish::Off { turned: 0.0 }) => MotorKind::Loaded { current_a: motor.no_load.0 },
                (_, Wish::Off { turned: speed }) => turned(speed),
                (Some((n, _)), _) if !channels[n].2 => turned(0.0),
                (_, Wish::Stalled { .. }) => turned(0.0),
                (Some((n, _)), Wish::Turn { current, .. } | Wish::Duty { current, .. })
                    if current.abs() > channels[n].1.peak.0 =>
                {
                    beyond_peak = true;
                    turned(0.0)
                }
                (Some((n, _)), Wish::Turn { speed, current }) if leads && leading[n].is_none() => {
                    MotorKind::Driven { current_a: current, emf_v: k * speed }
                }
                (_, Wish::Turn { current, .. } | Wish::Duty { current, .. }) => {
                    MotorKind::Loaded { current_a: current.abs() }
                }
            };
            if let Device::Motor { kind: slot, .. } = &mut netlist.items[item].device {
                *slot = kind;
            }
            if let Some((n, sense)) = found
                && leading[n].is_none()
                && !matches!(wish, Wish::Off { .. })
            {
                leading[n] = Some(notes.len());
                let peak_a = channels[n].1.peak.0.max(1e-3);
                let fixed = |value: f64| Duty::Fixed { value: value * sense, peak_a };
                let wanted = match wish {
                    Wish::Stalled { duty } | Wish::Duty { duty, .. } => fixed(duty),
                    // A second motor on the same bridge has no say in the duty: full on.
                    Wish::Turn { speed, current } if beyond_peak || !leads => {
                        fixed(if speed != 0.0 { speed } else { current }.signum())
                    }
                    _ => Duty::Find { sense },
                };
                if let Device::Channel { duty, .. } = &mut netlist.items[channels[n].0].device {
                    *duty = wanted;
                }
            }
            notes.push(MotorNote { item, wish, channel, beyond_peak });
        }
        for (&(channel, _, running), leader) in channels.iter().zip(&leading) {
            let on = running && leader.is_some();
            netlist.items[channel].active = on;
            for diode in 1..CHANNEL_ITEMS {
                netlist.items[channel + diode].active = !on;
            }
        }
        notes
    }
}

fn set_ohms(netlist: &mut Netlist, item: usize, ohms: f64) {
    if let Device::Branch { resistance_ohm, .. } = &mut netlist.items[item].device {
        *resistance_ohm = ohms.max(LEAST_OHMS);
    }
}

/// Nodes joined by wires, contacts and closed switches. Resistors and coils join nothing here
/// because they are not followed: only branches below an ohm are.
struct Joined(Vec<usize>);

/// Whether a branch of this resistance joins its nodes.
fn joins(ohms: f64) -> bool {
    ohms < 1.0
}

impl Joined {
    fn of(netlist: &Netlist) -> Self {
        let mut parent: Vec<usize> = (0..netlist.nodes.len()).collect();
        fn root(parent: &mut [usize], mut v: usize) -> usize {
            while parent[v] != v {
                parent[v] = parent[parent[v]];
                v = parent[v];
            }
            v
        }
        for item in netlist.items.iter().filter(|i| i.active) {
            if let Device::Branch { a, b, resistance_ohm, emf_v } = item.device
                && emf_v == 0.0
                && joins(resistance_ohm)
            {
                let (ra, rb) = (root(&mut parent, a), root(&mut parent, b));
                parent[ra.max(rb)] = ra.min(rb);
            }
        }
        Self((0..parent.len()).map(|v| root(&mut parent, v)).collect())
    }

    /// 1 when the pairs are joined in order, −1 when crossed.
    fn sense(&self, bridge: (usize, usize), motor: (usize, usize)) -> Option<f64> {
        let same = |p: usize, q: usize| self.0[p] == self.0[q];
        if same(bridge.0, bridge.1) {
            None
        } else if same(bridge.0, motor.0) && same(bridge.1, motor.1) {
            Some(1.0)
        } else if same(bridge.0, motor.1) && same(bridge.1, motor.0) {
            Some(-1.0)
        } else {
            None
        }
    }
}

/// The window of a converter or driver: nodes of its supply, lowest and highest voltage.
pub fn window(circuit: &Circuit, part: PartId, kind: &ElementKind) -> Option<(usize, usize, f64, f64)> {
    match kind {
        ElementKind::Converter(c) => Some((
            circuit.local(part, c.in_plus),
            circuit.local(part, c.in_minus),
            c.window_low.0,
            c.window_high.0,
        )),
        ElementKind::Driver(Driver { plus, minus, window_low, window_high, .. }) => {
            Some((circuit.local(part, *plus), circuit.local(part, *minus), window_low.0, window_high.0))
        }
        _ => None,
    }
}
