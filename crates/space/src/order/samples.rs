//! Puzzles drawn from a seed, as plain lists, for tests, benches and the check against another solver.

/// A thing: its weight, and for each condition its price and its ways.
pub type Drawn = (u64, Vec<(u64, Vec<Vec<usize>>)>);

/// Numbers from a seed (the generator of Steele, Lea and Flood, "Fast splittable pseudorandom number
/// generators", 2014).
pub struct Draw(pub u64);

impl Draw {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }
    /// A number below `n`.
    pub fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.next() % (n.max(1) as u64)).unwrap_or(0)
    }
    /// True so many times in a hundred.
    pub fn chance(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }
}

/// A board: `parts` parts, then `wires` wires between them. Every part has fasteners with one or two ways,
/// in which up to `crowd` other parts stand; every part waits for its wires; a wire is undone at either of
/// its ends. When `sound`, everything comes off in some order that was drawn first; otherwise some things lock
/// each other.
pub fn board(parts: usize, wires: usize, crowd: usize, sound: bool, seed: u64) -> Vec<Drawn> {
    let mut draw = Draw(seed);
    let heavy = 1 + (parts * 8 + wires) as u64;
    let mut out: Vec<Drawn> = Vec::with_capacity(parts + wires);
    let mut rank: Vec<usize> = (0..parts).collect();
    for i in (1..parts).rev() {
        rank.swap(i, draw.below(i + 1));
    }
    let way = |draw: &mut Draw, me: usize, any: bool| -> Vec<usize> {
        let others: Vec<usize> =
            (0..parts).filter(|o| *o != me && (any || rank[*o] < rank[me])).collect();
        let count = if others.is_empty() { 0 } else { draw.below(crowd + 1) };
        (0..count).map(|_| others[draw.below(others.len())]).collect()
    };
    for me in 0..parts {
        let holes = 1 + draw.below(4);
        let mut conditions = Vec::new();
        for _ in 0..holes {
            let mut ways = vec![way(&mut draw, me, !sound && draw_some(seed, me))];
            for _ in 0..draw.below(3) {
                ways.push(way(&mut draw, me, true));
            }
            conditions.push((1, ways));
        }
        out.push((heavy + holes as u64, conditions));
    }
    for w in 0..wires {
        let (a, b) = (draw.below(parts), draw.below(parts));
        let thing = parts + w;
        for end in [a, b] {
            out[end].1.push((1, vec![vec![thing]]));
        }
        // A sound board lets each wire be undone before the first of its two parts comes off.
        let first = if rank[a] < rank[b] { a } else { b };
        let ways = vec![way(&mut draw, first, false), way(&mut draw, a, true)];
        out.push((1, vec![(1, ways)]));
    }
    out
}

fn draw_some(seed: u64, me: usize) -> bool {
    Draw(seed ^ (me as u64) << 20).chance(10)
}
