//! Other types from the library that could stand in a part's place.

use super::{All, help};
use crate::fuse::reach::Metal;
use loomdeck_model::element::{
    Battery, Charger, Contactor, Converter, Driver, ElementKind, FuseWay, Switch,
};
use loomdeck_model::library;
use loomdeck_model::part_type::PartType;
use loomdeck_model::{Edit, EditValue, Landing, PartId, Remedy};
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// The kinds of parts for which another type may be offered, each with its types of the library.
static SHELF: LazyLock<BTreeMap<&'static str, Vec<PartType>>> = LazyLock::new(|| {
    ["battery", "charger", "contactor", "converter", "driver", "fuse-way", "switch"]
        .into_iter()
        .map(|kind| (kind, library::with_element(kind)))
        .collect()
});

/// The type of the library that suits best in a part's place: `worth` says how well a type suits (least
/// is best) or that it does not. Only types on which every wire of the part finds its terminal, and
/// every fuse its way, are looked at.
pub fn instead(
    all: &All<'_>,
    part: PartId,
    worth: impl Fn(&PartType) -> Option<f64>,
) -> Option<&'static PartType> {
    let own = all.robot.type_of(part);
    let kind = own.elements.iter().map(|e| e.kind.word()).find(|k| SHELF.contains_key(k))?;
    SHELF[kind]
        .iter()
        .filter(|t| t.name != own.name && takes_its_wires(all, part, t))
        .filter_map(|t| Some((worth(t)?, t)))
        .min_by(|a, b| {
            (a.0, a.1.mass.0).partial_cmp(&(b.0, b.1.mass.0)).unwrap_or(std::cmp::Ordering::Equal)
        })
        .map(|(_, t)| t)
}

fn takes_its_wires(all: &All<'_>, part: PartId, other: &PartType) -> bool {
    let own = all.robot.type_of(part);
    let wired = |terminal: usize| {
        let here = Landing::Part { part, terminal };
        all.robot.wires.iter().flat_map(move |w| {
            [(w.from, w.end_from), (w.to, w.end_to)]
                .into_iter()
                .filter(move |(end, _)| *end == here)
                .map(move |(_, kind)| (w.gauge, kind))
        })
    };
    let ways = all.robot.parts[part.0].fuses.keys();
    let each_lands = own.terminals.iter().enumerate().all(|(i, t)| {
        let count = wired(i).count();
        count == 0
            || other.terminal(&t.name).map(|o| &other.terminals[o]).is_some_and(|o| {
                count <= o.room_for as usize
                    && wired(i).all(|(gauge, kind)| {
                        help::goes_into(gauge, (o.thinnest, o.thickest))
                            && kind.is_none_or(|k| o.ends.contains(&k))
                    })
            })
    });
    let none_is_new = other.terminals.iter().all(|o| {
        o.optional || o.signal.is_some() || own.terminal(&o.name).is_some_and(|i| wired(i).count() > 0)
    });
    each_lands && none_is_new && ways.into_iter().all(|w| other.elements.iter().any(|e| e.name == *w))
}

/// The batteries that share a current with this one and are of its type: they are changed together.
pub fn string(all: &All<'_>, part: PartId) -> Vec<PartId> {
    let metal = Metal::of(&all.circuit, all.robot);
    let strings = metal.batteries.iter().filter_map(|b| metal.string_at(all.robot, b.1));
    let own = all.robot.parts[part.0].kind;
    let mut longest = vec![part];
    for string in strings {
        let same: Vec<PartId> =
            string.iter().map(|s| s.0).filter(|p| all.robot.parts[p.0].kind == own).collect();
        if same.contains(&part) && same.len() > longest.len() {
            longest = same;
        }
    }
    longest.sort_unstable();
    longest
}

