#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::keying::{ARRANGEMENT, GENDER, LEAVES, Question};
use super::*;
use crate::faults::testing::Room;
use loomdeck_model::Severity;

const ROOM: Room<Exchange> = Room { pages: PAGES, study, findings };

#[test]
fn every_page_shows_its_finding_and_its_cure() {
    ROOM.keeps_its_pages();
}

#[test]
fn twelve_volts_reach_what_bears_less_and_say_how_much() {
    let robot = loomdeck_model::testing::robot(PAGES[0].before);
    let (out, findings) = ROOM.found_in(&robot);
    let wrong = Deed::Wrong { body: PlugId(1), board: PlugId(0), reversed: false };
    let case = out.cases.iter().find(|c| c.deed == wrong).unwrap();
    let harm = case.harms.iter().find(|h| h.kind == HarmKind::TooMuchVoltage).unwrap();
    assert_eq!(harm.name, "controller");
    // A lead battery at rest stands at 12 to 13 V; a few hundredths are lost on the way.
    assert!((12.0..13.2).contains(&harm.value), "{harm:?}");
    let load =
        robot.type_of(robot.part("controller").unwrap()).elements.iter().find_map(|e| match &e.kind {
            loomdeck_model::element::ElementKind::Load(l) => Some(l.damage.0),
            _ => None,
        });
    assert_eq!(Some(harm.limit), load);
    // The lamp on 5 V stays dark and whole.
    let other = Deed::Wrong { body: PlugId(0), board: PlugId(1), reversed: false };
    let case = out.cases.iter().find(|c| c.deed == other).unwrap();
    assert_eq!(case.verdict, Verdict::Dark, "{case:?}");
    assert_eq!(out.table[1][0].verdict, Verdict::Harms);
    assert_eq!(out.table[0][0].mate, Mate::Own);
    let f = findings.iter().find(|f| f.slug == "plug-fits-wrong-place").unwrap();
    assert_eq!(f.severity, Severity::Danger);
    assert_eq!(f.remedies[0].edits.len(), 1, "{f:?}");
}

#[test]
fn the_remedy_written_into_the_files_removes_the_finding() {
    use loomdeck_model::{Edit, EditValue, Folder};
    let (_, findings) = ROOM.found(PAGES[0].before);
    let f = findings.iter().find(|f| f.slug == "plug-fits-wrong-place").unwrap();
    let folder = Folder::single(PAGES[0].before.to_owned());
    let edited = loomdeck_model::edit::apply(&folder, &f.remedies[0].edits).expect("edit");
    let (robot, problems) = loomdeck_model::read(&edited);
    assert!(problems.is_empty(), "{problems:?}");
    let robot = robot.unwrap();
    let (out, after) = ROOM.found_in(&robot);
    assert!(after.iter().all(|g| g.slug != f.slug));
    assert!(out.keying[0].mating.is_empty() && out.keying[0].changes.is_empty());
    assert!(matches!(&f.remedies[0].edits[0], Edit::Set { value: EditValue::Text(_), .. }));
}

/// The least cost by trying everything.
fn by_trying(q: &Question) -> u64 {
    let n = q.now.len();
    let colours = q.arrangements * q.genders + 1;
    let mut best = u64::MAX;
    for mut code in 0..colours.pow(n as u32) {
        let mut set = Vec::new();
        for _ in 0..n {
            set.push((code % colours).checked_sub(1));
            code /= colours;
        }
        if q.edges.iter().any(|&(a, b)| set[a].is_some() && set[a] == set[b]) {
            continue;
        }
        best = best.min(set.iter().enumerate().map(|(v, &c)| q.cost(v, c)).sum());
    }
    best
}

mod exact {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(300))]

        #[test]
        fn nothing_cheaper_is_found_by_trying_everything(
            n in 1usize..7,
            arrangements in 1usize..3,
            genders in 1usize..3,
            seed in proptest::collection::vec(0usize..1000, 64),
        ) {
            let colours = arrangements * genders;
            let now = (0..n).map(|v| seed[v] % colours).collect();
            let mut edges = Vec::new();
            for a in 0..n {
                for b in a + 1..n {
                    if seed[8 + a * 7 + b] % 100 < 60 {
                        edges.push((a, b));
                    }
                }
            }
            let q = Question { now, edges, arrangements, genders };
            let answer = q.answer();
            prop_assert!(answer.least);
            for &(a, b) in &q.edges {
                prop_assert!(answer.colours[a].is_none() || answer.colours[a] != answer.colours[b]);
            }
            let cost: u64 = answer.colours.iter().enumerate().map(|(v, &c)| q.cost(v, c)).sum();
            prop_assert_eq!(cost, answer.cost);
            prop_assert_eq!(answer.cost, by_trying(&q));
        }
    }
}

