#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::drag::{Drag, rim_force, shorted_force, stretch};
use super::*;
use crate::faults::testing::Room;
use loomdeck_model::WireId;
use loomdeck_model::element::LocalNode;

const ROOM: Room<Motion> = Room { pages: PAGES, study, findings };

#[test]
fn every_page_shows_its_finding_and_its_cure() {
    ROOM.keeps_its_pages();
}

#[test]
fn every_finding_has_numbers() {
    for f in ROOM.told_before() {
        assert!(!f.values.is_empty(), "{}", f.slug);
    }
}

fn motor() -> Motor {
    Motor {
        a: LocalNode(0),
        b: LocalNode(1),
        resistance: Ohms(0.65),
        constant: 0.068,
        no_load: Amperes(0.8),
        gear_ratio: 25.0,
        gear_efficiency: 0.75,
        back_drivable: true,
        wheel: Some(Millimetres(200.0)),
        continuous: Amperes(5.5),
        nominal: Volts(24.0),
    }
}

#[test]
fn a_generator_into_a_battery_follows_its_load_line() {
    // Closed form: i = (k·ω − V − 2·u(i))/R with every diode's u(i) = n·ln(1 + i/Is); solved here by
    // bisection, independently of the network's Newton iteration.
    ROOM.with(ROOM.page("pushed-bus-too-high").after, |g, found| {
        let push = found.pushes.iter().find(|p| p.with_battery && p.name == "switched on").unwrap();
        let (wheel, _, m) = wheels(g.robot)[0];
        assert_eq!(g.robot.parts[wheel.0].name, "wheel");
        let last = push.points.last().unwrap();
        let emf = m.constant * 25.0 / 0.1 * last.speed_m_s;
        let bus = push.buses[0].series.last().unwrap().1;
        let saturation = crate::solver::law::saturation(0.9, 10.0, crate::circuit::BODY_SLOPE, 0.0);
        let leads: f64 = ["motor-a", "motor-b"]
            .iter()
            .map(|w| g.ohms(SituationId(0))[g.robot.wire(w).unwrap().0])
            .sum();
        let (mut low, mut high) = (0.0, 100.0);
        for _ in 0..200 {
            let i: f64 = (low + high) / 2.0;
            let drop = 2.0 * crate::circuit::BODY_SLOPE * (i / saturation).ln_1p();
            if emf - bus - drop - i * (m.resistance.0 + leads) > 0.0 { low = i } else { high = i }
        }
        assert!((last.generated_a / low - 1.0).abs() < 1e-6, "{} against {low}", last.generated_a);
        // All of it is felt at the rim: k·(i + i₀)·N/(η·r) and rolling resistance.
        let felt = 0.068 * (low + 0.8) * 25.0 / 0.75 / 0.1 + 40.0 * 9.806_65 * 0.025;
        assert!((last.force_n / felt - 1.0).abs() < 1e-6);
    });
}

#[test]
fn with_nothing_to_take_the_current_the_voltage_follows_the_speed() {
    ROOM.with(ROOM.page("pushed-bus-too-high").before, |_, found| {
        let off = found.pushes.iter().find(|p| p.with_battery && p.name == "switched off").unwrap();
        let series = &off.buses[0].series;
        let per = 0.068 * 25.0 / 0.1;
        for &(v, u) in &series[2..] {
            // Two diodes that carry next to nothing drop between nothing and 0.9 V each.
            assert!(u < per * v && u > per * v - 1.8, "{u} V at {v} m/s");
        }
        let victim = off.victims.iter().find(|v| v.name == "driver").unwrap();
        assert!(victim.at_m_s > 35.0 / per && victim.at_m_s < 36.8 / per, "{}", victim.at_m_s);
        assert!(off.points.iter().all(|p| p.into_battery_a.abs() < 1e-3));
    });
}

