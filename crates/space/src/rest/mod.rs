//! How the board lies, stands and bears its load.
//!
//! [`mass`] adds up what is on the sheet and finds its centre; [`laid`] finds the points it stands on with
//! a face down; [`strength`] bends the sheet under its load between its mounts ([`plate`]); [`growth`]
//! warms it against mounts that stay where they are. Figures of the sheet's materials stand in
//! [`material`].

pub(crate) mod facet;
pub mod growth;
pub mod laid;
pub mod mass;
pub mod material;
pub mod plate;
pub mod strength;

pub use growth::{Growth, MountGrowth};
pub use laid::{Carrier, Foot, Laid, Stand};
pub use mass::{BoardMass, MassOf, MassShare};
pub use strength::{Held, MountLoad, Strength};

use crate::geometry::{FaceView, WireRun};
use loomdeck_model::Robot;
use serde::Serialize;
use std::sync::Arc;

/// A point in space: x and y of the board's frame, z above its front face (negative behind it), mm.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Spot {
    /// To the right, seen from the front, mm.
    pub x: f64,
    /// Up, mm.
    pub y: f64,
    /// Out of the front face, mm.
    pub z: f64,
}

/// How the board lies, stands and bears its load.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rest {
    /// What it weighs, and where its centre of mass is.
    pub mass: BoardMass,
    /// Laid on a table with a face down: front, then back.
    pub laid: Vec<Laid>,
    /// How it is held, and how far the sheet bends between its mounts.
    pub held: Held,
    /// How far the sheet grows against its mounts; `None` with fewer than two of them.
    pub growth: Option<Growth>,
}

/// What a study of the board at rest leaves for the next one.
#[derive(Clone, Debug, Default)]
pub struct Kept {
    sheet: Option<Arc<plate::Prepared>>,
}

/// Works it out; `None` without a board. What an earlier study left makes it sooner, and changes nothing.
pub fn rest(
    robot: &Robot,
    faces: &[FaceView],
    wires: &[WireRun],
    before: Option<&Kept>,
) -> (Option<Rest>, Kept) {
    let Some(board) = &robot.board else { return Default::default() };
    let mass = mass::mass(robot, board, faces, wires);
    let laid = laid::laid(robot, board, faces, &mass, &[]);
    let known = before.and_then(|k| k.sheet.as_ref());
    let (held, sheet) = strength::held(board, faces, &mass, known);
    let growth = growth::growth(robot, board);
    (Some(Rest { mass, laid, held, growth }), Kept { sheet })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use loomdeck_model::{Folder, Place, read};
    use std::path::Path;

    fn samovar() -> Robot {
        let at = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos/samovar");
        read(&Folder::load(&at).unwrap()).0.unwrap()
    }

    /// Parts moved over the same sheet, then the sheet itself changed: always as from nothing.
    #[test]
    fn a_known_sheet_bends_as_one_from_nothing() {
        let mut robot = samovar();
        let mut kept = Kept::default();
        for step in 0..8u32 {
            let parts = robot.parts.len();
            let part = &mut robot.parts[(7 * step as usize) % parts];
            if let Place::Board(at) = &mut part.place {
                at.at.x += f64::from(step);
            }
            let board = robot.board.as_mut().unwrap();
            match step {
                3 => board.mounts[0].at.x += 5.0,
                5 => board.outline.0.iter_mut().for_each(|p| p.x *= 1.1),
                6 => board.thickness += loomdeck_model::units::Millimetres(1.0),
                7 => board.material = loomdeck_model::Material::Aluminium,
                _ => {}
            }
            let views = crate::faces::faces(&robot);
            let (rest, next) = super::rest(&robot, &views, &[], Some(&kept));
            assert!(matches!(rest.as_ref().unwrap().held, Held::Firmly(_)));
            assert_eq!(rest, super::rest(&robot, &views, &[], None).0, "step {step}");
            kept = next;
        }
    }
}
