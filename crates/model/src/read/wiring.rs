//! Wires, looms, cables, the shelf, and what was really built.

use super::landing::landing;
use super::names::Names;
use super::robot::Build;
use super::tree::Table;
use super::value::shown;
use super::view::{Gather, View};
use super::words;
use crate::element::ElementKind;
use crate::format::tables::AS_BUILT;
use crate::part_type::TerminalRole;
use crate::robot::*;
use crate::units::*;
use crate::wire::{Colour, EndKind, Insulation};
use std::collections::BTreeMap;

/// Reads looms, cables and wires.
pub fn read(
    root: &View<'_>,
    b: &mut Build,
    gather: &mut Gather<'_>,
) -> (Vec<Loom>, Vec<Cable>, Vec<Wire>) {
    let (looms, loom_names) = looms(root, b, gather);
    let (cables, cable_names) = cables(root, b, gather);
    let mut names = Names::default();
    let mut wires: Vec<(Wire, Option<Function>)> = Vec::new();
    for w in root.tables("wire") {
        let Some(name) = w.text("name") else { continue };
        names.add(name, wires.len(), w.span("name"), "wire", gather);
        b.stands(Subject::Wire(name.to_owned()), w.span("name"), gather);
        let loom = w.text("loom").and_then(|l| loom_names.resolve(l, w.span("loom"), "loom", gather));
        let cable =
            w.text("cable").and_then(|c| cable_names.resolve(c, w.span("cable"), "cable", gather));
        let from = w.text("from").and_then(|t| landing(t, w.span("from"), b, gather));
        let to = w.text("to").and_then(|t| landing(t, w.span("to"), b, gather));
        if from.is_some() && from == to {
            gather.say(w.span("to"), "This wire ends where it begins.", None);
        }
        let colour = w.text("colour").and_then(|c| colour(c, w.span("colour"), gather));
        let (end_from, end_to) = (end(&w, "end_from", gather), end(&w, "end_to", gather));
        let mut via = Vec::new();
        for (pass, span) in w.texts("via") {
            via.extend(b.pass_names.resolve(pass, span, "pass-through", gather).map(PassId));
        }
        let (Some(from), Some(to), Some(gauge)) = (from, to, w.size("size")) else { continue };
        let wire = Wire {
            name: name.to_owned(),
            from,
            to,
            gauge,
            insulation: w.text("insulation").and_then(words::insulation).unwrap_or(Insulation::Pvc105),
            colour,
            function: Function::Supply,
            loom: loom.map(LoomId),
            cable: cable.map(CableId),
            length: w.number("length").map(Millimetres),
            end_from,
            end_to,
            via,
            pins: pins(&w),
            slack: w.text("slack").and_then(words::slack),
            trim_from: w.flag("trim_from"),
            trim_to: w.flag("trim_to"),
        };
        wires.push((wire, w.text("function").and_then(words::function)));
    }
    (looms, cables, infer_functions(wires, b))
}

fn looms(root: &View<'_>, b: &mut Build, gather: &mut Gather<'_>) -> (Vec<Loom>, Names) {
    let (mut looms, mut names) = (Vec::new(), Names::default());
    for l in root.tables("loom") {
        let Some(name) = l.text("name") else { continue };
        names.add(name, looms.len(), l.span("name"), "loom", gather);
        b.stands(Subject::Loom(name.to_owned()), l.span("name"), gather);
        looms.push(Loom {
            name: name.to_owned(),
            note: l.text_or_empty("note"),
            pins: pins(&l),
            slack: l.text("slack").and_then(words::slack),
        });
    }
    (looms, names)
}

/// The corners that a wire or loom must run through.
fn pins(v: &View<'_>) -> Vec<Pin> {
    let pin =
        |p: &View<'_>| Some(Pin { face: p.text("face").and_then(words::face)?, at: p.point("at")? });
    v.tables("pins").iter().filter_map(pin).collect()
}

