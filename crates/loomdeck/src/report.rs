//! Findings in words.

use crate::out::{self, Out};
use loomdeck_model::units::in_inches;
use loomdeck_model::{Finding, LengthUnit, Robot, Severity};
use loomdeck_study::Study;

/// Texts with lengths in the unit wanted.
pub fn in_unit(text: &str, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Mm => text.to_owned(),
        LengthUnit::Inch => in_inches(text),
    }
}

/// `2 danger, 1 fix, 3 look`, or that there is nothing.
pub fn summary(study: &Study) -> String {
    let counts: Vec<String> = Severity::ALL
        .into_iter()
        .filter(|s| study.count(*s) > 0)
        .map(|s| format!("{} {}", study.count(s), out::severity(s)))
        .collect();
    if counts.is_empty() { "nothing to mend".to_owned() } else { counts.join(", ") }
}

/// Where the first subject stands: `wiring.toml, line 41`.
pub fn place(robot: &Robot, f: &Finding) -> String {
    f.subjects
        .iter()
        .find_map(|s| robot.places.get(s))
        .map(|p| format!("{}, line {}", p.file, p.line))
        .unwrap_or_default()
}

/// Names in a row; of a long row the first and how many more.
pub fn short_list(names: &[&str]) -> String {
    match names {
        [first @ .., _, _] if first.len() > 3 => {
            format!("{} and {} more", names[..3].join(", "), names.len() - 3)
        }
        all => all.join(", "),
    }
}

/// Prints one finding under its number.
pub fn finding(out: &mut Out, robot: &Robot, number: usize, f: &Finding, unit: LengthUnit) {
    let names = short_list(&f.subjects.iter().map(|s| s.name()).collect::<Vec<_>>());
    let at = place(robot, f);
    let head = format!("{number:>3}  {}  {}", out::severity(f.severity), out::strong(f.slug));
    out.line(&format!("{head}  {}  {}", names, out::quiet(&at)));
    out.paragraph(5, &in_unit(&f.what, unit));
    if !f.why.is_empty() {
        out.paragraph(5, &in_unit(&f.why, unit));
    }
    for r in &f.remedies {
        out.hanging("   → ", 5, &in_unit(&r.text, unit));
    }
    out.line("");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_row_of_names_is_cut() {
        assert_eq!(short_list(&["a", "b"]), "a, b");
        assert_eq!(short_list(&["a", "b", "c", "d", "e"]), "a, b, c, d, e");
        assert_eq!(short_list(&["a", "b", "c", "d", "e", "f"]), "a, b, c and 3 more");
    }
}
