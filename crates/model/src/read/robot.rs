//! The robot from its checked root table.

use super::board::{board, board_needed, zones};
use super::landing::PartOrPlug;
use super::names::{Names, same};
use super::own_types::{own_types, unused_own_types};
use super::parts::{fuse_choices, parts_and_plugs};
use super::tree::{Span, Table};
use super::types::part_type;
use super::value::shown;
use super::view::{Gather, View};
use super::{situations, wiring, words};
use crate::format::tables::ROOT;
use crate::library::LIBRARY;
use crate::part_type::PartType;
use crate::robot::*;
use crate::units::*;
use std::collections::BTreeMap;

/// What has been built so far; names are resolved against it.
#[derive(Debug, Default)]
pub struct Build {
    /// Part types in use.
    pub types: Vec<PartType>,
    pub(super) type_names: BTreeMap<String, Option<TypeId>>,
    pub(super) own_types: Vec<Table>,
    own_index: BTreeMap<String, usize>,
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
    pub(super) places_of: Vec<PartOrPlug>,
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
        if let Some(table) = self.own_index.get(key).and_then(|i| self.own_types.get(*i)) {
            return part_type(table, true, gather);
        }
        if let Some((_, table)) = LIBRARY.types.iter().find(|(n, _)| n == key) {
            let mut inner = Gather::new(&LIBRARY.sources);
            return part_type(table, false, &mut inner);
        }
        let own = self.own_types.iter().filter_map(name_of);
        let all = own.chain(LIBRARY.types.iter().map(|(n, _)| n.as_str()));
        let help = match super::problem::nearest(key, all) {
            Some(near) => format!("Did you mean `{near}`?"),
            None => "`loomdeck parts WORD` searches the library; your own types stand in `parts/`."
                .to_owned(),
        };
        gather.say_unresolved(
            span,
            format!("There is no part type called `{}`.", shown(key)),
            Some(help),
        );
        None
    }
}

pub(super) fn name_of(table: &Table) -> Option<&str> {
    table.get("name").map(super::elements::node_text).filter(|n| !n.is_empty())
}

/// Builds the robot. Mistakes are noted; the result only counts when there are none.
pub fn build(root: &Table, as_built: Option<&Table>, gather: &mut Gather<'_>) -> Option<Robot> {
    let v = View::new(&ROOT, root);
    let mut b = Build { own_types: own_types(&v, gather), ..Build::default() };
    for (i, t) in b.own_types.iter().enumerate() {
        if let Some(name) = name_of(t) {
            b.own_index.entry(same(name)).or_insert(i);
        }
    }
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
        body: body(&v),
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

fn body(v: &View<'_>) -> Option<Body> {
    let t = v.table("body")?;
    let number = |key, default| t.number(key).unwrap_or(default);
    let word = t.text("wall").unwrap_or("abs");
    let surface = t.number("surface")?;
    Some(Body {
        surface: SquareMetres(surface),
        wall: Wall::WORDS.iter().find(|(w, _)| *w == word).map_or(Wall::Abs, |(_, wall)| *wall),
        thickness: Millimetres(number("thickness", 3.0)),
        // Side of a cube that stands on the floor with this surface.
        height: Millimetres(number("height", 1000.0 * (surface / 5.0).sqrt())),
        shiny: t.flag("shiny"),
        vent_low: SquareMetres(number("vent_low", 0.0)),
        vent_high: SquareMetres(number("vent_high", 0.0)),
        vent_height: Millimetres(number("vent_height", 0.0)),
        fan: CubicMetresPerHour(number("fan", 0.0)),
        outside: Celsius(number("outside", 30.0)),
        sun: Watts(number("sun", 0.0)),
        mass: t.number("mass").map(Kilograms),
    })
}

fn motion(v: &View<'_>) -> Motion {
    let t = v.table("motion");
    Motion {
        mass: t.as_ref().and_then(|t| t.number("mass")).map(Kilograms),
        rolling_resistance: t.as_ref().and_then(|t| t.number("rolling_resistance")).unwrap_or(0.025),
        steepest: t.as_ref().and_then(|t| t.number("steepest")),
        radio_loss: t.as_ref().and_then(|t| t.text("radio_loss")).and_then(words::signal_loss),
        held: t.as_ref().and_then(|t| t.text("held")).and_then(words::held_by),
    }
}
