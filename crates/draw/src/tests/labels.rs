//! Labels of finished drawings keep apart.

use super::{demo, named, plates};
use crate::book::{diagram_graph, matter};
use crate::face::{self, Look, VIEWS};
use crate::labels::Block;
use crate::palette::Theme;
use crate::{diagram, plots};
use loomdeck_study::Study;

pub fn first_overlap(blocks: &[Block]) -> Option<(Block, Block)> {
    let pairs =
        blocks.iter().enumerate().flat_map(|(i, a)| blocks[i + 1..].iter().map(move |b| (*a, *b)));
    // Rounding of sums may let neighbours touch by a hair.
    pairs.into_iter().find(|(a, b)| a.overlap(*b) > 1e-6)
}

fn studies() -> [Study; 4] {
    [plates(), demo("cart"), demo("samovar"), demo("samovar-first-try")]
}

#[test]
fn no_two_labels_of_a_face_overlap_at_any_size_of_print() {
    for study in studies() {
        for view in VIEWS {
            for per_mm in [1.0, 1.7, 3.0] {
                let look = Look { per_mm, ..Look::full_size(Theme::Paper) };
                let drawing = face::draw(&matter(&study), view, look);
                let parts = study.robot.parts.iter().filter(|p| face::is_on(p, view.near())).count();
                assert!(drawing.labels.len() >= parts);
                let overlap = first_overlap(&drawing.labels);
                assert_eq!(overlap, None, "{} {} {per_mm}", study.robot.name, view.words());
            }
        }
    }
}

#[test]
fn every_part_of_a_face_and_every_placed_finding_has_its_label() {
    for study in studies() {
        for face in loomdeck_model::Face::BOTH {
            let svg = crate::face_svg(&study, face, Theme::Paper);
            let labels = svg.split("<g class=\"labels\">").nth(1).unwrap_or_default();
            for part in study.robot.parts.iter().filter(|p| face::is_on(p, face)) {
                let first = part.name.split('-').next().unwrap_or_default();
                assert!(labels.contains(first), "{} on the {}", part.name, face.word());
            }
            for (i, finding) in study.findings.iter().enumerate() {
                if face::spot_of(&matter(&study), finding).is_some_and(|(f, _)| f == face) {
                    assert!(labels.contains(&format!(">{}</text>", i + 1)), "tag {}", i + 1);
                }
            }
        }
    }
}

#[test]
fn boxes_and_labels_of_the_diagram_keep_apart() {
    for study in studies() {
        let graph = diagram_graph(&study);
        for strip in diagram::cut(&graph, (330.0, 200.0)).iter().chain([&graph]) {
            let drawing = diagram::draw(strip, Theme::Slate, "test", None);
            assert_eq!(first_overlap(&drawing.blocks), None, "{}", study.robot.name);
        }
    }
}

#[test]
fn strips_of_a_diagram_fit_their_room_and_lose_nothing() {
    let study = demo("samovar");
    let graph = diagram_graph(&study);
    let strips = diagram::cut(&graph, (330.0, 200.0));
    let count = |g: &diagram::Graph| g.nodes.iter().filter(|n| !n.is_flag()).count();
    assert_eq!(strips.iter().map(count).sum::<usize>(), graph.nodes.len());
    for strip in &strips {
        let size = diagram::lay(strip).size;
        assert!(size.0 <= 330.0 && size.1 <= 200.0, "{size:?}");
    }
}

#[test]
fn labels_of_plots_keep_apart() {
    for study in studies() {
        for (name, plot) in plots(&study, Theme::Paper) {
            assert_eq!(first_overlap(&plot.labels), None, "{} {name}", study.robot.name);
        }
    }
}

#[test]
fn a_part_whose_name_is_longer_than_the_board_still_has_one() {
    let study = named(&"long-".repeat(60));
    let drawing = face::draw(&matter(&study), VIEWS[0], Look::full_size(Theme::Paper));
    assert_eq!(first_overlap(&drawing.labels), None);
    assert!(drawing.svg.contains('…'));
}
