//! A fixed plug does not face the edge of the board.

use super::layout::Layout;
use super::mm;
use crate::faces::plug_direction;
use crate::geometry::Owner;
use crate::shape::{along, contains};
use loomdeck_model::units::Degrees;
use loomdeck_model::{Edit, EditValue, Finding, Page, PlugPlace, Point, Severity};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "plug-faces-inward",
    severity: Severity::Look,
    title: "A plug does not face the edge of the board",
    physics: "The body half of a plug and its loom come from the body, over the edge of the board. When the \
        plug sits far inside, or points inwards, the loom lies across the board, over parts and wires \
        that you want to reach, and pulls the plug sideways. The length is how far the loom runs over \
        the board, straight on from the plug.",
    source: "Common practice, no source: no more than 60 mm.",
    limits: "Plan view, straight on.",
    before: super::robot!(
        "[[zone]]\nname = \"leg\"\npath_mm = 300\n\
         [[plug]]\nname = \"leg-plug\"\nfamily = \"plug-2\"\nzone = \"leg\"\nface = \"front\"\n\
         at_mm = [170, 75]\nturn_deg = 180\n"
    ),
    after: super::robot!(
        "[[zone]]\nname = \"leg\"\npath_mm = 300\n\
         [[plug]]\nname = \"leg-plug\"\nfamily = \"plug-2\"\nzone = \"leg\"\nface = \"front\"\n\
         at_mm = [170, 75]\nturn_deg = 0\n"
    ),
};

/// Longest way over the board from a plug to the edge, mm.
const INSIDE: f64 = 60.0;

/// Looks at every fixed plug.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    for s in layout.all() {
        let Owner::Plug(plug) = s.body.owner else { continue };
        let PlugPlace::Fixed(at) = layout.robot.plugs[plug.0].place else { continue };
        let Some(family) = layout.robot.family_of(plug) else { continue };
        let end = at.to_board(Point::new(family.length.0 / 2.0, 0.0));
        let over = |d: Point| over_board(layout, end, d);
        let length = over(plug_direction(at));
        if length <= INSIDE {
            continue;
        }
        let what = format!(
            "{} faces inwards on the {}: its loom crosses {} of board before it leaves; {} is plenty.",
            s.name(),
            s.face.word(),
            mm(length),
            mm(INSIDE)
        );
        let why =
            "A loom across the board lies over what you want to reach, and pulls the plug sideways.";
        let mut f = Finding::new(PAGE.slug, PAGE.severity, s.subject.clone(), what, why, PAGE.source)
            .with_value("length_mm", length)
            .with_limit("length_mm", INSIDE)
            .with_spot(s.face, s.middle());
        let best = [90.0, 180.0, 270.0]
            .map(|by| Degrees((at.turn.0 + by).rem_euclid(360.0)))
            .map(|turn| {
                let turned = loomdeck_model::Placement { turn, ..at };
                let end = turned.to_board(Point::new(family.length.0 / 2.0, 0.0));
                (over_board(layout, end, plug_direction(turned)), turn)
            })
            .into_iter()
            .reduce(|a, b| if b.0 < a.0 { b } else { a })
            .filter(|(l, _)| *l <= INSIDE);
        if let Some((_, turn)) = best {
            let edit =
                Edit::Set { on: s.subject.clone(), key: "turn".into(), value: EditValue::Angle(turn) };
            let text = format!("Turn {} to {turn}, so that it faces the edge.", s.name());
            f.remedies.push(loomdeck_model::Remedy::edit(text, vec![edit]));
        }
        out.push(f);
    }
}

/// How far a ray runs over the board; sampled every millimetre, which is finer than it is told.
fn over_board(layout: &Layout, from: Point, d: Point) -> f64 {
    let (low, high) = layout.board.outline.bounds();
    let longest = low.distance(high).min(5000.0);
    let steps = longest.ceil() as usize;
    (0..=steps)
        .map(|i| i as f64)
        .take_while(|t| contains(&layout.board.outline, along(from, d, *t)))
        .last()
        .unwrap_or(0.0)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;

    #[test]
    fn the_way_over_the_board_is_measured() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "plug-faces-inward").unwrap();
        assert_eq!(f.values["length_mm"], 150.0);
        assert!(f.remedies[0].text.contains("0"), "{}", f.remedies[0].text);
    }
}
