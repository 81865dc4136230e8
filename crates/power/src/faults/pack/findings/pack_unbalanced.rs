//! Something hangs between the batteries of a string and empties one more than the other.

use super::super::types::{Balance, Pack, Tap};
use super::part;
use crate::faults::Ground;
use crate::faults::pack::strings::Metal;
use crate::findings::help;
use crate::operate::elements;
use crate::results::ElementResult;
use loomdeck_model::element::ElementKind;
use loomdeck_model::{Edit, EditValue, Finding, Landing, Page, PartId, Remedy, Robot, Severity};

/// Shows within which a flat battery is worth a `fix`.
const SOON: u32 = 20;
/// Share of the capacity a day from which it is told, %.
const TOLD: f64 = 0.2;

/// The page.
pub const PAGE: Page = Page {
    slug: "pack-unbalanced-by-tap",
    severity: Severity::Fix,
    title: "A tap empties one battery of a string more than the others",
    physics: "Batteries in series give the same current, and a charger across them puts the same charge back into each. Whatever hangs on the point between them takes from one battery only, and that difference never comes back: it adds up from show to show. The battery that lacks it is flat first and is then driven below empty by the others; the full one is overcharged meanwhile.\n\nThe currents of every battery come from the solved situations, the charge from your day: flat in the first show n with (n − 1)·ΔQ + Q > C.",
    source: "Kirchhoff's current law over the planned day; a lead-acid string evens out a little when it is charged long, which is not counted on (common practice, no source)",
    limits: "The planned day, charged in series after each. Without a day only the currents are told.",
    before: small_robot!(
        takes!("heater", 24, 2),
        takes!("radio", 12, 1),
        part!("upper", "lead-agm-12v-22ah"),
        part!("lower", "lead-agm-12v-22ah"),
        part!("main-fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("tap-fuse", "fuse-holder-blade", "fuses = { way = \"blade-3a\" }"),
        part!("converter", "converter-24v-12v-10a"),
        part!("heat", "heater"),
        part!("sound", "radio"),
        wire!("heart", "upper.plus", "main-fuse.in", 4, 200),
        wire!("link", "upper.minus", "lower.plus", 4, 200),
        wire!("feed", "main-fuse.out", "heat.plus", 2.5, 200),
        wire!("feed-2", "main-fuse.out", "converter.in-plus", 2.5, 200),
        wire!("back", "heat.minus", "lower.minus", 2.5, 200),
        wire!("back-2", "converter.in-minus", "lower.minus", 2.5, 200),
        wire!("tap", "lower.plus", "tap-fuse.in", 1.5, 200),
        wire!("tap-on", "tap-fuse.out", "sound.plus", 1, 200),
        wire!("tap-back", "sound.minus", "converter.out-minus", 1, 200),
        "\n[[situation]]\nname = \"on\"\ncharge_percent = 80\nlasting = true\n",
        "\n[[day]]\nsituation = \"on\"\nminutes = 120\n"
    ),
    after: small_robot!(
        takes!("heater", 24, 2),
        takes!("radio", 12, 1),
        part!("upper", "lead-agm-12v-22ah"),
        part!("lower", "lead-agm-12v-22ah"),
        part!("main-fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("tap-fuse", "fuse-holder-blade", "fuses = { way = \"blade-3a\" }"),
        part!("converter", "converter-24v-12v-10a"),
        part!("heat", "heater"),
        part!("sound", "radio"),
        wire!("heart", "upper.plus", "main-fuse.in", 4, 200),
        wire!("link", "upper.minus", "lower.plus", 4, 200),
        wire!("feed", "main-fuse.out", "heat.plus", 2.5, 200),
        wire!("feed-2", "main-fuse.out", "converter.in-plus", 2.5, 200),
        wire!("back", "heat.minus", "lower.minus", 2.5, 200),
        wire!("back-2", "converter.in-minus", "lower.minus", 2.5, 200),
        wire!("tap", "converter.out-plus", "tap-fuse.in", 1.5, 200),
        wire!("tap-on", "tap-fuse.out", "sound.plus", 1, 200),
        wire!("tap-back", "sound.minus", "converter.out-minus", 1, 200),
        "\n[[situation]]\nname = \"on\"\ncharge_percent = 80\nlasting = true\n",
        "\n[[day]]\nsituation = \"on\"\nminutes = 120\n"
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Pack, out: &mut Vec<Finding>) {
    for balance in &found.balance {
        let Some(lowest) = balance.lowest.filter(|_| balance.apart_percent >= TOLD) else { continue };
        out.push(told(ground, found, balance, lowest));
    }
}

fn told(ground: &Ground<'_>, found: &Pack, balance: &Balance, lowest: PartId) -> Finding {
    let robot = ground.robot;
    let name = &robot.parts[lowest.0].name;
    let soon = balance.flat_in_show.is_some_and(|n| n <= SOON);
    let end = match balance.flat_in_show {
        Some(n) => format!("charged in series it is flat in show {n}"),
        None if balance.charged_apart => {
            "each has a charger of its own, which brings it back".to_owned()
        }
        None => "it is the first to run flat".to_owned(),
    };
    let taps: Vec<String> = balance
        .taps
        .iter()
        .filter(|t| t.taken.0.abs() > 1e-4)
        .take(3)
        .map(|t| format!("{} takes {:.2}", t.name, t.taken))
        .collect();
    let why = if taps.is_empty() {
        "What flows at the point between the batteries does not flow through all of them.".to_owned()
    } else {
        format!("Between the batteries, on that day, {}.", taps.join(", "))
    };
    let mut f = Finding::new(
        PAGE.slug,
        if soon { Severity::Fix } else { Severity::Look },
        part(robot, lowest),
        format!(
            "{name} gives {:.2} more than its neighbour on your day, {:.1}\u{2009}% of its capacity; {end}.",
            balance.apart, balance.apart_percent
        ),
        why,
        PAGE.source,
    )
    .with_value("charge_ah", balance.apart.0)
    .with_value("percent", balance.apart_percent)
    .with_limit("percent", TOLD);
    for tap in balance.taps.iter().filter(|t| t.taken.0.abs() > 1e-4) {
        f = f.with_subject(part(robot, tap.part));
    }
    if let Some(remedy) = lead_over(ground, found, balance) {
        f = f.with_remedy(remedy);
    }
    f.with_remedy(Remedy::advice("Feed it from a converter across the whole string instead of the tap."))
        .with_remedy(Remedy::advice(
            "Or charge each battery with a charger of its own after every show.",
        ))
}

/// Leads the tap's wires from the battery over to a converter of the robot that gives that voltage and
/// has the current to spare.
fn lead_over(ground: &Ground<'_>, found: &Pack, balance: &Balance) -> Option<Remedy> {
    let robot = ground.robot;
    let string = &found.strings[balance.string];
    let taps: Vec<&Tap> = balance.taps.iter().filter(|t| t.below && t.most.0 > 0.0).collect();
    if taps.is_empty() || string.batteries.len() != 2 {
        return None;
    }
    let wires = tap_wires(ground, string.batteries[0], string.batteries[1]);
    if wires.is_empty() {
        return None;
    }
    let amperes: f64 = taps.iter().map(|t| t.most.0).sum();
    let volts = found.strings[balance.string].full.0 / 2.0;
    let metal = Metal::of(&ground.circuit, robot, &[]);
    let lower = string.batteries[1];
    let ground_piece = pole_pieces(ground, &metal, lower)?.1;
    let (converter, terminal) = elements(&ground.circuit).find_map(|(id, e, _)| {
        let ElementKind::Converter(c) = &robot.type_of(id).elements[e].kind else { return None };
        let common = metal.piece(ground.circuit.local(id, c.out_minus)) == ground_piece;
        let suits = (c.output.0 / volts - 1.0).abs() < 0.15;
        let used = ground
            .power
            .situations
            .iter()
            .map(|s| match &s.parts[id.0].elements[e] {
                ElementResult::Converter { output_current, peak_output_current, .. } => {
                    output_current.0.max(peak_output_current.0)
                }
                _ => 0.0,
            })
            .fold(0.0, f64::max);
        let room = c.limit.0 * (1.0 - robot.limits.spare) - used >= amperes;
        let kind = robot.type_of(id);
        let terminal = kind.terminals.iter().position(|t| t.node == c.out_plus)?;
        let t = &kind.terminals[terminal];
        let on = Landing::Part { part: id, terminal };
        let taken = robot.wires.iter().filter(|w| w.from == on || w.to == on).count();
        let lands = taken + wires.len() <= t.room_for as usize
            && wires
                .iter()
                .all(|(w, _)| help::goes_into(robot.wires[*w].gauge, (t.thinnest, t.thickest)));
        (common && suits && room && lands).then_some((id, terminal))
    })?;
    let to = robot.landing_word(Landing::Part { part: converter, terminal });
    let edits = wires.iter().map(|&(w, end)| Edit::Set {
        on: loomdeck_model::Subject::Wire(robot.wires[w].name.clone()),
        key: end.to_owned(),
        value: EditValue::Text(to.clone()),
    });
    let names: Vec<&str> = wires.iter().map(|(w, _)| robot.wires[*w].name.as_str()).collect();
    Some(Remedy::edit(
        format!("Lead {} from {to} instead of the battery.", names.join(" and ")),
        edits.collect(),
    ))
}

/// Pieces of a battery's poles.
fn pole_pieces(ground: &Ground<'_>, metal: &Metal, id: PartId) -> Option<(usize, usize)> {
    ground.robot.type_of(id).elements.iter().find_map(|e| match &e.kind {
        ElementKind::Battery(b) => Some((
            metal.piece(ground.circuit.local(id, b.plus)),
            metal.piece(ground.circuit.local(id, b.minus)),
        )),
        _ => None,
    })
}

/// Wires on the inner poles of two batteries in series that are not the link between them, with the key
/// of the end that lies there.
fn tap_wires(ground: &Ground<'_>, upper: PartId, lower: PartId) -> Vec<(usize, &'static str)> {
    let robot: &Robot = ground.robot;
    let inner = |landing: Landing| {
        let Landing::Part { part, .. } = landing else { return false };
        let node = ground.circuit.node(robot, landing);
        robot.type_of(part).elements.iter().any(|e| match &e.kind {
            ElementKind::Battery(b) => {
                (part == upper && ground.circuit.local(part, b.minus) == node)
                    || (part == lower && ground.circuit.local(part, b.plus) == node)
            }
            _ => false,
        })
    };
    let still_linked = |w: usize| {
        let metal = Metal::of(&ground.circuit, robot, &[ground.circuit.wire_item[w]]);
        let (Some(a), Some(b)) =
            (pole_pieces(ground, &metal, upper), pole_pieces(ground, &metal, lower))
        else {
            return false;
        };
        a.1 == b.0
    };
    (0..robot.wires.len())
        .filter_map(|w| {
            let wire = &robot.wires[w];
            let end = if inner(wire.from) {
                "from"
            } else if inner(wire.to) {
                "to"
            } else {
                return None;
            };
            still_linked(w).then_some((w, end))
        })
        .collect()
}
