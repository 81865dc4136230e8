//! The robot from its checked root table.

use super::check_types;
use super::landing::PartOrPlug;
use super::names::{Names, same};
use super::outline::outline;
use super::tree::{Span, Table};
use super::types::{direction, extended, fixing, part_type};
use super::value::shown;
use super::view::{Gather, View, tables_of};
use super::{situations, wiring, words};
use crate::element::ElementKind;
use crate::format::tables::ROOT;
use crate::format::type_tables::TYPE;
use crate::geometry::{Face, Outline, Placement, Point};
use crate::library::LIBRARY;
use crate::part_type::{Exit, PartType};
use crate::robot::*;
use crate::units::*;
use std::collections::BTreeMap;

/// What has been built so far; names are resolved against it.
#[derive(Debug, Default)]
pub struct Build {
    /// Part types in use.
    pub types: Vec<PartType>,
    type_names: BTreeMap<String, Option<TypeId>>,
    own_types: Vec<Table>,
    /// Zones.
    pub zones: Vec<Zone>,
    /// Names of zones.
    pub zone_names: Names,
    /// Pass-throughs' names.
    pub pass_names: Names,
    /// Parts.
    pub parts: Vec<Part>,
    /// Plugs.
    pub plugs: Vec<Plug>,
    /// Names of parts and plugs; numbers count parts first (see [`Build::place_of`]).
    pub part_names: Names,
    places_of: Vec<PartOrPlug>,
    /// Where things stand.
    pub places: BTreeMap<Subject, SourcePlace>,
}

impl Build {
    /// The part or plug of a name.
    pub fn place_of(&self, name: &str) -> Option<PartOrPlug> {
        self.part_names.get(name).and_then(|i| self.places_of.get(i)).copied()
    }
    /// The type of a part.
    pub fn type_of(&self, part: PartId) -> Option<&PartType> {
        self.types.get(self.parts.get(part.0)?.kind.0)
    }
    /// A part by name; problems are noted.
    pub fn resolve_part(&self, name: &str, span: &Span, gather: &mut Gather<'_>) -> Option<PartId> {
        let n = self.part_names.resolve(name, span, "part", gather)?;
        match self.places_of.get(n)? {
            PartOrPlug::Part(id) => Some(*id),
            PartOrPlug::Plug(_) => {
                gather.say(span, format!("`{}` is a plug; a part is expected.", shown(name)), None);
                None
            }
        }
    }
    /// A plug by name; problems are noted.
    pub fn resolve_plug(&self, name: &str, span: &Span, gather: &mut Gather<'_>) -> Option<PlugId> {
        let n = self.part_names.resolve(name, span, "plug", gather)?;
        match self.places_of.get(n)? {
            PartOrPlug::Plug(id) => Some(*id),
            PartOrPlug::Part(_) => {
                gather.say(span, format!("`{}` is a part; a plug is expected.", shown(name)), None);
                None
            }
        }
    }
    /// Notes where a named thing stands.
    pub fn stands(&mut self, subject: Subject, span: &Span, gather: &Gather<'_>) {
        let (file, line) = (gather.sources.name(span).to_owned(), gather.sources.line(span));
        self.places.insert(subject, SourcePlace { file, line });
    }

    /// The type of that name, from the robot's own types or the library; built at first use.
    pub fn resolve_type(&mut self, name: &str, span: &Span, gather: &mut Gather<'_>) -> Option<TypeId> {
        let key = same(name);
        if let Some(known) = self.type_names.get(&key) {
            return *known;
        }
        let built = self.find_type(&key, span, gather);
        let id = built.map(|t| {
            self.types.push(t);
            TypeId(self.types.len() - 1)
        });
        self.type_names.insert(key, id);
        id
    }

