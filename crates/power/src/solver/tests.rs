#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::*;
use crate::netlist::*;

fn item(name: &str, device: Device) -> Item {
    Item { name: name.to_owned(), active: true, device }
}

fn net(nodes: usize, devices: Vec<Device>) -> Netlist {
    Netlist {
        nodes: (0..nodes).map(|n| format!("n{n}")).collect(),
        items: devices.into_iter().enumerate().map(|(i, d)| item(&format!("e{i}"), d)).collect(),
    }
}

fn branch(a: usize, b: usize, resistance_ohm: f64, emf_v: f64) -> Device {
    Device::Branch { a, b, resistance_ohm, emf_v }
}

fn load(a: usize, b: usize, kind: LoadKind, current_a: f64, nominal_v: f64) -> Device {
    Device::Load { a, b, kind, current_a, nominal_v, bleed_s: 0.0 }
}

struct Run {
    fed: islands::Fed,
    pattern: Pattern,
    reached: Reached,
}

fn run(mut netlist: Netlist) -> Run {
    let fed = islands::analyse(&netlist);
    for (item, carries) in netlist.items.iter_mut().zip(&fed.carries) {
        item.active &= carries;
    }
    let pattern = Pattern::of(&netlist);
    let zero = guess(&netlist, &pattern, &fed);
    let core = core_of(&netlist, &pattern);
    let solver = Solver::of(&core, &netlist, &fed.references);
    let start = solve(&solver, &netlist, &zero, 0.0).expect("no load");
    let reached = to_full_load(&netlist, &pattern, &solver, &start, 1.0, &|_, _| {}).expect("branch");
    Run { fed, pattern, reached }
}

impl Run {
    fn extra(&self, item: usize) -> f64 {
        self.reached.point.x[self.pattern.extra[item]]
    }
    fn v(&self, a: usize, b: usize) -> f64 {
        self.reached.point.x[a] - self.reached.point.x[b]
    }
}

fn close(a: f64, b: f64, relative: f64) {
    assert!((a - b).abs() <= relative * b.abs().max(1e-12), "{a} is not {b}");
}

#[test]
fn battery_wire_and_resistor_divide_by_ohms_law() {
    let r = run(net(3, vec![branch(0, 1, 0.05, 12.6), branch(1, 2, 0.1, 0.0), branch(2, 0, 6.0, 0.0)]));
    close(r.extra(1), 12.6 / 6.15, 1e-13);
    close(r.v(2, 0), 12.6 * 6.0 / 6.15, 1e-13);
}

#[test]
fn a_wire_without_resistance_is_an_ordinary_wire() {
    let r = run(net(3, vec![branch(0, 1, 0.05, 12.0), branch(1, 2, 0.0, 0.0), branch(2, 0, 5.95, 0.0)]));
    close(r.extra(1), 2.0, 1e-13);
}

/// Lambert's W by Halley's method, for the closed form of a diode behind a resistor.
fn lambert_w(x: f64) -> f64 {
    let mut w = (1.0 + x).ln() * 0.7;
    for _ in 0..60 {
        let e = w.exp();
        let f = w * e - x;
        w -= f / (e * (w + 1.0) - (w + 2.0) * f / (2.0 * w + 2.0));
    }
    w
}

#[test]
fn a_diode_behind_a_resistor_follows_lamberts_w() {
    // I = (nVt/R)·W((Is·R/nVt)·exp((V + Is·R)/nVt)) − Is: T. C. Banwell, A. Jayakumar, "Exact
    // analytical solution for current flow through diode with series resistance", Electronics
    // Letters 36 (2000) 291.
    for (is, s, r, v) in
        [(5e-12f64, 0.0258f64, 10.0f64, 5.0f64), (1e-8, 0.05, 0.5, 3.0), (5e-12, 0.0258, 100.0, 0.6)]
    {
        let exact = s / r * lambert_w(is * r / s * ((v + is * r) / s).exp()) - is;
        let solved = run(net(
            2,
            vec![
                branch(0, 1, 0.0, v),
                Device::Diode { a: 1, b: 0, saturation_a: is, slope_v: s, series_ohm: r, leak_s: 0.0 },
            ],
        ));
        close(solved.extra(0), exact, 1e-9);
    }
}

