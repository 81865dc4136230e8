//! A fuse opens in normal use.

use super::{All, help};
use crate::fuse::series::{fuse_named, ratings};
use loomdeck_model::element::ElementKind;
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "fuse-smaller-than-load",
    severity: Severity::Fix,
    title: "A fuse is too small for what it has to carry",
    physics: "A fuse must carry its load on its fast edge: the earliest specimen of its type. For long it carries three quarters of its rating at 25 °C, a little less in warm air. A short load (a stall, a peak of music, a servo that starts) must be over well before the fastest specimen would open; a factor of two in time is kept, because a fuse that is warmed again and again grows tired.",
    source: "75 % for continuous load: common practice of fuse makers; opening-time limits of ISO 8820-3 (from memory); re-rating in warm air as makers publish it (from memory)",
    limits: "The surge into capacitors at switch-on is not in it.",
    before: small_robot!(
        load_type!("lamp", "power", "current", 12, 5, 20, 4.5),
        ring!("lead-agm-12v-12ah", "blade-5a", "lamp", 2.5, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "current", 12, 5, 20, 4.5),
        ring!("lead-agm-12v-12ah", "blade-7-5a", "lamp", 2.5, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for fuse in &all.study.fuses {
        let Some(rating) = fuse.rating else { continue };
        if fuse.smallest.is_some_and(|least| rating.0 >= least.0 * (1.0 - 1e-9)) {
            continue;
        }
        let name = &all.robot.parts[fuse.part.0].name;
        let needed = match fuse.smallest {
            Some(least) => format!("it takes at least {least}"),
            None => "no fuse of its kind is large enough".to_owned(),
        };
        let mut f = Finding::new(
            PAGE.slug,
            Severity::Fix,
            help::part(all.robot, fuse.part),
            format!("The {rating} fuse in {name} {} opens in use: {needed}.", fuse.way),
            format!("{}.", capital(&fuse.smallest_because)),
            PAGE.source,
        )
        .with_value("rating_a", rating.0)
        .with_value("current_a", fuse.rms.0.max(fuse.peak.0));
        if let Some(least) = fuse.smallest {
            f = f.with_limit("rating_a", least.0);
        }
        if let Some(situation) = fuse.situation {
            f = f.with_situation(help::name(all, situation));
        }
        f = f.with_remedy(larger(all, fuse).unwrap_or_else(|| {
            Remedy::advice("Split the load over two ways, or choose a holder for larger fuses.")
        }));
        out.push(f);
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn larger(all: &All<'_>, fuse: &crate::results::FuseResult) -> Option<Remedy> {
    let least = fuse.smallest?;
    let element = all.robot.type_of(fuse.part).elements.iter().find(|e| e.name == fuse.way)?;
    let ElementKind::FuseWay(way) = &element.kind else { return None };
    let (rating, name) = ratings(all.robot, way)
        .into_iter()
        .filter(|r| *r >= least.0)
        .find_map(|r| Some((r, fuse_named(all.robot, &way.form, r)?)))?;
    let text = format!("Put a {} fuse into it.", loomdeck_model::units::Amperes(rating));
    let protects = fuse.largest.is_some_and(|most| rating <= most.0) && rating <= way.limit.0;
    protects.then(|| Remedy::edit(text, vec![help::set_fuse(all.robot, fuse.part, &fuse.way, &name)]))
}
