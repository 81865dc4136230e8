//! A conductor exceeds what its insulation bears.

use super::{All, help};
use loomdeck_model::units::Celsius;
use loomdeck_model::{Edit, EditValue, Finding, Page, Remedy, Severity, WireId};

/// The page.
pub const PAGE: Page = Page {
    slug: "wire-too-hot",
    severity: Severity::Danger,
    title: "A wire gets hotter than its insulation bears",
    physics: "A current I turns I²·R(T) of power into heat in every metre of a wire; copper's resistance rises by 0.39 % per kelvin, so that a hot wire heats itself more. The wire settles where the air takes away as much as the current makes: by free convection around a horizontal cylinder and by radiation from its surface. The conductor is warmer than the surface by what the insulation resists. Wires tied together are treated as one thick cylinder with the heat of all of them inside, and the middle is hottest.\n\nPast its limit insulation softens, shrinks and cracks; soft insulation lets a conductor wander through it until it touches its neighbour.\n\nA situation that does not last is followed through time: the wire starts as warm as the warmest lasting situation leaves it. In a short pulse the copper heats before its insulation: the heat capacity that counts is the copper's with as much of the insulation as the heat has reached by then, which is part of it in the first seconds and all of it after about a minute.",
    source: "S. W. Churchill, H. H. S. Chu, Int. J. Heat Mass Transfer 18 (1975) 1049; R(T) by NBS Handbook 100; insulation classes as sold; compared with the free-air and bundle figures of FAA AC 43.13-1B, chapter 11 (within 15 %); short pulses by the non-adiabatic method of IEC 60949 (from memory), bounded by what insulation the wire has",
    limits: "For pulses the contact between copper and insulation is taken as imperfect (the 0.7 of IEC 60949). Still air at sea level, long wires, away from hot parts. A bundle is taken as evenly filled. Above 400 °C the model says only that the wire burns.",
    before: small_robot!(
        load_type!("heater", "power", "current", 12, 5, 20, 18),
        ring!("lead-agm-12v-18ah", "blade-30a", "heater", 0.75, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("heater", "power", "current", 12, 5, 20, 18),
        ring!("lead-agm-12v-18ah", "blade-30a", "heater", 4, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for id in (0..all.robot.wires.len()).map(WireId) {
        let limit = help::insulation_limit(all, id);
        let Some((situation, temperature)) = help::worst_heat(all, id) else { continue };
        if temperature.is_none_or(|t| t > limit) {
            out.push(finding(all, id, situation, temperature, limit));
        }
    }
}

fn finding(
    all: &All<'_>,
    id: WireId,
    situation: loomdeck_model::SituationId,
    temperature: Option<Celsius>,
    limit: Celsius,
) -> Finding {
    let wire = &all.robot.wires[id.0];
    let result = &all.study.situations[situation.0].wires[id.0];
    let reached = match temperature {
        Some(t) => format!("reaches {t:.0}"),
        None => "burns: it passes 400\u{2009}°C".to_owned(),
    };
    let what = format!(
        "{} {reached} in `{}`; its insulation is good for {limit:.0}.",
        wire.name,
        help::name(all, situation)
    );
    let tied = match result.bundled {
        1 => "alone".to_owned(),
        n => format!("tied with {} others", n - 1),
    };
    let why =
        format!("It carries {} in {}, {tied}, in air of {:.0}.", result.rms, wire.gauge, result.ambient);
    let mut f =
        Finding::new(PAGE.slug, Severity::Danger, help::wire(all.robot, id), what, why, PAGE.source)
            .with_value("current_a", result.rms.0)
            .with_limit("temperature_c", limit.0)
            .with_situation(help::name(all, situation));
    if let Some(t) = temperature {
        f = f.with_value("temperature_c", t.0);
    }
    if let Some(remedy) = help::cool(all, id, situation) {
        f = f.with_remedy(remedy);
    } else if let Some((gauge, t)) = help::cool_size(all, id, situation, help::overall_limit(all, id)) {
        f = f.with_remedy(help::resize(all.robot, id, gauge, &format!(" ({:.0})", Celsius(t))));
    }
    for insulation in
        [loomdeck_model::wire::Insulation::Xlpe, loomdeck_model::wire::Insulation::Silicone]
    {
        let t = help::temperature_with(all, id, situation, wire.gauge, insulation);
        if insulation.limit() > limit && t.is_some_and(|t| t <= insulation.limit().0) {
            f = f.with_remedy(Remedy::edit(
                format!(
                    "Use wire with {} insulation, good for {:.0}.",
                    insulation.word(),
                    insulation.limit()
                ),
                vec![Edit::Set {
                    on: help::wire(all.robot, id),
                    key: "insulation".to_owned(),
                    value: EditValue::Insulation(insulation),
                }],
            ));
            break;
        }
    }
    if f.remedies.is_empty() {
        f = f
            .with_remedy(Remedy::advice("Run two wires side by side, or take less current through it."));
    }
    f
}
