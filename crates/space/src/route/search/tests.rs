//! The search against one that asks every pair of corners.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::route::scene::Obstacle;
use crate::shape::pieces;
use geo::{Coord, Intersects, Line, Rect};
use loomdeck_model::Outline;
use proptest::prelude::*;

const CLEARANCE: f64 = 2.0;

/// Shortest length by asking every pair of corners, with a geometry library for what is free.
fn by_every_pair(rects: &[Rect], a: Point, b: Point) -> Option<f64> {
    let shrunk: Vec<Rect> = rects
        .iter()
        .map(|r| {
            let e = 1e-5;
            Rect::new(
                Coord { x: r.min().x + e, y: r.min().y + e },
                Coord { x: r.max().x - e, y: r.max().y - e },
            )
        })
        .collect();
    let mut nodes = vec![a, b];
    for r in rects {
        for (x, y) in [
            (r.min().x, r.min().y),
            (r.max().x, r.min().y),
            (r.max().x, r.max().y),
            (r.min().x, r.max().y),
        ] {
            if x > CLEARANCE && y > CLEARANCE && x < 300.0 - CLEARANCE && y < 200.0 - CLEARANCE {
                nodes.push(Point::new(x, y));
            }
        }
    }
    let free = |p: Point, q: Point| {
        let line = Line::new(Coord { x: p.x, y: p.y }, Coord { x: q.x, y: q.y });
        shrunk.iter().all(|r| !r.intersects(&line))
    };
    let mut best = vec![f64::INFINITY; nodes.len()];
    let mut done = vec![false; nodes.len()];
    best[0] = 0.0;
    loop {
        let next = (0..nodes.len()).filter(|i| !done[*i] && best[*i].is_finite());
        let i = next.min_by(|x, y| best[*x].total_cmp(&best[*y]))?;
        if i == 1 {
            return Some(best[1]);
        }
        done[i] = true;
        for j in 0..nodes.len() {
            if !done[j] && free(nodes[i], nodes[j]) {
                best[j] = best[j].min(best[i] + nodes[i].distance(nodes[j]));
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]
    /// The search is as short as asking every pair of corners.
    #[test]
    fn as_short_as_by_every_pair(
        boxes in proptest::collection::vec((10.0..250f64, 10.0..160f64, 4.0..60f64, 4.0..60f64), 0..9),
        ax in 4.0..296f64, ay in 4.0..196f64, bx in 4.0..296f64, by in 4.0..196f64,
    ) {
        let board = Outline::rectangle(Point::new(0., 0.), 300., 200.);
        let obstacles: Vec<Obstacle> = boxes
            .iter()
            .map(|(x, y, w, h)| Obstacle { pieces: pieces(&Outline::rectangle(Point::new(*x, *y), *w, *h)) })
            .collect();
        let rects: Vec<Rect> = boxes
            .iter()
            .map(|(x, y, w, h)| Rect::new(
                Coord { x: x - CLEARANCE, y: y - CLEARANCE },
                Coord { x: x + w + CLEARANCE, y: y + h + CLEARANCE },
            ))
            .collect();
        let scenes = [0, 1].map(|_| Scene::new(&board, &obstacles, CLEARANCE));
        let (a, b) = (Point::new(ax, ay), Point::new(bx, by));
        prop_assume!(scenes[0].holder(a, None).is_none() && scenes[0].holder(b, None).is_none());
        let gates = [a, b].map(|at| Gate {
            face: 0,
            at,
            stub: vec![at],
            cost: 0.0,
            seen: scenes[0].seen_from(at, 0),
        });
        let mut net = Net::new(scenes, &[], 9.0);
        let question = Question {
            start: &gates[..1],
            goal: &gates[1..],
            openings: &[],
            tree: None,
            payer: None,
        };
        let ours = net.find(&question).map(|way| {
            way.steps.windows(2).map(|s| s[0].at.distance(s[1].at)).sum::<f64>()
        });
        let theirs = by_every_pair(&rects, a, b);
        match (ours, theirs) {
            (Some(x), Some(y)) => prop_assert!((x - y).abs() < 1e-3, "{} and {}", x, y),
            (x, y) => prop_assert_eq!(x.is_some(), y.is_some(), "{:?} and {:?}", x, y),
        }
    }
}
