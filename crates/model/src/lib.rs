//! The words of a robot, and the reading and writing of its folder.
//!
//! This crate holds what every other crate speaks about: [`Robot`] with its parts, wires and
//! situations ([`robot`], [`part_type`], [`element`], [`wire`]), quantities with their unit
//! ([`units`]), the two faces of the board ([`geometry`]), and [`Finding`] and [`Remedy`], the data in
//! which every answer is given ([`finding`]). It computes nothing about electricity, space or making.

pub mod board;
mod body;
pub mod edit;
pub mod element;
pub mod finding;
pub mod format;
pub mod geometry;
pub mod library;
pub mod mark;
pub mod part_type;
pub mod read;
pub mod robot;
pub mod situation;
pub mod sound;
pub mod testing;
pub mod units;
pub mod wire;
pub mod wiring;

pub use finding::{Edit, EditValue, Finding, Page, Remedy, Severity};
pub use geometry::{Face, Outline, Placement, Point};
pub use mark::{Mark, MarkShape};
pub use part_type::PartType;
pub use read::{Folder, Problem, read};
pub use robot::*;
