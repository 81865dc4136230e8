//! Loss of a long horizontal cylinder in still air, by free convection and radiation.

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

/// Loss of a metre of a cylinder of this diameter (m), W/m; temperatures in °C.
pub fn loss(diameter: f64, surface: f64, air: f64) -> f64 {
    let (ts, ta) = (surface + ZERO_C, air + ZERO_C);
    let rise = ts - ta;
    let film = Air::at((ts + ta) / 2.0);
    let diffusivity = film.viscosity / film.prandtl;
    let rayleigh =
        GRAVITY * rise.abs() * diameter.powi(3) / ((ts + ta) / 2.0 * film.viscosity * diffusivity);
    let convection = std::f64::consts::PI * film.conductivity * nusselt(rayleigh, film.prandtl) * rise;
    let radiation =
        EMISSIVITY * STEFAN_BOLTZMANN * std::f64::consts::PI * diameter * (ts.powi(4) - ta.powi(4));
    convection + radiation
}
