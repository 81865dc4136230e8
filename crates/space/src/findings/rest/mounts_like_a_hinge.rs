//! The mounts hold the board like a hinge.

use super::super::layout::Layout;
use super::super::mm;
use super::laden;
use super::remedies::{free_places, further_mounts, middle};
use crate::rest::Rest;
use crate::rest::strength::Held;
use crate::shape::{cross, minus};
use loomdeck_model::{Face, Finding, Page, Point, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "mounts-like-a-hinge",
    severity: Severity::Look,
    title: "The mounts hold the board like a hinge",
    physics: "One bolt holds a point and two hold a line: about it the board rocks, and only the grip of the \
        washers keeps it. Three bolts that do not lie on one line hold it.",
    source: "Three points hold a plane (geometry).",
    limits: "A rail, slot or ledge of the body that holds the board too is not known here: then all is well. \
        Mounts count as on one line when none is off it by more than a hundredth of its length.",
    before: laden!(
        "thickness_mm = 9\nmaterial = \"plywood\"\n",
        "[[mount]]\nname = \"left\"\nat_mm = [15, 15]\nthread = \"M5\"\n\
         [[mount]]\nname = \"right\"\nat_mm = [385, 285]\nthread = \"M5\"\n\
         [[part]]\nname = \"amp\"\ntype = \"block\"\nface = \"front\"\nat_mm = [220, 60]\n"
    ),
    after: laden!(
        "thickness_mm = 9\nmaterial = \"plywood\"\n",
        "[[mount]]\nname = \"left\"\nat_mm = [15, 15]\nthread = \"M5\"\n\
         [[mount]]\nname = \"right\"\nat_mm = [385, 285]\nthread = \"M5\"\n\
         [[mount]]\nname = \"third\"\nat_mm = [385, 15]\nthread = \"M5\"\n\
         [[part]]\nname = \"amp\"\ntype = \"block\"\nface = \"front\"\nat_mm = [220, 60]\n"
    ),
};

/// Looks at the mounts.
pub fn find(layout: &Layout, rest: &Rest, out: &mut Vec<Finding>) {
    let Held::LikeAHinge { off_line } = rest.held else { return };
    let mounts = &layout.board.mounts;
    let (many, line) = match mounts.as_slice() {
        [_] => ("One bolt holds".to_owned(), "it turns about that point"),
        [_, _] => ("Two bolts hold".to_owned(), "it rocks about the line between them"),
        more => {
            (format!("All {} bolts lie on one line and hold", more.len()), "it rocks about that line")
        }
    };
    let what = format!("{many} the board, and {line}.");
    let why = format!(
        "Its {:.1} have their centre {} beside; only washers and friction keep it.",
        rest.mass.total,
        mm(off_line.0)
    );
    let subject = mounts.first().map_or(Subject::Board, |m| Subject::BoardMount(m.name.clone()));
    let mut f = Finding::new(PAGE.slug, PAGE.severity, subject, what, why, PAGE.source)
        .with_value("off_line_mm", off_line.0)
        .with_value("mass_kg", rest.mass.total.0)
        .with_spot(Face::Front, mounts.first().map_or_else(|| middle(layout), |m| m.at));
    let ends: Vec<Point> = mounts.iter().map(|m| m.at).collect();
    f.remedies.push(third(layout, &ends).unwrap_or_else(|| {
        Remedy::advice(
            "Hold the board by one more bolt, as far from the line of the others as there is room.",
        )
    }));
    out.push(f);
}

/// One more bolt, as far off the line as there is room. One that stands alone needs two more.
fn third(layout: &Layout, ends: &[Point]) -> Option<Remedy> {
    let a = *ends.first()?;
    let b = ends.iter().copied().max_by(|p, q| a.distance(*p).total_cmp(&a.distance(*q)))?;
    if a.distance(b) < 1e-6 {
        return None;
    }
    let d = minus(b, a);
    let off = |p: Point| cross(d, minus(p, a)).abs();
    let place = *free_places(layout, off).first()?;
    let far = off(place) / a.distance(b);
    (far > a.distance(b) / 100.0)
        .then(|| further_mounts(layout, &[place], &format!("it lies {} off the line", mm(far))))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};
    use loomdeck_model::edit::apply;
    use loomdeck_model::{Folder, read};

    #[test]
    fn the_third_bolt_finds_a_free_place_and_works() {
        let text = super::PAGE.before;
        let (_, all) = found(text);
        let f = all.iter().find(|f| f.slug == "mounts-like-a-hinge").unwrap();
        let folder = apply(&Folder::single(text), &f.remedies[0].edits).unwrap();
        let robot = read(&folder).0.unwrap();
        let left = crate::findings(&robot, &crate::study(&robot));
        let worse: Vec<_> =
            left.iter().filter(|f| ["mount-blocked", "mounts-like-a-hinge"].contains(&f.slug)).collect();
        assert!(worse.is_empty(), "{worse:?}");
    }

    #[test]
    fn three_on_a_line_are_a_hinge_too() {
        let text = super::PAGE.after.replace("at_mm = [385, 15]", "at_mm = [200, 150]");
        assert_eq!(count(&text, "mounts-like-a-hinge"), 1);
        assert_eq!(count(super::PAGE.after, "mounts-like-a-hinge"), 0);
    }
}
