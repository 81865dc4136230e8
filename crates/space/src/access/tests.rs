//! Reach.
#![allow(clippy::unwrap_used, clippy::panic)]

use super::*;
use crate::findings::robot as small;
use loomdeck_model::testing::robot;

/// What is to be reached on the board of a text.
fn of(text: &str) -> Vec<Need> {
    crate::study(&robot(text)).access.needs
}

fn fasteners<'a>(needs: &'a [Need], name: &str) -> Vec<&'a Need> {
    let of = |n: &&Need| n.subject.name() == name && matches!(n.job, Job::Fastener { .. });
    needs.iter().filter(of).collect()
}

#[test]
fn a_bolt_needs_both_faces_and_a_nut_under_a_part_is_blocked_by_it() {
    // Bolts at (54, 54) and (86, 76); the box on the back covers x 52..92, y 67..97.
    let text = small!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [92, 67]\n\
         fixing = { style = \"adhesive\" }\n"
    );
    let needs = of(text);
    let all = fasteners(&needs, "amp");
    assert_eq!(all.len(), 2);
    assert!(fasteners(&needs, "player").is_empty());
    let free = &all[0].ways[0];
    assert_eq!(
        free.uses.iter().map(|u| u.tool).collect::<Vec<_>>(),
        [Tool::Screwdriver, Tool::NutDriver]
    );
    assert_eq!((free.uses[0].face, free.uses[1].face), (Face::Front, Face::Back));
    assert!(all[0].is_free());
    assert!(!all[1].is_free());
    for way in &all[1].ways {
        let by: Vec<_> = way.uses.iter().flat_map(|u| &u.blockers).collect();
        assert!(by.iter().all(|b| b.by.name() == "player"), "{by:?}");
        // The nut is 6 mm from two edges of the box; its washer and socket are wider than 7 mm.
        assert!(by[0].overlap.0 > 6.0 + 3.5);
    }
}

/// A box of 40 × 30 held by adhesive, at a place on the front.
fn stuck(name: &str, at: (f64, f64)) -> String {
    format!(
        "[[part]]\nname = \"{name}\"\ntype = \"box\"\nface = \"front\"\nat_mm = [{}, {}]\n\
         fixing = {{ style = \"adhesive\" }}\n",
        at.0, at.1
    )
}

/// Bolts turned from the front by a part at (80, 60), with a neighbour of some height on it.
fn beside(at: (f64, f64)) -> Vec<Need> {
    let amp = small!("[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [80, 60]\n");
    of(&format!("{amp}{}", stuck("player", at)))
}

/// Overlap of a thing with the first use of a need's first way.
fn overlap(need: &Need, by: &str) -> f64 {
    let found = need.ways[0].uses[0].blockers.iter().find(|b| b.by.name() == by);
    found.map_or(0.0, |b| b.overlap.0)
}

#[test]
fn a_way_without_spaces_is_free() {
    assert!(Way { uses: Vec::new() }.is_free());
    let robot =
        robot(small!("[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [80, 60]\n"));
    let views = crate::faces::faces(&robot);
    let scene = Scene::new(&robot, robot.board.as_ref().unwrap(), &views);
    let place = Place {
        face: Face::Front,
        at: Point::new(90.0, 70.0),
        setting: Setting::InPlace,
        own: None,
        own_body: false,
    };
    assert!(ways::tool_use(&scene, &place, Tool::Other, Vec::new()).blockers.is_empty());
    let inside = sweep::cylinder(place.at, 5.0, 0.0, 30.0);
    assert_eq!(ways::tool_use(&scene, &place, Tool::Other, vec![inside]).blockers.len(), 1);
}

