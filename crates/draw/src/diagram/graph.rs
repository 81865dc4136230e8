//! The graph behind the diagram: parts and plugs joined by supplies and motor wires.

use super::symbols::Symbol;
use crate::text;
use loomdeck_model::element::ElementKind;
use loomdeck_model::part_type::TerminalRole;
use loomdeck_model::units::Amperes;
use loomdeck_model::wire::Colour;
use loomdeck_model::{Function, Half, Landing, PartId, PartType, PlugId, Robot, WireId};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// What the diagram is drawn from.
pub struct Given<'a> {
    /// The robot.
    pub robot: &'a Robot,
    /// Per wire: the largest heating current in any situation.
    pub currents: Vec<Option<Amperes>>,
    /// Per wire: its colour.
    pub colours: Vec<Colour>,
}

/// A box of the diagram.
#[derive(Clone, Debug)]
pub struct Node {
    /// Name of the part or plug.
    pub thing: String,
    /// Its name, cut into lines.
    pub name: Vec<String>,
    /// Facts under the name.
    pub facts: Vec<String>,
    /// Its symbol.
    pub symbol: Symbol,
    /// A return wire lands on it.
    pub returns: bool,
    /// Where lines come in.
    pub left: Vec<Port>,
    /// Where lines go out.
    pub right: Vec<Port>,
    /// A source: it stands in the first layer.
    pub source: bool,
}

impl Node {
    /// It is a part: neither a plug nor a flag.
    pub fn is_part(&self) -> bool {
        !matches!(self.symbol, Symbol::Flag | Symbol::Plug)
    }
    /// It only tells where a line goes on.
    pub fn is_flag(&self) -> bool {
        self.symbol == Symbol::Flag
    }
}

/// A place on the side of a box.
#[derive(Clone, Debug, PartialEq)]
pub struct Port {
    /// Name of the terminal; empty when there is nothing to tell apart.
    pub name: String,
    /// Rating of the fuse behind it.
    pub fuse: Option<String>,
}

/// A line from one box to another.
#[derive(Clone, Debug)]
pub struct Link {
    /// Box and port it leaves.
    pub from: (usize, usize),
    /// Box and port it reaches.
    pub to: (usize, usize),
    /// Written above the line: number and size of its wires.
    pub size: String,
    /// Written below it: largest current.
    pub current: String,
    /// Colour of the first of its wires.
    pub colour: Colour,
    /// Names of its wires.
    pub wires: Vec<String>,
}

/// Boxes and lines.
#[derive(Clone, Debug, Default)]
pub struct Graph {
    /// Boxes.
    pub nodes: Vec<Node>,
    /// Lines, from the side of the battery to the side of the load.
    pub links: Vec<Link>,
}

/// Width of a box without its port names, mm.
pub const BOX: f64 = 36.0;
/// Size of type: capitals of 3 mm.
pub const SIZE: f64 = 3.0 / text::CAPITAL;

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Thing {
    Part(PartId),
    Plug(PlugId),
}

fn thing(landing: Landing) -> Thing {
    match landing {
        Landing::Part { part, .. } => Thing::Part(part),
        Landing::Plug { plug, .. } => Thing::Plug(plug),
    }
}

fn role(robot: &Robot, landing: Landing) -> Option<TerminalRole> {
    match landing {
        Landing::Part { part, terminal } => Some(robot.type_of(part).terminals[terminal].role),
        Landing::Plug { .. } => None,
    }
}

/// A plain supply or motor wire, or the link between two batteries in series.
pub(super) fn is_drawn(robot: &Robot, wire: WireId) -> bool {
    let w = &robot.wires[wire.0];
    let battery = |l: Landing| match l {
        Landing::Part { part, .. } => is_battery(robot.type_of(part)),
        Landing::Plug { .. } => false,
    };
    let series = battery(w.from) && battery(w.to) && role(robot, w.from) != role(robot, w.to);
    series || matches!(w.function, Function::Supply | Function::Motor)
}

pub(super) fn is_battery(kind: &PartType) -> bool {
    kind.elements.iter().any(|e| matches!(e.kind, ElementKind::Battery(_)))
}

impl Graph {
    /// Builds the graph of a robot.
    pub fn of(given: &Given<'_>) -> Self {
        let robot = given.robot;
        let drawn: Vec<WireId> =
            (0..robot.wires.len()).map(WireId).filter(|w| is_drawn(robot, *w)).collect();
        let mut things: Vec<Thing> = Vec::new();
        let mut index: BTreeMap<Thing, usize> = BTreeMap::new();
        let ends = drawn.iter().flat_map(|w| [robot.wires[w.0].from, robot.wires[w.0].to]);
        let mut seen: Vec<Thing> = ends.map(thing).collect();
        seen.sort_unstable();
        seen.dedup();
        for t in seen {
            index.insert(t, things.len());
            things.push(t);
        }
        let mut graph =
            Self { nodes: things.iter().map(|t| node(robot, *t)).collect(), links: Vec::new() };
        let far = distances(robot, &things, &index, &drawn);
        graph.link(given, &index, &drawn, &far);
        graph
    }

