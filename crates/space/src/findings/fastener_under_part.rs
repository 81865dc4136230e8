//! A nut or head comes out under a part on the other face.

use super::layout::{Layout, Solid};
use super::{marks, mm};
use crate::faces::{Standing, stands, thread_of};
use crate::geometry::{Fastener, FastenerKind};
use crate::shape::{octagon, overlap};
use crate::{hardware, held};
use loomdeck_model::part_type::{Fixing, FixingStyle, Head};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Edit, EditValue, Finding, Page, Remedy, Severity, Subject};
use std::collections::BTreeMap;

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "fastener-under-part",
    severity: Severity::Fix,
    title: "A nut or head comes out under a part on the other face",
    physics: "A through bolt shows washer, nut and the end of its screw on the far face: the screw \
        of the fastener list, which is the shortest standard length that reaches through the nut, and \
        often longer than needed. A standoff shows the head of its screw. What stands there must leave that disc free, or stand on \
        standoffs that are taller than it. The overlap is how far the part reaches into the disc; the \
        missing height is what its standoffs lack.",
    source: "Heights and diameters: ISO 4032 nuts, ISO 7089 washers, ISO 4762 and ISO 7046 heads; ASME \
        B18 for inch screws.",
    limits: "A screw that is longer than the one on the fastener list stands out further. Whether you can still hold the nut with the part in place is another question.",
    before: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [92, 77]\n\
         fixing = { style = \"adhesive\" }\n"
    ),
    after: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         fixing = { style = \"insert\" }\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [92, 77]\n\
         fixing = { style = \"adhesive\" }\n"
    ),
};

/// Looks at every head and nut: those that come out on the other face, and those on the flanges of parts
/// that stand under others.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    for view in &layout.geometry.faces {
        // The worst of the heads and nuts of one thing under another.
        let mut worst: BTreeMap<(&Subject, usize), (f64, &Fastener)> = BTreeMap::new();
        let shows = |f: &&Fastener| {
            let kinds = [FastenerKind::Mount, FastenerKind::Post, FastenerKind::Foot];
            !kinds.contains(&f.kind) && f.height > f.base
        };
        for f in view.fasteners.iter().chain(&view.fixtures).filter(shows) {
            let r = f.diameter.0 / 2.0;
            for s in layout.near_circle(view.face, f.at, r) {
                let overlap = r - s.outside(f.at);
                let known = worst.get(&(&f.subject, s.index)).map_or(1e-6, |k| k.0);
                let meets = f.height - s.body.base > Millimetres(1e-6) && s.body.top > f.base;
                if meets && overlap > known && f.subject != s.subject && !bodies_meet(layout, f, s) {
                    worst.insert((&f.subject, s.index), (overlap, f));
                }
            }
        }
        for ((_, i), (overlap, f)) in worst {
            let s = &layout.solids[view.face as usize][i];
            out.push(finding(layout, f, s, overlap, f.height - s.body.base));
        }
    }
}

/// The two things themselves take the same place, which is told by itself.
fn bodies_meet(layout: &Layout, f: &Fastener, s: &Solid) -> bool {
    layout.solid(&f.subject).is_some_and(|own| {
        own.face == s.face && own.meets_in_height(s) && overlap(&own.pieces, &s.pieces)
    })
}

fn finding(layout: &Layout, f: &Fastener, s: &Solid, overlap: f64, missing: Millimetres) -> Finding {
    let thing = match f.kind {
        FastenerKind::Nut => "nut",
        FastenerKind::ScrewEnd => "screw end",
        _ => "screw head",
    };
    let owner = f.subject.name();
    let what = format!(
        "A {thing} of {owner} comes out under {} on the {}, which covers it by {} and would have to \
         stand {} higher.",
        s.name(),
        s.face.word(),
        mm(overlap),
        missing
    );
    let why = format!(
        "The {thing} is {} wide and stands {} off the face; {} stands {} above it.",
        f.diameter,
        f.height,
        s.name(),
        s.body.base
    );
    let mut out = Finding::new(PAGE.slug, PAGE.severity, f.subject.clone(), what, why, PAGE.source)
        .with_subject(s.subject.clone())
        .with_value("overlap_mm", overlap)
        .with_value("missing_height_mm", missing.0)
        .with_limit("overlap_mm", 0.0)
        .with_spot(s.face, f.at)
        .with_marks(marks::clash(s.face, &s.pieces, &[marks::disc(f)], marks::length(overlap)));
    out.remedies.extend(otherwise(layout, f, s));
    out.remedies.extend(layout.best_move(layout.moves_off(
        s,
        &[octagon(f.at, f.diameter.0 / 2.0)],
        0.0,
    )));
    if out.remedies.is_empty() {
        out.remedies.push(Remedy::advice(format!(
            "Put {} on standoffs of at least {}, or move {owner}.",
            s.name(),
            f.height
        )));
    }
    out
}

