//! A diode or fuse on the motors' way back to the battery bears less than it gets.

use crate::faults::motion::{DiodeStress, Motion, Push};
use crate::findings::{All, help};
use loomdeck_model::units::*;
use loomdeck_model::{Finding, Page, PartId, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "way-back-overloaded",
    severity: Severity::Fix,
    title: "The motors' way back is too weak",
    physics: "A diode that leads the motors' current back to the battery carries all of it, as long as somebody pushes: (k·ω − battery − diodes)/R for each motor. Its junction is as much warmer than the air as its loss times its thermal resistance. While it blocks it bears the battery's voltage in reverse. A fuse on the way that opens takes the way away at the worst moment.",
    source: "Junction temperature: air + thermal resistance × loss; limit of the junction 150 °C (typical of published data for power diodes); the stated ratings",
    limits: "As if pushed for ever at the stated speed: a short push is milder. The thermal resistance is that of the type, with its plate in free air.",
    before: roller!("push_speed_m_s = 1.2", "", way_back!("schottky-3a-40v", 1)),
    after: roller!("push_speed_m_s = 1.2", "", way_back!("schottky-60a-100v-plate", 4)),
};

/// Multiple of its rating from which a blade fuse surely opens (ISO 8820-3); others are near it.
const SURELY: f64 = 1.35;

/// What a junction bears, °C.
const JUNCTION: f64 = 150.0;

pub(super) fn find(all: &All<'_>, found: &Motion, out: &mut Vec<Finding>) {
    let with = || found.pushes.iter().filter(|p| p.with_battery);
    let mut done: Vec<PartId> = Vec::new();
    for (push, d) in with().flat_map(|p| p.diodes.iter().map(move |d| (p, d))) {
        if !done.contains(&d.part)
            && let Some(f) = diode(all, found, push, d)
        {
            done.push(d.part);
            out.push(f);
        }
    }
    let worst = with()
        .flat_map(|p| p.fuses.iter().map(move |f| (p, f)))
        .filter(|(_, f)| f.current_a > f.rating_a);
    let mut fused: Vec<PartId> = Vec::new();
    for (push, fuse) in worst {
        if fused.contains(&fuse.part) {
            continue;
        }
        fused.push(fuse.part);
        out.push(
            Finding::new(
                PAGE.slug,
                if fuse.current_a > SURELY * fuse.rating_a { Severity::Fix } else { Severity::Look },
                help::part(all.robot, fuse.part),
                format!(
                    "Pushed at {:.1} ({}), the motors send {:.1} through the fuse in {}, which is rated {:.1}.",
                    MetresPerSecond(found.push_speed_m_s),
                    push.name,
                    Amperes(fuse.current_a),
                    fuse.name,
                    Amperes(fuse.rating_a)
                ),
                "When it opens, nothing takes the motors' current any more and the voltage follows the speed.",
                PAGE.source,
            )
            .with_value("current_a", fuse.current_a)
            .with_limit("current_a", fuse.rating_a)
            .with_remedy(Remedy::advice(
                "Use a larger fuse if the wires behind it allow one, a second way beside it, or push more slowly.",
            )),
        );
    }
}

fn diode(all: &All<'_>, found: &Motion, push: &Push, d: &DiodeStress) -> Option<Finding> {
    let speed = MetresPerSecond(found.push_speed_m_s);
    let part = help::part(all.robot, d.part);
    let new = |what: String, why: &str| {
        Finding::new(PAGE.slug, Severity::Fix, part.clone(), what, why, PAGE.source)
    };
    let stronger = Remedy::advice(
        "Use a diode with a higher rating and a larger plate, or two ways with a diode and a fuse each.",
    );
    if d.current_a > d.rating_a {
        return Some(
            new(
                format!(
                    "Pushed at {speed:.1} ({}), {} carries {:.1}; it is rated {:.1}.",
                    push.name,
                    d.name,
                    Amperes(d.current_a),
                    Amperes(d.rating_a)
                ),
                "All that the motors give beyond what the bus consumes goes through it.",
            )
            .with_value("current_a", d.current_a)
            .with_limit("current_a", d.rating_a)
            .with_remedy(stronger),
        );
    }
    if let Some(t) = d.junction_c.filter(|t| *t > JUNCTION) {
        return Some(
            new(
                format!(
                    "Pushed at {speed:.1} ({}), the junction of {} reaches {:.0}; power diodes bear {:.0}.",
                    push.name,
                    d.name,
                    Celsius(t),
                    Celsius(JUNCTION)
                ),
                "Its loss is its forward voltage times the motors' current, and its plate carries no more heat away.",
            )
            .with_value("temperature_c", t)
            .with_limit("temperature_c", JUNCTION)
            .with_remedy(stronger),
        );
    }
    let reverse = d.reverse_v.filter(|v| *v > d.reverse_limit_v)?;
    Some(
        new(
            format!(
                "{} bears {:.1} in reverse ({}); it blocks up to {:.1}.",
                d.name,
                Volts(reverse),
                push.name,
                Volts(d.reverse_limit_v)
            ),
            "While it does not conduct, the difference of the voltages on its two sides lies across it.",
        )
        .with_value("voltage_v", reverse)
        .with_limit("voltage_v", d.reverse_limit_v)
        .with_remedy(Remedy::advice("Use a diode that blocks more.")),
    )
}
