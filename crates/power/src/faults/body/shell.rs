//! What carries heat from the air in a body to the air outside.
//!
//! The wall: convection along its inner face and radiation from what stands in the body, conduction through
//! it, convection and radiation outside. Moving air: openings at two heights, or a fan.

use crate::heat::air::{Air, EMISSIVITY, ZERO_C};
use loomdeck_model::Body;

/// Stefan-Boltzmann constant, W/(m²·K⁴) (CODATA 2018).
const STEFAN_BOLTZMANN: f64 = 5.670_374e-8;
const GRAVITY: f64 = 9.806_65;
/// Specific heat of air, J/(kg·K).
pub const AIR_HEAT: f64 = 1006.0;
/// Emissivity of bare polished metal (handbooks give 0.04 to 0.1).
const SHINY: f64 = 0.08;
/// Surface of the warm things inside that faces the wall, over the wall's own (common practice).
const FACING: f64 = 0.5;
/// Discharge coefficient of a sharp-edged opening (ASHRAE Handbook Fundamentals, chapter on ventilation:
/// 0.60 to 0.65).
pub const DISCHARGE: f64 = 0.61;

/// Nusselt number of a vertical plate in free convection.
///
/// S. W. Churchill, H. H. S. Chu, "Correlating equations for laminar and turbulent free convection from a
/// vertical plate", Int. J. Heat Mass Transfer 18 (1975) 1323, equation for all Ra below 10¹².
pub fn nusselt_plate(rayleigh: f64, prandtl: f64) -> f64 {
    let shape = (1.0 + (0.492 / prandtl).powf(9.0 / 16.0)).powf(8.0 / 27.0);
    let root = 0.825 + 0.387 * rayleigh.sqrt().cbrt() / shape;
    root * root
}

/// Film coefficient of free convection at a wall of some height (m), W/(m²·K); temperatures in °C.
pub fn film(height: f64, surface: f64, air: f64) -> f64 {
    let mean = (surface + air) / 2.0 + ZERO_C;
    let at = Air::at(mean);
    let rayleigh = GRAVITY * (surface - air).abs() * height.powi(3)
        / (mean * at.viscosity * at.viscosity / at.prandtl);
    nusselt_plate(rayleigh, at.prandtl) * at.conductivity / height
}

/// Density of air at sea level, kg/m³.
pub fn density(celsius: f64) -> f64 {
    101_325.0 / (287.05 * (celsius + ZERO_C))
}

/// Flow through two openings at different heights, m³/s.
///
/// Q = Cd·A*·√(2·g·H·ΔT/T), 1/A*² = 1/A₁² + 1/A₂² (BS 5925 (1991), table 11, and CIBSE Guide A, from memory),
/// with one temperature throughout the body; nothing flows in the other direction.
pub fn stack_flow(low_m2: f64, high_m2: f64, height_m: f64, inside: f64, outside: f64) -> f64 {
    let both = low_m2.hypot(high_m2);
    if both <= 0.0 || inside <= outside {
        return 0.0;
    }
    let mean = (inside + outside) / 2.0 + ZERO_C;
    let head = 2.0 * GRAVITY * height_m * (inside - outside) / mean;
    DISCHARGE * low_m2 * high_m2 / both * head.sqrt()
}

/// A wall between the air inside and outside.
#[derive(Clone, Copy, Debug)]
pub struct Shell {
    /// Surface, m².
    pub surface: f64,
    /// Height, m.
    pub height: f64,
    /// Thermal resistance of the wall alone, m²·K/W.
    pub resistance: f64,
    /// Emissivity outside.
    pub emissivity: f64,
    /// Air outside, °C.
    pub outside: f64,
    /// Heat of the sun in the wall, W.
    pub sun: f64,
}

impl Shell {
    /// Of a body.
    pub fn of(body: &Body) -> Self {
        Self {
            surface: body.surface.0,
            height: body.height.0 / 1000.0,
            resistance: body.thickness.0 / 1000.0 / body.wall.conductivity(),
            emissivity: if body.shiny { SHINY } else { EMISSIVITY },
            outside: body.outside.0,
            sun: body.sun.0,
        }
    }

