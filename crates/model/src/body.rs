//! The closed body around the board, as heat sees it.

use crate::units::*;
use serde::Serialize;

/// The shell of the body: what carries its heat to the open air.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Body {
    /// Outer surface that gives heat to the air; not what stands on the floor.
    pub surface: SquareMetres,
    /// What the wall is made of.
    pub wall: Wall,
    /// How thick it is.
    pub thickness: Millimetres,
    /// Height of the body: how far the air climbs along the wall.
    pub height: Millimetres,
    /// Bare polished metal outside; it radiates little. Paint, plastic and wood radiate well.
    pub shiny: bool,
    /// Free area of the openings low down.
    pub vent_low: SquareMetres,
    /// Free area of the openings high up.
    pub vent_high: SquareMetres,
    /// Height of the upper openings above the lower.
    pub vent_height: Millimetres,
    /// Air that a fan really moves through the body.
    pub fan: CubicMetresPerHour,
    /// Air outside on the warmest day it is shown.
    pub outside: Celsius,
    /// Heat that the sun leaves in the wall.
    pub sun: Watts,
    /// Mass that warms up with the air inside; `None`: that of the parts and the board.
    pub mass: Option<Kilograms>,
}

/// What a wall is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Wall {
    Hdpe,
    Plywood,
    Acrylic,
    Abs,
    Polycarbonate,
    Aluminium,
    Steel,
    Glassfibre,
    Cardboard,
    Foam,
}

impl Wall {
    /// All of them with the word that files use.
    pub const WORDS: [(&'static str, Self); 10] = [
        ("hdpe", Self::Hdpe),
        ("plywood", Self::Plywood),
        ("acrylic", Self::Acrylic),
        ("abs", Self::Abs),
        ("polycarbonate", Self::Polycarbonate),
        ("aluminium", Self::Aluminium),
        ("steel", Self::Steel),
        ("glassfibre", Self::Glassfibre),
        ("cardboard", Self::Cardboard),
        ("foam", Self::Foam),
    ];

    /// Thermal conductivity, W/(m·K). ISO 10456 (2007), table 3: polycarbonate 0.20, acrylic 0.20,
    /// high-density polyethylene 0.50, plywood of 500 kg/m³ 0.13, aluminium alloys 160, steel 50 (from
    /// memory); the others common handbook values (from memory).
    pub const fn conductivity(self) -> f64 {
        match self {
            Self::Hdpe => 0.5,
            Self::Plywood => 0.13,
            Self::Acrylic | Self::Polycarbonate | Self::Abs => 0.2,
            Self::Aluminium => 160.0,
            Self::Steel => 50.0,
            Self::Glassfibre => 0.3,
            Self::Cardboard => 0.06,
            Self::Foam => 0.04,
        }
    }
}
