//! Bends.
#![allow(clippy::unwrap_used, clippy::panic)]

use super::*;
use crate::findings::robot as small;
use crate::shape::{Convex, along, direction};
use loomdeck_model::testing::robot;
use loomdeck_model::units::Degrees;
use proptest::prelude::*;

fn of(text: &str) -> Vec<Bend> {
    crate::study(&robot(text)).bends
}

/// Two boxes that face each other, terminals at x = 68 and at `x` + 2.
fn facing_at(x: f64) -> String {
    let amp = small!("[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [30, 60]\n");
    format!(
        "{amp}[[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [{x}, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 1.5\n"
    )
}

#[test]
fn the_thickest_wire_counts_and_its_parts_are_told() {
    let text = facing_at(110.0)
        + "[[wire]]\nname = \"two\"\nfrom = \"player.right\"\nto = \"amp.right\"\nsize_mm2 = 4\n";
    let robot = robot(&text);
    let bends = bends(&robot, &crate::faces::faces(&robot));
    assert_eq!(bends.len(), 3);
    let b = &bends[0];
    assert_eq!((b.wire, b.from_end, b.terminal), (WireId(1), false, Some(1)));
    let d = robot.wires[1].insulation.outside_diameter(robot.wires[1].gauge);
    assert_eq!((b.diameter, b.radius, b.straight), (d, d * 3.0, d));
    assert!((b.need().0 - (5.0 + 5.0 * d.0)).abs() < 1e-9);
    // A ferrule in a clamp needs no straight.
    let clamp = bends.iter().find(|b| b.terminal == Some(0)).unwrap();
    assert_eq!(clamp.straight, Millimetres::ZERO);
}

/// AC 43.13-1B and NASA-STD-8739.4: 3 diameters for wires, 6 for screened cable.
#[test]
fn radii_follow_the_kind() {
    let plain = of(&facing_at(110.0));
    let soft =
        of(&facing_at(110.0).replace("size_mm2 = 1.5", "size_mm2 = 1.5\ninsulation = \"silicone\""));
    let cable = "[[cable]]\nname = \"shielded\"\nkind = \"screened\"\noutside_mm = 5\n";
    let screened = of(&format!(
        "{}{cable}",
        facing_at(110.0).replace("size_mm2 = 1.5", "size_mm2 = 1.5\ncable = \"shielded\"")
    ));
    let ratio = |b: &Bend| b.radius.0 / b.diameter.0;
    assert!((ratio(&plain[0]) - 3.0).abs() < 1e-9);
    assert!((ratio(&soft[0]) - 2.0).abs() < 1e-9);
    assert_eq!((screened[0].diameter, screened[0].radius), (Millimetres(5.0), Millimetres(30.0)));
}

#[test]
fn trimming_a_boot_saves_what_is_cut_off() {
    let text = facing_at(110.0).replace("boot_mm = 5", "boot_mm = 5\nboot_trimmed_mm = 2");
    let whole = of(&text);
    assert_eq!(whole[0].trim_saves, Some(Millimetres(3.0)));
    let cut = of(&text.replace("size_mm2 = 1.5", "size_mm2 = 1.5\ntrim_from = true"));
    assert_eq!((cut[0].trim_saves, cut[0].boot), (None, Millimetres(2.0)));
    assert!((whole[0].need().0 - cut[0].need().0 - 3.0).abs() < 1e-9);
}

#[test]
fn parts_that_face_each_other_share_a_lane() {
    let robot = robot(&facing_at(94.0));
    let views = crate::faces::faces(&robot);
    let bends = bends(&robot, &views);
    let pairs = facing(&views, &bends);
    assert_eq!(pairs.len(), 2);
    let pair = &pairs[0];
    assert_eq!((pair.lane, pair.other), (Lane::Shared, Some(1)));
    // From x = 68 to x = 96.
    assert!((pair.distance.0 - 28.0).abs() < 1e-9);
    let (a, b) = (&bends[0], &bends[1]);
    let [apart, shared, own] = [Lane::Apart, Lane::Shared, Lane::Own].map(|l| least_distance(a, b, l));
    assert!(apart <= shared && shared < own, "{apart} {shared} {own}");
    assert_eq!(pair.least, shared);
}

#[test]
fn off_the_face_it_bends_where_there_is_room() {
    let up = facing_at(75.0).replace("exit = \"right\"", "exit = \"off\"");
    let bends = of(&up);
    assert!(bends[0].is_free());
    // Under a lid it finds none.
    let lid = "[[part]]\nname = \"lid\"\ntype = \"box\"\nface = \"front\"\nat_mm = [48, 60]\n\
               fixing = { style = \"adhesive\", standoff_mm = 21 }\n";
    let under = of(&format!("{up}{lid}"));
    assert!(!under[0].is_free());
    assert!(under[0].ways.iter().all(|w| w.blockers.iter().any(|b| b.by.name() == "lid")));
}