    fn find_type(&self, key: &str, span: &Span, gather: &mut Gather<'_>) -> Option<PartType> {
        if let Some(table) = self.own_types.iter().find(|t| name_of(t).is_some_and(|n| same(n) == key)) {
            return part_type(table, true, gather);
        }
        if let Some((_, table)) = LIBRARY.types.iter().find(|(n, _)| n == key) {
            let mut inner = Gather { sources: &LIBRARY.sources, problems: Vec::new() };
            return part_type(table, false, &mut inner);
        }
        let own = self.own_types.iter().filter_map(name_of);
        let all = own.chain(LIBRARY.types.iter().map(|(n, _)| n.as_str()));
        let help = match super::problem::nearest(key, all) {
            Some(near) => format!("Did you mean `{near}`?"),
            None => "`loomdeck parts WORD` searches the library; your own types stand in `parts/`."
                .to_owned(),
        };
        gather.say(span, format!("There is no part type called `{}`.", shown(key)), Some(help));
        None
    }
}

fn name_of(table: &Table) -> Option<&str> {
    table.get("name").map(super::elements::node_text).filter(|n| !n.is_empty())
}

/// Builds the robot. Mistakes are noted; the result only counts when there are none.
pub fn build(root: &Table, as_built: Option<&Table>, gather: &mut Gather<'_>) -> Option<Robot> {
    let v = View::new(&ROOT, root);
    let mut b = Build { own_types: own_types(&v, gather), ..Build::default() };
    unused_own_types(&mut b, gather);
    let board = v.table("board").and_then(|t| board(&t, &v, &mut b, gather));
    zones(&v, &mut b, gather);
    parts_and_plugs(&v, &mut b, gather);
    if board.is_none() && !v.has("board") {
        board_needed(&v, gather);
    }
    fuse_choices(&mut b, gather);
    let (looms, cables, wires) = wiring::read(&v, &mut b, gather);
    let situations = situations::read(&v, &mut b, gather);
    let day = situations::day(&v, &situations, gather);
    let head = v.table("robot")?;
    let mut robot = Robot {
        name: head.text_or_empty("name"),
        about: head.text_or_empty("about"),
        book: book(&v),
        limits: limits(&v),
        motion: motion(&v),
        zones: b.zones,
        board,
        types: b.types,
        parts: b.parts,
        plugs: b.plugs,
        wires,
        looms,
        cables,
        situations,
        day,
        shelf: wiring::shelf(&v, gather),
        places: b.places,
    };
    if let Some(table) = as_built {
        wiring::as_built(table, &mut robot, gather);
    }
    Some(robot)
}

/// The robot's own types with what they extend laid under them; cycles are noted.
fn own_types(v: &View<'_>, gather: &mut Gather<'_>) -> Vec<Table> {
    let Some((list, _)) = v.node("type") else { return Vec::new() };
    let raw: Vec<&Table> = tables_of(list).collect();
    let mut names = Names::default();
    for (i, t) in raw.iter().enumerate() {
        if let (Some(name), Some(node)) = (name_of(t), t.get("name")) {
            names.add(name, i, &node.span, "part type", gather);
        }
    }
    let mut full = Vec::new();
    for table in &raw {
        if let Some(t) = extend(table, &raw, gather) {
            full.push(t);
        }
    }
    full
}

fn extend(table: &Table, raw: &[&Table], gather: &mut Gather<'_>) -> Option<Table> {
    let mut chain: Vec<&Table> = vec![table];
    let mut bottom = None;
    loop {
        let top = chain[chain.len() - 1];
        let Some(node) = top.get("extends") else { break };
        let wanted = same(super::elements::node_text(node));
        // A type may extend the library's type of its own name.
        let own = raw.iter().find(|t| {
            name_of(t).is_some_and(|n| same(n) == wanted)
                && name_of(top).is_none_or(|n| same(n) != wanted)
        });
        if let Some(next) = own {
            if chain.iter().any(|t| std::ptr::eq(*t, *next)) {
                gather.say(
                    &node.span,
                    format!("`{}` extends itself in a circle.", shown(&wanted)),
                    None,
                );
                return None;
            }
            chain.push(next);
            continue;
        }
        match LIBRARY.types.iter().find(|(n, _)| *n == wanted) {
            Some((_, t)) => bottom = Some(relocated(t, &node.span)),
            None => {
                let near =
                    super::problem::nearest(&wanted, LIBRARY.types.iter().map(|(n, _)| n.as_str()));
                let help = near.map(|n| format!("Did you mean `{n}`?"));
                gather.say(
                    &node.span,
                    format!("There is no part type called `{}`.", shown(&wanted)),
                    help,
                );
                return None;
            }
        }
        break;
    }
    let mut result = match bottom {
        Some(b) => extended(&b, chain.pop()?),
        None => chain.pop()?.clone(),
    };
    while let Some(over) = chain.pop() {
        result = extended(&result, over);
    }
    Some(result)
}

