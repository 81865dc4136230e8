//! A plug goes into another's place and harms something there.

use super::{deed_words, name, plug, set, severity, with_numbers};
use crate::faults::Ground;
use crate::faults::exchange::types::{Change, Deed, Exchange, Keying, Verdict};
use loomdeck_model::{Edit, Finding, Page, PlugId, Remedy, Robot, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "plug-fits-wrong-place",
    severity: Severity::Danger,
    title: "A plug fits where it does harm",
    physics: "Two plugs of one family, of the same arrangement and with the pins on the same half, go into one another. At a show, in the dark and in a hurry, they will. Each such exchange is done to the network and the network is solved: voltages are held against what every part survives, motors against who should command them, wires against what they bear until a fuse opens.\n\nPlugs that must not meet form a graph. Giving every plug an arrangement so that no such pair shares one is colouring that graph; the program finds the colouring that changes the fewest plugs, and shows that there is none with fewer.",
    source: "The solved network; the parts' stated limits. Smallest re-keying by exact search (branch and bound); that keyed or different connectors prevent wrong mating is common practice",
    limits: "One body half in one wrong place, or two swapped. Longer rings of exchanged plugs are not covered. Steady state in at most two situations. How far a loom reaches is taken on the safe side.",
    before: plugged!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("converter", "converter-12v-5v-5a"),
        part!("lamp", "lamp-led-12v-5w"),
        part!("controller", "single-board-computer-5v"),
        plug!("lamp-plug", "plug-power-2", "100"),
        plug!("controller-plug", "plug-power-2", "150"),
        wire!("heart", "battery.plus", "fuse.in", "2.5"),
        wire!("feed", "fuse.out", "converter.in-plus", "2.5"),
        wire!("return", "converter.in-minus", "battery.minus", "2.5"),
        wire!("twelve", "converter.in-plus", "lamp-plug.board.1", "1.5"),
        wire!("twelve-return", "lamp-plug.board.2", "converter.in-minus", "1.5"),
        wire!("lamp-plus", "lamp-plug.body.1", "lamp.plus", "0.75"),
        wire!("lamp-minus", "lamp.minus", "lamp-plug.body.2", "0.75"),
        wire!("five", "converter.out-plus", "controller-plug.board.1", "1.5"),
        wire!("five-return", "controller-plug.board.2", "converter.out-minus", "1.5"),
        wire!("controller-plus", "controller-plug.body.1", "controller.plus", "0.75"),
        wire!("controller-minus", "controller.minus", "controller-plug.body.2", "0.75"),
        "\n[[situation]]\nname = \"on\"\nlasting = true\nactivity = { lamp = \"on\" }\n"
    ),
    after: plugged!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("converter", "converter-12v-5v-5a"),
        part!("lamp", "lamp-led-12v-5w"),
        part!("controller", "single-board-computer-5v"),
        plug!("lamp-plug", "plug-power-2", "100"),
        plug!("controller-plug", "plug-power-2", "150", "pins_on = \"body\""),
        wire!("heart", "battery.plus", "fuse.in", "2.5"),
        wire!("feed", "fuse.out", "converter.in-plus", "2.5"),
        wire!("return", "converter.in-minus", "battery.minus", "2.5"),
        wire!("twelve", "converter.in-plus", "lamp-plug.board.1", "1.5"),
        wire!("twelve-return", "lamp-plug.board.2", "converter.in-minus", "1.5"),
        wire!("lamp-plus", "lamp-plug.body.1", "lamp.plus", "0.75"),
        wire!("lamp-minus", "lamp.minus", "lamp-plug.body.2", "0.75"),
        wire!("five", "converter.out-plus", "controller-plug.board.1", "1.5"),
        wire!("five-return", "controller-plug.board.2", "converter.out-minus", "1.5"),
        wire!("controller-plus", "controller-plug.body.1", "controller.plus", "0.75"),
        wire!("controller-minus", "controller.minus", "controller-plug.body.2", "0.75"),
        "\n[[situation]]\nname = \"on\"\nlasting = true\nactivity = { lamp = \"on\" }\n"
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Exchange, out: &mut Vec<Finding>) {
    for keying in found.keying.iter().filter(|k| !k.mating.is_empty()) {
        out.extend(finding(ground.robot, found, keying));
    }
}

