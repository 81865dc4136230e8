//! Findings of this room, one kind a file.

mod bend_tighter_than_wire_allows;
mod end_finds_no_room;
mod gap_overfull;
mod opening_edge_bare;
mod pin_inside_obstacle;
mod power_along_signal;

use super::layout::Layout;
use loomdeck_model::{Finding, Page};

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[
    gap_overfull::PAGE,
    pin_inside_obstacle::PAGE,
    bend_tighter_than_wire_allows::PAGE,
    power_along_signal::PAGE,
    end_finds_no_room::PAGE,
    opening_edge_bare::PAGE,
];

/// Everything this room finds.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    for find in [
        gap_overfull::find,
        pin_inside_obstacle::find,
        bend_tighter_than_wire_allows::find,
        power_along_signal::find,
        end_finds_no_room::find,
        opening_edge_bare::find,
    ] {
        find(layout, out);
    }
}

/// A list of names: two at most, and how many more.
fn list<'a>(names: impl Iterator<Item = &'a str>) -> String {
    let names: Vec<&str> = names.collect();
    match names.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [one, two] => format!("{one} and {two}"),
        [one, two, rest @ ..] => format!("{one}, {two} and {} more", rest.len()),
    }
}
