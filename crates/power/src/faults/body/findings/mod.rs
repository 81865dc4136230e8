//! What the builder must know about heat in the body: one file per kind.

/// A heater behind a fuse that runs all day: lines of the body, watts as amperes at 12 V, further lines.
macro_rules! heated {
    ($body:literal, $amperes:literal, $limit:literal) => {
        concat!(
            "format = 1\n[robot]\nname = \"Bench\"\n\n[limits]\nambient_degc = 40\n\n",
            $body,
            "\n[[zone]]\nname = \"body\"\npath_mm = 100\n",
            "\n[[type]]\nname = \"heater\"\ntitle = \"heater\"\ngroup = \"loads\"\nabout = \"A load.\"\n",
            "basis = \"Invented for this page.\"\nsize_mm = [30, 30]\nheight_mm = 20\nmass_g = 500\nnoise = \"power\"\n",
            "ambient_limit_degc = ", $limit, "\nfixing = { style = \"loose\" }\nterminal = [\n",
            "  { name = \"plus\", at_mm = [5, 15], height_mm = 5, exit = \"left\", fitting = \"screw-clamp\", wire_mm2 = [0.2, 16], role = \"positive\" },\n",
            "  { name = \"minus\", at_mm = [25, 15], height_mm = 5, exit = \"right\", fitting = \"screw-clamp\", wire_mm2 = [0.2, 16], role = \"return\" },\n]\n",
            "[[type.element]]\nkind = \"load\"\nplus = \"plus\"\nminus = \"minus\"\nlaw = \"current\"\nnominal_v = 12\nbrown_out_v = 5\ndamage_v = 24\n",
            "usual = \"on\"\nactivities = [{ name = \"on\", mean_a = ", $amperes, " }]\n",
            part!("battery", "lead-agm-12v-35ah"),
            part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
            part!("load", "heater"),
            wire!("heart", "battery.plus", "fuse.in", 4, 100),
            wire!("feed", "fuse.out", "load.plus", 4),
            wire!("return", "load.minus", "battery.minus", 4),
            "\n[[situation]]\nname = \"on\"\ncharge_percent = 80\nlasting = true\n",
            "\n[[day]]\nsituation = \"on\"\nminutes = 240\n"
        )
    };
}

/// The rest of a robot with a board: a lamp of some watts that burns all day.
macro_rules! board_robot {
    () => {
        concat!(
            "\n[[zone]]\nname = \"body\"\npath_mm = 100\n",
            part!("battery", "lead-agm-12v-35ah"),
            part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
            part!("strip", "led-strip-12v-24w"),
            wire!("heart", "battery.plus", "fuse.in", 2.5, 100),
            wire!("feed", "fuse.out", "strip.plus", 0.75),
            wire!("return", "strip.minus", "battery.minus", 0.75),
            "\n[[situation]]\nname = \"on\"\ncharge_percent = 80\nlasting = true\nactivity = { strip = \"bright\" }\n",
            "\n[[day]]\nsituation = \"on\"\nminutes = 240\n"
        )
    };
}

mod body_not_described;
mod body_warmer_than_assumed;
mod part_too_warm;

use super::BodyHeat;
use super::types::Cure;
use crate::faults::Ground;
use loomdeck_model::units::SquareMetres;
use loomdeck_model::{Edit, EditValue, Finding, Page, Remedy, Subject};

/// Explanations of this room's findings.
pub const PAGES: &[Page] =
    &[body_not_described::PAGE, body_warmer_than_assumed::PAGE, part_too_warm::PAGE];

/// What the builder must know of it.
pub fn findings(ground: &Ground<'_>, found: &BodyHeat) -> Vec<Finding> {
    let mut out = Vec::new();
    body_not_described::find(ground, found, &mut out);
    body_warmer_than_assumed::find(ground, found, &mut out);
    part_too_warm::find(ground, found, &mut out);
    out
}

/// Sets a key of the body.
fn set(key: &str, value: f64) -> Edit {
    Edit::Set { on: Subject::Robot, key: format!("body.{key}"), value: EditValue::Number(value) }
}

/// A fan, openings, or both as advice when neither is enough.
fn cures(cure: Option<Cure>) -> Vec<Remedy> {
    let Some(cure) = cure else { return Vec::new() };
    let keeps = format!("then the air stays below {:.0}", cure.keeps);
    let vents = cure.vents.map(|area| {
        Remedy::edit(
            format!(
                "Give the body two openings of {:.0}\u{2009}cm² free area, one low and one {:.0} higher: {keeps}.",
                cm2(area),
                cure.vent_height
            ),
            vec![
                set("vent_low", area.0),
                set("vent_high", area.0),
                set("vent_height", cure.vent_height.0),
            ],
        )
    });
    let fan = cure.fan.map(|flow| {
        Remedy::edit(
            format!("Let a fan move {flow:.0} through the body: {keeps}."),
            vec![set("fan", flow.0)],
        )
    });
    let mut all: Vec<Remedy> = vents.into_iter().chain(fan).collect();
    all.push(Remedy::advice(if all.is_empty() {
        "No opening and no fan does it at this air outside: run it in the shade, plan pauses, or take heat out of the body."
    } else {
        "Cover openings with mesh, count only its free area, and measure the air inside on a warm day."
    }));
    all
}

fn cm2(area: SquareMetres) -> f64 {
    area.0 * 1e4
}
