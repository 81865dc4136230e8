#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::network::{Network, Path, Special};
use super::trace::Trace;

/// Source, resistance and inductance into one capacitor.
fn series(ohms: f64, henries: f64, farads: f64) -> Trace {
    let path = |a, b, ohms, henries, emf_v, special| Path {
        a,
        b,
        ohms,
        henries,
        emf_v,
        special,
        sense: 1.0,
        items: Vec::new(),
    };
    let capacitor = Special::Capacitor { index: 0, farads, esr_ohm: 0.0, start_v: 0.0 };
    let paths = vec![
        path(0, 1, 0.25 * ohms, 0.5 * henries, 12.0, None),
        path(1, 2, 0.75 * ohms, 0.25 * henries, 0.0, None),
        path(2, 0, 0.0, 0.25 * henries, 0.0, Some(capacitor)),
        // A dead end, which must not matter.
        path(1, 3, 1.0, 1e-6, 5.0, None),
    ];
    Trace::of(Network::of(paths).unwrap()).unwrap()
}

/// Largest distance from a closed form of the current, over its full scale.
fn worst(trace: &Trace, exact: &dyn Fn(f64) -> f64) -> f64 {
    let last = *trace.times.last().unwrap();
    let times: Vec<f64> = (0..4000).map(|k| last * (f64::from(k) / 4000.0).powi(3)).collect();
    let scale = times.iter().map(|&t| exact(t).abs()).fold(0.0, f64::max);
    let link = trace.network.loops[0][0];
    let sign = link.1 * trace.at(0.2 * last, &|y| trace.network.current(link.0, y)).signum();
    let sign = sign * exact(0.2 * last).signum();
    let off = |t: f64| (sign * trace.at(t, &|y| trace.network.current(link.0, y)) - exact(t)).abs();
    times.iter().map(|&t| off(t)).fold(0.0, f64::max) / scale
}

/// Textbook: i = V/(L·(s₁ − s₂))·(e^(s₁t) − e^(s₂t)) with s = −R/2L ± √((R/2L)² − 1/LC).
#[test]
fn an_overdamped_surge_follows_its_closed_form() {
    let (r, l, c) = (0.1_f64, 1e-6_f64, 4.7e-3_f64);
    let (middle, half) = (-r / (2.0 * l), ((r / (2.0 * l)).powi(2) - 1.0 / (l * c)).sqrt());
    let (s1, s2) = (middle + half, middle - half);
    let exact = |t: f64| 12.0 / (l * (s1 - s2)) * ((s1 * t).exp() - (s2 * t).exp());
    assert!(worst(&series(r, l, c), &exact) < 1e-4);
}

/// Textbook: i = V/(ωL)·e^(−αt)·sin ωt.
#[test]
fn a_ringing_surge_follows_its_closed_form() {
    let (r, l, c) = (0.02_f64, 2e-6_f64, 1e-3_f64);
    let alpha = r / (2.0 * l);
    let omega = (1.0 / (l * c) - alpha * alpha).sqrt();
    let exact = |t: f64| 12.0 / (omega * l) * (-alpha * t).exp() * (omega * t).sin();
    assert!(worst(&series(r, l, c), &exact) < 1e-4);
}

/// Charging a capacitor through a resistance turns as much into heat as it stores, whatever the resistance,
/// and what the source gives is the sum.
#[test]
fn half_the_energy_becomes_heat() {
    for (ohms, henries) in [(0.01, 5e-6), (0.1, 1e-6), (22.0, 1e-6)] {
        let trace = series(ohms, henries, 2.2e-3);
        let (source, heat, stored) = trace.energies();
        let half = 0.5 * 2.2e-3 * 144.0;
        assert!((source - 2.0 * half).abs() < 2e-3 * half, "{ohms}: {source}");
        assert!((heat - half).abs() < 2e-3 * half, "{ohms}: {heat}");
        assert!((source - heat - stored).abs() < 1e-5 * source, "{ohms}");
    }
}

/// A capacitor behind a resistance alone: i = V/R·e^(−t/RC) (textbook); the inductance left is a
/// thousandth of what would show.
#[test]
fn a_surge_through_resistance_decays_with_rc() {
    let (r, c) = (2.0_f64, 1e-3_f64);
    let trace = series(r, 1e-8, c);
    let tau = r * c;
    for share in [0.05, 0.5, 1.0, 2.0, 3.0] {
        let link = trace.network.loops[0][0].0;
        let i = trace.at(share * tau, &|y| trace.network.current(link, y)).abs();
        let exact = 12.0 / r * (-share).exp();
        assert!((i - exact).abs() < 1e-4 * 12.0 / r, "{share}: {i} against {exact}");
    }
}

/// A winding at a battery: i = V/R·(1 − e^(−tR/L)) (textbook), with nothing to fill.
#[test]
fn a_winding_takes_its_current_with_l_over_r() {
    let (r, l) = (0.3_f64, 0.15e-3_f64);
    let path = |a, b, ohms, henries, emf_v| Path {
        a,
        b,
        ohms,
        henries,
        emf_v,
        special: None,
        sense: 1.0,
        items: Vec::new(),
    };
    let paths = vec![path(0, 1, 0.1 * r, 0.1 * l, 12.0), path(1, 0, 0.9 * r, 0.9 * l, 0.0)];
    let trace = Trace::of(Network::of(paths).unwrap()).unwrap();
    let link = trace.network.loops[0][0].0;
    for share in [0.1, 0.7, 1.0, 2.0, 4.0] {
        let i = trace.at(share * l / r, &|y| trace.network.current(link, y)).abs();
        let exact = 12.0 / r * (1.0 - (-share).exp());
        assert!((i - exact).abs() < 1e-4 * 12.0 / r, "{share}: {i} against {exact}");
    }
}