/// A library table whose places point at the line that extends it: the library's own places mean
/// nothing in the robot's files.
fn relocated(table: &Table, span: &Span) -> Table {
    use super::tree::{Node, Value};
    fn node(n: &Node, span: &Span) -> Node {
        let value = match &n.value {
            Value::List(items) => Value::List(items.iter().map(|i| node(i, span)).collect()),
            Value::Table(t) => Value::Table(relocated(t, span)),
            other => other.clone(),
        };
        Node { value, span: span.clone() }
    }
    Table {
        entries: table
            .entries
            .iter()
            .map(|(k, _, n)| (k.clone(), span.clone(), node(n, span)))
            .collect(),
        span: span.clone(),
    }
}

/// Types nobody uses are read all the same, so that their mistakes come to light.
fn unused_own_types(b: &mut Build, gather: &mut Gather<'_>) {
    let tables = b.own_types.clone();
    let laid_over: Vec<Table> = tables.iter().filter(|t| t.get("extends").is_some()).cloned().collect();
    check_types(&laid_over, gather);
    for table in &tables {
        let v = View::new(&TYPE, table);
        if let Some(name) = v.text("name") {
            let span = v.span("name").clone();
            b.resolve_type(name, &span, gather);
            b.stands(Subject::Type(name.to_owned()), &span, gather);
        }
    }
}

fn book(v: &View<'_>) -> BookChoice {
    let t = v.table("book");
    let word = |key| t.as_ref().and_then(|t| t.text(key));
    BookChoice {
        paper: if word("paper") == Some("letter") { Paper::Letter } else { Paper::A4 },
        unit: if word("unit") == Some("inch") { LengthUnit::Inch } else { LengthUnit::Mm },
    }
}

fn limits(v: &View<'_>) -> Limits {
    let t = v.table("limits");
    let number = |key, default| t.as_ref().and_then(|t| t.number(key)).unwrap_or(default);
    Limits {
        ambient: Celsius(number("ambient", 40.0)),
        drop_power: number("drop_power", 0.05),
        drop_quiet: number("drop_quiet", 0.03),
        stall: Seconds(number("stall", 2.0)),
        fuse_continuous: number("fuse_continuous", 0.75),
        spare: number("spare", 0.2),
        web: Millimetres(number("web", 3.0)),
        edge: Millimetres(number("edge", 3.0)),
        gap: Millimetres(number("gap", 2.0)),
        push_speed: MetresPerSecond(number("push_speed", 2.0)),
        service_slack: Millimetres(number("service_slack", 40.0)),
    }
}

fn motion(v: &View<'_>) -> Motion {
    let t = v.table("motion");
    Motion {
        mass: t.as_ref().and_then(|t| t.number("mass")).map(Kilograms),
        rolling_resistance: t.as_ref().and_then(|t| t.number("rolling_resistance")).unwrap_or(0.025),
    }
}

/// An outline from a field, with mistakes noted.
fn outline_at(v: &View<'_>, key: &str, gather: &mut Gather<'_>) -> Option<Outline> {
    match outline(v.points(key)?) {
        Ok(o) => Some(o),
        Err(why) => {
            gather.say(v.span(key), why, None);
            None
        }
    }
}

fn board(t: &View<'_>, root: &View<'_>, b: &mut Build, gather: &mut Gather<'_>) -> Option<Board> {
    b.stands(Subject::Board, &t.table.span, gather);
    let passes = passes(root, b, gather);
    let mounts = mounts(root, b, gather);
    let keep_outs = keep_outs(root, b, gather);
    let outline = match (t.extent("size"), t.has("outline")) {
        (Some((w, h)), false) => Some(Outline::rectangle(Point::default(), w, h)),
        (None, true) => outline_at(t, "outline", gather),
        (Some(_), true) => {
            gather.say(
                &t.table.span,
                "The board has both `size` and `outline`; one of them is enough.",
                None,
            );
            None
        }
        (None, false) => {
            if !t.has("size") {
                gather.say(&t.table.span, "The board has neither `size_mm` nor `outline_mm`.", None);
            }
            None
        }
    }?;
    let (low, _) = outline.bounds();
    Some(Board {
        datum: t.point("datum").unwrap_or(low),
        outline,
        thickness: Millimetres(t.number("thickness")?),
        material: words::material(t.text("material")?)?,
        depth_front: Millimetres(t.number("depth_front")?),
        depth_back: Millimetres(t.number("depth_back")?),
        passes,
        mounts,
        keep_outs,
    })
}

