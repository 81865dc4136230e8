//! What several findings share: words, spots, sizes that would do.

use super::All;
use crate::fuse::withstand::{lasting_limit, protects, surroundings};
use crate::heat::wire::{self, Conductor};
use crate::results::{DropResult, ElementResult, EndOfBranch, Outcome, SituationResult};
use loomdeck_model::units::*;
use loomdeck_model::wire::{Gauge, Insulation};
use loomdeck_model::{
    Edit, EditValue, Face, Finding, Landing, PartId, Place, PlugPlace, Point, Remedy, Robot,
    SituationId, Subject, WireId,
};
use std::cmp::Ordering;
use std::collections::{BTreeMap, BinaryHeap};

/// Where on a face a subject is tagged.
pub fn spot(robot: &Robot, subject: Option<&Subject>) -> Option<(Face, Point)> {
    let of_part = |index: usize| match robot.parts[index].place {
        Place::Board(p) => {
            let (low, high) = robot.types[robot.parts[index].kind.0].outline.bounds();
            let middle = Point::new((low.x + high.x) / 2.0, (low.y + high.y) / 2.0);
            Some((p.face, p.to_board(middle)))
        }
        Place::Zone { .. } => None,
    };
    let of_landing = |landing: Landing| match landing {
        Landing::Part { part, terminal } => match robot.parts[part.0].place {
            Place::Board(p) => Some((p.face, p.to_board(robot.type_of(part).terminals[terminal].at))),
            Place::Zone { .. } => None,
        },
        Landing::Plug { plug, .. } => match robot.plugs[plug.0].place {
            PlugPlace::Fixed(p) => Some((p.face, p.at)),
            PlugPlace::Tail { face, at, .. } => Some((face, at)),
        },
    };
    match subject? {
        Subject::Part(name) => of_part(robot.part(name)?.0),
        Subject::Wire(name) => {
            let wire = &robot.wires[robot.wire(name)?.0];
            of_landing(wire.from).or_else(|| of_landing(wire.to))
        }
        Subject::Plug(name) => {
            let plug = robot.plugs.iter().position(|p| p.name == *name)?;
            of_landing(Landing::Plug {
                plug: loomdeck_model::PlugId(plug),
                half: loomdeck_model::Half::Board,
                contact: 1,
            })
        }
        _ => None,
    }
}

/// A wire as a subject.
pub fn wire(robot: &Robot, id: WireId) -> Subject {
    Subject::Wire(robot.wires[id.0].name.clone())
}

/// A part as a subject.
pub fn part(robot: &Robot, id: loomdeck_model::PartId) -> Subject {
    Subject::Part(robot.parts[id.0].name.clone())
}

/// A landing's part or plug as a subject.
pub fn place(robot: &Robot, landing: Landing) -> Subject {
    match landing {
        Landing::Part { part: id, .. } => part(robot, id),
        Landing::Plug { plug, .. } => Subject::Plug(robot.plugs[plug.0].name.clone()),
    }
}

/// Thinnest and thickest conductor that a landing takes.
pub fn range(robot: &Robot, landing: Landing) -> Option<(SquareMillimetres, SquareMillimetres)> {
    match landing {
        Landing::Part { part, terminal } => {
            let t = &robot.type_of(part).terminals[terminal];
            Some((t.thinnest, t.thickest))
        }
        Landing::Plug { plug, .. } => robot.family_of(plug).map(|f| (f.thinnest, f.thickest)),
    }
}

/// Nominal sizes differ a little between the two systems: 16 AWG goes where 1.5 mm² goes (common
/// practice).
pub const SIZE_TOLERANCE: f64 = 0.15;

/// Whether a size goes into a landing.
pub fn fits(robot: &Robot, landing: Landing, gauge: Gauge) -> bool {
    range(robot, landing).is_none_or(|range| goes_into(gauge, range))
}

