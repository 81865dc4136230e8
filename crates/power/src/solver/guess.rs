//! A first guess: the voltages the nodes would have if nothing had resistance.
//!
//! Walks from the reference of each connected part over batteries, wires and the outputs of
//! converters, and only then over what has a voltage across it in use. Newton's method started here
//! finds rails already up, instead of converters whose input is still at zero volts.

use super::assembly::{Pattern, Point};
use super::islands::Fed;
use crate::netlist::{Device, Netlist};
use std::collections::VecDeque;

/// Resistance below which a branch is followed first.
const LOW: f64 = 1.0;

/// What lies around each node: the other node, how much higher it is, and whether it is followed first.
struct Around {
    start: Vec<usize>,
    all: Vec<(usize, f64, bool)>,
}

impl Around {
    /// From pairs of `n` nodes, around each in their order.
    fn of(n: usize, joined: &[(usize, usize, f64, bool)]) -> Self {
        let mut start = vec![0; n + 1];
        for &(a, b, ..) in joined {
            start[a + 1] += 1;
            start[b + 1] += 1;
        }
        for v in 0..n {
            start[v + 1] += start[v];
        }
        let mut next = start.clone();
        let mut all = vec![(0, 0.0, false); 2 * joined.len()];
        for &(a, b, rise, first) in joined {
            for (from, to, rise) in [(a, b, rise), (b, a, -rise)] {
                all[next[from]] = (to, rise, first);
                next[from] += 1;
            }
        }
        Self { start, all }
    }

    fn of_node(&self, node: usize) -> &[(usize, f64, bool)] {
        &self.all[self.start[node]..self.start[node + 1]]
    }
}

/// The guess, at no load.
pub fn guess(netlist: &Netlist, pattern: &Pattern, fed: &Fed) -> Point {
    let n = netlist.nodes.len();
    let mut joined: Vec<(usize, usize, f64, bool)> = Vec::with_capacity(2 * netlist.items.len());
    let mut join = |a: usize, b: usize, rise: f64, first: bool| joined.push((a, b, rise, first));
    for item in netlist.items.iter().filter(|i| i.active) {
        match item.device {
            Device::Branch { a, b, resistance_ohm, emf_v } => {
                join(a, b, emf_v, resistance_ohm < LOW || emf_v != 0.0);
            }
            Device::Converter { in_plus, in_minus, out_plus, out_minus, output_v, .. } => {
                join(out_minus, out_plus, output_v, true);
                join(in_plus, in_minus, 0.0, false);
            }
            Device::Channel { plus, minus, a, b, .. } => {
                join(minus, a, 0.0, false);
                join(minus, b, 0.0, false);
                join(plus, minus, 0.0, false);
            }
            Device::Diode { a, b, .. } | Device::Load { a, b, .. } | Device::Motor { a, b, .. } => {
                join(a, b, 0.0, false);
            }
            Device::Charger { plus, minus, .. } => join(minus, plus, 0.0, false),
        }
    }
    let around = Around::of(n, &joined);
    let mut x = vec![0.0; pattern.size];
    let mut known = vec![false; n];
    let mut first: VecDeque<usize> = (0..n).filter(|&v| fed.references[v]).collect();
    for &v in &first {
        known[v] = true;
    }
    let mut later = VecDeque::new();
    loop {
        while let Some(v) = first.pop_front() {
            for &(other, rise, now) in around.of_node(v) {
                if known[other] {
                    continue;
                }
                if now {
                    known[other] = true;
                    x[other] = x[v] + rise;
                    first.push_back(other);
                } else {
                    later.push_back((other, x[v] + rise));
                }
            }
        }
        let Some((v, volts)) = later.pop_front() else { break };
        if !known[v] {
            known[v] = true;
            x[v] = volts;
            first.push_back(v);
        }
    }
    Point { x, fraction: 0.0 }
}
