//! How thick a bundle of round wires is.
//!
//! Equal wires: the published radii of the smallest circle that holds n unit circles (Graham 1968;
//! Pirl 1969; Melissen 1994; Fodor 1999 to 2003; 14 to 18 best known), tabled to 19 and then the
//! known density limit. Mixed wires: an estimate by area and the largest members, never below two
//! bounds that hold for every arrangement.

use loomdeck_model::units::Millimetres;

/// Radius of the smallest circle that holds n unit circles, n = 1 to 19, rounded up.
const EQUAL: [f64; 19] = [
    1.0, 2.0, 2.154_701, 2.414_214, 2.701_302, 3.0, 3.0, 3.304_765, 3.613_126, 3.813_026, 3.923_805,
    4.029_603, 4.236_068, 4.328_429, 4.521_357, 4.615_426, 4.792_034, 4.863_704, 4.863_704,
];

/// Least radius of a circle that can hold the given circles in *any* arrangement: the largest pair
/// side by side, the area, and the equal-circle bound of the n smallest-of-the-largest.
pub fn least_radius(radii: &[f64]) -> f64 {
    let mut r: Vec<f64> = radii.iter().copied().filter(|r| *r > 0.0).collect();
    r.sort_by(|a, b| b.total_cmp(a));
    let area: f64 = r.iter().map(|r| r * r).sum();
    let pair = match r.as_slice() {
        [] => 0.0,
        [one] => *one,
        [a, b, ..] => a + b,
    };
    // The k largest all hold a circle of the k-th radius, so k equal ones of it must fit.
    let equal = (1..=r.len().min(19)).map(|k| EQUAL[k - 1] * r[k - 1]).fold(0.0, f64::max);
    // No arrangement is denser than the circle it fills.
    let denser = area.sqrt();
    pair.max(equal).max(denser)
}

/// Diameter over a bundle of wires with these outside diameters.
///
/// Equal wires up to 19 take the published value. More, or mixed, take the area over the density
/// of a well-laid bundle, 0.80 less what the rim wastes (fitted to the published values, which it
/// exceeds by 5 % at most), and never less than [`least_radius`].
pub fn bundle_diameter(diameters: &[Millimetres]) -> Millimetres {
    let radii: Vec<f64> = diameters.iter().map(|d| d.0 / 2.0).filter(|r| *r > 0.0).collect();
    let Some(largest) = radii.iter().copied().reduce(f64::max) else {
        return Millimetres::ZERO;
    };
    let smallest = radii.iter().copied().fold(largest, f64::min);
    let least = least_radius(&radii);
    if radii.len() <= 19 && largest - smallest < 1e-9 {
        return Millimetres(2.0 * EQUAL[radii.len() - 1] * largest);
    }
    if radii.len() == 2 {
        return Millimetres(2.0 * least);
    }
    let area: f64 = radii.iter().map(|r| r * r).sum();
    // Effective number of wires of the mean size; a rim of about a quarter of a wire is lost.
    let mean = (area / radii.len() as f64).sqrt();
    let mut estimate = (area / 0.83).sqrt() + 0.30 * mean;
    if let Some(equal) = EQUAL.get(radii.len() - 1) {
        // As many of the largest fit in this, so these fit too.
        estimate = estimate.min(equal * largest);
    }
    Millimetres(2.0 * estimate.max(least))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn equal(n: usize, d: f64) -> f64 {
        bundle_diameter(&vec![Millimetres(d); n]).0
    }

    #[test]
    fn equal_wires_take_the_published_radius() {
        // Graham 1968, Melissen 1994 and the closed forms: 1 + 2/sqrt 3, 1 + sqrt 2, 1 + sqrt 2 + sqrt 6.
        assert!((equal(3, 2.0) / 2.0 - (1.0 + 2.0 / 3f64.sqrt())).abs() < 1e-5);
        assert!((equal(4, 2.0) / 2.0 - (1.0 + 2f64.sqrt())).abs() < 1e-5);
        assert!((equal(7, 1.5) - 4.5).abs() < 1e-9);
        assert!((equal(19, 2.0) / 2.0 - (1.0 + 2f64.sqrt() + 6f64.sqrt())).abs() < 1e-5);
    }

    /// The formula for mixed wires, given nearly equal ones, stays within 5 % above the table.
    #[test]
    fn nearly_equal_wires_are_not_overestimated() {
        for n in 3..=19usize {
            let mut d = vec![Millimetres(2.0); n];
            d[0] = Millimetres(2.0 + 1e-6);
            let ratio = bundle_diameter(&d).0 / 2.0 / EQUAL[n - 1];
            assert!((1.0 - 1e-6..=1.05).contains(&ratio), "{n}: {ratio}");
        }
    }

    /// Curved hexagonal packing: 37 equal circles need 6.759 (best known), 61 need 8.661.
    #[test]
    fn large_bundles_are_close_to_the_best_known() {
        for (n, best) in [(37usize, 6.759), (61, 8.661)] {
            let ratio = equal(n, 2.0) / 2.0 / best;
            assert!((0.999..=1.05).contains(&ratio), "{n}: {ratio}");
        }
    }

    proptest! {
        #[test]
        fn never_below_what_must_be(d in proptest::collection::vec(0.5..8f64, 1..40)) {
            let radii: Vec<f64> = d.iter().map(|d| d / 2.0).collect();
            let all: Vec<Millimetres> = d.iter().map(|d| Millimetres(*d)).collect();
            let got = bundle_diameter(&all).0 / 2.0;
            prop_assert!(got >= least_radius(&radii) - 1e-12);
            // One more wire never makes it thinner, except by switching from the exact table.
            let order: Vec<Millimetres> = all.iter().rev().copied().collect();
            prop_assert!((bundle_diameter(&order).0 / 2.0 - got).abs() < 1e-9);
        }
    }
}