#[test]
fn a_screwdriver_lying_in_the_board_is_blocked_by_it() {
    // The handle is 32 wide and begins 125 mm from the terminal, at x = 187; the terminal is 8 mm high.
    let text = small!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [20, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [20, 10]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.left\"\nto = \"player.left\"\nsize_mm2 = 1.5\n"
    );
    let along = text.replace(
        "exit = \"left\"\nfitting = \"screw-clamp\"",
        "exit = \"left\"\nscrew = \"right\"\nfitting = \"screw-clamp\"",
    );
    let terminal = |text: &str| {
        let needs = of(text);
        needs.into_iter().find(|n| n.subject.name() == "amp" && n.when == When::Wire).unwrap()
    };
    assert!(terminal(text).is_free());
    let blocked = terminal(&along);
    let by = &blocked.ways[0].uses[0].blockers[0];
    assert_eq!((&by.by, by.stays), (&Subject::Board, true));
    assert!((by.overlap.0 - 8.0).abs() < 1e-9, "{}", by.overlap);
    // Out over the edge the handle hangs free.
    assert!(terminal(&along.replace("screw = \"right\"", "screw = \"left\"")).is_free());
}

#[test]
fn a_standoff_is_undone_from_either_face() {
    let text = small!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         fixing = { style = \"standoff\", standoff_mm = 6 }\n\
         [[part]]\nname = \"lid\"\ntype = \"box\"\nface = \"front\"\nat_mm = [60, 58]\n\
         fixing = { style = \"standoff\", standoff_mm = 40 }\n"
    );
    let needs = of(text);
    let holds: Vec<_> = fasteners(&needs, "amp").into_iter().filter(|n| n.when == When::Hold).collect();
    // Its screw at (86, 76) lies under the lid; from behind it is free, and that is the way kept. The one
    // at (54, 54) is reached from above.
    assert_eq!(holds.len(), 2);
    for (need, face) in holds.into_iter().zip([Face::Front, Face::Back]) {
        assert!(need.is_free() && need.ways.len() == 1);
        assert_eq!(need.ways[0].uses[0].face, face);
    }
}

#[test]
fn posts_stay_when_their_part_is_off() {
    // The lid's post at (56, 56) stands 2.8 mm from the bolt at (54, 54): in its driver's way.
    let text = small!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         [[part]]\nname = \"lid\"\ntype = \"box\"\nface = \"front\"\nat_mm = [52, 52]\n\
         fixing = { style = \"standoff\", standoff_mm = 40 }\n"
    );
    let needs = of(text);
    let all = fasteners(&needs, "amp");
    let by = |n: &Need| n.ways[0].uses[0].blockers[0].clone();
    assert!(by(all[0]).stays, "{:?}", by(all[0]));
    // A lid on bolts with spacers takes them along.
    let bolted = text
        .replace("style = \"standoff\", standoff_mm = 40", "style = \"bolt-and-nut\", standoff_mm = 40");
    let needs = of(&bolted);
    assert!(!by(fasteners(&needs, "amp")[0]).stays);
}

#[test]
fn a_clip_is_opened_by_fingers_or_pushed_out_from_behind() {
    let text = small!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         fixing = { style = \"clip\" }\n\
         [[part]]\nname = \"left\"\ntype = \"box\"\nface = \"front\"\nat_mm = [8, 50]\n\
         fixing = { style = \"adhesive\" }\n"
    );
    let hold = |text: &str| {
        let needs = of(text);
        let all = fasteners(&needs, "amp");
        all.into_iter().find(|n| n.when == When::Hold).unwrap().clone()
    };
    assert!(!hold(text).is_free());
    let hole = "[[pass]]\nname = \"push\"\nat_mm = [70, 65]\ndiameter_mm = 8\ntools_only = true\n";
    let pushed = hold(&format!("{text}{hole}"));
    assert!(pushed.is_free());
    assert_eq!((pushed.ways[0].uses[0].face, pushed.ways[0].uses[0].tool), (Face::Back, Tool::Other));
}

#[test]
fn a_part_slides_as_far_as_the_cleats_that_stay_hold_it() {
    let text = small!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         fixing = { style = \"cleat\", slides = \"right\" }\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [95, 50]\n"
    );
    let needs = of(text);
    let slide = needs.iter().find(|n| n.job == Job::Slide).unwrap();
    // Its rear edge must pass the hole 4 mm before it and half the washer of M3: 7.5 mm; 5 are free.
    let by = &slide.ways[0].uses[0].blockers[0];
    assert_eq!(by.by.name(), "player");
    assert!((by.overlap.0 - 2.5).abs() < 1e-4, "{}", by.overlap);
    let away = text.replace("at_mm = [95, 50]", "at_mm = [98, 50]");
    assert!(of(&away).iter().find(|n| n.job == Job::Slide).unwrap().is_free());
}

