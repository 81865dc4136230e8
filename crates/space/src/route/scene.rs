//! One face as a wire sees it: everything that stands there, grown by the clearance the wire's
//! middle must keep, and which points see each other past it.

use super::grid::Grid;
use super::kept::Before;
use super::posts::Posts;
use crate::shape::{Convex, Half, TOUCH, along, cross, dot, hull, minus, norm};
use loomdeck_model::{Outline, Point};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, PointDistance, RTree};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// How many nearest pieces a point looks at before it looks no further, first and second try.
/// Scenes with fewer pieces are searched exactly.
pub(super) const LOOK: [usize; 2] = [48, 400];

/// Where a wire may not run: raw pieces with few sides, not yet grown.
#[derive(Clone, Debug)]
pub struct Obstacle {
    /// Its convex pieces.
    pub pieces: Vec<Convex>,
}

/// A corner around which a taut wire may bend.
#[derive(Clone, Copy, Debug)]
pub(super) struct Corner {
    pub at: Point,
    before: Point,
    after: Point,
    /// Whose it is, and which of the piece's corners.
    pub piece: u32,
    pub number: u32,
}

type Box2 = GeomWithData<Rectangle<[f64; 2]>, usize>;

/// Vertices seen from somewhere, with their distance.
pub type Seen = Vec<(u32, f64)>;

/// What was seen from a point.
#[derive(Clone, Debug, Default)]
pub(super) struct Look {
    /// Corners by their number.
    pub seen: Arc<Seen>,
    /// Pieces further off than this were not looked at.
    pub limit: f64,
}

/// A point by its bits, and which look.
type Place = (usize, u64, u64);

/// A face with its obstacles grown by one clearance.
pub struct Scene {
    /// Grown pieces.
    pub(super) pieces: Vec<Convex>,
    /// Obstacle of each piece.
    owner: Vec<usize>,
    /// Pieces by obstacle.
    of: Vec<Vec<usize>>,
    pub(super) corners: Vec<Corner>,
    /// Corners of each piece: range into `corners`.
    pub(super) corners_of: Vec<(usize, usize)>,
    /// Boxes by place, in a scene too large to look at every piece.
    boxes: OnceLock<RTree<Box2>>,
    grid: Grid,
    /// Left, low, right and high of the box around each piece.
    pub(super) around: Vec<[f64; 4]>,
    /// The board's hull, drawn in by the clearance.
    inside: Vec<Half>,
    /// What every corner sees, first and second look, as far as it was asked.
    pub(super) seen: [Vec<OnceLock<Look>>; 2],
    /// What other points see.
    pub(super) points: Mutex<BTreeMap<Place, Look>>,
    /// The scene before the edit.
    pub(super) before: Option<Before>,
}

impl Scene {
    /// Grows the obstacles; the last of them is what the board's outline leaves out of its hull.
    pub fn new(outline: &Outline, obstacles: &[Obstacle], clearance: f64) -> Self {
        let mut pieces = Vec::new();
        let mut owner = Vec::new();
        let mut of = vec![Vec::new(); obstacles.len()];
        for (i, o) in obstacles.iter().enumerate() {
            for p in &o.pieces {
                of[i].push(pieces.len());
                pieces.push(p.inflate(clearance));
                owner.push(i);
            }
        }
        let inside = Convex::new(hull(&outline.0))
            .halves
            .into_iter()
            .map(|h| Half { n: h.n, c: h.c - clearance })
            .collect::<Vec<_>>();
        let grid = Grid::new(&pieces);
        let around = pieces.iter().map(|p| [p.low.x, p.low.y, p.high.x, p.high.y]).collect();
        let mut scene = Self {
            pieces,
            owner,
            of,
            corners: Vec::new(),
            corners_of: Vec::new(),
            boxes: OnceLock::new(),
            grid,
            around,
            inside,
            seen: [Vec::new(), Vec::new()],
            points: Mutex::new(BTreeMap::new()),
            before: None,
        };
        scene.find_corners();
        scene.seen = [0, 1].map(|_| (0..scene.corners.len()).map(|_| OnceLock::new()).collect());
        scene
    }

    fn find_corners(&mut self) {
        for i in 0..self.pieces.len() {
            let first = self.corners.len();
            let c = &self.pieces[i].corners;
            let n = c.len();
            for k in 0..n {
                if self.holder(c[k], None).is_none() {
                    self.corners.push(Corner {
                        at: c[k],
                        before: c[(k + n - 1) % n],
                        after: c[(k + 1) % n],
                        piece: i as u32,
                        number: k as u32,
                    });
                }
            }
            self.corners_of.push((first, self.corners.len()));
        }
    }

