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

/// The guess, at no load.
pub fn guess(netlist: &Netlist, pattern: &Pattern, fed: &Fed) -> Point {
    let n = netlist.nodes.len();
    let mut around: Vec<Vec<(usize, f64, bool)>> = vec![Vec::new(); n];
    let mut join = |a: usize, b: usize, rise: f64, first: bool| {
        around[a].push((b, rise, first));
        around[b].push((a, -rise, first));
    };
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
    let mut x = vec![0.0; pattern.size];
    let mut known = vec![false; n];
    let mut first: VecDeque<usize> = (0..n).filter(|&v| fed.references[v]).collect();
    for &v in &first {
        known[v] = true;
    }
    let mut later = VecDeque::new();
    loop {
        while let Some(v) = first.pop_front() {
            for &(other, rise, now) in &around[v] {
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
