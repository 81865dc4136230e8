//! A study after an edit, which takes over what the edit cannot have changed.

use crate::study::Study;
use loomdeck_make::Drilled;
use loomdeck_model::{Place, Robot};
use loomdeck_power::PowerStudy;
use loomdeck_space::{Before, Geometry, Kept};

impl Study {
    /// The live tier of a robot that differs from this study's by an edit.
    ///
    /// Equal, bit for bit, to [`Study::live`] of it, and deepened to [`Study::of`] of it. What is taken over
    /// had equal inputs: everything when the robots are equal, what the electricity does when no wire
    /// has another length or other neighbours. Nothing is ever solved from an old solution, because Newton's
    /// method would end beside the one found from nothing.
    #[must_use]
    pub fn after(&self, robot: Robot) -> Self {
        if robot == self.robot {
            return self.clone().undeepened();
        }
        let before = Before { robot: &self.robot, geometry: &self.geometry, kept: &self.kept };
        let ((geometry, kept), drilled) = Self::placed(&robot, Some(before));
        let power = same_network(&self.robot, &robot)
            && same_runs(&self.geometry, &geometry)
            && self.geometry.wires.len() == robot.wires.len();
        let power = power.then(|| self.power.clone());
        Self::gathered(robot, (geometry, kept), drilled, power)
    }

    /// Where everything is, and meanwhile what is drilled: neither needs the other.
    pub(crate) fn placed(robot: &Robot, before: Option<Before<'_>>) -> ((Geometry, Kept), Drilled) {
        loomdeck_space::beside(
            || loomdeck_space::study_after(robot, before),
            || loomdeck_make::drilled(robot),
        )
    }

    /// The live tier alone of this study.
    fn undeepened(self) -> Self {
        if self.deep.is_none() {
            return self;
        }
        let drilled = loomdeck_make::drilled(&self.robot);
        Self::gathered(self.robot, (self.geometry, self.kept), drilled, Some(self.power))
    }

    /// Gathers the live tier; what the electricity does is worked out unless it is known. Meanwhile another
    /// thread works out how it is made: neither needs the other.
    pub(crate) fn gathered(
        robot: Robot,
        (geometry, kept): (Geometry, Kept),
        drilled: Drilled,
        power: Option<PowerStudy>,
    ) -> Self {
        let (power, (making, mut findings)) = loomdeck_space::beside(
            || power.unwrap_or_else(|| loomdeck_power::study(&robot, &geometry)),
            || {
                let making = loomdeck_make::finished(&robot, &geometry, drilled);
                let mut findings = loomdeck_space::findings(&robot, &geometry);
                findings.extend(loomdeck_make::findings(&robot, &geometry, &making));
                (making, findings)
            },
        );
        findings.extend(loomdeck_power::findings(&robot, &geometry, &power));
        crate::study::put_in_order(&mut findings);
        Self { robot, geometry, power, making, deep: None, findings, kept }
    }
}

/// Whether two robots are the same to the electricity but for the lengths of their wires. Of the places
/// of parts it knows only the zone, whose air they stand in; the board and what is held on it, it does not know.
fn same_network(old: &Robot, new: &Robot) -> bool {
    let parts = old.parts.len() == new.parts.len()
        && old.parts.iter().zip(&new.parts).all(|(p, q)| {
            let zone = |place| match place {
                Place::Board(_) => None,
                Place::Zone { zone, .. } => Some(zone),
            };
            p.name == q.name && p.kind == q.kind && p.fuses == q.fuses && zone(p.place) == zone(q.place)
        });
    let plugs = old.plugs.len() == new.plugs.len()
        && old
            .plugs
            .iter()
            .zip(&new.plugs)
            .all(|(p, q)| p.name == q.name && p.family == q.family && p.zone == q.zone);
    parts
        && plugs
        && old.name == new.name
        && old.limits == new.limits
        && old.motion == new.motion
        && old.zones == new.zones
        && old.types == new.types
        && old.wires == new.wires
        && old.situations == new.situations
        && old.day == new.day
}

/// Whether every wire is as long and tied to the same others.
fn same_runs(old: &Geometry, new: &Geometry) -> bool {
    old.wires.len() == new.wires.len()
        && old
            .wires
            .iter()
            .zip(&new.wires)
            .all(|(p, q)| p.wire == q.wire && p.length == q.length && p.bundles == q.bundles)
}
