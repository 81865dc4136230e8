//! Situations and the day.

use super::elements::{activity, node_text};
use super::names::Names;
use super::robot::Build;
use super::tree::{Node, Span, Value};
use super::value::shown;
use super::view::{Gather, View};
use crate::element::{Charger, ElementKind, Load, Motor};
use crate::format::{Kind, Spec};
use crate::part_type::PartType;
use crate::robot::*;
use crate::units::*;
use std::collections::{BTreeMap, BTreeSet};

/// Reads the situations.
pub fn read(root: &View<'_>, b: &mut Build, gather: &mut Gather<'_>) -> Vec<Situation> {
    let (mut situations, mut names) = (Vec::new(), Names::default());
    for s in root.tables("situation") {
        let Some(name) = s.text("name") else { continue };
        names.add(name, situations.len(), s.span("name"), "situation", gather);
        b.stands(Subject::Situation(name.to_owned()), s.span("name"), gather);
        situations.push(situation(name, &s, b, gather));
    }
    situations
}

fn situation(name: &str, s: &View<'_>, b: &Build, gather: &mut Gather<'_>) -> Situation {
    let is_switch = |t: &PartType| t.elements.iter().any(|e| matches!(e.kind, ElementKind::Switch(_)));
    let is_charger =
        |t: &PartType| t.elements.iter().any(|e| matches!(e.kind, ElementKind::Charger(Charger { .. })));
    let mut unplugged = BTreeSet::new();
    for (text, span) in s.texts("unplugged") {
        unplugged.extend(b.resolve_plug(text, span, gather).filter(|p| p.0 < b.plugs.len()));
    }
    let lasts = s.number("lasts").map(Seconds);
    if lasts.is_some() && s.flag("lasting") {
        gather.say(
            s.span("lasting"),
            "This situation is said to be lasting and to last a certain time.",
            None,
        );
    }
    Situation {
        name: name.to_owned(),
        about: s.text_or_empty("about"),
        closed: parts(s, "closed", "has no switch", &is_switch, b, gather),
        unplugged,
        powered: parts(s, "powered", "is no charger", &is_charger, b, gather),
        charge: s.number("charge").unwrap_or(0.8),
        ambient: s.number("ambient").map(Celsius),
        speed: MetresPerSecond(s.number("speed").unwrap_or(0.0)),
        slope: s.number("slope").unwrap_or(0.0),
        moved_by: if s.text("moved_by") == Some("hand") { MovedBy::Hand } else { MovedBy::Motors },
        activity: activities(s, b, gather),
        motors: tasks(s, b, gather),
        lasting: lasts.is_none(),
        lasts,
    }
}

fn parts(
    s: &View<'_>,
    key: &str,
    lacks: &str,
    has: &dyn Fn(&PartType) -> bool,
    b: &Build,
    gather: &mut Gather<'_>,
) -> BTreeSet<PartId> {
    let mut found = BTreeSet::new();
    for (text, span) in s.texts(key) {
        let Some(id) = b.resolve_part(text, span, gather) else { continue };
        match b.type_of(id) {
            Some(t) if has(t) => {
                found.insert(id);
            }
            Some(t) => gather.say(span, format!("`{}` ({}) {lacks}.", shown(text), t.title), None),
            None => {}
        }
    }
    found
}

fn load_of(t: &PartType) -> Option<&Load> {
    t.elements.iter().find_map(|e| match &e.kind {
        ElementKind::Load(l) => Some(l),
        _ => None,
    })
}

fn motor_of(t: &PartType) -> Option<&Motor> {
    t.elements.iter().find_map(|e| match &e.kind {
        ElementKind::Motor(m) => Some(m),
        _ => None,
    })
}

