#![allow(clippy::unwrap_used)]

use super::*;
use loomdeck_model::testing::robot;
use proptest::prelude::*;

const TEXT: &str = r#"format = 1
[robot]
name = "tray"
[[type]]
name = "box"
title = "box"
size_mm = [40, 30]
height_mm = 20
mass_g = 50
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 3.4
fixing = { style = "bolt-and-nut", thread = "M3", head = "pan" }
[[type.terminal]]
name = "a"
at_mm = [2, 10]
height_mm = 8
exit = "left"
fitting = "screw-clamp"
wire_mm2 = [0.2, 6]
room_for = 4
role = "passive"
optional = true
[[type.terminal]]
name = "b"
at_mm = [38, 20]
height_mm = 8
exit = "right"
fitting = "screw-clamp"
wire_mm2 = [0.2, 6]
room_for = 4
role = "passive"
optional = true
[[type.element]]
kind = "resistor"
a = "a"
b = "b"
ohms_ohm = 100
power_w = 1
[board]
size_mm = [300, 200]
thickness_mm = 9
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 45
[[mount]]
name = "corner"
at_mm = [15, 15]
thread = "M5"
[[part]]
name = "one"
type = "box"
face = "front"
at_mm = [40, 60]
[[part]]
name = "two"
type = "box"
face = "front"
at_mm = [200, 60]
[[wire]]
name = "link"
from = "one.b"
to = "two.a"
size_mm2 = 1.5
colour = "red"
length_mm = 180
"#;

fn study(text: &str) -> Study {
    Study::of(robot(text))
}

fn changed(from: &str, to: &str) -> Comparison {
    assert!(TEXT.contains(from), "{from}");
    compare(&study(TEXT), &study(&TEXT.replace(from, to)))
}

#[test]
fn the_same_robot_is_no_different() {
    assert!(compare(&study(TEXT), &study(TEXT)).is_empty());
}

#[test]
fn a_part_that_moves_takes_its_holes_along() {
    // By 32 and 22 mm: the far hole then lies where the near one was, and is still the far one.
    let c = changed("at_mm = [40, 60]", "at_mm = [72, 82]");
    assert_eq!(c.parts.len(), 1);
    let by = 32f64.hypot(22.0);
    assert!((c.parts[0].moved.unwrap().0 - by).abs() < 1e-9);
    assert_eq!(c.holes.len(), 2);
    for h in &c.holes {
        assert!((h.moved.unwrap().0 - by).abs() < 1e-9, "{h:?}");
        assert!(!h.is_resized());
    }
    assert!(c.supplies.is_empty(), "{:?}", c.supplies);
}

#[test]
fn a_turn_is_told_with_its_sign() {
    let turned = |text: &str| changed("at_mm = [200, 60]", text).parts[0].turned.unwrap().0;
    assert_eq!(turned("at_mm = [200, 60]\nturn_deg = 90"), 90.0);
    assert_eq!(turned("at_mm = [200, 60]\nturn_deg = 270"), -90.0);
}

#[test]
fn holes_come_go_and_change_in_size() {
    let c = changed("thread = \"M3\"", "thread = \"M4\"");
    assert_eq!(c.holes.len(), 4);
    assert!(c.holes.iter().all(|h| h.is_resized() && !h.has_moved()));
    let c = changed("at_mm = [15, 15]", "at_mm = [15, 20.5]");
    assert_eq!(c.holes.len(), 1);
    assert!((c.holes[0].moved.unwrap().0 - 5.5).abs() < 1e-9);
    let c = changed(
        "[[part]]\nname = \"one\"",
        "[[pass]]\nname = \"hole\"\nat_mm = [150, 150]\ndiameter_mm = 20\n[[part]]\nname = \"one\"",
    );
    assert_eq!(c.holes.len(), 1);
    assert!(c.holes[0].old.is_none() && c.holes[0].moved.is_none());
}

