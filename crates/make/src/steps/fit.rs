//! Steps of fitting: what is set into the board, what stays on it, and the parts in the order found.

use super::bench::{Bench, briefly, holes_word, listed};
use super::{Group, Step, tools, wire};
use crate::making::{Piece, Stack, Work};
use crate::table::exact;
use loomdeck_model::{Face, Material, Subject, WireId};
use loomdeck_space::Owner;
use loomdeck_space::access::{Job, Need, Tool, When};
use loomdeck_space::order::{Move, MoveKind, Order};
use std::collections::BTreeSet;

/// Parts that are put on in one step.
const TOGETHER: usize = 4;

/// Things whose standoffs or holders are put on in one step.
const STAY_TOGETHER: usize = 8;

/// Inserts, captive nuts and grommets, by face.
pub fn set(bench: &mut Bench<'_>) {
    for face in bench.faces() {
        let insert = |w: &Work| matches!(w, Work::SetInsert { face: on } if *on == face);
        let nut = |w: &Work| matches!(w, Work::SetNut { face: on } if *on == face);
        set_in(bench, face, "Inserts", &insert, |p| matches!(p, Piece::Insert { .. }));
        set_in(bench, face, "Captive nuts", &nut, |p| matches!(p, Piece::CaptiveNut { .. }));
    }
    grommets(bench);
}

fn set_in(
    bench: &mut Bench<'_>,
    face: Face,
    what: &str,
    work: &dyn Fn(&Work) -> bool,
    is_it: fn(&Piece) -> bool,
) {
    let making = bench.making;
    let set_here = |s: &&Stack| {
        let hole = s.hole.and_then(|h| making.holes.get(h));
        s.pieces.iter().any(is_it) && hole.is_some_and(|h| h.work.iter().any(work))
    };
    let stacks: Vec<&Stack> = making.fasteners.iter().filter(set_here).collect();
    if stacks.is_empty() {
        return;
    }
    let mut step = bench.step(Group::Set, format!("{what} from the {}", face.word()));
    step.face = Some(face);
    step.holes = stacks.iter().filter_map(|s| s.hole).collect();
    step.take(stacks.iter().flat_map(|s| s.staying().filter(|p| is_it(p))));
    let pieces: Vec<Piece> = step.hardware.iter().map(|c| c.piece.clone()).collect();
    step.pick_up(tools::of_pieces(pieces.iter(), &[]));
    step.adds = subjects(&stacks);
    let hard = bench.robot.board.as_ref().is_some_and(|b| {
        matches!(b.material, Material::Acrylic | Material::Polycarbonate | Material::Aluminium)
    });
    if what == "Inserts" {
        step.words.push(
            "Press or melt each one in square to the board, flush or a hair below the face.".to_owned(),
        );
        step.watch.push("Let it cool before you try a screw in it; run one in and out once.".to_owned());
        step.cautions.push(
            "The iron and the insert are hot, and melting plastic fumes: air the room.".to_owned(),
        );
    } else {
        let pocketed = step.holes.iter().any(|h| making.holes[*h].pocket_face().is_some());
        step.words.push(match (pocketed, hard) {
            (true, false) => "Pull each nut into its pocket with a bolt and a washer from the other face until it is flush.",
            (true, true) => "Glue each nut into its pocket with a bolt through it, and keep the glue off the thread.",
            (false, _) => "Fix each nut over its hole with a bolt through it: glue, or a printed holder.",
        }.to_owned());
        step.watch
            .push("Each must take a screw by hand from the other face before you go on.".to_owned());
    }
    bench.done(step);
}

/// Grommets and edge trim.
fn grommets(bench: &mut Bench<'_>) {
    let making = bench.making;
    let fitted = |h: &crate::Hole| h.uses.iter().any(|u| u.what == crate::holes::GROMMET);
    let holes: Vec<usize> = (0..making.holes.len()).filter(|i| fitted(&making.holes[*i])).collect();
    if holes.is_empty() {
        return;
    }
    let mut step = bench.step(Group::Set, "Grommets and edge trim".to_owned());
    for hole in &holes {
        let uses = making.holes[*hole].uses.iter().filter(|u| u.what == crate::holes::GROMMET);
        step.adds.extend(uses.map(|u| u.subject.clone()));
    }
    let names: Vec<String> = step.adds.iter().map(|s| s.name().to_owned()).collect();
    step.words.push(format!("Fit them in {}.", listed(&names)));
    step.holes = holes;
    bench.done(step);
}

fn subjects(stacks: &[&Stack]) -> Vec<Subject> {
    let mut all: Vec<Subject> = Vec::new();
    for stack in stacks {
        if !all.contains(&stack.subject) {
            all.push(stack.subject.clone());
        }
    }
    all
}

