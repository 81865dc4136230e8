//! What lies behind the board and what to heed, stage by stage.

use super::{Lies, Operation, Stage, ToolInHand};
use crate::holes::seats;
use loomdeck_model::part_type::Thread;
use loomdeck_model::{Face, Material};

/// What lies under or behind the board.
pub const fn backing(operation: Operation) -> &'static str {
    match operation {
        Operation::Register | Operation::Pilot | Operation::Drill => {
            "flat scrap under the board, clamped together with it"
        }
        Operation::OpeningFirst | Operation::OpeningSecond => {
            "flat scrap under the whole board, clamped at both sides of the hole"
        }
        Operation::Blind | Operation::Pocket | Operation::Countersink => {
            "board clamped flat on the bench"
        }
        Operation::Saw | Operation::File => "board clamped close beside the cut",
        Operation::Mark | Operation::Deburr | Operation::EdgeRelief => "",
    }
}

/// What to heed, in sentences: of the operation, then of the material.
pub fn cautions(stage: &Stage, material: Material, threads: &[Thread]) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    let mut say = |words: &str| all.push(words.to_owned());
    match stage.operation {
        Operation::Mark => match stage.lies {
            Lies::Up(Face::Back) => say(
                "Lay the template of the back on the two registration holes and push a bit through each before you mark.",
            ),
            _ => say(
                "Lay the drawn outline on the edges of the board; the hole table decides, not the paper.",
            ),
        },
        Operation::Register => {
            say(
                "Measure the distance of the two holes before you go on: it tells whether paper and marks are true.",
            );
        }
        Operation::Drill => {
            say("Clamp the board; a bit that breaks through catches and turns a loose one.")
        }
        Operation::Blind => {
            say("Set a stop or tape on the bit at the depth; it may not come out of the other face.");
        }
        Operation::Pocket => {
            say(
                "Set a stop at the depth, bore on the pilot hole, and drill the hole itself only afterwards.",
            );
        }
        Operation::OpeningFirst => {
            say("Stop half-way through the board, or as soon as the point shows on the other face.");
            say(
                "Hold the drill with both hands and its side handle: a large bit that jams wrenches the wrist.",
            );
        }
        Operation::OpeningSecond => {
            say(
                "Hold the drill with both hands and its side handle, and let the plug of the cut come out by itself.",
            );
        }
        Operation::Countersink => {
            say("Try the screw's own head in a piece of scrap first, then set the depth stop.");
            say_socket(&mut say, threads);
        }
        Operation::Saw => match stage.tool {
            ToolInHand::Jigsaw => say(
                "Unplug the saw or take its battery out before you thread the blade through the hole.",
            ),
            _ => say("Thread the blade through the hole, then tension it."),
        },
        _ => {}
    }
    if turns_in_the_drill(&stage.tool) {
        say("Wear eye protection, no gloves, and tie back sleeves and hair.");
        say(of_material(material));
    }
    all
}

/// A socket head's cone is higher than the seat.
fn say_socket(say: &mut impl FnMut(&str), threads: &[Thread]) {
    for thread in threads {
        if let Some(more) = seats::deeper_for_socket(*thread) {
            say(&format!(
                "The depth is for {} heads with a cross recess (ISO 7046); go {:.1}\u{2009}mm deeper for socket heads (ISO 10642).",
                thread.word(),
                more.0
            ));
        }
    }
}

const fn turns_in_the_drill(tool: &ToolInHand) -> bool {
    matches!(tool, ToolInHand::Bit(_) | ToolInHand::FlatBottom(_) | ToolInHand::Countersink(_))
}

/// Common practice, no source.
const fn of_material(material: Material) -> &'static str {
    match material {
        Material::Hdpe | Material::Abs => {
            "Back the bit out every few millimetres: long chips wind up and the sheet melts when it gets warm."
        }
        Material::Acrylic => {
            "Press lightly and slow down before the bit breaks through: acrylic cracks at the far rim. A bit ground for plastic, with a blunt cutting edge, does not dig in."
        }
        Material::Polycarbonate => {
            "Back the bit out often and use no cutting oil: it cracks polycarbonate under stress."
        }
        Material::Plywood => "Press on firm backing, or the last ply splinters.",
        Material::Aluminium => {
            "A drop of cutting oil keeps the bit clean; the chips are sharp, brush them off and never blow."
        }
    }
}
