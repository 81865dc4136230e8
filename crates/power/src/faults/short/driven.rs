//! Shorts behind a motor driver: not solved, but taken from what the driver says of itself.

use super::bases::Bases;
use super::judge::Judge;
use super::types::*;
use super::{Job, LOW, time, warmer};
use crate::faults::Ground;
use crate::fuse::curve::{fastest, slowest};
use crate::netlist::Device;
use crate::paths::Ways;
use loomdeck_model::element::{Driver, ElementKind, Shorted};
use loomdeck_model::{PartId, WireId};
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, VecDeque};

/// A place that a driver's output feeds.
pub struct Output<'a> {
    /// The driver's part.
    part: PartId,
    /// What it says of itself.
    driver: &'a Driver,
    /// Its item.
    item: usize,
    /// The items from the driver to here, the shortest way.
    way: Vec<usize>,
}

/// By node.
pub type Outputs<'a> = BTreeMap<usize, Output<'a>>;

/// The outputs of motor drivers, over wires, contacts, fuses and slip rings.
pub fn outputs<'a>(ground: &Ground<'a>) -> Outputs<'a> {
    let items = &ground.circuit.template.items;
    let metal = Ways::of(&ground.circuit.template, |i| matches!(items[i].device, Device::Branch { .. }));
    let mut out = BTreeMap::new();
    for (part, e, item) in crate::operate::elements(&ground.circuit) {
        let ElementKind::Driver(driver) = &ground.robot.type_of(part).elements[e].kind else { continue };
        let ends = driver.channels.iter().flat_map(|c| [c.a, c.b]);
        let mut queue: VecDeque<(usize, Vec<usize>)> =
            ends.map(|n| (ground.circuit.local(part, n), Vec::new())).collect();
        while let Some((node, way)) = queue.pop_front() {
            if let Entry::Vacant(place) = out.entry(node) {
                queue.extend(
                    metal
                        .from(node)
                        .iter()
                        .map(|&(over, other)| (other, way.iter().copied().chain([over]).collect())),
                );
                place.insert(Output { part, driver, item, way });
            }
        }
    }
    out
}

/// A short there: a fuse on the way ends it, or the driver holds it at its peak current, or switches off. `None`
/// while the driver does not run.
pub fn row(judge: &Judge<'_>, full: &mut Bases<'_>, job: &Job, output: &Output<'_>) -> Option<Row> {
    let Output { part, driver, item, way } = output;
    if !full.solution.states.running[*item] {
        return None;
    }
    let (part, peak_a, trips) = (*part, driver.peak.0, driver.shorted == Shorted::Trips);
    let fuse = fuse_on(judge, way, peak_a);
    let never = (fuse.is_none() && !trips).then_some(Never::Driven { part, peak_a });
    let held = || Opening {
        part,
        element: "main".to_owned(),
        what: if trips { Opens::Trip } else { Opens::Driver },
        rating_a: peak_a,
        current_a: peak_a,
        fastest_s: None,
        slowest_s: None,
    };
    let square = peak_a * peak_a;
    let ends = fuse.as_ref().and_then(|f| f.fastest_s.zip(f.slowest_s));
    let case = Case {
        charge_percent: 100.0,
        current_a: peak_a,
        sources: vec![Share { part, current_a: peak_a }],
        // A driver that trips is there before any fuse.
        opens: vec![fuse.filter(|_| !trips).unwrap_or_else(held)],
        let_through_a2s: ends.filter(|_| !trips).map(|(first, last)| (square * first, square * last)),
    };
    let lasts = time(&case, &never);
    // A wire shorted in its middle carries the current that far, whichever of its ends the driver is at.
    let middle: &[WireId] = if job.family == Family::Middle { &job.wires } else { &[] };
    let wires = judge.wires().filter(|(_, item)| way.contains(item)).map(|(wire, _)| wire);
    let carry = wires.chain(middle.iter().copied()).map(|w| Some(judge.hot(w, peak_a, lasts)));
    let hottest = carry.fold(None, |most, hot| if warmer(&hot, &most) { hot } else { most });
    Some(Row {
        family: job.family,
        at: job.at.clone(),
        wires: job.wires.clone(),
        situation: full.id,
        before_v: 0.0,
        full: case.clone(),
        low: Case { charge_percent: 100.0 * LOW, ..case },
        never,
        hottest,
        strained: Vec::new(),
        lets_go: Vec::new(),
    })
}

/// The fuse on the way that surely opens first at this current.
fn fuse_on(judge: &Judge<'_>, way: &[usize], current_a: f64) -> Option<Opening> {
    let fuses = judge.ways.iter().filter(|w| way.contains(&w.item)).filter_map(|w| {
        let multiple = current_a / w.fuse.rating.0;
        let last = slowest(&w.fuse.curve, multiple);
        last.is_finite().then(|| Opening {
            part: w.part,
            element: w.name.to_owned(),
            what: Opens::Fuse,
            rating_a: w.fuse.rating.0,
            current_a,
            fastest_s: Some(fastest(&w.fuse.curve, multiple)).filter(|t| t.is_finite()),
            slowest_s: Some(last),
        })
    });
    fuses.min_by(|a, b| {
        a.slowest_s.unwrap_or(f64::INFINITY).total_cmp(&b.slowest_s.unwrap_or(f64::INFINITY))
    })
}
