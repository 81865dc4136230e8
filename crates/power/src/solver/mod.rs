//! Solves a [`crate::netlist::Netlist`]: modified nodal analysis, Newton's method on a sparse LU, and continuation in
//! the fraction of load.
//!
//! Unknowns are the node voltages and, for elements of low or no resistance, the current; so a
//! wire without resistance is an ordinary case, and currents do not come out as differences of
//! nearly equal voltages. [`islands`] says beforehand which nodes are fed at all.

mod assembly;
mod continuation;
mod core;
mod guess;
pub mod islands;
pub mod law;
mod lu;
mod newton;
pub mod sweep;

pub use assembly::{Pattern, Point, current, power};
pub use continuation::{End, Margins, Reached, to_full_load, to_full_load_near};
pub use core::Core;
pub use guess::guess;
pub use newton::{Failure, Solver, solve, solve_close};

/// The core of a network that is solved in no other state.
#[cfg(test)]
pub fn core_of(netlist: &crate::netlist::Netlist, pattern: &Pattern) -> Core {
    let steady: Vec<bool> = netlist.items.iter().map(|i| i.active).collect();
    Core::of(netlist, pattern, &steady)
}

#[cfg(test)]
mod laws;
#[cfg(test)]
mod tests;
