//! Geometry for tests that are not about geometry, and robots of any size.

use loomdeck_model::units::Millimetres;
use loomdeck_model::{Robot, Slack, WireId};
use loomdeck_space::{Geometry, LengthBasis, WireRun};

/// Every wire as long as it was measured, half a metre where it was not; nothing tied together.
pub fn measured(robot: &Robot) -> Geometry {
    let wires = robot
        .wires
        .iter()
        .enumerate()
        .map(|(w, wire)| {
            let length = wire.length.unwrap_or(Millimetres(500.0));
            WireRun {
                wire: WireId(w),
                length,
                cut: length,
                basis: LengthBasis::Measured,
                alone: None,
                slack: Slack::Service,
                legs: Vec::new(),
                bundles: Vec::new(),
            }
        })
        .collect();
    Geometry { wires, ..Geometry::default() }
}

/// The text of a robot with this many rungs between two long rails: each rung is a fused lamp behind
/// a switch, and every rail is a chain of bus bars. About three parts and nine wires to a rung, eight
/// situations.
pub fn ladder(rungs: usize) -> String {
    let mut text = String::from(
        "format = 1\n[robot]\nname = \"Ladder\"\n\n[[zone]]\nname = \"body\"\npath_mm = 100\n",
    );
    let part = |text: &mut String, name: &str, kind: &str, more: &str| {
        *text += &format!("\n[[part]]\nname = \"{name}\"\ntype = \"{kind}\"\nzone = \"body\"\n{more}");
    };
    let mut wires = 0;
    let mut wire = |text: &mut String, from: &str, to: &str, mm2: &str| {
        wires += 1;
        *text += &format!(
            "\n[[wire]]\nname = \"w{wires}\"\nfrom = \"{from}\"\nto = \"{to}\"\nsize_mm2 = {mm2}\nlength_mm = 300\n"
        );
    };
    part(&mut text, "battery", "lead-agm-12v-35ah", "");
    part(&mut text, "main", "fuse-holder-strip", "fuses = { way = \"strip-100a\" }\n");
    wire(&mut text, "battery.plus", "main.in", "25");
    let (mut plus, mut minus) = ("main.out".to_owned(), "battery.minus".to_owned());
    for rung in 0..rungs {
        part(&mut text, &format!("p{rung}"), "bus-bar-m6-4", "");
        part(&mut text, &format!("m{rung}"), "bus-bar-m6-4", "");
        part(&mut text, &format!("f{rung}"), "fuse-holder-blade", "fuses = { way = \"blade-2a\" }\n");
        part(&mut text, &format!("l{rung}"), "lamp-led-12v-5w", "");
        wire(&mut text, &plus, &format!("p{rung}.s1"), "25");
        wire(&mut text, &minus, &format!("m{rung}.s1"), "25");
        wire(&mut text, &format!("p{rung}.s3"), &format!("f{rung}.in"), "1.5");
        wire(&mut text, &format!("f{rung}.out"), &format!("l{rung}.plus"), "0.75");
        wire(&mut text, &format!("l{rung}.minus"), &format!("m{rung}.s3"), "0.75");
        (plus, minus) = (format!("p{rung}.s2"), format!("m{rung}.s2"));
    }
    for situation in 0..8 {
        text += &format!(
            "\n[[situation]]\nname = \"s{situation}\"\ncharge_percent = {}\nlasting = true\nactivity = {{",
            30 + 10 * situation
        );
        for rung in 0..rungs {
            let word = if rung % (situation + 2) == 0 { "on" } else { "off" };
            text += &format!("{}l{rung} = \"{word}\"", if rung == 0 { " " } else { ", " });
        }
        text += " }\n";
    }
    text
}
