//! Where labels go, so that none lies on another.
//!
//! A label is tried, in this order: within the thing it names; close to it on a short leader; and in
//! a column beside the drawing on a longer leader, where there is always room. A place is never
//! taken twice, a short leader never crosses another or a label, and among the free places the one
//! wins that hides the least and needs the shortest leader. The same wishes give the same places.

mod block;
mod columns;

pub use block::{Block, cross};
pub use columns::Column;

use crate::svg::Spot;

/// A shape that a label may take.
#[derive(Clone, Debug, PartialEq)]
pub struct Form {
    /// Its lines of text.
    pub lines: Vec<String>,
    /// Width of its box as it stands on the drawing.
    pub width: f64,
    /// Height of its box.
    pub height: f64,
    /// It reads upwards.
    pub upright: bool,
}

/// A label that wants a place.
#[derive(Clone, Debug)]
pub struct Wish {
    /// Where its leader points.
    pub target: Spot,
    /// The thing it names, when the label may lie within it.
    pub home: Option<Block>,
    /// Its shapes, the best first; never empty.
    pub forms: Vec<Form>,
}

/// A label with its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// Which wish.
    pub wish: usize,
    /// Which of its forms.
    pub form: usize,
    /// Its box.
    pub block: Block,
    /// Leader from the box to the thing, through these places; empty when it needs none.
    pub leader: Vec<Spot>,
}

/// The drawing as labels see it.
#[derive(Clone, Debug)]
pub struct Placer {
    bounds: Block,
    gap: f64,
    /// Nothing may lie here.
    hard: Vec<Block>,
    /// Better not here, with how much it costs per mm².
    soft: Vec<(Block, f64)>,
    /// Bodies that a leader to something else must not run through.
    bodies: Vec<Block>,
    /// Lines better not hidden.
    lines: Vec<(Spot, Spot, f64)>,
    taken: Vec<Block>,
    leaders: Vec<(Spot, Spot)>,
}

/// Cost of hiding a millimetre of a drawn line, against a millimetre of leader.
const HIDES_LINE: f64 = 1.5;
/// Rounds of free places tried around a target, and places per round.
const ROUNDS: usize = 7;
const PER_ROUND: usize = 24;
/// Sine of the angle from which a leader counts as upright.
const STEEP: f64 = 0.9;

impl Placer {
    /// A drawing with nothing on it. Boxes keep `gap` apart and stay in `bounds`.
    pub const fn new(bounds: Block, gap: f64) -> Self {
        Self {
            bounds,
            gap,
            hard: Vec::new(),
            soft: Vec::new(),
            bodies: Vec::new(),
            lines: Vec::new(),
            taken: Vec::new(),
            leaders: Vec::new(),
        }
    }

    /// Keeps labels off a place.
    pub fn keep_off(&mut self, block: Block) {
        self.hard.push(block);
    }

    /// Makes a place costly.
    pub fn rather_not(&mut self, block: Block, per_mm2: f64) {
        self.soft.push((block, per_mm2));
    }

    /// A body: costly to hide, and no name's leader runs through it on its way to another.
    pub fn body(&mut self, block: Block, per_mm2: f64) {
        self.soft.push((block, per_mm2));
        self.bodies.push(block);
    }

    /// A leader to this target runs through something else.
    fn misleads(&self, leader: (Spot, Spot)) -> bool {
        let others = self.bodies.iter().filter(|b| b.nearest(leader.1) != leader.1);
        others.into_iter().any(|b| b.run_within(leader.0, leader.1) > self.gap)
    }

    /// Makes a drawn line of some width costly to hide.
    pub fn spare_line(&mut self, a: Spot, b: Spot, width: f64) {
        self.lines.push((a, b, width / 2.0));
    }

    /// Boxes taken so far.
    pub fn taken(&self) -> &[Block] {
        &self.taken
    }

