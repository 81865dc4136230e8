//! Corners of what stands on a face, as posts that wires run round, and the passages between them.

use super::scene::Obstacle;
use crate::shape::{Convex, TOUCH, cross, dot, minus, nearest_on_segment, norm, unit};
use loomdeck_model::{Outline, Point};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use std::collections::{BTreeMap, BTreeSet};

/// Passages wider than this are never short of room on a board laid by hand, mm.
const WIDEST: f64 = 60.0;

/// Passages narrower than this let no wire through, mm.
const NARROWEST: f64 = 1.5;

/// Between two things the narrowest passage is looked for at this many of the first one's corners.
const EACH_WAY: usize = 2;

/// A point of an obstacle that a wire may be pushed off from.
#[derive(Clone, Copy, Debug)]
pub struct Post {
    /// Where.
    pub at: Point,
    /// Straight away from the obstacle.
    pub out: Point,
    /// The obstacle; the last of a face's is the board's edge.
    pub owner: usize,
    /// A corner around which a wire may bend; otherwise the foot of a passage on a flat side.
    pub corner: bool,
    /// Free way from here to the next obstacle, as far as it was looked for.
    pub free: f64,
}

/// The narrowest place between two obstacles.
#[derive(Clone, Copy, Debug)]
pub struct Passage {
    /// Posts at its two sides.
    pub posts: [u32; 2],
    /// Where they are.
    pub ends: [Point; 2],
    /// Its width.
    pub room: f64,
}

/// All posts and passages of a face.
#[derive(Debug)]
pub struct Posts {
    /// Corners, then feet.
    pub all: Vec<Post>,
    /// Passages between different obstacles, and between obstacles and the board's edge.
    pub passages: Vec<Passage>,
    /// Posts of the corners of every piece.
    of_piece: Vec<Vec<u32>>,
    pieces: Vec<Convex>,
    tree: RTree<Box2>,
}

/// Its length, the corner it begins at, where it ends, and the normal there.
type WayAcross = (f64, usize, Point, Point);

type Box2 = GeomWithData<Rectangle<[f64; 2]>, usize>;

impl Posts {
    /// The posts of a face; the last obstacle is what the board's outline leaves out of its hull.
    pub fn new(outline: &Outline, obstacles: &[Obstacle]) -> Self {
        let mut known: BTreeMap<(u64, u64), u32> = BTreeMap::new();
        let pieces: Vec<(usize, &Convex)> = obstacles
            .iter()
            .enumerate()
            .flat_map(|(i, o)| o.pieces.iter().map(move |p| (i, p)))
            .collect();
        let boxes = pieces.iter().enumerate().map(|(i, (_, p))| {
            let around = AABB::from_corners([p.low.x, p.low.y], [p.high.x, p.high.y]);
            GeomWithData::new(Rectangle::from_aabb(around), i)
        });
        let mut posts = Self {
            all: Vec::new(),
            passages: Vec::new(),
            of_piece: Vec::new(),
            pieces: pieces.iter().map(|(_, p)| (*p).clone()).collect(),
            tree: RTree::bulk_load(boxes.collect()),
        };
        for (owner, piece) in &pieces {
            let n = piece.corners.len();
            let ids = (0..n).map(|k| {
                let at = piece.corners[k];
                let (a, b) = (piece.halves[(k + n - 1) % n].n, piece.halves[k].n);
                let out = unit(Point::new(a.x + b.x, a.y + b.y)).unwrap_or(b);
                let id =
                    *known.entry((at.x.to_bits(), at.y.to_bits())).or_insert(posts.all.len() as u32);
                if id as usize == posts.all.len() {
                    posts.all.push(Post { at, out, owner: *owner, corner: true, free: WIDEST });
                }
                id
            });
            posts.of_piece.push(ids.collect());
        }
        posts.find_passages(outline, obstacles, &pieces);
        posts
    }

    /// Nothing lies within `far` of a segment.
    pub fn is_free(&self, a: Point, b: Point, far: f64) -> bool {
        let low = [a.x.min(b.x) - far, a.y.min(b.y) - far];
        let high = [a.x.max(b.x) + far, a.y.max(b.y) + far];
        let line = [Convex::new(vec![a, b])];
        self.tree
            .locate_in_envelope_intersecting(AABB::from_corners(low, high))
            .all(|x| crate::shape::distance(&line, std::slice::from_ref(&self.pieces[x.data])) >= far)
    }

    /// The post of a piece nearest to a corner that was grown from it.
    pub fn nearest_of_piece(&self, piece: usize, p: Point) -> u32 {
        let far = |id: &u32| norm(minus(self.all[*id as usize].at, p));
        self.of_piece[piece].iter().copied().min_by(|a, b| far(a).total_cmp(&far(b))).unwrap_or(0)
    }