/// Whether a size lies within a terminal's thinnest and thickest.
pub fn goes_into(gauge: Gauge, (thin, thick): (SquareMillimetres, SquareMillimetres)) -> bool {
    let a = gauge.area().0;
    a >= thin.0 * (1.0 - SIZE_TOLERANCE) && a <= thick.0 * (1.0 + SIZE_TOLERANCE)
}

/// Thickens the wires of a way, each time the one that loses most, until they lose this much less at
/// the currents of a situation. `None` when their terminals do not take what that needs.
pub fn thicken_way(
    all: &All<'_>,
    drop: &DropResult,
    situation: SituationId,
    gain: Volts,
) -> Option<Remedy> {
    let robot = all.robot;
    let lost = |id: WireId| all.study.situations[situation.0].wires[id.0].drop.0.abs();
    let per_metre = |id: WireId| robot.wires[id.0].gauge.ohms_per_metre();
    let mut sizes: BTreeMap<WireId, Gauge> = BTreeMap::new();
    let mut now: BinaryHeap<Losing> =
        drop.wires.iter().enumerate().map(|(at, &id)| Losing { volts: lost(id), at, id }).collect();
    let mut gained = 0.0;
    while gained < gain.0 {
        let Losing { volts: before, at, id } = now.pop().filter(|worst| worst.volts > 0.0)?;
        let wire = &robot.wires[id.0];
        let size = sizes.get(&id).copied().unwrap_or(wire.gauge);
        let fitting = |next: &Gauge| fits(robot, wire.from, *next) && fits(robot, wire.to, *next);
        let Some(next) = size.thicker().filter(fitting) else { continue };
        let volts = lost(id) * (next.ohms_per_metre() / per_metre(id));
        gained += before - volts;
        now.push(Losing { volts, at, id });
        sizes.insert(id, next);
    }
    let told: Vec<String> =
        sizes.iter().map(|(w, g)| format!("{} to {g}", robot.wires[w.0].name)).collect();
    let edits = sizes.iter().map(|(&w, &g)| set_size(robot, w, g)).collect();
    (!sizes.is_empty()).then(|| Remedy::edit(format!("Thicken {}.", told.join(", ")), edits))
}

/// A wire of a way by what it loses; of equal ones the first counts more.
struct Losing {
    volts: f64,
    at: usize,
    id: WireId,
}

impl Ord for Losing {
    fn cmp(&self, other: &Self) -> Ordering {
        self.volts.total_cmp(&other.volts).then(other.at.cmp(&self.at))
    }
}