/// A bend with these sizes, along the face or off it.
fn bend(exit: Exit, diameter: f64, boot: f64) -> Bend {
    Bend {
        wire: WireId(0),
        owner: Owner::Part(loomdeck_model::PartId(0)),
        terminal: Some(0),
        from_end: true,
        face: Face::Front,
        at: Point::new(5.0, -3.0),
        height: Millimetres(60.0),
        exit,
        diameter: Millimetres(diameter),
        end_width: Millimetres(diameter + 1.0),
        boot: Millimetres(boot),
        trim_saves: None,
        straight: Millimetres(diameter),
        radius: Millimetres(3.0 * diameter),
        ways: Vec::new(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    /// Every point of the true quarter ring lies in the solids, and they reach no further than 0.9 % beyond
    /// its outside.
    #[test]
    fn solids_hold_the_ring(
        exit in prop::sample::select(vec![None, Some(0.0), Some(90.0), Some(217.0)]),
        which in 0usize..8, d in 1.0f64..8.0, boot in 0.0f64..20.0,
        t in 0.0f64..std::f64::consts::FRAC_PI_2, u in 0.0f64..1.0, v in 0.0f64..std::f64::consts::TAU,
    ) {
        let exit = exit.map_or(Exit::Up, |a| Exit::Along(Degrees(a)));
        let b = bend(exit, d, boot);
        let all: Vec<(Turn, Vec<Solid>)> = solids::turns(&b).collect();
        let (turn, spaces) = &all[which % all.len()];
        // A point of the round section, outwards from the bend and across it.
        let (out, across) = (u * d / 2.0 * v.cos(), u * d / 2.0 * v.sin());
        let r = 3.5 * d + out;
        let (ahead, aside) = (b.stiff().0 + r * t.sin(), 3.5 * d - r * t.cos());
        let (p, z) = match (b.exit, turn) {
            (Exit::Along(a), Turn::On) => (along(b.at, direction(a.0), b.stiff().0 + t), 60.0 + out),
            (Exit::Along(a), Turn::To(to)) => {
                (along(along(b.at, direction(a.0), ahead), direction(to.0), aside), 60.0 + across)
            }
            (Exit::Along(a), Turn::Down) => {
                let way = direction(a.0);
                let side = Point::new(-way.y, way.x);
                (along(along(b.at, way, ahead), side, across), 60.0 - aside)
            }
            (Exit::Up, Turn::To(to)) => {
                let way = direction(to.0);
                let side = Point::new(-way.y, way.x);
                (along(along(b.at, way, aside), side, across), 60.0 + ahead)
            }
            (Exit::Up, _) => return Ok(()),
        };
        let held = spaces.iter().any(|s| {
            Convex::new(s.outline.0.clone()).depth(p) > -1e-6 && z >= s.from.0 - 1e-6 && z <= s.to.0 + 1e-6
        });
        prop_assert!(held, "{:?} {:?} {} {:?}", turn, p, z, spaces);
        let limit = b.stiff().0 + 4.0 * d + 0.009 * 4.0 * d;
        match b.exit {
            Exit::Along(a) => {
                let way = direction(a.0);
                for c in spaces.iter().flat_map(|s| &s.outline.0) {
                    prop_assert!(crate::shape::dot(crate::shape::minus(*c, b.at), way) <= limit + 1e-6);
                }
            }
            Exit::Up => prop_assert!(spaces.iter().all(|s| s.to.0 <= 60.0 + limit + 1e-6)),
        }
    }

    /// Two wires with the least gap of a shared lane do not touch, and with less they do.
    #[test]
    fn a_shared_lane_is_just_wide_enough(da in 1.0f64..6.0, db in 1.0f64..6.0) {
        let (a, b) = (bend(Exit::Along(Degrees(0.0)), da, 4.0), bend(Exit::Along(Degrees(180.0)), db, 4.0));
        let least = least_distance(&a, &b, Lane::Shared).0;
        prop_assert!((least - least_distance(&b, &a, Lane::Shared).0).abs() < 1e-6);
        let closest = |distance: f64| {
            let line = |w: &Bend, k: u32| {
                let t = std::f64::consts::FRAC_PI_2 * f64::from(k) / 400.0;
                let r = w.radius.0 + w.diameter.0 / 2.0;
                Point::new(w.stiff().0 + r * t.sin(), r * (1.0 - t.cos()))
            };
            let mut least = f64::INFINITY;
            for i in 0..=400 {
                for j in 0..=400 {
                    let (p, q) = (line(&a, i), line(&b, j));
                    let q = Point::new(distance - q.x, -q.y);
                    least = least.min(p.distance(q));
                }
            }
            least
        };
        prop_assert!(closest(least) > (da + db) / 2.0 * 0.999);
        // Where the bends meet, and not one wire's own need, sets the distance.
        if least > a.need().max(b.need()).0 + 0.5 {
            prop_assert!(closest(least - 0.5) < (da + db) / 2.0);
        }
    }

    /// A neighbour that moves away along the exit never blocks a bend that was free.
    #[test]
    fn moving_away_frees(x in 66.0f64..110.0, more in 0.0f64..30.0) {
        let free = |x: f64| of(&facing_at(x))[0].is_free();
        prop_assert!(!free(x) || free(x + more));
    }
}
