//! The window of ratings of every fuse way.

use super::curve::{self, derating, fastest, slowest};
use super::reach::{self, Behind, Metal};
use super::series::ratings;
use super::withstand::{Surroundings, protects, surroundings};
use crate::circuit::Circuit;
use crate::circuit::values::activity;
use crate::heat::robot::Wires;
use crate::heat::wire::{self, Conductor};
use crate::lanes;
use crate::operate::{Operated, elements, item_current};
use crate::results::*;
use loomdeck_model::element::{ElementKind, FusePoint, FuseWay};
use loomdeck_model::units::*;
use loomdeck_model::wire::{Gauge, Insulation};
use loomdeck_model::{Landing, MotorTask, PartId, Robot, Situation, SituationId, WireId};
use std::collections::BTreeSet;

/// How much longer than a load lasts the fastest specimen must hold: a fuse that is heated again and
/// again ages (common practice, no source).
pub const TIME_MARGIN: f64 = 2.0;
/// Everything the window needs.
pub struct Fuses<'a> {
    robot: &'a Robot,
    circuit: &'a Circuit,
    wires: &'a Wires,
    operated: &'a [Operated],
    results: &'a [SituationResult],
    /// Metal before and behind fuses.
    pub metal: Metal,
    around: Vec<Surroundings>,
    /// Longest peak of a load in each situation, s.
    peak_times: Vec<f64>,
}

/// The fuses of one form and curve.
struct Series {
    form: String,
    points: Vec<FusePoint>,
    ratings: Vec<f64>,
    /// The largest rating that protects each wire (none does: `Some(None)`), where it was asked for.
    largest: Vec<Option<Option<f64>>>,
}

impl<'a> Fuses<'a> {
    /// Prepares.
    pub fn of(
        robot: &'a Robot,
        circuit: &'a Circuit,
        wires: &'a Wires,
        operated: &'a [Operated],
        results: &'a [SituationResult],
    ) -> Self {
        let metal = Metal::of(circuit, robot);
        let around =
            (0..robot.wires.len()).map(|w| surroundings(robot, wires, results, WireId(w))).collect();
        let peak_times = robot.situations.iter().map(|s| peak_time(robot, circuit, s)).collect();
        Self { robot, circuit, wires, operated, results, metal, around, peak_times }
    }

    /// The place of the series of a way and a curve among those known.
    fn series(&self, known: &mut Vec<Series>, way: &FuseWay, points: Vec<FusePoint>) -> usize {
        known.iter().position(|s| s.form == way.form && s.points == points).unwrap_or_else(|| {
            known.push(Series {
                form: way.form.clone(),
                points,
                ratings: ratings(self.robot, way),
                largest: vec![None; self.robot.wires.len()],
            });
            known.len() - 1
        })
    }

    /// The largest rating of a series that protects a wire.
    fn largest_for(&self, series: &mut Series, id: WireId) -> Option<f64> {
        let Series { points, ratings, largest, .. } = series;
        *largest[id.0].get_or_insert_with(|| {
            let (conductor, around) = (&self.wires.conductors[id.0], &self.around[id.0]);
            let ok = ratings.partition_point(|&r| protects(conductor, around, r, points));
            ok.checked_sub(1).map(|i| ratings[i])
        })
    }

    /// All fuse ways, in order of parts and elements.
    pub fn all(&self) -> Vec<FuseResult> {
        let ways: Vec<_> = elements(self.circuit)
            .filter(|&(part, e, _)| {
                matches!(self.robot.type_of(part).elements[e].kind, ElementKind::FuseWay(_))
            })
            .collect();
        let one = |known: &mut Vec<Series>, way: usize| self.one(known, ways[way]);
        lanes::each(ways.len(), Vec::new, one).into_iter().flatten().collect()
    }