/// Pieces that stay and are put on rather than set in.
fn put_on(stack: &Stack) -> impl Iterator<Item = &Piece> {
    stack
        .staying()
        .filter(|p| !matches!(p, Piece::Insert { .. } | Piece::CaptiveNut { .. } | Piece::AdhesiveMount))
}

/// Standoffs, cleats and clips: in the order of the moves that prepare them, then what no move prepares.
pub fn stays(bench: &mut Bench<'_>, order: &Order) {
    let making = bench.making;
    let has_some =
        |s: &Subject| making.fasteners.iter().any(|f| f.subject == *s && put_on(f).next().is_some());
    let mut moves: Vec<(Subject, Face, Vec<Tool>)> = Vec::new();
    for m in &order.assembly {
        let MoveKind::Prepare(owner) = m.what else { continue };
        let subject = bench.subject(owner);
        if has_some(&subject) && !moves.iter().any(|(s, ..)| *s == subject) {
            moves.push((subject, m.face, m.tools.clone()));
        }
    }
    for stack in &making.fasteners {
        let known = moves.iter().any(|(s, ..)| *s == stack.subject);
        if !known && put_on(stack).next().is_some() {
            let face = face_of(bench, &stack.subject).unwrap_or(Face::Front);
            moves.push((stack.subject.clone(), face, Vec::new()));
        }
    }
    let mut from = 0;
    while from < moves.len() {
        let face = moves[from].1;
        let run = moves[from..].iter().take_while(|m| m.1 == face).count().min(STAY_TOGETHER);
        let step = stay_step(bench, &moves[from..from + run], face);
        bench.done(step);
        from += run;
    }
}

fn stay_step(bench: &Bench<'_>, moves: &[(Subject, Face, Vec<Tool>)], face: Face) -> Step {
    let making = bench.making;
    let names: Vec<String> = moves.iter().map(|(s, ..)| s.name().to_owned()).collect();
    let mut step =
        bench.step(Group::Stays, format!("On the {}: what holds {}", face.word(), briefly(&names)));
    step.face = Some(face);
    step.adds = moves.iter().map(|(s, ..)| s.clone()).collect();
    let reached: Vec<Tool> = moves.iter().flat_map(|(.., t)| t.iter().copied()).collect();
    for (subject, ..) in moves {
        let stacks: Vec<&Stack> = making
            .fasteners
            .iter()
            .filter(|f| f.subject == *subject && put_on(f).next().is_some())
            .collect();
        step.holes.extend(stacks.iter().filter_map(|s| s.hole));
        step.take(stacks.iter().flat_map(|s| put_on(s)));
        let thing = stacks.iter().flat_map(|s| put_on(s)).find_map(|p| match p {
            Piece::Standoff { length, .. } => {
                Some(format!("standoffs of {}", exact(*length, bench.unit())))
            }
            Piece::Printed { what } => Some(format!("printed {what}")),
            _ => None,
        });
        let from = stacks.first().and_then(|s| s.screws.first()).map(|s| s.turned_from);
        let from = from.map_or_else(String::new, |f| format!(", screwed from the {}", f.word()));
        step.words.push(format!(
            "{}: {} at {}{from}.",
            subject.name(),
            thing.unwrap_or_else(|| "holder".to_owned()),
            holes_word(stacks.iter().filter_map(|s| s.hole))
        ));
    }
    let pieces: Vec<Piece> = step.hardware.iter().map(|c| c.piece.clone()).collect();
    step.pick_up(tools::of_pieces(pieces.iter(), &reached));
    step.watch.push("Lay the part on once before you tighten: the holes must meet.".to_owned());
    step
}

fn face_of(bench: &Bench<'_>, subject: &Subject) -> Option<Face> {
    crate::findings::spot_of(bench.robot, subject).map(|(face, _)| face)
}

/// Parts and wires in the order that was found. It is the order of removal read backwards, so what it leaves
/// out because it never comes off is what was there first; wires that it leaves out come last.
pub fn assemble(bench: &mut Bench<'_>, order: &Order) {
    let mut laid = wire::Laid::of(order);
    parts_left_out(bench, order);
    let mut i = 0;
    while i < order.assembly.len() {
        let m = &order.assembly[i];
        match &m.what {
            MoveKind::Prepare(_) => i += 1,
            MoveKind::Wire(wires) => {
                wire::lay(bench, wires, m.face, &m.tools, &mut laid);
                i += 1;
            }
            MoveKind::Fit(owner) => {
                let run = run_of_fits(bench, &order.assembly[i..], *owner);
                first_ends(bench, &order.assembly[i..i + run], &mut laid);
                let step = fit_step(bench, &order.assembly[i..i + run]);
                bench.done(step);
                i += run;
            }
        }
    }
    wires_left_out(bench, &mut laid);
}

