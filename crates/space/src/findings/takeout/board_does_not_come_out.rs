//! The loaded board does not pass the opening of the body.

use super::super::layout::{Layout, SIDES, Solid};
use super::super::mm;
use crate::geometry::{FaceView, Owner};
use crate::shape::along;
use crate::takeout::{Leading, TakeOut, Way, way as through};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{
    BodyOpening, Edit, EditValue, Finding, Outline, Page, Point, Remedy, Severity, Subject,
};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "board-does-not-come-out",
    severity: Severity::Fix,
    title: "The board does not pass the opening of the body",
    physics: "What travels straight through a flat opening sweeps its shadow in the direction of travel. The \
        loaded board passes when that shadow, turned and shifted as you like, lies within the opening with air \
        all round. Looked at are both faces first and all four edges first: with a face first the sheet and \
        what hangs over its edge count, with an edge first the heights on both faces.\n\nEvery turn and place \
        is searched: a shift changes the air by no more than its length and a turn by no more than the arc of \
        the farthest corner, so whole regions can be left out with certainty. The pose that is offered is \
        measured corner by corner.",
    source: "Geometry. That two thirds of a mated plug stay on the board: common practice, no source.",
    limits: "The board goes straight through without being tilted on the way; behind the opening there is room. \
        Everything counts as solid down to the sheet; wires and tails are folded in. The best pose is found \
        within a quarter of a millimetre.",
    before: super::super::robot!(
        "[body_opening]\nsize_mm = [180, 50]\ngap_mm = 2\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [80, 60]\n\
         fixing = { style = \"standoff\", thread = \"M3\", standoff_mm = 20 }\n"
    ),
    after: super::super::robot!(
        "[body_opening]\nsize_mm = [180, 50]\ngap_mm = 2\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [80, 60]\n\
         fixing = { style = \"standoff\", thread = \"M3\", standoff_mm = 10 }\n"
    ),
};

/// Looks at the best way.
pub fn find(layout: &Layout, take_out: &TakeOut, out: &mut Vec<Finding>) {
    let Some(opening) = &layout.board.body_opening else { return };
    let Some(best) = take_out.ways.first() else { return };
    if best.goes {
        return;
    }
    let air = best.fit.air.0;
    let names: Vec<&str> = best.in_the_way.iter().map(|o| o.subject.name()).collect();
    let (severity, what) = if air >= 0.0 {
        let text = format!(
            "The board comes out only {} with {} of air, less than the {} you want.",
            best.leading.words(),
            mm(air),
            opening.gap
        );
        (Severity::Look, text)
    } else {
        let text = format!(
            "The board does not come out of the body: best is {}, and then {} over the rim of the opening by {}.",
            best.leading.words(),
            reach(&names),
            mm(-air)
        );
        (Severity::Fix, text)
    };
    let mut why = format!(
        "Turned by {:.0} and shifted as well as can be, the shadow of the loaded board is that much too large.",
        best.fit.pose.turn
    );
    if best.fit.at_most.0 >= opening.gap.0 {
        why.push_str(" The search ended before every pose was settled: one may be left that goes.");
    }
    let mut f = Finding::new(PAGE.slug, severity, Subject::Board, what, why, PAGE.source)
        .with_value("air_mm", air)
        .with_value("air_at_most_mm", best.fit.at_most.0)
        .with_limit("air_mm", opening.gap.0);
    for o in best.in_the_way.iter().filter(|o| o.subject != Subject::Board) {
        f.subjects.push(o.subject.clone());
    }
    let first = best.in_the_way.iter().find_map(|o| layout.solid(&o.subject));
    f.spot = first.map(|s| (s.face, s.middle()));
    f.remedies = remedies(layout, take_out, opening);
    out.push(f);
}

fn reach(names: &[&str]) -> String {
    match names {
        [] => "the board reaches".to_owned(),
        [one] => format!("{one} reaches"),
        [a, b] => format!("{a} and {b} reach"),
        [a, b, rest @ ..] => format!("{a}, {b} and {} more reach", rest.len()),
    }
}

/// Lower standoffs, then moves, each tried on every way; then the opening that would do.
fn remedies(layout: &Layout, take_out: &TakeOut, opening: &BodyOpening) -> Vec<Remedy> {
    let mut out = Vec::new();
    // Mirrored ways have the same remedies; the three best that differ are enough.
    for way in take_out.ways.iter().take(5).step_by(2) {
        out.extend(lower(layout, way, opening));
        if out.is_empty() {
            out.extend(moved(layout, way, opening));
        }
        if !out.is_empty() {
            break;
        }
    }
    if let Some(best) = take_out.ways.first() {
        out.push(larger(best, opening));
    }
    out
}

/// The board comes out this way with the faces changed.
fn goes(
    layout: &Layout,
    leading: Leading,
    opening: &BodyOpening,
    change: impl Fn(&mut FaceView),
) -> bool {
    let mut faces: Vec<FaceView> = layout.geometry.faces.clone();
    faces.iter_mut().for_each(change);
    through(layout.robot, layout.board, opening, &faces, leading).goes
}

/// Standoffs may shrink to this, mm; common practice, no source: pins and solder need the rest.
const LEAST_STANDOFF: f64 = 4.0;