fn finding(robot: &Robot, found: &Exchange, keying: &Keying) -> Option<Finding> {
    let exchanges = found.cases.iter().enumerate().filter(|(i, c)| {
        let ours = match c.deed {
            Deed::Wrong { body: a, board: b, .. } | Deed::Swapped { one: a, other: b } => {
                keying.plugs.contains(&a) && keying.plugs.contains(&b)
            }
            Deed::Reversed { .. } | Deed::Out { .. } => false,
        };
        ours && c.possible && found.cases[found.told_by(*i)].verdict == Verdict::Harms
    });
    let harmful: Vec<usize> = exchanges.map(|e| e.0).collect();
    // The worst by kind; among equals one that was itself solved, so that the names are its own.
    let worst = harmful.iter().copied().min_by_key(|&i| {
        let told = &found.cases[found.told_by(i)];
        (told.harms.first().map(|h| h.kind), found.cases[i].like.is_some(), i)
    })?;
    let case = &found.cases[found.told_by(worst)];
    let harm = case.harms.first()?;
    let more = match harmful.len() - 1 {
        0 => String::new(),
        1 => " One other exchange of this family harms, too.".to_owned(),
        n => format!(" {n} other exchanges of this family harm, too."),
    };
    let all: Vec<_> =
        harmful.iter().flat_map(|&i| &found.cases[found.told_by(i)].harms).cloned().collect();
    let pairs: std::collections::BTreeSet<PlugId> =
        keying.mating.iter().flat_map(|&(a, b)| [a, b]).collect();
    let mut subjects = pairs.iter().map(|&p| plug(robot, p));
    let mut f = Finding::new(
        PAGE.slug,
        severity(&all),
        subjects.next()?,
        format!("{}. {}{more}", deed_words(robot, case.deed), harm.text),
        format!(
            "{} are of one family ({}), of the same arrangement, and within reach of one another.{}",
            listed(robot, &pairs.iter().copied().collect::<Vec<_>>()),
            keying.family,
            marks(robot, &keying.mating)
        ),
        PAGE.source,
    )
    .with_situation(&robot.situations[harm.situation.0].name);
    for s in subjects {
        f = f.with_subject(s);
    }
    Some(remedies(robot, keying, with_numbers(f, harm)))
}

fn listed(robot: &Robot, plugs: &[PlugId]) -> String {
    let names: Vec<&str> = plugs.iter().map(|&p| name(robot, p)).collect();
    match names.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => names.join(""),
    }
}

/// What marks are worth.
fn marks(robot: &Robot, pairs: &[(PlugId, PlugId)]) -> String {
    let told = |&(a, b): &(PlugId, PlugId)| {
        let (a, b) = (&robot.plugs[a.0], &robot.plugs[b.0]);
        (a.colour.is_some() || b.colour.is_some()) && a.colour != b.colour
    };
    if pairs.iter().all(told) {
        " Their colours differ: that makes the exchange rarer and does not prevent it.".to_owned()
    } else {
        String::new()
    }
}

/// The re-keying, or what is left where there is none.
fn remedies(robot: &Robot, keying: &Keying, f: Finding) -> Finding {
    let f = match (keying.changes.is_empty(), keying.unsolved.is_empty()) {
        (false, true) => {
            let told: Vec<String> = keying.changes.iter().map(|c| words(robot, c)).collect();
            let least = if keying.smallest { " No smaller change does it." } else { "" };
            let edits = keying.changes.iter().flat_map(|c| edits(robot, c)).collect();
            f.with_remedy(Remedy::edit(format!("{}.{least}", upper(&told.join("; "))), edits))
        }
        (false, false) => {
            let told: Vec<String> = keying.changes.iter().map(|c| words(robot, c)).collect();
            f.with_remedy(Remedy::advice(format!(
                "{}; for {} choose a family by hand.",
                upper(&told.join("; ")),
                listed(robot, &keying.unsolved)
            )))
        }
        (true, _) => f,
    };
    f.with_remedy(Remedy::advice(
        "Shorten the looms or tails until neither reaches the other's place. Where nothing else is left, mark both halves with a colour; a mark prevents nothing.",
    ))
}

fn upper(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().collect::<String>() + letters.as_str())
}

fn words(robot: &Robot, change: &Change) -> String {
    let plug = name(robot, change.plug);
    match (&change.family, &change.keying, change.pins_on) {
        (Some(family), ..) => format!("use {family} for {plug}"),
        (None, Some(keying), None) => format!("give {plug} the arrangement {keying}"),
        (None, Some(keying), Some(half)) => {
            format!("give {plug} the arrangement {keying} with its pins on the {half} half")
        }
        (None, None, half) => {
            format!("fit {plug} with its pins on the {} half", half.unwrap_or("other"))
        }
    }
}

fn edits(robot: &Robot, change: &Change) -> Vec<Edit> {
    let on = || plug(robot, change.plug);
    let mut edits = Vec::new();
    if let Some(family) = &change.family {
        edits.push(set(on(), "family", family));
        if !robot.plugs[change.plug.0].keying.is_empty() {
            edits.push(Edit::Unset { on: on(), key: "keying".to_owned() });
        }
    }
    if let Some(keying) = &change.keying {
        edits.push(set(on(), "keying", keying));
    }
    if let Some(half) = change.pins_on {
        edits.push(set(on(), "pins_on", half));
    }
    edits
}
