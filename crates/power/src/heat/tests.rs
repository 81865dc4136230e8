#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::air::*;
use super::wire::*;
use loomdeck_model::wire::{Gauge, Insulation};

#[test]
fn air_has_the_properties_of_the_tables() {
    // Incropera, DeWitt, "Fundamentals of Heat and Mass Transfer", table A.4 (from memory):
    // 300 K: k 0.0263, nu 15.89e-6, Pr 0.707; 400 K: 0.0338, 26.41e-6, 0.690.
    for (t, k, nu, pr) in [(300.0, 0.0263, 15.89e-6, 0.707), (400.0, 0.0338, 26.41e-6, 0.690)] {
        let a = Air::at(t);
        assert!((a.conductivity / k - 1.0).abs() < 0.03, "{a:?}");
        assert!((a.viscosity / nu - 1.0).abs() < 0.03, "{a:?}");
        assert!((a.prandtl / pr - 1.0).abs() < 0.04, "{a:?}");
    }
}

#[test]
fn a_pipe_loses_what_the_textbook_says() {
    // Incropera, DeWitt, example 9.4 (from memory): 0.1 m pipe at 165 °C in 23 °C air, emissivity
    // 0.85: Nu 23.3 with k = 0.0313 W/(m·K), hence convection 325 W/m, and radiation 441 W/m.
    let film = Air::at(367.0);
    let ra = 9.8 / 367.0 * 142.0 * 0.1f64.powi(3) * film.prandtl / film.viscosity.powi(2);
    let nu = nusselt(ra, film.prandtl);
    assert!((nu / 23.3 - 1.0).abs() < 0.03, "{nu}");
    let all = 325.0 + 441.0 * EMISSIVITY / 0.85;
    assert!((loss(0.1, 165.0, 23.0) / all - 1.0).abs() < 0.03, "{}", loss(0.1, 165.0, 23.0));
}

#[test]
fn a_single_wire_in_free_air_carries_what_the_wiring_handbook_says() {
    // FAA AC 43.13-1B figure 11-4a, as read in the worked example of paragraph 11-69: 14 AWG, 150 K
    // above ambient, free air: 47 A. Other points of the same figure (from memory): 22 AWG at 140 K
    // 16.2 A, 20 AWG at 140 K 21.5 A, 12 AWG at 175 K 68 A. The figure is for thin-wall 200 °C wire;
    // ours has PTFE. Curve reading and surface condition make ±15 %.
    for (awg, rise, amperes) in
        [(14, 150.0, 47.0), (22, 140.0, 16.2), (20, 140.0, 21.5), (12, 175.0, 68.0)]
    {
        let wire = Conductor::of(Gauge::Awg(awg), Insulation::Ptfe);
        let found = ampacity(&wire, 60.0, 60.0 + rise, &|_| vec![]);
        assert!((found / amperes - 1.0).abs() < 0.15, "{awg} AWG: {found} A against {amperes} A");
    }
}

/// Current that brings the conductor to `limit`.
fn ampacity(wire: &Conductor, air: f64, limit: f64, bundles: &dyn Fn(f64) -> Vec<Bundle>) -> f64 {
    let (mut low, mut high) = (0.0, 500.0);
    for _ in 0..60 {
        let mid = (low + high) / 2.0;
        match steady(wire, mid, air, &bundles(mid)) {
            Some(s) if s.inside <= limit => low = mid,
            _ => high = mid,
        }
    }
    low
}

#[test]
fn a_bundle_carries_what_the_wiring_handbook_says() {
    // AC 43.13-1B figure 11-6 as read in paragraph 11-69: 8 wires of which 60 % of the capacity is
    // used: factor 0.60. From memory: 12 wires at 100 %: 0.43; 35 wires at 20 %: 0.52.
    // "Use" is the total current over the total the wires could carry.
    for (n, used, factor) in [(8.0, 0.6, 0.60), (12.0, 1.0, 0.43), (35.0, 0.2, 0.52)] {
        let wire = Conductor::of(Gauge::Awg(14), Insulation::Ptfe);
        let diameter = wire.outside * (n / 0.74f64).sqrt();
        let alone = ampacity(&wire, 50.0, 200.0, &|_| vec![]);
        let loaded = (n * used).max(1.0);
        let tied = ampacity(&wire, 50.0, 200.0, &|i| {
            vec![Bundle { diameter, others: (loaded - 1.0) * i * i * wire.cold }]
        });
        let found = tied / alone;
        assert!((found / factor - 1.0).abs() < 0.15, "{n} wires: {found} against {factor}");
    }
}