    fn one(
        &self,
        known: &mut Vec<Series>,
        (part, e, item): (PartId, usize, usize),
    ) -> Option<FuseResult> {
        let element = &self.robot.type_of(part).elements[e];
        let ElementKind::FuseWay(way) = &element.kind else { return None };
        let fuse_type = self.robot.parts[part.0].fuses.get(&element.name).copied();
        let fuse = fuse_type.and_then(|t| self.robot.types[t.0].fuse.as_ref());
        let points = fuse.map_or_else(curve::blade, |f| f.curve.clone());
        let (feed, load) =
            self.metal.sides(self.circuit.local(part, way.a), self.circuit.local(part, way.b));
        let mut behind = self.metal.behind(self.circuit, self.robot, load);
        self.metal.add_before(self.circuit, self.robot, (feed, load), &mut behind);
        let mut result = self.currents(part, item, &behind);
        result.way = element.name.clone();
        result.fuse = fuse_type;
        result.rating = fuse.map(|f| f.rating);
        let place = self.series(known, way, points);
        let series = &mut known[place];
        let air = self.robot.ambient(self.robot.parts[part.0].place, None).0;
        self.smallest(&mut result, &series.ratings, &series.points, air);
        self.largest(&mut result, series, &behind);
        self.thin(&mut result, series);
        result.prospective =
            Amperes(self.metal.prospective(self.circuit, self.robot, feed).map_or(0.0, |p| p.1));
        result.voltage =
            Volts(self.results.iter().flat_map(|s| self.node_volts(s, feed)).fold(0.0, f64::max));
        self.curves(&mut result, &series.points);
        Some(result)
    }

    fn node_volts(&self, s: &SituationResult, node: usize) -> Option<f64> {
        let at = &self.operated[s.situation.0].mean;
        at.ready.fed.nodes[node].then(|| {
            let x = &at.point.x;
            let low = self
                .metal
                .batteries
                .iter()
                .filter(|b| at.ready.fed.part[b.2] == at.ready.fed.part[node])
                .map(|b| x[b.2])
                .fold(f64::INFINITY, f64::min);
            if low.is_finite() { x[node] - low } else { x[node] }
        })
    }

    /// What it has to carry in each situation.
    fn currents(&self, part: PartId, item: usize, behind: &Behind) -> FuseResult {
        let mut result = FuseResult {
            part,
            way: String::new(),
            fuse: None,
            rating: None,
            wires: behind.wires.iter().chain(&behind.returns).copied().collect(),
            before: behind.before.iter().copied().collect(),
            mean: Amperes(0.0),
            rms: Amperes(0.0),
            peak: Amperes(0.0),
            peak_time: Seconds(0.0),
            situation: None,
            smallest: None,
            smallest_because: String::new(),
            largest: None,
            largest_because: String::new(),
            weakest: None,
            thin: Vec::new(),
            prospective: Amperes(0.0),
            voltage: Volts(0.0),
            curves: FuseCurves::default(),
        };
        for (index, at) in self.operated.iter().enumerate() {
            let situation = &self.robot.situations[index];
            let amperes = |s| item_current(self.circuit, s, item).abs();
            let (mean, rms, peak) = (amperes(&at.mean), amperes(&at.rms), amperes(&at.peak));
            let stalled = situation.motors.values().any(|t| matches!(t, MotorTask::Stalled { .. }));
            let time = match (stalled, situation.lasting) {
                (true, _) => Some(situation.lasts.unwrap_or(self.robot.limits.stall)),
                (false, false) => situation.lasts,
                (false, true) => None,
            };
            if rms > 1e-6 {
                result.curves.loads.push(LoadPoint {
                    current: Amperes(rms),
                    time,
                    what: situation.name.clone(),
                });
            }
            let peak_time = self.peak_times[index];
            if peak > rms * 1.001 && peak_time > 0.0 {
                result.curves.loads.push(LoadPoint {
                    current: Amperes(peak),
                    time: Some(Seconds(peak_time)),
                    what: format!("{}, peak", situation.name),
                });
            }
            if time.is_none() {
                result.mean = result.mean.max(Amperes(mean));
                result.rms = result.rms.max(Amperes(rms));
            }
            let short =
                if time.is_some() { (rms, time.map_or(0.0, |t| t.0)) } else { (peak, peak_time) };
            if short.0 > result.peak.0 {
                result.peak = Amperes(short.0);
                result.peak_time = Seconds(short.1);
                result.situation = Some(SituationId(index));
            }
        }
        result
    }