fn passes(root: &View<'_>, b: &mut Build, gather: &mut Gather<'_>) -> Vec<Pass> {
    let mut passes = Vec::new();
    for p in root.tables("pass") {
        let Some(name) = p.text("name") else { continue };
        b.pass_names.add(name, passes.len(), p.span("name"), "pass-through", gather);
        b.stands(Subject::Pass(name.to_owned()), p.span("name"), gather);
        let shape = match (p.number("diameter"), p.number("length"), p.number("width")) {
            (Some(d), None, None) => Some(PassShape::Round(Millimetres(d))),
            (None, Some(l), Some(w)) if l >= w => Some(PassShape::Slot {
                length: Millimetres(l),
                width: Millimetres(w),
                turn: Degrees(p.number("turn").unwrap_or(0.0)),
            }),
            (None, Some(_), Some(_)) => {
                gather.say(p.span("length"), "A slot must be at least as long as it is wide.", None);
                None
            }
            _ => {
                let help =
                    "Give `diameter_mm` for a round one, or `length_mm` and `width_mm` for a slot."
                        .to_owned();
                gather.say(&p.table.span, "The size of this pass-through is not clear.", Some(help));
                None
            }
        };
        // A refused one still takes its number, so that names keep meaning what they say.
        passes.push(Pass {
            name: name.to_owned(),
            at: p.point("at").unwrap_or_default(),
            shape: shape.unwrap_or(PassShape::Round(Millimetres(1.0))),
            grommet: p.flag("grommet"),
        });
    }
    passes
}

fn mounts(root: &View<'_>, b: &mut Build, gather: &mut Gather<'_>) -> Vec<BoardMount> {
    let mut names = Names::default();
    let mut mounts = Vec::new();
    for m in root.tables("mount") {
        let (Some(name), Some(at), Some(thread)) =
            (m.text("name"), m.point("at"), m.text("thread").and_then(words::thread))
        else {
            continue;
        };
        names.add(name, mounts.len(), m.span("name"), "mount", gather);
        b.stands(Subject::BoardMount(name.to_owned()), m.span("name"), gather);
        let clear = m.number("clear").map_or(thread.major() * 3.0, Millimetres);
        mounts.push(BoardMount { name: name.to_owned(), at, thread, clear });
    }
    mounts
}

fn keep_outs(root: &View<'_>, b: &mut Build, gather: &mut Gather<'_>) -> Vec<KeepOut> {
    let mut names = Names::default();
    let mut regions = Vec::new();
    for k in root.tables("keep_out") {
        let Some(name) = k.text("name") else { continue };
        names.add(name, regions.len(), k.span("name"), "keep-out", gather);
        b.stands(Subject::KeepOut(name.to_owned()), k.span("name"), gather);
        let outline = match (k.has("outline"), k.point("at"), k.extent("size")) {
            (true, None, None) => outline_at(&k, "outline", gather),
            (false, Some(at), Some((w, h))) => Some(Outline::rectangle(at, w, h)),
            _ => {
                let help = "Give `outline_mm`, or `at_mm` and `size_mm`.".to_owned();
                gather.say(&k.table.span, "Where this keep-out lies is not clear.", Some(help));
                None
            }
        };
        if let Some(outline) = outline {
            regions.push(KeepOut {
                name: name.to_owned(),
                face: k.text("face").and_then(words::face),
                outline,
                above: Millimetres(k.number("above").unwrap_or(0.0)),
                wires_may_cross: k.flag("wires_may_cross"),
            });
        }
    }
    regions
}

