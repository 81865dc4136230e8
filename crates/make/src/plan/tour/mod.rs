//! Short ways from the datum corner over the holes of one bit: an open tour, which ends at any hole.
//!
//! Up to [`EXACT`] holes the shortest way is found by dynamic programming over subsets (Held and Karp,
//! 1962). Beyond that, nearest insertion and a walk to and fro in rows are improved by 2-opt (Croes, 1958) and
//! Or-opt (Or, 1976) until neither helps, short ones shaken a few times, and the shortest is kept: never longer than the
//! order of the numbers, and not proved shortest.

mod exact;
#[cfg(test)]
mod tests;

use exact::exact;
use loomdeck_model::Point;
use rstar::RTree;
use rstar::primitives::GeomWithData;

/// Up to this many holes the tour is the shortest there is.
pub const EXACT: usize = 12;

/// Nearest insertion looks at every pair of holes: beyond this many, only rows are walked to and fro.
const INSERTION: usize = 200;

/// Up to this many holes all distances are worked out beforehand.
const TABLED: usize = 400;

/// How many near holes an improvement looks at.
const NEAR: usize = 10;

/// Up to this many holes a way is shaken: it takes long, and further ways are near enough to the shortest.
const SHAKEN: usize = 30;

/// How often a way is shaken, and the longest stretch that changes its place then.
const SHAKES: usize = 16;
const STRETCH: usize = 6;

/// An improvement smaller than this is rounding, mm.
const FUZZ: f64 = 1e-9;

/// A way over holes.
#[derive(Clone, Debug, PartialEq)]
pub struct Tour {
    /// Indices of the points, in order.
    pub order: Vec<usize>,
    /// Length from the start over all of them, mm.
    pub length: f64,
    /// It is the shortest.
    pub shortest: bool,
}

/// A short way from `start` over all points, in whatever order.
pub fn open(start: Point, points: &[Point]) -> Tour {
    if points.len() <= EXACT {
        let order = exact(start, points);
        return Tour { length: length(start, points, &order), order, shortest: true };
    }
    let mut walk = Walk::new(start, points);
    let by_number: Vec<usize> = (0..points.len()).collect();
    let mut starts = vec![to_and_fro(points)];
    if points.len() <= INSERTION {
        starts.push(walk.insertion());
    }
    if points.len() <= SHAKEN {
        starts.push(by_number.clone());
    }
    let mut tours: Vec<Vec<usize>> = Vec::new();
    let mut known: Vec<Vec<usize>> = Vec::new();
    for order in starts {
        let tour = walk.improved(&order);
        if points.len() > SHAKEN {
            tours.push(tour);
        } else if !known.contains(&tour) {
            // A way that was met before would be shaken to the same again.
            known.push(tour.clone());
            tours.push(walk.shaken(tour));
        }
    }
    tours.push(by_number);
    let each = tours.into_iter().map(|order| (length(start, points, &order), order));
    let (length, order) = each.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or_default();
    Tour { order, length, shortest: false }
}

/// Length of a way from `start` over points in an order, mm.
pub fn length(start: Point, points: &[Point], order: &[usize]) -> f64 {
    let mut here = start;
    let mut sum = 0.0;
    for i in order {
        sum += here.distance(points[*i]);
        here = points[*i];
    }
    sum
}

/// Rows as high as two holes stand apart on average, walked to and fro.
fn to_and_fro(points: &[Point]) -> Vec<usize> {
    let low = points
        .iter()
        .fold(Point::new(f64::MAX, f64::MAX), |a, p| Point::new(a.x.min(p.x), a.y.min(p.y)));
    let high = points
        .iter()
        .fold(Point::new(f64::MIN, f64::MIN), |a, p| Point::new(a.x.max(p.x), a.y.max(p.y)));
    let area = ((high.x - low.x) * (high.y - low.y)).max(1.0);
    let row_height = 1.7 * (area / points.len() as f64).sqrt();
    let row = |p: Point| ((p.y - low.y) / row_height) as i64;
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_by(|a, b| {
        let (p, q) = (points[*a], points[*b]);
        let along = p.x.total_cmp(&q.x);
        let along = if row(p) % 2 == 0 { along } else { along.reverse() };
        row(p).cmp(&row(q)).then(along).then(a.cmp(b))
    });
    order
}

/// The nearest nodes of each, nearest first.
fn near_by_tree(nodes: &[Point]) -> Vec<Vec<usize>> {
    let each = nodes.iter().enumerate().map(|(i, p)| GeomWithData::new([p.x, p.y], i));
    let tree = RTree::bulk_load(each.collect());
    let near = |(i, p): (usize, &Point)| {
        let all = tree.nearest_neighbor_iter([p.x, p.y]).map(|n| n.data);
        let mut near: Vec<usize> = all.filter(|n| *n != i).take(NEAR).collect();
        near.sort_by(|a, b| p.distance(nodes[*a]).total_cmp(&p.distance(nodes[*b])).then(a.cmp(b)));
        near
    };
    nodes.iter().enumerate().map(near).collect()
}