    fn find_passages(&mut self, outline: &Outline, obstacles: &[Obstacle], pieces: &[(usize, &Convex)]) {
        let edge = obstacles.len().saturating_sub(1);
        let corners = self.all.len();
        let mut by_owner: Vec<Vec<usize>> = vec![Vec::new(); obstacles.len()];
        for (i, post) in self.all.iter().enumerate() {
            by_owner[post.owner].push(i);
        }
        let mut known = BTreeSet::new();
        let mut near = Nearest::new(obstacles.len() + outline.0.len());
        let mut first = 0;
        // The posts of an owner follow one another.
        while first < corners {
            let owner = self.all[first].owner;
            let end = (first..corners).find(|x| self.all[*x].owner != owner).unwrap_or(corners);
            if owner != edge {
                (first..end).for_each(|x| self.ways_from(x, edge, outline, pieces, &mut near));
            }
            for (other, (room, x, p, normal)) in near.take() {
                // The last are the sides of the board.
                let other = other.min(edge);
                if !is_crossed(&self.tree, pieces, self.all[x].at, p, [owner, other]) {
                    self.add_passage((x, other, p, normal, room), &mut by_owner, &mut known);
                }
            }
            first = end;
        }
    }

    /// The ways across from one post to everything near it.
    fn ways_from(
        &self,
        x: usize,
        edge: usize,
        outline: &Outline,
        pieces: &[(usize, &Convex)],
        near: &mut Nearest,
    ) {
        let Post { at, owner, .. } = self.all[x];
        if is_held(&self.tree, pieces, at) {
            return;
        }
        let around = AABB::from_corners([at.x - WIDEST, at.y - WIDEST], [at.x + WIDEST, at.y + WIDEST]);
        for b in self.tree.locate_in_envelope_intersecting(around) {
            let (other, piece) = pieces[b.data];
            if other != owner && near.may_count(other, box_distance(piece, at)) {
                let (p, normal) = nearest_on(piece, at);
                near.add(other, (norm(minus(p, at)), x, p, normal));
            }
        }
        let sides = outline.0.len();
        for i in 0..sides {
            let (a, b) = (outline.0[i], outline.0[(i + 1) % sides]);
            let Some(d) = unit(minus(b, a)) else { continue };
            let p = nearest_on_segment(at, a, b);
            near.add(edge + 1 + i, (norm(minus(p, at)), x, p, Point::new(-d.y, d.x)));
        }
    }

    fn add_passage(
        &mut self,
        (x, other, p, normal, room): (usize, usize, Point, Point, f64),
        by_owner: &mut [Vec<usize>],
        known: &mut BTreeSet<(usize, usize)>,
    ) {
        let same = &mut by_owner[other];
        let y = match same.iter().copied().find(|y| norm(minus(self.all[*y].at, p)) < 1e-6) {
            Some(y) => y,
            None => {
                same.push(self.all.len());
                self.all.push(Post { at: p, out: normal, owner: other, corner: false, free: room });
                self.all.len() - 1
            }
        };
        if !known.insert((x.min(y), x.max(y))) {
            return;
        }
        for i in [x, y] {
            self.all[i].free = self.all[i].free.min(room);
        }
        self.passages.push(Passage {
            posts: [x as u32, y as u32],
            ends: [self.all[x].at, self.all[y].at],
            room,
        });
    }
}

/// The shortest ways across from one owner's posts to each of the others.
struct Nearest {
    ways: Vec<Vec<WayAcross>>,
    /// The shortest so far, in order, as many as count.
    least: Vec<[f64; EACH_WAY]>,
    /// Others to which there are ways.
    met: Vec<usize>,
}

/// Ways that are longer by no more than this are as short, mm.
const AS_SHORT: f64 = 1e-6;

impl Nearest {
    fn new(others: usize) -> Self {
        let least = vec![[f64::INFINITY; EACH_WAY]; others];
        Self { ways: vec![Vec::new(); others], least, met: Vec::new() }
    }

    /// A way at least this long may be one of the shortest.
    fn may_count(&self, other: usize, long: f64) -> bool {
        long < WIDEST && long <= self.least[other][EACH_WAY - 1] + 2.0 * AS_SHORT
    }

    fn add(&mut self, other: usize, way: WayAcross) {
        let long = way.0;
        if long <= NARROWEST || long >= WIDEST || !self.may_count(other, long) {
            return;
        }
        if self.ways[other].is_empty() {
            self.met.push(other);
        }
        self.ways[other].push(way);
        let least = &mut self.least[other];
        if long < least[EACH_WAY - 1] {
            least[EACH_WAY - 1] = long;
            least.sort_by(f64::total_cmp);
        }
    }

    /// The shortest to each of the others, in order; nothing is left.
    fn take(&mut self) -> Vec<(usize, WayAcross)> {
        self.met.sort_unstable();
        let mut out = Vec::new();
        for other in self.met.drain(..) {
            let mut ways = std::mem::take(&mut self.ways[other]);
            self.least[other] = [f64::INFINITY; EACH_WAY];
            ways.sort_by(|a, b| a.0.total_cmp(&b.0));
            let last = ways.get(EACH_WAY - 1).or(ways.last()).map_or(0.0, |w| w.0 + AS_SHORT);
            out.extend(ways.into_iter().take_while(|w| w.0 <= last).map(|w| (other, w)));
        }
        out
    }
}

