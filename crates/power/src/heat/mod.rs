//! How warm a wire gets.
//!
//! Per metre: I²·R(T) = convection + radiation from the surface, and the conductor is warmer than the
//! surface by what the insulation resists. [`air`] has the loss of a horizontal cylinder in still air,
//! [`wire`] the balance of one wire and of a bundle, [`robot`] the wires of a robot in a situation.

pub mod air;
pub mod robot;
pub mod wire;

#[cfg(test)]
mod pulse_tests;
#[cfg(test)]
mod tests;