#[test]
fn the_old_piece_is_used_again_where_it_can_be() {
    let reuse = |from: &str, to: &str| changed(from, to).wires[0].clone();
    let shorter = reuse("length_mm = 180", "length_mm = 150");
    assert_eq!(shorter.longer.unwrap(), Millimetres(-30.0));
    assert_eq!(shorter.reuse, Some(Reuse::Trim { by: Millimetres(30.0), new_ends: [false, true] }));
    let longer = reuse("length_mm = 180", "length_mm = 200");
    assert_eq!(longer.reuse, Some(Reuse::TooShort { by: Millimetres(20.0) }));
    let thicker = changed("size_mm2 = 1.5", "size_mm2 = 2.5");
    assert_eq!(thicker.wires[0].reuse, Some(Reuse::OtherReel));
    // 180 mm of the one reel are cut, and 180 mm of the other are left over.
    let told: Vec<_> = thicker.reels.iter().map(|r| (r.cut.0, r.left_over.0)).collect();
    assert_eq!(
        told,
        [
            (thicker.wires[0].new.as_ref().unwrap().cut.0, 0.0),
            (0.0, thicker.wires[0].old.as_ref().unwrap().cut.0)
        ]
    );
    assert_eq!(reuse("colour = \"red\"", "colour = \"blue\"").reuse, Some(Reuse::OtherReel));
    let ends = reuse("length_mm = 180", "length_mm = 180\nend_to = \"bare\"");
    assert_eq!(ends.longer.unwrap(), Millimetres::ZERO);
    assert!(matches!(ends.reuse, Some(Reuse::Trim { new_ends: [false, true], .. })), "{ends:?}");
    // Only its name is another.
    let renamed = reuse("name = \"link\"", "name = \"feed\"");
    assert_eq!(renamed.reuse, Some(Reuse::AsItIs));
    assert_eq!((renamed.old.unwrap().name, renamed.new.unwrap().name), ("link".into(), "feed".into()));
}

#[test]
fn what_to_buy_and_what_is_left_over() {
    let c = changed(
        "[[mount]]",
        "[[part]]\nname = \"three\"\ntype = \"box\"\nface = \"back\"\nat_mm = [120, 60]\n[[mount]]",
    );
    let of = |group: &str, word: &str| {
        c.supplies.iter().find(|s| s.group == group && s.item.contains(word)).map(|s| s.more())
    };
    assert_eq!(of("parts", "box"), Some(1.0));
    assert_eq!(of("fasteners", "M3 nut"), Some(2.0));
    assert_eq!(c.parts.len(), 1);
    assert!(c.parts[0].old.is_none());
}

#[test]
fn findings_come_and_go() {
    let close = TEXT.replace("at_mm = [200, 60]", "at_mm = [81, 60]");
    let c = compare(&study(TEXT), &study(&close));
    assert!(c.new.iter().any(|f| f.slug == "gap-too-small"), "{:?}", c.new);
    let back = compare(&study(&close), &study(TEXT));
    assert!(back.gone.iter().any(|f| f.slug == "gap-too-small"));
}

/// Everything of a comparison with its sides swapped, in an order that does not tell which was first.
fn swapped(c: &Comparison) -> Comparison {
    let flip = |x: Option<[Millimetres; 2]>| x.map(|[a, b]| [b, a]);
    Comparison {
        board: BoardChange {
            there: c.board.there.map(|[a, b]| [b, a]),
            size: c.board.size.map(|[a, b]| [b, a]),
            thickness: flip(c.board.thickness),
            material: c.board.material.map(|[a, b]| [b, a]),
        },
        holes: c
            .holes
            .iter()
            .map(|h| HoleChange { old: h.new.clone(), new: h.old.clone(), ..h.clone() })
            .collect(),
        parts: c
            .parts
            .iter()
            .map(|p| PartChange {
                old: p.new.clone(),
                new: p.old.clone(),
                turned: p.turned.map(|t| if t.0 == 180.0 { t } else { -t }),
                ..p.clone()
            })
            .collect(),
        wires: c
            .wires
            .iter()
            .map(|w| WireChange {
                old: w.new.clone(),
                new: w.old.clone(),
                longer: w.longer.map(|l| -l),
                reuse: None,
            })
            .collect(),
        // Which pieces do for what is not the same both ways.
        reels: Vec::new(),
        supplies: c
            .supplies
            .iter()
            .map(|s| SupplyChange { old: s.new, new: s.old, ..s.clone() })
            .collect(),
        gone: c.new.clone(),
        new: c.gone.clone(),
    }
}

