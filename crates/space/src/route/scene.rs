//! One face as a wire sees it: everything that stands there, grown by the clearance the wire's
//! middle must keep, and which points see each other past it.

use super::posts::Posts;
use crate::shape::{Convex, Half, TOUCH, along, cross, dot, hull, minus, norm};
use loomdeck_model::{Outline, Point};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use std::cell::OnceCell;

/// How many nearest pieces a point looks at before it looks no further, first and second try.
/// Scenes with fewer pieces are searched exactly.
const LOOK: [usize; 2] = [48, 400];

/// Where a wire may not run: raw pieces with few sides, not yet grown.
#[derive(Clone, Debug)]
pub struct Obstacle {
    /// Its convex pieces.
    pub pieces: Vec<Convex>,
}

/// A corner around which a taut wire may bend.
#[derive(Clone, Copy, Debug)]
struct Corner {
    at: Point,
    before: Point,
    after: Point,
    /// The corner of the obstacle itself that it stands off from.
    post: u32,
}

type Box2 = GeomWithData<Rectangle<[f64; 2]>, usize>;

/// Vertices seen from somewhere, with their distance.
pub type Seen = Vec<(u32, f64)>;

/// A face with its obstacles grown by one clearance.
pub struct Scene {
    /// Grown pieces.
    pieces: Vec<Convex>,
    /// Obstacle of each piece.
    owner: Vec<usize>,
    /// Pieces by obstacle.
    of: Vec<Vec<usize>>,
    corners: Vec<Corner>,
    /// Corners of each piece: range into `corners`.
    corners_of: Vec<(usize, usize)>,
    boxes: RTree<Box2>,
    grid: Grid,
    /// Left, low, right and high of the box around each piece.
    around: Vec<[f64; 4]>,
    /// The board's hull, drawn in by the clearance.
    inside: Vec<Half>,
    seen: [Vec<OnceCell<Seen>>; 2],
}

impl Scene {
    /// Grows the obstacles; the last of them is what the board's outline leaves out of its hull.
    pub fn new(outline: &Outline, obstacles: &[Obstacle], posts: &Posts, clearance: f64) -> Self {
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
        let boxes = RTree::bulk_load(pieces.iter().enumerate().map(|(i, p)| piece_box(p, i)).collect());
        let grid = Grid::new(&pieces);
        let around = pieces.iter().map(|p| [p.low.x, p.low.y, p.high.x, p.high.y]).collect();
        let mut scene = Self {
            pieces,
            owner,
            of,
            corners: Vec::new(),
            corners_of: Vec::new(),
            boxes,
            grid,
            around,
            inside,
            seen: [Vec::new(), Vec::new()],
        };
        scene.find_corners(posts);
        scene.seen = [0, 1].map(|_| (0..scene.corners.len()).map(|_| OnceCell::new()).collect());
        scene
    }

