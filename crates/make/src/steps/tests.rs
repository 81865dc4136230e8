//! Laws of an order of work.

use super::*;
use crate::shopping::piece_word;
use loomdeck_model::{Folder, Landing, Place, PlugPlace};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

type Demo = (Robot, Geometry, Making, Vec<Step>);

fn of(robot: Robot) -> Demo {
    let geometry = loomdeck_space::study(&robot);
    let making = crate::study(&robot, &geometry);
    let order = loomdeck_space::order::study(&robot, &geometry);
    let steps = steps(&robot, &geometry, &order, &making);
    (robot, geometry, making, steps)
}

fn demo(name: &str) -> Demo {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name);
    let folder = Folder::load(&folder).unwrap_or_else(|p| panic!("{p:?}"));
    let (robot, problems) = loomdeck_model::read(&folder);
    of(robot.unwrap_or_else(|| panic!("{problems:#?}")))
}

/// A small tray with every way of fixing, both faces, and wires.
const TRAY: &str = include_str!("tray.toml");

fn all() -> Vec<(&'static str, Demo)> {
    let mut all: Vec<(&str, Demo)> =
        ["cart", "samovar", "samovar-first-try"].map(|n| (n, demo(n))).into_iter().collect();
    all.push(("tray", of(loomdeck_model::testing::robot(TRAY))));
    all
}

#[test]
fn every_piece_of_hardware_is_used_in_exactly_one_step() {
    for (name, (_, _, making, steps)) in all() {
        let mut needed: BTreeMap<String, usize> = BTreeMap::new();
        for piece in making.fasteners.iter().flat_map(|s| &s.pieces) {
            *needed.entry(piece_word(piece)).or_insert(0) += 1;
        }
        let mut used: BTreeMap<String, usize> = BTreeMap::new();
        for count in steps.iter().flat_map(|s| &s.hardware) {
            *used.entry(piece_word(&count.piece)).or_insert(0) += count.count;
        }
        assert_eq!(used, needed, "{name}");
    }
}

#[test]
fn every_part_is_put_on_once_and_every_stage_done_once() {
    for (name, (robot, _, making, steps)) in all() {
        let fitted = steps.iter().filter(|s| matches!(s.group, Group::Parts | Group::Covers));
        let mut fitted: Vec<&Subject> = fitted.flat_map(|s| &s.adds).collect();
        fitted.sort();
        let parts = robot.parts.iter().map(|p| Subject::Part(p.name.clone()));
        let fixed = robot.plugs.iter().filter(|p| matches!(p.place, PlugPlace::Fixed(_)));
        let mut wanted: Vec<Subject> =
            parts.chain(fixed.map(|p| Subject::Plug(p.name.clone()))).collect();
        wanted.sort();
        assert_eq!(fitted, wanted.iter().collect::<Vec<_>>(), "{name}");
        let stages: Vec<usize> = steps.iter().flat_map(|s| s.stages.iter().copied()).collect();
        assert_eq!(stages, (0..making.plan.stages.len()).collect::<Vec<_>>(), "{name}");
    }
}

#[test]
fn every_end_of_every_wire_is_made_once() {
    for (name, (robot, _, _, steps)) in all() {
        let wired: BTreeSet<WireId> = steps.iter().flat_map(|s| s.wires.iter().copied()).collect();
        assert_eq!(wired.len(), robot.wires.len(), "{name}");
        for (i, wire) in robot.wires.iter().enumerate() {
            let lines: Vec<&String> = steps
                .iter()
                .filter(|s| s.wires.contains(&WireId(i)))
                .flat_map(|s| &s.words)
                .filter(|w| {
                    w.starts_with(&format!("{} (", wire.name))
                        || w.starts_with(&format!("{}:", wire.name))
                })
                .collect();
            for landing in [wire.from, wire.to] {
                let at = robot.landing_word(landing);
                let made = lines.iter().filter(|l| l.contains(&at)).count();
                assert!(made >= 1, "{name}: {} at {at}: {lines:?}", wire.name);
            }
        }
    }
}