/// Ends of wires that can only be made before their part is on.
fn first_ends(bench: &mut Bench<'_>, moves: &[Move], laid: &mut wire::Laid) {
    for m in moves {
        if let (MoveKind::Fit(owner), false) = (&m.what, m.ends_first.is_empty()) {
            let subject = bench.subject(*owner);
            wire::early(bench, &m.ends_first, &subject, m.face, laid);
        }
    }
}

/// How many of the next moves are one step: the same face, the same kind of work, a few parts.
fn run_of_fits(bench: &Bench<'_>, moves: &[Move], first: Owner) -> usize {
    let cover = |o: Owner| is_cover(bench, o);
    let alike = |m: &&Move| {
        let MoveKind::Fit(owner) = m.what else { return false };
        m.face == moves[0].face
            && m.both_faces == moves[0].both_faces
            && m.ends_first.is_empty()
            && cover(owner) == cover(first)
    };
    if !moves[0].ends_first.is_empty() {
        return 1;
    }
    moves.iter().take_while(alike).count().clamp(1, TOGETHER)
}

fn is_cover(bench: &Bench<'_>, owner: Owner) -> bool {
    matches!(owner, Owner::Part(p) if bench.robot.type_of(p).group == "covers")
}

fn fit_step(bench: &Bench<'_>, moves: &[Move]) -> Step {
    let owners: Vec<Owner> = moves
        .iter()
        .filter_map(|m| match m.what {
            MoveKind::Fit(owner) => Some(owner),
            _ => None,
        })
        .collect();
    let first = &moves[0];
    let reached: Vec<Tool> = moves.iter().flat_map(|m| m.tools.iter().copied()).collect();
    let mut step = put_on_parts(bench, &owners, &reached, first.face);
    if first.both_faces {
        step.words.push(
            "Stand the board on its edge: one hand holds on the other face while you turn.".to_owned(),
        );
    }
    step
}

/// Puts parts or plugs on the board.
fn put_on_parts(bench: &Bench<'_>, owners: &[Owner], reached: &[Tool], face: Face) -> Step {
    let subjects: Vec<Subject> = owners.iter().map(|o| bench.subject(*o)).collect();
    let names: Vec<String> = subjects.iter().map(|s| s.name().to_owned()).collect();
    let covers = owners.iter().any(|o| is_cover(bench, *o));
    let group = if covers { Group::Covers } else { Group::Parts };
    let mut step = bench.step(group, format!("On the {}: {}", face.word(), briefly(&names)));
    step.face = Some(face);
    let mut bare: Vec<Tool> = reached.to_vec();
    for subject in &subjects {
        let stacks: Vec<&Stack> =
            bench.making.fasteners.iter().filter(|f| f.subject == *subject).collect();
        step.holes.extend(stacks.iter().filter_map(|s| s.hole));
        // An adhesive mount stays on the board and comes there with its part.
        let mounts = stacks.iter().flat_map(|s| s.staying()).filter(|p| **p == Piece::AdhesiveMount);
        step.take(stacks.iter().flat_map(|s| s.with_the_part()).chain(mounts));
        step.words.push(fit_words(bench, subject, &stacks));
        step.watch.extend(short_of_room(bench, subject, &stacks));
        step.watch.extend(hidden_later(bench, subject));
    }
    let pieces: Vec<Piece> = step.hardware.iter().map(|c| c.piece.clone()).collect();
    step.pick_up(tools::of_pieces(pieces.iter(), reached));
    bare.retain(|t| {
        !matches!(t, Tool::Screwdriver | Tool::HexKey | Tool::NutDriver | Tool::OpenSpanner)
    });
    step.pick_up(bare.into_iter().map(|t| tools::word(t).to_owned()));
    step.adds = subjects;
    step
}

/// How one thing is put on, in a sentence.
fn fit_words(bench: &Bench<'_>, subject: &Subject, stacks: &[&Stack]) -> String {
    use loomdeck_model::part_type::FixingStyle as Style;
    let name = subject.name();
    let at = match holes_word(stacks.iter().filter_map(|s| s.hole)).as_str() {
        "" => String::new(),
        holes => format!(" at {holes}"),
    };
    let style = crate::stacks::fixing_of(bench.robot, subject).map(|f| f.style);
    let from = stacks.first().and_then(|s| s.screws.last()).map(|s| s.turned_from);
    let from = from.map_or_else(String::new, |f| format!(" from the {}", f.word()));
    match style {
        Some(Style::Clip) => format!("{name}: press it into its clip."),
        Some(Style::Cleat) => {
            let off = stacks.iter().filter(|s| s.staying().next().is_none());
            let off = holes_word(off.filter_map(|s| s.hole));
            format!("{name}: slide it under its cleats, then screw down the end at {off}.")
        }
        Some(Style::Adhesive) => {
            format!("{name}: clean the face, stick its mount on and press it for half a minute.")
        }
        Some(Style::Standoff) => format!("{name}: screw it onto its standoffs{at}{from}."),
        Some(Style::Insert | Style::CaptiveNut) => format!("{name}: screw it down{at}{from}."),
        Some(Style::WoodScrew) => format!("{name}: screw it into the board{at}{from}, by hand."),
        Some(Style::Housing) => format!("{name}: put it into its housing and bolt that down{at}."),
        Some(Style::BoltAndNut) => {
            format!(
                "{name}: bolt it down{at}; the screws go in{from}, washer and nut on the other side."
            )
        }
        Some(Style::Loose) | None => format!("{name}: put it in its place; nothing fixes it."),
    }
}

