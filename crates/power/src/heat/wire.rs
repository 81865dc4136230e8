//! The heat balance of one wire, and of wires tied together.

use super::air;
use loomdeck_model::wire::{COPPER_DENSITY, COPPER_HEAT, COPPER_ZERO, Gauge, Insulation};
use std::f64::consts::PI;

/// Conductor temperature above which the model says nothing: insulation is long gone, and the
/// correlations end.
pub const HOTTEST: f64 = 400.0;

/// Heat conductivity between the wires of a bundle, W/(m·K): plastic touching along lines with air
/// between. An estimate between that of air (0.03) and plastic (0.2); the bundle figures of
/// AC 43.13-1B bear it out within 15 %.
pub const BUNDLE_CONDUCTIVITY: f64 = 0.12;

/// What the balance needs to know of a wire, per metre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conductor {
    /// Ω/m at 20 °C.
    pub cold: f64,
    /// Diameter over the insulation, m.
    pub outside: f64,
    /// From conductor to surface, K·m/W.
    pub through: f64,
    /// Copper and insulation, J/(m·K).
    pub capacity: f64,
    /// Copper alone, J/(m·K).
    pub copper_capacity: f64,
}

impl Conductor {
    /// A wire on sale.
    pub fn of(gauge: Gauge, insulation: Insulation) -> Self {
        let d = gauge.conductor_diameter().0 / 1000.0;
        let outside = insulation.outside_diameter(gauge).0 / 1000.0;
        let copper_capacity = gauge.area().0 * 1e-6 * COPPER_DENSITY * COPPER_HEAT;
        let jacket = PI / 4.0 * (outside * outside - d * d);
        Self {
            cold: gauge.ohms_per_metre().0,
            outside,
            through: (outside / d).ln() / (2.0 * PI * conductivity(insulation)),
            capacity: copper_capacity + jacket * volumetric_heat(insulation),
            copper_capacity,
        }
    }

    /// Heat per metre at a conductor temperature.
    pub fn heat(&self, current: f64, celsius: f64) -> f64 {
        current * current * self.cold * (COPPER_ZERO + celsius) / (COPPER_ZERO + 20.0)
    }
}

/// Heat conductivity of insulation, W/(m·K). PVC 0.17, silicone 0.2, polyethylene 0.29, PTFE 0.25:
/// IEC 60287-2-1 table 1 gives 1/6, -, 1/3.5 and - for cable insulation; the others from memory of
/// material tables.
const fn conductivity(insulation: Insulation) -> f64 {
    match insulation {
        Insulation::Pvc70 | Insulation::Pvc105 => 0.17,
        Insulation::Silicone => 0.20,
        Insulation::Xlpe => 0.29,
        Insulation::Ptfe => 0.25,
    }
}

/// Heat to warm a cubic metre by a kelvin, J/(m³·K): PVC 1.7 MJ and polyethylene 2.4 MJ by
/// IEC 60853-1; silicone and PTFE from memory of material tables.
const fn volumetric_heat(insulation: Insulation) -> f64 {
    match insulation {
        Insulation::Pvc70 | Insulation::Pvc105 => 1.7e6,
        Insulation::Silicone => 1.5e6,
        Insulation::Xlpe => 2.4e6,
        Insulation::Ptfe => 2.2e6,
    }
}

/// A settled cylinder: surface and inside, °C.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settled {
    /// Surface.
    pub surface: f64,
    /// Hottest inside.
    pub inside: f64,
}

/// Settles a cylinder that makes `cold_heat` W/m if its copper were at 20 °C (more when warmer),
/// with `through` K·m/W from its inside to its surface, in air of this temperature.
///
/// Newton's method on the surface temperature; the loss is convex in it, so the iteration comes
/// down on the root from above. `None` when it settles above [`HOTTEST`].
pub fn settle(diameter: f64, cold_heat: f64, through: f64, air: f64) -> Option<Settled> {
    if cold_heat <= 0.0 {
        return Some(Settled { surface: air, inside: air });
    }
    let gap = |surface: f64| {
        let out = air::loss(diameter, surface, air);
        let inside = surface + out * through;
        (out - cold_heat * (COPPER_ZERO + inside) / (COPPER_ZERO + 20.0), inside)
    };
    let mut surface = air + (cold_heat / (PI * diameter * 12.0)).clamp(1e-9, 500.0);
    for _ in 0..40 {
        let (f, inside) = gap(surface);
        let h = 1e-4 * (surface - air).max(1e-3);
        let slope = (gap(surface + h).0 - f) / h;
        if slope <= 0.0 {
            return None;
        }
        let step = f / slope;
        let next = (surface - step).max(air + 0.1 * (surface - air));
        if (next - surface).abs() < 1e-4 {
            return (inside <= HOTTEST).then_some(Settled { surface: next, inside });
        }
        surface = next;
        if surface > 2.0 * HOTTEST {
            return None;
        }
    }
    None
}