    fn smallest(&self, result: &mut FuseResult, ratings: &[f64], points: &[FusePoint], air: f64) {
        let worth = derating(air);
        let share = self.robot.limits.fuse_continuous;
        let carries = |rating: f64, load: &LoadPoint| match load.time {
            None => load.current.0 <= share * worth * rating * (1.0 + 1e-9),
            Some(t) => fastest(points, load.current.0 / (rating * worth)) >= TIME_MARGIN * t.0,
        };
        for &rating in ratings {
            let fails = result.curves.loads.iter().find(|load| !carries(rating, load));
            match fails {
                None => {
                    result.smallest = Some(Amperes(rating));
                    if result.smallest_because.is_empty() {
                        result.smallest_because = "it is the smallest of its kind".to_owned();
                    }
                    return;
                }
                Some(load) => {
                    result.smallest_because = match load.time {
                        None => format!(
                            "{} flows as long as `{}` lasts, and a fuse in {:.0} air carries {:.0}\u{2009}% of its rating for long",
                            load.current,
                            load.what,
                            Celsius(air),
                            100.0 * share * worth
                        ),
                        Some(t) => format!(
                            "{} flows for {} in `{}`, and a {} fuse may open within {}",
                            load.current,
                            t,
                            load.what,
                            Amperes(rating),
                            Seconds(fastest(points, load.current.0 / (rating * worth)))
                        ),
                    };
                }
            }
        }
    }

    fn largest(&self, result: &mut FuseResult, series: &mut Series, behind: &Behind) {
        let mut limits = Vec::new();
        for &id in behind.wires.iter().chain(&behind.returns).chain(&behind.before) {
            limits.push((id, self.largest_for(series, id)));
        }
        let ratings = &series.ratings;
        let mut best = ratings.last().copied();
        let mut because = "nothing behind it sets a limit within the series".to_owned();
        let mut weakest = None;
        let mut cap = |limit: Option<f64>, why: &dyn Fn() -> String, wire: Option<WireId>| {
            if limit < best || (limit.is_none() && best.is_some()) {
                best = limit;
                because = why();
                weakest = wire;
            }
        };
        let below = |amperes: f64| ratings.iter().copied().rfind(|&r| r <= amperes * (1.0 + 1e-9));
        for (id, limit) in limits {
            let w = &self.robot.wires[id.0];
            cap(limit, &|| format!("the wire {} ({}) bears no more", w.name, w.gauge), Some(id));
        }
        for &(plug, contact) in &behind.contacts {
            if let Some(family) = self.robot.family_of(plug) {
                let name = &self.robot.plugs[plug.0].name;
                let why = || format!("contact {contact} of {name} bears {}", family.rating);
                cap(below(family.rating.0), &why, None);
            }
        }
        for &(part, e) in &behind.elements {
            let rating = match &self.robot.type_of(part).elements[e].kind {
                ElementKind::Switch(s) => s.rating,
                ElementKind::SlipRing(s) => s.rating,
                ElementKind::Contactor(s) => s.rating,
                ElementKind::Protection(s) => s.rating,
                _ => continue,
            };
            let name = &self.robot.parts[part.0].name;
            cap(below(rating.0), &|| format!("{name} bears {rating}"), None);
        }
        let mut ends = BTreeSet::new();
        for &id in behind.wires.iter().chain(&behind.before) {
            ends.extend([self.robot.wires[id.0].from, self.robot.wires[id.0].to]);
        }
        for end in ends {
            // At a consumer's own terminal the consumer decides what flows.
            if let Landing::Part { part, terminal } = end
                && (passes_on(self.robot, part) || reach::battery(self.robot, part).is_some())
                && let Some(current) = self.robot.type_of(part).terminals[terminal].current
            {
                let why = || format!("the terminal {} bears {current}", self.robot.landing_word(end));
                cap(below(current.0), &why, None);
            }
        }
        result.largest = best.map(Amperes);
        result.largest_because = because;
        result.weakest = weakest;
    }