/// The nearest nodes of one by its distances, nearest first.
fn near_by_table((node, apart): (usize, &[f64])) -> Vec<usize> {
    let by = |a: &usize, b: &usize| apart[*a].total_cmp(&apart[*b]).then(a.cmp(b));
    let mut near: Vec<usize> = (0..apart.len()).filter(|&other| other != node).collect();
    if near.len() > NEAR {
        near.select_nth_unstable_by(NEAR, by);
        near.truncate(NEAR);
    }
    near.sort_unstable_by(by);
    near
}

/// A way that is being improved. Node 0 is the start and never moves; node `i + 1` is point `i`.
struct Walk {
    nodes: Vec<Point>,
    /// Distances of all pairs, row by row; empty when there are too many.
    apart: Vec<f64>,
    near: Vec<Vec<usize>>,
    way: Vec<usize>,
    place: Vec<usize>,
}

impl Walk {
    fn new(start: Point, points: &[Point]) -> Self {
        let nodes: Vec<Point> = std::iter::once(start).chain(points.iter().copied()).collect();
        if nodes.len() > TABLED {
            let near = near_by_tree(&nodes);
            return Self { nodes, apart: Vec::new(), near, way: Vec::new(), place: Vec::new() };
        }
        let apart: Vec<f64> = nodes.iter().flat_map(|a| nodes.iter().map(|b| a.distance(*b))).collect();
        let near = apart.chunks(nodes.len()).enumerate().map(near_by_table).collect();
        Self { nodes, apart, near, way: Vec::new(), place: Vec::new() }
    }

    /// Always takes up the hole nearest to the way so far, where it lengthens the way least.
    fn insertion(&self) -> Vec<usize> {
        let n = self.nodes.len();
        let mut way = Vec::with_capacity(n);
        way.push(0);
        let mut left: Vec<(usize, f64)> = (1..n).map(|node| (node, self.apart(0, node))).collect();
        while let Some(at) = (0..left.len()).min_by(|a, b| left[*a].1.total_cmp(&left[*b].1)) {
            let (node, _) = left.remove(at);
            let (mut place, mut least) = (way.len(), f64::INFINITY);
            for (k, &before) in way.iter().enumerate() {
                let longer = self.apart(before, node);
                let longer = match way.get(k + 1) {
                    Some(&after) => longer + self.apart(node, after) - self.apart(before, after),
                    None => longer,
                };
                if longer < least {
                    (place, least) = (k + 1, longer);
                }
            }
            way.insert(place, node);
            for (other, near) in &mut left {
                *near = near.min(self.apart(*other, node));
            }
        }
        way[1..].iter().map(|node| node - 1).collect()
    }

    fn apart(&self, a: usize, b: usize) -> f64 {
        match self.apart.get(a * self.nodes.len() + b) {
            Some(known) => *known,
            None => self.nodes[a].distance(self.nodes[b]),
        }
    }

    /// From the node at this place to the next; nothing at the end.
    fn link(&self, place: usize) -> f64 {
        self.way.get(place + 1).map_or(0.0, |next| self.apart(self.way[place], *next))
    }

    fn improved(&mut self, order: &[usize]) -> Vec<usize> {
        self.way = std::iter::once(0).chain(order.iter().map(|i| i + 1)).collect();
        self.place = vec![0; self.way.len()];
        self.settle(0, self.way.len());
        // Each change shortens the way, so this ends; the bound is for rounding.
        for _ in 0..1000 {
            let mut better = false;
            for node in 1..self.nodes.len() {
                while self.reverse_some(node) || self.move_some(node) {
                    better = true;
                }
            }
            better |= self.reverse_the_end();
            if !better {
                break;
            }
        }
        self.way[1..].iter().map(|node| node - 1).collect()
    }

    /// Exchanges two neighbouring stretches of the way, which neither 2-opt nor Or-opt can undo at once, improves
    /// it again, and keeps what is shorter (Martin, Otto and Felten, 1991). Where it is shaken follows from the
    /// count alone, so that the same holes always give the same way.
    fn shaken(&mut self, mut best: Vec<usize>) -> Vec<usize> {
        let mut shortest = self.length_of(&best);
        for shake in 1..=SHAKES {
            let room = best.len().saturating_sub(2 * STRETCH);
            let first = (shake * 7919) % room.max(1);
            let (a, b) = (1 + shake % STRETCH, 1 + (shake / STRETCH + shake * 3) % STRETCH);
            let mut other = best.clone();
            let Some(two) = other.get_mut(first..first + a + b) else { continue };
            two.rotate_left(a);
            let other = self.improved(&other);
            let length = self.length_of(&other);
            if length < shortest - FUZZ {
                (best, shortest) = (other, length);
            }
        }
        best
    }

