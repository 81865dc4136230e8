//! A wire is joined to the battery without a fuse.

use super::{All, help};
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "unfused-wire",
    severity: Severity::Danger,
    title: "A wire hangs on the battery without a fuse",
    physics: "A battery drives hundreds of amperes into a short circuit for minutes. A wire that is joined to its positive pole, through switches or not, with no fuse on the way glows within seconds when its far end touches the return, and sets light to its neighbours. Every wire that leaves the battery needs a fuse near the battery; the short stretch from the pole to the first fuse is judged apart.",
    source: "Common rule of every wiring standard (for boats ABYC E-11; for ships 46 CFR 111.15-25); prospective current by Ohm's law",
    limits: "Switches count as closed and plugs as mated. A charger's own cable is counted: the battery can feed it backwards.",
    before: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        part!("battery", "lead-agm-12v-12ah"),
        part!("load", "lamp"),
        wire!("feed", "battery.plus", "load.plus", 1.5, 300),
        wire!("return", "load.minus", "battery.minus", 1.5, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "blade-5a", "lamp", 1.5, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for unfused in all.study.unfused.iter().filter(|u| !u.towards_fuse) {
        let wire = &all.robot.wires[unfused.wire.0];
        let battery = &all.robot.parts[unfused.battery.0].name;
        out.push(
            Finding::new(
                PAGE.slug,
                Severity::Danger,
                help::wire(all.robot, unfused.wire),
                format!(
                    "{} has no fuse between itself and {battery}; a short circuit on it draws up to {:.0}.",
                    wire.name, unfused.prospective
                ),
                "No fuse way lies on its way from the battery, and nothing else interrupts.",
                PAGE.source,
            )
            .with_subject(help::part(all.robot, unfused.battery))
            .with_value("current_a", unfused.prospective.0)
            .with_remedy(Remedy::advice(format!(
                "Put a fuse into it as near to {battery} as you can, or take it from a fuse block."
            ))),
        );
    }
}