/// Shorter standoffs under all parts in the way, when that is enough.
fn lower(layout: &Layout, way: &Way, opening: &BodyOpening) -> Option<Remedy> {
    if way.leading.flat() {
        return None;
    }
    let parts: Vec<&Solid> = way
        .in_the_way
        .iter()
        .filter_map(|o| layout.solid(&o.subject))
        .filter(|s| matches!(s.body.owner, Owner::Part(_)) && s.body.base.0 > LEAST_STANDOFF)
        .collect();
    if parts.is_empty() {
        return None;
    }
    // The least that is enough, in steps of a standoff's usual lengths.
    for by in [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0] {
        let new = |s: &Solid| (s.body.base.0 - by).max(LEAST_STANDOFF);
        let enough = goes(layout, way.leading, opening, |view| {
            for b in &mut view.bodies {
                if let Some(s) = parts.iter().find(|s| s.body.owner == b.owner) {
                    let down = s.body.base.0 - new(s);
                    b.base = Millimetres(b.base.0 - down);
                    b.top = Millimetres(b.top.0 - down);
                }
            }
        });
        if enough {
            let edits = parts
                .iter()
                .map(|s| Edit::Set {
                    on: s.subject.clone(),
                    key: "fixing.standoff".into(),
                    value: EditValue::Length(Millimetres(new(s))),
                })
                .collect();
            let told: Vec<String> =
                parts.iter().map(|s| format!("{} under {}", mm(new(s)), s.name())).collect();
            let text = format!(
                "Use standoffs of {}: then the board comes out {}.",
                told.join(", "),
                way.leading.words()
            );
            return Some(Remedy::edit(text, edits));
        }
        if parts.iter().all(|s| new(s) <= LEAST_STANDOFF) {
            break;
        }
    }
    None
}

/// The shortest move of the one thing in the way that lets the board pass and finds a free place.
fn moved(layout: &Layout, way: &Way, opening: &BodyOpening) -> Option<Remedy> {
    let things: Vec<&Solid> = way.in_the_way.iter().filter_map(|o| layout.solid(&o.subject)).collect();
    let [thing] = things.as_slice() else { return None };
    // A plug is placed by its own rules; only parts are moved.
    if !matches!(thing.body.owner, Owner::Part(_)) {
        return None;
    }
    let need = (opening.gap.0 - way.in_the_way.first().map_or(0.0, |o| o.air.0)).max(1.0);
    let shift = |by: Point, o: &Outline| Outline(o.0.iter().map(|p| along(*p, by, 1.0)).collect());
    for times in [1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 6.0] {
        for d in SIDES {
            // Whether there is room is the cheaper question.
            let Some(remedy) = layout.move_remedy(thing, d, need * times) else { continue };
            let by = Point::new(d.x * need * times, d.y * need * times);
            // Its screws and nuts go with it.
            let enough = goes(layout, way.leading, opening, |view| {
                let mine = view.bodies.iter_mut().filter(|b| b.owner == thing.body.owner);
                mine.for_each(|b| b.outline = shift(by, &b.outline));
                let heads = view.fasteners.iter_mut().filter(|f| f.subject == thing.subject);
                heads.for_each(|f| f.at = along(f.at, by, 1.0));
            });
            if enough {
                return Some(remedy);
            }
        }
    }
    None
}

/// What opening would do: this one, wider all round.
fn larger(way: &Way, opening: &BodyOpening) -> Remedy {
    let by = opening.gap.0 - way.fit.air.0;
    let (low, high) = opening.outline.bounds();
    let square = opening.outline.0.len() == 4
        && opening
            .outline
            .0
            .iter()
            .all(|p| (p.x == low.x || p.x == high.x) && (p.y == low.y || p.y == high.y));
    let size = if square {
        let up = |x: f64| Millimetres((x + 2.0 * by).ceil());
        format!(": {} × {}", up(high.x - low.x), up(high.y - low.y))
    } else {
        String::new()
    };
    Remedy::advice(format!(
        "Cut the opening {} wider all round{size}; then the board comes out {} with {} of air.",
        mm(by),
        way.leading.words(),
        opening.gap
    ))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};
    use loomdeck_model::edit::apply;
    use loomdeck_model::{Folder, Severity, read};

    /// Edge first the shadow is 150 long and 9 + 40 mm and the nuts high; the opening is 50.
    #[test]
    fn heights_count_with_an_edge_first() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "board-does-not-come-out").unwrap();
        assert!(f.values["air_mm"] < f.limits["air_mm"]);
        assert!(f.subjects.iter().any(|s| s.name() == "amp"), "{f:?}");
    }

    #[test]
    fn shorter_standoffs_work() {
        let text = super::PAGE.before;
        let (_, all) = found(text);
        let f = all.iter().find(|f| f.slug == "board-does-not-come-out").unwrap();
        assert!(!f.remedies[0].edits.is_empty(), "{:?}", f.remedies);
        let folder = apply(&Folder::single(text), &f.remedies[0].edits).unwrap();
        let robot = read(&folder).0.unwrap();
        let left = crate::findings(&robot, &crate::study(&robot));
        assert!(left.iter().all(|f| f.slug != "board-does-not-come-out"), "{left:?}");
    }

    /// Left edge first, a part over the upper edge makes the shadow too long; moved down, it goes.
    #[test]
    fn what_hangs_over_is_moved_in() {
        let text = super::super::super::robot!(
            "[body_opening]\nsize_mm = [156, 60]\ngap_mm = 2\n\
             [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [80, 135]\n"
        );
        let (_, all) = found(text);
        let f = all.iter().find(|f| f.slug == "board-does-not-come-out").unwrap();
        assert_eq!(f.severity, Severity::Fix);
        let folder = apply(&Folder::single(text), &f.remedies[0].edits).unwrap();
        let robot = read(&folder).0.unwrap();
        let left = crate::findings(&robot, &crate::study(&robot));
        assert!(left.iter().all(|f| f.slug != "board-does-not-come-out"), "{left:?}");
        assert_eq!(count(&text.replace("[156, 60]", "[172, 60]"), "board-does-not-come-out"), 0);
    }
}
