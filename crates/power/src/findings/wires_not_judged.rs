//! Loudspeaker leads, whose current is not computed.

use super::{All, help};
use crate::unjudged::loudspeaker_leads;
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "wires-not-judged",
    severity: Severity::Note,
    title: "Loudspeaker leads are not computed",
    physics: "An amplifier is described by what it draws from its supply; what it sends to its loudspeakers is music, whose current changes with every note and with the loudspeaker's impedance. So no current, temperature or loss is computed for loudspeaker leads, and no fuse is held against them: the amplifier's own protection guards them. Their current is easily bounded by hand: the rms current is the square root of power over impedance, so that 50 W into 4 Ω make 3.5 A.\n\nWires for signals carry some milliamperes and need no such care; they are not computed either.",
    source: "P = I²·R",
    limits: "A wire counts as a loudspeaker lead when it is for audio and ends, through plugs or not, in an audio terminal whose type states no signal level.",
    before: small_robot!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("amplifier", "audio-amplifier-12v-2x20w"),
        part!("speaker", "loudspeaker-4ohm-20w"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "amplifier.plus", 1.5, 300),
        wire!("return", "amplifier.minus", "battery.minus", 1.5, 300),
        wire!("sound-plus", "amplifier.left-plus", "speaker.plus", 0.75, 300),
        wire!("sound-minus", "amplifier.left-minus", "speaker.minus", 0.75, 300),
        situation!("on")
    ),
    after: small_robot!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("amplifier", "audio-amplifier-12v-2x20w"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "amplifier.plus", 1.5, 300),
        wire!("return", "amplifier.minus", "battery.minus", 1.5, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    let leads = loudspeaker_leads(all.robot);
    let Some(&first) = leads.first() else { return };
    let names: Vec<&str> = leads.iter().map(|w| all.robot.wires[w.0].name.as_str()).collect();
    let what = match names.as_slice() {
        [one] => format!("One loudspeaker lead is not computed: {one}."),
        _ => format!("{} loudspeaker leads are not computed: {}.", names.len(), names.join(", ")),
    };
    let mut f = Finding::new(
        PAGE.slug,
        Severity::Note,
        help::wire(all.robot, first),
        what,
        "The current an amplifier sends into them is not part of the model: neither their temperature nor their loss is known here.",
        PAGE.source,
    );
    for &id in &leads[1..] {
        f = f.with_subject(help::wire(all.robot, id));
    }
    let advice = "Work their current out by hand, the root of power over impedance (50 W into 4 Ω make 3.5 A), and hold the wire and its terminals against it.";
    out.push(f.with_remedy(Remedy::advice(advice)));
}
