//! Parts and plugs: what they are, where they sit, which fuses they hold.

use super::landing::PartOrPlug;
use super::names::same;
use super::robot::Build;
use super::tree::Span;
use super::types::fixing;
use super::value::shown;
use super::view::{Gather, View};
use super::{wiring, words};
use crate::element::ElementKind;
use crate::format::type_tables::TYPE;
use crate::geometry::{Face, Placement, Point};
use crate::library::LIBRARY;
use crate::robot::*;
use crate::units::*;
use std::collections::BTreeMap;

/// All names first, so that a refused part does not make its wires look wrong too.
pub(super) fn parts_and_plugs(root: &View<'_>, b: &mut Build, gather: &mut Gather<'_>) {
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
    if let Some(tail) = p.number("tail").filter(|_| p.has("fixing")) {
        let tail = Millimetres(tail);
        gather.say(
            p.span("fixing"),
            format!("This plug hangs on a tail of {tail}; only one fixed to the board has a `fixing`."),
            None,
        );
    }
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
            let base = b.types[family.0].fixing.clone();
            let fixing = p.table("fixing").map_or_else(|| base.clone(), |f| fixing(&f, &base));
            let (name, note) = (name.to_owned(), p.text_or_empty("note"));
            let keying = keying(p, family, b, gather);
            let pins_on = if p.text("pins_on") == Some("body") { Half::Body } else { Half::Board };
            let colour = p.text("colour").and_then(|c| wiring::colour(c, p.span("colour"), gather));
            let zone = ZoneId(zone);
            b.plugs.push(Plug { name, family, zone, place, fixing, keying, pins_on, colour, note });
        }
        _ => b.places_of.push(PartOrPlug::Plug(PlugId(usize::MAX))),
    }
}

/// The arrangement of a plug, which must be one that its family comes in, if it comes in several.
fn keying(p: &View<'_>, family: TypeId, b: &Build, gather: &mut Gather<'_>) -> String {
    let Some(word) = p.text("keying") else { return String::new() };
    let known = b.types[family.0].plug_family.as_ref().map_or(&[][..], |f| &f.keyings[..]);
    if !known.is_empty() && !known.iter().any(|k| k == word) {
        gather.say(
            p.span("keying"),
            format!("`{}` does not come in the arrangement `{}`.", b.types[family.0].name, shown(word)),
            Some(format!("Its arrangements: {}.", known.join(", "))),
        );
    }
    word.to_owned()
}

/// Brings in every fuse type of the forms in use, so that remedies can choose among them.
pub(super) fn fuse_choices(b: &mut Build, gather: &mut Gather<'_>) {
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
