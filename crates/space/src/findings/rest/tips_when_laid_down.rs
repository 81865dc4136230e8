//! Laid down, the board tips when you lean on it.

use super::super::layout::Layout;
use super::super::mm;
use super::laden;
use super::remedies::{HEAVY, TIP_LIMIT, feet};
use crate::rest::Rest;
use loomdeck_model::{Finding, Page, Point, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "tips-when-laid-down",
    severity: Severity::Look,
    title: "Laid down, the board tips",
    physics: "Laid on a face, the board stands on three points or more of what is highest there. As long as the \
        line of gravity through its centre of mass falls between them it stands; the nearer that line is to \
        one side, and the higher the centre, the smaller the tilt at which it goes over: the tangent of that \
        angle is the margin over the height of the centre.",
    source: "Statics of a rigid body. Ten degrees: common practice, no source.",
    limits: "The table is level and hard, and nobody leans on the board; a hand beside the feet tips it sooner. \
        Boards lighter than a kilogram are not looked at.",
    before: laden!(
        "thickness_mm = 9\nmaterial = \"hdpe\"\n",
        "[[part]]\nname = \"brain\"\ntype = \"card\"\nface = \"front\"\nat_mm = [170, 125]\n\
         fixing = { style = \"standoff\", thread = \"M3\", standoff_mm = 30, flange_mm = 1.6 }\n\
         [[part]]\nname = \"amp\"\ntype = \"block\"\nface = \"back\"\nat_mm = [262, 120]\n"
    ),
    after: laden!(
        "thickness_mm = 9\nmaterial = \"hdpe\"\n",
        "[[part]]\nname = \"amp\"\ntype = \"block\"\nface = \"front\"\nat_mm = [20, 20]\n\
         [[part]]\nname = \"amp-2\"\ntype = \"block\"\nface = \"front\"\nat_mm = [300, 20]\n\
         [[part]]\nname = \"amp-3\"\ntype = \"block\"\nface = \"front\"\nat_mm = [160, 220]\n\
         [[part]]\nname = \"feet-left\"\ntype = \"block\"\nface = \"back\"\nat_mm = [100, 20]\n\
         [[part]]\nname = \"feet-right\"\ntype = \"block\"\nface = \"back\"\nat_mm = [380, 20]\n\
         [[part]]\nname = \"feet-middle\"\ntype = \"block\"\nface = \"back\"\nat_mm = [240, 220]\n"
    ),
};

/// Looks at both ways of laying it down.
pub fn find(layout: &Layout, rest: &Rest, out: &mut Vec<Finding>) {
    if rest.mass.total.0 < HEAVY {
        return;
    }
    for laid in rest.laid.iter().filter(|l| l.tip < TIP_LIMIT) {
        let names: Vec<&str> = laid.carriers.iter().map(|c| c.on.name()).collect();
        let what = format!(
            "Laid with its {} down, the board stands on {} and tips when it is tilted by {:.0}, less than {:.0}.",
            laid.down.word(),
            listed(&names),
            laid.tip,
            TIP_LIMIT
        );
        let why = format!(
            "Its centre of mass weighs {} within the nearest side of these, {} above the table.",
            mm(laid.margin.0),
            mm(laid.centre_height.0)
        );
        let subject = laid.carriers.first().map_or(Subject::Board, |c| c.on.clone());
        let at = laid.feet[0].at;
        let mut f = Finding::new(PAGE.slug, PAGE.severity, subject, what, why, PAGE.source)
            .with_value("tip_deg", laid.tip.0)
            .with_value("margin_mm", laid.margin.0)
            .with_limit("tip_deg", TIP_LIMIT.0)
            .with_spot(laid.down, Point::new(at.x, at.y));
        f.remedies.push(feet(layout, rest, laid.down).unwrap_or_else(|| {
            Remedy::advice("Have a second pair of hands hold it, or clamp it upright.")
        }));
        out.push(f);
    }
}

/// `a, b and c`.
fn listed(names: &[&str]) -> String {
    match names {
        [] => "nothing".to_owned(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;

    #[test]
    fn the_tip_is_the_margin_over_the_height() {
        let (robot, all) = found(super::PAGE.before);
        assert!(all.iter().any(|f| f.slug == "tips-when-laid-down"));
        let rest = crate::study(&robot).rest.unwrap();
        for laid in rest.laid {
            let tan = laid.tip.0.to_radians().tan();
            assert!((tan - laid.margin.0 / laid.centre_height.0).abs() < 1e-9);
        }
    }
}
