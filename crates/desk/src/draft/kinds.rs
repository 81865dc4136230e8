//! What a part can be, and what such a part begins with.
//!
//! A beginning is a type of the library without its sizes, places and figures: names, roles and the shape of
//! the tables stay, and the curves that are typical of the kind.

use super::like::like;
use crate::talk::{DraftType, TypeKind, Typed};
use loomdeck_model::Folder;
use loomdeck_model::format::type_tables::ELEMENTS;
use loomdeck_model::format::{Field, Kind};

/// Key, what it is, and the library's type that it begins like; empty: nothing electrical.
const KINDS: [(&str, &str, &str); 22] = [
    ("module", "nothing electrical: a bracket, cover or foot", ""),
    ("controller", "controller or computer", "controller-board-5v"),
    ("receiver", "radio receiver", "radio-receiver-5v"),
    ("driver", "motor driver", "dual-motor-driver-24v-15a"),
    ("converter", "converter", "converter-24v-5v-5a"),
    ("fuse-block", "fuse block", "fuse-block-blade-4"),
    ("fuse-holder", "fuse holder", "fuse-holder-blade"),
    ("amplifier", "audio amplifier", "audio-amplifier-24v-2x50w"),
    ("loudspeaker", "loudspeaker", "loudspeaker-8ohm-15w"),
    ("servo", "servo", "servo-group-6v-4"),
    ("motor", "motor", "drive-gearmotor-24v-100w"),
    ("light", "light", "lamp-led-12v-5w"),
    ("load", "fan, horn, heater or other load", "fan-12v-60mm"),
    ("battery", "battery", "lead-agm-12v-12ah"),
    ("switch", "switch", "toggle-20a"),
    ("relay", "relay or contactor", "relay-24v-20a"),
    ("charger", "charger", "charger-24v-lead-5a"),
    ("bus-bar", "bus bar or screw bar", "bus-bar-m5-4"),
    ("meter", "meter", "battery-meter-30v"),
    ("diode", "diode", "schottky-20a-60v"),
    ("resistor", "resistor", "resistor-10ohm-50w"),
    ("capacitor", "capacitor", "capacitor-4700uf-50v"),
];

/// Tables that are typical of a kind, and so stay.
const TYPICAL: [&str; 2] = ["efficiency.", "open_circuit."];

/// All kinds.
pub fn kinds() -> Vec<TypeKind> {
    let nothing = Folder::default();
    let kind = |(key, title, of): &(&str, &str, &str)| {
        let begin = like(of, &nothing).map(|(d, _)| emptied(d)).unwrap_or_default();
        TypeKind { key: (*key).to_owned(), title: (*title).to_owned(), begin }
    };
    KINDS.iter().map(kind).collect()
}

/// The library's type that a kind begins like; empty: none.
#[cfg(test)]
pub fn of(key: &str) -> &'static str {
    KINDS.iter().find(|(k, ..)| *k == key).map_or("", |(.., of)| of)
}

fn emptied(d: DraftType) -> DraftType {
    let keep = |typed: &Typed, keys: &[&str]| -> Typed {
        let kept = typed.iter().filter(|(k, _)| keys.contains(&k.as_str()));
        kept.map(|(k, v)| (k.clone(), v.clone())).collect()
    };
    let terminal = [
        "name",
        "node",
        "role",
        "fitting",
        "exit",
        "thinnest",
        "thickest",
        "optional",
        "signal.direction",
    ];
    DraftType {
        values: keep(&d.values, &["group", "noise", "moves", "radio_link", "leaves"]),
        terminals: d.terminals.iter().map(|t| keep(t, &terminal)).collect(),
        elements: d.elements.iter().map(element).collect(),
        ..DraftType::default()
    }
}

/// A model with its names and words, and none of its figures.
fn element(typed: &Typed) -> Typed {
    let kind = typed.get("kind").map_or("", String::as_str);
    let Some(spec) = ELEMENTS.iter().find(|s| s.name == kind) else { return Typed::new() };
    let stays = |key: &str| {
        TYPICAL.iter().any(|t| key.starts_with(t))
            || field(spec.fields, key).is_some_and(|f| {
                let figure = matches!(
                    f.kind,
                    Kind::Quantity(..) | Kind::Number(..) | Kind::Percent(..) | Kind::Whole(..)
                );
                !figure
            })
    };
    typed.iter().filter(|(k, _)| stays(k)).map(|(k, v)| (k.clone(), v.clone())).collect()
}

/// The field of a dotted key with rows in it: `channels.0.name`.
fn field(fields: &'static [Field], key: &str) -> Option<&'static Field> {
    let (first, rest) = key.split_once('.').map_or((key, None), |(a, b)| (a, Some(b)));
    let found = fields.iter().find(|f| f.key == first)?;
    match (&found.kind, rest) {
        (Kind::Table(spec), Some(rest)) => field(spec.fields, rest),
        (Kind::Tables(spec), Some(rest)) => field(spec.fields, rest.split_once('.')?.1),
        _ => Some(found),
    }
}
