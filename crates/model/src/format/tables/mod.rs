//! The tables of `robot.toml`, `board.toml`, `wiring.toml` and `as-built.toml`, a file for each.

mod as_built;
pub(crate) mod board;
mod robot;
pub(crate) mod wiring;

use super::type_tables::TYPE;
use super::{Field, Kind, Spec};
use board::{BOARD, BODY_OPENING, KEEP_OUT, MOUNT, PART, PASS};
use robot::{BODY, BOOK, DAY, LIMITS, MOTION, ROBOT, SITUATION, ZONE};
use wiring::{CABLE, LOOM, PLUG, SHELF, WIRE};

pub use as_built::AS_BUILT;
pub(crate) use board::FIXING;
pub(crate) use robot::{MEAN, PEAK, PEAK_TIME, RMS};

/// Everything that may stand in a robot's files.
pub static ROOT: Spec = Spec {
    name: "file",
    about: "The top of `robot.toml`, `board.toml` and `wiring.toml`. Any section may stand in any of the three; a small robot is one `robot.toml`.",
    fields: &[
        need(
            "format",
            Kind::Whole(1, 1),
            "Version of the format; stands once, in `robot.toml`. This program writes 1.",
        ),
        need("robot", Kind::Table(&ROBOT), "The machine. Write `[robot]` and below it `name = \"…\"`."),
        may("book", Kind::Table(&BOOK), "Paper and units of what is printed."),
        may("limits", Kind::Table(&LIMITS), "Limits you set for yourself."),
        may("motion", Kind::Table(&MOTION), "How the robot rolls."),
        may("body", Kind::Table(&BODY), "The closed body around the board, as heat sees it."),
        may("zone", Kind::Tables(&ZONE), "Places in the body off the board."),
        may("board", Kind::Table(&BOARD), "The mounting panel."),
        may("pass", Kind::Tables(&PASS), "Openings that let a loom change face."),
        may("mount", Kind::Tables(&MOUNT), "Bolts that hold the board in the body."),
        may(
            "body_opening",
            Kind::Table(&BODY_OPENING),
            "The opening of the body through which the board comes out.",
        ),
        may("keep_out", Kind::Tables(&KEEP_OUT), "Regions of the board to stay out of."),
        may("part", Kind::Tables(&PART), "The modules in this robot."),
        may("plug", Kind::Tables(&PLUG), "Connector pairs where looms leave the board."),
        may("loom", Kind::Tables(&LOOM), "Wires that run tied together."),
        may("cable", Kind::Tables(&CABLE), "Wires that share a jacket or a twist."),
        may("wire", Kind::Tables(&WIRE), "Single conductors from terminal to terminal."),
        may(
            "situation",
            Kind::Tables(&SITUATION),
            "Switch positions, plugs, activity and speed, under a name.",
        ),
        may("day", Kind::Tables(&DAY), "A day at a show, stretch by stretch, in order."),
        may(
            "shelf",
            Kind::Tables(&SHELF),
            "Wire you have in the drawer. When any is listed, colours and sizes are proposed from it.",
        ),
        may(
            "type",
            Kind::Tables(&TYPE),
            "Part types of your own; they may also stand in files of the folder `parts/`.",
        ),
    ],
};

/// The faces of the board.
const FACES: &[&str] = &["front", "back"];

/// Longest length in a file, mm.
pub(crate) const FAR: f64 = 100_000.0;

pub(crate) const fn need(key: &'static str, kind: Kind, about: &'static str) -> Field {
    Field { key, kind, required: true, about }
}
pub(crate) const fn may(key: &'static str, kind: Kind, about: &'static str) -> Field {
    Field { key, kind, required: false, about }
}