    /// Tries to put a label within the thing it names.
    pub fn within(&mut self, index: usize, wish: &Wish) -> Option<Placed> {
        // A form has air around its letters already.
        let home = wish.home?.grown(-self.gap * 0.25);
        let around = self.drawn_near(home);
        for (form, shape) in wish.forms.iter().enumerate() {
            if shape.width > home.width() || shape.height > home.height() {
                continue;
            }
            let (free_x, free_y) = (home.width() - shape.width, home.height() - shape.height);
            let mut best: Option<(f64, Block)> = None;
            for (i, j) in (0..9).flat_map(|j| (0..5).map(move |i| (i, j))) {
                let (u, v) = (f64::from(i) / 4.0, f64::from(j) / 8.0);
                let low = Spot::new(home.low.x + free_x * u, home.low.y + free_y * v);
                let block = Block::new(low, Spot::new(low.x + shape.width, low.y + shape.height));
                if !self.free(block) {
                    continue;
                }
                let off_centre = (free_x * (u - 0.5)).hypot(free_y * (v - 0.5));
                let cost = off_centre * 0.2 + around.hides(block);
                if best.is_none_or(|(c, _)| cost < c - 1e-9) {
                    best = Some((cost, block));
                }
            }
            if let Some((_, block)) = best {
                self.taken.push(block);
                return Some(Placed { wish: index, form, block, leader: Vec::new() });
            }
        }
        None
    }

    /// Tries to put a label close to its target. The reaches are tried in turn: the first that gives
    /// a place which hides nothing wins, else the cheapest place of all.
    pub fn near(&mut self, index: usize, wish: &Wish, reaches: &[f64]) -> Option<Placed> {
        let mut best: Option<(f64, Placed)> = None;
        for reach in reaches {
            let Some((cost, hides, placed)) = self.cheapest(index, wish, *reach) else { continue };
            let clear = hides < 1e-9;
            if best.as_ref().is_none_or(|(c, _)| cost < c - 1e-9) {
                best = Some((cost, placed));
            }
            if clear {
                break;
            }
        }
        let (_, placed) = best?;
        self.taken.push(placed.block);
        self.leaders.push((placed.leader[0], placed.leader[1]));
        Some(placed)
    }

    /// A target that a name has covered moves to the nearest end or edge of that name, so that a
    /// leader can still reach it.
    pub fn step_aside(&self, target: Spot) -> Spot {
        let inside = |p: Spot, b: &Block| b.nearest(p) == p;
        let Some(cover) = self.taken.iter().find(|b| inside(target, b)) else { return target };
        let (b, c) = (cover.grown(0.4 * self.gap), cover.centre());
        let ways = [
            Spot::new(c.x, b.low.y),
            Spot::new(c.x, b.high.y),
            Spot::new(b.high.x, c.y),
            Spot::new(b.low.x, c.y),
        ];
        let free = |p: &Spot| self.taken.iter().all(|t| !inside(*p, t));
        ways.into_iter().find(free).unwrap_or(target)
    }

    /// The cheapest free place within a reach: its cost, what of it is for hiding things, the place.
    fn cheapest(&self, index: usize, wish: &Wish, reach: f64) -> Option<(f64, f64, Placed)> {
        let mut best: Option<(f64, f64, Placed)> = None;
        let size = wish.forms.iter().map(|f| f.width.max(f.height)).fold(0.0, f64::max);
        let around = self.drawn_near(Block::new(wish.target, wish.target).grown(reach + size));
        for (form, shape) in wish.forms.iter().enumerate().filter(|(_, f)| !f.upright) {
            for (block, end) in self.candidates(wish.target, shape, reach) {
                let leader = (end, wish.target);
                if !self.free(block) || !self.leader_free(leader) {
                    continue;
                }
                // A name would then seem to belong to the body; a tag's dot shows where it belongs.
                if wish.home.is_some() && self.misleads(leader) {
                    continue;
                }
                let hides = around.hides(block);
                let cost = end.distance(wish.target) + hides + form as f64 * 2.0;
                if best.as_ref().is_none_or(|(c, ..)| cost < c - 1e-9) {
                    let leader = vec![end, wish.target];
                    best = Some((cost, hides, Placed { wish: index, form, block, leader }));
                }
            }
        }
        best
    }