    /// The wires that a fuse in question does not protect, with the sizes they would need.
    fn thin(&self, result: &mut FuseResult, series: &mut Series) {
        for &id in result.wires.iter().chain(&result.before) {
            let bears = self.largest_for(series, id).unwrap_or(0.0);
            let weak = |rating: Option<Amperes>| rating.filter(|r| r.0 > bears * (1.0 + 1e-9));
            let (fuse, smallest) = (weak(result.rating), weak(result.smallest));
            if fuse.is_none() && smallest.is_none() || series.ratings.is_empty() {
                continue;
            }
            let insulation = self.robot.wires[id.0].insulation;
            let size = |rating: Option<Amperes>| {
                rating.and_then(|r| self.protecting_size(id, insulation, r.0, &series.points))
            };
            result.thin.push(ThinWire { wire: id, for_fuse: size(fuse), for_smallest: size(smallest) });
        }
    }

    /// The thinnest size of a wire, no thinner than it is, that a fuse of this rating protects.
    pub fn protecting_size(
        &self,
        id: WireId,
        insulation: Insulation,
        rating: f64,
        points: &[FusePoint],
    ) -> Option<Gauge> {
        let wire = &self.robot.wires[id.0];
        let sizes = wire.gauge.series().into_iter().filter(|g| g.area() >= wire.gauge.area());
        sizes.into_iter().find(|&g| {
            let conductor = Conductor::of(g, insulation);
            let mut around = self.around[id.0].clone();
            // A thicker wire is cooler when the overload begins.
            let before = wire::steady(&conductor, around.lasting, around.air, &around.bundles);
            around.start = before.map_or(wire::HOTTEST, |s| s.inside).min(around.start);
            protects(&conductor, &around, rating, points)
        })
    }

    fn curves(&self, result: &mut FuseResult, points: &[FusePoint]) {
        if let Some(rating) = result.rating {
            let sweep = |edge: &dyn Fn(&[FusePoint], f64) -> f64| {
                let mut line = Vec::new();
                let mut m = points.first().map_or(1.1, |p| p.multiple);
                while m < 12.0 {
                    let t = edge(points, m);
                    if t.is_finite() {
                        line.push((m * rating.0, t));
                    }
                    m *= 1.12;
                }
                line
            };
            result.curves.fastest = sweep(&fastest);
            result.curves.slowest = sweep(&slowest);
        }
        if let Some(id) = result.weakest {
            let around = &self.around[id.0];
            let conductor = &self.wires.conductors[id.0];
            let mut i = result.rating.or(result.smallest).map_or(1.0, |r| r.0) * 0.8;
            for _ in 0..26 {
                if let Some(t) =
                    wire::time_to(conductor, i, around.air, &around.bundles, around.start, around.limit)
                {
                    result.curves.withstand.push((i, t));
                }
                i *= 1.12;
            }
        }
    }
}

/// Longest peak of a load in a situation, s.
fn peak_time(robot: &Robot, circuit: &Circuit, situation: &Situation) -> f64 {
    let mut longest: f64 = 0.0;
    for (part, e, _) in elements(circuit) {
        if let ElementKind::Load(load) = &robot.type_of(part).elements[e].kind
            && let Some(a) = activity(situation, part, load)
            && a.peak.0 > a.rms.0
        {
            longest = longest.max(a.peak_time.0);
        }
    }
    longest
}

/// A part that only leads current on: bus bars, fuses, switches, slip rings.
fn passes_on(robot: &Robot, part: PartId) -> bool {
    robot.type_of(part).elements.iter().all(|e| {
        matches!(
            e.kind,
            ElementKind::Bus(_)
                | ElementKind::FuseWay(_)
                | ElementKind::Switch(_)
                | ElementKind::SlipRing(_)
                | ElementKind::Resistor(_)
                | ElementKind::Diode(_)
        )
    })
}
