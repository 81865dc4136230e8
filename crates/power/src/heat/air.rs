//! Loss of a long horizontal cylinder in still air, by free convection and radiation.

use std::f64::consts::PI;
use std::sync::LazyLock;

/// Stefan-Boltzmann constant, W/(m²·K⁴) (CODATA 2018).
const STEFAN_BOLTZMANN: f64 = 5.670_374e-8;
/// Emissivity of plastics and rubber (handbooks give 0.85 to 0.95).
pub const EMISSIVITY: f64 = 0.9;
const GRAVITY: f64 = 9.806_65;
/// 0 °C in kelvin.
pub const ZERO_C: f64 = 273.15;

/// Properties of dry air at 101.325 kPa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// W/(m·K).
    pub conductivity: f64,
    /// Kinematic viscosity, m²/s.
    pub viscosity: f64,
    /// Prandtl number.
    pub prandtl: f64,
}

impl Air {
    /// At an absolute temperature. Sutherland's law for viscosity (1.716e-5 Pa·s at 273 K, constant
    /// 111 K) and conductivity (0.0241 W/(m·K) at 273 K, constant 194 K): F. M. White, "Viscous Fluid
    /// Flow", tables 1-2 and 1-3 (from memory); density of an ideal gas, specific heat 1006 J/(kg·K).
    /// Good to about 2 % from 250 K to 700 K.
    pub fn at(kelvin: f64) -> Self {
        let ratio = kelvin / ZERO_C;
        let law = |at_zero: f64, constant: f64| {
            at_zero * ratio * ratio.sqrt() * (ZERO_C + constant) / (kelvin + constant)
        };
        let dynamic = law(1.716e-5, 111.0);
        let conductivity = law(0.0241, 194.0);
        let density = 101_325.0 / (287.05 * kelvin);
        Self { conductivity, viscosity: dynamic / density, prandtl: dynamic * 1006.0 / conductivity }
    }
}

/// Nusselt number of a long horizontal cylinder in free convection.
///
/// S. W. Churchill, H. H. S. Chu, "Correlating equations for laminar and turbulent free convection from
/// a horizontal cylinder", Int. J. Heat Mass Transfer 18 (1975) 1049, equation for all Ra below 10¹².
pub fn nusselt(rayleigh: f64, prandtl: f64) -> f64 {
    let shape = (1.0 + (0.559 / prandtl).powf(9.0 / 16.0)).powf(8.0 / 27.0);
    let root = 0.60 + 0.387 * rayleigh.sqrt().cbrt() / shape;
    root * root
}

/// What the loss takes of the air film at one temperature.
#[derive(Clone, Copy, Debug)]
struct Film {
    /// W/(m·K).
    conductivity: f64,
    /// The root of the Nusselt number less 0.60, over the sixth root of rise (K) times diameter (m) cubed.
    buoyancy: f64,
}

impl Film {
    /// At an absolute temperature.
    fn at(kelvin: f64) -> Self {
        let air = Air::at(kelvin);
        let diffusivity = air.viscosity / air.prandtl;
        let rayleigh = GRAVITY / (kelvin * air.viscosity * diffusivity);
        let buoyancy = nusselt(rayleigh, air.prandtl).sqrt() - 0.60;
        Self { conductivity: air.conductivity, buoyancy }
    }

    /// At an absolute temperature, with its slope per kelvin: a straight line over a kelvin, of which the
    /// film departs by less than a millionth.
    fn near(kelvin: f64) -> (Self, Self) {
        let place = kelvin - COLDEST;
        if !(place >= 0.0 && place < (FILMS - 1) as f64) {
            let (low, high) = (Self::at(kelvin - 0.5), Self::at(kelvin + 0.5));
            return (Self::at(kelvin), low.to(high));
        }
        let films = &*TABLE;
        let index = place as usize;
        let (from, slope) = (films[index], films[index].to(films[index + 1]));
        let share = place - index as f64;
        let film = Self {
            conductivity: from.conductivity + share * slope.conductivity,
            buoyancy: from.buoyancy + share * slope.buoyancy,
        };
        (film, slope)
    }

    fn to(self, other: Self) -> Self {
        Self {
            conductivity: other.conductivity - self.conductivity,
            buoyancy: other.buoyancy - self.buoyancy,
        }
    }
}

/// The lowest temperature in [`TABLE`], K, and how many there are.
const COLDEST: f64 = 200.0;
const FILMS: usize = 701;

/// The film at every kelvin: the same film is asked for many thousand times in a study.
static TABLE: LazyLock<Vec<Film>> =
    LazyLock::new(|| (0..FILMS).map(|i| Film::at(COLDEST + i as f64)).collect());

/// Loss of a metre of a cylinder of this diameter (m), W/m; temperatures in °C.
pub fn loss(diameter: f64, surface: f64, air: f64) -> f64 {
    loss_and_slope(diameter, surface, air).0
}

/// [`loss`] and its slope against the temperature of the surface, W/(m·K).
pub fn loss_and_slope(diameter: f64, surface: f64, air: f64) -> (f64, f64) {
    let (ts, ta) = (surface + ZERO_C, air + ZERO_C);
    let rise = ts - ta;
    let (film, per_kelvin) = Film::near((ts + ta) / 2.0);
    let sixth = diameter.sqrt() * rise.abs().cbrt().sqrt();
    let root = 0.60 + film.buoyancy * sixth;
    // The film warms by half of what the surface does.
    let by_root = sixth * (film.buoyancy / 6.0 + 0.5 * per_kelvin.buoyancy * rise);
    let (k, nusselt) = (film.conductivity, root * root);
    let convection = PI * k * nusselt * rise;
    let by_convection =
        PI * (nusselt * (k + 0.5 * per_kelvin.conductivity * rise) + 2.0 * k * root * by_root);
    let grey = EMISSIVITY * STEFAN_BOLTZMANN * PI * diameter;
    let (s2, a2) = (ts * ts, ta * ta);
    let radiation = grey * (s2 * s2 - a2 * a2);
    (convection + radiation, by_convection + 4.0 * grey * s2 * ts)
}