    /// The nearest point that keeps the clearance from the board's edge and from its pockets.
    pub fn drawn_in(&self, p: Point) -> Point {
        let mut q = p;
        // A corner takes two half-planes, a pocket one more; each step ends the deepest breach.
        for _ in 0..8 {
            let worst = self
                .inside
                .iter()
                .map(|h| (dot(h.n, q) - h.c, h.n))
                .filter(|(over, _)| *over > 0.0)
                .max_by(|a, b| a.0.total_cmp(&b.0));
            if let Some((over, n)) = worst {
                q = along(q, n, -over);
                continue;
            }
            let Some(pocket) = self.of.last() else { break };
            let Some(piece) = pocket.iter().map(|i| &self.pieces[*i]).find(|c| c.depth(q) > 0.0) else {
                break;
            };
            let way =
                piece.halves.iter().map(|h| (h.c - dot(h.n, q), h.n)).min_by(|a, b| a.0.total_cmp(&b.0));
            let Some((depth, n)) = way else { break };
            q = along(q, n, depth + 2.0 * TOUCH);
        }
        q
    }

    /// Number of corners.
    pub fn len(&self) -> usize {
        self.corners.len()
    }

    /// Where a corner is.
    pub fn at(&self, corner: u32) -> Point {
        self.corners[corner as usize].at
    }

    /// The post that a corner stands off from.
    pub fn post(&self, corner: u32, posts: &Posts) -> u32 {
        let c = &self.corners[corner as usize];
        posts.nearest_of_piece(c.piece as usize, c.at)
    }

    /// Grown pieces of an obstacle.
    pub fn pieces_of(&self, obstacle: usize) -> impl Iterator<Item = &Convex> {
        self.of[obstacle].iter().map(|i| &self.pieces[*i])
    }

    /// The obstacle, other than `but`, in which a point lies; `Some(None)` when it is off the board.
    pub fn holder(&self, p: Point, but: Option<usize>) -> Option<Option<usize>> {
        if self.inside.iter().any(|h| dot(h.n, p) > h.c + TOUCH) {
            return Some(None);
        }
        self.grid
            .cell_at(p)
            .iter()
            .map(|i| *i as usize)
            .find(|i| Some(self.owner[*i]) != but && self.pieces[*i].depth(p) > TOUCH)
            .map(|i| Some(self.owner[i]))
    }

    /// No obstacle other than `but` lies across the segment.
    pub fn clear(&self, a: Point, b: Point, but: Option<usize>) -> bool {
        self.blocker(a, b, but).is_none()
    }

    /// A piece of an obstacle other than `but` that lies across the segment.
    pub(super) fn blocker(&self, a: Point, b: Point, but: Option<usize>) -> Option<usize> {
        let line = Line::new(a, b);
        let mut found = None;
        self.grid.cells_along(a, b, |cell| {
            let across = cell
                .iter()
                .map(|i| *i as usize)
                .find(|i| line.meets(&self.around[*i]) && self.is_across(*i, &line, but));
            found = across;
            across.is_none()
        });
        found
    }

    fn is_across(&self, piece: usize, line: &Line, but: Option<usize>) -> bool {
        Some(self.owner[piece]) != but && self.pieces[piece].clip(line.a, line.b).is_some()
    }

    /// A piece lies across a segment.
    pub(super) fn lies_across(&self, piece: usize, a: Point, b: Point) -> bool {
        Line::new(a, b).meets(&self.around[piece]) && self.pieces[piece].clip(a, b).is_some()
    }

    /// The obstacle that a segment meets first.
    pub fn first_hit(&self, a: Point, b: Point, but: Option<usize>) -> Option<(usize, f64)> {
        (0..self.pieces.len())
            .filter(|i| Some(self.owner[*i]) != but)
            .filter_map(|i| self.pieces[i].clip(a, b).map(|(t, _)| (self.owner[i], t)))
            .min_by(|x, y| x.1.total_cmp(&y.1))
    }

    /// How far from a point in a direction nothing stands in the way, up to `far`.
    pub fn free_along(&self, p: Point, d: Point, far: f64, but: Option<usize>) -> f64 {
        let end = along(p, d, far);
        let hit = self.first_hit(p, end, but).map_or(far, |(_, t)| t * far);
        self.inside
            .iter()
            .filter_map(|h| {
                let speed = dot(h.n, d);
                (speed > 1e-9).then(|| ((h.c - dot(h.n, p)) / speed).max(0.0))
            })
            .fold(hit, f64::min)
    }

