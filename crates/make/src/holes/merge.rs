//! Holes at the same place are one hole.

use super::Want;
use crate::making::Datum;
use loomdeck_model::Point;
use loomdeck_space::hole_size::MERGE_WITHIN;

/// Groups of wants at the same place, sorted by row and then along the row, from the datum.
pub fn by_position(wants: &[Want], datum: &Datum) -> Vec<Vec<usize>> {
    let place = |i: usize| datum.distances(wants[i].at);
    let mut order: Vec<usize> = (0..wants.len()).collect();
    order.sort_by(|a, b| key(place(*a)).cmp(&key(place(*b))).then(a.cmp(b)));

    let mut groups: Vec<Vec<usize>> = Vec::new();
    for i in order {
        // Rows are sorted, so a group further below than the tolerance ends the search.
        let near = groups
            .iter()
            .enumerate()
            .rev()
            .take_while(|(_, g)| place(i).y - place(g[0]).y <= 2.0 * MERGE_WITHIN)
            .find(|(_, g)| place(i).distance(place(g[0])) <= MERGE_WITHIN)
            .map(|(n, _)| n);
        match near {
            Some(n) => groups[n].push(i),
            None => groups.push(vec![i]),
        }
    }
    for group in &mut groups {
        group.sort_unstable();
    }
    groups
}

/// Row, then place along the row, in hundredths of a millimetre, so that rounding in a turned part's
/// corners does not tear a row apart.
fn key(p: Point) -> (i64, i64) {
    ((p.y * 100.0).round() as i64, (p.x * 100.0).round() as i64)
}
