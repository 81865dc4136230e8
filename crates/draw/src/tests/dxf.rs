//! The DXF says what the files say.

use super::plates;
use loomdeck_model::Face;

/// Group codes and values.
fn pairs(text: &str) -> Vec<(i32, String)> {
    let lines: Vec<&str> = text.lines().collect();
    lines.chunks_exact(2).map(|p| (p[0].trim().parse().unwrap_or(-1), p[1].to_owned())).collect()
}

fn circles(text: &str) -> Vec<(String, f64, f64, f64)> {
    let pairs = pairs(text);
    let starts = pairs.iter().enumerate().filter(|(_, p)| p.0 == 0 && p.1 == "CIRCLE").map(|(i, _)| i);
    let value = |from: usize, code: i32| {
        pairs[from + 1..].iter().take_while(|p| p.0 != 0).find(|p| p.0 == code).map(|p| p.1.clone())
    };
    let number = |from, code| value(from, code).and_then(|v| v.parse().ok()).unwrap_or(f64::NAN);
    starts
        .map(|i| (value(i, 8).unwrap_or_default(), number(i, 10), number(i, 20), number(i, 40)))
        .collect()
}

#[test]
fn every_line_pairs_with_a_code_and_sections_close() {
    let text = crate::dxf(&plates(), Face::Front);
    assert!(text.is_ascii());
    let pairs = pairs(&text);
    assert_eq!(text.lines().count(), 2 * pairs.len());
    assert!(pairs.iter().all(|(code, _)| *code >= 0));
    let count = |word: &str| pairs.iter().filter(|p| p.0 == 0 && p.1 == word).count();
    assert_eq!(count("SECTION"), count("ENDSEC"));
    assert_eq!(count("POLYLINE"), count("SEQEND"));
    assert_eq!(pairs.last(), Some(&(0, "EOF".to_owned())));
}

#[test]
fn the_front_is_as_drawn_and_the_back_is_its_mirror() {
    let study = plates();
    let front = circles(&crate::dxf(&study, Face::Front));
    let back = circles(&crate::dxf(&study, Face::Back));
    let hole = front.iter().find(|c| (c.1, c.2) == (40.0, 35.0));
    let hole = hole.unwrap_or_else(|| panic!("{front:?}"));
    assert!(hole.0.starts_with("DRILL-"), "{hole:?}");
    assert_eq!(front.len(), back.len());
    for (layer, x, y, r) in &front {
        assert!(
            back.iter()
                .any(|b| b.0 == *layer && (200.0 - x - b.1).abs() < 1e-6 && b.2 == *y && b.3 == *r)
        );
    }
}

#[test]
fn the_file_of_two_plates() {
    insta::assert_snapshot!(crate::dxf(&plates(), Face::Back));
}
