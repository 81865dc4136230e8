//! A converter holds a short for ever, with more than the wire bears.

use super::held;
use crate::faults::Ground;
use crate::faults::short::{Never, Short};
use loomdeck_model::{Finding, Page, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "converter-feeds-short",
    severity: Severity::Fix,
    title: "A converter feeds a short for ever, and the wire does not bear it",
    physics: "A converter does not drive a large current into a short: it holds its limit, and no fuse at its input sees more than the usual current, because at next to no voltage there is next to no power. So nothing opens, and the wire at its output carries the limit until somebody looks. The wire must bear that current for ever, or a fuse smaller than the limit must stand at its beginning. Where the insulation bears the current and only what the wire ends in does not, it is said as something to look at.",
    source: "The converter's stated limit; the heat balance of `wire-too-hot`",
    limits: "Converters are taken to hold their limit. Many pulse instead (hiccup) and heat much less; when its data sheet says so, say so in its type with `shorted = \"trips\"`.",
    before: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 0.5),
        part!("battery-a", "lead-agm-12v-12ah"),
        part!("battery-b", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-7-5a\" }"),
        part!("converter", "converter-24v-12v-10a"),
        part!("load", "lamp"),
        wire!("link", "battery-a.plus", "battery-b.minus", 4, 100),
        wire!("heart", "battery-b.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "converter.in-plus", 1.5, 300),
        wire!("back", "converter.in-minus", "battery-a.minus", 1.5, 300),
        wire!("lamp-feed", "converter.out-plus", "load.plus", 0.22, 300),
        wire!("lamp-back", "load.minus", "converter.out-minus", 2.5, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 0.5),
        part!("battery-a", "lead-agm-12v-12ah"),
        part!("battery-b", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-7-5a\" }"),
        part!("converter", "converter-24v-12v-10a"),
        part!("load", "lamp"),
        wire!("link", "battery-a.plus", "battery-b.minus", 4, 100),
        wire!("heart", "battery-b.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "converter.in-plus", 1.5, 300),
        wire!("back", "converter.in-minus", "battery-a.minus", 1.5, 300),
        wire!("lamp-feed", "converter.out-plus", "load.plus", 2.5, 300),
        wire!("lamp-back", "load.minus", "converter.out-minus", 2.5, 300),
        situation!("on")
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Short, out: &mut Vec<Finding>) {
    held::find(ground, found, out, &PAGE, |never| match never {
        Never::Limited { part, .. } => Some(*part),
        _ => None,
    });
}