#[test]
fn a_wire_comes_after_its_parts_and_torques_are_those_of_its_ends() {
    for (name, (robot, _, _, steps)) in all() {
        for step in steps.iter().filter(|s| s.group == Group::Wires) {
            for torque in &step.torques {
                let ends = step.wires.iter().flat_map(|w| [robot.wires[w.0].from, robot.wires[w.0].to]);
                assert!(ends.map(|l| robot.landing_word(l)).any(|w| w == torque.at), "{name}");
            }
            if step.heading.contains("before it is on") {
                continue;
            }
            for wire in &step.wires {
                let w = &robot.wires[wire.0];
                // Both ends, when it is not laid in two goes.
                let goes = steps.iter().filter(|s| s.wires.contains(wire)).count();
                for landing in [w.from, w.to].into_iter().filter(|_| goes == 1) {
                    let Landing::Part { part, .. } = landing else { continue };
                    let part = &robot.parts[part.0];
                    if matches!(part.place, Place::Board(_)) {
                        let there = step.there.contains(&Subject::Part(part.name.clone()));
                        assert!(there, "{name}: {} before {}", w.name, part.name);
                    }
                }
            }
        }
    }
}

#[test]
fn steps_are_numbered_and_remember_what_is_there() {
    for (name, (_, _, _, steps)) in all() {
        let mut there: Vec<Subject> = Vec::new();
        let mut wires: Vec<WireId> = Vec::new();
        let mut up = None;
        for (i, step) in steps.iter().enumerate() {
            assert_eq!(step.number, i + 1);
            assert_eq!(step.there, there, "{name} {}", step.number);
            assert_eq!(step.wires_there, wires, "{name} {}", step.number);
            if !matches!(step.group, Group::Drill | Group::Set | Group::Stays) {
                there.extend(step.adds.iter().filter(|s| !step.there.contains(s)).cloned());
            }
            wires.extend(step.wires.iter().filter(|w| !step.wires_there.contains(w)));
            if let Some(face) = step.face {
                assert_eq!(step.turn_over, up.is_some_and(|u| u != face), "{name} {}", step.number);
                up = Some(face);
            }
            assert!(!step.heading.is_empty() && !step.words.is_empty(), "{name} {step:?}");
            let said = step.words.iter().chain(&step.watch).chain(&step.cautions);
            for words in said {
                assert!(words.ends_with('.') && !words.contains('!'), "{name}: {words}");
                assert!(!words.contains("  ") && !words.contains(" ,"), "{name}: {words}");
            }
        }
        assert_eq!(steps.last().map(|s| s.group), Some(Group::Checks), "{name}");
        let first = steps.first().map(|s| s.group);
        assert_eq!(first, Some(Group::Drill), "{name}");
    }
}

#[test]
fn what_can_hurt_is_said_where_it_can() {
    let (_, _, _, steps) = demo("samovar");
    let drilling = steps.iter().find(|s| s.stages.len() > 1 && s.group == Group::Drill);
    assert!(drilling.is_some_and(|s| s.cautions.iter().any(|c| c.contains("eye protection"))));
    let power = steps.last();
    assert!(power.is_some_and(|s| s.cautions.iter().any(|c| c.contains("rings"))));
    let battery = steps.iter().find(|s| s.cautions.iter().any(|c| c.contains("battery's terminals")));
    assert!(battery.is_some());
}

#[test]
fn a_robot_without_a_board_is_wired_all_the_same() {
    let (_, types) = TRAY.split_once("[[type]]").unwrap_or_default();
    let (types, _) = types.split_once("[[part]]").unwrap_or_default();
    let (robot, _, making, steps) = of(loomdeck_model::testing::robot(&format!(
        "format = 1\n[robot]\nname = \"sketch\"\n[[zone]]\nname = \"mast\"\npath_mm = 300\n[[type]]{types}\
         [[part]]\nname = \"a\"\ntype = \"plate\"\nzone = \"mast\"\n\
         [[part]]\nname = \"b\"\ntype = \"plate\"\nzone = \"mast\"\n\
         [[wire]]\nname = \"one\"\nfrom = \"a.plus\"\nto = \"b.minus\"\nsize_mm2 = 1\nlength_mm = 200\n"
    )));
    assert!(making.holes.is_empty() && robot.board.is_none());
    let groups: Vec<Group> = steps.iter().map(|s| s.group).collect();
    assert_eq!(groups, [Group::Parts, Group::Wires, Group::Checks, Group::Checks, Group::Checks]);
    assert!(steps.iter().all(|s| s.face.is_none()));
}
