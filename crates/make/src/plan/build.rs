//! From holes to stages.

use super::tour::{self, Tour};
use super::{Lies, Operation, Plan, Registration, Stage, Stop, ToolInHand, speed, words};
use crate::bit::Bit;
use crate::holes::rect::BLADE;
use crate::making::{Datum, Hole, HoleShape, Work};
use loomdeck_model::part_type::Thread;
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Board, Face, Material, Point};
use std::collections::BTreeMap;

/// One place where one tool does one thing, before it is sorted into a stage.
struct Task {
    rank: Rank,
    tool: ToolInHand,
    stop: Stop,
    thread: Option<Thread>,
}

/// Order of the stages: how the board lies, then the operation's turn, then the size, then the kind of
/// tool of that size.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Rank {
    lies: u8,
    turn: u8,
    operation: Operation,
    micrometres: i64,
    kind: u8,
}

/// Makes the plan of a board's holes.
pub fn plan(board: &Board, datum: &Datum, holes: &[Hole], threads: &[Option<Thread>]) -> Plan {
    let mut tasks: Vec<Task> = Vec::new();
    for (i, hole) in holes.iter().enumerate() {
        let thread = threads.get(i).copied().flatten();
        Reader { board, datum, index: i, hole, thread, tasks: &mut tasks }.read();
    }
    let mut stages: BTreeMap<Rank, Vec<Task>> = BTreeMap::new();
    for task in tasks {
        stages.entry(task.rank).or_default().push(task);
    }
    let mut plan = Plan { registration: registration(holes), ..Plan::default() };
    let mut ways = Ways::new(datum.at);
    for tasks in stages.into_values() {
        plan.stages.extend(stage(tasks, &mut ways, board.material));
    }
    if !holes.is_empty() {
        with_outer_edge(&mut plan, datum);
    }
    let mut up = None;
    for (i, stage) in plan.stages.iter_mut().enumerate() {
        stage.number = i + 1;
        if let Lies::Up(face) = stage.lies {
            stage.turn_over = up.is_some_and(|before| before != face);
            plan.turns += usize::from(stage.turn_over);
            up = Some(face);
        }
        plan.travel += stage.travel;
        plan.travel_by_number += stage.travel_by_number;
    }
    plan
}

/// Order of drilling, by hole: when each gets its own size, or the first of its own holes.
pub fn drilling(plan: &Plan, count: usize) -> Vec<usize> {
    let own = |o: Operation| {
        matches!(o, Operation::Register | Operation::Drill | Operation::Blind | Operation::OpeningFirst)
    };
    let mut order: Vec<usize> = Vec::with_capacity(count);
    let mut seen = vec![false; count];
    for stop in plan.stages.iter().filter(|s| own(s.operation)).flat_map(|s| &s.stops) {
        if let Some(hole) = stop.hole
            && !std::mem::replace(&mut seen[hole], true)
        {
            order.push(hole);
        }
    }
    order
}

fn registration(holes: &[Hole]) -> Option<Registration> {
    let mut pins = (0..holes.len()).filter(|i| holes[*i].registration);
    let (a, b) = (pins.next()?, pins.next()?);
    let apart = Millimetres(holes[a].at.distance(holes[b].at));
    Some(Registration { holes: [a, b], apart })
}

/// Sorts out what is done at one hole.
struct Reader<'a> {
    board: &'a Board,
    datum: &'a Datum,
    index: usize,
    hole: &'a Hole,
    thread: Option<Thread>,
    tasks: &'a mut Vec<Task>,
}