#[test]
fn with_the_diode_the_bus_stays_near_the_battery_and_nothing_is_live_at_rest() {
    ROOM.with(ROOM.page("pushed-bus-too-high").after, |_, found| {
        let off = found.pushes.iter().find(|p| p.with_battery && p.name == "switched off").unwrap();
        let (rest, end) = (off.buses[0].series[0].1, off.buses[0].series.last().unwrap().1);
        assert!(rest < 0.5, "{rest} V at rest");
        assert!(end < 16.0, "{end} V");
        let diode = &off.diodes[0];
        assert!(diode.current_a > 30.0 && diode.junction_c.unwrap() > 80.0);
        // Junction: air + K/W · V · A, by hand.
        let by_hand = 40.0 + 2.2 * diode.current_a * diode.forward_v;
        assert!((diode.junction_c.unwrap() - by_hand).abs() < 1e-9);
        let names: Vec<&str> = off.way.iter().map(|w| w.name.as_str()).collect();
        assert!(
            names.contains(&"back-1") && names.contains(&"heart") && !names.contains(&"feed-2"),
            "{names:?}"
        );
        assert!(off.way.iter().any(|w| w.name == "heart" && w.unfused));
        assert!(off.way.iter().any(|w| w.name == "back-1" && !w.unfused));
    });
}

#[test]
fn a_worm_gearbox_gives_nothing() {
    let text = ROOM
        .page("pushed-bus-too-high")
        .before
        .replace("drive-gearmotor-24v-100w", "turning-gearmotor-24v-30w");
    ROOM.with(&text.replace("speed_m_s = 0.4", "speed_m_s = 0"), |_, found| {
        assert!(found.pushes.is_empty());
        assert!(!found.motors[0].turns_back && found.motors[0].told.contains("cannot be turned"));
    });
}

#[test]
fn a_textbook_motor() {
    // A permanent-magnet motor of 0.5 V·s/rad and 0.5 Ω on 100 V turns at 180 rad/s with 20 A and gives
    // 10 N·m: Fitzgerald, Kingsley, Umans, Electric Machinery, chapter on DC machines, relations
    // E = K·ω, T = K·I, V = E + I·R (numbers our own; relations from memory).
    let m = Motor {
        constant: 0.5,
        resistance: Ohms(0.5),
        no_load: Amperes(0.0),
        gear_ratio: 1.0,
        gear_efficiency: 1.0,
        ..motor()
    };
    let emf: f64 = 0.5 * 180.0;
    assert!((emf + 20.0 * 0.5 - 100.0_f64).abs() < 1e-12);
    // The same torque felt at a rim of 0.1 m.
    assert!((rim_force(&m, 20.0) - 10.0 / 0.1).abs() < 1e-9);
    // Most power back: a quarter of E²/R, at half the short-circuit current.
    let (i, p) = most_back(&m, emf, 0.0, 1e3);
    assert!((i - 90.0).abs() < 1e-9 && (p - emf * emf / (4.0 * 0.5)).abs() < 1e-9);
    let (i, p) = most_back(&m, emf, 0.0, 20.0);
    assert!((i - 20.0).abs() < 1e-12 && (p - (90.0 * 20.0 - 200.0)).abs() < 1e-9);
}

#[test]
fn energy_into_a_capacitor() {
    // ½·C·(V² − V₀²) = E.
    let v = lifted(24.0, 10.0, 2e-3);
    assert!((0.5 * 2e-3 * (v * v - 24.0 * 24.0) - 10.0).abs() < 1e-9);
}

#[test]
fn coasting_against_a_constant_and_a_viscous_drag() {
    let flat = Drag { points: vec![(0.0, 20.0), (3.0, 20.0)] };
    let c = flat.coast(40.0, 0.0, 2.0);
    // v/a and v²/(2·a) with a = ½ m/s².
    assert!((c.time_s.unwrap() - 4.0).abs() < 1e-12 && (c.distance_m.unwrap() - 4.0).abs() < 1e-12);
    // m·dv/dt = −(F + B·v): t = (m/B)·ln(1 + B·v/F), s = (m/B)·(v − (F/B)·ln(1 + B·v/F)).
    let (f, b, m, v) = (20.0, 15.0, 40.0, 2.0);
    let viscous = Drag { points: vec![(0.0, f), (1.0, f + b), (3.0, f + 3.0 * b)] };
    let c = viscous.coast(m, 0.0, v);
    let log = (1.0 + b * v / f).ln();
    assert!((c.time_s.unwrap() - m / b * log).abs() < 1e-12);
    assert!((c.distance_m.unwrap() - m / b * (v - f / b * log)).abs() < 1e-12);
    // Down a slope: balance where the drag is the pull.
    assert_eq!(viscous.coast(m, 35.0, v).settles_m_s, Some(1.0));
    assert_eq!(viscous.balance(19.0), None);
    let (t, s) = stretch(0.0, 1.0, 0.5, 0.5 * (1.0 + 1e-7));
    assert!((t - 2.0).abs() < 1e-6 && (s - 1.0).abs() < 1e-6);
}

