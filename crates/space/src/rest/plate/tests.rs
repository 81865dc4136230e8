#![allow(clippy::unwrap_used)]

use super::*;

const SIDE: f64 = 400.0;

fn square() -> Outline {
    Outline::rectangle(Point::new(-30.0, 20.0), SIDE, SIDE)
}

fn bent(outline: &Outline, supports: &[Point], loads: &[Load], pressure: f64, poisson: f64) -> Bent {
    bend(&Plate { outline, stiffness: 1e5, poisson, supports, loads, pressure }).unwrap()
}

fn middle(o: &Outline) -> Point {
    let (low, high) = o.bounds();
    Point::new((low.x + high.x) / 2.0, (low.y + high.y) / 2.0)
}

/// Points along all four edges.
fn edges(o: &Outline, each: usize) -> Vec<Point> {
    let (low, high) = o.bounds();
    let mut out = Vec::new();
    for k in 0..each {
        let t = k as f64 / each as f64;
        let (x, y) = (low.x + t * (high.x - low.x), low.y + t * (high.y - low.y));
        out.extend([Point::new(x, low.y), Point::new(high.x, y)]);
        out.extend([Point::new(high.x + low.x - x, high.y), Point::new(low.x, high.y + low.y - y)]);
    }
    out
}

/// Navier's double series for a simply supported rectangle under even load: the deflection of its
/// middle as a multiple of q·a⁴/D.
fn navier(ratio: f64) -> f64 {
    let mut w = 0.0;
    for m in (1..200).step_by(2) {
        for n in (1..200).step_by(2) {
            let (m, n) = (f64::from(m), f64::from(n));
            let sign = if ((m + n) as i32 / 2 - 1) % 2 == 0 { 1.0 } else { -1.0 };
            w += sign / (m * n * (m * m + n * n / (ratio * ratio)).powi(2));
        }
    }
    16.0 / std::f64::consts::PI.powi(6) * w
}

/// Published: 0.0444 q·b⁴/(E·t³) for a square with ν = 0.3, 0.1110 for two to one (Roark's Formulas
/// for Stress and Strain, 7th edition, table 11.4, case 1a); 0.00406 q·a⁴/D (Timoshenko, table 8).
#[test]
fn simply_supported_plates_as_printed() {
    let per_d = |alpha: f64| alpha / (12.0 * (1.0 - 0.09));
    assert!((navier(1.0) / 0.00406 - 1.0).abs() < 0.002, "{}", navier(1.0));
    for (ratio, printed) in [(1.0, 0.0444), (1.4, 0.0770), (2.0, 0.1110)] {
        // The table is printed to three digits; its value for 1.4 is half a percent off the series.
        assert!((navier(ratio) / per_d(printed) - 1.0).abs() < 0.006, "{ratio}");
        let o = Outline::rectangle(Point::new(7.0, -3.0), SIDE, SIDE * ratio);
        let b = bent(&o, &edges(&o, 11), &[], 1e-3, 0.3);
        let w = b.deflection(middle(&o)) * 1e5 / (1e-3 * SIDE.powi(4));
        assert!((w / navier(ratio) - 1.0).abs() < 0.005, "{ratio}: {w} {}", navier(ratio));
    }
}

/// The same square loaded in its middle: 0.1267 P·b²/(E·t³) for a small spot (Roark, case 1b), which is
/// 0.0116 P·a²/D (Timoshenko, table 23). A polynomial is too stiff under a point force.
#[test]
fn a_force_in_the_middle_as_printed() {
    let o = square();
    let load = [Load { at: middle(&o), force: 10.0 }];
    let b = bent(&o, &edges(&o, 11), &load, 0.0, 0.3);
    let w = b.deflection(middle(&o)) * 1e5 / (10.0 * SIDE * SIDE);
    assert!(w / 0.0116 < 1.002 && w / 0.0116 > 0.97, "{w}");
}

/// Held at its four corners only: 0.0257 q·a⁴/D in the middle with ν = 0.25, moment 0.1109 q·a² there
/// (Timoshenko, article 47; from memory).
#[test]
fn held_at_four_corners_as_printed() {
    let o = square();
    let b = bent(&o, &o.0, &[], 1e-3, 0.25);
    let w = b.deflection(middle(&o)) * 1e5 / (1e-3 * SIDE.powi(4));
    assert!((w / 0.0257 - 1.0).abs() < 0.01, "{w}");
    let m = b.moment(middle(&o)) / (1e-3 * SIDE * SIDE);
    assert!((m / 0.1109 - 1.0).abs() < 0.01, "{m}");
    // The four corners share the load, and together they carry all of it.
    let quarter = 1e-3 * SIDE * SIDE / 4.0;
    assert!(b.reactions.iter().all(|r| (r / quarter - 1.0).abs() < 1e-6), "{:?}", b.reactions);
}

/// A strip on both ends is a beam: 5 q·L⁴/(384 E·I), with ν = 0.
#[test]
fn a_strip_is_a_beam() {
    let o = Outline::rectangle(Point::new(0.0, 0.0), 500.0, 50.0);
    let b = bent(&o, &o.0, &[], 1e-3, 0.0);
    let beam = 5.0 * 1e-3 * 500f64.powi(4) / (384.0 * 1e5);
    let w = b.deflection(Point::new(250.0, 25.0));
    // Its ends are held at their corners only, and bend a little across.
    assert!((w / beam - 1.0).abs() < 0.01, "{w} {beam}");
}

/// Cutting a rectangle in an L and back again changes nothing; nor does an L held as one.
#[test]
fn an_outline_in_pieces_is_integrated_whole() {
    let p = |x, y| Point::new(x, y);
    // A corner as thin as can be taken out: the pieces are triangles.
    let whole = Outline::rectangle(p(0.0, 0.0), 300.0, 200.0);
    let nicked = Outline(vec![
        p(0.0, 0.0),
        p(300.0, 0.0),
        p(300.0, 199.999),
        p(299.999, 199.999),
        p(299.999, 200.0),
        p(0.0, 200.0),
    ]);
    let supports = [p(10.0, 10.0), p(290.0, 15.0), p(20.0, 190.0), p(280.0, 180.0)];
    let loads = [Load { at: p(120.0, 90.0), force: 8.0 }];
    let (a, b) =
        (bent(&whole, &supports, &loads, 1e-4, 0.4), bent(&nicked, &supports, &loads, 1e-4, 0.4));
    let at = p(150.0, 100.0);
    assert!((a.deflection(at) / b.deflection(at) - 1.0).abs() < 1e-6);
    // A grid says the same as place by place.
    for (p, w, m) in a.grid(6).places {
        assert!((w - a.deflection(p)).abs() < 1e-9 && (m - a.moment(p)).abs() < 1e-6 * m.max(1.0));
    }
    let total: f64 = a.reactions.iter().sum();
    assert!((total - 8.0 - 1e-4 * 60_000.0).abs() < 1e-6, "{total}");
}

/// More supports than the polynomial can heed: they repeat one another, and it still holds.
#[test]
fn many_supports_are_no_trouble() {
    let o = square();
    let many: Vec<Point> = edges(&o, 25);
    let b = bent(&o, &many, &[], 1e-3, 0.3);
    let w = b.deflection(middle(&o)) * 1e5 / (1e-3 * SIDE.powi(4));
    assert!((w / 0.00406 - 1.0).abs() < 0.02, "{w}");
    let plate = Plate {
        outline: &o,
        stiffness: 1e5,
        poisson: 0.3,
        supports: &o.0[..2],
        loads: &[],
        pressure: 1e-3,
    };
    assert!(bend(&plate).is_none());
}
