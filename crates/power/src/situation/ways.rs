//! The ways from sources to consumers: what they lose, and who has none.

use super::Report;
use crate::circuit::motors::Wish;
use crate::circuit::values::activity;
use crate::netlist::Device;
use crate::operate::elements;
use crate::paths::Finder;
use crate::results::*;
use loomdeck_model::WireId;
use loomdeck_model::element::ElementKind;
use loomdeck_model::part_type::NoiseClass;
use loomdeck_model::units::*;
use std::collections::BTreeMap;

impl Report<'_> {
    pub(super) fn drops(&self) -> Vec<DropResult> {
        let mean = &self.at.mean;
        let netlist = &mean.ready.netlist;
        let mut finder = Finder::of(self.circuit, self.robot, netlist, |i| netlist.items[i].active);
        let mut wire_of = vec![None; netlist.items.len()];
        for (w, &item) in self.circuit.wire_item.iter().enumerate() {
            wire_of[item] = Some(WireId(w));
        }
        let limits = &self.robot.limits;
        let mut all = Vec::new();
        for (part, e, item) in elements(self.circuit) {
            let kind = self.robot.type_of(part);
            let at = |n| self.circuit.local(part, n);
            let (plus, minus) = match &kind.elements[e].kind {
                ElementKind::Load(l) => (at(l.plus), at(l.minus)),
                ElementKind::Converter(c) => (at(c.in_plus), at(c.in_minus)),
                ElementKind::Driver(d) => (at(d.plus), at(d.minus)),
                _ => continue,
            };
            if !netlist.items[item].active {
                continue;
            }
            let Some(feed) = finder.feed(plus, minus) else { continue };
            let source = self.v(mean, feed.source.plus, feed.minus);
            let at_part = self.v(mean, plus, minus);
            if source.0 <= 0.1 {
                continue;
            }
            let lost = |item: usize| {
                Volts((mean.point.x[self.circuit.pattern.extra[item]] * self.ohms(item)).abs())
            };
            let worst = feed
                .there
                .iter()
                .chain(&feed.back)
                .filter_map(|&i| wire_of[i].map(|w| (w, lost(i))))
                .fold(None, |best: Option<(WireId, Volts)>, next| match best {
                    Some(b) if b.1 >= next.1 => Some(b),
                    _ => Some(next),
                });
            let limit = match kind.noise {
                NoiseClass::Power => limits.drop_power,
                _ => limits.drop_quiet,
            };
            let wires = feed.there.iter().chain(&feed.back).filter_map(|&i| wire_of[i]).collect();
            all.push(DropResult {
                part,
                fed_by: feed.source.part,
                wires,
                source,
                at_part,
                fraction: (source - at_part) / source,
                limit,
                worst_wire: worst.map(|w| w.0),
                worst_drop: worst.map_or(Volts(0.0), |w| w.1),
            });
        }
        all
    }

    fn ohms(&self, item: usize) -> f64 {
        match self.at.mean.ready.netlist.items[item].device {
            Device::Branch { resistance_ohm, .. } => resistance_ohm,
            _ => 0.0,
        }
    }

    /// Consumers that want power and get none, by the piece of metal that nothing feeds.
    pub(super) fn unfed(&self) -> Vec<UnfedIsland> {
        let mean = &self.at.mean;
        let fed = &mean.ready.fed;
        let mut islands: BTreeMap<usize, UnfedIsland> = BTreeMap::new();
        for (part, e, item) in elements(self.circuit) {
            let at = |n| self.circuit.local(part, n);
            let (plus, minus) = match &self.robot.type_of(part).elements[e].kind {
                ElementKind::Load(l)
                    if activity(self.situation, part, l).is_some_and(|a| a.mean.0 > 0.0) =>
                {
                    (at(l.plus), at(l.minus))
                }
                ElementKind::Converter(c) => (at(c.in_plus), at(c.in_minus)),
                ElementKind::Driver(d) => (at(d.plus), at(d.minus)),
                ElementKind::Motor(m)
                    if mean
                        .ready
                        .motors
                        .iter()
                        .any(|n| n.item == item && !matches!(n.wish, Wish::Off { .. })) =>
                {
                    (at(m.a), at(m.b))
                }
                _ => continue,
            };
            let in_window = fed.nodes[plus] && fed.nodes[minus] && fed.part[plus] == fed.part[minus];
            if fed.carries[item] && in_window {
                continue;
            }
            if in_window && !matches!(self.robot.type_of(part).elements[e].kind, ElementKind::Load(_)) {
                // It has voltage; that it does not run is another matter.
                continue;
            }
            let key = if fed.nodes[plus] { fed.part[minus] } else { fed.part[plus] };
            let island = islands
                .entry(key)
                .or_insert_with(|| UnfedIsland { parts: Vec::new(), landings: Vec::new() });
            if !island.parts.contains(&part) {
                island.parts.push(part);
            }
        }
        for wire in &self.robot.wires {
            for landing in [wire.from, wire.to] {
                let node = self.circuit.node(self.robot, landing);
                if let Some(island) = islands.get_mut(&fed.part[node])
                    && !fed.nodes[node]
                    && !island.landings.contains(&landing)
                {
                    island.landings.push(landing);
                }
            }
        }
        islands.into_values().collect()
    }
}
