//! A supply terminal has no wire.

use super::{All, help};
use loomdeck_model::part_type::TerminalRole;
use loomdeck_model::{Finding, Landing, Page, PartId, Remedy, Severity};
use std::collections::BTreeSet;

/// The page.
pub const PAGE: Page = Page {
    slug: "terminal-not-wired",
    severity: Severity::Look,
    title: "A terminal has no wire",
    physics: "A supply, return or motor terminal without a wire is usually a wire forgotten in the files: the part then works by halves or not at all, and the cut list lacks a wire. Terminals that share their metal with a wired one, and those marked optional, are left alone; so are parts that are not wired at all.",
    source: "The terminal's stated role",
    limits: "Signals are not looked at: which ones are needed, only the builder knows.",
    before: small_robot!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("driver", "motor-driver-12v-24v-10a"),
        part!("pump", "pump-motor-12v-20w"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "driver.plus", 2.5, 300),
        wire!("return", "driver.minus", "battery.minus", 2.5, 300),
        wire!("motor-a", "driver.motor-a", "pump.a", 1.5, 300),
        situation!("on")
    ),
    after: small_robot!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("driver", "motor-driver-12v-24v-10a"),
        part!("pump", "pump-motor-12v-20w"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "driver.plus", 2.5, 300),
        wire!("return", "driver.minus", "battery.minus", 2.5, 300),
        wire!("motor-a", "driver.motor-a", "pump.a", 1.5, 300),
        wire!("motor-b", "driver.motor-b", "pump.b", 1.5, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    let wired: BTreeSet<Landing> = all.robot.wires.iter().flat_map(|w| [w.from, w.to]).collect();
    for part in (0..all.robot.parts.len()).map(PartId) {
        let terminals = &all.robot.type_of(part).terminals;
        let landing = |terminal| Landing::Part { part, terminal };
        let nodes: BTreeSet<_> = terminals
            .iter()
            .enumerate()
            .filter(|(t, _)| wired.contains(&landing(*t)))
            .map(|(_, t)| t.node)
            .collect();
        if nodes.is_empty() {
            continue;
        }
        let bare: Vec<&str> = terminals
            .iter()
            .filter(|t| !t.optional && !nodes.contains(&t.node))
            .filter(|t| {
                matches!(t.role, TerminalRole::Positive | TerminalRole::Return | TerminalRole::Motor)
            })
            .map(|t| t.name.as_str())
            .collect();
        // Spare ways of a fuse block and spare channels of a driver are what they are.
        let spare = bare.iter().all(|name| is_spare(all, part, name));
        if bare.is_empty() || spare {
            continue;
        }
        let name = &all.robot.parts[part.0].name;
        out.push(
            Finding::new(
                PAGE.slug,
                Severity::Look,
                help::part(all.robot, part),
                format!("No wire lands on {} of {name}.", bare.join(", ")),
                "Its other supply terminals are wired.",
                PAGE.source,
            )
            .with_remedy(Remedy::advice(
                "Add the wire, or mark the terminal as optional in the part's type.",
            )),
        );
    }
}

/// A terminal whose element's other ends are bare too, or whose fuse way is empty.
fn is_spare(all: &All<'_>, part: PartId, terminal: &str) -> bool {
    use loomdeck_model::element::ElementKind;
    let kind = all.robot.type_of(part);
    let Some(t) = kind.terminal(terminal).map(|i| &kind.terminals[i]) else { return true };
    let wired = |node| {
        all.robot.wires.iter().flat_map(|w| [w.from, w.to]).any(|l| match l {
            Landing::Part { part: p, terminal } => p == part && kind.terminals[terminal].node == node,
            Landing::Plug { .. } => false,
        })
    };
    kind.elements.iter().all(|e| match &e.kind {
        ElementKind::FuseWay(w) if w.a == t.node || w.b == t.node => {
            !all.robot.parts[part.0].fuses.contains_key(&e.name)
        }
        ElementKind::Driver(d) => {
            d.channels.iter().all(|c| (c.a != t.node && c.b != t.node) || !(wired(c.a) || wired(c.b)))
                && d.plus != t.node
                && d.minus != t.node
        }
        other => !other.nodes().contains(&t.node),
    })
}