    /// A second look, further round, is different from the first.
    pub fn has_second_look(&self) -> bool {
        self.pieces.len() > LOOK[0]
    }

    /// Corners that a corner sees and around which the way may go on, kept after the first question.
    pub fn seen_from_corner(&self, corner: u32, look: usize) -> &Seen {
        let look = if self.has_second_look() { look } else { 0 };
        let make = || {
            let at = self.corners[corner as usize].at;
            let before = self.before.as_ref().and_then(|b| b.of_corner(self, corner, look));
            before.unwrap_or_else(|| self.look_round(at, Some(corner), look))
        };
        &self.seen[look][corner as usize].get_or_init(make).seen
    }

    /// Corners that a free point sees and around which the way may go on.
    pub fn seen_from(&self, p: Point, look: usize) -> Arc<Seen> {
        let place = (look, p.x.to_bits(), p.y.to_bits());
        let mut points = self.points.lock().unwrap_or_else(PoisonError::into_inner);
        let make = || {
            let before = self.before.as_ref().and_then(|b| b.of_point(self, p, place));
            before.unwrap_or_else(|| self.look_round(p, None, look))
        };
        points.entry(place).or_insert_with(make).seen.clone()
    }

    fn look_round(&self, p: Point, corner: Option<u32>, look: usize) -> Look {
        let mut out = Vec::new();
        let mut hiders = Hiders::default();
        if self.pieces.len() <= LOOK[look] {
            for piece in 0..self.pieces.len() {
                self.look_at(p, corner, piece, &mut hiders, &mut out);
            }
            return Look { seen: Arc::new(out), limit: f64::INFINITY };
        }
        let boxes =
            || RTree::bulk_load(self.pieces.iter().enumerate().map(|(i, p)| piece_box(p, i)).collect());
        let boxes = self.boxes.get_or_init(boxes);
        let mut limit = f64::INFINITY;
        for (count, (found, d2)) in boxes.nearest_neighbor_iter_with_distance_2([p.x, p.y]).enumerate() {
            if count + 1 == LOOK[look] {
                // Everything at the same distance as the last one, so that order plays no part.
                limit = d2.sqrt() + 1e-6;
            }
            if d2.sqrt() > limit {
                break;
            }
            self.look_at(p, corner, found.data, &mut hiders, &mut out);
        }
        out.sort_unstable_by_key(|(v, _)| *v);
        Look { seen: Arc::new(out), limit }
    }

    /// Distance of a piece's box, as it counts for how far a look goes.
    pub(super) fn box_distance(&self, piece: usize, p: Point) -> f64 {
        piece_box(&self.pieces[piece], piece).distance_2(&[p.x, p.y]).sqrt()
    }

    /// The corners of one piece that are seen from a point.
    fn look_at(&self, p: Point, corner: Option<u32>, piece: usize, hiders: &mut Hiders, out: &mut Seen) {
        let here = corner.map(|c| &self.corners[c as usize]);
        let (first, end) = self.corners_of[piece];
        for v in first..end {
            if let Some(d) = self.taut_to(p, here, v)
                && !hiders.hide(self, p, self.corners[v].at)
            {
                out.push((v as u32, d));
            }
        }
    }

    /// Distance of a corner to which a taut wire may run from a point (or from another corner), whether or
    /// not something lies between.
    pub(super) fn taut_to(&self, p: Point, here: Option<&Corner>, v: usize) -> Option<f64> {
        let there = &self.corners[v];
        let way = minus(there.at, p);
        let d = norm(way);
        if d <= TOUCH || !taut(way, d, there) {
            return None;
        }
        here.is_none_or(|h| taut(way, d, h)).then_some(d)
    }
}

/// Parts of the circle by which a look remembers what hid something.
const SECTORS: usize = 32;

/// What hid something from a point, by direction: mostly it hides the next thing there too.
#[derive(Default)]
pub(super) struct Hiders {
    last: Option<usize>,
    by_direction: [Option<usize>; SECTORS],
}

impl Hiders {
    /// Something lies between the point and a place.
    pub fn hide(&mut self, scene: &Scene, p: Point, at: Point) -> bool {
        let sector = &mut self.by_direction[sector(minus(at, p))];
        let hides = |i: &usize| scene.lies_across(*i, p, at);
        let found = match self.last.filter(hides).or_else(|| sector.filter(hides)) {
            Some(known) => Some(known),
            None => scene.blocker(p, at, None),
        };
        self.last = found.or(self.last);
        *sector = found.or(*sector);
        found.is_some()
    }
}