/// A bundle in which a wire lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bundle {
    /// Diameter, m.
    pub diameter: f64,
    /// Σ I²·R at 20 °C of the other wires, W/m.
    pub others: f64,
}

/// Settled temperatures of a wire that carries `current`, alone or in the hottest of its bundles. In a
/// bundle the wire is taken to lie in the middle. `None` above [`HOTTEST`].
pub fn steady(wire: &Conductor, current: f64, air: f64, bundles: &[Bundle]) -> Option<Settled> {
    let own = current * current * wire.cold;
    let mut hottest = settle(wire.outside, own, wire.through, air)?;
    for bundle in bundles {
        let inner = 1.0 / (4.0 * PI * BUNDLE_CONDUCTIVITY);
        let core = settle(bundle.diameter, own + bundle.others, inner, air)?;
        let inside = core.inside + wire.heat(current, core.inside) * wire.through;
        if inside > hottest.inside {
            hottest = Settled { surface: core.inside, inside };
        }
    }
    (hottest.inside <= HOTTEST).then_some(hottest)
}

/// Time after which the wire has gone 63 % of the way to a settled temperature, s: heat capacity times
/// the thermal resistance it settles at.
pub fn time_constant(wire: &Conductor, current: f64, air: f64, settled: f64) -> f64 {
    let heat = wire.heat(current, settled);
    if heat > 0.0 && settled > air + 0.1 {
        wire.capacity * (settled - air) / heat
    } else {
        // Barely warm: the loss of a cylinder that is 10 K above the air.
        wire.capacity * 10.0 / air::loss(wire.outside, air + 10.0, air)
    }
}

/// Conductor temperature after `time` of `current`, from `start`. Follows the balance step by step
/// with a loss in proportion to the rise of the state it would settle at where there is one, else
/// with the loss of the single wire. Stops at [`HOTTEST`].
pub fn after(
    wire: &Conductor,
    current: f64,
    air: f64,
    bundles: &[Bundle],
    start: f64,
    time: f64,
) -> f64 {
    heat_up(wire, current, air, bundles, start, HOTTEST, time).0
}

/// How long the wire takes from `start` to `limit`; `None`: it never gets there.
pub fn time_to(
    wire: &Conductor,
    current: f64,
    air: f64,
    bundles: &[Bundle],
    start: f64,
    limit: f64,
) -> Option<f64> {
    if start >= limit {
        return Some(0.0);
    }
    if steady(wire, current, air, bundles).is_some_and(|s| s.inside <= limit) {
        return None;
    }
    let (_, time) = heat_up(wire, current, air, bundles, start, limit, 1e7);
    Some(time)
}

/// Steps of at most 2 % of the way; heat minus loss over capacity. The loss per kelvin is that of
/// the settled state when it exists (so a bundle's is used), else of the single wire at this rise.
fn heat_up(
    wire: &Conductor,
    current: f64,
    air: f64,
    bundles: &[Bundle],
    start: f64,
    limit: f64,
    most: f64,
) -> (f64, f64) {
    let settled = steady(wire, current, air, bundles).map(|s| s.inside);
    if let Some(end) = settled {
        // Close to exponential; the constant is taken at the settled state.
        let tau = time_constant(wire, current, air, end);
        let reach = |t: f64| end + (start - end) * (-t / tau).exp();
        if end <= limit {
            return (reach(most), most);
        }
        let time = tau * ((end - start) / (end - limit)).ln();
        return if time <= most { (limit, time) } else { (reach(most), most) };
    }
    let (mut t, mut celsius) = (0.0, start);
    let stride = (limit - start).max(1.0) / 60.0;
    while celsius < limit && t < most {
        let lost = if celsius > air { air::loss(wire.outside, celsius, air) } else { 0.0 };
        let rate = (wire.heat(current, celsius) - lost) / wire.capacity;
        if rate <= 1e-9 {
            return (celsius, most);
        }
        let dt = (stride / rate).min(most - t);
        celsius += rate * dt;
        t += dt;
    }
    (celsius.min(limit), t)
}
