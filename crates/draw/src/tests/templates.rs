//! Templates are true to the files, on both faces.

use super::{demo, elements, plates};
use crate::book::matter;
use crate::template::{Template, pages};
use loomdeck_model::Face;

/// Centre of every numbered hole on a page, in the order of the page, by number.
fn centres(svg: &str) -> Vec<(usize, f64, f64)> {
    let each = svg.split("<g class=\"hole\" data-name=\"").skip(1).map(|group| {
        let number: usize = group.split('"').next().unwrap_or_default().parse().unwrap_or(0);
        let [x, y] = elements(group, "circle", ["cx", "cy"]).first().copied().unwrap_or([f64::NAN; 2]);
        (number, x, y)
    });
    each.collect()
}

#[test]
fn a_hole_lies_where_the_files_say() {
    let study = plates();
    // The near plate's lower left hole: part at 35, 30 and its hole at 5, 5.
    let index = study.making.holes.iter().position(|h| (h.at.x, h.at.y) == (40.0, 35.0));
    let number = index.map_or(0, |i| i + 1);
    assert!(number > 0, "{:?}", study.making.holes);
    let page = &pages(&matter(&study), Face::Front)[1];
    let found = centres(&page.svg);
    let corner = found.iter().find(|(n, ..)| study.making.holes[n - 1].at.x == 12.0);
    let hole = found.iter().find(|(n, ..)| *n == number);
    let (Some((_, x0, y0)), Some((_, x1, y1))) = (corner, hole) else { panic!("{found:?}") };
    assert!((x1 - x0 - 28.0).abs() < 1e-3 && (y0 - y1 - 25.0).abs() < 1e-3, "{found:?}");
}

#[test]
fn any_hole_to_any_hole_is_true_and_the_back_is_its_mirror() {
    for study in [plates(), demo("cart")] {
        for face in Face::BOTH {
            let all: Vec<Vec<(usize, f64, f64)>> =
                pages(&matter(&study), face)[1..].iter().map(|p| centres(&p.svg)).collect();
            let mut seen = std::collections::BTreeSet::new();
            for page in &all {
                for (a, xa, ya) in page {
                    seen.insert(*a);
                    for (b, xb, yb) in page {
                        let (p, q) = (study.making.holes[a - 1].at, study.making.holes[b - 1].at);
                        let mirror = if face == Face::Back { -1.0 } else { 1.0 };
                        assert!((xb - xa - mirror * (q.x - p.x)).abs() < 1e-3, "{a} {b}");
                        assert!((yb - ya + (q.y - p.y)).abs() < 1e-3, "{a} {b}");
                    }
                }
            }
            let through =
                study.making.holes.iter().filter(|h| crate::template::shows_on(h, face)).count();
            assert_eq!(seen.len(), through, "every hole is on a sheet of the {}", face.word());
        }
    }
}

#[test]
fn sheets_that_overlap_agree_about_a_hole_in_the_strip() {
    let study = demo("samovar");
    let matter = matter(&study);
    let template = Template::new(&matter, Face::Front).unwrap_or_else(|| panic!("no board"));
    let pages = pages(&matter, Face::Front);
    let window = template.tiling.sheet.window();
    let mut shared = 0;
    let mut place = std::collections::BTreeMap::new();
    for (tile, page) in template.tiling.tiles.iter().zip(&pages[1..]) {
        for (number, x, y) in centres(&page.svg) {
            let on_board = (x - window.low.x + tile.shows.low.x, y - window.low.y + tile.shows.low.y);
            if let Some((ox, oy)) = place.insert(number, on_board) {
                let (ox, oy): (f64, f64) = (ox, oy);
                shared += 1;
                assert!((ox - on_board.0).abs() < 1e-3 && (oy - on_board.1).abs() < 1e-3);
            }
        }
    }
    assert!(shared > 0, "no hole lies in an overlap: the test needs another demo");
}

