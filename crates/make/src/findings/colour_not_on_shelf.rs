//! A wire has a colour that the shelf does not hold.

use super::some_of;
use crate::colour;
use crate::making::{ColourBasis, Cut, Making, Spool};
use loomdeck_model::wire::Colour;
use loomdeck_model::{Edit, EditValue, Finding, Page, Remedy, Robot, Severity, Subject, WireId};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "colour-not-on-shelf",
    severity: Severity::Look,
    title: "A wire's colour is not on your shelf",
    physics: "You listed the reels in your drawer. This size and insulation is among them, but not in the colour that you chose, or not in any colour that the conventions propose for what the wire does. Where you chose none, the cut list takes a colour you have, kept from meaning something else where it can.",
    source: "Your own list of reels; colours by function: ABYC E-11, ISO 13297, IEC 60445.",
    limits: "The list knows colours, not how much is left on a reel.",
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
colour = "black"
[[shelf]]
size_mm2 = 1
insulation = "pvc-105"
colours = ["red", "white"]
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
[[shelf]]
size_mm2 = 1
insulation = "pvc-105"
colours = ["red", "black"]
"#,
};

/// One finding for each reel that is missing in its colour.
pub fn find(robot: &Robot, making: &Making) -> Vec<Finding> {
    let mut groups: Vec<(Spool, Vec<WireId>, f64)> = Vec::new();
    for cut in making.cuts.iter().filter(|c| c.cable.is_none() && missing(robot, c)) {
        match groups.iter_mut().find(|(spool, ..)| *spool == cut.spool) {
            Some((_, wires, mm)) => {
                wires.push(cut.wire);
                *mm += cut.cut.0;
            }
            None => groups.push((cut.spool, vec![cut.wire], cut.cut.0)),
        }
    }
    groups.iter().map(|(spool, wires, mm)| finding(robot, spool, wires, *mm)).collect()
}

/// The shelf has this size and insulation, but not the colour that is wanted.
fn missing(robot: &Robot, cut: &Cut) -> bool {
    let Some(shelf) = colour::on_shelf(robot, &robot.wires[cut.wire.0]) else { return false };
    !shelf.is_empty() && (cut.colour_basis == ColourBasis::Shelf || !shelf.contains(&cut.spool.colour))
}

fn finding(robot: &Robot, spool: &Spool, wires: &[WireId], mm: f64) -> Finding {
    let first = &robot.wires[wires[0].0];
    let names: Vec<&str> = wires.iter().map(|w| robot.wires[w.0].name.as_str()).collect();
    let shelf = colour::on_shelf(robot, first).unwrap_or_default();
    let has: Vec<String> = shelf.iter().map(Colour::to_string).collect();
    let wanted = first.colour.unwrap_or(colour::convention(first.function).0[0]);
    let what = format!(
        "{} should be {wanted}, but your {} {} is {} only; {:.1}\u{2009}m are needed.",
        some_of(&names),
        spool.gauge,
        spool.insulation.word(),
        has.join(", "),
        mm / 1000.0
    );
    let why = format!("It is a {} wire; {} is {}.", first.function.word(), wanted, reason(robot, first));
    let mut f = Finding::new(
        PAGE.slug,
        Severity::Look,
        Subject::Wire(names[0].to_owned()),
        what,
        why,
        PAGE.source,
    )
    .with_value("length_mm", mm)
    .with_value("wire_count", wires.len() as f64);
    for name in &names[1..] {
        f = f.with_subject(Subject::Wire((*name).to_owned()));
    }
    let honest = shelf.iter().find(|c| colour::agrees(**c, first.function));
    if let Some(other) = honest {
        let edits = names.iter().map(|n| Edit::Set {
            on: Subject::Wire((*n).to_owned()),
            key: "colour".to_owned(),
            value: EditValue::Colour(*other),
        });
        f = f.with_remedy(Remedy::edit(format!("Use {other}, which you have."), edits.collect()));
    }
    f.with_remedy(Remedy::advice(format!(
        "Buy {:.0}\u{2009}m of {} in {wanted} and add it to the shelf.",
        (mm / 1000.0 * 1.1).ceil(),
        spool.gauge
    )))
}

fn reason(robot: &Robot, wire: &loomdeck_model::Wire) -> &'static str {
    match (wire.colour, colour::choose(robot, wire).1) {
        (Some(_), _) => "the colour you chose",
        (None, ColourBasis::Convention(name)) => name,
        (None, _) => colour::convention(wire.function).1,
    }
}