impl Reader<'_> {
    fn read(mut self) {
        let hole = self.hole;
        // What is marked and piloted: the hole itself, or the holes it is begun with.
        let begun = begun(hole);
        for work in &hole.work {
            match *work {
                Work::CentrePunch => self.mark(&begun),
                Work::Pilot { bit } => self.pilot(bit, &begun),
                Work::Drill { bit, depth, .. } => self.drill(bit, depth),
                Work::Opening { bit } => self.opening(bit, &[hole.at], 0),
                Work::EndHoles { bit, ends } => self.begin_with(bit, &ends, 0),
                Work::CornerHoles { bit, corners, .. } => self.begin_with(bit, &corners, 0),
                Work::EntryHole { bit, at } => self.begin_with(bit, &[at], 4),
                Work::Pocket { face, diameter, depth } => {
                    self.add(Operation::Pocket, Lies::Up(face), ToolInHand::FlatBottom(diameter), |s| {
                        s.diameter = Some(diameter);
                        s.depth = Some(depth);
                    });
                }
                Work::Countersink { face, diameter, depth, angle, .. } => {
                    self.add(
                        Operation::Countersink,
                        Lies::Up(face),
                        ToolInHand::Countersink(angle),
                        |s| {
                            s.diameter = Some(diameter);
                            s.depth = Some(depth);
                        },
                    );
                }
                Work::Saw => self.add(Operation::Saw, Lies::OnEdge, saw(hole), |_| {}),
                Work::File => self.add(Operation::File, Lies::OnEdge, ToolInHand::File, |_| {}),
                Work::Deburr => self.deburr(),
                Work::EdgeRelief { .. } => {
                    self.add(Operation::EdgeRelief, Lies::OnEdge, ToolInHand::Scraper, |_| {});
                }
                Work::SetInsert { .. } | Work::SetNut { .. } => {}
            }
        }
    }

    fn add(&mut self, operation: Operation, lies: Lies, tool: ToolInHand, fill: impl FnOnce(&mut Stop)) {
        self.add_at(operation, lies, tool, (0, self.hole.at), fill);
    }

    fn add_at(
        &mut self,
        operation: Operation,
        lies: Lies,
        tool: ToolInHand,
        (piece, at): (usize, Point),
        fill: impl FnOnce(&mut Stop),
    ) {
        let mut stop = Stop {
            hole: Some(self.index),
            piece,
            at,
            from_datum: self.datum.distances(at),
            diameter: None,
            depth: None,
        };
        fill(&mut stop);
        let rank = rank(operation, lies, &tool, self.hole.pocket_face().is_some());
        self.tasks.push(Task { rank, tool, stop, thread: self.thread });
    }

    /// The face from which it is marked: the front whenever it goes through, since pocketed holes have
    /// their pilot from there.
    fn marked_from(&self) -> Face {
        if self.hole.depth.is_none() { Face::Front } else { self.hole.side }
    }

    fn mark(&mut self, begun: &[Point]) {
        let lies = Lies::Up(self.marked_from());
        for place in begun.iter().copied().enumerate() {
            self.add_at(Operation::Mark, lies, ToolInHand::Punch, place, |_| {});
        }
    }

    fn pilot(&mut self, bit: Bit, begun: &[Point]) {
        let lies = Lies::Up(self.marked_from());
        let depth = self.hole.depth;
        for place in begun.iter().copied().enumerate() {
            self.add_at(Operation::Pilot, lies, ToolInHand::Bit(bit), place, |s| {
                s.diameter = Some(bit.diameter());
                s.depth = depth;
            });
        }
    }

    fn drill(&mut self, bit: Bit, depth: Option<Millimetres>) {
        let operation = match (self.hole.registration, depth) {
            (true, _) => Operation::Register,
            (false, None) => Operation::Drill,
            (false, Some(_)) => Operation::Blind,
        };
        let lies = Lies::Up(self.hole.side);
        self.add(operation, lies, ToolInHand::Bit(bit), |s| {
            s.diameter = Some(bit.diameter());
            s.depth = depth;
        });
    }

    /// Holes inside a slot or rectangle, from which it is sawn out.
    fn begin_with(&mut self, bit: Bit, at: &[Point], first: usize) {
        if bit.is_cutter() {
            return self.opening(bit, at, first);
        }
        for (i, at) in at.iter().enumerate() {
            let place = (first + i, *at);
            self.add_at(Operation::Drill, Lies::Up(Face::Front), ToolInHand::Bit(bit), place, |s| {
                s.diameter = Some(bit.diameter());
            });
        }
    }

    /// Half from each face, so that neither rim breaks out.
    fn opening(&mut self, bit: Bit, at: &[Point], first: usize) {
        let half = self.board.thickness / 2.0;
        for (i, at) in at.iter().enumerate() {
            for (operation, face, depth) in [
                (Operation::OpeningFirst, Face::Front, Some(half)),
                (Operation::OpeningSecond, Face::Back, None),
            ] {
                let place = (first + i, *at);
                self.add_at(operation, Lies::Up(face), ToolInHand::Bit(bit), place, |s| {
                    s.diameter = Some(bit.diameter());
                    s.depth = depth;
                });
            }
        }
    }

    /// Each rim on its face, where no countersink has taken the burr away; a hole that gets its rim on the
    /// front only after the turn, by a saw or by a bit from the back, once, with the board on its edge.
    fn deburr(&mut self) {
        let tool = ToolInHand::HandDeburrer;
        if self.hole.is_sawn() || self.hole.pocket_face() == Some(Face::Back) {
            return self.add(Operation::Deburr, Lies::OnEdge, tool, |_| {});
        }
        let sunk = |face: Face| {
            self.hole.work.iter().any(|w| matches!(w, Work::Countersink { face: on, .. } if *on == face))
        };
        let opens = |face: Face| self.hole.depth.is_none() || self.hole.side == face;
        let faces: Vec<Face> = Face::BOTH.into_iter().filter(|f| opens(*f) && !sunk(*f)).collect();
        for face in faces {
            self.add(Operation::Deburr, Lies::Up(face), tool, |_| {});
        }
    }
}

/// Centres that are marked and piloted.
fn begun(hole: &Hole) -> Vec<Point> {
    let mut all = Vec::new();
    for work in &hole.work {
        match work {
            Work::EndHoles { ends, .. } => all.extend(ends),
            Work::CornerHoles { corners, .. } => all.extend(corners),
            Work::EntryHole { at, .. } => all.push(*at),
            _ => {}
        }
    }
    if all.is_empty() { vec![hole.at] } else { all }
}