#[test]
fn the_calibration_square_is_square() {
    let study = plates();
    let page = &pages(&matter(&study), Face::Front)[0];
    let group = page.svg.split("calibration-square").nth(1).unwrap_or_default();
    let [w, h] = elements(group, "rect", ["width", "height"])[0];
    assert_eq!((w, h), (100.0, 100.0));
    assert!(
        page.svg
            .starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"210mm\" height=\"297mm\"")
            || page.sheet.width > 210.0
    );
}

#[test]
fn the_back_registers_on_two_holes_of_the_front() {
    let study = plates();
    let registration: Vec<usize> = study
        .making
        .holes
        .iter()
        .enumerate()
        .filter(|(_, h)| h.registration)
        .map(|(i, _)| i + 1)
        .collect();
    assert_eq!(registration.len(), 2);
    let back = pages(&matter(&study), Face::Back);
    let on_back: Vec<usize> = back[1..].iter().flat_map(|p| centres(&p.svg)).map(|(n, ..)| n).collect();
    assert!(registration.iter().all(|n| on_back.contains(n)));
    let lines = back[0].svg.split("</text>").filter_map(|t| t.rsplit('>').next());
    let text: Vec<&str> = lines.collect();
    let words = format!("holes {} and {}", registration[0], registration[1]);
    assert!(text.join(" ").contains(&words), "the first page names them: {text:?}");
}

#[test]
fn every_hole_of_a_template_has_its_number_and_none_lies_on_another() {
    for study in [plates(), demo("cart"), demo("samovar")] {
        let matter = matter(&study);
        for face in Face::BOTH {
            let template = Template::new(&matter, face).unwrap_or_else(|| panic!("no board"));
            let shown = study.making.holes.iter().filter(|h| crate::template::shows_on(h, face)).count();
            assert_eq!(template.labels.len(), shown);
            for (i, a) in template.labels.iter().enumerate() {
                for b in &template.labels[i + 1..] {
                    assert!(!a.1.block.overlaps(b.1.block), "{} {}", a.0 + 1, b.0 + 1);
                }
            }
        }
    }
}

#[test]
fn no_number_lies_on_the_cross_of_a_hole() {
    for study in [plates(), demo("cart"), demo("samovar")] {
        let matter = matter(&study);
        for face in Face::BOTH {
            let template = Template::new(&matter, face).unwrap_or_else(|| panic!("no board"));
            for hole in study.making.holes.iter().filter(|h| crate::template::shows_on(h, face)) {
                let (c, r) = (template.view.spot(hole.at), crate::template::mark_reach(hole));
                for (number, label, _) in &template.labels {
                    let near = label.block.nearest(c);
                    let apart = (near.x - c.x).abs().max((near.y - c.y).abs());
                    assert!(apart >= r, "{} {}", number + 1, apart);
                }
            }
        }
    }
}

#[test]
fn the_drawing_of_operations_has_a_group_for_each_stage_of_its_face() {
    use loomdeck_make::plan::Lies;
    for study in [plates(), demo("samovar")] {
        for face in Face::BOTH {
            let svg = crate::template::operations(&matter(&study), face, crate::Theme::Paper);
            let svg = svg.unwrap_or_else(|| panic!("no board"));
            let groups: Vec<&str> = svg.split("<g class=\"operation\" data-name=\"").skip(1).collect();
            let here =
                |s: &&loomdeck_make::plan::Stage| s.lies == Lies::Up(face) || s.lies == Lies::OnEdge;
            let stages: Vec<_> = study.making.plan.stages.iter().filter(here).collect();
            assert_eq!(groups.len(), stages.len());
            for (group, stage) in groups.iter().zip(stages) {
                assert!(group.starts_with(&format!("{} {}", stage.number, stage.operation.word())));
                let stops = group.matches("<g class=\"stop\"").count();
                assert_eq!(stops, stage.stops.len(), "stage {}", stage.number);
            }
        }
    }
}

#[test]
fn the_back_says_when_nothing_is_drilled_from_it() {
    let study = demo("cart");
    assert!(study.making.holes.iter().all(|h| h.side == Face::Front));
    let page = &pages(&matter(&study), Face::Back)[0];
    assert!(page.svg.contains("No hole is drilled from this face."));
}