#[test]
fn options_that_another_beats_are_left_out() {
    let option = |names: &[&str]| ToolUse {
        tool: Tool::OpenSpanner,
        face: Face::Front,
        at: Point::default(),
        solids: Vec::new(),
        blockers: names
            .iter()
            .map(|n| Blocker { by: Subject::Part((*n).into()), overlap: Millimetres(3.0), stays: false })
            .collect(),
        beyond_edge: None,
    };
    let kept = ways::best([option(&["a", "b"]), option(&["a"]), option(&["c"])].into_iter());
    assert_eq!(kept.len(), 2);
    assert!(kept.iter().all(|k| k.blockers.len() == 1));
    // What stays when its part is off is worse than what goes with it, however deep.
    let mut gone = option(&["a"]);
    gone.blockers[0].overlap = Millimetres(9.0);
    let mut stays = option(&["a"]);
    stays.blockers[0].stays = true;
    let kept = ways::best([stays, gone].into_iter());
    assert!(kept.len() == 2 || !kept[0].blockers[0].stays);
    let free = ways::best([option(&["a"]), option(&[]), option(&["c"])].into_iter());
    assert!(free.len() == 1 && free[0].blockers.is_empty());
}

mod laws {
    use super::super::sweep::{BOUND, cylinder, disc, oblique, sector};
    use super::*;
    use crate::shape::{Convex, along, direction};
    use proptest::prelude::*;