/// Which part of the circle a direction lies in; equally many in every quarter.
fn sector(d: Point) -> usize {
    let steep = d.y / (d.x.abs() + d.y.abs()).max(1e-12);
    let round = if d.x < 0.0 { 3.0 - steep } else { 1.0 + steep };
    ((round * (SECTORS as f64 / 4.0)).max(0.0) as usize).min(SECTORS - 1)
}

/// A segment that many boxes are held against.
struct Line {
    a: Point,
    b: Point,
    way: Point,
    low: Point,
    high: Point,
}

impl Line {
    fn new(a: Point, b: Point) -> Self {
        let low = Point::new(a.x.min(b.x), a.y.min(b.y));
        Self { a, b, way: minus(b, a), low, high: Point::new(a.x.max(b.x), a.y.max(b.y)) }
    }

    /// A box (left, low, right, high) may lie across; one that lies on one side of the line does not.
    fn meets(&self, [left, low, right, high]: &[f64; 4]) -> bool {
        if *right < self.low.x || *left > self.high.x || *high < self.low.y || *low > self.high.y {
            return false;
        }
        // Twice its half sizes against twice the distance of its middle, both seen along the normal.
        let (d, a) = (self.way, self.a);
        let off = d.x * (low + high - 2.0 * a.y) - d.y * (left + right - 2.0 * a.x);
        let wide = d.x.abs() * (high - low) + d.y.abs() * (right - left);
        off.abs() <= wide
    }
}

/// A taut wire running along `way`, which is `length` long, may bend around the corner: the obstacle
/// lies on one side of it.
fn taut(way: Point, length: f64, corner: &Corner) -> bool {
    let (a, b) =
        (cross(way, minus(corner.before, corner.at)), cross(way, minus(corner.after, corner.at)));
    let touch = TOUCH * length;
    (a >= -touch && b >= -touch) || (a <= touch && b <= touch)
}

fn piece_box(p: &Convex, i: usize) -> Box2 {
    GeomWithData::new(
        Rectangle::from_aabb(AABB::from_corners([p.low.x, p.low.y], [p.high.x, p.high.y])),
        i,
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn board() -> Outline {
        Outline::rectangle(Point::new(0., 0.), 300., 200.)
    }

    fn obstacle(x: f64, y: f64, w: f64, h: f64) -> Obstacle {
        Obstacle { pieces: crate::shape::pieces(&Outline::rectangle(Point::new(x, y), w, h)) }
    }

    fn scene(obstacles: &[Obstacle], clearance: f64) -> Scene {
        Scene::new(&board(), obstacles, clearance)
    }

    proptest! {
        /// The grid finds the same answer as asking every piece.
        #[test]
        fn the_grid_misses_nothing(
            at in proptest::collection::vec((0.0..280f64, 0.0..180f64, 2.0..40f64, 2.0..40f64), 1..30),
            ax in -20.0..320f64, ay in -20.0..220f64, bx in -20.0..320f64, by in -20.0..220f64,
        ) {
            let obstacles: Vec<Obstacle> = at.iter().map(|(x, y, w, h)| obstacle(*x, *y, *w, *h)).collect();
            let scene = scene(&obstacles, 1.5);
            let (a, b) = (Point::new(ax, ay), Point::new(bx, by));
            prop_assert_eq!(scene.clear(a, b, None), scene.first_hit(a, b, None).is_none());
            let held = scene.pieces.iter().any(|p| p.depth(a) > TOUCH);
            let on_board = scene.inside.iter().all(|h| dot(h.n, a) <= h.c + TOUCH);
            prop_assert_eq!(scene.holder(a, None).is_some(), held || !on_board);
        }
    }

    #[test]
    fn a_corner_behind_its_own_box_is_not_seen() {
        let scene = scene(&[obstacle(100., 80., 40., 40.)], 2.0);
        // From the left middle both left corners are seen; the right ones are hidden.
        let seen = scene.seen_from(Point::new(20., 100.), 0);
        let xs: Vec<f64> = seen.iter().map(|(v, _)| scene.at(*v).x).collect();
        assert_eq!(xs.len(), 2);
        assert!(xs.iter().all(|x| (*x - 98.0).abs() < 1e-9));
    }
}
