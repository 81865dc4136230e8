//! The sheet may break or stay bent when the robot takes a bump.

use super::super::layout::Layout;
use super::super::mm;
use super::board_sags::roughly;
use super::remedies::stiffer;
use super::{corners, laden};
use crate::rest::Rest;
use crate::rest::strength::Held;
use loomdeck_model::{Face, Finding, Page, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "board-too-weak",
    severity: Severity::Fix,
    title: "A bump may break the board or leave it bent",
    physics: "A robot that is rolled over a kerb or set down hard weighs several times its weight for a moment, \
        and so does everything on its board. The bending moment in the sheet over its thickness gives the \
        stress 6·m / t²; beyond the yield stress plastic stays bent and acrylic cracks.",
    source: "Method as for board-sags. A bump of three weights and a safety of two: common practice, no source. \
        Strengths: published tables; those from memory are marked in the program's table.",
    limits: "The stress right at a bolt or a hole is higher and is not reckoned; places within the free circle \
        of a mount are left out. It is an estimate of the whole sheet, no proof of a corner.",
    before: laden!(
        "thickness_mm = 2\nmaterial = \"acrylic\"\n",
        concat!(
            corners!(),
            "[[part]]\nname = \"amp\"\ntype = \"block\"\nface = \"front\"\nat_mm = [160, 120]\n"
        )
    ),
    after: laden!(
        "thickness_mm = 8\nmaterial = \"acrylic\"\n",
        concat!(
            corners!(),
            "[[part]]\nname = \"amp\"\ntype = \"block\"\nface = \"front\"\nat_mm = [160, 120]\n"
        )
    ),
};

/// Looks at the stress under a bump.
pub fn find(layout: &Layout, rest: &Rest, out: &mut Vec<Finding>) {
    let Held::Firmly(s) = &rest.held else { return };
    if !s.weak() {
        return;
    }
    let board = layout.board;
    let what = format!(
        "A bump of {} times its weight stresses the board to {:.0}\u{2009}MPa, more than the {:.0}\u{2009}MPa that \
         {} bears with a safety of two.",
        s.bump,
        s.stress_mpa,
        s.allowed_mpa,
        board.material.word()
    );
    let why = format!(
        "{:.1} rest on {} of it over a free span of {}; it bends {} then.{}",
        s.load,
        board.thickness,
        mm(s.span.0),
        mm(s.sag_bump.0),
        roughly(&s.rough)
    );
    let mut f = Finding::new(PAGE.slug, PAGE.severity, Subject::Board, what, why, PAGE.source)
        .with_value("stress_mpa", s.stress_mpa)
        .with_value("sag_bump_mm", s.sag_bump.0)
        .with_value("load_kg", s.load.0)
        .with_limit("stress_mpa", s.allowed_mpa)
        .with_spot(Face::Front, s.at);
    f.remedies = stiffer(layout, rest, s.stress_mpa / s.allowed_mpa, |s| !s.weak());
    if f.remedies.is_empty() {
        f.remedies.push(Remedy::advice(
            "Carry the heaviest parts by the body itself, or screw rails along the board under them.",
        ));
    }
    out.push(f);
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;
    use loomdeck_model::edit::apply;
    use loomdeck_model::{Folder, read};

    #[test]
    fn what_is_offered_works() {
        let text = super::PAGE.before;
        let (_, all) = found(text);
        let f = all.iter().find(|f| f.slug == "board-too-weak").unwrap();
        assert!(!f.remedies[0].edits.is_empty(), "{:?}", f.remedies);
        assert!(f.values["stress_mpa"] > f.limits["stress_mpa"]);
        for remedy in f.remedies.iter().filter(|r| !r.edits.is_empty()) {
            let folder = apply(&Folder::single(text), &remedy.edits).unwrap();
            let robot = read(&folder).0.unwrap();
            let left = crate::findings(&robot, &crate::study(&robot));
            assert!(left.iter().all(|f| f.slug != "board-too-weak"), "{}", remedy.text);
        }
    }
}
