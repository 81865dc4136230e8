//! Laws that every solution obeys, over random networks.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::*;
use crate::netlist::*;
use proptest::prelude::*;

/// One random element between two nodes.
#[derive(Clone, Debug)]
enum Piece {
    Wire(f64),
    Load(LoadKind, f64),
    Diode,
    Motor(f64),
}

fn piece() -> impl Strategy<Value = Piece> {
    prop_oneof![
        4 => (1e-4..0.5f64).prop_map(Piece::Wire),
        1 => Just(Piece::Wire(1e-6)),
        2 => (0.01..3.0f64).prop_map(|i| Piece::Load(LoadKind::Power, i)),
        1 => (0.01..3.0f64).prop_map(|i| Piece::Load(LoadKind::Current, i)),
        1 => (0.01..3.0f64).prop_map(|i| Piece::Load(LoadKind::Resistance, i)),
        1 => Just(Piece::Diode),
        1 => (0.1..4.0f64).prop_map(Piece::Motor),
    ]
}

/// Nodes 0 and 1 are the poles of the battery; a spine of wires makes most of the rest fed.
fn network() -> impl Strategy<Value = Netlist> {
    (4usize..14).prop_flat_map(|n| {
        let pieces = prop::collection::vec((0..n, 0..n, piece()), 4..30);
        let spine = prop::collection::vec(1e-4..0.3f64, n - 2);
        let more = (prop::bool::ANY, prop::option::of(drive()), prop::bool::weighted(0.3));
        (Just(n), 6.0..30.0f64, 0.005..0.3f64, spine, pieces, more).prop_map(build)
    })
}

/// A bridge with its motor: a duty to hold or a speed, the current of its torque, a winding.
fn drive() -> impl Strategy<Value = (Duty, MotorKind, f64)> {
    let held = (-1.0..1.0f64, 1.0..20.0f64, 0.1..4.0f64).prop_map(|(value, peak_a, current_a)| {
        (Duty::Fixed { value, peak_a }, MotorKind::Loaded { current_a })
    });
    let stalled = (-1.0..1.0f64, 1.0..20.0f64)
        .prop_map(|(value, peak_a)| (Duty::Fixed { value, peak_a }, MotorKind::Turned { emf_v: 0.0 }));
    let found = (0.1..4.0f64, 1.0..10.0f64).prop_map(|(current_a, emf_v)| {
        (Duty::Find { sense: 1.0 }, MotorKind::Driven { current_a, emf_v })
    });
    (prop_oneof![held, stalled, found], 0.2..3.0f64).prop_map(|((duty, kind), ohms)| (duty, kind, ohms))
}

/// Whether a converter hangs at the end, a driver there, and a charger at the battery.
type More = (bool, Option<(Duty, MotorKind, f64)>, bool);
/// Number of nodes, battery, spine, further pieces, and more.
type Plan = (usize, f64, f64, Vec<f64>, Vec<(usize, usize, Piece)>, More);

fn build((n, emf, inner, spine, pieces, more): Plan) -> Netlist {
    let (with_converter, driver, with_charger) = more;
    let mut devices = vec![Device::Branch { a: 0, b: 1, resistance_ohm: inner, emf_v: emf }];
    for (i, ohms) in spine.into_iter().enumerate() {
        devices.push(Device::Branch { a: i + 1, b: i + 2, resistance_ohm: ohms, emf_v: 0.0 });
    }
    for (from, to, piece) in pieces {
        if from == to {
            continue;
        }
        // Consumers hang on the return, so that the battery is not simply shorted by every wire.
        let (a, b) = match piece {
            Piece::Wire(_) if from == 0 || to == 0 => continue,
            Piece::Wire(_) | Piece::Diode => (from, to),
            _ => (from.max(1), 0),
        };
        devices.push(match piece {
            Piece::Wire(ohms) => Device::Branch { a, b, resistance_ohm: ohms, emf_v: 0.0 },
            Piece::Load(kind, i) => {
                Device::Load { a, b, kind, current_a: i, nominal_v: 12.0, bleed_s: 1e-6 }
            }
            Piece::Diode => {
                Device::Diode { a, b, saturation_a: 1e-8, slope_v: 0.05, series_ohm: 0.01, leak_s: 1e-9 }
            }
            Piece::Motor(i) => {
                Device::Motor { a, b, resistance_ohm: 0.5, kind: MotorKind::Loaded { current_a: i } }
            }
        });
    }
    let mut nodes = n;
    if with_converter {
        nodes += 1;
        devices.push(Device::Converter {
            in_plus: n - 1,
            in_minus: 0,
            out_plus: n,
            out_minus: 0,
            output_v: 5.0,
            limit_a: 4.0,
            drop_out_v: Some(1.0),
            loss: vec![(0.0, 0.1), (2.0, 1.0), (4.0, 3.0)],
            floor_v: 2.0,
            bleed_s: 1e-6,
        });
        devices.push(Device::Load {
            a: n,
            b: 0,
            kind: LoadKind::Power,
            current_a: 1.5,
            nominal_v: 5.0,
            bleed_s: 1e-6,
        });
    }
    if let Some((duty, kind, resistance_ohm)) = driver {
        let (a, b) = (nodes, nodes + 1);
        nodes += 2;
        let motor = Some(devices.len() + 1);
        devices.push(Device::Channel { plus: n - 1, minus: 0, a, b, on_ohm: 0.02, motor, duty });
        devices.push(Device::Motor { a, b, resistance_ohm, kind });
    }
    if with_charger {
        let voltage_v = 1.1 * emf;
        devices.push(Device::Charger { plus: 1, minus: 0, current_a: 3.0, voltage_v });
    }
    Netlist {
        nodes: (0..nodes).map(|v| v.to_string()).collect(),
        items: devices
            .into_iter()
            .enumerate()
            .map(|(i, device)| Item { name: i.to_string(), active: true, device })
            .collect(),
    }
}

