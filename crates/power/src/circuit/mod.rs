//! From the robot to a network: which nodes there are, and which element of the network stands for
//! which wire, contact or element of a part. The structure is the same in every situation; the
//! numbers are filled in by [`values`].

mod altered;
pub mod motors;
pub mod values;

pub use altered::Alteration;

use crate::netlist::{Device, Duty, Item, LoadKind, MotorKind, Netlist};
use crate::solver::{Core, Pattern, law};
use loomdeck_model::element::{Battery, Converter, Driver, ElementKind, LoadLaw, LocalNode};
use loomdeck_model::wire::COPPER_ZERO;
use loomdeck_model::{Half, Landing, PartId, PlugId, Robot, WireId};
use loomdeck_space::Geometry;
use std::collections::BTreeMap;

/// The structure of a robot's network.
#[derive(Clone, Debug)]
pub struct Circuit {
    /// The network with numbers of no particular situation.
    pub template: Netlist,
    /// The same without names: what every situation starts from.
    blank: Netlist,
    /// Its structure.
    pub pattern: Pattern,
    /// What of it has to be solved.
    pub core: Core,
    /// First node of each part; its local nodes follow in order.
    pub part_node: Vec<usize>,
    /// Nodes of the two halves of every contact that has a wire on either.
    pub contact_node: BTreeMap<(PlugId, u32), (usize, usize)>,
    /// First item of every element of every part; an element without items has the next one's.
    pub element_item: Vec<Vec<usize>>,
    /// Item of every wire.
    pub wire_item: Vec<usize>,
    /// Item of every contact.
    pub contact_item: BTreeMap<(PlugId, u32), usize>,
    /// Length of every wire, m.
    pub length: Vec<f64>,
    /// Resistance of every wire at 20 °C.
    pub cold: Vec<f64>,
    /// Items that were cut; empty when none was.
    pub(crate) cut: Vec<bool>,
}

/// Volts per factor e of the body diodes of transistors, and of diodes in general where a type does
/// not say: about twice the thermal voltage at 40 °C (textbook emission coefficients are 1 to 2).
pub const BODY_SLOPE: f64 = 0.05;
/// Resistance that everything has at least, ohms: two wires of none side by side would share a
/// current in no definite way.
pub const LEAST_OHMS: f64 = 1e-6;
/// Leakage of a diode, siemens. Real ones leak more; it only keeps an idle bridge from floating.
pub const LEAK: f64 = 1e-9;
/// What the feedback divider of a converter takes from its output, and anything else from its rail
/// even while it does nothing, siemens (tens of microamperes are common). A rail behind a blocking
/// diode sinks to zero by it.
pub const BLEED: f64 = 1e-6;

impl Circuit {
    /// Builds the structure. Wires without a known length count as having none.
    pub fn of(robot: &Robot, geometry: &Geometry) -> Self {
        let mut built = Self::unsolved(robot, geometry);
        built.finish(robot);
        built
    }

    /// [`Self::of`] for those who only look at it: without what solving takes.
    pub(crate) fn unsolved(robot: &Robot, geometry: &Geometry) -> Self {
        let mut nodes = Vec::new();
        let mut part_node = Vec::new();
        for (index, part) in robot.parts.iter().enumerate() {
            part_node.push(nodes.len());
            let kind = robot.type_of(PartId(index));
            nodes.extend(kind.nodes.iter().map(|n| format!("{}.{n}", part.name)));
        }
        let mut contact_node = BTreeMap::new();
        for wire in &robot.wires {
            for end in [wire.from, wire.to] {
                if let Landing::Plug { plug, contact, .. } = end {
                    contact_node.insert((plug, contact), (0, 0));
                }
            }
        }
        for (&(plug, contact), pair) in &mut contact_node {
            let name = &robot.plugs[plug.0].name;
            *pair = (nodes.len(), nodes.len() + 1);
            nodes.push(format!("{name}.board.{contact}"));
            nodes.push(format!("{name}.body.{contact}"));
        }
        let mut built = Self {
            template: Netlist { nodes, items: Vec::new() },
            blank: Netlist::default(),
            pattern: Pattern::of(&Netlist::default()),
            core: Core::default(),
            part_node,
            contact_node,
            element_item: Vec::new(),
            wire_item: Vec::new(),
            contact_item: BTreeMap::new(),
            length: Vec::new(),
            cold: Vec::new(),
            cut: Vec::new(),
        };
        built.add_parts(robot);
        built.add_wires(robot, geometry);
        built.add_contacts(robot);
        built.join_motors(robot);
        built.pattern = Pattern::of(&built.template);
        built
    }

