//! The network with something changed: an element cut or led elsewhere, two nodes joined.

use super::{Circuit, branch};
use crate::netlist::Device;
use crate::solver::{Core, Pattern};
use loomdeck_model::{PlugId, Robot, Situation};

/// One change of a network.
#[derive(Clone, Debug, PartialEq)]
pub enum Alteration {
    /// This item carries nothing any more: a broken wire, a blown fuse, a plug contact left open.
    Cut {
        /// Index of the item.
        item: usize,
    },
    /// A resistance between two nodes: a short, a bridge, a wrong wire. The items so added follow those of
    /// the network, in order.
    Join {
        /// From.
        a: usize,
        /// To.
        b: usize,
        /// Its resistance.
        ohms: f64,
    },
    /// A two-ended item lies between other nodes: swapped ends turn it round.
    Lead {
        /// Index of the item.
        item: usize,
        /// From.
        a: usize,
        /// To.
        b: usize,
    },
}

impl Circuit {
    /// The same robot's network with changes. Items and nodes keep their numbers.
    #[must_use]
    pub fn altered(&self, robot: &Robot, changes: &[Alteration]) -> Self {
        let mut new = self.clone();
        new.cut.resize(new.template.items.len(), false);
        for change in changes {
            match *change {
                Alteration::Cut { item } => new.cut[item] = true,
                Alteration::Join { a, b, ohms } => {
                    new.push("join".to_owned(), branch(a, b, ohms));
                    new.cut.push(false);
                }
                Alteration::Lead { item, a, b } => lead(&mut new.template.items[item].device, a, b),
            }
        }
        new.join_motors(robot);
        new.finish(robot);
        new
    }

    /// The network to solve a situation on that pulls a plug which no situation of the robot does; `None` when
    /// this one will do. The smaller network that is solved takes such contacts for closed.
    pub fn with_pulled(&self, robot: &Robot, situation: &Situation) -> Option<Self> {
        let foreseen = |plug: &PlugId| robot.situations.iter().any(|s| s.unplugged.contains(plug));
        let pulled =
            self.contact_item.iter().filter(|((plug, _), _)| situation.unplugged.contains(plug));
        let cuts: Vec<Alteration> = pulled
            .filter(|((plug, _), _)| !foreseen(plug))
            .map(|(_, &item)| Alteration::Cut { item })
            .collect();
        (!cuts.is_empty()).then(|| self.altered(robot, &cuts))
    }

    /// Works out what follows from the template.
    pub(super) fn finish(&mut self, robot: &Robot) {
        self.pattern = Pattern::of(&self.template);
        self.core = Core::of(&self.template, &self.pattern, &self.steady(robot));
        self.blank = self.unnamed();
    }
}

/// Leads a two-ended device between other nodes; those with more ends stay as they are.
fn lead(device: &mut Device, from: usize, to: usize) {
    match device {
        Device::Branch { a, b, .. }
        | Device::Diode { a, b, .. }
        | Device::Load { a, b, .. }
        | Device::Motor { a, b, .. }
        | Device::Charger { plus: a, minus: b, .. } => (*a, *b) = (from, to),
        Device::Converter { .. } | Device::Channel { .. } => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::circuit::values::Level;
    use crate::operate::{across, from_nothing, item_current};
    use crate::testing::measured;
    use loomdeck_model::SituationId;

    const ROBOT: &str = r#"
format = 1
[robot]
name = "One lamp"
[[zone]]
name = "body"
path_mm = 100
[[part]]
name = "battery"
type = "lead-agm-12v-35ah"
zone = "body"
[[part]]
name = "lamp"
type = "lamp-led-12v-5w"
zone = "body"
[[wire]]
name = "plus"
from = "battery.plus"
to = "lamp.plus"
size_mm2 = 1.5
length_mm = 1000
[[wire]]
name = "minus"
from = "lamp.minus"
to = "battery.minus"
size_mm2 = 1.5
length_mm = 1000
[[situation]]
name = "show"
activity = { lamp = "on" }
"#;

    #[test]
    fn a_cut_wire_leaves_the_lamp_dark_and_a_join_shorts_it() {
        let robot = loomdeck_model::testing::robot(ROBOT);
        let whole = Circuit::of(&robot, &measured(&robot));
        let situation = &robot.situations[SituationId(0).0];
        let ohms = whole.cold.clone();
        let solve = |circuit: &Circuit| from_nothing(circuit, &robot, situation, Level::Mean, &ohms);
        let lamp = (whole.node(&robot, robot.wires[0].to), whole.node(&robot, robot.wires[1].from));

        let fine = solve(&whole);
        assert!(across(&fine, lamp.0, lamp.1).is_some_and(|v| v > 12.0));

        let cut = whole.altered(&robot, &[Alteration::Cut { item: whole.wire_item[0] }]);
        assert_eq!(across(&solve(&cut), lamp.0, lamp.1), None);

        let short = whole.altered(&robot, &[Alteration::Join { a: lamp.0, b: lamp.1, ohms: 0.0 }]);
        let solved = solve(&short);
        let current = item_current(&short, &solved, whole.wire_item[0]);
        let Device::Branch { resistance_ohm: inside, .. } = whole.template.items[0].device else {
            unreachable!("the battery comes first")
        };
        // Ohm's law: open-circuit voltage over battery and both wires.
        let expected = across_open(&robot) / (inside + ohms[0] + ohms[1]);
        assert!((current / expected - 1.0).abs() < 1e-3, "{current} against {expected}");

        let turned = whole.altered(
            &robot,
            &[Alteration::Lead {
                item: 0,
                a: whole.node(&robot, robot.wires[0].from),
                b: whole.node(&robot, robot.wires[1].to),
            }],
        );
        assert!(across(&solve(&turned), lamp.0, lamp.1).is_some_and(|v| v < -10.0));
    }

    #[test]
    fn a_plug_that_no_situation_pulls_carries_nothing_when_it_is_pulled() {
        // A second way from the battery to the lamp, by a plug.
        let text = format!("{ROBOT}{BESIDE}");
        let robot = loomdeck_model::testing::robot(&text);
        let circuit = Circuit::of(&robot, &measured(&robot));
        let direct = |s: &Situation| {
            let solved = from_nothing(&circuit, &robot, s, Level::Mean, &circuit.cold);
            let (first, back) = (circuit.wire_item[0], circuit.wire_item[1]);
            let current = |item| item_current(&circuit, &solved, item);
            current(first) / current(back)
        };
        // Two ways share the current; with one of them open the other carries all of it.
        assert!(direct(&robot.situations[0]) < 0.7);
        let mut pulled = robot.situations[0].clone();
        pulled.unplugged.insert(PlugId(0));
        assert!((direct(&pulled) - 1.0).abs() < 1e-9, "{}", direct(&pulled));
    }

    const BESIDE: &str = r#"
[board]
size_mm = [200, 100]
thickness_mm = 6
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 40
[[plug]]
name = "tail"
family = "plug-power-2"
zone = "body"
face = "front"
at_mm = [0, 0]
[[wire]]
name = "there"
from = "battery.plus"
to = "tail.board.1"
size_mm2 = 1.5
length_mm = 500
[[wire]]
name = "on"
from = "tail.body.1"
to = "lamp.plus"
size_mm2 = 1.5
length_mm = 500
"#;

    fn across_open(robot: &Robot) -> f64 {
        let battery = robot.types[robot.parts[0].kind.0].elements.first().map(|e| &e.kind);
        let Some(loomdeck_model::element::ElementKind::Battery(battery)) = battery else { return 0.0 };
        crate::circuit::open_circuit(battery, robot.situations[0].charge)
    }
}
