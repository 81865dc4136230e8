//! Conductors: sizes, resistance, diameters, insulation, colours, ends.

use crate::units::*;
use serde::Serialize;
use std::fmt;

/// Resistivity of annealed copper at 20 °C, Ω·mm²/m: exactly 1/58 (IEC 60028).
pub const COPPER_RESISTIVITY: f64 = 1.0 / 58.0;
/// Inferred temperature of zero resistance of copper, °C below zero: R(T) ∝ 234.5 + T (NBS Handbook 100).
pub const COPPER_ZERO: f64 = 234.5;
/// Density of copper, kg/m³ (IEC 60028).
pub const COPPER_DENSITY: f64 = 8890.0;
/// Specific heat of copper, J/(kg·K) (from memory; handbooks give 385 at 25 °C).
pub const COPPER_HEAT: f64 = 385.0;

/// Metric sizes on sale and the largest resistance allowed at 20 °C, Ω/km.
/// Source: IEC 60228 (2004), class 5 flexible, plain copper. The sizes below 0.5 mm² are not in
/// class 5's table for fixed wiring; their limit is that of ISO 6722 thin-wall automotive wire
/// (from memory).
pub const METRIC: [(f64, f64); 14] = [
    (0.22, 84.8),
    (0.35, 54.4),
    (0.5, 39.0),
    (0.75, 26.0),
    (1.0, 19.5),
    (1.5, 13.3),
    (2.5, 7.98),
    (4.0, 4.95),
    (6.0, 3.30),
    (10.0, 1.91),
    (16.0, 1.21),
    (25.0, 0.780),
    (35.0, 0.554),
    (50.0, 0.386),
];

/// AWG sizes that stranded hook-up and battery wire is sold in, thick to thin.
pub const AWG: [i32; 14] = [0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26];

/// Size of a conductor, in the system the builder named it.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Gauge {
    /// Nominal cross-section, mm².
    Metric(f64),
    /// American wire gauge; 0 is 1/0, -1 is 2/0 and so on.
    Awg(i32),
}

impl Gauge {
    /// Copper cross-section. AWG by the law of ASTM B258: d = 0.005 in · 92^((36-n)/39).
    pub fn area(self) -> SquareMillimetres {
        match self {
            Self::Metric(mm2) => SquareMillimetres(mm2),
            Self::Awg(n) => {
                let d = 0.005 * MM_PER_INCH * 92f64.powf(f64::from(36 - n) / 39.0);
                SquareMillimetres(std::f64::consts::PI / 4.0 * d * d)
            }
        }
    }

    /// Resistance of a metre at 20 °C. Metric sizes of the IEC 60228 table take its limit (a
    /// conforming wire is never worse); other metric sizes take the nominal area with the 8 %
    /// that the limits allow on average; AWG takes the gauge law with 4 % for stranding (stranded
    /// gauges exceed solid ones by 2 to 6 %: ASTM B258 against AC 43.13-1B Table 11-9, untinned).
    pub fn ohms_per_metre(self) -> Ohms {
        match self {
            Self::Metric(mm2) => match METRIC.iter().find(|(size, _)| *size == mm2) {
                Some((_, per_km)) => Ohms(per_km / 1000.0),
                None => Ohms(1.08 * COPPER_RESISTIVITY / mm2),
            },
            Self::Awg(_) => Ohms(1.04 * COPPER_RESISTIVITY / self.area().0),
        }
    }

    /// Diameter over the stranded conductor: a bundle of fine strands fills about 0.73 of its
    /// circle (IEC 60228 lists 2.6 mm at most for 4 mm², 3.9 mm for 10 mm²; common practice).
    pub fn conductor_diameter(self) -> Millimetres {
        Millimetres((4.0 * self.area().0 / (std::f64::consts::PI * 0.73)).sqrt())
    }

    /// The sizes on sale in the same system, thinnest first.
    pub fn series(self) -> Vec<Self> {
        match self {
            Self::Metric(_) => METRIC.iter().map(|(size, _)| Self::Metric(*size)).collect(),
            Self::Awg(_) => AWG.iter().rev().map(|n| Self::Awg(*n)).collect(),
        }
    }

    /// The next thicker size on sale, if there is one.
    pub fn thicker(self) -> Option<Self> {
        let area = self.area().0;
        self.series().into_iter().find(|g| g.area().0 > area * 1.000_001)
    }
}

impl fmt::Display for Gauge {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Metric(mm2) => write!(f, "{}\u{2009}mm²", three_digits(*mm2)),
            Self::Awg(n) if *n > 0 => write!(f, "{n}\u{2009}AWG"),
            Self::Awg(n) => write!(f, "{}/0\u{2009}AWG", 1 - n),
        }
    }
}

/// Insulation: what it bears and how thick it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Insulation {
    /// Ordinary PVC, 70 °C.
    Pvc70,
    /// Heat-resistant PVC, 105 °C.
    Pvc105,
    /// Silicone rubber, 180 °C.
    Silicone,
    /// Cross-linked polyethylene, 125 °C.
    Xlpe,
    /// PTFE, 200 °C.
    Ptfe,
}