/// A jigsaw where its blade goes in and there is room for it to turn; else a coping saw.
fn saw(hole: &Hole) -> ToolInHand {
    const PLAY: Millimetres = Millimetres(0.5);
    let widest = hole.work.iter().filter_map(|w| match w {
        Work::EndHoles { bit, .. } | Work::CornerHoles { bit, .. } | Work::EntryHole { bit, .. } => {
            Some(bit.diameter())
        }
        _ => None,
    });
    let widest = widest.fold(Millimetres::ZERO, Millimetres::max);
    if widest + PLAY >= BLADE { ToolInHand::Jigsaw } else { ToolInHand::CopingSaw }
}

fn rank(operation: Operation, lies: Lies, tool: &ToolInHand, pocketed: bool) -> Rank {
    let turn = match operation {
        Operation::Mark => 0,
        Operation::Pilot => 1,
        Operation::Register => 2,
        Operation::Drill if pocketed => 5,
        Operation::Drill => 3,
        Operation::Pocket => 4,
        Operation::Blind => 6,
        Operation::OpeningFirst | Operation::OpeningSecond => 7,
        Operation::Countersink => 8,
        Operation::Saw => 9,
        Operation::File => 10,
        Operation::Deburr => 11,
        Operation::EdgeRelief => 12,
    };
    let (size, kind) = match tool {
        ToolInHand::Bit(bit) => (bit.diameter().0, u8::from(bit.is_cutter())),
        ToolInHand::FlatBottom(d) => (d.0, 2),
        ToolInHand::Countersink(angle) => (angle.0, 3),
        ToolInHand::CopingSaw => (0.0, 4),
        _ => (0.0, 5),
    };
    Rank {
        lies: match lies {
            Lies::Up(Face::Front) => 0,
            Lies::Up(Face::Back) => 1,
            Lies::OnEdge => 2,
        },
        turn,
        operation,
        micrometres: (size * 1000.0).round() as i64,
        kind,
    }
}

/// Ways that were found, by their points: several stages go over the same holes.
struct Ways {
    datum: Point,
    known: Vec<(Vec<Point>, Tour)>,
}

impl Ways {
    const fn new(datum: Point) -> Self {
        Self { datum, known: Vec::new() }
    }

    fn over(&mut self, points: Vec<Point>) -> Tour {
        if let Some((_, tour)) = self.known.iter().find(|(of, _)| *of == points) {
            return tour.clone();
        }
        let tour = tour::open(self.datum, &points);
        self.known.push((points, tour.clone()));
        tour
    }
}

/// A stage from its tasks, which all have the same rank.
fn stage(tasks: Vec<Task>, ways: &mut Ways, material: Material) -> Option<Stage> {
    let first = tasks.first()?;
    let (operation, tool) = (first.rank.operation, first.tool);
    let lies = match first.rank.lies {
        0 => Lies::Up(Face::Front),
        1 => Lies::Up(Face::Back),
        _ => Lies::OnEdge,
    };
    let mut threads: Vec<Thread> = tasks.iter().filter_map(|t| t.thread).collect();
    threads.sort_unstable();
    threads.dedup();
    let stops: Vec<Stop> = tasks.into_iter().map(|t| t.stop).collect();
    let points: Vec<Point> = stops.iter().map(|s| s.at).collect();
    let by_number: Vec<usize> = (0..points.len()).collect();
    let by_number = tour::length(ways.datum, &points, &by_number);
    let tour = ways.over(points);
    let widest = stops.iter().filter_map(|s| s.diameter).fold(Millimetres::ZERO, Millimetres::max);
    let mut stage = Stage {
        number: 0,
        operation,
        lies,
        turn_over: false,
        tool,
        stops: tour.order.iter().map(|i| stops[*i].clone()).collect(),
        travel: Millimetres(tour.length),
        travel_by_number: Millimetres(by_number),
        shortest: tour.shortest,
        speed: speed::of(&tool, widest, material),
        backing: words::backing(operation),
        cautions: Vec::new(),
    };
    stage.cautions = words::cautions(&stage, material, &threads);
    Some(stage)
}

/// The outer edge of the board is broken last, with the edges of openings.
fn with_outer_edge(plan: &mut Plan, datum: &Datum) {
    let stop = Stop {
        hole: None,
        piece: 0,
        at: datum.at,
        from_datum: Point::default(),
        diameter: None,
        depth: None,
    };
    if let Some(last) = plan.stages.last_mut().filter(|s| s.operation == Operation::EdgeRelief) {
        last.stops.push(stop);
        return;
    }
    plan.stages.push(Stage {
        number: 0,
        operation: Operation::EdgeRelief,
        lies: Lies::OnEdge,
        turn_over: false,
        tool: ToolInHand::Scraper,
        stops: vec![stop],
        travel: Millimetres::ZERO,
        travel_by_number: Millimetres::ZERO,
        shortest: true,
        speed: None,
        backing: words::backing(Operation::EdgeRelief),
        cautions: Vec::new(),
    });
}

/// Round holes, ends and corners that a hole has of its own.
pub const fn own_holes(shape: HoleShape) -> usize {
    match shape {
        HoleShape::Round(_) => 1,
        HoleShape::Slot { .. } => 2,
        HoleShape::Rect { .. } => 4,
    }
}
