//! Laws of the puzzle, held against counting everything on small ones.
#![allow(clippy::unwrap_used)]

use super::bits::Bits;
use super::least::least;
use super::locked::waivers;
use super::puzzle::{Condition, Puzzle, Thing};
use super::samples::{self, Draw};
use super::sequence::{Job, fewest_turns};
use loomdeck_model::Face;
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

const EFFORT: usize = 1_000_000;

fn puzzle(drawn: Vec<samples::Drawn>) -> Puzzle {
    let condition = |(price, ways)| Condition { price, ways };
    let things = drawn.into_iter().map(|(weight, conditions)| Thing {
        weight,
        conditions: conditions.into_iter().map(condition).collect(),
    });
    Puzzle { things: things.collect() }
}

/// Plays an order back, move by move: each thing's conditions must be met by what is off before it.
fn plays(puzzle: &Puzzle, order: &[usize]) -> bool {
    let mut off = BTreeSet::new();
    order.iter().all(|t| {
        let met = |c: &Condition| c.ways.iter().any(|w| w.iter().all(|o| off.contains(o)));
        let free = puzzle.things[*t].conditions.iter().all(met);
        free && off.insert(*t)
    })
}

/// The lightest set after which the target is off, by trying all.
fn by_counting(puzzle: &Puzzle, target: usize) -> Option<u64> {
    let n = puzzle.len();
    (0u32..1 << n)
        .map(|m| Bits::of(n, (0..n).filter(|i| m >> i & 1 == 1)))
        .filter(|s| s.has(target) && puzzle.closure(s) == *s)
        .map(|s| puzzle.weight(&s))
        .min()
}

