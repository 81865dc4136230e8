//! What the book's text is made of.

use super::{demo, named, plates};
use crate::book::{book_words, given};
use crate::diagram::{self, tree};

#[test]
fn every_part_that_is_fed_stands_once_in_the_tree() {
    let study = demo("samovar");
    let rows = tree::rows(&given(&study));
    let mut names: Vec<&str> = rows.iter().map(|r| r.name.as_str()).collect();
    names.sort_unstable();
    let graph = diagram::Graph::of(&given(&study));
    let parts = graph.nodes.iter().filter(|n| n.is_part()).count();
    assert_eq!(names.len(), parts);
    names.dedup();
    assert_eq!(names.len(), parts);
    assert_eq!(rows[0].depth, 0);
    for pair in rows.windows(2) {
        assert!(pair[1].depth <= pair[0].depth + 1, "{pair:?}");
    }
}

#[test]
fn a_switch_beyond_a_plug_stands_between_its_contacts() {
    let rows = tree::rows(&given(&demo("samovar")));
    let at = |name: &str| rows.iter().position(|r| r.name == name).unwrap_or(usize::MAX);
    let (switch, bus) = (&rows[at("main-switch")], &rows[at("main-bus")]);
    assert_eq!(bus.depth, switch.depth + 1);
    assert!(switch.through.starts_with("switch-plug") && bus.through.starts_with("switch-plug"));
    assert_ne!(switch.through, bus.through);
    // The live side is fed from its bus, not backwards through the path for the motors' current.
    assert_eq!(rows[at("live-fuses")].depth, rows[at("live-bus")].depth + 1);
}

#[test]
fn each_hole_has_its_work_in_the_list_of_letters() {
    let book = book_words(&demo("samovar"));
    let work = book.holes.columns.iter().position(|c| c.head == "work").unwrap_or(usize::MAX);
    let letters: Vec<&str> = book.works.rows.iter().map(|r| r[0].as_str()).collect();
    assert!(letters.len() < book.holes.rows.len() / 4, "{letters:?}");
    for row in &book.holes.rows {
        assert!(letters.contains(&row[work].as_str()), "{row:?}");
    }
    let counted: usize = book.works.rows.iter().filter_map(|r| r[1].parse::<usize>().ok()).sum();
    assert_eq!(counted, book.holes.rows.len());
}

#[test]
fn cautions_stand_beside_the_work_they_belong_to() {
    let book = book_words(&demo("samovar"));
    let titles = |c: &[super::super::book::Caution]| c.iter().map(|c| c.title).collect::<Vec<_>>();
    assert!(titles(&book.wiring_cautions).contains(&"Disconnect before you work."));
    assert!(titles(&book.drilling_cautions).contains(&"Drilling."));
    let beside = |name: &str| {
        let found = book.situations.iter().find(|s| s.name == name);
        found.map(|s| titles(&s.cautions)).unwrap_or_default()
    };
    assert_eq!(beside("charging"), ["Lead batteries give off gas and hold acid."]);
    assert_eq!(beside("pushed-while-off"), ["Pushing is driving."]);
    assert_eq!(beside("stalled"), ["Motors pinch and burn."]);
    assert!(beside("parked").is_empty());
}

#[test]
fn letters_without_a_typeface_are_told_of() {
    assert_eq!(book_words(&plates()).missing_letters, "");
    assert_eq!(book_words(&named("Größe Ωμέγα Самовар")).missing_letters, "");
    assert!(book_words(&named("漢字")).missing_letters.contains("Unicode"));
}