#[test]
fn a_short_circuit_heats_by_the_adiabatic_formula() {
    // IEC 60364-5-54: k = 115 for copper with PVC from 70 to 160 °C, 143 for cross-linked from 90 to
    // 250 °C; t = (k·S/I)². At a hundred times the rated current the wire loses nothing, and the copper
    // alone counts: our time is longer by no more than the heat that the insulation takes with it.
    for (limit, start, k) in [(160.0, 70.0, 115.0), (250.0, 90.0, 143.0)] {
        let mut wire = Conductor::of(Gauge::Metric(1.5), Insulation::Pvc70);
        wire.cold = 1.7241e-2 / 1.5;
        wire.capacity = wire.copper_capacity;
        let t: f64 = time_to(&wire, 1500.0, 30.0, &[], start, limit).expect("gets there");
        let formula = (k * 1.5f64 / 1500.0).powi(2);
        assert!((t / formula - 1.0).abs() < 0.03, "{t} against {formula}");
    }
}

#[test]
fn time_to_a_limit_and_temperature_after_that_time_agree() {
    let wire = Conductor::of(Gauge::Metric(1.0), Insulation::Pvc105);
    for i in [25.0, 30.0, 60.0, 200.0] {
        if let Some(t) = time_to(&wire, i, 40.0, &[], 45.0, 105.0) {
            let reached = after(&wire, i, 40.0, &[], 45.0, t);
            assert!((reached - 105.0).abs() < 1.5, "{i} A: {reached} after {t} s");
        }
    }
    assert_eq!(time_to(&wire, 10.0, 40.0, &[], 45.0, 105.0), None);
}

#[test]
fn more_current_is_never_cooler() {
    let wire = Conductor::of(Gauge::Metric(0.5), Insulation::Silicone);
    let mut last = 40.0;
    for tenth in 1..200 {
        match steady(&wire, f64::from(tenth) / 10.0, 40.0, &[]) {
            Some(s) => {
                assert!(s.inside >= last && s.inside >= s.surface, "{tenth}");
                last = s.inside;
            }
            None => assert!(last > 300.0, "gave up at {last} °C"),
        }
    }
}

#[test]
fn a_harness_carries_what_the_wiring_handbook_allows() {
    // AC 43.13-1B table 11-9, 105 °C column: 33 or more wires, a fifth of their capacity used, 70 °C
    // air, 60,000 ft. Its altitude factor there is 0.79 (from memory). Our PTFE wire has the thin wall of
    // such wire. The table is a rating with its makers' reserve in it, so that we must not come out below
    // it, nor more than half above (20 AWG is 31 % above).
    for (awg, amperes) in [(20, 4.0), (16, 7.0), (12, 13.0)] {
        let wire = Conductor::of(Gauge::Awg(awg), Insulation::Ptfe);
        let diameter = wire.outside * (33.0 / 0.76f64).sqrt();
        let found = 0.79
            * ampacity(&wire, 70.0, 105.0, &|i| {
                vec![Bundle { diameter, others: (0.2 * 33.0 - 1.0) * i * i * wire.cold }]
            });
        assert!((1.0..1.5).contains(&(found / amperes)), "{awg} AWG: {found} A against {amperes} A");
    }
}

#[test]
fn a_wire_in_vacuum_carries_what_radiation_leaves_less_the_space_agencys_reserve() {
    // NASA EEE-INST-002 (2003), section W1, table 4, single wires in vacuum at 70 °C: 10 AWG 33 A, 12 AWG
    // 25 A, 16 AWG 13 A, 20 AWG 6.5 A, 24 AWG 3.3 A (from memory, but for 12 AWG), taken to be for wire of
    // 200 °C. Without air only our radiation remains. The table keeps a reserve that it does not print, so
    // this holds the order of magnitude and the way it goes with size: always 0.45 to 0.7 of ours.
    for (awg, amperes) in [(10, 33.0), (12, 25.0), (16, 13.0), (20, 6.5), (24, 3.3)] {
        let wire = Conductor::of(Gauge::Awg(awg), Insulation::Ptfe);
        let area = std::f64::consts::PI * wire.outside;
        let radiated = EMISSIVITY * 5.670_374e-8 * area * (473.15f64.powi(4) - 343.15f64.powi(4));
        let found = (radiated / wire.heat(1.0, 200.0)).sqrt();
        assert!((0.45..0.7).contains(&(amperes / found)), "{awg} AWG: {found} A against {amperes} A");
        assert!(ampacity(&wire, 70.0, 200.0, &|_| vec![]) > found, "{awg} AWG: no more in air");
    }
}

