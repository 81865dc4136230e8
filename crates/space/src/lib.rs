//! Where things are: faces, clearances, routes. Knows nothing of volts and amperes.
//!
//! [`study`] places every part as a prism on its face ([`faces`]), routes every wire ([`route`]) and
//! measures it ([`lengths`]); [`findings`] says what does not fit.

pub mod access;
pub mod bend;
pub mod bit;
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
    let faces = faces::faces(robot);
    // What hands and tools need does not depend on the ways of wires, which take longest.
    let (routes, (access, bends, holes)) = beside(
        || route::routes(robot, &faces),
        || {
            let access = access::access(robot, &faces);
            (access, bend::bends(robot, &faces), faces::holes(robot))
        },
    );
    let fills = fills(robot, &routes.wires);
    Geometry {
        access,
        bends,
        openings: openings::openings(robot, &routes.wires, &fills),
        rest: rest::rest(robot, &faces, &routes.wires),
        holes,
        faces,
        fills,
        wires: routes.wires,
        looms: routes.looms,
        gaps: routes.gaps,
        blocked: routes.blocked,
    }
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
    let through = |pass: PassId| -> Vec<WireId> {
        let uses = |run: &&WireRun| {
            run.legs.iter().any(|leg| matches!(leg, Leg::Through { pass: p, .. } if *p == pass))
        };
        wires.iter().filter(uses).map(|run| run.wire).collect()
    };
    (0..board.passes.len())
        .map(|i| {
            let wires = through(PassId(i));
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