/// The smallest battery of the same chemistry and voltage that suits, for the whole string.
pub fn other_battery(
    all: &All<'_>,
    part: PartId,
    suits: impl Fn(&Battery) -> bool,
    gain: &str,
) -> Option<Remedy> {
    let own = battery(all.robot.type_of(part))?;
    let parts = string(all, part);
    let fits_all = |t: &PartType| parts.iter().all(|&p| takes_its_wires(all, p, t));
    // A battery of less resistance drives more through a short circuit than a fuse may break.
    let broken = |b: &Battery| {
        all.study.fuses.iter().all(|f| {
            let data = f.fuse.and_then(|t| all.robot.types[t.0].fuse.as_ref());
            let most = f.prospective.0 * (own.resistance / b.resistance).max(1.0);
            data.is_none_or(|d| most <= d.breaking_capacity.0.max(f.prospective.0))
        })
    };
    let other = instead(all, part, |t| {
        let b = battery(t)?;
        let same = b.chemistry == own.chemistry && b.cells == own.cells;
        (same && suits(b) && broken(b) && fits_all(t)).then_some(b.capacity.0)
    })?;
    Some(swap(all, &parts, other, gain))
}

/// The smallest driver with as many channels that suits.
pub fn other_driver(
    all: &All<'_>,
    part: PartId,
    suits: impl Fn(&Driver) -> bool,
    gain: &str,
) -> Option<Remedy> {
    let own = driver(all.robot.type_of(part))?;
    let other = instead(all, part, |t| {
        let d = driver(t)?;
        (d.channels.len() >= own.channels.len() && suits(d)).then_some(d.continuous.0)
    })?;
    Some(swap(all, &[part], other, gain))
}

/// The smallest converter with the same output that suits.
pub fn other_converter(
    all: &All<'_>,
    part: PartId,
    suits: impl Fn(&Converter) -> bool,
    gain: &str,
) -> Option<Remedy> {
    let own = converter(all.robot.type_of(part))?;
    let other = instead(all, part, |t| {
        let c = converter(t)?;
        (c.output == own.output && suits(c)).then_some(c.limit.0)
    })?;
    Some(swap(all, &[part], other, gain))
}

/// The remedy that changes the type of some parts.
pub fn swap(all: &All<'_>, parts: &[PartId], other: &PartType, gain: &str) -> Remedy {
    let names: Vec<&str> = parts.iter().map(|p| all.robot.parts[p.0].name.as_str()).collect();
    let text = format!("Use `{}` ({}) for {}{gain}.", other.name, other.title, names.join(" and "));
    let edits = parts.iter().map(|&p| Edit::Set {
        on: help::part(all.robot, p),
        key: "type".to_owned(),
        value: EditValue::Text(other.name.clone()),
    });
    Remedy::edit(text, edits.collect())
}

macro_rules! only {
    ($($(#[$doc:meta])* $name:ident: $variant:ident($data:ty)),* $(,)?) => {
        $($(#[$doc])*
        pub fn $name(kind: &PartType) -> Option<&$data> {
            let mut found = kind.elements.iter().filter_map(|e| match &e.kind {
                ElementKind::$variant(data) => Some(data),
                _ => None,
            });
            found.next().filter(|_| found.next().is_none())
        })*
    };
}

only! {
    /// The battery of a type that has one.
    battery: Battery(Battery),
    /// The charger of a type that has one.
    charger: Charger(Charger),
    /// The converter of a type that has one.
    converter: Converter(Converter),
    /// The contactor of a type that has one.
    contactor: Contactor(Contactor),
    /// The switch of a type that has one.
    switch: Switch(Switch),
    /// The driver of a type that has one.
    driver: Driver(Driver),
}

/// The fuse way of a type by name.
pub fn way<'a>(kind: &'a PartType, name: &str) -> Option<&'a FuseWay> {
    kind.elements.iter().find(|e| e.name == name).and_then(|e| match &e.kind {
        ElementKind::FuseWay(way) => Some(way),
        _ => None,
    })
}
