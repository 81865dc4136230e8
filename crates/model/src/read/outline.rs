//! Outlines that enclose something and do not cross themselves.

use crate::geometry::{Outline, Point};

/// Turns corners into an outline, or says why they are none.
pub fn outline(mut corners: Vec<Point>) -> Result<Outline, String> {
    if corners.len() > 1 && corners.first() == corners.last() {
        corners.pop();
    }
    corners.dedup();
    if corners.len() < 3 {
        return Err(format!(
            "This outline has {} different corners; at least three are needed.",
            corners.len()
        ));
    }
    let outline = Outline(corners);
    if outline.signed_area().abs() < 1e-6 {
        return Err("This outline encloses nothing: all its corners lie on one line.".to_owned());
    }
    if let Some((a, b)) = crossing(&outline.0) {
        return Err(format!(
            "This outline crosses itself: the edge after corner {} meets the edge after corner {}.",
            a + 1,
            b + 1
        ));
    }
    Ok(outline.counter_clockwise())
}

/// The first two edges that meet where they should not.
fn crossing(p: &[Point]) -> Option<(usize, usize)> {
    let n = p.len();
    for i in 0..n {
        for j in i + 1..n {
            let (a, b, c, d) = (p[i], p[(i + 1) % n], p[j], p[(j + 1) % n]);
            let neighbours = j == i + 1 || (i == 0 && j == n - 1);
            let bad = if neighbours { folds_back(i, j, p) } else { meet(a, b, c, d) };
            if bad {
                return Some((i, j));
            }
        }
    }
    None
}

/// Neighbouring edges share a corner; they are wrong only when one runs back along the other.
fn folds_back(i: usize, j: usize, p: &[Point]) -> bool {
    let n = p.len();
    let (before, corner, after) =
        if j == i + 1 { (p[i], p[j], p[(j + 1) % n]) } else { (p[j], p[i], p[(i + 1) % n]) };
    let (ux, uy) = (before.x - corner.x, before.y - corner.y);
    let (vx, vy) = (after.x - corner.x, after.y - corner.y);
    (ux * vy - uy * vx) == 0.0 && ux * vx + uy * vy > 0.0
}

fn side(a: Point, b: Point, c: Point) -> f64 {
    (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
}

fn on(a: Point, b: Point, c: Point) -> bool {
    c.x >= a.x.min(b.x) && c.x <= a.x.max(b.x) && c.y >= a.y.min(b.y) && c.y <= a.y.max(b.y)
}

/// Whether the segments a-b and c-d have a point in common.
fn meet(a: Point, b: Point, c: Point, d: Point) -> bool {
    let (s1, s2) = (side(a, b, c), side(a, b, d));
    let (s3, s4) = (side(c, d, a), side(c, d, b));
    if ((s1 > 0.0 && s2 < 0.0) || (s1 < 0.0 && s2 > 0.0))
        && ((s3 > 0.0 && s4 < 0.0) || (s3 < 0.0 && s4 > 0.0))
    {
        return true;
    }
    (s1 == 0.0 && on(a, b, c))
        || (s2 == 0.0 && on(a, b, d))
        || (s3 == 0.0 && on(c, d, a))
        || (s4 == 0.0 && on(c, d, b))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn from(p: &[(f64, f64)]) -> Result<Outline, String> {
        outline(p.iter().map(|(x, y)| Point::new(*x, *y)).collect())
    }

    #[test]
    fn good_outlines_come_back_counter_clockwise() {
        let o = from(&[(0.0, 0.0), (0.0, 10.0), (10.0, 10.0), (10.0, 0.0), (0.0, 0.0)]);
        assert!(o.is_ok_and(|o| o.signed_area() == 100.0 && o.0.len() == 4));
    }

    #[test]
    fn bad_outlines_are_refused_with_the_reason() {
        let bow = from(&[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)]);
        assert!(bow.is_err_and(|e| e.contains("crosses itself") || e.contains("encloses nothing")));
        let eight = from(&[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 12.0)]);
        assert!(eight.is_err_and(|e| e.contains("corner 1 meets the edge after corner 3")));
        assert!(from(&[(0.0, 0.0), (5.0, 5.0), (10.0, 10.0)]).is_err_and(|e| e.contains("one line")));
        assert!(from(&[(0.0, 0.0), (5.0, 5.0)]).is_err_and(|e| e.contains("2 different corners")));
        let spike = from(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (10.0, 4.0), (0.0, 4.0)]);
        assert!(spike.is_err(), "an edge that runs back along the one before");
    }
}