fn small() -> impl Strategy<Value = Puzzle> {
    (2usize..8, 0usize..4, 1usize..4, any::<bool>(), any::<u64>()).prop_map(
        |(parts, wires, crowd, sound, seed)| puzzle(samples::board(parts, wires, crowd, sound, seed)),
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn nothing_less_lets_a_part_off(p in small()) {
        for target in 0..p.len() {
            let found = least(&p, target, EFFORT);
            prop_assert_eq!(found.as_ref().map(|f| f.weight), by_counting(&p, target));
            let Some(found) = found else { continue };
            prop_assert!(found.exact && found.bound == found.weight);
            prop_assert_eq!(found.order.last(), Some(&target));
            prop_assert!(plays(&p, &found.order), "{:?}", found.order);
            let set: BTreeSet<usize> = found.order.iter().copied().collect();
            prop_assert_eq!(set.len(), found.order.len());
            prop_assert_eq!(found.order.iter().map(|t| p.things[*t].weight).sum::<u64>(), found.weight);
        }
    }

    #[test]
    fn a_search_cut_short_still_tells_the_truth(p in small(), effort in 0usize..6) {
        for target in 0..p.len() {
            let Some(best) = by_counting(&p, target) else {
                prop_assert!(least(&p, target, effort).is_none());
                continue;
            };
            let found = least(&p, target, effort).unwrap();
            prop_assert!(found.bound <= best && best <= found.weight);
            prop_assert!(!found.exact || found.weight == best);
            prop_assert!(plays(&p, &found.order));
        }
    }

    /// A board from which something is gone already never asks for more.
    #[test]
    fn taking_more_off_never_makes_it_worse(p in small(), gone in 0usize..8) {
        let gone = gone % p.len();
        let mut lighter = p.clone();
        for way in lighter.things.iter_mut().flat_map(|t| &mut t.conditions).flat_map(|c| &mut c.ways) {
            way.retain(|t| *t != gone);
        }
        lighter.things[gone].conditions.clear();
        prop_assert!(p.all_off().within(&lighter.all_off()));
        for target in (0..p.len()).filter(|t| *t != gone) {
            if let Some(before) = least(&p, target, EFFORT) {
                let after = least(&lighter, target, EFFORT).unwrap();
                prop_assert!(after.weight <= before.weight);
            }
        }
    }

    #[test]
    fn the_sweep_does_not_depend_on_the_order(p in small(), seed in any::<u64>()) {
        // One thing at a time, each time another of those that are free.
        let mut draw = Draw(seed);
        let mut off = Bits::none(p.len());
        loop {
            let free: Vec<usize> = (0..p.len()).filter(|t| !off.has(*t) && p.things[*t].free(&off)).collect();
            if free.is_empty() {
                break;
            }
            off.add(free[draw.below(free.len())]);
        }
        prop_assert_eq!(&off, &p.all_off());
        let order = p.sweep(&Bits::all(p.len()), &mut Bits::none(p.len()));
        prop_assert!(plays(&p, &order));
    }

    /// Waiving what was found lets everything off, and no cheaper set of conditions does.
    #[test]
    fn no_cheaper_waivers_unlock_it(
        parts in 2usize..5, wires in 0usize..2, crowd in 1usize..4, seed in any::<u64>(),
        prices in prop::collection::vec(1u64..4, 64),
    ) {
        let mut p = puzzle(samples::board(parts, wires, crowd, false, seed));
        let mut prices = prices.into_iter().cycle();
        for c in p.things.iter_mut().flat_map(|t| &mut t.conditions) {
            c.price = prices.next().unwrap();
        }
        let all: Vec<(usize, usize)> =
            (0..p.len()).flat_map(|t| (0..p.things[t].conditions.len()).map(move |c| (t, c))).collect();
        prop_assume!(all.len() <= 14);
        let waived = |set: &[(usize, usize)]| {
            let mut q = p.clone();
            set.iter().for_each(|(t, c)| q.things[*t].conditions[*c].ways = vec![Vec::new()]);
            q.all_off().len() == q.len()
        };
        let price = |set: &[(usize, usize)]| set.iter().map(|(t, c)| p.things[*t].conditions[*c].price).sum::<u64>();
        let best = (0u32..1 << all.len())
            .map(|m| (0..all.len()).filter(|i| m >> i & 1 == 1).map(|i| all[i]).collect::<Vec<_>>())
            .filter(|set| waived(set))
            .map(|set| price(&set))
            .min()
            .unwrap();
        let found = waivers(&p, EFFORT);
        prop_assert!(waived(&found.waived));
        prop_assert_eq!(price(&found.waived), found.price);
        prop_assert_eq!(found.price, best);
        prop_assert!(found.exact && found.bound == best);
        let short = waivers(&p, 0);
        prop_assert!(waived(&short.waived) && short.bound <= best && best <= short.price);
    }

    #[test]
    fn no_order_turns_the_board_less(parts in 1usize..9, crowd in 1usize..4, seed in any::<u64>()) {
        let p = puzzle(samples::board(parts, 0, crowd, true, seed));
        let mut draw = Draw(seed);
        let faces: Vec<Face> = (0..parts).map(|_| if draw.chance(50) { Face::Front } else { Face::Back }).collect();
        let board = TwoFaced { puzzle: p, faces };
        let ranks: Vec<usize> = (0..parts).collect();
        let found = fewest_turns(&board, &ranks);
        prop_assert_eq!(found.steps.len(), parts);
        prop_assert!(plays(&board.puzzle, &found.steps.iter().map(|s| s.0).collect::<Vec<_>>()));
        prop_assert!(found.steps.iter().all(|(t, f)| board.faces[*t] == *f));
        prop_assert_eq!(found.turns, board.fewest_by_counting());
    }
}

struct TwoFaced {
    puzzle: Puzzle,
    faces: Vec<Face>,
}

impl Job for TwoFaced {
    fn count(&self) -> usize {
        self.puzzle.len()
    }
    fn free(&self, thing: usize, face: Face, off: &Bits) -> bool {
        self.faces[thing] == face && self.puzzle.things[thing].free(off)
    }
    fn let_go(&self, _: usize, _: &Bits) -> bool {
        false
    }
    fn class(&self, _: usize) -> usize {
        0
    }
}

impl TwoFaced {
    /// Fewest turns over all orders: breadth first over what is off and which face is up, a turn costs one.
    fn fewest_by_counting(&self) -> usize {
        let n = self.count();
        let mut best: BTreeMap<(Bits, Face), usize> = BTreeMap::new();
        let mut queue: VecDeque<(Bits, Face, usize)> =
            Face::BOTH.into_iter().map(|f| (Bits::none(n), f, 0)).collect();
        while let Some((off, face, turns)) = queue.pop_front() {
            if best.get(&(off.clone(), face)).is_some_and(|b| *b <= turns) {
                continue;
            }
            best.insert((off.clone(), face), turns);
            if off.len() == n {
                continue;
            }
            for t in (0..n).filter(|t| !off.has(*t) && self.free(*t, face, &off)) {
                let mut next = off.clone();
                next.add(t);
                queue.push_back((next, face, turns));
            }
            queue.push_back((off, face.other(), turns + 1));
        }
        best.iter().filter(|((off, _), _)| off.len() == n).map(|(_, turns)| *turns).min().unwrap()
    }
}

/// Boards as large as those that are answered exactly, drawn to be hard: no search runs out.
#[test]
fn boards_of_sixty_parts_are_answered_exactly() {
    let mut with_choice = 0;
    for seed in 0..12 {
        let p = puzzle(samples::board(60, 90, 2, true, seed));
        for target in 0..60 {
            let found = least(&p, target, EFFORT).unwrap();
            assert!(found.exact, "seed {seed}, part {target}");
            assert!(plays(&p, &found.order));
            with_choice += usize::from(found.order.iter().filter(|t| **t < 60).count() > 3);
        }
    }
    assert!(with_choice > 100, "only {with_choice} of them were any work");
}

/// A made-up board put together move by move: every part finds a way to each of its fasteners past what is
/// on already. Played back on what was found about reach, not on the puzzle.
#[test]
fn an_assembly_can_be_played_back() {
    use super::MoveKind;
    use crate::access::{Way, When};
    use crate::geometry::Owner;
    use loomdeck_model::Subject;
    // Nuts of the front come out under parts on the back, which are screwed into inserts.
    let text = crate::samples::rows(24, 40)
        .replace("face = \"back\"", "face = \"back\"\nfixing = { style = \"insert\" }");
    let robot = loomdeck_model::testing::robot(&text);
    let geometry = crate::study(&robot);
    let order = super::study(&robot, &geometry);
    let mut on: BTreeSet<Owner> = BTreeSet::new();
    for step in &order.assembly {
        let MoveKind::Fit(owner) = step.what else { continue };
        let open = |w: &Way| {
            w.uses.iter().flat_map(|u| &u.blockers).all(|b| match &b.by {
                Subject::Part(name) => robot.part(name).is_none_or(|p| !on.contains(&Owner::Part(p))),
                other => !matches!(other, Subject::Board | Subject::Robot),
            })
        };
        let holding =
            geometry.access.needs.iter().filter(|n| n.owner == Some(owner) && n.when == When::Hold);
        for need in holding {
            assert!(need.ways.iter().any(open), "{owner:?} {:?}", need.job);
        }
        assert!(on.insert(owner));
    }
    assert_eq!((on.len(), order.stuck_things.len()), (24, 0));
    let waits = order.service.iter().filter(|s| s.others() > 0).count();
    assert!(waits >= 6, "only {waits} of them wait for another");
}