impl Insulation {
    /// All kinds.
    pub const ALL: [Self; 5] = [Self::Pvc70, Self::Pvc105, Self::Silicone, Self::Xlpe, Self::Ptfe];

    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pvc70 => "pvc-70",
            Self::Pvc105 => "pvc-105",
            Self::Silicone => "silicone",
            Self::Xlpe => "xlpe",
            Self::Ptfe => "ptfe",
        }
    }
    /// Highest continuous conductor temperature (the class by which such wire is sold).
    pub const fn limit(self) -> Celsius {
        Celsius(match self {
            Self::Pvc70 => 70.0,
            Self::Pvc105 => 105.0,
            Self::Silicone => 180.0,
            Self::Xlpe => 125.0,
            Self::Ptfe => 200.0,
        })
    }
    /// Highest conductor temperature at the end of a short circuit. Source: IEC 60364-5-54 for
    /// PVC 160 and cross-linked 250; silicone 350 and PTFE 250 from memory.
    pub const fn short_circuit_limit(self) -> Celsius {
        Celsius(match self {
            Self::Pvc70 | Self::Pvc105 => 160.0,
            Self::Silicone => 350.0,
            Self::Xlpe | Self::Ptfe => 250.0,
        })
    }
    /// Wall thickness over a conductor of this size: common of wire on sale, no single source.
    pub fn wall(self, gauge: Gauge) -> Millimetres {
        let a = gauge.area().0;
        let step = match a {
            a if a <= 0.5 => 0.0,
            a if a <= 1.5 => 1.0,
            a if a <= 4.0 => 2.0,
            a if a <= 10.0 => 3.0,
            _ => 4.0,
        };
        Millimetres(match self {
            Self::Pvc70 => 0.5 + 0.1 * step,
            Self::Pvc105 => 0.4 + 0.1 * step,
            Self::Silicone => 0.5 + 0.15 * step,
            Self::Xlpe => 0.3 + 0.1 * step,
            Self::Ptfe => 0.2 + 0.06 * step,
        })
    }
    /// Outside diameter of a single wire.
    pub fn outside_diameter(self, gauge: Gauge) -> Millimetres {
        gauge.conductor_diameter() + self.wall(gauge) * 2.0
    }
}

/// Base colours of insulation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum BaseColour {
    Red,
    Black,
    Brown,
    Orange,
    Yellow,
    Green,
    Blue,
    Violet,
    Grey,
    White,
    Pink,
}

impl BaseColour {
    /// All of them.
    pub const ALL: [Self; 11] = [
        Self::Red,
        Self::Black,
        Self::Brown,
        Self::Orange,
        Self::Yellow,
        Self::Green,
        Self::Blue,
        Self::Violet,
        Self::Grey,
        Self::White,
        Self::Pink,
    ];
    /// The word used in files and print.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Red => "red",
            Self::Black => "black",
            Self::Brown => "brown",
            Self::Orange => "orange",
            Self::Yellow => "yellow",
            Self::Green => "green",
            Self::Blue => "blue",
            Self::Violet => "violet",
            Self::Grey => "grey",
            Self::White => "white",
            Self::Pink => "pink",
        }
    }
}

/// Colour of a wire: a base and perhaps a stripe, written `red` or `red/black`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Colour {
    /// Colour of most of it.
    pub base: BaseColour,
    /// Colour of the stripe.
    pub stripe: Option<BaseColour>,
}

impl Colour {
    /// A plain colour.
    pub const fn plain(base: BaseColour) -> Self {
        Self { base, stripe: None }
    }
}

impl fmt::Display for Colour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.stripe {
            Some(stripe) => write!(f, "{}/{}", self.base.word(), stripe.word()),
            None => f.write_str(self.base.word()),
        }
    }
}

/// What is fitted to the end of a wire.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum EndKind {
    /// Stripped, nothing on it.
    Bare,
    /// Crimped ferrule.
    Ferrule,
    /// Ring lug for a stud of this diameter, mm.
    Ring(f64),
    /// Fork lug for a screw of this diameter, mm.
    Fork(f64),
    /// Push-on receptacle for a tab of this width, mm.
    Receptacle(f64),
    /// Crimp contact of a plug.
    Contact,
    /// Small crimp contact of a pin-header housing.
    HeaderContact,
    /// Soldered.
    Soldered,
    /// The lead is part of the module: nothing to fit.
    Lead,
}

impl fmt::Display for EndKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Bare => f.write_str("bare"),
            Self::Ferrule => f.write_str("ferrule"),
            Self::Ring(d) => write!(f, "ring M{}", three_digits(*d)),
            Self::Fork(d) => write!(f, "fork M{}", three_digits(*d)),
            Self::Receptacle(w) => write!(f, "receptacle {}\u{2009}mm", three_digits(*w)),
            Self::Contact => f.write_str("crimp contact"),
            Self::HeaderContact => f.write_str("header contact"),
            Self::Soldered => f.write_str("soldered"),
            Self::Lead => f.write_str("own lead"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gauge_law_matches_the_printed_table() {
        // NBS Handbook 100 as reprinted (ohm per 1000 ft, solid annealed copper at 20 °C).
        for (n, ohm_per_1000ft) in [(10, 0.9989), (16, 4.016), (22, 16.14), (28, 64.9)] {
            let solid = COPPER_RESISTIVITY / Gauge::Awg(n).area().0 * 304.8;
            assert!((solid / ohm_per_1000ft - 1.0).abs() < 1e-3, "AWG {n}: {solid}");
        }
    }

    #[test]
    fn a_thicker_size_is_thicker_and_the_last_has_none() {
        for start in [Gauge::Metric(0.3), Gauge::Awg(26)] {
            let mut gauge = start;
            while let Some(next) = gauge.thicker() {
                assert!(next.area() > gauge.area());
                assert!(next.ohms_per_metre() < gauge.ohms_per_metre());
                gauge = next;
            }
        }
        assert_eq!(Gauge::Metric(50.0).thicker(), None);
    }
}
