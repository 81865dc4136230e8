//! Laws of a whole making, held to the robots that come with the project.

use crate::*;
use loomdeck_model::{Folder, LengthUnit, Point, WireId};
use std::collections::BTreeSet;
use std::path::Path;

fn demo(name: &str) -> (Robot, Geometry, Making) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name);
    let (robot, problems) = loomdeck_model::read(&Folder::load(&folder).unwrap());
    let robot = robot.unwrap_or_else(|| panic!("{problems:#?}"));
    let geometry = loomdeck_space::study(&robot);
    let making = study(&robot, &geometry);
    (robot, geometry, making)
}

const DEMOS: [&str; 3] = ["cart", "samovar", "samovar-first-try"];

#[test]
fn every_wire_is_cut_labelled_and_fitted_once() {
    for name in DEMOS {
        let (robot, geometry, making) = demo(name);
        let n = robot.wires.len();
        assert!(n > 5, "{name}");
        assert_eq!(making.cuts.len(), n);
        assert_eq!(making.labels.len(), 2 * n);
        let fitted: Vec<WireId> = making.wiring.iter().flat_map(|s| s.wires.iter().copied()).collect();
        assert_eq!(fitted.len(), n);
        assert_eq!(fitted.iter().collect::<BTreeSet<_>>().len(), n);
        for (cut, run) in making.cuts.iter().zip(&geometry.wires) {
            let leads: f64 = [&cut.from, &cut.to].iter().filter_map(|e| e.own_lead).map(|l| l.0).sum();
            assert!(cut.cut.0 + leads >= run.length.0, "{name}: {}", robot.wires[cut.wire.0].name);
            assert!((cut.cut.0 / 5.0 - (cut.cut.0 / 5.0).round()).abs() < 1e-9);
        }
    }
}

#[test]
fn supplies_come_first_and_audio_last() {
    let (robot, _, making) = demo("samovar");
    assert!(making.wiring.windows(2).all(|w| w[0].stage <= w[1].stage));
    let first = robot.wires[making.wiring[0].wires[0].0].function;
    assert_eq!(first, loomdeck_model::Function::Supply);
}

#[test]
fn all_the_wire_that_is_cut_is_bought() {
    for name in DEMOS {
        let (_, _, making) = demo(name);
        let cut: f64 = making.cuts.iter().filter(|c| c.cable.is_none()).map(|c| c.cut.0 / 1000.0).sum();
        let wire = making.shopping.iter().filter(|l| l.group == "wire");
        let (needed, buy) = wire.fold((0.0, 0.0), |(n, b), l| (n + l.needed, b + l.buy));
        assert!((cut - needed).abs() < 1e-6, "{name}: {cut} {needed}");
        assert!(buy >= needed * 1.1 - 1e-6);
    }
}

#[test]
fn every_screw_of_every_stack_is_on_the_shopping_list() {
    for name in DEMOS {
        let (_, _, making) = demo(name);
        for piece in making.fasteners.iter().flat_map(|s| &s.pieces) {
            if matches!(piece, Piece::Printed { .. } | Piece::AdhesiveMount) {
                continue;
            }
            let word = shopping::piece_word(piece);
            let count = making.fasteners.iter().flat_map(|s| &s.pieces).filter(|p| *p == piece).count();
            let line = making.shopping.iter().find(|l| l.item == word);
            assert!(
                line.is_some_and(|l| l.needed == count as f64 && l.buy > l.needed),
                "{name}: {word}"
            );
        }
    }
}

#[test]
fn tables_have_a_row_for_everything_and_as_many_cells_as_headings() {
    for name in DEMOS {
        let (robot, _, making) = demo(name);
        for unit in [LengthUnit::Mm, LengthUnit::Inch] {
            let tables = table::all(&robot, &making, unit);
            let rows: Vec<usize> = tables.iter().map(|t| t.rows.len()).collect();
            let screws = making.fasteners.iter().map(|s| s.screws.len().max(1)).sum();
            let expected = [
                making.holes.len(),
                making.plan.stages.iter().map(|s| s.stops.len()).sum(),
                screws,
                making.cuts.len(),
                making.shopping.len(),
                making.labels.len(),
            ];
            assert_eq!(rows, expected, "{name}");
            for t in &tables {
                assert!(t.rows.iter().all(|r| r.len() == t.columns.len()), "{}", t.name);
                assert!(!t.to_csv().contains('\u{2009}'));
                let inch = t.columns.iter().any(|c| c.ends_with("_in"));
                let mm = t.columns.iter().any(|c| c.ends_with("_mm") && *c != "wraps_mm");
                assert!(!(inch && mm), "{} mixes units", t.name);
            }
        }
    }
}

#[test]
fn the_same_robot_is_made_the_same_way() {
    let (_, _, a) = demo("samovar");
    let (_, _, b) = demo("samovar");
    assert_eq!(a, b);
}

const PLUG: &str = "format = 1\n[robot]\nname = \"tray\"\n[board]\nsize_mm = [400, 300]\nthickness_mm = 9\n\
    material = \"hdpe\"\ndepth_front_mm = 60\ndepth_back_mm = 40\n[[zone]]\nname = \"mast\"\npath_mm = 300\n\
    [[plug]]\nname = \"lamp\"\nzone = \"mast\"\nface = \"back\"\nat_mm = [300, 100]\nturn_deg = 90\nfamily = ";

#[test]
fn a_fixed_plug_is_held_by_the_holes_of_its_type() {
    let of = |family: &str| {
        let robot = loomdeck_model::testing::robot(&format!("{PLUG}\"{family}\"\n"));
        let geometry = loomdeck_space::study(&robot);
        let making = study(&robot, &geometry);
        (geometry, making)
    };
    let (geometry, making) = of("plug-high-current-2-50a");
    // (-20, -10) and (-20, 10) mirrored for the back and turned a quarter, about (300, 100).
    let at: Vec<Point> = making.holes.iter().map(|h| h.at).collect();
    assert_eq!(at.len(), 2);
    assert!(at.iter().all(|p| (p.y - 80.0).abs() < 1e-9 && ((p.x - 300.0).abs() - 10.0).abs() < 1e-9));
    // 18 + 9 + washer 0.8 + nut 3.2 + pitch 0.7 = 31.7: M4 × 35, of which 8 mm stand out in front.
    assert_eq!(making.fasteners[0].screws[0].length.0, 35.0);
    let front = &geometry.faces[0].fasteners;
    assert_eq!(front.len(), 2);
    assert!(front.iter().all(|f| (f.height.0 - 8.0).abs() < 1e-9), "{front:?}");
    assert!(making.shopping.iter().any(|l| l.item.starts_with("M4 × 35") && l.needed == 2.0));

    let (_, making) = of("plug-power-2");
    assert!(making.holes.is_empty());
    let base = making.shopping.iter().find(|l| l.item == "adhesive tie base with tie for lamp");
    assert_eq!(base.map(|l| l.buy), Some(1.0));
}
