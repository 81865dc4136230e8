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
[board]
size_mm = [200, 150]
thickness_mm = 10
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 40
[[type]]
name = "cell"
size_mm = [40, 30]
height_mm = 20
[[type.terminal]]
name = "plus"
at_mm = [40, 20]
fitting = "screw-clamp"
wire_mm2 = [0.22, 4]
role = "positive"
[[type.terminal]]
name = "minus"
at_mm = [40, 10]
fitting = "screw-clamp"
wire_mm2 = [0.22, 4]
role = "return"
[[type.element]]
kind = "battery"
plus = "plus"
minus = "minus"
chemistry = "lead-agm"
cells = 6
capacity_ah = 7
rated_hours = 20
peukert = 1.15
resistance_mohm = 25
open_circuit = [{ charge_percent = 0, v = 1.93 }, { charge_percent = 100, v = 2.13 }]
discharge_limit_a = 50
charge_limit_a = 2
cut_off_per_cell_v = 1.75
charge_voltage_per_cell_v = 2.4
[[type]]
name = "lamp"
size_mm = [30, 30]
height_mm = 20
[[type.terminal]]
name = "plus"
at_mm = [0, 20]
fitting = "screw-clamp"
wire_mm2 = [0.22, 4]
role = "positive"
[[type.terminal]]
name = "minus"
at_mm = [0, 10]
fitting = "screw-clamp"
wire_mm2 = [0.22, 4]
role = "return"
[[type.element]]
kind = "load"
plus = "plus"
minus = "minus"
law = "resistance"
nominal_v = 12
brown_out_v = 9
damage_v = 16
usual = "lit"
activities = [{ name = "lit", mean_a = 1 }]
[[part]]
name = "cell"
type = "cell"
face = "front"
at_mm = [20, 50]
[[part]]
name = "lamp"
type = "lamp"
face = "front"
at_mm = [140, 50]
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
[board]
size_mm = [200, 150]
thickness_mm = 10
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 40
[[type]]
name = "cell"
size_mm = [40, 30]
height_mm = 20
[[type.terminal]]
name = "plus"
at_mm = [40, 20]
fitting = "screw-clamp"
wire_mm2 = [0.22, 4]
role = "positive"
[[type.terminal]]
name = "minus"
at_mm = [40, 10]
fitting = "screw-clamp"
wire_mm2 = [0.22, 4]
role = "return"
[[type.element]]
kind = "battery"
plus = "plus"
minus = "minus"
chemistry = "lead-agm"
cells = 6
capacity_ah = 7
rated_hours = 20
peukert = 1.15
resistance_mohm = 25
open_circuit = [{ charge_percent = 0, v = 1.93 }, { charge_percent = 100, v = 2.13 }]
discharge_limit_a = 50
charge_limit_a = 2
cut_off_per_cell_v = 1.75
charge_voltage_per_cell_v = 2.4
[[type]]
name = "lamp"
size_mm = [30, 30]
height_mm = 20
[[type.terminal]]
name = "plus"
at_mm = [0, 20]
fitting = "screw-clamp"
wire_mm2 = [0.22, 4]
role = "positive"
[[type.terminal]]
name = "minus"
at_mm = [0, 10]
fitting = "screw-clamp"
wire_mm2 = [0.22, 4]
role = "return"
[[type.element]]
kind = "load"
plus = "plus"
minus = "minus"
law = "resistance"
nominal_v = 12
brown_out_v = 9
damage_v = 16
usual = "lit"
activities = [{ name = "lit", mean_a = 1 }]
[[part]]
name = "cell"
type = "cell"
face = "front"
at_mm = [20, 50]
[[part]]
name = "lamp"
type = "lamp"
face = "front"
at_mm = [140, 50]
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
