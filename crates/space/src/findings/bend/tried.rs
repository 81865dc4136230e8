//! Remedies for bends, tried before they are offered.

use crate::bend::{self, Bend};
use crate::faces::Standing;
use crate::findings::access::tried::Tried;
use crate::findings::layout::Layout;
use crate::findings::mm;
use loomdeck_model::units::Millimetres;
use loomdeck_model::wire::Insulation;
use loomdeck_model::{Edit, EditValue, Mark, Remedy, Subject};

/// `wire one at amp.right`.
pub fn place(tried: &Tried, bend: &Bend) -> String {
    let robot = tried.layout.robot;
    let wire = &robot.wires[bend.wire.0];
    let landing = if bend.from_end { wire.from } else { wire.to };
    robot.landing_word(landing)
}

/// The name of its wire.
pub fn wire<'a>(tried: &Tried<'_, 'a>, bend: &Bend) -> &'a str {
    &tried.layout.robot.wires[bend.wire.0].name
}

/// The bend has room when one thing stands otherwise.
pub fn frees(tried: &Tried, bend: &Bend, thing: &Standing) -> bool {
    let robot = tried.layout.robot;
    let all = if thing.owner == bend.owner {
        bend::bends_of(robot, tried.scene(), thing)
    } else {
        let Some(own) = tried.stands(bend.owner) else { return false };
        bend::bends_of(robot, &tried.scene_with(thing.clone()), &own)
    };
    all.iter().any(|b| b.terminal == bend.terminal && b.is_free())
}

/// The bend otherwise sized has room where it is.
fn has_room(tried: &Tried, bend: &Bend) -> bool {
    tried
        .stands(bend.owner)
        .is_some_and(|own| bend::ways(tried.scene(), &own, bend).iter().any(|w| w.blockers.is_empty()))
}

/// The change of the wire that trims a boot.
pub fn trim_edit(tried: &Tried, bend: &Bend) -> Edit {
    let key = if bend.from_end { "trim_from" } else { "trim_to" };
    let on = Subject::Wire(wire(tried, bend).to_owned());
    Edit::Set { on, key: key.into(), value: EditValue::Flag(true) }
}

/// The boot trimmed, where that is enough.
pub fn trim(tried: &Tried, bend: &Bend) -> Option<Remedy> {
    let saves = bend.trim_saves?;
    let short = Bend { boot: bend.boot - saves, trim_saves: None, ..bend.clone() };
    has_room(tried, &short).then(|| {
        Remedy::edit(
            format!("Trim the boot at {}, which saves {}.", place(tried, bend), mm(saves.0)),
            vec![trim_edit(tried, bend)],
        )
    })
}

/// Softer or thinner insulation, where that is enough.
pub fn softer(tried: &Tried, bend: &Bend) -> Option<Remedy> {
    let robot = tried.layout.robot;
    let wire = &robot.wires[bend.wire.0];
    if bend::kind(robot, wire) == bend::Kind::Screened {
        return None;
    }
    [Insulation::Silicone, Insulation::Xlpe, Insulation::Ptfe].into_iter().find_map(|insulation| {
        // No insulation that bears less heat than the one chosen.
        if insulation == wire.insulation || insulation.limit() < wire.insulation.limit() {
            return None;
        }
        let other = bend::with_insulation(robot, bend, insulation);
        if other.need() >= bend.need() || !has_room(tried, &other) {
            return None;
        }
        let word = insulation.word();
        let text = format!("Use {} with {word} insulation: it needs {}.", wire.name, mm(other.need().0));
        let on = Subject::Wire(wire.name.clone());
        let value = EditValue::Insulation(insulation);
        Some(Remedy::edit(text, vec![Edit::Set { on, key: "insulation".into(), value }]))
    })
}

/// A bend in words: what it is made of.
pub fn made_of(bend: &Bend) -> String {
    let boot = if bend.boot > Millimetres::ZERO {
        format!("{} of stiff end, ", mm(bend.boot.0))
    } else {
        String::new()
    };
    let straight = if bend.straight > Millimetres::ZERO {
        format!("{} straight behind it, ", mm(bend.straight.0))
    } else {
        String::new()
    };
    format!(
        "It takes {boot}{straight}a bend of {} on its inside and its own {}: {} in all.",
        mm(bend.radius.0),
        mm(bend.diameter.0),
        mm(bend.need().0)
    )
}

/// The room that the best way to bend wants, and what stands in it.
pub fn marks(layout: &Layout, bend: &Bend) -> Vec<Mark> {
    let Some(way) = bend.ways.first() else { return Vec::new() };
    crate::findings::marks::taken(layout, bend.face, &way.solids, &way.blockers, "bend")
}