    fn candidates(&self, target: Spot, shape: &Form, reach: f64) -> Vec<(Block, Spot)> {
        let mut all = Vec::with_capacity(ROUNDS * PER_ROUND);
        for round in 1..=ROUNDS {
            let far = reach * (round as f64 / ROUNDS as f64).powf(1.5);
            for turn in 0..PER_ROUND {
                let a = std::f64::consts::TAU * (turn as f64 + 0.5) / PER_ROUND as f64;
                let end = Spot::new(target.x + far * a.cos(), target.y - far * a.sin());
                // The box begins where the leader ends, on the side that faces away.
                let slide = a.sin() * shape.height / 2.0;
                let x =
                    if a.cos() >= 0.0 { end.x + shape.width / 2.0 } else { end.x - shape.width / 2.0 };
                let block = Block::around(Spot::new(x, end.y - slide), shape.width, shape.height);
                all.push((block, block.nearest(target)));
                // Straight above or below, the middle of the box does as well as its end.
                if a.sin().abs() > STEEP {
                    let block =
                        Block::around(Spot::new(end.x, end.y - slide), shape.width, shape.height);
                    all.push((block, block.nearest(target)));
                }
            }
        }
        all
    }

    fn free(&self, block: Block) -> bool {
        let roomy = block.grown(self.gap * 0.5);
        self.bounds.contains(block)
            && self.taken.iter().all(|t| !t.grown(self.gap * 0.5).overlaps(roomy))
            && self.hard.iter().all(|h| !h.overlaps(block))
            && self.leaders.iter().all(|(a, b)| roomy.run_within(*a, *b) <= 0.0)
    }

    fn leader_free(&self, leader: (Spot, Spot)) -> bool {
        self.taken.iter().all(|t| t.run_within(leader.0, leader.1) <= 0.0)
            && self.leaders.iter().all(|l| !cross(*l, leader))
    }

    /// What is drawn near a place: a few things out of many, so that trying many places stays quick.
    fn drawn_near(&self, place: Block) -> Drawn {
        let soft = self.soft.iter().filter(|(b, _)| b.overlaps(place)).copied().collect();
        let near = |(a, b, half): &&(Spot, Spot, f64)| place.grown(*half).run_within(*a, *b) > 0.0;
        Drawn { soft, lines: self.lines.iter().filter(near).copied().collect() }
    }
}

/// Things that a label should rather not hide.
struct Drawn {
    soft: Vec<(Block, f64)>,
    lines: Vec<(Spot, Spot, f64)>,
}

impl Drawn {
    fn hides(&self, block: Block) -> f64 {
        let areas: f64 = self.soft.iter().map(|(b, per)| b.overlap(block) * per).sum();
        let lines = self.lines.iter().map(|(a, b, half)| block.grown(*half).run_within(*a, *b));
        areas + HIDES_LINE * lines.sum::<f64>()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn form(width: f64, height: f64) -> Form {
        Form { lines: vec!["x".into()], width, height, upright: false }
    }

    fn apart(placed: &[Placed]) -> bool {
        placed
            .iter()
            .enumerate()
            .all(|(i, a)| placed[i + 1..].iter().all(|b| !a.block.overlaps(b.block)))
    }

    #[test]
    fn a_label_goes_home_when_home_is_large_enough() {
        let mut placer = Placer::new(Block::around(Spot::new(50.0, 50.0), 100.0, 100.0), 1.0);
        let home = Block::around(Spot::new(50.0, 50.0), 30.0, 10.0);
        let wish = Wish { target: home.centre(), home: Some(home), forms: vec![form(20.0, 4.0)] };
        let first = placer.within(0, &wish).map(|p| p.block.centre());
        assert_eq!(first, Some(Spot::new(50.0, 50.0)));
        // There is no second place in it, but there is one beside it.
        assert_eq!(placer.within(1, &wish), None);
        let end = Wish { target: Spot::new(63.0, 50.0), ..wish };
        assert!(placer.near(1, &end, &[30.0]).is_some());
    }

    #[test]
    fn a_crowd_at_one_place_never_overlaps() {
        let mut placer = Placer::new(Block::around(Spot::new(50.0, 50.0), 100.0, 100.0), 1.0);
        let wish = Wish { target: Spot::new(50.0, 50.0), home: None, forms: vec![form(9.0, 9.0)] };
        let placed: Vec<Placed> = (0..40).filter_map(|i| placer.near(i, &wish, &[60.0])).collect();
        assert!(placed.len() >= 8, "{}", placed.len());
        assert!(apart(&placed));
        for (i, a) in placed.iter().enumerate() {
            for b in &placed[i + 1..] {
                assert!(!cross((a.leader[0], a.leader[1]), (b.leader[0], b.leader[1])));
            }
        }
    }
}