/// Its changes as words, sorted; zeros without sign.
fn told(c: &Comparison) -> Vec<String> {
    let mut out = vec![format!("{:?}", c.board)];
    out.extend(c.holes.iter().map(|h| format!("{:?} {:?} {:?}", h.old, h.new, h.moved)));
    out.extend(c.parts.iter().map(|p| format!("{p:?}")));
    out.extend(c.wires.iter().map(|w| format!("{:?} {:?} {:?}", w.old, w.new, w.longer)));
    out.extend(c.supplies.iter().map(|s| format!("{s:?}")));
    out.extend(c.gone.iter().map(|f| format!("gone {:?}", key(f))));
    out.extend(c.new.iter().map(|f| format!("new {:?}", key(f))));
    let mut out: Vec<String> = out.into_iter().map(|t| t.replace("(-0.0)", "(0.0)")).collect();
    out.sort();
    out
}

fn a_robot() -> impl Strategy<Value = String> {
    let at = (20.0..240f64, 20.0..160f64).prop_map(|(x, y)| format!("[{x:.1}, {y:.1}]"));
    (
        at.clone(),
        at.clone(),
        at,
        prop::sample::select(vec![0, 90, 180, 270, 33]),
        prop::sample::select(vec!["M3", "M4"]),
        prop::sample::select(vec!["1.5", "2.5"]),
        100u32..400,
        any::<[bool; 3]>(),
    )
        .prop_map(|(a, b, c, turn, thread, size, length, [third, mount, wire])| {
            let mut text = TEXT
                .replace("at_mm = [40, 60]", &format!("at_mm = {a}\nturn_deg = {turn}"))
                .replace("at_mm = [200, 60]", &format!("at_mm = {b}"))
                .replace("thread = \"M3\"", &format!("thread = \"{thread}\""))
                .replace("size_mm2 = 1.5", &format!("size_mm2 = {size}"))
                .replace("length_mm = 180", &format!("length_mm = {length}"));
            if third {
                text.push_str(&format!("[[part]]\nname = \"three\"\ntype = \"box\"\nface = \"back\"\nat_mm = {c}\n"));
            }
            if mount {
                text.push_str("[[mount]]\nname = \"other\"\nat_mm = [285, 185]\nthread = \"M5\"\n");
            }
            if wire {
                text = text.replace("name = \"link\"", "name = \"cord\"");
                text.push_str("[[wire]]\nname = \"link\"\nfrom = \"one.a\"\nto = \"two.b\"\nsize_mm2 = 0.5\nlength_mm = 90\n");
            }
            text
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    /// A robot held against itself is no different, and the two sides can be swapped.
    #[test]
    fn mirrored(a in a_robot(), b in a_robot()) {
        let (a, b) = (study(&a), study(&b));
        prop_assert!(compare(&a, &a).is_empty());
        let (there, back) = (compare(&a, &b), compare(&b, &a));
        let mut again = swapped(&there);
        // The subject of a change is told as the newer robot names it; both name it alike.
        for (x, y) in again.holes.iter_mut().zip(&back.holes) {
            x.subjects.clone_from(&y.subjects);
        }
        prop_assert_eq!(told(&again), told(&back));
    }
}
