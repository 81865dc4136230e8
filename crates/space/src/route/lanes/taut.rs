//! A strand pulled taut between its ends, past posts that it must keep a distance from, on a given
//! side of each.

use crate::shape::{along, cross, dot, minus, nearest_on_segment, norm, unit};
use loomdeck_model::Point;
use loomdeck_model::units::Millimetres;

/// A circle round which a strand may bend.
#[derive(Clone, Copy, Debug)]
pub struct Round {
    /// The post itself.
    pub post: Point,
    /// Distance that the strand's middle keeps from it.
    pub need: f64,
    /// Middle of the bend.
    pub centre: Point,
    /// Radius of the bend.
    pub radius: f64,
    /// 1: the post is to the left of the strand, -1: to the right.
    pub side: f64,
}

impl Round {
    /// The circle round a post: its bend is drawn into the obstacle by `into`, so that it is wider than
    /// the distance kept.
    pub fn new(post: Point, out: Point, need: f64, into: f64, side: f64) -> Self {
        Self { post, need, centre: along(post, out, -into), radius: need + into, side }
    }
}

/// A straight stretch between two bends.
#[derive(Clone, Copy, Debug)]
pub struct Stretch {
    /// Where it leaves the bend before it.
    pub from: Point,
    /// Where it enters the bend behind it.
    pub to: Point,
    /// Direction.
    pub d: Point,
}

/// A strand pulled taut.
#[derive(Clone, Debug, Default)]
pub struct Taut {
    /// Its straight stretches.
    pub stretches: Vec<Stretch>,
    /// Which circles it bends round, between the stretches.
    pub bends: Vec<usize>,
}

/// More bends than this in one corner are drawn as several, so that their corner points stay near, rad.
const WIDEST_TURN: f64 = 1.9;

/// The tangent from one circle (or point: radius 0) to another, passing each on its side.
fn tangent(a: (Point, f64, f64), b: (Point, f64, f64)) -> Option<Stretch> {
    let ((p, r, s), (q, t, u)) = (a, b);
    let way = minus(q, p);
    let far = norm(way);
    let d = unit(way)?;
    let left = Point::new(-d.y, d.x);
    // Along the normal the second middle lies this much further left than the first.
    let k = ((u * t - s * r) / far).clamp(-0.999, 0.999);
    let w = (1.0 - k * k).sqrt();
    let n = Point::new(d.x * k + left.x * w, d.y * k + left.y * w);
    let e = Point::new(n.y, -n.x);
    Some(Stretch { from: along(p, n, -s * r), to: along(q, n, -u * t), d: e })
}

/// Pulls a strand from `start` to `end`. `rounds` are in the order along the strand; `tight` are those
/// it is known to bend round.
pub fn pull(start: Point, end: Point, rounds: &[Round], tight: &[bool]) -> Taut {
    let mut active: Vec<usize> = (0..rounds.len()).filter(|i| tight[*i]).collect();
    // Each round lets one go or takes one on; a strand that never settles is left as it is.
    let mut taken = vec![0u8; rounds.len()];
    for _ in 0..6 * rounds.len() + 4 {
        let stretches = stretches(start, end, rounds, &active);
        if let Some(i) = slack(&stretches, rounds, &active) {
            active.remove(i);
            continue;
        }
        match breach(&stretches, rounds, &active) {
            Some(i) if taken[i] < 3 => {
                taken[i] += 1;
                let at = active.partition_point(|a| *a < i);
                active.insert(at, i);
            }
            _ => return Taut { stretches, bends: active },
        }
    }
    Taut { stretches: stretches(start, end, rounds, &active), bends: active }
}

fn stretches(start: Point, end: Point, rounds: &[Round], active: &[usize]) -> Vec<Stretch> {
    let point = |p: Point| (p, 0.0, 1.0);
    let circle = |i: usize| (rounds[i].centre, rounds[i].radius, rounds[i].side);
    let mut before = point(start);
    let mut out = Vec::with_capacity(active.len() + 1);
    for next in active.iter().map(|i| circle(*i)).chain([point(end)]) {
        let same = Stretch { from: before.0, to: next.0, d: Point::new(1.0, 0.0) };
        out.push(tangent(before, next).unwrap_or(same));
        before = next;
    }
    out
}

/// Of two that are this much alike the first counts, so that rounding does not choose.
const ALIKE: f64 = 1e-7;

/// The bend at which the strand turns away from its post, the most contrary first.
fn slack(stretches: &[Stretch], rounds: &[Round], active: &[usize]) -> Option<usize> {
    let mut worst = (-1e-7, None);
    for (k, i) in active.iter().enumerate() {
        let (come, go) = (stretches[k].d, stretches[k + 1].d);
        let turn = cross(come, go) * rounds[*i].side;
        if turn < worst.0 - ALIKE {
            worst = (turn, Some(k));
        }
    }
    worst.1
}