fn cables(root: &View<'_>, b: &mut Build, gather: &mut Gather<'_>) -> (Vec<Cable>, Names) {
    let (mut cables, mut names) = (Vec::new(), Names::default());
    for c in root.tables("cable") {
        let Some(name) = c.text("name") else { continue };
        names.add(name, cables.len(), c.span("name"), "cable", gather);
        b.stands(Subject::Cable(name.to_owned()), c.span("name"), gather);
        cables.push(Cable {
            name: name.to_owned(),
            kind: c.text("kind").and_then(words::cable_kind).unwrap_or(CableKind::MultiCore),
            outside: c.number("outside").map(Millimetres),
        });
    }
    (cables, names)
}

pub(super) fn colour(text: &str, span: &super::tree::Span, gather: &mut Gather<'_>) -> Option<Colour> {
    let colour = words::colour(text);
    if colour.is_none() {
        let names = crate::wire::BaseColour::ALL.map(|c| c.word());
        let help = match super::problem::nearest(text, names) {
            Some(near) => format!("Did you mean `{near}`?"),
            None => format!("Colours: {}; with a stripe `red/black`.", names.join(", ")),
        };
        gather.say(span, format!("`{}` is not a colour known here.", shown(text)), Some(help));
    }
    colour
}

fn end(w: &View<'_>, key: &str, gather: &mut Gather<'_>) -> Option<EndKind> {
    let text = w.text(key)?;
    let end = words::end_kind(text);
    if end.is_none() {
        gather.say(
            w.span(key),
            format!("`{}` is not a wire end known here.", shown(text)),
            Some(words::END_HELP.to_owned()),
        );
    }
    end
}

/// What a wire is for, where the file does not say: the more special of its two terminals' roles;
/// where both are passive (switches, fuses, plugs), what the metal it is joined to is for.
fn infer_functions(wires: Vec<(Wire, Option<Function>)>, b: &Build) -> Vec<Wire> {
    let mut metal = Metal::default();
    for part in &b.parts {
        let id = PartId(metal.parts);
        metal.parts += 1;
        for e in b.types.get(part.kind.0).into_iter().flat_map(|t| &t.elements) {
            let pairs: Vec<_> = match &e.kind {
                ElementKind::Switch(s) => vec![(s.a, s.b)],
                ElementKind::FuseWay(s) => vec![(s.a, s.b)],
                ElementKind::Protection(s) => vec![(s.a, s.b)],
                ElementKind::Resistor(s) => vec![(s.a, s.b)],
                ElementKind::Contactor(s) => vec![(s.a, s.b)],
                ElementKind::Diode(s) => vec![(s.anode, s.cathode)],
                ElementKind::SlipRing(s) => s.circuits.iter().map(|c| (c.a, c.b)).collect(),
                _ => Vec::new(),
            };
            for (x, y) in pairs {
                metal.join(Key::Node(id, x.0), Key::Node(id, y.0));
            }
        }
    }
    let role_of = |l: Landing| match l {
        Landing::Part { part, terminal } => {
            b.type_of(part).and_then(|t| t.terminals.get(terminal)).map(|t| t.role)
        }
        Landing::Plug { .. } => None,
    };
    let key_of = |l: Landing| match l {
        Landing::Part { part, terminal } => {
            let node =
                b.type_of(part).and_then(|t| t.terminals.get(terminal)).map_or(usize::MAX, |t| t.node.0);
            Key::Node(part, node)
        }
        Landing::Plug { plug, contact, .. } => Key::Contact(plug, contact),
    };
    for (w, _) in &wires {
        metal.join(key_of(w.from), key_of(w.to));
    }
    let special =
        |l: Landing| role_of(l).filter(|r| *r != TerminalRole::Passive).and_then(Function::of_role);
    let mut joined: BTreeMap<usize, Function> = BTreeMap::new();
    for (i, part) in b.parts.iter().enumerate() {
        let Some(t) = b.types.get(part.kind.0) else { continue };
        for terminal in &t.terminals {
            if let Some(f) = Function::of_role(terminal.role) {
                let root = metal.root(Key::Node(PartId(i), terminal.node.0));
                joined.entry(root).and_modify(|have| *have = of_metal(*have, f)).or_insert(f);
            }
        }
    }
    wires
        .into_iter()
        .map(|(mut w, stated)| {
            let own = special(w.from).into_iter().chain(special(w.to)).max();
            let around = joined.get(&metal.root(key_of(w.from))).copied();
            w.function = stated.or(own).or(around).unwrap_or(Function::Supply);
            w
        })
        .collect()
}

