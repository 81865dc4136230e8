//! A fuse lets pass what burns something behind it.

use super::{All, help};
use crate::fuse::series::fuse_named;
use crate::results::FuseResult;
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::Amperes;
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "fuse-larger-than-wire-allows",
    severity: Severity::Danger,
    title: "A fuse is larger than its wires allow",
    physics: "A fuse is there for the wire. At every current it may let pass, and for as long as its slowest specimen lets it pass, each wire behind it must stay within what it bears: up to 135 % of a blade fuse's rating may flow for ever, so the wire must bear that for ever; at twice the rating 5 s; at six times 0.1 s. Up to 5 s the insulation may reach its short-circuit temperature, beyond that only its lasting limit and that of both terminals. The wire starts as warm as the warmest lasting situation leaves it, and in the first seconds only part of its insulation takes heat from the copper (as in `wire-too-hot`).\n\nContacts, bus bars, switches and slip rings behind the fuse must bear its rating; at a consumer's own terminal the consumer decides what flows.\n\nAn overload does not begin at the fuse. The wires between the battery and its first fuse, the links between batteries in series, and the return that everything behind the fuse has in common carry the same current, and must bear what the fuse lets pass just as well, with their contacts, switches and terminals. (A short circuit on the stretch before the fuse passes it by: that is `unfused-wire` and `fuse-far-from-battery`.) Where several first fuses share a wire, each is held against it alone, because one overload is enough; for their sum see `fuses-together-exceed-wire`.\n\nThat up to 135 % may flow for ever is the cautious reading of a blade fuse: at 135 % the standard has it open within 600 s for many ratings, but a current just below that has no such limit. The figure comes from each fuse type's own curve: the least current at which every specimen opens at last.",
    source: "Opening-time limits of ISO 8820-3 (from memory); IEC 60364-4-43, 433.1 and 434.5.2, for the principle and the 5 s; insulation's short-circuit limits by IEC 60364-5-54; heating before a fuse opens by the non-adiabatic method of IEC 60949 (from memory)",
    limits: "Everything from the fuse to the next fuse or consumer, and the consumer's return; for a first fuse also what lies before it. A return that only some of its branches share is held against their own fuses. Motor wires behind a driver are guarded by the driver, not by this fuse.",
    before: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "blade-30a", "lamp", 0.5, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "blade-3a", "lamp", 0.5, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for fuse in &all.study.fuses {
        let Some(rating) = fuse.rating else { continue };
        let too_large = fuse.largest.is_none_or(|most| rating.0 > most.0 * (1.0 + 1e-9));
        if too_large {
            out.push(finding(all, fuse, rating));
        }
    }
}

fn finding(all: &All<'_>, fuse: &FuseResult, rating: Amperes) -> Finding {
    let name = &all.robot.parts[fuse.part.0].name;
    let most = match fuse.largest {
        Some(most) => format!("no more than {most} protects what carries its current"),
        None => "no fuse of this kind is small enough for what carries its current".to_owned(),
    };
    let mut f = Finding::new(
        PAGE.slug,
        Severity::Danger,
        help::part(all.robot, fuse.part),
        format!("The {rating} fuse in {name} {} does not protect its wires: {most}.", fuse.way),
        format!("Of everything that carries its current, {}.", fuse.largest_because),
        PAGE.source,
    )
    .with_value("rating_a", rating.0)
    .with_limit("rating_a", fuse.largest.map_or(0.0, |m| m.0));
    for thin in &fuse.thin {
        if thin.for_fuse.is_some() {
            f = f.with_subject(help::wire(all.robot, thin.wire));
        }
    }
    if let Some(remedy) = smaller(all, fuse) {
        f = f.with_remedy(remedy);
    }
    if let Some(remedy) = thicken(all, fuse, |t| t.for_fuse, &format!("the {rating} fuse protects")) {
        f = f.with_remedy(remedy);
    }
    f.with_remedy(Remedy::advice("Give the weakest branch a fuse of its own, small enough for it."))
}

/// The largest fuse on the shelf that protects and still carries.
fn smaller(all: &All<'_>, fuse: &FuseResult) -> Option<Remedy> {
    let (least, most) = (fuse.smallest?, fuse.largest?);
    let element = all.robot.type_of(fuse.part).elements.iter().find(|e| e.name == fuse.way)?;
    let ElementKind::FuseWay(way) = &element.kind else { return None };
    let mut fitting: Vec<f64> = crate::fuse::series::ratings(all.robot, way)
        .into_iter()
        .filter(|r| *r >= least.0 && *r <= most.0)
        .collect();
    fitting.sort_by(f64::total_cmp);
    let best =
        fitting.into_iter().rev().find_map(|r| Some((r, fuse_named(all.robot, &way.form, r)?)))?;
    Some(Remedy::edit(
        format!("Put a {} fuse into it.", Amperes(best.0)),
        vec![help::set_fuse(all.robot, fuse.part, &fuse.way, &best.1)],
    ))
}

/// Thickens every wire that is too thin, when that is all that limits.
pub(super) fn thicken(
    all: &All<'_>,
    fuse: &FuseResult,
    size: impl Fn(&crate::results::ThinWire) -> Option<loomdeck_model::wire::Gauge>,
    gain: &str,
) -> Option<Remedy> {
    fuse.weakest?;
    let sizes: Vec<_> = fuse.thin.iter().filter_map(|t| Some((t.wire, size(t)?))).collect();
    if sizes.is_empty() {
        return None;
    }
    let told: Vec<String> =
        sizes.iter().map(|(w, g)| format!("{} to {g}", all.robot.wires[w.0].name)).collect();
    let text = format!("Thicken {}: then {gain} them.", told.join(", "));
    let fit = sizes.iter().all(|&(w, g)| {
        let wire = &all.robot.wires[w.0];
        help::fits(all.robot, wire.from, g) && help::fits(all.robot, wire.to, g)
    });
    Some(if fit {
        Remedy::edit(text, sizes.iter().map(|&(w, g)| help::set_size(all.robot, w, g)).collect())
    } else {
        Remedy::advice(format!("{text} Not every terminal takes that size."))
    })
}