    fn find_corners(&mut self, posts: &Posts) {
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
                        post: posts.nearest_of_piece(i, c[k]),
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
    pub fn post(&self, corner: u32) -> u32 {
        self.corners[corner as usize].post
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
    fn blocker(&self, a: Point, b: Point, but: Option<usize>) -> Option<usize> {
        let (x0, x1) = (a.x.min(b.x), a.x.max(b.x));
        let (y0, y1) = (a.y.min(b.y), a.y.max(b.y));
        let d = minus(b, a);
        let mut found = None;
        self.grid.cells_along(a, b, |cell| {
            let across = cell.iter().map(|i| *i as usize).find(|i| {
                let [left, low, right, high] = self.around[*i];
                if right < x0 || left > x1 || high < y0 || low > y1 {
                    return false;
                }
                // The box lies on one side of the line: twice its half sizes against twice the
                // distance of its middle, both seen along the normal.
                let off = d.x * (low + high - 2.0 * a.y) - d.y * (left + right - 2.0 * a.x);
                let wide = d.x.abs() * (high - low) + d.y.abs() * (right - left);
                off.abs() <= wide && Some(self.owner[*i]) != but && self.pieces[*i].clip(a, b).is_some()
            });
            found = across;
            across.is_none()
        });
        found
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
        self.seen[look][corner as usize]
            .get_or_init(|| self.look_round(self.corners[corner as usize].at, Some(corner), look))
    }

    /// Corners that a free point sees and around which the way may go on.
    pub fn seen_from(&self, p: Point, look: usize) -> Seen {
        self.look_round(p, None, look)
    }

    fn look_round(&self, p: Point, corner: Option<u32>, look: usize) -> Seen {
        let mut out = Vec::new();
        if self.pieces.len() <= LOOK[look] {
            for piece in 0..self.pieces.len() {
                self.look_at(p, corner, piece, &mut out);
            }
            return out;
        }
        let mut limit = f64::INFINITY;
        for (count, (found, d2)) in
            self.boxes.nearest_neighbor_iter_with_distance_2([p.x, p.y]).enumerate()
        {
            if count + 1 == LOOK[look] {
                // Everything at the same distance as the last one, so that order plays no part.
                limit = d2.sqrt() + 1e-6;
            }
            if d2.sqrt() > limit {
                break;
            }
            self.look_at(p, corner, found.data, &mut out);
        }
        out
    }

    /// The corners of one piece that are seen from a point.
    fn look_at(&self, p: Point, corner: Option<u32>, piece: usize, out: &mut Seen) {
        let here = corner.map(|c| self.corners[c as usize]);
        // What hides one corner of a piece mostly hides the next one too.
        let mut before: Option<usize> = None;
        let (first, end) = self.corners_of[piece];
        for v in first..end {
            let there = &self.corners[v];
            let way = minus(there.at, p);
            let d = norm(way);
            if d <= TOUCH || Some(v as u32) == corner || !taut(way, d, there) {
                continue;
            }
            if here.is_some_and(|h| !taut(way, d, &h)) {
                continue;
            }
            if before.is_some_and(|i| self.pieces[i].clip(p, there.at).is_some()) {
                continue;
            }
            before = self.blocker(p, there.at, None);
            if before.is_none() {
                out.push((v as u32, d));
            }
        }
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

/// Pieces by square cell, so that a segment meets only those near it.
struct Grid {
    low: Point,
    cell: f64,
    columns: usize,
    rows: usize,
    start: Vec<u32>,
    items: Vec<u32>,
}

/// Pieces are entered with this margin, so that a segment through a cell's corner misses none, mm.
const MARGIN: f64 = 1e-3;

impl Grid {
    fn new(pieces: &[Convex]) -> Self {
        let (mut low, mut high) = (Point::new(0.0, 0.0), Point::new(1.0, 1.0));
        if let Some(first) = pieces.first() {
            (low, high) = (first.low, first.high);
        }
        for p in pieces {
            low = Point::new(low.x.min(p.low.x), low.y.min(p.low.y));
            high = Point::new(high.x.max(p.high.x), high.y.max(p.high.y));
        }
        let (w, h) = ((high.x - low.x).max(1.0), (high.y - low.y).max(1.0));
        let cell = (w * h / (pieces.len().max(1) as f64 * 2.0)).sqrt().max(w.max(h) / 512.0);
        let columns = (w / cell).ceil() as usize + 1;
        let rows = (h / cell).ceil() as usize + 1;
        let mut grid = Self { low, cell, columns, rows, start: Vec::new(), items: Vec::new() };
        let mut lists: Vec<Vec<u32>> = vec![Vec::new(); columns * rows];
        for (i, p) in pieces.iter().enumerate() {
            let (x0, x1) = (grid.column(p.low.x - MARGIN), grid.column(p.high.x + MARGIN));
            let (y0, y1) = (grid.row(p.low.y - MARGIN), grid.row(p.high.y + MARGIN));
            for y in y0..=y1 {
                for x in x0..=x1 {
                    lists[y * columns + x].push(i as u32);
                }
            }
        }
        for list in lists {
            grid.start.push(grid.items.len() as u32);
            grid.items.extend(list);
        }
        grid.start.push(grid.items.len() as u32);
        grid
    }

    fn column(&self, x: f64) -> usize {
        (((x - self.low.x) / self.cell).max(0.0) as usize).min(self.columns - 1)
    }

    fn row(&self, y: f64) -> usize {
        (((y - self.low.y) / self.cell).max(0.0) as usize).min(self.rows - 1)
    }

    fn cell(&self, column: usize, row: usize) -> &[u32] {
        let i = row * self.columns + column;
        &self.items[self.start[i] as usize..self.start[i + 1] as usize]
    }

    fn cell_at(&self, p: Point) -> &[u32] {
        self.cell(self.column(p.x), self.row(p.y))
    }

    /// Asks about every cell that a segment touches until the answer is no.
    fn cells_along(&self, a: Point, b: Point, mut ask: impl FnMut(&[u32]) -> bool) -> bool {
        let (a, b) = if a.y <= b.y { (a, b) } else { (b, a) };
        let (r0, r1) = (self.row(a.y - MARGIN), self.row(b.y + MARGIN));
        let rise = b.y - a.y;
        for row in r0..=r1 {
            let x_at = |y: f64| {
                let t = if rise > 1e-12 { ((y - a.y) / rise).clamp(0.0, 1.0) } else { 0.0 };
                a.x + (b.x - a.x) * t
            };
            let y0 = self.low.y + row as f64 * self.cell;
            let (mut x0, mut x1) = if rise > 1e-12 {
                (
                    x_at(if row == 0 { a.y } else { y0 }),
                    x_at(if row + 1 == self.rows { b.y } else { y0 + self.cell }),
                )
            } else {
                (a.x, b.x)
            };
            if x0 > x1 {
                std::mem::swap(&mut x0, &mut x1);
            }
            for column in self.column(x0 - MARGIN)..=self.column(x1 + MARGIN) {
                if !ask(self.cell(column, row)) {
                    return false;
                }
            }
        }
        true
    }
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
        Scene::new(&board(), obstacles, &Posts::new(&board(), obstacles), clearance)
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