    fn holds(solids: &[Solid], p: Point, z: f64) -> bool {
        solids.iter().any(|s| {
            let inside = Convex::new(s.outline.0.clone()).depth(p) > -1e-6;
            inside && z >= s.from.0 - 1e-6 && z <= s.to.0 + 1e-6
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        /// A neighbour that moves straight away from a bolt does not come into its way, and reaches no
        /// deeper into it than before.
        #[test]
        fn moving_away_blocks_nothing(x in 20.0f64..140.0, y in 10.0f64..110.0, far in 0.5f64..30.0) {
            let bolt = Point::new(84.0, 64.0);
            let middle = Point::new(x + 20.0, y + 15.0);
            let Some(d) = crate::shape::unit(crate::shape::minus(middle, bolt)) else { return Ok(()) };
            let near = beside((x, y));
            let away = beside((x + d.x * far, y + d.y * far));
            let [before, after] = [&near, &away].map(|n| overlap(fasteners(n, "amp")[0], "player"));
            prop_assert!(after <= before + 1e-6, "{} then {}", before, after);
        }

        /// Overlaps change by no more than a thing is moved.
        #[test]
        fn overlap_grows_with_the_move(x in 50.0f64..110.0, y in 40.0f64..90.0, by in 0.0f64..5.0, way in 0.0f64..360.0) {
            let d = direction(way);
            let one = beside((x, y));
            let two = beside((x + d.x * by, y + d.y * by));
            for hole in 0..2 {
                let [a, b] = [&one, &two].map(|n| overlap(fasteners(n, "amp")[hole], "player"));
                prop_assert!((a - b).abs() <= by + 1e-4, "{} and {} after {}", a, b, by);
            }
        }

        /// A board with its faces exchanged and seen from behind is the same board.
        #[test]
        fn both_faces_are_alike(x in 20.0f64..140.0, y in 10.0f64..110.0, turn in 0.0f64..360.0, back in any::<bool>()) {
            let side = |front: bool| if front { "front" } else { "back" };
            let at = |x: f64, front: bool| if front { x } else { 200.0 - x };
            let text = |front: bool| {
                let other = front != back;
                let board = small!("");
                format!(
                    "{board}[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"{}\"\nat_mm = [{}, 60]\n\
                     [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"{}\"\nat_mm = [{}, {y}]\nturn_deg = {turn}\n",
                    side(front), at(80.0, front), side(other), at(x, front)
                ).replace("depth_back_mm = 45", "depth_back_mm = 60")
            };
            let (one, two) = (of(&text(true)), of(&text(false)));
            prop_assert_eq!(one.len(), two.len());
            for (a, b) in one.iter().zip(&two) {
                prop_assert_eq!(a.is_free(), b.is_free());
                let depth = |n: &Need| n.ways.iter().flat_map(|w| &w.uses).flat_map(|u| &u.blockers)
                    .map(|b| b.overlap.0).fold(0.0, f64::max);
                if a.ways.len() == b.ways.len() {
                    prop_assert!((depth(a) - depth(b)).abs() < 1e-4, "{} {}", depth(a), depth(b));
                }
            }
        }

        #[test]
        fn discs_hold_their_circle(r in 0.5f64..200.0, a in 0.0f64..360.0) {
            let c = Convex::new(disc(Point::new(3.0, -2.0), r));
            let d = direction(a);
            prop_assert!(c.depth(along(Point::new(3.0, -2.0), d, r - 1e-9)) > -1e-9);
            prop_assert!(c.depth(along(Point::new(3.0, -2.0), d, r + BOUND + 1e-9)) < 1e-9);
        }

        #[test]
        fn a_sector_holds_the_bar_in_every_position(
            start in 0.0f64..360.0, t in 0.0f64..1.0, end in any::<bool>(), v in -0.5f64..0.5, rim in any::<bool>(),
            width in 2.0f64..25.0, from in prop::sample::select(vec![0.0, 40.0]),
        ) {
            let (to, angle) = (120.0, 60.0);
            // Most often its corners, which reach furthest.
            let (s, v) = (f64::from(u8::from(end)), if rim { v.signum() / 2.0 } else { v });
            let shape = Convex::new(sector(Point::new(1.0, 2.0), start, angle, (from, to), width));
            let d = direction(start + t * angle);
            let p = along(along(Point::new(1.0, 2.0), d, from + s * (to - from)), Point::new(-d.y, d.x), v * width);
            prop_assert!(shape.depth(p) > -1e-6, "{:?} {}", p, shape.depth(p));
        }

        /// Every point of an oblique rod lies in one of its prisms, and none reaches far beyond.
        #[test]
        fn prisms_hold_an_oblique_rod(
            way in 0.0f64..360.0, tilt in 5.0f64..85.0, s in 0.0f64..1.0, r in 0.0f64..1.0, a in 0.0f64..std::f64::consts::TAU,
        ) {
            let (length, width, slack) = (60.0, 12.0, 2.0);
            let at = Point::new(10.0, 20.0);
            let d = direction(way);
            let solids = oblique((at, 15.0), d, tilt, (length, width), slack);
            let (sin, cos) = tilt.to_radians().sin_cos();
            // A point of the rod's round section: across the way, and up square to its axis.
            let (across, up) = (r * width / 2.0 * a.cos(), r * width / 2.0 * a.sin());
            let along_way = s * length * cos - up * sin;
            let p = along(along(at, d, along_way), Point::new(-d.y, d.x), across);
            let z = 15.0 + s * length * sin + up * cos;
            prop_assert!(holds(&solids, p, z.max(0.0)), "{:?} {}", p, z);
            let furthest = length * cos + width / 2.0 * sin + slack;
            let reaches = |c: &Point| crate::shape::dot(crate::shape::minus(*c, at), d);
            let far = solids.iter().flat_map(|s| &s.outline.0).map(reaches).fold(0.0, f64::max);
            prop_assert!(far <= furthest + 1e-6);
        }

        /// The depth of a cylinder in a long wall is the depth of its circle, within the bound.
        #[test]
        fn depth_in_a_wall(into in 0.1f64..20.0, r in 1.0f64..12.0) {
            let wall = crate::shape::pieces(&Outline::rectangle(Point::new(0.0, -500.0), 400.0, 1000.0));
            let c = cylinder(Point::new(into - r, 0.0), 2.0 * r, 0.0, 1.0);
            let depth = crate::shape::overlap_depth(&[Convex::new(c.outline.0)], &wall);
            prop_assert!((depth - into).abs() < BOUND + 1e-6, "{} {}", depth, into);
        }
    }
}
