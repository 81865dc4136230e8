//! A fuse is larger than its holder.

use super::{All, help, shelf};
use loomdeck_model::element::ElementKind;
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "fuse-beyond-holder",
    severity: Severity::Fix,
    title: "A fuse is larger than its holder bears",
    physics: "The holder's contacts and its plastic have a limit of their own. A larger fuse fits mechanically, but then the holder is what melts.",
    source: "The holder's stated limit",
    limits: "Compares the rating of the fuse with the holder's limit, not the current that flows today.",
    before: small_robot!(
        load_type!("heater", "power", "current", 12, 5, 20, 5),
        ring!("lead-agm-12v-18ah", "blade-40a", "heater", 6, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("heater", "power", "current", 12, 5, 20, 5),
        ring!("lead-agm-12v-18ah", "blade-20a", "heater", 6, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for fuse in &all.study.fuses {
        let Some(rating) = fuse.rating else { continue };
        let element = all.robot.type_of(fuse.part).elements.iter().find(|e| e.name == fuse.way);
        let Some(ElementKind::FuseWay(way)) = element.map(|e| &e.kind) else { continue };
        if rating.0 <= way.limit.0 * (1.0 + 1e-9) {
            continue;
        }
        let name = &all.robot.parts[fuse.part.0].name;
        let f = Finding::new(
            PAGE.slug,
            Severity::Fix,
            help::part(all.robot, fuse.part),
            format!(
                "The {rating} fuse in {name} {} is more than its holder bears: {}.",
                fuse.way, way.limit
            ),
            "Before the fuse opens, the holder may overheat.",
            PAGE.source,
        )
        .with_value("rating_a", rating.0)
        .with_limit("rating_a", way.limit.0);
        let best = crate::fuse::series::ratings(all.robot, way)
            .into_iter()
            .rfind(|r| {
                *r <= way.limit.0
                    && fuse.largest.is_none_or(|m| *r <= m.0)
                    && fuse.smallest.is_none_or(|s| *r >= s.0)
            })
            .and_then(|r| Some((r, crate::fuse::series::fuse_named(all.robot, &way.form, r)?)));
        let holder = shelf::instead(all, fuse.part, |t| {
            let o = shelf::way(t, &fuse.way)?;
            (o.form == way.form && o.limit >= rating).then_some(o.limit.0)
        });
        let holder = holder.map(|t| shelf::swap(all, &[fuse.part], t, ", which bears it"));
        let f = holder.into_iter().fold(f, Finding::with_remedy);
        out.push(f.with_remedy(match best {
            Some((r, fuse_name)) => Remedy::edit(
                format!("Put a {} fuse into it.", loomdeck_model::units::Amperes(r)),
                vec![help::set_fuse(all.robot, fuse.part, &fuse.way, &fuse_name)],
            ),
            None => Remedy::advice("Use a holder for larger fuses."),
        }));
    }
}
