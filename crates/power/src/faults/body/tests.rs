#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::course::{Heating, Losses, follow};
use super::shell::{DISCHARGE, Draught, Shell, film, nusselt_plate, stack_flow};
use super::*;
use crate::faults::testing::Room;
use crate::testing::measured;

const ROOM: Room<BodyHeat> = Room { pages: PAGES, study, findings };

#[test]
fn every_page_shows_its_finding_and_its_cure() {
    ROOM.keeps_its_pages();
}

#[test]
fn every_change_of_the_files_removes_its_finding() {
    let tried = ROOM.edits_cure(|_, _| true);
    assert!(tried.len() >= 5, "{tried:?}");
}

/// A shell without wall resistance on which both faces see still air.
fn thin(surface: f64, height: f64) -> Shell {
    Shell { surface, height, resistance: 0.0, emissivity: 0.9, outside: 20.0, sun: 0.0 }
}

#[test]
fn still_air_at_an_upright_surface_meets_the_handbook() {
    // ASHRAE Handbook Fundamentals, table of surface film coefficients: still air, vertical surface of
    // emittance 0.90, heat flow horizontal: 8.29 W/(m²·K) (from memory), stated for a surface near
    // 24 °C that differs from the air by 5.5 K. Bound set before looking: 15 %.
    let radiation = 0.9 * 4.0 * 5.670_374e-8 * (297.0_f64).powi(3);
    let convection = film(2.4, 26.75, 21.25);
    assert!(((convection + radiation) / 8.29 - 1.0).abs() < 0.15, "{convection} {radiation}");
    // Its convective part: 1.31·ΔT^(1/3) for turbulent free convection at upright plates in air
    // (McAdams, Heat Transmission, 3rd ed. 1954, in SI; from memory) from about 10⁹ on.
    let tall = film(2.0, 60.0, 20.0);
    assert!((tall / (1.31 * 40f64.cbrt()) - 1.0).abs() < 0.15, "{tall}");
    // and 1.42·(ΔT/L)^(1/4) below (the same).
    let low = film(0.2, 40.0, 20.0);
    assert!((low / (1.42 * (20.0f64 / 0.2).powf(0.25)) - 1.0).abs() < 0.15, "{low}");
    // No difference, no flow: the constant of the formula stays.
    assert!((nusselt_plate(0.0, 0.7) - 0.825 * 0.825).abs() < 1e-12);
}

#[test]
fn a_sealed_box_meets_the_rule_of_cabinet_makers() {
    // ΔT = P/(k·A) with k = 5.5 W/(m²·K) for painted sheet steel and 3.5 for plastic: the usual rule for
    // closed cabinets (from memory; it never decides alone). Steel cabinets are taken with moved air
    // inside, so ours may be up to a third warmer and must not be cooler; plastic within 25 %.
    let steel = Shell { resistance: 0.0015 / 50.0, ..thin(1.0, 0.8) };
    let rise = steel.settles(100.0, 1.0, |_| 0.0) - 20.0;
    assert!((100.0 / 5.5..100.0 / 5.5 * 1.5).contains(&rise), "{rise}");
    let plastic = Shell { resistance: 0.003 / 0.2, ..thin(1.0, 0.8) };
    let rise = plastic.settles(70.0, 1.0, |_| 0.0) - 20.0;
    assert!((rise / (70.0 / 3.5) - 1.0).abs() < 0.25, "{rise}");
}

#[test]
fn the_fan_law_meets_its_worked_example() {
    // Q = P/(ρ·cp·ΔT). The cabinet makers' form is V = 3.1·P/ΔT in m³/h near sea level (from memory):
    // 200 W and 10 K want 62 m³/h. Within 5 %: it holds for 1.15 kg/m³.
    let fan = Draught { fan: 62.0 / 3600.0, ..Draught::default() };
    let watts = fan.heat(40.0, 30.0, 1.0);
    assert!((watts / 200.0 - 1.0).abs() < 0.05, "{watts}");
}

