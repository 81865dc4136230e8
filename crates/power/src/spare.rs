//! What could still carry more.

use crate::results::*;
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::Amperes;
use loomdeck_model::{PartId, Robot, SituationId};
use std::collections::BTreeMap;

/// The most that is used over all lasting situations (all situations when none lasts).
struct Most(Option<(f64, SituationId)>);

impl Most {
    fn see(&mut self, amperes: Amperes, situation: SituationId) {
        if self.0.is_none_or(|(most, _)| amperes.0.abs() > most) {
            self.0 = Some((amperes.0.abs(), situation));
        }
    }
}

/// Rows in order of kind, then of the robot.
pub fn rows(robot: &Robot, results: &[SituationResult], fuses: &[FuseResult]) -> Vec<SpareRow> {
    let mut rows: Vec<SpareRow> = fuses.iter().filter_map(|f| fuse_row(robot, f)).collect();
    for part in 0..robot.parts.len() {
        for e in 0..robot.type_of(PartId(part)).elements.len() {
            rows.extend(element_rows(robot, results, PartId(part), e));
        }
    }
    rows.extend(contact_rows(robot, results));
    rows.sort_by_key(|r| r.what);
    rows
}

fn row(
    what: SpareKind,
    name: String,
    part: Option<PartId>,
    most: &Most,
    limit: Amperes,
) -> Option<SpareRow> {
    let (used, situation) = most.0?;
    (limit.0 > 0.0).then(|| SpareRow {
        what,
        name,
        part,
        used,
        limit: limit.0,
        unit: "A",
        headroom_percent: 100.0 * (1.0 - used / limit.0),
        situation: Some(situation),
    })
}

fn fuse_row(robot: &Robot, fuse: &FuseResult) -> Option<SpareRow> {
    let limit = fuse.rating? * robot.limits.fuse_continuous;
    let name = format!("{} {}", robot.parts[fuse.part.0].name, fuse.way);
    Some(SpareRow {
        what: SpareKind::FuseWay,
        name,
        part: Some(fuse.part),
        used: fuse.rms.0,
        limit: limit.0,
        unit: "A",
        headroom_percent: 100.0 * (1.0 - fuse.rms.0 / limit.0),
        situation: None,
    })
}

fn element_rows(robot: &Robot, results: &[SituationResult], part: PartId, e: usize) -> Vec<SpareRow> {
    let element = &robot.type_of(part).elements[e];
    let name = &robot.parts[part.0].name;
    let mut by_sub: BTreeMap<usize, Most> = BTreeMap::new();
    for result in results {
        let lasting = robot.situations[result.situation.0].lasting;
        if !lasting && robot.situations.iter().any(|s| s.lasting) {
            continue;
        }
        let mut see = |sub: usize, amperes: Amperes| {
            by_sub.entry(sub).or_insert(Most(None)).see(amperes, result.situation);
        };
        match &result.parts[part.0].elements[e] {
            ElementResult::Converter { output_current, .. } => see(0, *output_current),
            ElementResult::Bus { rms, .. } => see(0, *rms),
            ElementResult::Battery { current, .. } => see(0, current.max(Amperes(0.0))),
            ElementResult::Driver { channels, .. } => {
                for (c, channel) in channels.iter().enumerate() {
                    see(c, channel.current);
                }
            }
            ElementResult::SlipRing { rms, .. } => {
                for (c, amperes) in rms.iter().enumerate() {
                    see(c, *amperes);
                }
            }
            _ => {}
        }
    }
    by_sub
        .iter()
        .filter_map(|(&sub, most)| match &element.kind {
            ElementKind::Converter(c) => {
                row(SpareKind::Converter, name.clone(), Some(part), most, c.limit)
            }
            ElementKind::Bus(b) => row(SpareKind::Bus, name.clone(), Some(part), most, b.rating),
            ElementKind::Battery(b) => {
                row(SpareKind::Battery, name.clone(), Some(part), most, b.discharge_limit)
            }
            ElementKind::Driver(d) => {
                let channel = format!("{name} {}", d.channels[sub].name);
                row(SpareKind::Driver, channel, Some(part), most, d.continuous)
            }
            ElementKind::SlipRing(s) => {
                let circuit = format!("{name} circuit {}", sub + 1);
                row(SpareKind::SlipRing, circuit, Some(part), most, s.rating)
            }
            _ => None,
        })
        .collect()
}

fn contact_rows(robot: &Robot, results: &[SituationResult]) -> Vec<SpareRow> {
    let mut most: BTreeMap<(usize, u32), Most> = BTreeMap::new();
    for result in results.iter().filter(|r| robot.situations[r.situation.0].lasting) {
        for contact in &result.contacts {
            most.entry((contact.plug.0, contact.contact))
                .or_insert(Most(None))
                .see(contact.rms, result.situation);
        }
    }
    most.iter()
        .filter_map(|(&(plug, contact), most)| {
            let family = robot.family_of(loomdeck_model::PlugId(plug))?;
            let name = format!("{} contact {contact}", robot.plugs[plug].name);
            row(SpareKind::Contact, name, None, most, family.rating)
        })
        .collect()
}
