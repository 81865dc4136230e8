//! What the builder must know about space, one kind of finding a file.

pub(crate) mod access;
mod bend;
mod end_larger_than_pass_through;
mod fastener_under_part;
mod gap_too_small;
mod hole_near_edge;
mod keep_out_entered;
mod layout;
mod length_only_bounded;
mod length_shorter_than_route;
mod loom_squeezed;
mod marks;
mod mount_blocked;
mod order;
mod part_near_edge;
mod part_over_edge;
mod parts_overlap;
mod pass_through_covered;
mod pass_through_too_full;
mod plug_blocked;
mod plug_faces_inward;
mod power_beside_signal;
mod rest;
mod routes;
mod takeout;
mod terminal_exit_blocked;
mod too_deep;
mod web_too_thin;
mod wire_cannot_be_routed;
mod zone_path_not_stated;

use crate::geometry::Geometry;
use crate::order::Order;
use layout::Layout;
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Finding, Page, Robot};

/// Explanations of all kinds of findings of this crate, room by room.
pub const PAGES: &[&[Page]] =
    &[FACES, access::PAGES, bend::PAGES, order::PAGES, rest::PAGES, routes::PAGES, takeout::PAGES];

/// What stands on the faces, and the ways of wires.
const FACES: &[Page] = &[
    parts_overlap::PAGE,
    gap_too_small::PAGE,
    part_over_edge::PAGE,
    part_near_edge::PAGE,
    too_deep::PAGE,
    web_too_thin::PAGE,
    hole_near_edge::PAGE,
    fastener_under_part::PAGE,
    mount_blocked::PAGE,
    keep_out_entered::PAGE,
    pass_through_covered::PAGE,
    pass_through_too_full::PAGE,
    end_larger_than_pass_through::PAGE,
    plug_blocked::PAGE,
    plug_faces_inward::PAGE,
    terminal_exit_blocked::PAGE,
    wire_cannot_be_routed::PAGE,
    zone_path_not_stated::PAGE,
    length_only_bounded::PAGE,
    length_shorter_than_route::PAGE,
    loom_squeezed::PAGE,
    power_beside_signal::PAGE,
];

/// Everything the builder must know about space, worst first.
pub fn findings(robot: &Robot, geometry: &Geometry) -> Vec<Finding> {
    let mut out = Vec::new();
    if let Some(layout) = Layout::new(robot, geometry) {
        for find in [
            parts_overlap::find,
            gap_too_small::find,
            part_over_edge::find,
            part_near_edge::find,
            too_deep::find,
            web_too_thin::find,
            hole_near_edge::find,
            fastener_under_part::find,
            mount_blocked::find,
            keep_out_entered::find,
            pass_through_covered::find,
            pass_through_too_full::find,
            end_larger_than_pass_through::find,
            plug_blocked::find,
            plug_faces_inward::find,
            terminal_exit_blocked::find,
            wire_cannot_be_routed::find,
            loom_squeezed::find,
        ] {
            find(&layout, &mut out);
        }
        for find in [access::find, bend::find, rest::find, routes::find] {
            find(&layout, &mut out);
        }
    }
    zone_path_not_stated::find(robot, &mut out);
    length_only_bounded::find(robot, geometry, &mut out);
    length_shorter_than_route::find(robot, geometry, &mut out);
    power_beside_signal::find(robot, geometry, &mut out);
    Finding::sort(&mut out);
    out
}

/// What the builder must know about the order of work.
pub(crate) fn order(robot: &Robot, geometry: &Geometry, order: &Order) -> Vec<Finding> {
    let mut out = Vec::new();
    if let Some(layout) = Layout::new(robot, geometry) {
        order::find(&layout, order, &mut out);
        takeout::find(&layout, order, &mut out);
    }
    Finding::sort(&mut out);
    out
}

/// A length as told: to a tenth of a millimetre, below that to a hundredth.
fn mm(length: f64) -> Millimetres {
    let scale = if length.abs() < 0.1 { 100.0 } else { 10.0 };
    Millimetres((length * scale).round() / scale)
}

/// A small robot for a page: a board, two kinds of module, and what the page adds.
macro_rules! robot {
    ($rest:expr) => {
        concat!(
            r#"format = 1
[robot]
name = "small"
about = "A board to look at."

[[type]]
name = "box"
title = "box, 40 × 30 mm"
group = "boxes"
about = "A module with two screws and a terminal on either side."
basis = "made up"
size_mm = [40, 30]
height_mm = 20
mass_g = 50
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 3.4
fixing = { style = "bolt-and-nut", thread = "M3", head = "pan" }
[[type.terminal]]
name = "left"
at_mm = [2, 15]
height_mm = 8
exit = "left"
fitting = "screw-clamp"
ends = ["ferrule"]
wire_mm2 = [0.2, 6]
room_for = 4
boot_mm = 5
role = "passive"
optional = true
[[type.terminal]]
name = "right"
at_mm = [38, 15]
height_mm = 8
exit = "right"
fitting = "stud-M6"
ends = ["ring-6"]
wire_mm2 = [0.2, 6]
room_for = 4
boot_mm = 5
role = "passive"
optional = true
[[type.element]]
kind = "resistor"
a = "left"
b = "right"
ohms_ohm = 100
power_w = 1

[[type]]
name = "plug-2"
title = "plug, 2 contacts"
group = "plugs"
about = "A small locking plug."
basis = "made up"
[type.plug]
contacts = 2
rating_a = 10
resistance_mohm = 5
voltage_v = 60
wire_mm2 = [0.3, 2.5]
temperature_degc = 105
reversible = false
break_under_load = false
shrouded = true
width_mm = 12
length_mm = 40
height_mm = 10
boot_mm = 5
end = "contact"
locks = true

[board]
size_mm = [200, 150]
thickness_mm = 9
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 45

"#,
            $rest
        )
    };
}
pub(crate) use robot;

#[cfg(test)]
pub(crate) mod tests;