    fn length_of(&self, order: &[usize]) -> f64 {
        let mut here = 0;
        let mut sum = 0.0;
        for i in order {
            sum += self.apart(here, i + 1);
            here = i + 1;
        }
        sum
    }

    fn settle(&mut self, from: usize, to: usize) {
        for place in from..to {
            self.place[self.way[place]] = place;
        }
    }

    fn reverse(&mut self, from: usize, to: usize) {
        self.way[from..=to].reverse();
        self.settle(from, to + 1);
    }

    /// 2-opt: two links are exchanged for two shorter ones by walking what lies between backwards.
    ///
    /// One of the two new links is shorter than the old one at one of its ends, so holes farther off than the
    /// links at this one need not be looked at: what they give is found from the other end.
    fn reverse_some(&mut self, node: usize) -> bool {
        let here = self.place[node];
        let longest = self.link(here).max(self.link(here - 1));
        for k in 0..self.near[node].len() {
            let other = self.near[node][k];
            if self.apart(node, other) >= longest {
                break;
            }
            let (p, q) =
                (self.place[node].min(self.place[other]), self.place[node].max(self.place[other]));
            let new = self.apart(node, other);
            // The link after each of the two.
            let beyond = match self.way.get(q + 1) {
                Some(after) => self.apart(self.way[p + 1], *after),
                None => 0.0,
            };
            if new + beyond < self.link(p) + self.link(q) - FUZZ {
                self.reverse(p + 1, q);
                return true;
            }
            // The link before each of the two.
            if p >= 1 {
                let before = self.apart(self.way[p - 1], self.way[q - 1]);
                if new + before < self.link(p - 1) + self.link(q - 1) - FUZZ {
                    self.reverse(p, q - 1);
                    return true;
                }
            }
        }
        false
    }

    /// The way may end anywhere: everything from some place on, walked backwards.
    fn reverse_the_end(&mut self) -> bool {
        let last = self.way.len() - 1;
        let gain = |p: &usize| self.link(*p) - self.apart(self.way[*p], self.way[last]);
        let best = (0..last).max_by(|a, b| gain(a).total_cmp(&gain(b)));
        let Some(p) = best.filter(|p| gain(p) > FUZZ) else { return false };
        self.reverse(p + 1, last);
        true
    }

    /// Or-opt: up to three holes in a row that begin or end with this one go elsewhere.
    fn move_some(&mut self, node: usize) -> bool {
        for count in 1..=3 {
            for first_is_node in [true, false] {
                let p = self.place[node];
                let (i, j) = match first_is_node {
                    true => (p, p + count - 1),
                    false if p + 1 > count => (p + 1 - count, p),
                    false => continue,
                };
                if i >= 1 && j < self.way.len() && self.move_run(node, i, j) {
                    return true;
                }
            }
        }
        false
    }

    /// Moves the run from place `i` to `j` next to a hole near `node`, which is one of its ends.
    fn move_run(&mut self, node: usize, i: usize, j: usize) -> bool {
        let bridge = self.way.get(j + 1).map_or(0.0, |after| self.apart(self.way[i - 1], *after));
        let gain = self.link(i - 1) + self.link(j) - bridge;
        let far = if self.way[i] == node { self.way[j] } else { self.way[i] };
        for k in 0..self.near[node].len() {
            let other = self.near[node][k];
            if self.apart(node, other) >= gain {
                break;
            }
            let q = self.place[other];
            if (i..=j).contains(&q) {
                continue;
            }
            // After `other`, with `node` beside it.
            if q + 1 != i {
                let after = self.way.get(q + 1).map_or(0.0, |next| self.apart(far, *next));
                if self.apart(other, node) + after - self.link(q) < gain - FUZZ {
                    self.put(i, j, q, self.way[i] != node);
                    return true;
                }
            }
            // Before `other`, with `node` beside it.
            if q >= 1 && q != j + 1 {
                let before = self.apart(self.way[q - 1], far);
                if self.apart(other, node) + before - self.link(q - 1) < gain - FUZZ {
                    self.put(i, j, q - 1, self.way[i] == node);
                    return true;
                }
            }
        }
        false
    }

    /// Takes the run from place `i` to `j` out and puts it behind the node at place `q`.
    fn put(&mut self, i: usize, j: usize, q: usize, backwards: bool) {
        let mut run: Vec<usize> = self.way.drain(i..=j).collect();
        if backwards {
            run.reverse();
        }
        let behind = if q > j { q - run.len() } else { q };
        let count = run.len();
        self.way.splice(behind + 1..behind + 1, run);
        let (from, to) = (i.min(behind + 1), (j + 1).max(behind + 1 + count));
        self.settle(from, to.min(self.way.len()));
    }
}
