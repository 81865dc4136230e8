#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::curve::*;

#[test]
fn the_curve_passes_through_its_points_and_stays_in_its_band() {
    // ISO 8820-3 (2002) type C limits (from memory), as in [`BLADE`].
    let points = blade();
    for (m, fast, slow) in BLADE {
        assert!((fastest(&points, m) / fast - 1.0).abs() < 1e-9, "{m}");
        match slow {
            Some(s) => assert!((slowest(&points, m) / s - 1.0).abs() < 1e-9, "{m}"),
            None => assert!(slowest(&points, m).is_infinite()),
        }
    }
    let (mut last_fast, mut last_slow) = (f64::INFINITY, f64::INFINITY);
    for step in 100..1500 {
        let m = f64::from(step) / 100.0;
        let (f, s) = (fastest(&points, m), slowest(&points, m));
        assert!(f <= last_fast && s <= last_slow && f <= s, "{m}: {f} {s}");
        (last_fast, last_slow) = (f, s);
    }
    assert!(fastest(&points, 1.0).is_infinite());
}

#[test]
fn warm_air_takes_a_little_off_a_rating() {
    for (t, worth) in [(25.0, 1.0), (65.0, 0.95), (85.0, 0.90)] {
        assert!((derating(t) - worth).abs() < 1e-12);
    }
    assert!(derating(200.0) >= 0.5);
}