/// Colouring numbers known from textbooks: the complete graph on n vertices needs n colours, an odd ring 3,
/// the Petersen graph 3.
#[test]
fn textbook_graphs_cost_what_they_must() {
    let complete = |n: usize| (0..n).flat_map(|a| (a + 1..n).map(move |b| (a, b))).collect::<Vec<_>>();
    let ask = |now: Vec<usize>, edges: Vec<(usize, usize)>, arrangements: usize| {
        Question { now, edges, arrangements, genders: 1 }.answer()
    };
    // One of five keeps its arrangement, four change.
    assert_eq!(ask(vec![0; 5], complete(5), 5).cost, 4 * ARRANGEMENT);
    // Thirty in five arrangements: 25 leave, four change, one keeps.
    let many = ask(vec![0; 30], complete(30), 5);
    assert!(many.least);
    assert_eq!(many.cost, 25 * LEAVES + 4 * ARRANGEMENT);
    let ring: Vec<_> = (0..7).map(|v| (v, (v + 1) % 7)).collect();
    assert_eq!(ask(vec![0; 7], ring.clone(), 3).cost, 4 * ARRANGEMENT);
    assert!(ask(vec![0; 7], ring, 2).cost >= LEAVES);
    let petersen: Vec<_> =
        (0..5).flat_map(|v| [(v, (v + 1) % 5), (v, v + 5), (v + 5, (v + 2) % 5 + 5)]).collect();
    // Its largest set without an edge has four vertices: six change.
    assert_eq!(ask(vec![0; 10], petersen.clone(), 3).cost, 6 * ARRANGEMENT);
    assert!(ask(vec![0; 10], petersen, 2).cost >= LEAVES);
    // Gender alone tells two apart.
    let two = Question { now: vec![0, 0], edges: vec![(0, 1)], arrangements: 1, genders: 2 };
    assert_eq!(two.answer().cost, ARRANGEMENT + GENDER);
}

/// Three lamps and a fan on one rail: an exchange of lamps is solved once and told of all.
#[test]
fn equal_contents_on_equal_contacts_are_solved_once() {
    let base = PAGES[0].before;
    let mut text = base.to_owned();
    for n in 2..5 {
        let copy = |name: &str| format!("{name}-{n}");
        text += &format!(
            "\n[[part]]\nname = \"{0}\"\ntype = \"lamp-led-12v-5w\"\nzone = \"body\"\n[[part]]\nname = \"holder-{n}\"\ntype = \"fuse-holder-blade\"\nzone = \"body\"\nfuses = {{ way = \"blade-2a\" }}\n[[plug]]\nname = \"{1}\"\nfamily = \"plug-power-2\"\nzone = \"body\"\nface = \"front\"\nat_mm = [380, {2}]\n",
            copy("lamp"),
            copy("plug"),
            180 + 20 * n
        );
        for (name, from, to) in [
            ("feed", "converter.in-plus".to_owned(), format!("holder-{n}.in")),
            ("on", format!("holder-{n}.out"), format!("plug-{n}.board.1")),
            ("back", format!("plug-{n}.board.2"), "converter.in-minus".to_owned()),
            ("plus", format!("plug-{n}.body.1"), format!("lamp-{n}.plus")),
            ("minus", format!("lamp-{n}.minus"), format!("plug-{n}.body.2")),
        ] {
            text += &format!(
                "[[wire]]\nname = \"{name}-{n}\"\nfrom = \"{from}\"\nto = \"{to}\"\nsize_mm2 = 0.75\nlength_mm = 300\n"
            );
        }
    }
    let (out, _) = ROOM.found(&text);
    let case = |deed: Deed| out.cases.iter().position(|c| c.deed == deed).unwrap();
    let wrong =
        |a: usize, b: usize| case(Deed::Wrong { body: PlugId(a), board: PlugId(b), reversed: false });
    let first = wrong(2, 3);
    for other in [wrong(3, 2), wrong(2, 4), wrong(4, 3)] {
        assert_eq!(out.told_by(other), out.told_by(first));
    }
    // A controller on a lamp's place is told once for all three, but not with the lamp on the old one.
    assert_eq!(out.told_by(wrong(1, 2)), out.told_by(wrong(1, 4)));
    assert_ne!(out.told_by(wrong(1, 2)), out.told_by(wrong(2, 1)));
    assert!(out.solved < out.cases.len() / 2, "{} of {}", out.solved, out.cases.len());
}