fn zones(root: &View<'_>, b: &mut Build, gather: &mut Gather<'_>) {
    for z in root.tables("zone") {
        let Some(name) = z.text("name") else { continue };
        b.zone_names.add(name, b.zones.len(), z.span("name"), "zone", gather);
        b.stands(Subject::Zone(name.to_owned()), z.span("name"), gather);
        b.zones.push(Zone {
            name: name.to_owned(),
            path: z.number("path").map(Millimetres),
            allowance: Millimetres(z.number("allowance").unwrap_or(0.0)),
            lead: Millimetres(z.number("lead").unwrap_or(150.0)),
            exit: z.point("exit"),
            ambient: z.number("ambient").map(Celsius),
        });
    }
}

/// All names first, so that a refused part does not make its wires look wrong too.
fn parts_and_plugs(root: &View<'_>, b: &mut Build, gather: &mut Gather<'_>) {
    for p in root.tables("part") {
        let Some(name) = p.text("name") else { continue };
        let number = b.places_of.len();
        b.part_names.add(name, number, p.span("name"), "part or plug", gather);
        b.stands(Subject::Part(name.to_owned()), p.span("name"), gather);
        let Some(kind) = p.text("type").and_then(|t| b.resolve_type(t, p.span("type"), gather)) else {
            // Keeps the name known; its wires are then not reported as well.
            b.places_of.push(PartOrPlug::Part(PartId(usize::MAX)));
            continue;
        };
        if b.types[kind.0].plug_family.is_some() {
            gather.say(
                p.span("type"),
                "This type is a family of plugs; it goes into a `[[plug]]`.",
                None,
            );
        }
        if b.types[kind.0].fuse.is_some() {
            let help = "Name it in the `fuses` of the part that holds it.".to_owned();
            gather.say(p.span("type"), "This type is a fuse; it goes into a fuse way.", Some(help));
        }
        let place = place(&p, b, gather);
        let base = b.types[kind.0].fixing.clone();
        let fixing = p.table("fixing").map_or_else(|| base.clone(), |f| fixing(&f, &base));
        let fuses = fuses(&p, kind, b, gather);
        b.places_of.push(PartOrPlug::Part(PartId(b.parts.len())));
        b.parts.push(Part {
            name: name.to_owned(),
            kind,
            place,
            fixing,
            fuses,
            note: p.text_or_empty("note"),
        });
    }
    for p in root.tables("plug") {
        plug(&p, b, gather);
    }
}

fn place(p: &View<'_>, b: &Build, gather: &mut Gather<'_>) -> Place {
    let on_board = p.has("face") || p.has("at") || p.has("turn");
    let nowhere = Place::Zone { zone: ZoneId(0), lead: None };
    if on_board && p.has("zone") {
        gather.say(p.span("zone"), "This part is said to be both on the board and in a zone.", None);
        return nowhere;
    }
    if let Some(zone) = p.text("zone") {
        let zone = b.zone_names.resolve(zone, p.span("zone"), "zone", gather).unwrap_or(0);
        return Place::Zone { zone: ZoneId(zone), lead: p.number("lead").map(Millimetres) };
    }
    match (p.text("face").and_then(words::face), p.point("at")) {
        (Some(face), Some(at)) => Place::Board(placement(p, face, at)),
        _ => {
            if !(p.has("face") && p.has("at")) {
                let help = "Give `face` and `at_mm` for a part on the board, or `zone`.".to_owned();
                gather.say(&p.table.span, "Where this part sits is not said.", Some(help));
            }
            nowhere
        }
    }
}

fn placement(p: &View<'_>, face: Face, at: Point) -> Placement {
    Placement { face, at, turn: Degrees(p.number("turn").unwrap_or(0.0).rem_euclid(360.0)) }
}

