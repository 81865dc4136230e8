//! The facet of a hull that a line meets.
//!
//! Of points over a plane, the three whose plane lies on or over all others and is met by the upright line
//! through a given place. It answers two questions of this crate: which three points a board stands on, and
//! at which place a shape has most air within straight sides (a linear programme whose dual this is).

use crate::shape::{cross, hull, minus};
use loomdeck_model::Point;

/// A place of the plane and a height over it.
#[derive(Clone, Copy, Debug)]
pub struct Tip {
    /// Place.
    pub x: f64,
    /// Place.
    pub y: f64,
    /// Height.
    pub h: f64,
}

/// Any triangle from the first corner that holds the point.
pub fn fan_three(
    corners: &[usize],
    flat: &impl Fn(usize) -> Point,
    at: Point,
) -> Option<[(usize, f64); 3]> {
    (1..corners.len().saturating_sub(1)).find_map(|j| {
        let three = [corners[0], corners[j], corners[j + 1]];
        let share = shares(three.map(flat), at)?;
        share.iter().all(|s| *s >= -1e-6).then(|| [0, 1, 2].map(|n| (three[n], share[n].max(0.0))))
    })
}

/// Shares of a load at a point on the three corners of a triangle.
pub fn shares(t: [Point; 3], at: Point) -> Option<[f64; 3]> {
    let area = cross(minus(t[1], t[0]), minus(t[2], t[0]));
    if area.abs() < 1e-9 {
        return None;
    }
    let part = |a: Point, b: Point| cross(minus(b, a), minus(at, a)) / area;
    Some([part(t[1], t[2]), part(t[2], t[0]), part(t[0], t[1])])
}

/// The three points whose plane lies on or over all others and is met by the line through `at`: the
/// facet of the hull there. Found by exchanging corners, as the simplex method does.
pub fn facet_under(tips: &[Tip], at: Point) -> Option<[usize; 3]> {
    let flat = |i: usize| Point::new(tips[i].x, tips[i].y);
    let outline = hull(&(0..tips.len()).map(flat).collect::<Vec<_>>());
    let index = |p: Point| (0..tips.len()).find(|i| flat(*i) == p);
    let corners: Vec<usize> = outline.iter().filter_map(|p| index(*p)).collect();
    let mut now = fan_three(&corners, &flat, at)?.map(|(i, _)| i);
    for _ in 0..10 * tips.len() + 100 {
        let plane = plane_of(now.map(|i| tips[i]))?;
        let over = |t: &Tip| t.h - plane.0 - plane.1 * t.x - plane.2 * t.y;
        let (highest, by) = tips
            .iter()
            .enumerate()
            .map(|(i, t)| (i, over(t)))
            .fold((0, 0.0), |best, next| if next.1 > best.1 { next } else { best });
        if by <= 1e-9 {
            return Some(now);
        }
        // The new corner takes the place of one, so that the triangle still holds the point; where more
        // than one will do, the exchange that lifts the plane most at the point, so that none comes back.
        let exchanged = (0..3).filter_map(|gone| {
            let mut tried = now;
            tried[gone] = highest;
            let share = shares(tried.map(flat), at)?;
            share.iter().all(|s| *s >= -1e-9).then_some((tried, share[gone]))
        });
        now = exchanged.max_by(|a, b| a.1.total_cmp(&b.1))?.0;
    }
    None
}

/// h = a + b·x + c·y through three points.
pub fn plane_of(t: [Tip; 3]) -> Option<(f64, f64, f64)> {
    let (p, q) =
        (Point::new(t[1].x - t[0].x, t[1].y - t[0].y), Point::new(t[2].x - t[0].x, t[2].y - t[0].y));
    let det = cross(p, q);
    if det.abs() < 1e-9 {
        return None;
    }
    let (dp, dq) = (t[1].h - t[0].h, t[2].h - t[0].h);
    let b = (dp * q.y - dq * p.y) / det;
    let c = (dq * p.x - dp * q.x) / det;
    Some((t[0].h - b * t[0].x - c * t[0].y, b, c))
}
