//! What the builder must know about the electricity: one file per kind of finding.

pub(crate) mod help;
pub(crate) mod shelf;

pub(crate) use help::spot;

use crate::circuit::Circuit;
use crate::heat::robot::Wires;
use crate::results::PowerStudy;
use loomdeck_model::{Finding, Page, Robot};
use loomdeck_space::Geometry;

/// What every finding looks at.
pub(crate) struct All<'a> {
    /// The robot.
    pub robot: &'a Robot,
    /// What was computed.
    pub study: &'a PowerStudy,
    /// Lengths and nodes.
    pub circuit: Circuit,
    /// Wires as heat sees them.
    pub wires: Wires,
}

macro_rules! kinds {
    ($($name:ident),* $(,)?) => {
        $(mod $name;)*

        /// A page per kind.
        pub const PAGES: &[Page] = &[$($name::PAGE),*];

        fn run(all: &All<'_>, out: &mut Vec<Finding>) {
            $($name::find(all, out);)*
        }
    };
}

kinds!(
    fuse_beyond_holder,
    fuse_cannot_break,
    fuse_far_from_battery,
    fuse_larger_than_wire_allows,
    fuse_smaller_than_load,
    fuse_voltage_too_low,
    fuse_window_empty,
    fuses_together_exceed_wire,
    terminal_too_hot,
    unfused_wire,
    wire_too_hot,
    drop_too_large,
    wire_does_not_fit,
    terminal_overfull,
    terminal_overloaded,
    end_does_not_fit,
    contact_overloaded,
    switch_overloaded,
    converter_overloaded,
    converter_input,
    supply_destroys,
    load_browns_out,
    battery_discharge,
    charge_current,
    charger_wrong,
    dead_short,
    motor_overloaded,
    motor_too_slow,
    motor_wire_too_thin,
    no_solution,
    part_unfed,
    rail_shared,
    run_time_short,
    spare_low,
    terminal_not_wired,
    wires_not_judged,
);

/// All findings, worst first.
pub fn findings(robot: &Robot, geometry: &Geometry, study: &PowerStudy) -> Vec<Finding> {
    let circuit = Circuit::unsolved(robot, geometry);
    let all = All { robot, study, circuit, wires: Wires::of(robot, geometry) };
    let mut out = Vec::new();
    run(&all, &mut out);
    for finding in &mut out {
        finding.spot = finding.spot.or_else(|| help::spot(robot, finding.subjects.first()));
    }
    Finding::sort(&mut out);
    out
}

#[cfg(test)]
mod tests;
