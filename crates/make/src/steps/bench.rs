//! The bench while the steps are written down: what is there already, and which face is up.

use super::{Group, PieceCount, Step};
use crate::making::{Making, Piece};
use loomdeck_model::{Face, LengthUnit, Robot, Subject, WireId};
use loomdeck_space::{Geometry, Owner};

/// What has been done so far.
pub struct Bench<'a> {
    pub robot: &'a Robot,
    pub geometry: &'a Geometry,
    pub making: &'a Making,
    pub steps: Vec<Step>,
    up: Option<Face>,
    there: Vec<Subject>,
    wires_there: Vec<WireId>,
}

impl<'a> Bench<'a> {
    pub const fn new(robot: &'a Robot, geometry: &'a Geometry, making: &'a Making) -> Self {
        Self {
            robot,
            geometry,
            making,
            steps: Vec::new(),
            up: None,
            there: Vec::new(),
            wires_there: Vec::new(),
        }
    }

    /// The faces, the one that is up first.
    pub const fn faces(&self) -> [Face; 2] {
        match self.up {
            Some(Face::Back) => [Face::Back, Face::Front],
            _ => Face::BOTH,
        }
    }

    pub const fn unit(&self) -> LengthUnit {
        self.robot.book.unit
    }

    /// An empty step.
    pub fn step(&self, group: Group, heading: String) -> Step {
        Step {
            number: 0,
            group,
            heading,
            words: Vec::new(),
            adds: Vec::new(),
            wires: Vec::new(),
            holes: Vec::new(),
            stages: Vec::new(),
            face: None,
            turn_over: false,
            tools: Vec::new(),
            hardware: Vec::new(),
            torques: Vec::new(),
            watch: Vec::new(),
            cautions: Vec::new(),
            there: Vec::new(),
            wires_there: Vec::new(),
        }
    }

    /// Takes a step down: numbers it, says whether the board is turned, and remembers what it adds.
    pub fn done(&mut self, mut step: Step) {
        step.number = self.steps.len() + 1;
        if let Some(face) = step.face {
            step.turn_over = self.up.is_some_and(|up| up != face);
            self.up = Some(face);
        }
        step.there.clone_from(&self.there);
        step.wires_there.clone_from(&self.wires_there);
        // Standoffs are not yet the part that will stand on them.
        if !matches!(step.group, Group::Drill | Group::Set | Group::Stays) {
            let new = step.adds.iter().filter(|s| !self.there.contains(s)).cloned();
            let new: Vec<Subject> = new.collect();
            self.there.extend(new);
        }
        let new: Vec<WireId> =
            step.wires.iter().filter(|w| !self.wires_there.contains(w)).copied().collect();
        self.wires_there.extend(new);
        step.holes.sort_unstable();
        step.holes.dedup();
        self.steps.push(step);
    }

    pub fn is_there(&self, subject: &Subject) -> bool {
        self.there.contains(subject)
    }

    pub fn has_wire(&self, wire: WireId) -> bool {
        self.wires_there.contains(&wire)
    }

    pub fn subject(&self, owner: Owner) -> Subject {
        loomdeck_space::faces::subject(self.robot, owner)
    }
}

impl Step {
    /// Adds hardware, equal pieces together.
    pub fn take<'p>(&mut self, pieces: impl Iterator<Item = &'p Piece>) {
        for piece in pieces {
            match self.hardware.iter_mut().find(|c| c.piece == *piece) {
                Some(counted) => counted.count += 1,
                None => self.hardware.push(PieceCount { piece: piece.clone(), count: 1 }),
            }
        }
    }

    /// Adds tools that are not in hand yet.
    pub fn pick_up(&mut self, tools: impl IntoIterator<Item = String>) {
        for tool in tools {
            if !self.tools.contains(&tool) {
                self.tools.push(tool);
            }
        }
    }
}

/// `hole 3`, `holes 3, 12 and 20`; nothing without holes.
pub fn holes_word(holes: impl Iterator<Item = usize>) -> String {
    let mut holes: Vec<usize> = holes.map(|h| h + 1).collect();
    holes.sort_unstable();
    let numbers: Vec<String> = holes.iter().map(usize::to_string).collect();
    match numbers.len() {
        0 => String::new(),
        1 => format!("hole {}", numbers[0]),
        _ => format!("holes {}", listed(&numbers)),
    }
}

/// `a`, `a and b`, `a, b and c`.
pub fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// The same, cut short: `a, b and 3 more`.
pub fn briefly(names: &[String]) -> String {
    match names {
        [one, two, rest @ ..] if rest.len() > 1 => format!("{one}, {two} and {} more", rest.len()),
        _ => listed(names),
    }
}
