//! A part on the board has no stated mass.

use super::super::layout::Layout;
use super::{corners, laden};
use crate::faces::subject;
use crate::rest::Rest;
use crate::rest::strength::Held;
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "mass-not-stated",
    severity: Severity::Note,
    title: "Nobody has said what a part weighs",
    physics: "The load of the sheet, the centre of mass and the points the board stands on are reckoned from the \
        masses that part types state. A part without one counts as weightless, so the board is really \
        heavier and bends further.",
    source: "The types of the robot's parts.",
    limits: "Told only for boards that hang on three mounts or more, since nothing else depends on it.",
    before: laden!(
        "thickness_mm = 9\nmaterial = \"plywood\"\n",
        concat!(
            corners!(),
            "[[part]]\nname = \"thing\"\ntype = \"nameless\"\nface = \"front\"\nat_mm = [200, 120]\n"
        )
    ),
    after: laden!(
        "thickness_mm = 9\nmaterial = \"plywood\"\n",
        concat!(
            corners!(),
            "[[part]]\nname = \"thing\"\ntype = \"card\"\nface = \"front\"\nat_mm = [200, 120]\n"
        )
    ),
};

/// Looks at all that stands on the board.
pub fn find(layout: &Layout, rest: &Rest, out: &mut Vec<Finding>) {
    let missing = &rest.mass.not_stated;
    let Some(first) = missing.first().filter(|_| matches!(rest.held, Held::Firmly(_))) else { return };
    let robot = layout.robot;
    let names: Vec<String> = missing.iter().map(|o| subject(robot, *o).name().to_owned()).collect();
    let (who, weigh) = match names.as_slice() {
        [one] => (format!("{one} has"), "it"),
        [a, b, c, _, ..] => (format!("{a}, {b}, {c} and {} more have", names.len() - 3), "them"),
        few => (format!("{} have", few.join(", ")), "them"),
    };
    let what = format!(
        "{who} no stated mass, so the board weighs more than the {:.1} reckoned.",
        rest.mass.total
    );
    let why = "Its load, its centre of mass and what it stands on are reckoned without.";
    let mut f = Finding::new(PAGE.slug, PAGE.severity, subject(robot, *first), what, why, PAGE.source)
        .with_value("mass_kg", rest.mass.total.0)
        .with_value("part_count", missing.len() as f64)
        .with_remedy(Remedy::advice(format!("Weigh {weigh} and write `mass_g` into the part type.")));
    f.subjects.extend(missing[1..].iter().map(|o| subject(robot, *o)));
    out.push(f);
}

#[cfg(test)]
mod tests {
    use crate::findings::tests::count;

    #[test]
    fn only_where_it_matters() {
        assert_eq!(count(super::PAGE.before, "mass-not-stated"), 1);
        let without = super::PAGE.before.split("[[mount]]").next().unwrap_or_default();
        let thing =
            "[[part]]\nname = \"thing\"\ntype = \"nameless\"\nface = \"front\"\nat_mm = [200, 120]\n";
        assert_eq!(count(&format!("{without}{thing}"), "mass-not-stated"), 0);
    }
}