fn fuses(
    p: &View<'_>,
    kind: TypeId,
    b: &mut Build,
    gather: &mut Gather<'_>,
) -> BTreeMap<String, TypeId> {
    let mut fuses = BTreeMap::new();
    for (way, span, node) in p.entries("fuses") {
        let ways: Vec<(String, String)> = b.types[kind.0]
            .elements
            .iter()
            .filter_map(|e| match &e.kind {
                ElementKind::FuseWay(w) => Some((e.name.clone(), w.form.clone())),
                _ => None,
            })
            .collect();
        let Some((_, form)) = ways.iter().find(|(n, _)| same(n) == same(way)) else {
            let names: Vec<&str> = ways.iter().map(|(n, _)| n.as_str()).collect();
            let help = if names.is_empty() {
                "This part has no fuse ways.".to_owned()
            } else {
                format!("Its ways: {}.", names.join(", "))
            };
            gather.say(span, format!("There is no fuse way called `{}`.", shown(way)), Some(help));
            continue;
        };
        let Some(fuse) = b.resolve_type(super::elements::node_text(node), &node.span, gather) else {
            continue;
        };
        match &b.types[fuse.0].fuse {
            Some(f) if f.form == *form => {
                fuses.insert(way.clone(), fuse);
            }
            Some(f) => gather.say(
                &node.span,
                format!("A fuse of form `{}` does not go into this way, which takes `{form}`.", f.form),
                None,
            ),
            None => gather.say(&node.span, format!("`{}` is not a fuse.", b.types[fuse.0].name), None),
        }
    }
    fuses
}

fn plug(p: &View<'_>, b: &mut Build, gather: &mut Gather<'_>) {
    let Some(name) = p.text("name") else { return };
    let number = b.places_of.len();
    b.part_names.add(name, number, p.span("name"), "part or plug", gather);
    b.stands(Subject::Plug(name.to_owned()), p.span("name"), gather);
    let family = p.text("family").and_then(|f| b.resolve_type(f, p.span("family"), gather));
    let zone = p.text("zone").and_then(|z| b.zone_names.resolve(z, p.span("zone"), "zone", gather));
    let place = match (p.text("face").and_then(words::face), p.point("at"), p.number("tail")) {
        (Some(face), Some(at), Some(tail)) => {
            Some(PlugPlace::Tail { face, at, length: Millimetres(tail) })
        }
        (Some(face), Some(at), None) => Some(PlugPlace::Fixed(placement(p, face, at))),
        _ => None,
    };
    if let Some(f) = family.filter(|f| b.types[f.0].plug_family.is_none()) {
        gather.say(p.span("family"), format!("`{}` is not a family of plugs.", b.types[f.0].name), None);
    }
    match (family, zone, place) {
        (Some(family), Some(zone), Some(place)) => {
            b.places_of.push(PartOrPlug::Plug(PlugId(b.plugs.len())));
            let note = p.text_or_empty("note");
            b.plugs.push(Plug { name: name.to_owned(), family, zone: ZoneId(zone), place, note });
        }
        _ => b.places_of.push(PartOrPlug::Plug(PlugId(usize::MAX))),
    }
}

fn board_needed(v: &View<'_>, gather: &mut Gather<'_>) {
    let first = v.tables("part").into_iter().find(|p| p.has("face"));
    let first = first.or_else(|| v.tables("plug").into_iter().next());
    for key in ["pass", "mount", "keep_out"] {
        if let Some((_, span, _)) = v.table.entries.iter().find(|(k, ..)| k == key) {
            gather.say(span, format!("There is a `{key}` but no `[board]`."), None);
        }
    }
    if let Some(p) = first {
        let help = "Describe the board in a `[board]` table.".to_owned();
        gather.say(&p.table.span, "This sits on the board, but there is no `[board]`.", Some(help));
    }
}

/// Brings in every fuse type of the forms in use, so that remedies can choose among them.
fn fuse_choices(b: &mut Build, gather: &mut Gather<'_>) {
    let forms: Vec<String> = b
        .parts
        .iter()
        .filter_map(|p| b.types.get(p.kind.0))
        .flat_map(|t| &t.elements)
        .filter_map(|e| match &e.kind {
            ElementKind::FuseWay(w) => Some(w.form.clone()),
            _ => None,
        })
        .collect();
    for (name, table) in &LIBRARY.types {
        let form = View::new(&TYPE, table).table("fuse").and_then(|f| f.text("form").map(str::to_owned));
        if form.is_some_and(|f| forms.contains(&f)) {
            let nowhere = Span { file: 0, bytes: 0..0 };
            b.resolve_type(name, &nowhere, gather);
        }
    }
}

/// A direction word, for those who build robots in code.
pub fn exit_of(word: &str) -> Option<Exit> {
    direction(word)
}