    /// The template without names: what every situation starts from.
    fn unnamed(&self) -> Netlist {
        let unnamed =
            |i: &Item| Item { name: String::new(), active: i.active, device: i.device.clone() };
        Netlist {
            nodes: vec![String::new(); self.template.nodes.len()],
            items: self.template.items.iter().map(unnamed).collect(),
        }
    }

    /// Which items are active in every situation.
    fn steady(&self, robot: &Robot) -> Vec<bool> {
        let mut steady = vec![true; self.template.items.len()];
        for (index, part) in robot.parts.iter().enumerate() {
            for (e, element) in robot.type_of(PartId(index)).elements.iter().enumerate() {
                let first = self.element_item[index][e];
                match element.kind {
                    ElementKind::Switch(_) => steady[first] = false,
                    ElementKind::Contactor(_) => steady[first + 1] = false,
                    ElementKind::FuseWay(_) => {
                        let fuse = part.fuses.get(&element.name);
                        steady[first] = fuse.is_some_and(|t| robot.types[t.0].fuse.is_some());
                    }
                    _ => {}
                }
            }
        }
        for (&(plug, _), &item) in &self.contact_item {
            steady[item] = !robot.situations.iter().any(|s| s.unplugged.contains(&plug));
        }
        for (steady, cut) in steady.iter_mut().zip(&self.cut) {
            *steady &= !cut;
        }
        steady
    }

    /// Node of a landing.
    pub fn node(&self, robot: &Robot, landing: Landing) -> usize {
        match landing {
            Landing::Part { part, terminal } => {
                self.part_node[part.0] + robot.type_of(part).terminals[terminal].node.0
            }
            Landing::Plug { plug, half, contact } => {
                let (board, body) = self.contact_node.get(&(plug, contact)).copied().unwrap_or_default();
                if half == Half::Board { board } else { body }
            }
        }
    }

    /// Node of a part's local node.
    pub fn local(&self, part: PartId, node: LocalNode) -> usize {
        self.part_node[part.0] + node.0
    }

    /// Resistance of a wire at a temperature, °C.
    pub fn wire_resistance(&self, wire: WireId, celsius: f64) -> f64 {
        self.cold[wire.0] * (COPPER_ZERO + celsius) / (COPPER_ZERO + 20.0)
    }

    fn push(&mut self, name: String, device: Device) {
        self.template.items.push(Item { name, active: true, device });
    }

    fn add_parts(&mut self, robot: &Robot) {
        for (index, part) in robot.parts.iter().enumerate() {
            let kind = robot.type_of(PartId(index));
            let base = self.part_node[index];
            let mut firsts = Vec::with_capacity(kind.elements.len());
            for element in &kind.elements {
                firsts.push(self.template.items.len());
                let name = format!("{}/{}", part.name, element.name);
                for (suffix, device) in devices(&element.kind, base) {
                    self.push(format!("{name}{suffix}"), device);
                }
            }
            firsts.push(self.template.items.len());
            self.element_item.push(firsts);
        }
    }