    fn link(
        &mut self,
        given: &Given<'_>,
        index: &BTreeMap<Thing, usize>,
        drawn: &[WireId],
        far: &[usize],
    ) {
        let robot = given.robot;
        let mut groups: BTreeMap<(usize, usize, String, String), Vec<WireId>> = BTreeMap::new();
        for id in drawn {
            let w = &robot.wires[id.0];
            let (a, b) = (index[&thing(w.from)], index[&thing(w.to)]);
            if a == b {
                continue;
            }
            let forward = (far[a], a) <= (far[b], b);
            let (from, to, out, into) =
                if forward { (a, b, w.from, w.to) } else { (b, a, w.to, w.from) };
            // Both wires of a motor are one line; supplies keep the terminal they come from.
            let (out, into) = match w.function {
                Function::Motor => (channel(robot, out), String::new()),
                _ => (net(robot, out), net(robot, into)),
            };
            groups.entry((from, to, out, into)).or_default().push(*id);
        }
        for ((from, to, out, into), wires) in groups {
            let fuse = wires.first().and_then(|w| {
                let w = &robot.wires[w.0];
                fuse_at(robot, w.from).or_else(|| fuse_at(robot, w.to))
            });
            let from_port = port(&mut self.nodes[from].right, &out, fuse);
            // A port for every line that arrives, even where they meet in one terminal: each brings
            // its own label.
            self.nodes[to].left.push(Port { name: into, fuse: None });
            let to_port = self.nodes[to].left.len() - 1;
            self.links.push(Link {
                from: (from, from_port),
                to: (to, to_port),
                size: sizes(robot, &wires),
                current: largest(given, &wires),
                colour: given.colours[wires[0].0],
                wires: wires.iter().map(|w| robot.wires[w.0].name.clone()).collect(),
            });
        }
        for node in &mut self.nodes {
            // One port on a side needs no name, unless a fuse sits behind it.
            for side in [&mut node.left, &mut node.right] {
                if side.len() == 1 {
                    side[0].name.clear();
                }
            }
        }
    }
}

fn port(side: &mut Vec<Port>, name: &str, fuse: Option<String>) -> usize {
    if let Some(at) = side.iter().position(|p| p.name == name) {
        return at;
    }
    side.push(Port { name: name.to_owned(), fuse });
    side.len() - 1
}

/// Name of the metal a landing belongs to: terminals that share a node share a port.
fn net(robot: &Robot, landing: Landing) -> String {
    match landing {
        Landing::Part { part, terminal } => {
            let kind = robot.type_of(part);
            let node = kind.terminals[terminal].node;
            kind.nodes.get(node.0).cloned().unwrap_or_else(|| kind.terminals[terminal].name.clone())
        }
        Landing::Plug { contact, .. } => contact.to_string(),
    }
}

/// Channel of a driver that a motor wire leaves from, or the plug's contact pair as one.
fn channel(robot: &Robot, landing: Landing) -> String {
    let Landing::Part { part, terminal } = landing else { return "motor".to_owned() };
    let kind = robot.type_of(part);
    let node = kind.terminals[terminal].node;
    for element in &kind.elements {
        if let ElementKind::Driver(d) = &element.kind
            && let Some(c) = d.channels.iter().find(|c| c.a == node || c.b == node)
        {
            return c.name.clone();
        }
    }
    "motor".to_owned()
}

/// Rating of the fuse between a part's feed and this terminal.
pub(super) fn fuse_at(robot: &Robot, landing: Landing) -> Option<String> {
    let Landing::Part { part, terminal } = landing else { return None };
    let kind = robot.type_of(part);
    let node = kind.terminals[terminal].node;
    let ways = kind.elements.iter().filter_map(|e| match &e.kind {
        ElementKind::FuseWay(way) if way.b == node => Some(e.name.clone()),
        _ => None,
    });
    let name = ways.into_iter().next()?;
    let fuse = robot.parts[part.0].fuses.get(&name);
    let rating = fuse.and_then(|t| robot.types[t.0].fuse.as_ref()).map(|f| f.rating);
    Some(rating.map_or_else(|| "no fuse".to_owned(), |r| r.to_string()))
}

pub(super) fn sizes(robot: &Robot, wires: &[WireId]) -> String {
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for w in wires {
        *counts.entry(robot.wires[w.0].gauge.to_string()).or_default() += 1;
    }
    let each = counts.into_iter().map(|(size, n)| if n > 1 { format!("{n} × {size}") } else { size });
    each.collect::<Vec<_>>().join(", ")
}

