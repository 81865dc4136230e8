//! A rectangular opening has corners that a saw cannot turn in.

use crate::holes::rect::{BLADE, FINE_BLADE};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{
    Edit, EditValue, Face, Finding, Page, Pass, PassShape, Remedy, Robot, Severity, Subject,
};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "corner-too-tight-for-saw",
    severity: Severity::Look,
    title: "A rectangular opening has corners that a saw cannot turn in",
    physics: "A rectangle is cut by drilling its corners and sawing from hole to hole. The corner holes must let the blade \
        in: a jigsaw's is 6 to 8 mm wide, a coping saw's about 2 mm. In a smaller corner hole the blade needs a \
        further hole inside the opening, and a corner with hardly any radius is filed square by hand.\n\n\
        A sharp inner corner is also where a sheet begins to crack: stress crowds there, in brittle plastic above \
        all.",
    source: "Widths of saw blades: common practice, no source. Cracks from sharp inner corners: textbook knowledge of notches \
        (from memory).",
    limits: "It is a note while a coping saw's blade goes through the corner holes. A router or laser cuts any corner \
        its bit or beam gives.",
    before: r#"
format = 1
[robot]
name = "small tray"
[board]
size_mm = [200, 150]
thickness_mm = 6
material = "acrylic"
depth_front_mm = 60
depth_back_mm = 40
[[pass]]
name = "window"
at_mm = [100, 75]
length_mm = 40
width_mm = 30
corner_mm = 0.5
"#,
    after: r#"
format = 1
[robot]
name = "small tray"
[board]
size_mm = [200, 150]
thickness_mm = 6
material = "acrylic"
depth_front_mm = 60
depth_back_mm = 40
[[pass]]
name = "window"
at_mm = [100, 75]
length_mm = 40
width_mm = 30
corner_mm = 5
"#,
};

/// One finding for each rectangle with tight corners.
pub fn find(robot: &Robot) -> Vec<Finding> {
    let passes = robot.board.iter().flat_map(|b| &b.passes);
    passes.filter_map(finding).collect()
}

fn finding(pass: &Pass) -> Option<Finding> {
    let PassShape::Rect { length, width, corner, .. } = pass.shape else { return None };
    let side = length.min(width);
    let roomy = (BLADE / 2.0).min(side / 2.0);
    if corner.0 >= roomy.0 - 1e-6 {
        return None;
    }
    let name = &pass.name;
    let hole = corner * 2.0;
    let sharp = hole < FINE_BLADE;
    let what = if sharp {
        format!(
            "The corners of {name} have a radius of {corner}: no saw blade goes through a hole of {hole}, so they are \
             filed square by hand."
        )
    } else {
        format!(
            "The corner holes of {name} are {hole} wide; a jigsaw's blade wants {BLADE}, so it needs a further hole \
             inside the opening, or a coping saw."
        )
    };
    let why = "Corners with room for the blade are quicker to cut, and a round corner does not crack.";
    let on = Subject::Pass(name.clone());
    let edit = Edit::Set { on: on.clone(), key: "corner".to_owned(), value: EditValue::Length(roomy) };
    let severity = if sharp { Severity::Look } else { Severity::Note };
    Some(
        Finding::new(PAGE.slug, severity, on, what, why, PAGE.source)
            .with_value("corner_mm", corner.0)
            .with_limit("corner_mm", roomy.0)
            .with_spot(Face::Front, pass.at)
            .with_remedy(Remedy::edit(
                format!("Round its corners to {}.", Millimetres(roomy.0)),
                vec![edit],
            )),
    )
}

#[cfg(test)]
mod tests {
    use crate::findings::tests::of;
    use loomdeck_model::Severity;

    #[test]
    fn a_corner_for_a_coping_saw_is_only_a_note() {
        let with = |corner: &str| {
            let text = super::PAGE.before.replace("corner_mm = 0.5", corner);
            let found = of(&text).1.into_iter().find(|f| f.slug == super::PAGE.slug);
            found.map(|f| f.severity)
        };
        assert_eq!(with("corner_mm = 2"), Some(Severity::Note));
        assert_eq!(with("corner_mm = 0"), Some(Severity::Look));
        assert_eq!(with("corner_mm = 5"), None);
    }
}
