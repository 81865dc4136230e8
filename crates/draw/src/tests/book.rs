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

#[test]
fn the_order_of_work_is_told_in_full_and_in_order() {
    let study = demo("samovar");
    let deep = study.deep.as_ref().unwrap_or_else(|| panic!("no deep tier"));
    let book = book_words(&study);
    let told: Vec<_> = book.order.iter().flat_map(|g| &g.steps).collect();
    let numbers: Vec<usize> = told.iter().map(|s| s.number).collect();
    assert!(!numbers.is_empty());
    assert_eq!(numbers, (1..=deep.steps.len()).collect::<Vec<_>>());
    for (part, step) in told.iter().zip(&deep.steps) {
        assert_eq!(part.words.len(), step.words.len(), "{}", step.heading);
        // Every part or plug that comes is named: by the words, or by the numbers of the picture.
        if let Some(picture) = &part.picture {
            assert!((part.keys.is_empty() || part.keys.len() >= 2) && picture.width < 85.0);
        }
    }
    // A wire that is made is ticked off in the step that makes it.
    let first = deep.steps.iter().position(|s| !s.wires.is_empty());
    let first = &told[first.unwrap_or_else(|| panic!("no wires"))];
    assert!(first.words.iter().any(|w| w.tick));
    // What runs off the board only has no picture of the board.
    for (part, step) in told.iter().zip(&deep.steps) {
        let on_board = |w: &loomdeck_model::WireId| {
            let run = study.geometry.wires.iter().find(|r| r.wire == *w);
            run.is_some_and(|r| r.legs.iter().any(|l| matches!(l, loomdeck_space::Leg::Along { .. })))
        };
        if step.group == loomdeck_make::steps::Group::Wires {
            assert_eq!(part.picture.is_some(), step.wires.iter().any(on_board), "{}", step.heading);
        }
    }
}

#[test]
fn the_drill_plan_lists_every_stop_of_every_stage() {
    let study = demo("samovar");
    let book = book_words(&study);
    let plan = &study.making.plan;
    assert_eq!(book.drill.stages.len(), plan.stages.len());
    assert_eq!(book.drill.tools.rows.len(), plan.stages.len());
    for (told, stage) in book.drill.stages.iter().zip(&plan.stages) {
        let names: usize = told
            .stops
            .iter()
            .map(|s| s.split(": ").next().unwrap_or_default().split(", ").count())
            .sum();
        assert_eq!(names, stage.stops.len(), "{}", told.title);
        let cautions = told.cautions.len() + book.drill.always.len();
        assert!(cautions >= stage.cautions.len());
    }
}

#[test]
fn service_and_rest_are_told_as_the_study_holds_them() {
    let study = demo("samovar");
    let deep = study.deep.as_ref().unwrap_or_else(|| panic!("no deep tier"));
    let book = book_words(&study);
    assert_eq!(book.service.rows.len(), deep.order.service.len());
    for (row, service) in book.service.rows.iter().zip(&deep.order.service) {
        assert_eq!(row[4], service.wires.len().to_string());
        assert_eq!(row[5], service.fasteners.to_string());
        assert_eq!(row[2].contains("board out"), service.board_out && !service.impossible);
    }
    // Each fuse that is pulled, each plug, each card: once, alike ones together.
    let used = study.geometry.access.needs.iter();
    let used = used.filter(|n| n.when == loomdeck_space::access::When::Use).count();
    let told: usize = book.in_use.rows.iter().filter_map(|r| r[6].parse::<usize>().ok()).sum();
    assert!(used > 0);
    assert_eq!(told, used);
    let stand = book.stand.unwrap_or_else(|| panic!("no board"));
    assert_eq!((stand.pictures.len(), stand.feet.rows.len()), (2, 6));
    let mounts = study.robot.board.as_ref().map_or(0, |b| b.mounts.len());
    assert_eq!(stand.mounts.rows.len(), mounts);
    let out = book.take_out.unwrap_or_else(|| panic!("no board"));
    assert_eq!(out.steps[0].things.len(), study.robot.plugs.len());
}

#[test]
fn an_inch_book_speaks_of_inches_in_its_new_chapters() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos/samovar");
    let folder = loomdeck_model::Folder::load(&folder).unwrap_or_else(|p| panic!("{p:?}"));
    let mut robot = loomdeck_model::read(&folder).0.unwrap_or_else(|| panic!("no robot"));
    robot.book.unit = loomdeck_model::LengthUnit::Inch;
    let book = book_words(&loomdeck_study::Study::of(robot));
    let text = [
        serde_json::to_string(&book.room),
        serde_json::to_string(&book.service),
        serde_json::to_string(&book.take_out),
        serde_json::to_string(&book.stand),
        serde_json::to_string(&book.drill.note),
    ];
    for words in text {
        let words = words.unwrap_or_else(|e| panic!("{e}"));
        assert!(!words.contains("\u{2009}mm"), "{words}");
    }
}