struct Solved {
    netlist: Netlist,
    pattern: Pattern,
    reached: Reached,
}

fn run(mut netlist: Netlist) -> Option<Solved> {
    let fed = islands::analyse(&netlist);
    for (item, carries) in netlist.items.iter_mut().zip(&fed.carries) {
        item.active &= carries;
    }
    let pattern = Pattern::of(&netlist);
    let start = guess(&netlist, &pattern, &fed);
    let core = core_of(&netlist, &pattern);
    let solver = Solver::of(&core, &netlist, &fed.references);
    let start = solve(&solver, &netlist, &start, 0.0).ok()?;
    let reached = to_full_load(&netlist, &pattern, &solver, &start, 1.0, &|_, _| {}).ok()?;
    Some(Solved { netlist, pattern, reached })
}

/// Currents out of every node, summed independently of the solver's own residual.
fn node_sums(s: &Solved) -> Vec<f64> {
    let (x, fraction) = (&s.reached.point.x, s.reached.point.fraction);
    let mut sums = vec![0.0; s.netlist.nodes.len()];
    for (item, &k) in s.netlist.items.iter().zip(&s.pattern.extra).filter(|(i, _)| i.active) {
        let i = current(&item.device, k, x, fraction);
        match item.device {
            Device::Branch { a, b, .. }
            | Device::Diode { a, b, .. }
            | Device::Load { a, b, .. }
            | Device::Motor { a, b, .. } => {
                sums[a] += i;
                sums[b] -= i;
            }
            Device::Converter {
                in_plus,
                in_minus,
                out_plus,
                out_minus,
                ref loss,
                floor_v,
                bleed_s,
                ..
            } => {
                let (v_in, v_out) = (x[in_plus] - x[in_minus], x[out_plus] - x[out_minus]);
                let bleed = bleed_s * v_out;
                sums[out_plus] += bleed - i;
                sums[out_minus] -= bleed - i;
                let input = law::constant_power(v_out * i + law::loss(loss, i).0, v_in, floor_v).0;
                sums[in_plus] += input;
                sums[in_minus] -= input;
            }
            Device::Charger { plus, minus, .. } => {
                sums[plus] -= i;
                sums[minus] += i;
            }
            Device::Channel { plus, minus, a, b, .. } => {
                let (ia, ib, duty) = (x[k], x[k + 1], x[k + 2]);
                let up = if duty >= 0.0 { duty * ia } else { duty * ib };
                sums[a] -= ia;
                sums[b] += ib;
                sums[plus] += up;
                sums[minus] += ia - ib - up;
            }
        }
    }
    sums
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn currents_and_powers_balance(netlist in network()) {
        let s = run(netlist).expect("a passive network with one battery has a state without load");
        let x = &s.reached.point.x;
        let size = x[s.pattern.nodes..].iter().fold(1e-3, |m: f64, v| m.max(v.abs()));
        for (node, sum) in node_sums(&s).into_iter().enumerate() {
            prop_assert!(sum.abs() <= 1e-9 * size, "node {node}: {sum} of {size}");
        }
        let (mut all, mut given) = (0.0, 0.0);
        for (item, &k) in s.netlist.items.iter().zip(&s.pattern.extra).filter(|(i, _)| i.active) {
            let p = power(&item.device, k, x, s.reached.point.fraction);
            all += p;
            given += (-p).max(0.0);
        }
        prop_assert!(all.abs() <= 1e-9 * given.max(1e-6), "{all} of {given}");
    }

    #[test]
    fn only_battery_and_charger_give(netlist in network()) {
        let s = run(netlist).expect("state");
        for (item, &k) in s.netlist.items.iter().zip(&s.pattern.extra).skip(1).filter(|(i, _)| i.active) {
            if matches!(item.device, Device::Charger { .. }) {
                continue;
            }
            let p = power(&item.device, k, &s.reached.point.x, s.reached.point.fraction);
            prop_assert!(p >= -1e-9, "{:?} gives {p}", item.device);
        }
    }

    #[test]
    fn turning_wires_round_turns_their_currents_round(netlist in network()) {
        let mut turned = netlist.clone();
        for item in turned.items.iter_mut().skip(1) {
            if let Device::Branch { a, b, .. } = &mut item.device {
                std::mem::swap(a, b);
            }
        }
        let (s, t) = (run(netlist).expect("state"), run(turned).expect("state"));
        prop_assert!((s.reached.point.fraction - t.reached.point.fraction).abs() < 1e-6);
        if s.reached.end.is_none() && t.reached.end.is_none() {
            for v in 0..s.pattern.nodes {
                prop_assert!((s.reached.point.x[v] - t.reached.point.x[v]).abs() < 1e-6);
            }
        }
    }

    #[test]
    fn the_direct_attempt_lands_on_the_branch_from_no_load(netlist in network()) {
        let s = run(netlist.clone()).expect("state");
        prop_assume!(s.reached.end.is_none());
        let fed = islands::analyse(&netlist);
        let start = guess(&s.netlist, &s.pattern, &fed);
        let core = core_of(&s.netlist, &s.pattern);
    let solver = Solver::of(&core, &s.netlist, &fed.references);
        let mut point = solve(&solver, &s.netlist, &start, 0.0).expect("no load");
        for step in 1..=50 {
            let fraction = f64::from(step) / 50.0;
            match solve(&solver, &s.netlist, &point, fraction) {
                Ok(next) => point = next,
                Err(_) => return Ok(()),
            }
        }
        for v in 0..s.pattern.nodes {
            prop_assert!((s.reached.point.x[v] - point.x[v]).abs() < 1e-6, "node {v}: {} {}", s.reached.point.x[v], point.x[v]);
        }
    }

    #[test]
    fn a_branch_ends_where_small_steps_lose_it(mut netlist in network()) {
        // Eight times the load, so that many branches end.
        for item in &mut netlist.items {
            if let Device::Load { current_a, .. } = &mut item.device {
                *current_a *= 8.0;
            }
        }
        let s = run(netlist.clone()).expect("state");
        if s.reached.end.is_none() {
            return Ok(());
        }
        let fed = islands::analyse(&netlist);
        let start = guess(&s.netlist, &s.pattern, &fed);
        let core = core_of(&s.netlist, &s.pattern);
    let solver = Solver::of(&core, &s.netlist, &fed.references);
        let no_load = solve(&solver, &s.netlist, &start, 0.0).expect("no load");
        let mut point = no_load.clone();
        let most = point.x[..s.pattern.nodes].iter().fold(0.0, |m: f64, v| m.max(v.abs()));
        const STEPS: u32 = 2000;
        let mut last = 0.0;
        for step in 1..=STEPS {
            let fraction = f64::from(step) / f64::from(STEPS);
            let Ok(next) = solve_close(&solver, &s.netlist, &point, fraction) else { break };
            // Another branch lies a jump away; below its floor a consumer no longer works.
            let jump = (0..s.pattern.nodes).any(|v| (next.x[v] - point.x[v]).abs() > 0.03 * most);
            let fallen = continuation::collapsed(&s.netlist, &s.pattern, &no_load, &next);
            if jump || fallen.is_some() {
                break;
            }
            (point, last) = (next, fraction);
        }
        let found = s.reached.point.fraction;
        // The last step before a fold may fall by more than that, so a few are left out.
        prop_assert!(found <= last + 0.02 && found >= last - 0.002, "{found} against {last}");
    }
}
