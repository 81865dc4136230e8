//! Screws and nuts of terminals that have a wire.

use super::kept::Found;
use super::scene::{Scene, Setting};
use super::sweep::{cylinder, prism, strip};
use super::ways::{Place, best_with_core, sorted, together};
use super::{Job, Solid, Tool, When, fasteners, tools};
use crate::faces::{self, Standing};
use crate::geometry::TerminalSpot;
use crate::hardware;
use crate::held::{Doing, Work};
use crate::shape::direction;
use loomdeck_model::part_type::{Exit, Fitting, Terminal, Thread};
use loomdeck_model::{Landing, Point, Robot};

/// Terminals of parts that have a wire, as indices of part and terminal, in order.
pub fn in_use(robot: &Robot) -> Vec<(usize, usize)> {
    let landings = robot.wires.iter().flat_map(|w| [w.from, w.to]);
    let mut out: Vec<(usize, usize)> = landings
        .filter_map(|l| match l {
            Landing::Part { part, terminal } => Some((part.0, terminal)),
            Landing::Plug { .. } => None,
        })
        .collect();
    out.sort_unstable();
    out.dedup();
    out
}

/// Terminals of one thing that are in use.
pub fn needs(scene: &Scene, thing: &Standing, out: &mut Found) {
    let (Some(body), crate::geometry::Owner::Part(part)) = (&thing.body, thing.owner) else { return };
    for spot in &body.terminals {
        if scene.in_use.binary_search(&(part.0, spot.terminal)).is_err() {
            continue;
        }
        let terminal = &thing.kind.terminals[spot.terminal];
        let Some(screw) = terminal.screw else { continue };
        let place = Place {
            face: thing.at.face,
            at: spot.at,
            setting: Setting::Bench,
            own: Some(&thing.subject),
            own_body: false,
        };
        let way = faces::turned(thing.at, screw);
        let job = Job::Terminal { terminal: spot.terminal };
        out.add(scene, (&thing.subject, Some(thing.owner)), (job, When::Wire), || {
            let common = match (terminal.fitting, way) {
                (Fitting::Stud(thread), Exit::Up) => {
                    fasteners::core(nut_at(spot, thread), thread, spot.at)
                }
                _ => None,
            };
            let uses = best_with_core(scene, &place, common, tried(terminal, spot, way));
            sorted(together(vec![uses]))
        });
    }
}

/// The nut of a stud.
fn nut_at(spot: &TerminalSpot, thread: Thread) -> Doing {
    let comes_out = hardware::nut(thread).height + hardware::washer(thread).thickness;
    Doing { work: Work::Nut, face: loomdeck_model::Face::Front, seat: spot.height, comes_out }
}

/// Tools for it, the handiest first: a screwdriver, or for a stud the box of a nut driver and then an
/// open spanner.
fn tried<'a>(
    terminal: &'a Terminal,
    spot: &'a TerminalSpot,
    way: Exit,
) -> impl Iterator<Item = (Tool, Vec<Solid>)> + 'a {
    let height = spot.height;
    (0usize..).map_while(move |k| match (terminal.fitting, way) {
        (Fitting::Stud(thread), Exit::Up) => {
            fasteners::candidate(nut_at(spot, thread), thread, spot.at, k)
        }
        _ if k > 0 => None,
        (Fitting::Stud(thread), Exit::Along(d)) => {
            let driver = tools::Driver { shaft: tools::socket(thread), length: tools::NUT_DRIVER };
            Some((Tool::NutDriver, lying(spot.at, height.0, direction(d.0), driver)))
        }
        (_, Exit::Along(d)) => {
            let driver = tools::terminal_driver(terminal.thickest.0);
            Some((Tool::Screwdriver, lying(spot.at, height.0, direction(d.0), driver)))
        }
        (_, Exit::Up) => {
            let driver = tools::terminal_driver(terminal.thickest.0);
            let end = height.0 + driver.length;
            let shaft = cylinder(spot.at, driver.shaft, height.0, end);
            let fist = cylinder(spot.at, tools::FIST, end, end + tools::GRIP);
            Some((Tool::Screwdriver, vec![shaft, fist]))
        }
    })
}

/// A driver lying along the face, its handle held by the fingertips.
fn lying(at: Point, height: f64, way: Point, driver: tools::Driver) -> Vec<Solid> {
    let part = |from: f64, to: f64, wide: f64| {
        prism(strip(at, way, from, to, wide), height - wide / 2.0, height + wide / 2.0)
    };
    let end = driver.length;
    vec![part(0.0, end, driver.shaft), part(end, end + tools::GRIP, tools::HANDLE)]
}