    /// Heat per square metre that the outer face gives off, W/m²; `factor` on convection.
    fn given(&self, outer: f64, factor: f64) -> f64 {
        let convection = factor * film(self.height, outer, self.outside) * (outer - self.outside);
        let radiation = self.emissivity * black(outer, self.outside);
        convection + radiation - self.sun / self.surface
    }

    /// Heat per square metre that the air inside gives to the inner face, W/m².
    fn taken(&self, inside: f64, inner: f64, factor: f64) -> f64 {
        let convection = factor * film(self.height, inner, inside) * (inside - inner);
        convection + FACING * EMISSIVITY * black(inside, inner)
    }

    /// Heat through the wall from air at this temperature, W. `factor` on convection. Negative when the
    /// sun heats the body through its wall.
    pub fn loss(&self, inside: f64, factor: f64) -> f64 {
        // What the inner face takes less what the outer gives falls as the outer gets warmer.
        let excess = |outer: f64| {
            let flux = self.given(outer, factor);
            self.taken(inside, outer + flux * self.resistance, factor) - flux
        };
        let (mut low, mut high) = (self.outside - 1.0, inside.max(self.outside) + 1.0);
        while excess(high) > 0.0 && high < 300.0 {
            high += 20.0;
        }
        let outer = root(excess, &mut low, &mut high);
        self.surface * self.given(outer, factor)
    }

    /// Where the air inside would settle with this heat and this flow law, °C.
    pub fn settles(&self, heat: f64, factor: f64, moved: impl Fn(f64) -> f64) -> f64 {
        let excess = |inside: f64| heat - self.loss(inside, factor) - moved(inside);
        let (mut low, mut high) = (self.outside - 1.0, self.outside + 40.0);
        while excess(high) > 0.0 && high < 400.0 {
            high += 40.0;
        }
        root(excess, &mut low, &mut high)
    }
}

/// Radiation of a black surface to black surroundings, W/m²; temperatures in °C.
fn black(surface: f64, around: f64) -> f64 {
    STEFAN_BOLTZMANN * ((surface + ZERO_C).powi(4) - (around + ZERO_C).powi(4))
}

/// Root of a falling function between two ends, by false position with halving (the Illinois rule).
fn root(f: impl Fn(f64) -> f64, low: &mut f64, high: &mut f64) -> f64 {
    let (mut at_low, mut at_high) = (f(*low), f(*high));
    let mut last = 0;
    for _ in 0..60 {
        let span = at_low - at_high;
        if span == 0.0 || (*high - *low).abs() < 1e-10 {
            break;
        }
        let x = (*low * -at_high + *high * at_low) / span;
        let y = f(x);
        if y.abs() < 1e-9 {
            return x;
        }
        if y > 0.0 {
            (*low, at_low) = (x, y);
            if last > 0 {
                at_high /= 2.0;
            }
            last = 1;
        } else {
            (*high, at_high) = (x, y);
            if last < 0 {
                at_low /= 2.0;
            }
            last = -1;
        }
    }
    (*low * -at_high + *high * at_low) / (at_low - at_high).max(1e-300)
}

/// How air moves through a body.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Draught {
    /// Openings low down, m².
    pub low: f64,
    /// Openings high up, m².
    pub high: f64,
    /// Height between them, m.
    pub height: f64,
    /// Flow of a fan, m³/s.
    pub fan: f64,
}

impl Draught {
    /// Of a body.
    pub fn of(body: &Body) -> Self {
        Self {
            low: body.vent_low.0,
            high: body.vent_high.0,
            height: body.vent_height.0 / 1000.0,
            fan: body.fan.0 / 3600.0,
        }
    }

    /// Flow at a temperature inside, m³/s: what the fan moves or the warm air by itself, whichever is
    /// more.
    pub fn flow(&self, inside: f64, outside: f64, factor: f64) -> f64 {
        factor * self.fan.max(stack_flow(self.low, self.high, self.height, inside, outside))
    }

    /// Heat that the moving air carries out, W: ρ·cp·Q·ΔT with the density of the air that comes in.
    pub fn heat(&self, inside: f64, outside: f64, factor: f64) -> f64 {
        density(outside) * AIR_HEAT * self.flow(inside, outside, factor) * (inside - outside)
    }
}