/// Screws that have little room to spare before they do harm, or do not fit at all.
fn short_of_room(bench: &Bench<'_>, subject: &Subject, stacks: &[&Stack]) -> Vec<String> {
    /// A screw this near its longest is easily taken one size too long.
    const NEAR: f64 = 1.0;
    let mut said: Vec<String> = Vec::new();
    for screw in stacks.iter().flat_map(|s| &s.screws) {
        let words = match screw.most {
            _ if !screw.fits => format!(
                "No standard screw fits {}: {} is the nearest; see the findings.",
                subject.name(),
                exact(screw.length, bench.unit())
            ),
            Some(most) if (most - screw.length).0 < NEAR => format!(
                "Screws of {} may not be longer than {}: {} is right, the next length is not.",
                subject.name(),
                exact(most, bench.unit()),
                exact(screw.length, bench.unit())
            ),
            _ => continue,
        };
        if !said.contains(&words) {
            said.push(words);
        }
    }
    said
}

/// Fasteners that can be reached now, and in the finished board no longer.
fn hidden_later(bench: &Bench<'_>, subject: &Subject) -> Option<String> {
    let mut blockers: BTreeSet<&str> = BTreeSet::new();
    let mut count = 0;
    for need in bench.geometry.access.needs.iter().filter(|n| n.subject == *subject) {
        if need.when != When::Hold || !matches!(need.job, Job::Fastener { .. }) {
            continue;
        }
        let Some(by) = in_the_way(need) else { continue };
        count += 1;
        blockers.extend(by);
    }
    if count == 0 {
        return None;
    }
    let names: Vec<String> = blockers.into_iter().map(str::to_owned).collect();
    let are = if names.len() == 1 { "is" } else { "are" };
    let (many, it) = if count == 1 { ("A fastener", "it") } else { ("Fasteners", "them") };
    Some(format!(
        "{many} of {} cannot be reached once {} {are} on: check that you have tightened {it}.",
        subject.name(),
        briefly(&names)
    ))
}

/// What stands before the way with the fewest blockers; `None` when one is free.
fn in_the_way(need: &Need) -> Option<Vec<&str>> {
    if need.ways.is_empty() || need.ways.iter().any(loomdeck_space::access::Way::is_free) {
        return None;
    }
    let names =
        |w: &'_ loomdeck_space::access::Way| w.uses.iter().map(|u| u.blockers.len()).sum::<usize>();
    let way = need.ways.iter().min_by_key(|w| names(w))?;
    let own = need.subject.name();
    let by = way.uses.iter().flat_map(|u| &u.blockers).map(|b| b.by.name());
    Some(by.filter(|n| *n != own).collect()).filter(|v: &Vec<&str>| !v.is_empty())
}

/// Parts that the order of assembly leaves out: it found no way to get them off again.
fn parts_left_out(bench: &mut Bench<'_>, order: &Order) {
    let fitted = |m: &Move| match m.what {
        MoveKind::Fit(owner) => Some(owner),
        _ => None,
    };
    let known: BTreeSet<Owner> = order.assembly.iter().filter_map(fitted).collect();
    let all = bench.geometry.faces.iter().flat_map(|f| &f.bodies).map(|b| b.owner);
    let rest: Vec<Owner> = all.filter(|o| !known.contains(o)).collect();
    for owner in rest {
        let subject = bench.subject(owner);
        let face = face_of(bench, &subject).unwrap_or(Face::Front);
        let mut step = put_on_parts(bench, &[owner], &[], face);
        step.watch.push(format!(
            "No order was found in which {} comes off again: see the findings before you build.",
            subject.name()
        ));
        bench.done(step);
    }
}

fn wires_left_out(bench: &mut Bench<'_>, laid: &mut wire::Laid) {
    let all = (0..bench.robot.wires.len()).map(WireId);
    let wires: Vec<WireId> = all.filter(|w| !bench.has_wire(*w)).collect();
    if !wires.is_empty() {
        laid.expect(&wires);
        wire::lay(bench, &wires, Face::Front, &[], laid);
    }
}