#[test]
fn stranded_gauges_resist_what_the_aircraft_table_prints() {
    // AC 43.13-1B table 11-9: largest resistance of tinned stranded wire at 20 °C, Ω per 1000 ft. Our
    // gauges are plain copper of the full cross-section with 4 % for stranding: 7 % above the table at
    // 18 and 20 AWG, whose strands have more copper than the gauge law, and up to 18 % below it at 10 and
    // 12 AWG, whose strands have less. So a figure for such aircraft wire is no better than that.
    for (awg, printed) in [
        (24, 28.40),
        (22, 16.20),
        (20, 9.88),
        (18, 6.23),
        (16, 4.81),
        (14, 3.06),
        (12, 2.02),
        (10, 1.26),
        (8, 0.70),
        (6, 0.44),
        (4, 0.28),
        (2, 0.18),
    ] {
        let ours = Gauge::Awg(awg).ohms_per_metre().0 * 304.8;
        assert!((0.815..1.08).contains(&(ours / printed)), "{awg} AWG: {ours} against {printed}");
    }
}

#[test]
fn the_table_of_air_says_what_the_correlation_says() {
    for (diameter, surface, air) in [
        (0.001, 41.3, 40.0),
        (0.002, 104.6, 60.2),
        (0.02, 390.0, -15.0),
        (0.1, 30.0, 45.5),
        (0.004, 799.0, 40.0),
    ] {
        let (ts, ta): (f64, f64) = (surface + ZERO_C, air + ZERO_C);
        let film = Air::at((ts + ta) / 2.0);
        let rayleigh = 9.806_65 * (ts - ta).abs() * f64::powi(diameter, 3) * film.prandtl
            / ((ts + ta) / 2.0 * film.viscosity.powi(2));
        let convection = film.conductivity * nusselt(rayleigh, film.prandtl) * (ts - ta);
        let radiation = EMISSIVITY * 5.670_374e-8 * diameter * (ts.powi(4) - ta.powi(4));
        let expected = std::f64::consts::PI * (convection + radiation);
        let (found, slope) = loss_and_slope(diameter, surface, air);
        assert!((found / expected - 1.0).abs() < 1e-6, "{found} against {expected}");
        let step = 1e-3;
        let difference = (loss(diameter, surface + step, air) - found) / step;
        assert!((slope / difference - 1.0).abs() < 1e-3, "{slope} against {difference}");
    }
}

#[test]
fn wires_of_a_robot_settle_as_each_by_itself() {
    let wire = Conductor::of(Gauge::Metric(1.0), Insulation::Pvc105);
    let ids = |w: &[usize]| w.iter().map(|&w| loomdeck_model::WireId(w)).collect::<Vec<_>>();
    let wires = super::robot::Wires {
        conductors: vec![wire; 4],
        bundles: vec![(ids(&[0, 1, 2]), 0.005), (ids(&[1, 3]), 0.004)],
        member_of: vec![vec![0], vec![0, 1], vec![0], vec![1]],
    };
    let (currents, air) = ([4.0, 0.0, 6.0, 200.0], [40.0, 40.0, 55.0, 40.0]);
    for (w, found) in wires.steady(&currents, &air).into_iter().enumerate() {
        let bundles = wires.bundles_of(loomdeck_model::WireId(w), &currents);
        let alone = steady(&wire, currents[w], air[w], &bundles);
        let inside = |s: Option<Settled>| s.map_or(HOTTEST, |s| s.inside);
        assert!((inside(found) - inside(alone)).abs() < 1e-9, "{found:?} against {alone:?}");
    }
}