impl PartialOrd for Losing {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Losing {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Losing {}

/// The converter at its limit that a consumer hangs on, in a situation or (`peak`) when all loads are
/// at their peak.
pub fn limiting_feed(
    all: &All<'_>,
    s: &SituationResult,
    consumer: PartId,
    peak: bool,
) -> Option<PartId> {
    let feed = s.drops.iter().find(|d| d.part == consumer)?.fed_by;
    let limit = super::shelf::converter(all.robot.type_of(feed))?.limit;
    s.parts[feed.0].elements.iter().find_map(|e| match e {
        ElementResult::Converter { output_current, peak_output_current, .. } => {
            let amperes = if peak { peak_output_current } else { output_current };
            (amperes.0 >= limit.0 * (1.0 - AT_LIMIT)).then_some(feed)
        }
        _ => None,
    })
}

/// The converter at its limit that keeps a situation from full load, when that is what does.
pub fn limiting(all: &All<'_>, s: &SituationResult, peak: bool) -> Option<PartId> {
    match if peak { &s.peak_outcome } else { &s.outcome } {
        Outcome::Ends { part: Some(p), how: EndOfBranch::Limits, .. } => Some(*p),
        Outcome::Ends { part: Some(p), how: EndOfBranch::Collapses, .. } => {
            limiting_feed(all, s, *p, peak)
        }
        _ => None,
    }
}

/// A finding with what can be written into the files first, when something can, and advice after it.
pub fn with_first(f: Finding, first: Option<Remedy>, advice: Remedy) -> Finding {
    match first {
        Some(remedy) => f.with_remedy(remedy),
        None => f,
    }
    .with_remedy(advice)
}

/// What a remedy gains beyond what is needed: the currents change a little with it.
pub const A_LITTLE_MORE: f64 = 1.1;

/// How near the limit of a converter counts as at it.
pub const AT_LIMIT: f64 = 1e-3;

/// Sets a wire's size, if both its ends take it; otherwise says what stands in the way.
pub fn resize(robot: &Robot, id: WireId, gauge: Gauge, gain: &str) -> Remedy {
    let wire = &robot.wires[id.0];
    let text = format!("Use {gauge} for {}{gain}.", wire.name);
    let narrow = [wire.from, wire.to].into_iter().find(|&end| !fits(robot, end, gauge));
    match narrow {
        None => Remedy::edit(text, vec![set_size(robot, id, gauge)]),
        Some(end) => Remedy::advice(format!(
            "{} {} does not take it: join a short thinner end to it there, or choose a part with a larger terminal.",
            text,
            robot.landing_word(end)
        )),
    }
}

/// The fuse, rating and holder, that would not keep a wire within what it bears if it were thinner.
pub fn fuse_too_large<'a>(all: &All<'a>, id: WireId, gauge: Gauge) -> Option<(Amperes, &'a str)> {
    let wire = &all.robot.wires[id.0];
    if gauge.area() >= wire.gauge.area() {
        return None;
    }
    let conductor = Conductor::of(gauge, wire.insulation);
    let mut around = surroundings(all.robot, &all.wires, &all.study.situations, id);
    // A thinner wire is warmer when the overload begins.
    let before = wire::steady(&conductor, around.lasting, around.air, &around.bundles);
    around.start = before.map_or(wire::HOTTEST, |s| s.inside).max(around.start);
    let fuses = all.study.fuses.iter().filter(|f| f.wires.contains(&id) || f.before.contains(&id));
    fuses.into_iter().find_map(|f| {
        let fuse = all.robot.types[f.fuse?.0].fuse.as_ref()?;
        let fails = !protects(&conductor, &around, fuse.rating.0, &fuse.curve);
        fails.then(|| (fuse.rating, all.robot.parts[f.part.0].name.as_str()))
    })
}

/// The edit that sets a wire's size.
pub fn set_size(robot: &Robot, id: WireId, gauge: Gauge) -> Edit {
    Edit::Set { on: wire(robot, id), key: "size".to_owned(), value: EditValue::Gauge(gauge) }
}

/// The edit that puts a fuse into a way.
pub fn set_fuse(robot: &Robot, id: loomdeck_model::PartId, way: &str, name: &str) -> Edit {
    Edit::Set {
        on: part(robot, id),
        key: format!("fuses.{way}"),
        value: EditValue::Text(name.to_owned()),
    }
}

/// Temperature a wire would reach in a situation with another size or insulation.
pub fn temperature_with(
    all: &All<'_>,
    id: WireId,
    situation: SituationId,
    gauge: Gauge,
    insulation: Insulation,
) -> Option<f64> {
    let result = &all.study.situations[situation.0];
    let currents: Vec<f64> = result.wires.iter().map(|w| w.rms.0).collect();
    let bundles = all.wires.bundles_of(id, &currents);
    let conductor = Conductor::of(gauge, insulation);
    let air = result.wires[id.0].ambient.0;
    let s = &all.robot.situations[situation.0];
    match s.lasts.filter(|_| !s.lasting) {
        None => wire::steady(&conductor, currents[id.0], air, &bundles).map(|s| s.inside),
        Some(t) => {
            let end = wire::after(&conductor, currents[id.0], air, &bundles, air, t.0);
            (end < wire::HOTTEST).then_some(end)
        }
    }
}

/// The thinnest size at which a wire stays below a limit in a situation.
pub fn cool_size(
    all: &All<'_>,
    id: WireId,
    situation: SituationId,
    limit: Celsius,
) -> Option<(Gauge, f64)> {
    let w = &all.robot.wires[id.0];
    w.gauge.series().into_iter().filter(|g| g.area() > w.gauge.area()).find_map(|g| {
        let t = temperature_with(all, id, situation, g, w.insulation)?;
        (t <= limit.0).then_some((g, t))
    })
}

/// Thickens a wire so that it stays below its limits in a situation and its fuse protects it, and with
/// it the other wires behind that fuse that need the same.
pub fn cool(all: &All<'_>, id: WireId, situation: SituationId) -> Option<Remedy> {
    let fuse = all.study.fuses.iter().find(|f| f.wires.contains(&id) || f.before.contains(&id));
    let wires = fuse.map_or(vec![id], |f| f.wires.iter().chain(&f.before).copied().collect());
    let mut sizes = Vec::new();
    let mut reached: f64 = 0.0;
    for w in wires {
        let limit = overall_limit(all, w);
        let hot = all.study.situations[situation.0].wires[w.0].temperature.is_none_or(|t| t > limit);
        let cool = if hot { Some(cool_size(all, w, situation, limit)?) } else { None };
        let thin =
            fuse.and_then(|f| f.thin.iter().find(|t| t.wire == w)).filter(|t| t.for_fuse.is_some());
        let sizes_of = cool.map(|c| c.0).into_iter().chain(thin.and_then(|t| t.for_fuse));
        let Some(gauge) = sizes_of.reduce(|a, b| if b.area() > a.area() { b } else { a }) else {
            continue;
        };
        let wire = &all.robot.wires[w.0];
        if !fits(all.robot, wire.from, gauge) || !fits(all.robot, wire.to, gauge) {
            return None;
        }
        let insulation = wire.insulation;
        reached = reached.max(temperature_with(all, w, situation, gauge, insulation)?);
        sizes.push((w, gauge));
    }
    let told: Vec<String> =
        sizes.iter().map(|(w, g)| format!("{} to {g}", all.robot.wires[w.0].name)).collect();
    let edits = sizes.iter().map(|&(w, g)| set_size(all.robot, w, g)).collect();
    (!sizes.is_empty()).then(|| {
        Remedy::edit(format!("Thicken {} ({:.0} at most).", told.join(", "), Celsius(reached)), edits)
    })
}

/// The situation in which a wire gets hottest, with the temperature (`None`: outside the model).
pub fn worst_heat(all: &All<'_>, id: WireId) -> Option<(SituationId, Option<Celsius>)> {
    all.study.situations.iter().map(|s| (s.situation, s.wires[id.0].temperature)).max_by(|a, b| {
        let height = |t: Option<Celsius>| t.map_or(f64::INFINITY, |c| c.0);
        height(a.1).total_cmp(&height(b.1))
    })
}

/// Temperature limit of a wire without its terminals.
pub fn insulation_limit(all: &All<'_>, id: WireId) -> Celsius {
    all.robot.wires[id.0].insulation.limit()
}

/// The lowest of insulation and terminals.
pub fn overall_limit(all: &All<'_>, id: WireId) -> Celsius {
    lasting_limit(all.robot, id)
}

/// Name of a situation.
pub fn name<'a>(all: &All<'a>, id: SituationId) -> &'a str {
    &all.robot.situations[id.0].name
}

/// Parts and elements of the robot with their element data.
pub fn elements<'a>(
    all: &'a All<'_>,
) -> impl Iterator<Item = (loomdeck_model::PartId, usize, &'a loomdeck_model::element::ElementKind)> + 'a
{
    crate::operate::elements(&all.circuit)
        .map(|(part, e, _)| (part, e, &all.robot.type_of(part).elements[e].kind))
}
