//! When things go wrong: each fault and each clumsy hand, solved on the same network as everything else.
//!
//! Part of the deep tier: it follows when the hand rests. Every room takes the [`Ground`] they share and
//! fills its part of [`Faults`].

#[macro_use]
mod samples;

pub mod body;
pub mod crossed;
pub mod exchange;
pub mod motion;
pub mod pack;
pub mod short;
pub mod stop;
pub mod surge;
#[cfg(test)]
mod testing;
pub mod upset;

use crate::circuit::Circuit;
use crate::heat::robot::{Wires, ambient};
use crate::results::PowerStudy;
use loomdeck_model::{Finding, Page, Robot, SituationId, WireId};
use loomdeck_space::Geometry;
use serde::Serialize;

/// Explanations of all findings about faults, by room.
pub const PAGES: &[&[Page]] = &[
    short::PAGES,
    crossed::PAGES,
    motion::PAGES,
    surge::PAGES,
    upset::PAGES,
    exchange::PAGES,
    stop::PAGES,
    body::PAGES,
    pack::PAGES,
];

/// The word of each room, in the order of [`PAGES`].
pub const WORDS: [&str; PAGES.len()] =
    ["short", "crossed", "motion", "surge", "upset", "exchange", "stop", "body", "pack"];

/// What every room starts from.
pub struct Ground<'a> {
    /// The robot.
    pub robot: &'a Robot,
    /// Where its wires run.
    pub geometry: &'a Geometry,
    /// Its operating points.
    pub power: &'a PowerStudy,
    /// Its network.
    pub circuit: Circuit,
    /// Its wires as heat sees them.
    pub wires: Wires,
}

impl<'a> Ground<'a> {
    /// Prepares it.
    pub fn of(robot: &'a Robot, geometry: &'a Geometry, power: &'a PowerStudy) -> Self {
        let (circuit, wires) = (Circuit::of(robot, geometry), Wires::of(robot, geometry));
        Self { robot, geometry, power, circuit, wires }
    }

    /// Resistances of the wires as warm as a situation leaves them.
    pub fn ohms(&self, situation: SituationId) -> Vec<f64> {
        let settled = self.power.situations.get(situation.0);
        let air = self.robot.situations.get(situation.0);
        (0..self.robot.wires.len())
            .map(|w| {
                let warm = settled.and_then(|s| s.wires.get(w)).and_then(|w| w.temperature);
                let warm = warm.unwrap_or_else(|| ambient(self.robot, WireId(w), air));
                self.circuit.wire_resistance(WireId(w), warm.0)
            })
            .collect()
    }
}

/// What happens when something goes wrong.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Faults {
    /// Shorts: at every wire, plug and load, to the return and to neighbours; what opens, when, and how warm the wire gets by then.
    pub short: short::Short,
    /// Wrong wires: a battery or charger reversed, a missing return whose current goes through a signal ground.
    pub crossed: crossed::Crossed,
    /// Pushed, braked, lowered: motors as generators, the bus against speed, what the way back leaves live.
    pub motion: motion::Motion,
    /// What happens in the first moments: surges into capacitors, load dump, dips, pre-charge.
    pub surge: surge::Surge,
    /// Hum and upset: millivolts on shared returns, level and polarity of signals, brown-out under stall.
    pub upset: upset::Upset,
    /// Wrong plugs: one half in another's place, reversed, left out; and the keys that make it harmless.
    pub exchange: exchange::Exchange,
    /// Stop: what each switch, stop button or lost radio link leaves live or moving.
    pub stop: stop::Stopping,
    /// Heat in the closed body over the day of a show.
    pub body: body::BodyHeat,
    /// The pack: taps that unbalance it, charging, storage, cut-off, what happens when its protection opens.
    pub pack: pack::Pack,
}

/// Works out all of it.
pub fn study(robot: &Robot, geometry: &Geometry, power: &PowerStudy) -> Faults {
    let ground = Ground::of(robot, geometry, power);
    Faults {
        short: short::study(&ground),
        crossed: crossed::study(&ground),
        motion: motion::study(&ground),
        surge: surge::study(&ground),
        upset: upset::study(&ground),
        exchange: exchange::study(&ground),
        stop: stop::study(&ground),
        body: body::study(&ground),
        pack: pack::study(&ground),
    }
}

/// What the builder must know about faults, worst first.
pub fn findings(
    robot: &Robot,
    geometry: &Geometry,
    power: &PowerStudy,
    faults: &Faults,
) -> Vec<Finding> {
    let ground = Ground::of(robot, geometry, power);
    let mut out = Vec::new();
    out.extend(short::findings(&ground, &faults.short));
    out.extend(crossed::findings(&ground, &faults.crossed));
    out.extend(motion::findings(&ground, &faults.motion));
    out.extend(surge::findings(&ground, &faults.surge));
    out.extend(upset::findings(&ground, &faults.upset));
    out.extend(exchange::findings(&ground, &faults.exchange));
    out.extend(stop::findings(&ground, &faults.stop));
    out.extend(body::findings(&ground, &faults.body));
    out.extend(pack::findings(&ground, &faults.pack));
    for finding in &mut out {
        finding.spot = finding.spot.or_else(|| crate::findings::spot(robot, finding.subjects.first()));
    }
    Finding::sort(&mut out);
    out
}
