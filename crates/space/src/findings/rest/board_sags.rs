//! The sheet sags between its mounts.

use super::super::layout::Layout;
use super::super::mm;
use super::remedies::stiffer;
use super::{corners, laden};
use crate::rest::Rest;
use crate::rest::strength::{Held, SPAN_OVER};
use loomdeck_model::{Face, Finding, Page, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "board-sags",
    severity: Severity::Look,
    title: "The board sags between its mounts",
    physics: "A sheet that lies flat on its mounts bends under its own weight and what stands on it. The \
        deflection follows from the bending stiffness E·t³ / 12 (1 − ν²): twice the thickness bends an eighth. \
        Plastics and wood go on giving way under a lasting load; after 1,000 hours polyethylene has sagged \
        two and a half times as deep as at once. Plugs then no longer meet, and parts strain their \
        screws.\n\nThe deflection is the polynomial of least energy (Ritz) for a thin plate held at points, \
        with every part's mass on its footprint.",
    source: "Method: Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells. Limit: free span over 250, \
        EN 1992-1-1, 7.4.1, meant for floors (from memory). Material figures: published tables; those \
        from memory are marked in the program's table.",
    limits: "The board lies flat on bolts that let it turn; parts do not stiffen it; holes are left out of \
        account; figures of the material hold at room temperature, and warm plastic is softer. Standing \
        upright, the sheet carries its weight in its own plane and hardly bends. Plywood is reckoned by \
        its weaker direction.",
    before: laden!(
        "thickness_mm = 6\nmaterial = \"hdpe\"\n",
        concat!(
            corners!(),
            "[[part]]\nname = \"amp\"\ntype = \"block\"\nface = \"front\"\nat_mm = [220, 120]\n"
        )
    ),
    after: laden!(
        "thickness_mm = 6\nmaterial = \"aluminium\"\n",
        concat!(
            corners!(),
            "[[part]]\nname = \"amp\"\ntype = \"block\"\nface = \"front\"\nat_mm = [220, 120]\n"
        )
    ),
};

/// Looks at the deflection for good.
pub fn find(layout: &Layout, rest: &Rest, out: &mut Vec<Finding>) {
    let Held::Firmly(s) = &rest.held else { return };
    if !s.sags() {
        return;
    }
    let board = layout.board;
    let what = format!(
        "Lying flat on its mounts, the board sags {} at once and {} after 1,000 hours, more than the {} that a \
         free span of {} allows. Upright it would not.",
        mm(s.sag.0),
        mm(s.sag_later.0),
        mm(s.allowed_sag().0),
        mm(s.span.0)
    );
    let why = format!(
        "{:.1} rest on {} of {}; the limit is the span over {SPAN_OVER}. A bump of {} times the weight bends it \
         {}.{}",
        s.load,
        board.thickness,
        board.material.word(),
        s.bump,
        mm(s.sag_bump.0),
        roughly(&s.rough)
    );
    let mut f = Finding::new(PAGE.slug, PAGE.severity, Subject::Board, what, why, PAGE.source)
        .with_value("sag_mm", s.sag.0)
        .with_value("sag_later_mm", s.sag_later.0)
        .with_value("sag_bump_mm", s.sag_bump.0)
        .with_value("load_kg", s.load.0)
        .with_limit("sag_later_mm", s.allowed_sag().0)
        .with_spot(Face::Front, s.at);
    let lacks = s.sag_later / s.allowed_sag();
    f.remedies = stiffer(layout, rest, lacks, |s| !s.sags());
    if f.remedies.is_empty() {
        f.remedies.push(Remedy::advice(format!(
            "Screw a rail along the board under its middle; {} alone is too soft here.",
            board.material.word()
        )));
    }
    out.push(f);
}

/// The reasons why an estimate is rough, as a sentence.
pub fn roughly(reasons: &[&'static str]) -> String {
    if reasons.is_empty() { String::new() } else { format!(" Rough, since {}.", reasons.join("; and ")) }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;
    use loomdeck_model::edit::apply;
    use loomdeck_model::{Folder, read};

    /// Both remedies, written into the files, remove the finding.
    #[test]
    fn what_is_offered_works() {
        let text = super::PAGE.before;
        let (_, all) = found(text);
        let f = all.iter().find(|f| f.slug == "board-sags").unwrap();
        assert!(f.remedies.len() == 2, "{:?}", f.remedies);
        for remedy in &f.remedies {
            let folder = apply(&Folder::single(text), &remedy.edits).unwrap();
            let robot = read(&folder).0.unwrap();
            let left = crate::findings(&robot, &crate::study(&robot));
            assert!(left.iter().all(|f| f.slug != "board-sags"), "{}", remedy.text);
        }
    }

    #[test]
    fn twice_as_thick_bends_an_eighth() {
        let sag = |t: &str| {
            let text = super::PAGE.before.replace("thickness_mm = 6", &format!("thickness_mm = {t}"));
            let robot = loomdeck_model::testing::robot(&text);
            let mut rest = crate::study(&robot).rest.unwrap();
            // The sheet's own mass aside, which grows with the thickness.
            let sheet = rest.mass.shares.remove(0);
            rest.mass.total -= sheet.mass;
            let board = robot.board.as_ref().unwrap();
            let at: Vec<_> = board.mounts.iter().map(|m| m.at).collect();
            let faces = crate::faces::faces(&robot);
            match crate::rest::strength::with_mounts(board, &faces, &rest.mass, &at, board.thickness.0) {
                crate::rest::Held::Firmly(s) => s.sag.0,
                _ => 0.0,
            }
        };
        assert!((sag("6") / sag("12") - 8.0).abs() < 0.05, "{} {}", sag("6"), sag("12"));
    }
}
