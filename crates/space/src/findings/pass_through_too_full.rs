//! More wires go through an opening than can be drawn through it.

use super::layout::Layout;
use super::mm;
use crate::faces::opening;
use crate::openings::fill_limit;
use loomdeck_model::{Edit, EditValue, Face, Finding, Page, PassShape, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "pass-through-too-full",
    severity: Severity::Fix,
    title: "Too many wires go through a pass-through",
    physics: "The fill is the sum of the wires' cross-sections, over their insulation, divided by the \
        area of the opening. Round wires never fill it: two can fill half, three 65 %. Wiring practice \
        stays well below, so that wires can be drawn without damage: 53 % for one, 31 % for two, 40 % \
        for three and more. A short opening in a sheet may be fuller, up to 60 %; beyond that the \
        wires do not go through in practice.",
    source: "NFPA 70 (NEC), chapter 9, table 1, and its note for short nipples (60 %).",
    limits: "The table is for conduit; an opening in a board is kinder. Between the table's limit and \
        60 % the finding is only something to look at. Jackets of cables are counted by their cores.",
    before: super::robot!(
        "[[pass]]\nname = \"hatch\"\nat_mm = [100, 20]\ndiameter_mm = 8\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [170, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.left\"\nto = \"player.left\"\nsize_mm2 = 6\n\
         [[wire]]\nname = \"two\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 6\n"
    ),
    after: super::robot!(
        "[[pass]]\nname = \"hatch\"\nat_mm = [100, 20]\ndiameter_mm = 14\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [170, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.left\"\nto = \"player.left\"\nsize_mm2 = 6\n\
         [[wire]]\nname = \"two\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 6\n"
    ),
};

/// Fill beyond which wires do not go through.
const NIPPLE: f64 = 0.60;

/// Looks at every opening.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    for fill in &layout.geometry.fills {
        let limit = fill_limit(fill.wires.len());
        if fill.wires.is_empty() || fill.fill <= limit + 1e-9 {
            continue;
        }
        let pass = &layout.board.passes[fill.pass.0];
        let severity = if fill.fill > NIPPLE { Severity::Fix } else { Severity::Look };
        let (area, _) = opening(pass.shape);
        let (percent, limit_percent) = (100.0 * fill.fill, 100.0 * limit);
        let what = format!(
            "{} wires fill {} by {percent:.0}\u{2009}%; {limit_percent:.0}\u{2009}% is the limit for that many.",
            fill.wires.len(),
            pass.name
        );
        let why = format!(
            "The wires take {:.0}\u{2009}mm² over their insulation, the opening has {area:.0}\u{2009}mm².",
            fill.fill * area
        );
        let on = Subject::Pass(pass.name.clone());
        let remedy = wider(&on, pass.shape, fill.fill * area / limit);
        out.push(
            Finding::new(PAGE.slug, severity, on, what, why, PAGE.source)
                .with_value("fill_percent", percent)
                .with_limit("fill_percent", limit_percent)
                .with_remedy(remedy)
                .with_spot(Face::Front, pass.at),
        );
    }
}

/// The opening at the next whole millimetre that has this area.
fn wider(on: &Subject, shape: PassShape, area: f64) -> Remedy {
    let (key, size, word) = match shape {
        PassShape::Round(_) => ("diameter", (area * 4.0 / std::f64::consts::PI).sqrt(), "wide"),
        PassShape::Rect { width, corner, .. } => {
            let lost = (4.0 - std::f64::consts::PI) * corner.0 * corner.0;
            ("length", (area + lost) / width.0, "long")
        }
        PassShape::Slot { width, .. } => {
            let ends = std::f64::consts::PI / 4.0 * width.0 * width.0;
            ("length", (area - ends) / width.0 + width.0, "long")
        }
    };
    let size = mm((size - 1e-9).ceil());
    let text = format!("Make {} {size} {word}, or send some of the wires another way.", on.name());
    Remedy::edit(
        text,
        vec![Edit::Set { on: on.clone(), key: key.into(), value: EditValue::Length(size) }],
    )
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::findings::tests::found;

    /// Worked from the table: three wires 3.0 mm thick need an opening of 8.22 mm, two 7.62 mm.
    #[test]
    fn the_table_in_reverse() {
        for (n, needed) in [(3usize, 8.22), (2, 7.62), (1, 4.12)] {
            let wires = n as f64 * std::f64::consts::PI / 4.0 * 9.0;
            let d = (wires / fill_limit(n) * 4.0 / std::f64::consts::PI).sqrt();
            assert!((d - needed).abs() < 0.005, "{n}: {d}");
        }
    }

    #[test]
    fn fill_is_area_over_area() {
        let (robot, all) = found(PAGE.before);
        let f = all.iter().find(|f| f.slug == PAGE.slug).unwrap();
        let w = &robot.wires[0];
        let d = w.insulation.outside_diameter(w.gauge).0;
        assert!((f.values["fill_percent"] - 100.0 * 2.0 * d * d / 64.0).abs() < 1e-9);
        assert_eq!(f.limits["fill_percent"], 31.0);
    }
}
