//! The batteries do not last the day.

use super::{All, help, shelf};
use loomdeck_model::element::Battery;
use loomdeck_model::{Finding, Page, PartId, Remedy, Severity, Subject};

/// The page.
pub const PAGE: Page = Page {
    slug: "run-time-short",
    severity: Severity::Fix,
    title: "The batteries do not last the day",
    physics: "Each stretch of the day takes its current from each battery. Lead-acid gives less the faster it is emptied: t = H·(C/(I·H))^k, Peukert's law for a capacity C stated at H hours. Lithium gives its capacity until its voltage under load meets the cut-off. The day is followed from full batteries, and then repeated until the first battery is empty.",
    source: "W. Peukert, Elektrotechnische Zeitschrift 20 (1897) 287 (from memory), in its rated-hour form; checked against published worked examples",
    limits: "New batteries at 25 °C; cold and age take up to half. Charging within the day counts with usual efficiencies.",
    before: small_robot!(
        load_type!("heater", "power", "power", 12, 5, 20, 4),
        ring!("lead-agm-12v-12ah", "blade-7-5a", "heater", 2.5, 300),
        situation!("on"),
        "\n[[day]]\nsituation = \"on\"\nminutes = 150\n"
    ),
    after: small_robot!(
        load_type!("heater", "power", "power", 12, 5, 20, 4),
        ring!("lead-agm-12v-18ah", "blade-7-5a", "heater", 2.5, 300),
        situation!("on"),
        "\n[[day]]\nsituation = \"on\"\nminutes = 120\n"
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    let Some(day) = &all.study.day else { return };
    let Some(run_time) = day.run_time else { return };
    let wanted = day.planned.0 * (1.0 + all.robot.limits.spare);
    if run_time.0 >= wanted {
        return;
    }
    let hours = |s: f64| s / 3600.0;
    let first = day.first_empty.map_or("The battery", |p| all.robot.parts[p.0].name.as_str());
    let what = if day.fits {
        format!(
            "{first} lasts {:.1}\u{2009}h; the planned day takes {:.1}\u{2009}h, and you want {:.0}\u{2009}% spare.",
            hours(run_time.0),
            hours(day.planned.0),
            100.0 * all.robot.limits.spare
        )
    } else {
        format!(
            "{first} is empty after {:.1}\u{2009}h; the planned day takes {:.1}\u{2009}h.",
            hours(run_time.0),
            hours(day.planned.0)
        )
    };
    let why = day
        .first_empty
        .and_then(|p| day.batteries.iter().find(|b| b.part == p))
        .map_or_else(String::new, |b| {
            format!("It gives {} on average, and at that rate {} in all.", b.mean, b.capacity)
        });
    let mut f = Finding::new(
        PAGE.slug,
        if day.fits { Severity::Look } else { Severity::Fix },
        Subject::Day,
        what,
        why,
        PAGE.source,
    )
    .with_value("time_s", run_time.0)
    .with_limit("time_s", wanted);
    if let Some(remedy) = day.first_empty.and_then(|p| larger(all, p, wanted / run_time.0)) {
        f = f.with_remedy(remedy);
    }
    f = f.with_remedy(Remedy::advice(
        "Use a larger battery, change it at half time, or plan quieter stretches.",
    ));
    if let Some(p) = day.first_empty {
        f = f.with_subject(help::part(all.robot, p));
    }
    out.push(f);
}

/// The smallest battery that holds as much more as is missing.
fn larger(all: &All<'_>, part: PartId, times: f64) -> Option<Remedy> {
    let own = shelf::battery(all.robot.type_of(part))?;
    let least = own.capacity.0 * times;
    let suits = |b: &Battery| b.capacity.0 >= least && b.discharge_limit >= own.discharge_limit;
    shelf::other_battery(all, part, suits, "")
}
