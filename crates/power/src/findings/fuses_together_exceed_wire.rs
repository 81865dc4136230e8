//! Several fuses hang on one wire, and together they let pass more than it bears.

use super::{All, help};
use crate::fuse::curve::surely_opens;
use crate::fuse::withstand::{Surroundings, surroundings};
use crate::heat::wire::{self, Conductor};
use crate::results::FuseResult;
use loomdeck_model::units::Amperes;
use loomdeck_model::{Finding, Page, Remedy, Severity, WireId};
use std::collections::BTreeMap;

/// The page.
pub const PAGE: Page = Page {
    slug: "fuses-together-exceed-wire",
    severity: Severity::Look,
    title: "Several fuses on one wire let pass more than it bears",
    physics: "Where several first fuses share a wire from the battery, or a return to it, the wire carries the sum of what they carry. Each fuse alone is held against the wire as any other: a single overload is enough to bring that about, so that it counts as `fuse-larger-than-wire-allows`. That all of them are overloaded at once, each just below the current that opens it, takes several faults on one day, and the loads as you describe them stay below. So the sum is something to look at, not something to stop for.",
    source: "IEC 60364-4-43, 433.1 (an overload device upstream for every wire), for the principle; heat balance as in `wire-too-hot`; that the sum counts for less than each fuse alone is common practice, no source",
    limits: "Fuses with only the battery before them. Where a fuse lies before the others, it guards the shared wire, and the sum does not count. Lasting overload only; what each fuse lets pass for ever comes from its own curve.",
    before: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 4),
        part!("battery", "lead-agm-12v-18ah"),
        part!(
            "block",
            "fuse-block-blade-4",
            "fuses = { way-1 = \"blade-20a\", way-2 = \"blade-20a\", way-3 = \"blade-20a\" }"
        ),
        part!("lamp-1", "lamp"),
        part!("lamp-2", "lamp"),
        part!("lamp-3", "lamp"),
        wire!("heart", "battery.plus", "block.feed", 4, 100),
        wire!("feed-1", "block.out-1", "lamp-1.plus", 4, 300),
        wire!("feed-2", "block.out-2", "lamp-2.plus", 4, 300),
        wire!("feed-3", "block.out-3", "lamp-3.plus", 4, 300),
        wire!("return-1", "lamp-1.minus", "battery.minus", 4, 300),
        wire!("return-2", "lamp-2.minus", "battery.minus", 4, 300),
        wire!("return-3", "lamp-3.minus", "lamp-2.minus", 4, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 4),
        part!("battery", "lead-agm-12v-18ah"),
        part!(
            "block",
            "fuse-block-blade-4",
            "fuses = { way-1 = \"blade-10a\", way-2 = \"blade-10a\", way-3 = \"blade-10a\" }"
        ),
        part!("lamp-1", "lamp"),
        part!("lamp-2", "lamp"),
        part!("lamp-3", "lamp"),
        wire!("heart", "battery.plus", "block.feed", 4, 100),
        wire!("feed-1", "block.out-1", "lamp-1.plus", 4, 300),
        wire!("feed-2", "block.out-2", "lamp-2.plus", 4, 300),
        wire!("feed-3", "block.out-3", "lamp-3.plus", 4, 300),
        wire!("return-1", "lamp-1.minus", "battery.minus", 4, 300),
        wire!("return-2", "lamp-2.minus", "battery.minus", 4, 300),
        wire!("return-3", "lamp-3.minus", "lamp-2.minus", 4, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    let mut shared: BTreeMap<WireId, Vec<(&FuseResult, f64)>> = BTreeMap::new();
    for fuse in all.study.fuses.iter().filter(|f| !f.before.is_empty()) {
        let curve = fuse.fuse.and_then(|t| all.robot.types[t.0].fuse.as_ref());
        let Some(curve) = curve else { continue };
        let passes = curve.rating.0 * surely_opens(&curve.curve);
        for &id in fuse.wires.iter().chain(&fuse.before) {
            shared.entry(id).or_default().push((fuse, passes));
        }
    }
    for (id, fuses) in shared {
        let sum: f64 = fuses.iter().map(|f| f.1).sum();
        let around = surroundings(all.robot, &all.wires, &all.study.situations, id);
        let conductor = &all.wires.conductors[id.0];
        let each = fuses.iter().all(|f| bears(conductor, &around, f.1));
        let loads = help::worst_heat(all, id)
            .is_none_or(|(_, t)| t.is_some_and(|t| t.0 <= around.limit * (1.0 + 1e-9)));
        // What one fuse does alone, or the loads themselves, is told elsewhere and worse.
        if fuses.len() > 1 && each && loads && !bears(conductor, &around, sum) {
            out.push(finding(all, id, &fuses, sum, &around));
        }
    }
}

fn bears(conductor: &Conductor, around: &Surroundings, amperes: f64) -> bool {
    wire::steady(conductor, amperes, around.air, &around.bundles)
        .is_some_and(|s| s.inside <= around.limit)
}

/// The largest current that the wire bears for ever, below one that it does not.
fn most(conductor: &Conductor, around: &Surroundings, above: f64) -> f64 {
    let (mut low, mut high) = (0.0, above);
    for _ in 0..30 {
        let middle = (low + high) / 2.0;
        if bears(conductor, around, middle) { low = middle } else { high = middle }
    }
    low
}

fn finding(
    all: &All<'_>,
    id: WireId,
    fuses: &[(&FuseResult, f64)],
    sum: f64,
    around: &Surroundings,
) -> Finding {
    let w = &all.robot.wires[id.0];
    let most = most(&all.wires.conductors[id.0], around, sum);
    let mut f = Finding::new(
        PAGE.slug,
        Severity::Look,
        help::wire(all.robot, id),
        format!(
            "{} ({}) bears {:.0} for long; the {} fuses on it let pass {:.0} together.",
            w.name,
            w.gauge,
            Amperes(most),
            fuses.len(),
            Amperes(sum)
        ),
        format!(
            "Each alone is no danger to it, and the loads take {:.0} at most; only several overloads at once reach that.",
            Amperes(around.lasting)
        ),
        PAGE.source,
    )
    .with_value("current_a", sum)
    .with_limit("current_a", most);
    let thicker = w.gauge.series().into_iter().filter(|g| g.area() > w.gauge.area()).find(|&g| {
        let conductor = Conductor::of(g, w.insulation);
        bears(&conductor, around, sum)
    });
    if let Some(gauge) = thicker {
        f = f.with_remedy(help::resize(all.robot, id, gauge, ", which bears them all"));
    }
    f.with_remedy(Remedy::advice(format!(
        "Put one fuse for all of them in front of {}, near the battery.",
        w.name
    )))
}
