//! The air in the body gets warmer than the study assumes.

use super::super::study::computed;
use super::super::types::{Band, BodyHeat};
use super::cures;
use crate::faults::Ground;
use loomdeck_model::units::Celsius;
use loomdeck_model::{Edit, EditValue, Finding, Page, Remedy, Severity, SituationId, Subject};

/// The page.
pub const PAGE: Page = Page {
    slug: "body-warmer-than-assumed",
    severity: Severity::Fix,
    title: "The body gets warmer than the study assumes",
    physics: "Wires, fuses and parts are judged for the air around them. What the parts turn into heat warms the air in the body until as much goes out: through the wall (convection and radiation inside, conduction, convection and radiation outside), and with the air that climbs out of an upper opening, √(2·g·H·ΔT/T), or that a fan moves, ρ·cp·Q·ΔT. The air, with all that must warm up with it, is followed over the day.\n\nWhere it gets warmer than `ambient` says, every other temperature of the study is too low by the difference.",
    source: "Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1323, for upright walls; stack flow of BS 5925 (1991) with a discharge coefficient of 0.61 (ASHRAE Handbook Fundamentals); conductivities of ISO 10456",
    limits: "One temperature for all the air inside; walls taken as upright; ± 25 % on convection and flow. Half of the warm things' surface faces the wall (common practice). The battery's own heat is I²·R.",
    before: heated!("[body]\nsurface_m2 = 0.5\noutside_degc = 30\n", "4", "70"),
    after: heated!("[body]\nsurface_m2 = 0.5\noutside_degc = 30\nfan_m3_h = 40\n", "4", "70"),
};

pub(super) fn find(ground: &Ground<'_>, found: &BodyHeat, out: &mut Vec<Finding>) {
    let all = computed(ground.robot, found);
    let over = |c: &(SituationId, Band, Celsius)| c.1.high.0 - c.2.0;
    let Some(worst) = all.iter().max_by(|a, b| over(a).total_cmp(&over(b))) else { return };
    if over(worst) <= 0.0 {
        return;
    }
    let (situation, band, assumed) = worst;
    let name = &ground.robot.situations[situation.0].name;
    let heat = found.situations[situation.0].inside;
    // Within a kelvin the estimate does not tell them apart.
    let likely = band.likely.0 > assumed.0 + 1.0;
    let what = if likely {
        format!(
            "The air in the body reaches {:.0} in `{name}` ({:.0} to {:.0}); the study assumes {:.0}.",
            band.likely, band.low.0, band.high, assumed
        )
    } else {
        format!(
            "The air in the body may reach {:.0} in `{name}` ({:.0} is likely); the study assumes {:.0}.",
            band.high, band.likely, assumed
        )
    };
    let most: Vec<String> = found.situations[situation.0]
        .kinds
        .iter()
        .take(3)
        .map(|k| format!("{} {:.0}", k.kind, k.heat))
        .collect();
    let shell = found.shell.as_ref();
    let outside = shell.map_or(Celsius(30.0), |s| s.outside);
    let why = format!(
        "{heat:.0} stay in the body there ({}); {:.1}\u{2009}W/K go through its {:.2} of wall and {:.1}\u{2009}W/K with moving air, to {outside:.0} outside.",
        most.join(", "),
        shell.map_or(0.0, |s| s.wall_w_per_k),
        shell.map_or(loomdeck_model::units::SquareMetres(0.0), |s| s.surface),
        shell.map_or(0.0, |s| s.air_w_per_k),
    );
    let mut f = Finding::new(
        PAGE.slug,
        if likely { Severity::Fix } else { Severity::Look },
        Subject::Robot,
        what,
        why,
        PAGE.source,
    )
    .with_subject(Subject::Situation(name.clone()))
    .with_value("temperature_c", band.likely.0)
    .with_value("highest_temperature_c", band.high.0)
    .with_limit("temperature_c", assumed.0)
    .with_situation(name);
    for remedy in cures(found.cure) {
        f = f.with_remedy(remedy);
    }
    out.push(f.with_remedy(assume(ground, &all)));
}

/// Lets the study assume what was computed.
fn assume(ground: &Ground<'_>, all: &[(SituationId, Band, Celsius)]) -> Remedy {
    let robot = ground.robot;
    let mut edits: Vec<Edit> = Vec::new();
    let warmest = |s: SituationId| {
        all.iter().filter(|c| c.0 == s).map(|c| c.1.high.0).fold(f64::NEG_INFINITY, f64::max)
    };
    // Warmer wires make a little more heat.
    let round = |t: f64| (t + 1.0).ceil();
    let mut common = f64::NEG_INFINITY;
    let mut seen: Vec<SituationId> = Vec::new();
    for (s, _, assumed) in all {
        if seen.contains(s) {
            continue;
        }
        seen.push(*s);
        let situation = &robot.situations[s.0];
        if situation.ambient.is_none() {
            common = common.max(warmest(*s));
        } else if warmest(*s) > assumed.0 {
            edits.push(Edit::Set {
                on: Subject::Situation(situation.name.clone()),
                key: "ambient".to_owned(),
                value: EditValue::Number(round(warmest(*s))),
            });
        }
    }
    if common > robot.limits.ambient.0 {
        edits.push(Edit::Set {
            on: Subject::Robot,
            key: "limits.ambient".to_owned(),
            value: EditValue::Number(round(common)),
        });
    }
    let most = all.iter().map(|c| c.1.high.0).fold(f64::NEG_INFINITY, f64::max);
    Remedy::edit(
        format!("Let the study assume what is computed ({:.0} at most).", Celsius(round(most))),
        edits,
    )
}
