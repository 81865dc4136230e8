//! What the builder must know before cutting and drilling. One file a finding.

mod colour_against_convention;
mod colour_not_on_shelf;
mod corner_too_tight_for_saw;
mod countersink_breaks_out;
mod countersink_deeper_than_board;
mod hole_needs_odd_bit;
mod holes_share_a_place;
mod insert_longer_than_board;
mod no_standard_screw_length;
mod spacer_of_odd_length;
mod sunk_nut_stands_proud;
mod wire_not_on_shelf;

use crate::making::Making;
use loomdeck_model::part_type::Fixing;
use loomdeck_model::{
    Edit, EditValue, Face, Finding, Page, Place, Placement, PlugPlace, Point, Remedy, Robot, Subject,
};
use loomdeck_space::Geometry;

/// Everything `explain` can say about this crate's findings.
pub const PAGES: &[Page] = &[
    colour_against_convention::PAGE,
    colour_not_on_shelf::PAGE,
    corner_too_tight_for_saw::PAGE,
    countersink_breaks_out::PAGE,
    countersink_deeper_than_board::PAGE,
    hole_needs_odd_bit::PAGE,
    holes_share_a_place::PAGE,
    insert_longer_than_board::PAGE,
    no_standard_screw_length::PAGE,
    spacer_of_odd_length::PAGE,
    sunk_nut_stands_proud::PAGE,
    wire_not_on_shelf::PAGE,
];

/// All findings of making, sorted worst first.
pub fn findings(robot: &Robot, _geometry: &Geometry, making: &Making) -> Vec<Finding> {
    let mut all = Vec::new();
    all.extend(colour_against_convention::find(robot, making));
    all.extend(colour_not_on_shelf::find(robot, making));
    all.extend(corner_too_tight_for_saw::find(robot));
    all.extend(countersink_breaks_out::find(robot, making));
    all.extend(countersink_deeper_than_board::find(robot));
    all.extend(hole_needs_odd_bit::find(robot, making));
    all.extend(holes_share_a_place::find(robot, making));
    all.extend(insert_longer_than_board::find(robot));
    all.extend(no_standard_screw_length::find(robot, making));
    all.extend(spacer_of_odd_length::find(robot, making));
    all.extend(sunk_nut_stands_proud::find(robot));
    all.extend(wire_not_on_shelf::find(robot, making));
    Finding::sort(&mut all);
    all
}

/// Something that holes of the board hold: a part or a fixed plug.
struct Held<'a> {
    subject: Subject,
    fixing: &'a Fixing,
    placement: Placement,
}

impl Held<'_> {
    /// A change of its fixing: an edit for a part, in words for a plug, whose type says how it is held.
    fn refix(&self, text: &str, key: &str, value: &str) -> Remedy {
        match &self.subject {
            Subject::Part(_) => {
                let value = EditValue::Text(value.to_owned());
                let edit = Edit::Set { on: self.subject.clone(), key: key.to_owned(), value };
                Remedy::edit(text, vec![edit])
            }
            _ => Remedy::advice(format!(
                "{text} Its type says so, in a file of your own `parts/` folder."
            )),
        }
    }
}

/// The parts and fixed plugs that have holes in the board, in the robot's order.
fn on_board(robot: &Robot) -> Vec<Held<'_>> {
    let part = |p: &'_ loomdeck_model::Part| match p.place {
        Place::Board(placement) => Some((Subject::Part(p.name.clone()), p.kind, placement)),
        Place::Zone { .. } => None,
    };
    let plug = |p: &'_ loomdeck_model::Plug| match p.place {
        PlugPlace::Fixed(placement) => Some((Subject::Plug(p.name.clone()), p.family, placement)),
        PlugPlace::Tail { .. } => None,
    };
    let all = robot.parts.iter().filter_map(part).chain(robot.plugs.iter().filter_map(plug));
    all.filter(|(_, kind, _)| !robot.types[kind.0].holes.is_empty())
        .filter_map(|(subject, _, placement)| {
            let fixing = crate::stacks::fixing_of(robot, &subject)?;
            Some(Held { subject, fixing, placement })
        })
        .collect()
}

/// Where a finding about a part or a fixed plug puts its tag.
pub(crate) fn spot_of(robot: &Robot, subject: &Subject) -> Option<(Face, Point)> {
    let placement = match subject {
        Subject::Part(name) => match robot.parts[robot.part(name)?.0].place {
            Place::Board(placement) => placement,
            Place::Zone { .. } => return None,
        },
        Subject::Plug(name) => match robot.plugs.iter().find(|p| p.name == *name)?.place {
            PlugPlace::Fixed(placement) => placement,
            PlugPlace::Tail { .. } => return None,
        },
        _ => return None,
    };
    Some((placement.face, placement.at))
}

/// `a`, `a and b`, `a, b and 3 more`.
fn some_of(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [one, two] => format!("{one} and {two}"),
        [one, two, three] => format!("{one}, {two} and {three}"),
        [one, two, rest @ ..] => format!("{one}, {two} and {} more", rest.len()),
    }
}

#[cfg(test)]
pub(crate) mod tests;