#[test]
fn shorted_windings_let_it_creep() {
    let m = motor();
    // (k·N/r)²/(R·η).
    let expected = (0.068 * 25.0 / 0.1_f64).powi(2) / (0.65 * 0.75);
    assert!((shorted_force(&m) / expected - 1.0).abs() < 1e-12);
    ROOM.with(ROOM.page("rolls-away-on-slope").before, |g, found| {
        let s = found.slope.as_ref().unwrap();
        let angle = 0.12_f64.atan();
        assert!((s.pull_n - 40.0 * 9.806_65 * angle.sin()).abs() < 1e-9);
        // Off, the motors brake only once their voltage passes the bus's and the way opens; shorted, at once.
        assert!(s.settles_m_s.unwrap() > 0.25 && s.shorted_m_s.unwrap() < 0.1);
        let by_hand = 40.0 * 9.806_65 * 0.025 * angle.cos() + 0.068 * 0.8 * 25.0 / 0.75 / 0.1;
        assert!((s.hold_n / by_hand - 1.0).abs() < 1e-6, "{} against {by_hand}", s.hold_n);
        assert!(open_force(g.robot) > s.hold_n);
    });
}

#[test]
fn braking_gives_back_what_the_motor_does_not_lose() {
    ROOM.with(ROOM.page("braking-overcharges").before, |g, found| {
        let b = found.braking.as_ref().unwrap();
        let p = b.points.last().unwrap();
        let emf = 0.068 * 25.0 / 0.1 * p.speed_m_s;
        let (_, watts) = most_back(&motor(), emf, 0.024, 20.0);
        assert!((p.power_w / watts - 1.0).abs() < 1e-9);
        // What reaches the battery is that less the leads and the driver's own 30 mA.
        let into = p.into_battery_a * p.bus_v;
        assert!(into < watts && into > 0.93 * watts, "{into} of {watts} W");
        assert_eq!(b.battery, g.robot.part("battery"));
        assert!(found.dumps.iter().any(|d| d.name == "switch" && !d.way_left));
    });
    ROOM.with(ROOM.page("pushed-bus-too-high").after, |_, found| {
        assert!(found.dumps.iter().any(|d| d.name == "switch" && d.way_left), "{:?}", found.dumps);
        assert!(found.dumps.iter().any(|d| d.name == "fuse" && !d.way_left));
    });
}

#[test]
fn no_wire_of_the_way_is_forgotten() {
    ROOM.with(ROOM.page("pushed-bus-too-high").after, |g, found| {
        let on = found.pushes.iter().find(|p| p.with_battery && p.name == "switched on").unwrap();
        // Everything between wheel and battery carries it, and nothing else does.
        let all: Vec<WireId> = on.way.iter().map(|w| w.wire).collect();
        let names: Vec<&str> = all.iter().map(|w| g.robot.wires[w.0].name.as_str()).collect();
        for wire in ["heart", "feed-1", "feed-2", "feed-3", "feed-4", "return", "motor-a", "motor-b"] {
            assert!(names.contains(&wire), "{wire} is missing: {names:?}");
        }
    });
}

#[test]
fn a_leakage_is_no_brake() {
    let leaky = Drag { points: vec![(0.0, 50.0), (2.0, 50.001)] };
    let c = leaky.coast(40.0, 60.0, 1.0);
    assert!(c.endless && c.settles_m_s == Some(f64::INFINITY));
    assert!(!leaky.coast(40.0, 40.0, 1.0).endless);
}