pub(super) fn largest(given: &Given<'_>, wires: &[WireId]) -> String {
    let each = wires.iter().filter_map(|w| given.currents.get(w.0).copied().flatten());
    let most = each.map(|a| a.0.abs()).fold(None, |m: Option<f64>, a| Some(m.map_or(a, |m| m.max(a))));
    most.map_or_else(String::new, |a| Amperes(if a < 0.0005 { 0.0 } else { a }).to_string())
}

/// Steps from the nearest battery, along wires; what no battery reaches starts anew.
fn distances(
    robot: &Robot,
    things: &[Thing],
    index: &BTreeMap<Thing, usize>,
    drawn: &[WireId],
) -> Vec<usize> {
    let mut next: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); things.len()];
    for id in drawn {
        let w = &robot.wires[id.0];
        let (a, b) = (index[&thing(w.from)], index[&thing(w.to)]);
        next[a].insert(b);
        next[b].insert(a);
    }
    let mut far = vec![usize::MAX; things.len()];
    let battery = |t: &Thing| matches!(t, Thing::Part(p) if is_battery(robot.type_of(*p)));
    let starts: Vec<usize> = (0..things.len()).filter(|i| battery(&things[*i])).collect();
    flood(&next, &mut far, &starts);
    while let Some(i) = far.iter().position(|f| *f == usize::MAX) {
        flood(&next, &mut far, &[i]);
    }
    far
}

fn flood(next: &[BTreeSet<usize>], far: &mut [usize], starts: &[usize]) {
    let mut queue: VecDeque<usize> = starts.iter().copied().collect();
    for s in starts {
        far[*s] = 0;
    }
    while let Some(i) = queue.pop_front() {
        for j in &next[i] {
            if far[*j] == usize::MAX {
                far[*j] = far[i] + 1;
                queue.push_back(*j);
            }
        }
    }
}

fn node(robot: &Robot, thing: Thing) -> Node {
    let room = BOX - 12.0;
    match thing {
        Thing::Part(id) => {
            let kind = robot.type_of(id);
            let returns = robot.wires.iter().any(|w| {
                matches!(w.function, Function::Return)
                    && [w.from, w.to]
                        .iter()
                        .any(|l| matches!(l, Landing::Part { part, .. } if *part == id))
            });
            Node {
                thing: robot.parts[id.0].name.clone(),
                name: text::wrap_or_cut(&robot.parts[id.0].name, SIZE, room, 3),
                facts: facts(robot, id),
                symbol: Symbol::of(kind),
                returns,
                left: Vec::new(),
                right: Vec::new(),
                source: is_battery(kind),
            }
        }
        Thing::Plug(id) => Node {
            thing: robot.plugs[id.0].name.clone(),
            name: text::wrap_or_cut(&robot.plugs[id.0].name, SIZE, room, 3),
            facts: Vec::new(),
            symbol: Symbol::Plug,
            returns: robot.wires.iter().any(|w| {
                w.function == Function::Return
                    && [w.from, w.to].iter().any(
                        |l| matches!(l, Landing::Plug { plug, half: Half::Board, .. } if *plug == id),
                    )
            }),
            left: Vec::new(),
            right: Vec::new(),
            source: false,
        },
    }
}

/// The one or two numbers that tell such a part from its like.
pub(super) fn facts(robot: &Robot, id: PartId) -> Vec<String> {
    let kind = robot.type_of(id);
    let mut all = Vec::new();
    for element in &kind.elements {
        match &element.kind {
            ElementKind::Battery(b) => all.push(b.capacity.to_string()),
            ElementKind::Converter(c) => {
                all.push(c.output.to_string());
                all.push(format!("up to {}", c.limit));
            }
            ElementKind::Switch(s) => all.push(s.rating.to_string()),
            ElementKind::Contactor(c) => all.push(c.rating.to_string()),
            ElementKind::Bus(b) => all.push(b.rating.to_string()),
            ElementKind::Motor(m) => all.push(m.nominal.to_string()),
            ElementKind::Driver(d) => all.push(format!("{} each", d.continuous)),
            ElementKind::Resistor(r) => all.push(r.ohms.to_string()),
            ElementKind::Diode(d) => all.push(d.rating.to_string()),
            ElementKind::FuseWay(w) if kind.elements.len() == 1 => {
                let fuse = robot.parts[id.0].fuses.get(&element.name);
                let rating = fuse.and_then(|t| robot.types[t.0].fuse.as_ref()).map(|f| f.rating);
                all.push(rating.map_or_else(|| "no fuse".to_owned(), |r| r.to_string()));
            }
            _ => {}
        }
    }
    all.dedup();
    all.truncate(2);
    all.iter().map(|f| text::cut_if_longer(f, SIZE, BOX - 12.0)).collect()
}
