//! Room as a good: passages and openings that too many wires want grow dear, and wires go elsewhere.
//!
//! Every passage has a width; so many strands fit side by side, and in more than one layer where the
//! board has the depth. A strand that wants through one that is full pays for what is missing now, and for
//! how often it was missing before, so that those with another way take it. The prices are in mm: what
//! a strand would go round to avoid it. The scheme (present and past prices, raised until nobody pays)
//! is that of negotiated congestion as published for programmable chips (McMurchie and Ebeling, 1995).

use super::cells::Cells;
use super::posts::{Passage, Posts};
use loomdeck_model::Point;

/// Wires may lie on one another this many deep; common practice: each stays within reach of a tie and
/// can be followed by eye.
pub const LAYERS: u32 = 2;

/// Least depth in front of a face for a second layer, mm.
const DEPTH_FOR_TWO: f64 = 10.0;

/// A mm that is missing costs this many mm in the first round; every round adds as much.
const PRESENT: f64 = 6.0;
/// A mm that was missing in an earlier round costs this many mm ever after.
const PAST: f64 = 4.0;
/// A passage with less than this left may cost the next wire something, mm.
const NEARLY_FULL: f64 = 7.0;
/// An overfull opening costs this many mm for its whole area again.
const OPENING: f64 = 150.0;
/// A quiet wire that shares a passage with loud ones, or the other way round.
const NEIGHBOUR: f64 = 40.0;
/// Passages wider than this let power and signals keep apart, mm.
pub const APART: f64 = 20.0;

/// Whether a strand disturbs, is disturbed, or neither.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Voice {
    /// Supply and motor currents.
    Loud,
    /// Audio, radio, logic.
    Quiet,
    /// Neither, or behind a screen.
    Plain,
}

/// What a strand takes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Usage {
    /// Face, passage, width with its air.
    pub passages: Vec<(usize, u32, f64)>,
    /// Opening, area.
    pub openings: Vec<(usize, f64)>,
}

/// One face's passages.
struct Ledger {
    passages: Vec<Passage>,
    cells: Cells,
    /// Those that may cost something, so that searches ask about no others.
    dear: Cells,
    is_dear: Vec<bool>,
    layers: f64,
    used: Vec<f64>,
    past: Vec<f64>,
    voices: Vec<[u32; 2]>,
}

/// All that is sold.
pub struct Market {
    faces: [Ledger; 2],
    /// Area that may be filled, area in use, past price.
    openings: Vec<(f64, f64, f64)>,
    round: f64,
    /// There are quiet strands.
    quiet: bool,
}

/// Who pays.
#[derive(Clone, Copy, Debug)]
pub struct Payer {
    /// Its width with its air.
    pub width: f64,
    /// Its area in an opening.
    pub area: f64,
    /// What it minds.
    pub voice: Voice,
}

impl Market {
    /// Nothing sold yet.
    pub fn new(posts: [&Posts; 2], depths: [f64; 2], areas: Vec<f64>, quiet: bool) -> Self {
        let faces = [0, 1].map(|f| Ledger::new(posts[f], layers(depths[f])));
        Self { faces, openings: areas.into_iter().map(|a| (a, 0.0, 0.0)).collect(), round: 0.0, quiet }
    }

    /// Enters (or with -1 takes out) what a strand uses.
    pub fn enter(&mut self, usage: &Usage, voice: Voice, sign: f64) {
        for (f, p, width) in &usage.passages {
            let ledger = &mut self.faces[*f];
            let p = *p as usize;
            ledger.used[p] = (ledger.used[p] + sign * width).max(0.0);
            if let Some(v) = voice.place() {
                let count = &mut ledger.voices[p][v];
                *count = if sign > 0.0 { *count + 1 } else { count.saturating_sub(1) };
            }
            ledger.note(p, self.quiet);
        }
        for (o, area) in &usage.openings {
            if let Some(opening) = self.openings.get_mut(*o) {
                opening.1 = (opening.1 + sign * area).max(0.0);
            }
        }
    }

    /// Passages crossed by a straight stretch.
    pub fn crossed(&self, face: usize, a: Point, b: Point) -> Vec<u32> {
        let ledger = &self.faces[face];
        let mut out = Vec::new();
        ledger.cells.along(a, b, 0.0, |p| {
            if ledger.passages[p as usize].is_crossed_by(a, b) {
                out.push(p);
            }
        });
        out.sort_unstable();
        out.dedup();
        out
    }

    /// What a straight stretch costs beyond its length.
    pub fn toll(&self, face: usize, a: Point, b: Point, payer: &Payer) -> f64 {
        let ledger = &self.faces[face];
        let mut paid: Vec<u32> = Vec::new();
        let mut sum = 0.0;
        ledger.dear.along(a, b, 0.0, |p| {
            let price = ledger.price(p as usize, payer, self.round);
            if price > 0.0 && !paid.contains(&p) && ledger.passages[p as usize].is_crossed_by(a, b) {
                paid.push(p);
                sum += price;
            }
        });
        sum
    }

