//! A nut or head comes out under a part on the other face.

use super::layout::{Layout, Solid};
use super::mm;
use crate::geometry::{Fastener, FastenerKind};
use crate::shape::octagon;
use loomdeck_model::part_type::FixingStyle;
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

/// Looks at every head and nut.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    for view in &layout.geometry.faces {
        // The worst of the heads and nuts of one thing under another.
        let mut worst: BTreeMap<(&Subject, usize), (f64, &Fastener)> = BTreeMap::new();
        for f in view.fasteners.iter().filter(|f| f.kind != FastenerKind::Mount && f.height.0 > 0.0) {
            let r = f.diameter.0 / 2.0;
            for s in layout.near_circle(view.face, f.at, r) {
                let overlap = r - s.outside(f.at);
                let known = worst.get(&(&f.subject, s.index)).map_or(1e-6, |k| k.0);
                if f.height - s.body.base > Millimetres(1e-6) && overlap > known {
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
        .with_spot(s.face, f.at);
    out.remedies.extend(insert(layout, f));
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

/// An insert ends within the board, where that is thick enough.
fn insert(layout: &Layout, f: &Fastener) -> Option<Remedy> {
    let Subject::Part(name) = &f.subject else { return None };
    let part = layout.robot.parts.iter().find(|p| p.name == *name)?;
    // Inserts are about twice as long as the thread is wide (common practice, no source).
    let thread = part.fixing.thread.map_or(3.0, |t| t.major().0);
    if layout.board.thickness.0 < 2.0 * thread || part.fixing.style == FixingStyle::Insert {
        return None;
    }
    let on = f.subject.clone();
    let edit = Edit::Set { on, key: "fixing.style".into(), value: EditValue::Text("insert".into()) };
    Some(Remedy::edit(
        format!("Fix {name} with threaded inserts, which end within the board."),
        vec![edit],
    ))
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
    fn tall_standoffs_span_it() {
        let text = super::PAGE.before.replace(
            "style = \"adhesive\"",
            "style = \"standoff\", head = \"countersunk\", standoff_mm = 6",
        );
        assert_eq!(count(&text, "fastener-under-part"), 0);
    }
}