/// The spec of the tables in a field of free keys.
fn spec_in(s: &View<'_>, key: &str) -> Option<&'static Spec> {
    s.spec.fields.iter().find(|f| f.key == key).and_then(|f| match &f.kind {
        Kind::MapOf(spec, _) => Some(*spec),
        _ => None,
    })
}

fn activities(s: &View<'_>, b: &Build, gather: &mut Gather<'_>) -> BTreeMap<PartId, SituationActivity> {
    let mut all = BTreeMap::new();
    let Some(spec) = spec_in(s, "activity") else { return all };
    for (name, span, node) in s.entries("activity") {
        let Some(id) = b.resolve_part(name, span, gather) else { continue };
        let Some(t) = b.type_of(id) else { continue };
        let Some(load) = load_of(t) else {
            gather.say(span, format!("`{}` ({}) has no activities.", shown(name), t.title), None);
            continue;
        };
        let what = match &node.value {
            Value::Table(t) => activity(&View::new(spec, t), "own", gather).map(SituationActivity::Own),
            _ => named_activity(load, node, gather).map(SituationActivity::Named),
        };
        if let Some(what) = what {
            all.insert(id, what);
        }
    }
    all
}

fn named_activity(load: &Load, node: &Node, gather: &mut Gather<'_>) -> Option<usize> {
    let wanted = node_text(node);
    let found = load.activities.iter().position(|a| a.name == wanted);
    if found.is_none() {
        let names: Vec<&str> = load.activities.iter().map(|a| a.name.as_str()).collect();
        let help = match super::problem::nearest(wanted, names.iter().copied()) {
            Some(near) => format!("Did you mean `{near}`?"),
            None => format!("Its activities: {}.", names.join(", ")),
        };
        gather.say(&node.span, format!("There is no activity called `{}`.", shown(wanted)), Some(help));
    }
    found
}

fn tasks(s: &View<'_>, b: &Build, gather: &mut Gather<'_>) -> BTreeMap<PartId, MotorTask> {
    let mut all = BTreeMap::new();
    let Some(spec) = spec_in(s, "motors") else { return all };
    for (name, span, node) in s.entries("motors") {
        let Some(id) = b.resolve_part(name, span, gather) else { continue };
        let Some(t) = b.type_of(id) else { continue };
        let Some(motor) = motor_of(t) else {
            gather.say(span, format!("`{}` ({}) is no motor.", shown(name), t.title), None);
            continue;
        };
        let Value::Table(table) = &node.value else { continue };
        if let Some(task) = task(&View::new(spec, table), motor, &node.span, gather) {
            all.insert(id, task);
        }
    }
    all
}

fn task(v: &View<'_>, motor: &Motor, span: &Span, gather: &mut Gather<'_>) -> Option<MotorTask> {
    let torque = v.number("torque").map(NewtonMetres);
    let duty = v.number("duty");
    let fixed: Vec<&str> =
        ["speed", "turning_rpm", "stalled", "off"].into_iter().filter(|k| v.has(k)).collect();
    let clash = fixed.len() > 1 || (fixed.len() == 1 && fixed[0] != "stalled" && duty.is_some());
    if clash {
        gather.say(
            span,
            "A motor has one task: a duty, a speed, a turning, a torque, stalled or off.",
            None,
        );
        return None;
    }
    match fixed.first() {
        Some(&"off") if v.flag("off") => Some(MotorTask::Off),
        Some(&"stalled") if v.flag("stalled") => Some(MotorTask::Stalled { duty: duty.unwrap_or(1.0) }),
        Some(&"speed") => {
            if motor.wheel.is_none() {
                let help = "Give `turning_rpm` instead.".to_owned();
                gather.say(
                    v.span("speed"),
                    "This motor has no wheel, so it has no speed over ground.",
                    Some(help),
                );
            }
            Some(MotorTask::Speed { speed: MetresPerSecond(v.number("speed")?), torque })
        }
        Some(&"turning_rpm") => Some(MotorTask::Turning { rpm: v.number("turning_rpm")?, torque }),
        _ => match (duty, torque) {
            (Some(duty), torque) => Some(MotorTask::Duty { duty, torque }),
            (None, Some(torque)) => Some(MotorTask::Torque { torque }),
            // A value that was refused has been told already.
            (None, None) if v.has("duty") || v.has("torque") => None,
            (None, None) => {
                let help = "Examples: `{ duty_percent = 60 }`, `{ turning_rpm = 20 }`, `{ stalled = true }`, `{ off = true }`.";
                gather.say(span, "What this motor does is not said.", Some(help.to_owned()));
                None
            }
        },
    }
}

/// Reads the day.
pub fn day(root: &View<'_>, situations: &[Situation], gather: &mut Gather<'_>) -> Vec<DayStep> {
    let mut steps = Vec::new();
    for d in root.tables("day") {
        let (Some(name), Some(minutes)) = (d.text("situation"), d.number("minutes")) else { continue };
        let found =
            situations.iter().position(|s| super::names::same(&s.name) == super::names::same(name));
        match found {
            Some(i) => steps.push(DayStep { situation: SituationId(i), time: Seconds(minutes * 60.0) }),
            None => {
                let near = super::problem::nearest(name, situations.iter().map(|s| s.name.as_str()));
                let help = near.map(|n| format!("Did you mean `{n}`?"));
                gather.say_unresolved(
                    d.span("situation"),
                    format!("There is no situation called `{}`.", shown(name)),
                    help,
                );
            }
        }
    }
    steps
}