/// Distance of a point from the box around a piece.
fn box_distance(piece: &Convex, p: Point) -> f64 {
    let x = (piece.low.x - p.x).max(p.x - piece.high.x).max(0.0);
    let y = (piece.low.y - p.y).max(p.y - piece.high.y).max(0.0);
    norm(Point::new(x, y))
}

/// The nearest point of a piece's border, and the outward normal there.
fn nearest_on(piece: &Convex, p: Point) -> (Point, Point) {
    let n = piece.corners.len();
    let mut best = (f64::INFINITY, p, 0);
    for i in 0..n {
        let q = nearest_on_segment(p, piece.corners[i], piece.corners[(i + 1) % n]);
        let d = norm(minus(p, q));
        if d < best.0 - 1e-12 {
            best = (d, q, i);
        }
    }
    let (_, q, i) = best;
    let flat = piece.halves.get(i).map_or(Point::new(1.0, 0.0), |h| h.n);
    (q, unit(minus(p, q)).unwrap_or(flat))
}

/// A point lies inside a piece.
fn is_held(tree: &RTree<Box2>, pieces: &[(usize, &Convex)], p: Point) -> bool {
    tree.locate_in_envelope_intersecting(AABB::from_point([p.x, p.y]))
        .any(|b| pieces[b.data].1.depth(p) > TOUCH)
}

/// A third obstacle lies across a passage.
fn is_crossed(
    tree: &RTree<Box2>,
    pieces: &[(usize, &Convex)],
    a: Point,
    b: Point,
    but: [usize; 2],
) -> bool {
    let around = AABB::from_corners([a.x.min(b.x), a.y.min(b.y)], [a.x.max(b.x), a.y.max(b.y)]);
    tree.locate_in_envelope_intersecting(around).any(|x| {
        let (owner, piece) = pieces[x.data];
        // The first's own pieces may lie across too: then the way is round its other side.
        (owner != but[1] || but[0] == but[1]) && piece.clip(a, b).is_some()
    })
}

impl Passage {
    /// Lower left and upper right of its box.
    pub fn corners(&self) -> (Point, Point) {
        let [a, b] = self.ends;
        (Point::new(a.x.min(b.x), a.y.min(b.y)), Point::new(a.x.max(b.x), a.y.max(b.y)))
    }

    /// A straight stretch runs through. A stretch that ends on the passage's line counts on one side
    /// only, so that two stretches that meet there count once.
    pub fn is_crossed_by(&self, p: Point, q: Point) -> bool {
        let [a, b] = self.ends;
        let d = minus(b, a);
        let (sp, sq) = (cross(d, minus(p, a)), cross(d, minus(q, a)));
        if (sp > 0.0) == (sq > 0.0) {
            return false;
        }
        let t = sp / (sp - sq);
        let at = Point::new(p.x + (q.x - p.x) * t, p.y + (q.y - p.y) * t);
        let along = dot(minus(at, a), d);
        (0.0..=dot(d, d)).contains(&along)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn boxed(x: f64, y: f64, w: f64, h: f64) -> Obstacle {
        Obstacle { pieces: crate::shape::pieces(&Outline::rectangle(Point::new(x, y), w, h)) }
    }

    fn board() -> Outline {
        Outline::rectangle(Point::new(0., 0.), 300., 200.)
    }

    #[test]
    fn between_two_boxes_the_passage_is_as_wide_as_their_distance() {
        let nothing = Obstacle { pieces: Vec::new() };
        let posts =
            Posts::new(&board(), &[boxed(100., 80., 40., 40.), boxed(152., 85., 40., 60.), nothing]);
        let between: Vec<&Passage> = posts
            .passages
            .iter()
            .filter(|p| p.posts.iter().all(|x| posts.all[*x as usize].owner < 2))
            .collect();
        assert!(!between.is_empty());
        assert!(between.iter().any(|p| (p.room - 12.0).abs() < 1e-9));
        let narrow = between.iter().find(|p| (p.room - 12.0).abs() < 1e-9);
        assert!(narrow.is_some_and(|p| p.is_crossed_by(Point::new(146., 0.), Point::new(146., 200.))));
        assert!(narrow.is_some_and(|p| !p.is_crossed_by(Point::new(20., 0.), Point::new(20., 200.))));
    }

    #[test]
    fn a_third_box_closes_a_passage() {
        let nothing = Obstacle { pieces: Vec::new() };
        let all =
            [boxed(100., 80., 10., 40.), boxed(140., 80., 10., 40.), boxed(120., 60., 5., 90.), nothing];
        let posts = Posts::new(&board(), &all);
        let direct = posts.passages.iter().any(|p| {
            let owners = p.posts.map(|x| posts.all[x as usize].owner);
            owners == [0, 1] || owners == [1, 0]
        });
        assert!(!direct);
    }
}
