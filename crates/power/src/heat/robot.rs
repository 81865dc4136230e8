//! The wires of a robot: what each is made of, and with whom it is tied.

use super::wire::{self, Bundle, Conductor, Settled};
use loomdeck_model::units::Celsius;
use loomdeck_model::{Landing, PlugId, Robot, Situation, WireId};
use loomdeck_space::Geometry;

/// What does not depend on the situation.
#[derive(Clone, Debug)]
pub struct Wires {
    /// One per wire.
    pub conductors: Vec<Conductor>,
    /// Bundles: members and diameter, m.
    pub bundles: Vec<(Vec<WireId>, f64)>,
    /// Indices into `bundles`, per wire.
    pub member_of: Vec<Vec<usize>>,
}

/// A stretch shorter than this does not set a wire's temperature: copper carries its heat away along
/// the wire. (A 1 mm² wire's temperature evens out over some centimetres: √(λ·A/(h·π·D)) is 37 mm at
/// 15 W/(m²·K).)
const SHORTEST_STRETCH: f64 = 40.0;

impl Wires {
    /// Collects them.
    pub fn of(robot: &Robot, geometry: &Geometry) -> Self {
        let conductors =
            robot.wires.iter().map(|w| Conductor::of(w.gauge, w.insulation)).collect::<Vec<_>>();
        let mut bundles: Vec<(Vec<WireId>, f64)> = Vec::new();
        let mut member_of = vec![Vec::new(); robot.wires.len()];
        let mut known = std::collections::BTreeMap::new();
        for run in &geometry.wires {
            if run.wire.0 >= robot.wires.len() {
                continue;
            }
            for stretch in &run.bundles {
                if stretch.length.0 < SHORTEST_STRETCH || stretch.with.is_empty() {
                    continue;
                }
                let mut members = stretch.with.clone();
                members.push(run.wire);
                members.sort_unstable();
                members.dedup();
                members.retain(|w| w.0 < robot.wires.len());
                let diameter = stretch.diameter.0.max(1.0) / 1000.0;
                let index = *known.entry((members.clone(), diameter.to_bits())).or_insert_with(|| {
                    bundles.push((members, diameter));
                    bundles.len() - 1
                });
                if !member_of[run.wire.0].contains(&index) {
                    member_of[run.wire.0].push(index);
                }
            }
        }
        Self { conductors, bundles, member_of }
    }

    /// The bundles of a wire with the heat of their other members at these currents.
    pub fn bundles_of(&self, wire: WireId, currents: &[f64]) -> Vec<Bundle> {
        self.bundles_with(wire, |w| currents[w.0])
    }

    /// [`Self::bundles_of`] with the current of each wire.
    pub fn bundles_with(&self, wire: WireId, current: impl Fn(WireId) -> f64) -> Vec<Bundle> {
        self.member_of[wire.0]
            .iter()
            .map(|&index| {
                let (members, diameter) = &self.bundles[index];
                let others = members
                    .iter()
                    .filter(|&&w| w != wire)
                    .map(|&w| current(w) * current(w) * self.conductors[w.0].cold)
                    .sum();
                Bundle { diameter: *diameter, others }
            })
            .collect()
    }

    /// Where every wire settles at these currents in this air: [`wire::steady`] of each. What a bundle makes
    /// is the same for all its members, so that its middle is settled once.
    pub fn steady(&self, currents: &[f64], air: &[f64]) -> Vec<Option<Settled>> {
        let heat: Vec<f64> =
            currents.iter().zip(&self.conductors).map(|(i, c)| i * i * c.cold).collect();
        let made: Vec<f64> =
            self.bundles.iter().map(|(members, _)| members.iter().map(|w| heat[w.0]).sum()).collect();
        let mut known: Vec<Vec<(f64, Option<Settled>)>> = vec![Vec::new(); self.bundles.len()];
        let mut core = |bundle: usize, air: f64| {
            if let Some(&(_, found)) = known[bundle].iter().find(|k| k.0 == air) {
                return found;
            }
            let found = wire::core(self.bundles[bundle].1, made[bundle], air);
            known[bundle].push((air, found));
            found
        };
        (0..self.conductors.len())
            .map(|w| {
                let cores = self.member_of[w].iter().map(|&bundle| core(bundle, air[w]));
                wire::steady_among(&self.conductors[w], currents[w], air[w], cores)
            })
            .collect()
    }

    /// Most wires it is ever tied with, itself included.
    pub fn bundled(&self, wire: WireId) -> usize {
        self.member_of[wire.0].iter().map(|&b| self.bundles[b].0.len()).max().unwrap_or(1)
    }
}

/// Air around a wire: the warmer of its two ends'.
pub fn ambient(robot: &Robot, wire: WireId, situation: Option<&Situation>) -> Celsius {
    let body = situation.and_then(|s| s.ambient).unwrap_or(robot.limits.ambient);
    let plug = |plug: PlugId| robot.zones[robot.plugs[plug.0].zone.0].ambient.unwrap_or(body);
    let end = |landing: Landing| match landing {
        Landing::Part { part, .. } => robot.ambient(robot.parts[part.0].place, situation),
        Landing::Plug { plug: p, half: loomdeck_model::Half::Body, .. } => plug(p),
        Landing::Plug { .. } => body,
    };
    let wire = &robot.wires[wire.0];
    end(wire.from).max(end(wire.to))
}