/// The post that is passed too near, or on the wrong side: the worst.
fn breach(stretches: &[Stretch], rounds: &[Round], active: &[usize]) -> Option<usize> {
    let mut worst = (1e-6, None);
    for (k, s) in stretches.iter().enumerate() {
        let first = if k == 0 { 0 } else { active[k - 1] + 1 };
        let last = active.get(k).copied().unwrap_or(rounds.len());
        let left = Point::new(-s.d.y, s.d.x);
        let long = dot(minus(s.to, s.from), s.d);
        for (i, r) in rounds.iter().enumerate().take(last).skip(first) {
            let off = minus(r.post, s.from);
            if !(0.0..=long).contains(&dot(off, s.d)) {
                continue;
            }
            let over = r.need - r.side * dot(off, left);
            if over > worst.0 + ALIKE {
                worst = (over, Some(i));
            }
        }
    }
    worst.1
}

impl Taut {
    /// How far it passes from a post: as far as it was asked to where it bends round it.
    pub fn distance(&self, post: Point, round: usize, need: f64) -> f64 {
        if self.bends.contains(&round) {
            return need;
        }
        self.stretches
            .iter()
            .map(|s| minus(nearest_on_segment(post, s.from, s.to), post))
            .map(|off| dot(off, off))
            .fold(f64::INFINITY, f64::min)
            .sqrt()
    }

    /// Corners and bend radii.
    pub fn corners(&self, rounds: &[Round]) -> (Vec<Point>, Vec<Millimetres>) {
        let (Some(first), Some(last)) = (self.stretches.first(), self.stretches.last()) else {
            return (Vec::new(), Vec::new());
        };
        let (mut points, mut radii) = (vec![first.from], vec![Millimetres::ZERO]);
        for (k, i) in self.bends.iter().enumerate() {
            let (come, go) = (self.stretches[k].d, self.stretches[k + 1].d);
            let Round { centre, radius, side, .. } = rounds[*i];
            let turn = cross(come, go).atan2(dot(come, go));
            if turn.abs() < 1e-4 {
                continue;
            }
            let parts = (turn.abs() / WIDEST_TURN).ceil().max(1.0);
            let each = turn / parts;
            // From the middle of the bend straight out, where the strand comes in.
            let out = Point::new(come.y * side, -come.x * side);
            for part in 0..parts as usize {
                let (s, c) = ((part as f64 + 0.5) * each).sin_cos();
                let out = Point::new(out.x * c - out.y * s, out.x * s + out.y * c);
                points.push(along(centre, out, radius / (each / 2.0).cos()));
                radii.push(Millimetres(radius));
            }
        }
        points.push(last.to);
        radii.push(Millimetres::ZERO);
        (points, radii)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::route::path::length;

    fn round(x: f64, y: f64, need: f64, into: f64, side: f64) -> Round {
        Round::new(Point::new(x, y), Point::new(0.0, 1.0), need, into, side)
    }

    #[test]
    fn past_one_post_it_is_as_long_as_geometry_says() {
        // Over a post at (50, 0) from (0, 0) to (100, 0), 10 mm off: two tangents of √(50² − 10²) and an
        // arc of 2·asin(10/50).
        let rounds = [round(50., 0., 10., 0., -1.)];
        let taut = pull(Point::new(0., 0.), Point::new(100., 0.), &rounds, &[false]);
        let (p, r) = taut.corners(&rounds);
        let expected = 2.0 * 2400f64.sqrt() + 10.0 * 2.0 * (0.2f64).asin();
        assert!((length(&p, &r) - expected).abs() < 1e-6);
    }

    #[test]
    fn a_post_on_the_far_side_lets_it_go() {
        let rounds = [round(50., -30., 10., 0., -1.)];
        let taut = pull(Point::new(0., 0.), Point::new(100., 0.), &rounds, &[true]);
        assert!(taut.bends.is_empty());
    }

    #[test]
    fn between_two_posts_it_swings() {
        // Over the first, under the second.
        let rounds = [round(30., 0., 5., 0., -1.), round(70., 0., 5., 0., 1.)];
        let taut = pull(Point::new(0., 0.), Point::new(100., 0.), &rounds, &[false, false]);
        assert_eq!(taut.bends, [0, 1]);
        for s in &taut.stretches {
            for r in &rounds {
                let q = crate::shape::nearest_on_segment(r.post, s.from, s.to);
                assert!(norm(minus(q, r.post)) > 5.0 - 1e-6);
            }
        }
    }

    #[test]
    fn lanes_round_one_post_are_concentric() {
        let wide: Vec<(Vec<Point>, Vec<Millimetres>)> = [3.0, 5.0]
            .iter()
            .map(|need| {
                let rounds = [Round::new(Point::new(0., 0.), Point::new(-0.6, 0.8), *need, 6.0, -1.0)];
                pull(Point::new(-60., -need), Point::new(60., *need), &rounds, &[true]).corners(&rounds)
            })
            .collect();
        assert!((wide[1].1[1].0 - wide[0].1[1].0 - 2.0).abs() < 1e-9);
    }
}
