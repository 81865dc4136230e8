//! The part types that can be put into a robot: the library's and its own.

use crate::talk::TypeOn;
use loomdeck_model::units::{Degrees, three_digits};
use loomdeck_model::{Face, PartType, Placement, Point, Robot, library};
use std::collections::BTreeSet;

/// Every type that can be a part, the robot's own first. Fuses and plugs are no parts.
pub fn types(robot: Option<&Robot>) -> Vec<TypeOn> {
    let own = robot.into_iter().flat_map(|r| r.types.iter().filter(|t| t.own));
    let (all, _) = library::all();
    let mut seen = BTreeSet::new();
    own.chain(&all)
        .filter(|t| t.fuse.is_none() && t.plug_family.is_none() && seen.insert(t.name.clone()))
        .map(shown)
        .collect()
}

fn shown(t: &PartType) -> TypeOn {
    let (low, high) = t.outline.bounds();
    // Where it lies for a part that stands upright at the origin of the front.
    let placed = Placement { face: Face::Front, at: Point::new(0.0, 0.0), turn: Degrees(0.0) };
    TypeOn {
        name: t.name.clone(),
        title: t.title.clone(),
        group: t.group.clone(),
        about: t.about.clone(),
        size: format!(
            "{} × {} × {} mm",
            three_digits(high.x - low.x),
            three_digits(high.y - low.y),
            three_digits(t.height.0)
        ),
        outline: placed.outline_to_board(&t.outline).0.iter().map(|p| [p.x, p.y]).collect(),
        own: t.own,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_type_has_an_outline_and_can_be_a_part() {
        let types = types(None);
        assert!(types.len() > 40, "{}", types.len());
        for t in &types {
            assert!(
                t.outline.len() >= 3 && !t.title.is_empty() && t.size.ends_with(" mm"),
                "{}",
                t.name
            );
        }
        assert!(types.iter().any(|t| t.name == "fuse-block-blade-4"));
        assert!(
            !types.iter().any(|t| t.name == "blade-2a"),
            "a fuse goes into a way, not onto the board"
        );
    }
}
