use super::*;
use proptest::prelude::*;

fn points(most: usize) -> impl Strategy<Value = Vec<Point>> {
    // A grid of half millimetres: ties and holes at one place occur.
    let one =
        (0u16..800, 0u16..600).prop_map(|(x, y)| Point::new(f64::from(x) / 2.0, f64::from(y) / 2.0));
    prop::collection::vec(one, 0..most)
}

/// Every order, the slow way.
fn shortest_of_all(start: Point, points: &[Point], left: &mut Vec<usize>) -> f64 {
    if left.is_empty() {
        return 0.0;
    }
    let mut best = f64::INFINITY;
    for k in 0..left.len() {
        let i = left.remove(k);
        let rest = shortest_of_all(points[i], points, left);
        best = best.min(start.distance(points[i]) + rest);
        left.insert(k, i);
    }
    best
}

fn is_a_tour(tour: &Tour, n: usize) -> bool {
    let mut seen = tour.order.clone();
    seen.sort_unstable();
    seen == (0..n).collect::<Vec<_>>()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn small_tours_are_the_shortest_of_all_orders(points in points(8)) {
        let start = Point::new(0.0, 0.0);
        let tour = open(start, &points);
        prop_assert!(is_a_tour(&tour, points.len()) && tour.shortest);
        let mut left: Vec<usize> = (0..points.len()).collect();
        let all = shortest_of_all(start, &points, &mut left);
        prop_assert!((tour.length - all).abs() < 1e-6, "{} {all}", tour.length);
    }

    #[test]
    fn the_improved_tour_is_one_and_never_beats_the_shortest(points in points(EXACT)) {
        let start = Point::new(0.0, 0.0);
        let best = length(start, &points, &exact(start, &points));
        if points.is_empty() {
            return Ok(());
        }
        let mut walk = Walk::new(start, &points);
        for order in [walk.insertion(), to_and_fro(&points)] {
            let order = walk.improved(&order);
            let tour = Tour { length: length(start, &points, &order), order, shortest: false };
            prop_assert!(is_a_tour(&tour, points.len()));
            prop_assert!(tour.length >= best - 1e-6, "{} {best}", tour.length);
        }
    }

    #[test]
    fn a_long_tour_visits_every_hole_once_and_is_no_longer_than_by_number(points in points(160)) {
        let start = Point::new(0.0, 0.0);
        let tour = open(start, &points);
        prop_assert!(is_a_tour(&tour, points.len()));
        let by_number: Vec<usize> = (0..points.len()).collect();
        prop_assert!(tour.length <= length(start, &points, &by_number) + 1e-6);
        prop_assert!((tour.length - length(start, &points, &tour.order)).abs() < 1e-9);
        prop_assert_eq!(&tour, &open(start, &points));
    }
}

#[test]
fn a_row_is_walked_from_end_to_end() {
    // 40 holes on a line, shuffled: the shortest way is the line itself.
    let points: Vec<Point> =
        (0..40).map(|i| Point::new(f64::from(i * 17 % 40) * 10.0 + 5.0, 3.0)).collect();
    let tour = open(Point::new(0.0, 3.0), &points);
    assert!((tour.length - 395.0).abs() < 1e-9, "{}", tour.length);
}

#[test]
fn thousands_of_holes_are_walked_in_rows_first() {
    let points: Vec<Point> = (0..2500u32)
        .map(|i| Point::new(f64::from(i * 7919 % 1000), f64::from(i * 104_729 % 997)))
        .collect();
    let tour = open(Point::new(0.0, 0.0), &points);
    assert!(is_a_tour(&tour, points.len()));
    // A random tour through n points of a square of side s comes to about 0.7124 √(n·s²) at its
    // shortest (Beardwood, Halton and Hammersley, 1959; the constant from memory).
    let expected = 0.7124 * (2500.0f64 * 1000.0 * 997.0).sqrt();
    assert!(tour.length < expected * 1.25, "{} {expected}", tour.length);
}
