//! Where things are: faces, clearances, routes. Knows nothing of volts and amperes.
//!
//! [`study`] places every part as a prism on its face ([`faces`]), routes every wire ([`route`]) and
//! measures it ([`lengths`]); [`findings`] says what does not fit.

pub mod access;
pub mod bend;
pub mod bit;
pub mod cut;
pub mod faces;
mod findings;
pub mod geometry;
pub mod hardware;
pub mod held;
pub mod hole_size;
pub mod lengths;
pub mod openings;
pub mod order;
pub mod packing;
pub mod rest;
pub mod rooms;
pub mod route;
#[cfg(test)]
mod samples;
pub mod screw;
pub mod shape;
pub mod takeout;
pub mod ties;

pub use findings::{PAGES, findings};
pub use geometry::*;

use loomdeck_model::{PassId, Robot, WireId};

/// Where everything is: faces, holes, wires, looms.
pub fn study(robot: &Robot) -> Geometry {
    study_after(robot, None).0
}

/// An earlier study, of which a new one takes over what an edit cannot have changed.
#[derive(Clone, Copy, Debug)]
pub struct Before<'a> {
    /// The robot before the edit.
    pub robot: &'a Robot,
    /// Where everything was.
    pub geometry: &'a Geometry,
    /// What that study left.
    pub kept: &'a Kept,
}

/// What a study leaves for the next one. It holds no result, so that any two count as equal.
#[derive(Clone, Debug, Default)]
pub struct Kept {
    routes: route::Kept,
    access: access::Kept,
    rest: rest::Kept,
}

impl PartialEq for Kept {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

/// [`study`], the same to the last bit, sooner when an earlier study of nearly the same robot is there.
pub fn study_after(robot: &Robot, before: Option<Before<'_>>) -> (Geometry, Kept) {
    let faces = faces::faces(robot);
    // What hands and tools need does not depend on the ways of wires, which take longest.
    let ((routes, kept), ((access, reached), bends, holes)) = beside(
        || route::routes(robot, &faces, before.map(|b| &b.kept.routes)),
        || {
            let access = access::access(robot, &faces, before);
            (access, bend::bends(robot, &faces), faces::holes(robot))
        },
    );
    let fills = fills(robot, &routes.wires);
    let (rest, at_rest) = rest::rest(robot, &faces, &routes.wires, before.map(|b| &b.kept.rest));
    let geometry = Geometry {
        access,
        bends,
        openings: openings::openings(robot, &routes.wires, &fills),
        rest,
        holes,
        faces,
        fills,
        wires: routes.wires,
        looms: routes.looms,
        gaps: routes.gaps,
        blocked: routes.blocked,
    };
    (geometry, Kept { routes: kept, access: reached, rest: at_rest })
}

/// Two pieces of work side by side; what goes wrong in either goes wrong here.
pub fn beside<A, B: Send>(here: impl FnOnce() -> A, there: impl FnOnce() -> B + Send) -> (A, B) {
    std::thread::scope(|scope| {
        let there = scope.spawn(there);
        let a = here();
        match there.join() {
            Ok(b) => (a, b),
            Err(why) => std::panic::resume_unwind(why),
        }
    })
}

/// What goes through each opening.
fn fills(robot: &Robot, wires: &[WireRun]) -> Vec<PassFill> {
    let Some(board) = &robot.board else { return Vec::new() };
    let mut through: Vec<Vec<WireId>> = vec![Vec::new(); board.passes.len()];
    for run in wires {
        for leg in &run.legs {
            if let Leg::Through { pass, .. } = leg
                && through[pass.0].last() != Some(&run.wire)
            {
                through[pass.0].push(run.wire);
            }
        }
    }
    through
        .into_iter()
        .enumerate()
        .map(|(i, wires)| {
            let area: f64 = wires
                .iter()
                .map(|w| {
                    let w = &robot.wires[w.0];
                    let d = w.insulation.outside_diameter(w.gauge).0;
                    std::f64::consts::PI / 4.0 * d * d
                })
                .sum();
            let (opening, _) = faces::opening(board.passes[i].shape);
            PassFill { pass: PassId(i), wires, fill: area / opening.max(1e-9) }
        })
        .collect()
}