#[test]
fn a_diode_obeys_the_worked_example_of_the_school_book() {
    // NCERT Physics class XII, exercise 14.10: I0 = 5 pA, T = 300 K, k = 8.6e-5 eV/K: 0.063 A at 0.6 V.
    let (i, _) = law::junction(5e-12, 8.6e-5 * 300.0, 0.0, 0.6);
    close(i, 0.0629, 0.01);
    let (j, _) = law::junction(5e-12, 8.6e-5 * 300.0, 0.0, 0.7);
    close(j, 3.03, 0.01);
}

#[test]
fn of_the_two_roots_of_a_constant_power_load_the_upper_is_taken() {
    for (v, r, p) in
        [(24.0f64, 0.5f64, 100.0f64), (12.0, 0.1, 359.0), (24.0, 0.01, 5.0), (12.0, 0.1, 359.99)]
    {
        let exact = v / 2.0 + (v * v / 4.0 - p * r).sqrt();
        let solved = run(net(2, vec![branch(0, 1, r, v), load(1, 0, LoadKind::Power, p / v, v)]));
        assert_eq!(solved.reached.end, None, "{v} {r} {p}");
        close(solved.v(1, 0), exact, 1e-9);
    }
}

#[test]
fn the_branch_ends_where_the_power_exceeds_a_quarter_of_v_squared_over_r() {
    for (v, r, p) in [(24.0, 0.5, 400.0), (12.0, 0.1, 360.5), (12.0, 2.0, 1000.0), (48.0, 1.3, 2000.0)] {
        let fraction = v * v / (4.0 * r) / p;
        let solved = run(net(2, vec![branch(0, 1, r, v), load(1, 0, LoadKind::Power, p / v, v)]));
        assert_eq!(solved.reached.end, Some(End::Collapse(1)), "{v} {r} {p}");
        close(solved.reached.point.fraction, fraction, 1e-6);
    }
}

#[test]
fn the_load_whose_voltage_falls_fastest_ends_the_branch() {
    // Two loads on one battery; the second sits behind a long wire.
    let solved = run(net(
        3,
        vec![
            branch(0, 1, 0.02, 24.0),
            load(1, 0, LoadKind::Power, 5.0, 24.0),
            branch(1, 2, 2.0, 0.0),
            load(2, 0, LoadKind::Power, 4.0, 24.0),
        ],
    ));
    assert_eq!(solved.reached.end, Some(End::Collapse(3)));
    assert!(solved.reached.point.fraction > 0.5 && solved.reached.point.fraction < 1.0);
}

fn converter(limit_a: f64) -> Device {
    Device::Converter {
        in_plus: 1,
        in_minus: 0,
        out_plus: 2,
        out_minus: 0,
        output_v: 5.0,
        limit_a,
        drop_out_v: Some(1.0),
        loss: vec![(0.0, 0.1), (1.0, 0.6), (5.0, 3.0)],
        floor_v: 2.0,
        bleed_s: 1e-6,
    }
}

#[test]
fn a_converter_regulates_follows_and_limits() {
    let bus = |v: f64, out: Device| run(net(3, vec![branch(0, 1, 0.0, v), converter(5.0), out]));
    let regulating = bus(12.0, load(2, 0, LoadKind::Current, 2.0, 5.0));
    close(regulating.v(2, 0), 5.0, 1e-9);
    // 10 W out and 1.2 W lost at 2 A, at 12 V.
    close(regulating.extra(0), (10.0 + 0.6 + 0.6 * (1.0 + 5e-6)) / 12.0, 1e-4);
    let following = bus(5.2, load(2, 0, LoadKind::Current, 2.0, 5.0));
    close(following.v(2, 0), 4.2, 1e-9);
    let limiting = bus(12.0, load(2, 0, LoadKind::Resistance, 20.0, 5.0));
    close(limiting.v(2, 0), 5.0 * 0.25, 1e-4);
    close(limiting.extra(1), 5.0, 1e-9);
}