    fn add_wires(&mut self, robot: &Robot, geometry: &Geometry) {
        for (index, wire) in robot.wires.iter().enumerate() {
            let routed = geometry.wires.get(index).map(|run| run.length);
            let length = wire.length.or(routed).unwrap_or_default().0 / 1000.0;
            let cold = (wire.gauge.ohms_per_metre().0 * length).max(LEAST_OHMS);
            self.length.push(length);
            self.cold.push(cold);
            self.wire_item.push(self.template.items.len());
            let (a, b) = (self.node(robot, wire.from), self.node(robot, wire.to));
            self.push(format!("wire {}", wire.name), branch(a, b, cold));
        }
    }

    fn add_contacts(&mut self, robot: &Robot) {
        let pairs: Vec<_> = self.contact_node.iter().map(|(&k, &v)| (k, v)).collect();
        for ((plug, contact), (a, b)) in pairs {
            let ohms = robot.family_of(plug).map_or(0.0, |family| family.resistance.0);
            self.contact_item.insert((plug, contact), self.template.items.len());
            self.push(format!("{} contact {contact}", robot.plugs[plug.0].name), branch(a, b, ohms));
        }
    }
}

fn branch(a: usize, b: usize, resistance_ohm: f64) -> Device {
    Device::Branch { a, b, resistance_ohm: resistance_ohm.max(LEAST_OHMS), emf_v: 0.0 }
}

/// The devices that stand for an element, with what is added to its name. `base` is the first node
/// of its part.
fn devices(kind: &ElementKind, base: usize) -> Vec<(String, Device)> {
    let at = |n: LocalNode| base + n.0;
    let one = |device| vec![(String::new(), device)];
    match kind {
        ElementKind::Battery(e) => one(battery(e, base, 1.0)),
        ElementKind::Switch(e) => one(branch(at(e.a), at(e.b), e.closed.0)),
        ElementKind::Contactor(e) => vec![
            (" coil".into(), branch(at(e.coil_plus), at(e.coil_minus), e.coil.0)),
            (" contact".into(), branch(at(e.a), at(e.b), e.closed.0)),
        ],
        ElementKind::FuseWay(e) => one(branch(at(e.a), at(e.b), e.contact.0)),
        ElementKind::Diode(e) => one(Device::Diode {
            a: at(e.anode),
            b: at(e.cathode),
            saturation_a: law::saturation(e.forward.0, e.at_current.0, e.slope.0, e.series.0),
            slope_v: e.slope.0,
            series_ohm: e.series.0,
            leak_s: LEAK,
        }),
        ElementKind::Resistor(e) => one(branch(at(e.a), at(e.b), e.ohms.0)),
        ElementKind::Capacitor(_) | ElementKind::Bus(_) => Vec::new(),
        ElementKind::Converter(e) => vec![
            (String::new(), converter(e, base)),
            (
                " input".into(),
                Device::Load {
                    a: at(e.in_plus),
                    b: at(e.in_minus),
                    kind: LoadKind::Current,
                    current_a: 0.0,
                    nominal_v: e.window_low.0.max(1.0),
                    bleed_s: BLEED,
                },
            ),
        ],
        ElementKind::Driver(e) => driver(e, base),
        ElementKind::Motor(e) => one(Device::Motor {
            a: at(e.a),
            b: at(e.b),
            resistance_ohm: e.resistance.0,
            kind: MotorKind::Turned { emf_v: 0.0 },
        }),
        ElementKind::Load(e) => {
            let kind = match e.law {
                LoadLaw::Current => LoadKind::Current,
                LoadLaw::Power => LoadKind::Power,
                LoadLaw::Resistance => LoadKind::Resistance,
            };
            let (a, b) = (at(e.plus), at(e.minus));
            one(Device::Load { a, b, kind, current_a: 0.0, nominal_v: e.nominal.0, bleed_s: BLEED })
        }
        ElementKind::Charger(e) => one(Device::Charger {
            plus: at(e.plus),
            minus: at(e.minus),
            current_a: e.current.0,
            voltage_v: e.voltage.0,
        }),
        ElementKind::Protection(e) => one(branch(at(e.a), at(e.b), e.closed.0)),
        ElementKind::SlipRing(e) => e
            .circuits
            .iter()
            .enumerate()
            .map(|(i, c)| (format!(" circuit {}", i + 1), branch(at(c.a), at(c.b), e.resistance.0)))
            .collect(),
        ElementKind::Meter(e) => one(Device::Load {
            a: at(e.plus),
            b: at(e.minus),
            kind: LoadKind::Current,
            current_a: e.current.0,
            nominal_v: e.voltage.0,
            bleed_s: BLEED,
        }),
    }
}