/// Other ways to hold the owner that show nothing under the part, or less than its standoffs: an insert
/// or a sunk nut that end within the board, a countersunk head, the bolt put in the other way round.
fn otherwise(layout: &Layout, f: &Fastener, s: &Solid) -> Vec<Remedy> {
    let Some(own) = layout.solid(&f.subject).and_then(|o| stands(layout.robot, o.body.owner)) else {
        return Vec::new();
    };
    if own.at.face == s.face {
        return Vec::new();
    }
    let name = f.subject.name();
    let style = |style: FixingStyle| ("style", EditValue::Text(style.word().to_owned()));
    let now = own.fixing;
    let bolted = matches!(now.style, FixingStyle::BoltAndNut | FixingStyle::Standoff);
    /// The fixing, the keys that make it so, and what to do in words.
    type Other<'t> = (Fixing, Vec<(&'t str, EditValue)>, String);
    let mut ways: Vec<Other> = Vec::new();
    if now.style != FixingStyle::Insert {
        ways.push((
            Fixing { style: FixingStyle::Insert, ..now.clone() },
            vec![style(FixingStyle::Insert)],
            format!("Fix {name} with threaded inserts, which end within the board."),
        ));
    }
    if bolted && now.head != Head::Countersunk {
        ways.push((
            Fixing { head: Head::Countersunk, ..now.clone() },
            vec![("head", EditValue::Text("countersunk".into()))],
            format!(
                "Put the screws of {name} in from the {} with countersunk heads, flush there.",
                s.face.word()
            ),
        ));
    }
    if now.style == FixingStyle::BoltAndNut && !now.turned {
        ways.push((
            Fixing { turned: true, ..now.clone() },
            vec![("turned", EditValue::Flag(true))],
            format!("Turn the bolts of {name} round, so that their heads lie on the {}.", s.face.word()),
        ));
    }
    if !(now.style == FixingStyle::CaptiveNut && now.sunk) {
        ways.push((
            Fixing { style: FixingStyle::CaptiveNut, sunk: true, ..now.clone() },
            vec![style(FixingStyle::CaptiveNut), ("sunk", EditValue::Flag(true))],
            format!("Fix {name} with captive nuts sunk flush into the {}.", s.face.word()),
        ));
    }
    let set = |(key, value): (&str, EditValue)| Edit::Set {
        on: f.subject.clone(),
        key: format!("fixing.{key}"),
        value,
    };
    ways.into_iter()
        .filter(|(fixing, _, _)| fits_under(layout, &own, fixing, s))
        .map(|(_, keys, text)| Remedy::edit(text, keys.into_iter().map(set).collect()))
        .take(2)
        .collect()
}

/// Held so, nothing of a thing on the other face reaches up to a part; what is set into the board finds
/// room in it.
fn fits_under(layout: &Layout, own: &Standing, fixing: &Fixing, s: &Solid) -> bool {
    let board = layout.board.thickness;
    own.kind.holes.iter().all(|hole| {
        let thread = thread_of(fixing, hole.diameter);
        let room = fixing.style != FixingStyle::Insert || board >= hardware::insert_length(thread);
        let low = held::shown(fixing, thread, own.at.face, board, true)
            .into_iter()
            .filter(|p| p.face == s.face)
            .all(|p| p.top <= s.body.base + Millimetres(1e-6));
        room && low && held::screws(fixing, thread, own.at.face, board).iter().all(|c| c.fits)
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};

    #[test]
    fn overlap_and_height_are_exact() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "fastener-under-part").unwrap();
        // Nut at (86, 76) with a washer 7 wide; the part on the back covers x 52..92, y 77..107.
        assert!((f.values["overlap_mm"] - 2.5).abs() < 1e-9, "{}", f.values["overlap_mm"]);
        // Flange 2 + board 9 + washer 0.5 + nut 2.4 + pitch 0.5 = 14.4: M3 × 16, of which 5 mm stand out.
        assert!((f.values["missing_height_mm"] - 5.0).abs() < 1e-9);
    }

    #[test]
    fn other_fixings_are_offered_where_they_end_within_the_board() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "fastener-under-part").unwrap();
        let told: Vec<&str> = f.remedies.iter().map(|r| r.text.as_str()).collect();
        assert!(told[0].contains("inserts") && told[1].contains("countersunk"), "{told:?}");
        // A head of 2.4 mm under a part on 3 mm spacers, where a nut of 5 mm has no room.
        let spaced = super::PAGE
            .before
            .replace("{ style = \"adhesive\" }", "{ style = \"insert\", standoff_mm = 3 }");
        assert_eq!(count(&spaced, "fastener-under-part"), 1);
        let turned = spaced.replace(
            "face = \"front\"\nat_mm = [50, 50]\n",
            "face = \"front\"\nat_mm = [50, 50]\nfixing = { turned = true }\n",
        );
        assert_eq!(count(&turned, "fastener-under-part"), 0);
        let sunk = super::PAGE.before.replace(
            "face = \"front\"\nat_mm = [50, 50]\n",
            "face = \"front\"\nat_mm = [50, 50]\nfixing = { style = \"captive-nut\", sunk = true, flange_mm = 1 }\n",
        );
        // 1 + 9 mm: the screw of 10 mm ends flush in the sunk nut.
        assert_eq!(count(&sunk, "fastener-under-part"), 0);
    }

    #[test]
    fn a_head_on_a_flange_must_clear_what_stands_over_it() {
        // The nut of a turned bolt on a thin plate is higher than the plate, and as high as the cover.
        let text = super::PAGE
            .before
            .replace("height_mm = 20\nmass_g", "height_mm = 2\nmass_g")
            .replace("at_mm = [50, 50]", "at_mm = [50, 50]\nfixing = { turned = true }")
            .replace(
                "face = \"back\"\nat_mm = [92, 77]\nfixing = { style = \"adhesive\" }",
                "face = \"front\"\nat_mm = [70, 70]\nfixing = { style = \"standoff\", standoff_mm = 5 }",
            );
        assert_eq!(count(&text, "fastener-under-part"), 1);
        let higher = text.replace("standoff_mm = 5", "standoff_mm = 8");
        assert_eq!(count(&higher, "fastener-under-part"), 0);
    }

    #[test]
    fn tall_standoffs_span_it() {
        let text = super::PAGE.before.replace(
            "style = \"adhesive\"",
            "style = \"standoff\", head = \"countersunk\", standoff_mm = 6",
        );
        assert_eq!(count(&text, "fastener-under-part"), 0);
    }
}