fn driven(duty: Duty, kind: MotorKind) -> Netlist {
    net(
        4,
        vec![
            branch(0, 1, 0.05, 24.0),
            Device::Channel { plus: 1, minus: 0, a: 2, b: 3, on_ohm: 0.02, motor: Some(2), duty },
            Device::Motor { a: 2, b: 3, resistance_ohm: 0.5, kind },
        ],
    )
}

#[test]
fn a_driver_finds_the_duty_that_holds_a_speed() {
    let kind = MotorKind::Driven { current_a: 4.0, emf_v: 10.0 };
    let solved = run(driven(Duty::Find { sense: 1.0 }, kind));
    // The motor needs 10 + 4·0.5 = 12 V and the bridge loses 4·0.02; the bus gives power.
    let power = (12.0 + 0.08) * 4.0;
    let bus = 12.0 + (144.0f64 - power * 0.05).sqrt();
    close(solved.v(1, 0), bus, 1e-9);
    let k = solved.pattern.extra[1];
    close(solved.reached.point.x[k], 4.0, 1e-9);
    close(solved.reached.point.x[k + 2], 12.08 / bus, 1e-9);
}

#[test]
fn backwards_is_the_same_with_the_sign_turned() {
    let forwards =
        run(driven(Duty::Find { sense: 1.0 }, MotorKind::Driven { current_a: 4.0, emf_v: 10.0 }));
    let back =
        run(driven(Duty::Find { sense: 1.0 }, MotorKind::Driven { current_a: -4.0, emf_v: -10.0 }));
    let k = forwards.pattern.extra[1];
    close(back.reached.point.x[k + 2], -forwards.reached.point.x[k + 2], 1e-9);
    close(back.v(1, 0), forwards.v(1, 0), 1e-12);
}

#[test]
fn a_duty_cannot_exceed_one_and_the_motor_turns_slower() {
    let kind = MotorKind::Driven { current_a: 4.0, emf_v: 30.0 };
    let solved = run(driven(Duty::Find { sense: 1.0 }, kind));
    let k = solved.pattern.extra[1];
    close(solved.reached.point.x[k + 2], 1.0, 1e-12);
    close(solved.v(2, 3), 24.0 - 4.0 * (0.05 + 0.02), 1e-9);
}

#[test]
fn a_stalled_motor_is_held_at_the_peak_current() {
    let stalled = MotorKind::Turned { emf_v: 0.0 };
    let free = run(driven(Duty::Fixed { value: 1.0, peak_a: 100.0 }, stalled));
    close(free.extra(0), 24.0 / 0.57, 1e-9);
    let held = run(driven(Duty::Fixed { value: -1.0, peak_a: 20.0 }, stalled));
    close(held.reached.point.x[held.pattern.extra[1]], -20.0, 1e-9);
}

#[test]
fn a_charger_gives_current_first_and_voltage_later() {
    let with = |emf: f64| {
        run(net(
            2,
            vec![
                branch(0, 1, 0.1, emf),
                Device::Charger { plus: 1, minus: 0, current_a: 5.0, voltage_v: 29.0 },
            ],
        ))
    };
    close(with(25.0).extra(1), 5.0, 1e-12);
    close(with(28.8).extra(1), 2.0, 1e-9);
    assert!(with(30.0).extra(1).abs() < 1e-12);
}

#[test]
fn what_nothing_feeds_is_said_so_and_not_solved_as_zero() {
    // A lamp with its return missing, a lone pair of terminals, and a lamp that is fed.
    let solved = run(net(
        6,
        vec![
            branch(0, 1, 0.05, 12.0),
            load(1, 2, LoadKind::Current, 1.0, 12.0),
            load(1, 0, LoadKind::Current, 1.0, 12.0),
            branch(3, 4, 0.01, 0.0),
            load(4, 5, LoadKind::Power, 1.0, 12.0),
        ],
    ));
    assert_eq!(solved.fed.carries, [true, false, true, true, false]);
    assert_eq!(solved.fed.nodes, [true, true, false, false, false, false]);
    close(solved.extra(0), 1.0, 1e-12);
}

#[test]
fn a_converter_without_input_feeds_nothing() {
    let fed = islands::analyse(&net(
        4,
        vec![branch(0, 3, 0.05, 12.0), converter(5.0), load(2, 0, LoadKind::Power, 1.0, 5.0)],
    ));
    assert_eq!(fed.carries, [true, false, false]);
}