/// A battery at a state of charge.
fn battery(e: &Battery, base: usize, charge: f64) -> Device {
    Device::Branch {
        a: base + e.minus.0,
        b: base + e.plus.0,
        resistance_ohm: e.resistance.0,
        emf_v: open_circuit(e, charge),
    }
}

/// Open-circuit voltage of a battery at a state of charge, by straight lines between its points.
pub fn open_circuit(e: &Battery, charge: f64) -> f64 {
    let points = &e.open_circuit;
    let per_cell = match points.iter().position(|(c, _)| *c >= charge) {
        Some(0) => points[0].1.0,
        Some(i) => {
            let ((c0, v0), (c1, v1)) = (points[i - 1], points[i]);
            v0.0 + (v1.0 - v0.0) * (charge - c0) / (c1 - c0)
        }
        None => points.last().map_or(0.0, |p| p.1.0),
    };
    per_cell * f64::from(e.cells)
}

fn converter(e: &Converter, base: usize) -> Device {
    let mut loss = vec![(0.0, e.idle.0)];
    for &(fraction, efficiency) in e.efficiency.iter().filter(|p| p.0 > 0.0 && p.1 > 0.0) {
        let i = fraction * e.limit.0;
        loss.push((i, e.output.0 * i * (1.0 / efficiency - 1.0)));
    }
    Device::Converter {
        in_plus: base + e.in_plus.0,
        in_minus: base + e.in_minus.0,
        out_plus: base + e.out_plus.0,
        out_minus: base + e.out_minus.0,
        output_v: e.output.0,
        limit_a: e.limit.0,
        drop_out_v: e.drop_out.map(|d| d.0),
        loss,
        // Well below its window, where it has switched itself off long since.
        floor_v: (0.3 * e.window_low.0).max(0.3),
        bleed_s: BLEED,
    }
}

/// Items of one channel: the bridge, then its four body diodes.
pub const CHANNEL_ITEMS: usize = 5;

fn driver(e: &Driver, base: usize) -> Vec<(String, Device)> {
    let (plus, minus) = (base + e.plus.0, base + e.minus.0);
    let mut all = vec![(
        " own".into(),
        Device::Load {
            a: plus,
            b: minus,
            kind: LoadKind::Current,
            current_a: e.idle.0,
            nominal_v: e.window_low.0.max(1.0),
            bleed_s: BLEED,
        },
    )];
    let saturation_a = law::saturation(e.body_diode.0, e.continuous.0, BODY_SLOPE, 0.0);
    for channel in &e.channels {
        let (a, b) = (base + channel.a.0, base + channel.b.0);
        let duty = Duty::Fixed { value: 0.0, peak_a: e.peak.0.max(1e-3) };
        let on_ohm = e.on_resistance.0;
        all.push((
            format!(" {}", channel.name),
            Device::Channel { plus, minus, a, b, on_ohm, motor: None, duty },
        ));
        for (word, from, to) in
            [("a up", a, plus), ("b up", b, plus), ("a down", minus, a), ("b down", minus, b)]
        {
            all.push((
                format!(" {} diode {word}", channel.name),
                Device::Diode {
                    a: from,
                    b: to,
                    saturation_a,
                    slope_v: BODY_SLOPE,
                    series_ohm: 0.0,
                    leak_s: LEAK,
                },
            ));
        }
    }
    all
}