    /// What crossing each passage of a face costs.
    pub fn prices(&self, face: usize, payer: &Payer, out: &mut Vec<f64>) {
        let ledger = &self.faces[face];
        out.clear();
        out.extend((0..ledger.used.len()).map(|p| ledger.price(p, payer, self.round)));
    }

    /// What an opening costs beyond the board's thickness.
    pub fn fee(&self, opening: usize, payer: &Payer) -> f64 {
        let Some((area, used, past)) = self.openings.get(opening) else { return 0.0 };
        let over = (used + payer.area - area).max(0.0) / area.max(1e-9);
        past + OPENING * (1.0 + self.round) * over
    }

    /// Begins a round: what is overfull grows dearer for good. The sum of what is missing, mm.
    pub fn close(&mut self) -> f64 {
        self.round += 1.0;
        let mut missing = 0.0;
        for ledger in &mut self.faces {
            for p in 0..ledger.used.len() {
                let over = ledger.over(p);
                ledger.past[p] += PAST * over;
                missing += over;
            }
        }
        for (area, used, past) in &mut self.openings {
            let over = (*used - *area).max(0.0) / area.max(1e-9);
            *past += OPENING * 0.5 * over;
            missing += over;
        }
        missing
    }

    /// What is missing now, mm.
    pub fn missing(&self) -> f64 {
        let passages: f64 =
            self.faces.iter().map(|l| (0..l.used.len()).map(|p| l.over(p)).sum::<f64>()).sum();
        passages + self.openings.iter().map(|(a, u, _)| (u - a).max(0.0) / a.max(1e-9)).sum::<f64>()
    }

    /// A strand with this usage helps to overfill something, and how far.
    pub fn is_over(&self, usage: &Usage) -> f64 {
        let passages = usage.passages.iter().map(|(f, p, _)| self.faces[*f].over(*p as usize));
        let openings = usage.openings.iter().filter_map(|(o, _)| {
            let (area, used, _) = self.openings.get(*o)?;
            Some((used - area).max(0.0) / area.max(1e-9))
        });
        passages.chain(openings).fold(0.0, f64::max)
    }

    /// It shares a narrow passage with the other kind.
    pub fn has_neighbours(&self, usage: &Usage, voice: Voice) -> bool {
        let Some(own) = voice.place() else { return false };
        usage.passages.iter().any(|(f, p, _)| {
            let ledger = &self.faces[*f];
            ledger.voices[*p as usize][1 - own] > 0 && ledger.passages[*p as usize].room < APART
        })
    }

    /// How many layers a face takes.
    pub fn layers(&self, face: usize) -> u32 {
        self.faces[face].layers as u32
    }

    /// A passage, and the width in use.
    pub fn passage(&self, face: usize, p: u32) -> (&Passage, f64) {
        (&self.faces[face].passages[p as usize], self.faces[face].used[p as usize])
    }
}

fn layers(depth: f64) -> f64 {
    if depth >= DEPTH_FOR_TWO { f64::from(LAYERS) } else { 1.0 }
}

impl Voice {
    const fn place(self) -> Option<usize> {
        match self {
            Self::Loud => Some(0),
            Self::Quiet => Some(1),
            Self::Plain => None,
        }
    }
}

impl Ledger {
    fn new(posts: &Posts, layers: f64) -> Self {
        let boxes: Vec<(Point, Point)> = posts.passages.iter().map(Passage::corners).collect();
        let n = posts.passages.len();
        let cells = Cells::new(&boxes);
        Self {
            passages: posts.passages.clone(),
            dear: cells.emptied(),
            is_dear: vec![false; n],
            cells,
            layers,
            used: vec![0.0; n],
            past: vec![0.0; n],
            voices: vec![[0; 2]; n],
        }
    }

    /// Remembers a passage that may cost something from now on.
    fn note(&mut self, p: usize, quiet: bool) {
        let room = self.passages[p].room;
        let full = self.used[p] + NEARLY_FULL > room * self.layers;
        let heard = quiet && room < APART && self.voices[p].iter().any(|v| *v > 0);
        if !self.is_dear[p] && (full || heard) {
            self.is_dear[p] = true;
            self.dear.insert(p as u32, self.passages[p].corners());
        }
    }

    fn over(&self, p: usize) -> f64 {
        (self.used[p] - self.passages[p].room * self.layers).max(0.0)
    }

    fn price(&self, p: usize, payer: &Payer, round: f64) -> f64 {
        let room = self.passages[p].room;
        let after = self.used[p] + payer.width;
        let over = (after - room * self.layers).max(0.0);
        let mut price = self.past[p] + PRESENT * (1.0 + round) * over;
        if let Some(own) = payer.voice.place()
            && self.voices[p][1 - own] > 0
            && room < APART
        {
            price += NEIGHBOUR;
        }
        price
    }
}
