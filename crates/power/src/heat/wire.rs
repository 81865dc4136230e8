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
    /// What the insulation takes up in a short time: J/(m·K) per √s, and per s.
    pub soak: (f64, f64),
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
            soak: soak(gauge.area().0, insulation),
        }
    }

    /// Heat capacity that counts after a time of steady heating, J/(m·K): the copper with as much of the
    /// insulation as the heat has reached. It grows from the copper's alone to [`Self::capacity`].
    pub fn capacity_after(&self, time: f64) -> f64 {
        let reached = self.soak.0 * time.sqrt() + self.soak.1 * time;
        (self.copper_capacity + reached).min(self.capacity)
    }

    /// Share of the insulation that the heat has reached when this capacity counts.
    fn reached(&self, capacity: f64) -> f64 {
        let jacket = self.capacity - self.copper_capacity;
        if jacket > 0.0 { (capacity - self.copper_capacity) / jacket } else { 1.0 }
    }

    /// Conductor temperature if nothing leaves the surface: IEC 60949 (1988), adiabatic current with the
    /// factor for heat that goes into the insulation, bounded by what insulation there is.
    fn without_loss(&self, current: f64, start: f64, time: f64) -> f64 {
        let slope = current * current * self.cold / (COPPER_ZERO + 20.0);
        (COPPER_ZERO + start) * (slope * time / self.capacity_after(time)).exp() - COPPER_ZERO
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

/// What the insulation around a conductor of this area (mm²) takes up: J/(m·K) per √s and per s.
///
/// IEC 60949 (1988), clause 5: permissible current over adiabatic current
/// ε = √(1 + F·A·√(t/S) + F²·B·t/S), A = C1/σc·√(σi/ρi), B = C2/σc·σi/ρi, with C1 = 2464 mm/m,
/// C2 = 1.22 K·m·mm²/J and F = 0.7 for the imperfect contact between conductor and insulation (from
/// memory; its printed 0.29 and 0.06 for PVC, 0.41 and 0.12 for cross-linked polyethylene come out). The
/// square of ε is the heat capacity over the copper's.
fn soak(area: f64, insulation: Insulation) -> (f64, f64) {
    const CONTACT: f64 = 0.7;
    let product = volumetric_heat(insulation) * conductivity(insulation);
    (CONTACT * 2464e-6 * (product * area).sqrt(), CONTACT * CONTACT * 1.22e-6 * product)
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
    let per_kelvin = cold_heat / (COPPER_ZERO + 20.0);
    // In still air a thin wire loses about 19 mW/(m·K) by convection, and the thicker the more; the rest
    // is radiation.
    let guess = cold_heat / (PI * (0.019 + 10.0 * diameter));
    let mut surface = air + guess.clamp(1e-9, 500.0);
    for _ in 0..40 {
        let (out, by_surface) = air::loss_and_slope(diameter, surface, air);
        let inside = surface + out * through;
        let inside_slope = 1.0 + by_surface * through;
        let slope = by_surface - per_kelvin * inside_slope;
        if slope <= 0.0 {
            return None;
        }
        let step = (out - per_kelvin * (COPPER_ZERO + inside)) / slope;
        let next = (surface - step).max(air + 0.1 * (surface - air));
        let change = next - surface;
        // The error left goes with the square of the step.
        if change.abs() < 1e-4f64.max(1e-3 * (surface - air)) {
            let inside = inside + change * inside_slope;
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
    let cores = bundles.iter().map(|bundle| core(bundle.diameter, own + bundle.others, air));
    steady_among(wire, current, air, cores)
}

/// The middle of a bundle that makes this heat if its copper were at 20 °C.
pub(super) fn core(diameter: f64, cold_heat: f64, air: f64) -> Option<Settled> {
    settle(diameter, cold_heat, 1.0 / (4.0 * PI * BUNDLE_CONDUCTIVITY), air)
}

/// [`steady`] where the middles of the bundles have settled.
pub(super) fn steady_among(
    wire: &Conductor,
    current: f64,
    air: f64,
    cores: impl IntoIterator<Item = Option<Settled>>,
) -> Option<Settled> {
    let own = current * current * wire.cold;
    let mut hottest = settle(wire.outside, own, wire.through, air)?;
    for core in cores {
        let core = core?;
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

/// Conductor temperature after `time` of `current`, from `start`. Stops at [`HOTTEST`].
///
/// The copper heats first and the insulation follows ([`Conductor::capacity_after`]). Where the wire
/// settles, its loss is in proportion to its rise, as at the settled state (so a bundle's counts), and it
/// is never warmer than without any loss. Where it does not, the balance is followed step by step with
/// the loss of the single wire.
pub fn after(
    wire: &Conductor,
    current: f64,
    air: f64,
    bundles: &[Bundle],
    start: f64,
    time: f64,
) -> f64 {
    let end = steady(wire, current, air, bundles).map(|s| s.inside);
    after_towards(wire, current, air, end, start, time)
}

/// [`after`] for a wire of which it is known where it settles; `None`: above [`HOTTEST`].
pub fn after_towards(
    wire: &Conductor,
    current: f64,
    air: f64,
    end: Option<f64>,
    start: f64,
    time: f64,
) -> f64 {
    let Some(end) = end else { return burn(wire, current, air, start, HOTTEST, time).0 };
    let last = Warming::of(wire, current, air, start, end).after(time);
    if end <= HOTTEST || last < HOTTEST { last } else { HOTTEST }
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
    const NEVER: f64 = 1e7;
    if start >= limit {
        return Some(0.0);
    }
    let Some(end) = steady(wire, current, air, bundles).map(|s| s.inside) else {
        return Some(burn(wire, current, air, start, limit, NEVER).1);
    };
    if end <= limit {
        return None;
    }
    let warming = Warming::of(wire, current, air, start, end);
    if warming.after(NEVER) < limit { Some(NEVER) } else { Some(warming.reaches(limit, NEVER)) }
}

/// Whether the wire gets from `start` to `limit` within a time; sooner told than [`time_to`].
pub fn gets_to(
    wire: &Conductor,
    current: f64,
    air: f64,
    bundles: &[Bundle],
    start: f64,
    limit: f64,
    within: f64,
) -> bool {
    if start >= limit {
        return within > 0.0;
    }
    match steady(wire, current, air, bundles).map(|s| s.inside) {
        Some(end) => end > limit && Warming::of(wire, current, air, start, end).after(within) > limit,
        // The last stride may begin just before the time is over.
        None => burn(wire, current, air, start, limit, within).0 >= limit,
    }
}

/// A wire on its way to a settled temperature.
struct Warming<'a> {
    wire: &'a Conductor,
    current: f64,
    start: f64,
    end: f64,
    tau: f64,
}

impl<'a> Warming<'a> {
    fn of(wire: &'a Conductor, current: f64, air: f64, start: f64, end: f64) -> Self {
        Self { wire, current, start, end, tau: time_constant(wire, current, air, end) }
    }

    /// Temperature after a time.
    fn after(&self, time: f64) -> f64 {
        let &Self { wire, current, start, end, tau } = self;
        if end <= start {
            return end + (start - end) * (-time / tau).exp();
        }
        let soaked = tau * wire.capacity_after(time) / wire.capacity;
        let settling = end + (start - end) * (-time / soaked).exp();
        settling.min(wire.without_loss(current, start, time))
    }

    /// The moment at which it passes a temperature between its start and its end, before `most`.
    fn reaches(&self, limit: f64, most: f64) -> f64 {
        // The temperature rises all the way. Where it settles, -ln(1 - (T - start)/(end - start)) grows
        // nearly in proportion to the time, and so does the temperature early on: a straight line
        // through two moments soon finds the third, and halving helps where it does not.
        let (mut low, mut high) = (0.0, most);
        let mut middle = (self.tau * self.wire.capacity_after(self.tau) / self.wire.capacity)
            * -(1.0 - (limit - self.start) / (self.end - self.start)).ln();
        for _ in 0..100 {
            if !(middle > low && middle < high) {
                middle = (low + high) / 2.0;
            }
            let t = self.after(middle);
            if t < limit {
                low = middle
            } else {
                high = middle
            }
            if high - low <= 1e-9 * high {
                break;
            }
            let step = 1e-6 * middle;
            let slope = (self.after(middle + step) - t) / step;
            // Just beyond the foreseen place, from either side, so that it soon lies between the two.
            let aim = middle + (limit - t) / slope;
            middle = if aim > middle { aim * (1.0 + 4e-10) } else { aim * (1.0 - 4e-10) };
        }
        high
    }
}

/// Follows a wire that does not settle: the heat put in, less what leaves the surface, is spread over
/// the copper and the insulation reached so far. The loss grows as the heat gets through to the surface.
fn burn(wire: &Conductor, current: f64, air: f64, start: f64, limit: f64, most: f64) -> (f64, f64) {
    let loss = |celsius: f64| {
        if celsius <= air {
            return 0.0;
        }
        // The surface is cooler than the conductor by what the insulation resists.
        let bare = air::loss(wire.outside, celsius, air);
        (celsius - air) / ((celsius - air) / bare + wire.through)
    };
    let at_start = loss(start);
    let stride = (limit - start).max(1.0) / 60.0;
    let (mut t, mut celsius, mut stored) = (0.0, start, 0.0);
    let mut capacity = wire.capacity_after(t);
    while celsius < limit && t < most {
        let lost = at_start + wire.reached(capacity) * (loss(celsius) - at_start);
        let net = wire.heat(current, celsius + stride / 2.0) - lost;
        if net <= 1e-9 {
            return (celsius, most);
        }
        let dt = (stride * capacity / net).min(most - t);
        let (before, since) = (celsius, t);
        stored += net * dt;
        t += dt;
        capacity = wire.capacity_after(t);
        celsius = (start + stored / capacity).max(before);
        if celsius >= limit {
            let share = (limit - before) / (celsius - before);
            return (limit, since + share * dt);
        }
    }
    (celsius, t)
}
