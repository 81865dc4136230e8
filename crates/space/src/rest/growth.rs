//! Thermal growth of the sheet against mounts that stay where they are.

use super::material::sheet;
use crate::hole_size::HoleSize;
use crate::shape::{along, hull};
use loomdeck_model::units::{Celsius, Millimetres};
use loomdeck_model::{Board, Point, Robot};
use serde::Serialize;

/// How far the sheet grows against its mounts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Growth {
    /// The sheet is drilled and fitted at this temperature.
    pub made_at: Celsius,
    /// Coldest it gets in use.
    pub coldest: Celsius,
    /// Hottest it gets in use.
    pub hottest: Celsius,
    /// Greatest distance between two mounts.
    pub span: Millimetres,
    /// Growth over that distance from `made_at` to the further of the two, least and greatest published.
    pub over_span: [Millimetres; 2],
    /// The point from which the sheet grows when it is fitted so that the mounts share the growth best.
    pub from: Point,
    /// Each mount, in the board's order.
    pub mounts: Vec<MountGrowth>,
}

/// One mount.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MountGrowth {
    /// Index into the board's mounts.
    pub mount: usize,
    /// How far the sheet moves past its bolt, least and greatest published.
    pub moves: [Millimetres; 2],
    /// How far the bolt may move in its hole either way from the middle.
    pub play: Millimetres,
}

impl MountGrowth {
    /// Diameter of hole that leaves room for the greatest movement, with the bolt in its middle.
    pub fn hole_needed(&self, thread: loomdeck_model::part_type::Thread) -> Millimetres {
        thread.major() + self.moves[1] * 2.0
    }
}

impl Growth {
    /// The mount that lacks most, when one does.
    pub fn worst(&self) -> Option<&MountGrowth> {
        self.mounts
            .iter()
            .filter(|m| m.moves[1].0 > m.play.0 + 1e-9)
            .max_by(|a, b| (a.moves[1] - a.play).0.total_cmp(&(b.moves[1] - b.play).0))
    }
}

/// Temperature at which the sheet is drilled and fitted: a workshop (common practice).
pub const MADE_AT: Celsius = Celsius(20.0);

/// From the coldest to the hottest air stated for the body.
pub fn temperatures(robot: &Robot) -> (Celsius, Celsius) {
    let stated =
        robot.situations.iter().filter_map(|s| s.ambient).chain([robot.limits.ambient, MADE_AT]);
    stated.fold((MADE_AT, MADE_AT), |(low, high), t| (low.min(t), high.max(t)))
}

/// Growth ΔL = α · L · ΔT. The frame is taken as not growing: steel grows by a tenth of what polyethylene
/// does, and nobody states its temperature.
pub fn growth(robot: &Robot, board: &Board) -> Option<Growth> {
    let at: Vec<Point> = board.mounts.iter().map(|m| m.at).collect();
    let (low, high) = temperatures(robot);
    let swing = (high - MADE_AT).max(MADE_AT - low).0;
    let pairs = (0..at.len()).flat_map(|i| (i + 1..at.len()).map(move |j| (i, j)));
    let span = pairs.map(|(i, j)| at[i].distance(at[j])).fold(0.0, f64::max);
    if at.len() < 2 || span <= 0.0 {
        return None;
    }
    let (least, most) = sheet(board.material).expansion;
    let from = centre_of_least_circle(&at);
    let mounts = board.mounts.iter().enumerate().map(|(mount, m)| {
        let r = from.distance(m.at);
        let hole = HoleSize::of_mount(m).drilled(robot.book.unit);
        MountGrowth {
            mount,
            moves: [least, most].map(|a| Millimetres(a * swing * r)),
            play: (hole - m.thread.major()) / 2.0,
        }
    });
    Some(Growth {
        made_at: MADE_AT,
        coldest: low,
        hottest: high,
        span: Millimetres(span),
        over_span: [least, most].map(|a| Millimetres(a * swing * span)),
        from,
        mounts: mounts.collect(),
    })
}

/// Centre of the least circle around points: the circle over two or through three of them that holds all.
/// Of very many points some are left out; the circle is then a little off.
fn centre_of_least_circle(all: &[Point]) -> Point {
    let corners = hull(all);
    let outer = if corners.len() < 2 { all } else { &corners };
    let p: Vec<Point> = outer.iter().copied().step_by(outer.len().div_ceil(20).max(1)).collect();
    let middle = |a: Point, b: Point| along(a, Point::new(b.x - a.x, b.y - a.y), 0.5);
    let radius = |c: Point| p.iter().map(|q| c.distance(*q)).fold(0.0, f64::max);
    let mut best = (f64::INFINITY, p.first().copied().unwrap_or_default());
    let mut tried = |c: Point| {
        let r = radius(c);
        if r < best.0 - 1e-9 {
            best = (r, c);
        }
    };
    for i in 0..p.len() {
        for j in i + 1..p.len() {
            tried(middle(p[i], p[j]));
            for k in j + 1..p.len() {
                if let Some(c) = circumcentre(p[i], p[j], p[k]) {
                    tried(c);
                }
            }
        }
    }
    best.1
}

fn circumcentre(a: Point, b: Point, c: Point) -> Option<Point> {
    let (bx, by, cx, cy) = (b.x - a.x, b.y - a.y, c.x - a.x, c.y - a.y);
    let d = 2.0 * (bx * cy - by * cx);
    if d.abs() < 1e-9 {
        return None;
    }
    let (b2, c2) = (bx * bx + by * by, cx * cx + cy * cy);
    Some(Point::new(a.x + (cy * b2 - by * c2) / d, a.y + (bx * c2 - cx * b2) / d))
}