#[test]
fn a_dead_short_is_solved_not_refused() {
    let solved = run(net(2, vec![branch(0, 1, 0.01, 12.0), branch(1, 0, 0.002, 0.0)]));
    close(solved.extra(1), 1000.0, 1e-12);
}

#[test]
fn a_converter_at_its_limit_ends_the_branch_of_constant_power() {
    // 8 A wanted at constant power, 5 A is the limit, of which the converter's own bleed takes 5 µA:
    // five eighths of the load, and no more.
    let solved = run(net(
        3,
        vec![branch(0, 1, 0.0, 12.0), converter(5.0), load(2, 0, LoadKind::Power, 8.0, 5.0)],
    ));
    assert_eq!(solved.reached.end, Some(End::Limit(1)));
    close(solved.reached.point.fraction, (5.0 - 5e-6) / 8.0, 1e-7);
    close(solved.v(2, 0), 5.0, 1e-6);
}

#[test]
fn beyond_a_limit_the_branch_goes_on_while_resistors_outweigh_constant_power() {
    // 4 A as a resistor and 3 A as constant power at 5 V, limit 5 A: λ·(0.8·v + 15/v) = 5 folds at
    // v = √(15/0.8), beyond the corner at λ = 5/7.
    let solved = run(net(
        3,
        vec![
            branch(0, 1, 0.0, 12.0),
            converter(5.0),
            load(2, 0, LoadKind::Power, 3.0, 5.0),
            load(2, 0, LoadKind::Resistance, 4.0, 5.0),
        ],
    ));
    assert_eq!(solved.reached.end, Some(End::Collapse(2)));
    close(solved.reached.point.fraction, 5.0 / (2.0 * (0.8f64 * 15.0).sqrt()), 1e-6);
    close(solved.v(2, 0), (15.0f64 / 0.8).sqrt(), 1e-3);
}

#[test]
fn a_falling_window_ends_the_branch_where_it_is_crossed() {
    // 24 V behind 1 Ω, constant current up to 10 A: 20 V are left at 4 A.
    let netlist = net(2, vec![branch(0, 1, 1.0, 24.0), load(1, 0, LoadKind::Current, 10.0, 24.0)]);
    let fed = islands::analyse(&netlist);
    let pattern = Pattern::of(&netlist);
    let core = core_of(&netlist, &pattern);
    let solver = Solver::of(&core, &netlist, &fed.references);
    let start = solve(&solver, &netlist, &guess(&netlist, &pattern, &fed), 0.0);
    let window = |x: &[f64], each: &mut dyn FnMut(usize, f64)| each(1, x[1] - x[0] - 20.0);
    let reached = to_full_load(&netlist, &pattern, &solver, &start.unwrap(), 1.0, &window).unwrap();
    assert_eq!(reached.end, Some(End::Condition(1)));
    close(reached.point.fraction, 0.4, 1e-6);
}

#[test]
fn a_branch_whose_end_is_known_roughly_is_met_again() {
    let of = |ohms: f64| net(2, vec![branch(0, 1, ohms, 24.0), load(1, 0, LoadKind::Power, 20.0, 24.0)]);
    let first = run(of(0.5));
    let warmer = of(0.502);
    let near = to_full_load_near(
        &warmer,
        &first.pattern,
        &Solver::of(&core_of(&warmer, &first.pattern), &warmer, &first.fed.references),
        &first.reached.point,
        1.0,
        &|_, _| {},
    );
    let fraction = 24.0 * 24.0 / (4.0 * 0.502) / 480.0;
    close(near.expect("met").point.fraction, fraction, 1e-6);
}

/// Numbers are printed in full, so that equal texts are equal bit by bit.
#[test]
fn a_study_gives_the_same_bits_each_time() {
    let robot = loomdeck_model::testing::robot(&crate::testing::ladder(12));
    let geometry = crate::testing::measured(&robot);
    let text = || format!("{:?}", crate::study(&robot, &geometry));
    let first = text();
    assert!(first.len() > 1000);
    assert_eq!(first, text());
}
