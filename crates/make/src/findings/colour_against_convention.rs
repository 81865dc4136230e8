//! A wire wears a colour that says something else.

use super::some_of;
use crate::colour;
use crate::making::{ColourBasis, Cut, Making};
use loomdeck_model::wire::Colour;
use loomdeck_model::{
    Edit, EditValue, Finding, Function, Page, Remedy, Robot, Severity, Subject, WireId,
};
use std::collections::BTreeMap;

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "colour-against-convention",
    severity: Severity::Look,
    title: "A wire wears a colour that means something else",
    physics: "Whoever opens the robot next year reads the colours before the labels: red is a live supply, black is its return, green or green-and-yellow bonds metalwork. A return in red will be taken for a feed, and a feed in black for something safe to touch. Nothing fails today; the mistake is made later, by somebody else.",
    source: "Positive red, negative black or yellow: ABYC E-11 and ISO 13297. Green-and-yellow for the protective conductor only: IEC 60445. The conventions differ on the negative (IEC 60445 of 2017 has white), so white and yellow returns are let pass.",
    limits: "Only red, black and green are held to mean something. Cores of cables you chose a colour for are judged too; cores without a stated colour are not.",
    before: r#"
format = 1
[robot]
name = "small tray"
[[zone]]
name = "tray"
path_mm = 100
[[part]]
name = "cell"
type = "lead-agm-12v-7ah"
zone = "tray"
[[part]]
name = "lamp"
type = "lamp-led-12v-5w"
zone = "tray"
[[wire]]
name = "feed"
from = "cell.plus"
to = "lamp.plus"
size_mm2 = 1
colour = "red"
[[wire]]
name = "back"
from = "cell.minus"
to = "lamp.minus"
size_mm2 = 1
colour = "red"
"#,
    after: r#"
format = 1
[robot]
name = "small tray"
[[zone]]
name = "tray"
path_mm = 100
[[part]]
name = "cell"
type = "lead-agm-12v-7ah"
zone = "tray"
[[part]]
name = "lamp"
type = "lamp-led-12v-5w"
zone = "tray"
[[wire]]
name = "feed"
from = "cell.plus"
to = "lamp.plus"
size_mm2 = 1
colour = "red"
[[wire]]
name = "back"
from = "cell.minus"
to = "lamp.minus"
size_mm2 = 1
colour = "black"
"#,
};

/// One finding for each function and colour that do not go together.
pub fn find(robot: &Robot, making: &Making) -> Vec<Finding> {
    let mut groups: BTreeMap<(Function, Colour), Vec<WireId>> = BTreeMap::new();
    let chosen = |c: &&Cut| c.colour_basis == ColourBasis::Chosen;
    for cut in making.cuts.iter().filter(chosen) {
        let function = robot.wires[cut.wire.0].function;
        if !colour::agrees(cut.spool.colour, function) {
            groups.entry((function, cut.spool.colour)).or_default().push(cut.wire);
        }
    }
    groups
        .into_iter()
        .map(|((function, colour), wires)| finding(robot, function, colour, &wires))
        .collect()
}

fn finding(robot: &Robot, function: Function, colour: Colour, wires: &[WireId]) -> Finding {
    let names: Vec<&str> = wires.iter().map(|w| robot.wires[w.0].name.as_str()).collect();
    let is = if names.len() == 1 { "is" } else { "are" };
    let meant = colour::meaning(colour).map_or("something else", Function::word);
    let what = format!(
        "{} {is} {colour}, which says \"{meant}\", but the function is {}.",
        some_of(&names),
        function.word()
    );
    let why =
        "Whoever opens the robot next reads colours before labels and will take it for what it is not.";
    let mut f = Finding::new(
        PAGE.slug,
        Severity::Look,
        Subject::Wire(names[0].to_owned()),
        what,
        why,
        PAGE.source,
    )
    .with_value("wire_count", wires.len() as f64);
    for name in &names[1..] {
        f = f.with_subject(Subject::Wire((*name).to_owned()));
    }
    let edits = wires.iter().map(|w| {
        let mut plain = robot.wires[w.0].clone();
        plain.colour = None;
        Edit::Set {
            on: Subject::Wire(plain.name.clone()),
            key: "colour".to_owned(),
            value: EditValue::Colour(colour::choose(robot, &plain).0),
        }
    });
    f.with_remedy(Remedy::edit("Give it the colour of its function.", edits.collect()))
}