/// What a piece of metal is for whose terminals have two functions: the more special one, but a
/// signal's return that lands on a return of power does not make all of it a signal's.
fn of_metal(a: Function, b: Function) -> Function {
    match (a, b) {
        (Function::Return, Function::SignalReturn) | (Function::SignalReturn, Function::Return) => {
            Function::Return
        }
        _ => a.max(b),
    }
}

/// A piece of metal a wire may land on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Key {
    Node(PartId, usize),
    Contact(PlugId, u32),
}

/// Which pieces of metal are joined.
#[derive(Default)]
struct Metal {
    parts: usize,
    index: BTreeMap<Key, usize>,
    parent: Vec<usize>,
}

impl Metal {
    fn number(&mut self, key: Key) -> usize {
        let next = self.parent.len();
        let n = *self.index.entry(key).or_insert(next);
        if n == next {
            self.parent.push(n);
        }
        n
    }
    fn root(&mut self, key: Key) -> usize {
        let mut n = self.number(key);
        while self.parent[n] != n {
            self.parent[n] = self.parent[self.parent[n]];
            n = self.parent[n];
        }
        n
    }
    fn join(&mut self, a: Key, b: Key) {
        let (a, b) = (self.root(a), self.root(b));
        self.parent[a.max(b)] = a.min(b);
    }
}

/// The wire in the drawer.
pub fn shelf(root: &View<'_>, gather: &mut Gather<'_>) -> Shelf {
    let mut wires = Vec::new();
    for s in root.tables("shelf") {
        let mut colours = Vec::new();
        for (text, span) in s.texts("colours") {
            colours.extend(colour(text, span, gather));
        }
        let insulation = s.text("insulation").and_then(words::insulation).unwrap_or(Insulation::Pvc105);
        wires.extend(s.size("size").map(|gauge| ShelfWire { gauge, insulation, colours }));
    }
    Shelf { wires }
}

/// Lays what was really cut and fitted over the plan.
pub fn as_built(table: &Table, robot: &mut Robot, gather: &mut Gather<'_>) {
    let v = View::new(&AS_BUILT, table);
    let mut wires = Names::default();
    for (i, w) in robot.wires.iter().enumerate() {
        wires.add(&w.name, i, &table.span, "wire", &mut Gather::new(gather.sources));
    }
    for cut in v.tables("cut") {
        let (Some(name), Some(length)) = (cut.text("wire"), cut.number("length")) else { continue };
        if let Some(i) = wires.resolve(name, cut.span("wire"), "wire", gather) {
            robot.wires[i].length = Some(Millimetres(length));
        }
    }
    for fitted in v.tables("fitted") {
        let (Some(part), Some(way), Some(fuse)) =
            (fitted.text("part"), fitted.text("way"), fitted.text("fuse"))
        else {
            continue;
        };
        let Some(id) = robot.part(part) else {
            gather.say(fitted.span("part"), format!("There is no part called `{}`.", shown(part)), None);
            continue;
        };
        let form = robot.type_of(id).elements.iter().find_map(|e| match &e.kind {
            ElementKind::FuseWay(w) if e.name == way => Some(w.form.clone()),
            _ => None,
        });
        let Some(form) = form else {
            gather.say(
                fitted.span("way"),
                format!("There is no fuse way called `{}`.", shown(way)),
                None,
            );
            continue;
        };
        let kind = robot
            .types
            .iter()
            .position(|t| t.name == fuse && t.fuse.as_ref().is_some_and(|f| f.form == form));
        match kind {
            Some(t) => {
                robot.parts[id.0].fuses.insert(way.to_owned(), TypeId(t));
            }
            None => gather.say(
                fitted.span("fuse"),
                format!("There is no fuse called `{}` that fits this way.", shown(fuse)),
                None,
            ),
        }
    }
}
