//! A wire's size and insulation are not on the shelf.

use super::some_of;
use crate::colour;
use crate::making::Making;
use loomdeck_model::{
    Edit, EditValue, Finding, Page, Remedy, Robot, Severity, ShelfWire, Subject, Wire, WireId,
};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "wire-not-on-shelf",
    severity: Severity::Look,
    title: "A wire is not on your shelf",
    physics: "You listed the reels in your drawer, and none has this size with this insulation. A thicker wire with an insulation that bears as much always does the same work, as long as its ends still go into the terminals.",
    source: "Your own list of reels.",
    limits: "Whether the thicker wire's ends fit the terminals is judged by its own findings.",
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
[[wire]]
name = "back"
from = "cell.minus"
to = "lamp.minus"
size_mm2 = 1
[[shelf]]
size_mm2 = 1.5
insulation = "pvc-105"
colours = ["red", "black"]
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
size_mm2 = 1.5
[[wire]]
name = "back"
from = "cell.minus"
to = "lamp.minus"
size_mm2 = 1.5
[[shelf]]
size_mm2 = 1.5
insulation = "pvc-105"
colours = ["red", "black"]
"#,
};

/// One finding for each size and insulation that the shelf does not have.
pub fn find(robot: &Robot, making: &Making) -> Vec<Finding> {
    let mut groups: Vec<(&Wire, Vec<WireId>, f64)> = Vec::new();
    for cut in making.cuts.iter().filter(|c| c.cable.is_none() && c.cut.0 > 0.0) {
        let wire = &robot.wires[cut.wire.0];
        if colour::on_shelf(robot, wire).is_none_or(|colours| !colours.is_empty()) {
            continue;
        }
        let same = |w: &Wire| w.gauge == wire.gauge && w.insulation == wire.insulation;
        match groups.iter_mut().find(|(w, ..)| same(w)) {
            Some((_, wires, mm)) => {
                wires.push(cut.wire);
                *mm += cut.cut.0;
            }
            None => groups.push((wire, vec![cut.wire], cut.cut.0)),
        }
    }
    groups.iter().map(|(wire, wires, mm)| finding(robot, wire, wires, *mm)).collect()
}

fn finding(robot: &Robot, wire: &Wire, wires: &[WireId], mm: f64) -> Finding {
    let names: Vec<&str> = wires.iter().map(|w| robot.wires[w.0].name.as_str()).collect();
    let (gauge, insulation) = (wire.gauge, wire.insulation.word());
    let needs = if names.len() == 1 { "needs" } else { "need" };
    let what = format!(
        "{} {needs} {:.1}\u{2009}m of {gauge} {insulation}, which is not on your shelf.",
        some_of(&names),
        mm / 1000.0
    );
    let why =
        format!("The shelf lists {} reels, none of this size and insulation.", robot.shelf.wires.len());
    let mut f = Finding::new(
        PAGE.slug,
        Severity::Look,
        Subject::Wire(names[0].to_owned()),
        what,
        why,
        PAGE.source,
    )
    .with_value("length_mm", mm)
    .with_value("area_mm2", gauge.area().0);
    for name in &names[1..] {
        f = f.with_subject(Subject::Wire((*name).to_owned()));
    }
    if let Some(other) = stand_in(robot, wire) {
        f = f.with_remedy(Remedy::edit(
            format!("Use {} {}, which you have.", other.gauge, other.insulation.word()),
            names.iter().flat_map(|n| changed(n, wire, other)).collect(),
        ));
    }
    f.with_remedy(Remedy::advice(format!(
        "Buy {:.0}\u{2009}m of {gauge} {insulation} and add it to the shelf.",
        (mm / 1000.0 * 1.1).ceil()
    )))
}

/// The thinnest reel that is as thick and bears as much.
fn stand_in<'a>(robot: &'a Robot, wire: &Wire) -> Option<&'a ShelfWire> {
    let fits = |s: &&ShelfWire| {
        s.gauge.area() >= wire.gauge.area() && s.insulation.limit() >= wire.insulation.limit()
    };
    let reels = robot.shelf.wires.iter().filter(fits);
    reels.min_by(|a, b| a.gauge.area().0.total_cmp(&b.gauge.area().0))
}

fn changed(name: &str, wire: &Wire, other: &ShelfWire) -> Vec<Edit> {
    let set =
        |key: &str, value| Edit::Set { on: Subject::Wire(name.to_owned()), key: key.to_owned(), value };
    let mut edits = Vec::new();
    if other.gauge != wire.gauge {
        edits.push(set("size", EditValue::Gauge(other.gauge)));
    }
    if other.insulation != wire.insulation {
        edits.push(set("insulation", EditValue::Insulation(other.insulation)));
    }
    edits
}
