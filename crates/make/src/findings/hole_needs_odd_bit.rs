//! A hole needs a bit that is not in an ordinary set, or that nobody sells.

use super::some_of;
use crate::bit::Bit;
use crate::making::{Hole, Making};
use crate::table::exact;
use loomdeck_model::{
    Edit, EditValue, Face, Finding, LengthUnit, Page, Remedy, Robot, Severity, Subject,
};
use loomdeck_space::hole_size::OPENING_MORE;

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "hole-needs-odd-bit",
    severity: Severity::Look,
    title: "A hole needs a bit that is not in an ordinary set",
    physics: "Each hole may be a little smaller or larger than its best size: a screw's hole from the fine to the coarse clearance, an insert's bore a tenth of a millimetre either way, an opening half a millimetre (a fiftieth of an inch) more. An ordinary metric set has half millimetres from 1 to 13; an inch set has sixty-fourths up to half an inch; larger openings are cut by spur bits, saw-tooth bits and hole saws in the sizes on sale. A book in millimetres takes a cutter in inches where that comes nearer.\n\nWhen a bit within the range is sold only singly, this is a note. When none is sold, the next larger one stands in and the opening comes out wider than you drew it.",
    source: "Clearance holes: ISO 273 (1979). Sets and cutters on sale: common practice, no source.",
    limits: "Shops differ. A step drill, a reamer or a file makes sizes between.",
    before: r#"
format = 1
[robot]
name = "small tray"
[board]
size_mm = [200, 150]
thickness_mm = 10
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 40
[[pass]]
name = "throat"
at_mm = [100, 75]
diameter_mm = 42
"#,
    after: r#"
format = 1
[robot]
name = "small tray"
[board]
size_mm = [200, 150]
thickness_mm = 10
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 40
[[pass]]
name = "throat"
at_mm = [100, 75]
diameter_mm = 43
"#,
};

/// One finding for each bit that is sold singly, and one for each hole whose bit nobody sells.
pub fn find(robot: &Robot, making: &Making) -> Vec<Finding> {
    let unit = robot.book.unit;
    let odd = |fits: bool| move |h: &&Hole| !h.ordinary_bit && h.bit_fits == fits && !h.uses.is_empty();
    let mut found: Vec<Finding> =
        making.holes.iter().filter(odd(false)).filter_map(|h| unsold(h, unit)).collect();
    let mut bits: Vec<(Bit, Vec<&Hole>)> = Vec::new();
    for hole in making.holes.iter().filter(odd(true)) {
        let Some(bit) = hole.bit() else { continue };
        match bits.iter_mut().find(|(b, _)| *b == bit) {
            Some((_, holes)) => holes.push(hole),
            None => bits.push((bit, vec![hole])),
        }
    }
    found.extend(bits.iter().map(|(bit, holes)| single(*bit, holes)));
    found
}

fn single(bit: Bit, holes: &[&Hole]) -> Finding {
    let mut names: Vec<&str> =
        holes.iter().flat_map(|h| h.uses.iter().map(|u| u.subject.name())).collect();
    names.dedup();
    let first = &holes[0].uses[0];
    let (many, need) = match holes.len() {
        1 => ("A hole".to_owned(), "needs"),
        n => (format!("{n} holes"), "need"),
    };
    let what =
        format!("{many} ({}) {need} a {bit} bit, which is not in an ordinary set.", some_of(&names));
    let why = format!(
        "The best size for {} is {}, and no bit of a set is near enough.",
        first.what, first.wants
    );
    Finding::new(PAGE.slug, Severity::Note, first.subject.clone(), what, why, PAGE.source)
        .with_value("diameter_mm", bit.diameter().0)
        .with_value("holes", holes.len() as f64)
        .with_spot(Face::Front, holes[0].at)
        .with_remedy(Remedy::advice(format!("Buy the {bit} bit singly before you start.")))
}

fn unsold(hole: &Hole, unit: LengthUnit) -> Option<Finding> {
    let bit = hole.bit()?;
    let wanted = hole.uses.iter().max_by(|a, b| a.wants.0.total_cmp(&b.wants.0))?;
    let name = wanted.subject.name();
    let (asked, cut) = (exact(wanted.wants, unit), bit.size_word());
    let what = format!(
        "{name} wants a hole of {asked}, a size in which no bit is commonly sold; the next larger one, \
         {bit}, is taken."
    );
    let why = format!(
        "It is for a {}; up to {} more would do, {cut} is more than that.",
        wanted.what,
        exact(OPENING_MORE, unit)
    );
    let remedy = match (&wanted.subject, hole.shape) {
        (Subject::Pass(_), shape) => {
            let key = match shape {
                crate::making::HoleShape::Round(_) => "diameter",
                crate::making::HoleShape::Slot { .. } | crate::making::HoleShape::Rect { .. } => "width",
            };
            let edit = Edit::Set {
                on: wanted.subject.clone(),
                key: key.to_owned(),
                value: EditValue::Length(bit.diameter()),
            };
            let grommet =
                if wanted.what == crate::holes::GROMMET { ", with a grommet of that size" } else { "" };
            Remedy::edit(format!("Make it {cut}{grommet}."), vec![edit])
        }
        _ => Remedy::advice("Drill it smaller and file it out to size."),
    };
    Some(
        Finding::new(PAGE.slug, Severity::Look, wanted.subject.clone(), what, why, PAGE.source)
            .with_value("diameter_mm", bit.diameter().0)
            .with_limit("diameter_mm", wanted.wants.0)
            .with_spot(Face::Front, hole.at)
            .with_remedy(remedy),
    )
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::tests::of;

    fn about(unit: &str, text: &str) -> Vec<loomdeck_model::Finding> {
        let text = format!("{}[book]\nunit = \"{unit}\"\n", text);
        of(&text).1.into_iter().filter(|f| f.slug == super::PAGE.slug).collect()
    }

    #[test]
    fn sizes_on_sale_are_not_reported() {
        for d in ["16", "17", "19", "19.05", "21", "33.3", "40"] {
            let text = super::PAGE.before.replace("diameter_mm = 42", &format!("diameter_mm = {d}"));
            assert!(about("mm", &text).is_empty(), "{d}");
        }
    }

    #[test]
    fn an_inch_book_speaks_of_inches() {
        let text = super::PAGE.before.replace("diameter_mm = 42", "diameter_in = 1.67");
        let found = about("inch", &text);
        let f = found.first().unwrap();
        let words = [f.what.as_str(), &f.why, &f.remedies[0].text].join(" ");
        assert!(words.contains("1.67\u{2009}in") && words.contains("1 3/4\u{2009}in"), "{words}");
        assert!(!words.contains("\u{2009}mm") && !words.contains("millimetre"), "{words}");
    }
}