#[test]
fn warm_air_climbs_as_the_formula_says() {
    // Equal openings of 0.01 m², 1 m apart, 10 K at a mean of 300 K: A* = 0.01/√2,
    // √(2·9.807·10/300) = 0.8086 m/s: Q = 0.61·0.007071·0.8086 = 3.488e-3 m³/s.
    let flow = stack_flow(0.01, 0.01, 1.0, 31.85, 21.85);
    assert!((flow - DISCHARGE * 0.01 / 2f64.sqrt() * 0.8086).abs() < 1e-6, "{flow}");
    assert_eq!(stack_flow(0.01, 0.0, 1.0, 30.0, 20.0), 0.0);
    assert_eq!(stack_flow(0.01, 0.01, 1.0, 19.0, 20.0), 0.0);
}

#[test]
fn with_a_fan_alone_the_air_follows_its_exponential() {
    // No wall to speak of: C·dT/dt = P − ρ·cp·Q·ΔT has ΔT = P/G·(1 − exp(−t·G/C)).
    let shell = Shell { surface: 1e-9, ..thin(1e-9, 0.5) };
    let losses = Losses::of(&shell, 1.0);
    let fan = Draught { fan: 0.01, ..Draught::default() };
    let g = fan.heat(21.0, 20.0, 1.0);
    let (capacity, watts) = (9000.0, 100.0);
    let course = follow(&[Heating { watts, seconds: 1200.0 }], &losses, &fan, capacity);
    for (t, at) in &course.points {
        let expected = 20.0 + watts / g * (1.0 - (-t * g / capacity).exp());
        assert!((at - expected).abs() < 1e-4 * (watts / g), "{t}: {at} {expected}");
    }
}

#[test]
fn what_lasts_settles_where_the_day_goes() {
    let shell = Shell { resistance: 0.015, ..thin(1.5, 0.8) };
    let losses = Losses::of(&shell, 1.0);
    let vents = Draught { low: 0.004, high: 0.006, height: 0.5, fan: 0.0 };
    let settled = shell.settles(120.0, 1.0, |t| vents.heat(t, 20.0, 1.0));
    let course = follow(&[Heating { watts: 120.0, seconds: 2e5 }], &losses, &vents, 9000.0);
    let end = course.points.last().unwrap().1;
    // The table between its entries: a thousandth of the rise.
    assert!((end - settled).abs() < 1e-3 * (settled - 20.0), "{end} {settled}");
    // The balance closes: what the wall and the air carry is what goes in.
    let out = shell.loss(settled, 1.0) + vents.heat(settled, 20.0, 1.0);
    assert!((out - 120.0).abs() < 1e-6, "{out}");
}

#[test]
fn the_sun_warms_and_an_open_zone_does_not() {
    let text = PAGES[1].before;
    let sunny = text.replace("outside_degc = 30\n", "outside_degc = 30\nsun_w = 100\n");
    let peak = |t: &str| ROOM.found(t).0.day.unwrap().peak.likely.0;
    assert!(peak(&sunny) > peak(text) + 3.0);
    let open = text.replace("path_mm = 100\n", "path_mm = 100\noutside = true\n");
    let heat = ROOM.found(&open).0;
    assert!(heat.situations[0].inside.0 < 1e-9 && heat.situations[0].outside.0 > 40.0);
    assert!((heat.day.unwrap().peak.likely.0 - 30.0).abs() < 1e-6);
}

#[test]
fn heat_and_what_leaves_add_up_to_what_the_battery_gives() {
    let (heat, _) = ROOM.found(PAGES[0].before);
    let s = &heat.situations[0];
    let robot = loomdeck_model::testing::robot(PAGES[0].before);
    let power = crate::study(&robot, &measured(&robot));
    let given = match &power.situations[0].parts[0].elements[0] {
        crate::ElementResult::Battery { current, .. } => {
            current.0
                * crate::circuit::open_circuit(
                    crate::fuse::reach::battery(&robot, loomdeck_model::PartId(0)).unwrap(),
                    0.8,
                )
        }
        _ => unreachable!(),
    };
    let sum = s.inside.0 + s.outside.0 + s.leaves.0 + s.work.0;
    assert!((sum / given - 1.0).abs() < 1e-3, "{sum} {given}");
    assert!(s.leaves.0 > 0.25 * given && s.leaves.0 < 0.31 * given);
}
