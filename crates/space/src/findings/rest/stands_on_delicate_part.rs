//! Laid down, the board stands on something that takes no load.

use super::super::layout::Layout;
use super::super::mm;
use super::laden;
use super::remedies::feet;
use crate::rest::Rest;
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "stands-on-delicate-part",
    severity: Severity::Look,
    title: "Laid down, the board stands on a delicate part",
    physics: "Once both faces are filled, the board is laid on one of them to work at the other. It then stands on \
        the highest things of the lower face: three of them carry all of it. A circuit board, a mated plug or \
        a part with wires on top takes no such load.",
    source: "The three points: statics of a rigid body. What is delicate, and that less than half a kilogram does \
        no harm: common practice, no source.",
    limits: "Everything counts as hard and as high as its type says; wires and what sticks out of a module are not \
        in its height. The bolts of the mounts are out.",
    before: laden!(
        "thickness_mm = 9\nmaterial = \"hdpe\"\n",
        "[[part]]\nname = \"amp\"\ntype = \"block\"\nface = \"front\"\nat_mm = [40, 120]\n\
         [[part]]\nname = \"brain\"\ntype = \"card\"\nface = \"front\"\nat_mm = [300, 40]\n\
         [[part]]\nname = \"head\"\ntype = \"card\"\nface = \"front\"\nat_mm = [300, 220]\n"
    ),
    after: laden!(
        "thickness_mm = 9\nmaterial = \"hdpe\"\n",
        "[[part]]\nname = \"amp\"\ntype = \"block\"\nface = \"front\"\nat_mm = [40, 120]\n\
         [[part]]\nname = \"brain\"\ntype = \"card\"\nface = \"front\"\nat_mm = [300, 40]\nfixing = { style = \"adhesive\" }\n\
         [[part]]\nname = \"head\"\ntype = \"card\"\nface = \"front\"\nat_mm = [300, 220]\nfixing = { style = \"adhesive\" }\n"
    ),
};

/// Less than this does no harm, kg.
const HARMLESS: f64 = 0.5;

/// Looks at what carries the board either way.
pub fn find(layout: &Layout, rest: &Rest, out: &mut Vec<Finding>) {
    for laid in &rest.laid {
        let bad: Vec<_> =
            laid.carriers.iter().filter(|c| c.delicate.is_some() && c.load.0 >= HARMLESS).collect();
        let Some(worst) = bad.first() else { continue };
        let what = format!(
            "Laid with its {} down, the board stands on {} with {:.1} of its {:.1}.",
            laid.down.word(),
            worst.on.name(),
            worst.load,
            rest.mass.total
        );
        let why = format!(
            "It is among the highest there, and {}.",
            worst.delicate.unwrap_or("it takes no load")
        );
        let foot = laid.feet.iter().find(|f| f.on == worst.on);
        let mut f = Finding::new(PAGE.slug, PAGE.severity, worst.on.clone(), what, why, PAGE.source)
            .with_value("load_kg", worst.load.0)
            .with_limit("load_kg", HARMLESS);
        if let Some(foot) = foot {
            f = f.with_spot(laid.down, loomdeck_model::Point::new(foot.at.x, foot.at.y));
        }
        for other in &bad[1..] {
            f.subjects.push(other.on.clone());
        }
        f.remedies.push(feet(layout, rest, laid.down).unwrap_or_else(|| {
            let highest = layout.solid(&worst.on).map_or(0.0, |s| s.body.top.0);
            Remedy::advice(format!(
                "Lay it on two rails higher than {} that meet nothing but the sheet.",
                mm(highest)
            ))
        }));
        out.push(f);
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;

    /// The three shares carry all of it, and the moments about both axes vanish.
    #[test]
    fn the_feet_balance() {
        let (robot, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "stands-on-delicate-part").unwrap();
        assert!(f.values["load_kg"] > 0.5);
        let rest = crate::study(&robot).rest.unwrap();
        for laid in &rest.laid {
            let c = rest.mass.centre;
            let sum: f64 = laid.feet.iter().map(|f| f.load.0).sum();
            assert!((sum - rest.mass.total.0).abs() < 1e-9);
            // Gravity acts along the normal of the plane through the feet.
            let [p, q, r] = [0, 1, 2].map(|i| laid.feet[i].at);
            let (u, v) = ([q.x - p.x, q.y - p.y, q.z - p.z], [r.x - p.x, r.y - p.y, r.z - p.z]);
            let n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
            let about: [f64; 3] = laid.feet.iter().fold([0.0; 3], |s, f| {
                let d = [f.at.x - c.x, f.at.y - c.y, f.at.z - c.z];
                [
                    s[0] + f.load.0 * (d[1] * n[2] - d[2] * n[1]),
                    s[1] + f.load.0 * (d[2] * n[0] - d[0] * n[2]),
                    s[2] + f.load.0 * (d[0] * n[1] - d[1] * n[0]),
                ]
            });
            let scale = n.iter().map(|x| x.abs()).fold(1.0, f64::max) * 300.0;
            assert!(about.iter().all(|m| (m / scale).abs() < 1e-3), "{about:?}");
        }
    }
}
