//! Remedies tried on a copy: another fixing, or another place.

use crate::findings::layout::{Layout, Solid};
use crate::geometry::{Geometry, Owner};
use crate::order::{Order, build::Model};
use crate::shape::{Convex, hull, ways_out};
use crate::{access, faces, order};
use loomdeck_model::part_type::{Fixing, FixingStyle, Head};
use loomdeck_model::units::Degrees;
use loomdeck_model::{
    Edit, EditValue, Face, Finding, Place, PlugPlace, Point, Remedy, Robot, Severity, Subject,
};

/// Kinds of remedies to offer at most for one finding.
const OFFERED: usize = 3;
/// Copies to study at most for one finding.
const TRIED: usize = 24;

/// Looks for remedies among candidates and keeps those that work.
pub struct Tries<'a> {
    layout: &'a Layout<'a>,
    left: usize,
    kept: Vec<Remedy>,
    /// Findings of the live tier before, from `fix` up.
    before: Option<Vec<(&'static str, Vec<Subject>)>>,
}

impl<'a> Tries<'a> {
    /// Nothing tried yet.
    pub fn new(layout: &'a Layout<'a>) -> Self {
        Self { layout, left: TRIED, kept: Vec::new(), before: None }
    }

    /// The remedies that work.
    pub fn kept(self) -> Vec<Remedy> {
        self.kept
    }

    /// Tries one; keeps it when `better` says of the copy's order that the finding is gone, and nothing
    /// from `fix` up is new. True when it was kept.
    fn offer(&mut self, remedy: Remedy, better: &dyn Fn(&Robot, &Geometry) -> bool) -> bool {
        if self.left == 0 || self.kept.len() >= OFFERED {
            return false;
        }
        self.left -= 1;
        let Some(copy) = applied(self.layout.robot, &remedy.edits) else { return false };
        // First without new routes: what was routed stays near enough to judge what stands in the way.
        let views = faces::faces(&copy);
        let near = Geometry {
            access: access::access(&copy, &views, None).0,
            faces: views,
            ..self.layout.geometry.clone()
        };
        if !better(&copy, &near) {
            return false;
        }
        let geometry = crate::study(&copy);
        let works = better(&copy, &geometry) && self.brings_nothing(&copy, &geometry);
        if works {
            self.kept.push(remedy);
        }
        works
    }

    fn brings_nothing(&mut self, copy: &Robot, geometry: &Geometry) -> bool {
        let severe = |all: Vec<Finding>| -> Vec<(&'static str, Vec<Subject>)> {
            let bad = all.into_iter().filter(|f| f.severity <= Severity::Fix);
            bad.map(|f| (f.slug, f.subjects)).collect()
        };
        let layout = self.layout;
        let before =
            self.before.get_or_insert_with(|| severe(crate::findings(layout.robot, layout.geometry)));
        severe(crate::findings(copy, geometry)).iter().all(|f| before.contains(f))
    }

    /// Other ways of holding a thing; the first that works of those whose screws are reached from its own
    /// face alone, and cleats.
    pub fn other_fixing(&mut self, owner: Owner, better: &dyn Fn(&Robot, &Geometry) -> bool) {
        for remedy in fixings(self.layout, owner) {
            if self.offer(remedy, better) && self.kept.len() >= OFFERED - 1 {
                return;
            }
        }
    }

    /// Moves of the things in the way, and of the thing itself, shortest first; the first that works.
    pub fn another_place(
        &mut self,
        own: &Solid<'a>,
        others: &[&Solid<'a>],
        spaces: &[Space],
        better: &dyn Fn(&Robot, &Geometry) -> bool,
    ) {
        let mut moves: Vec<(&Solid, Point, f64)> = Vec::new();
        for other in others {
            let at_its_height = spaces.iter().filter(|s| {
                s.face == other.face && s.from < other.body.top.0 && s.to > other.body.base.0
            });
            let shapes: Vec<Convex> = at_its_height.map(|s| s.shape.clone()).collect();
            moves.extend(self.layout.moves_off(other, &shapes, 0.0));
            moves.extend(ways_out(&shapes, &other.pieces).into_iter().map(|(d, t)| (own, d, t)));
        }
        moves.retain(|m| m.2 > 0.0);
        moves.sort_by(|a, b| a.2.total_cmp(&b.2));
        for (solid, d, t) in moves {
            if let Some(remedy) = self.layout.move_remedy(solid, d, t)
                && self.offer(remedy, better)
            {
                return;
            }
        }
    }
}

/// A piece of the space that a tool sweeps.
pub struct Space {
    shape: Convex,
    face: Face,
    from: f64,
    to: f64,
}

/// The tools' spaces at some needs of an owner that others stand in.
pub fn spaces(
    layout: &Layout,
    owner: Owner,
    wanted: impl Fn(&crate::access::Need) -> bool,
) -> Vec<Space> {
    let needs = layout.geometry.access.needs.iter().filter(|n| n.owner == Some(owner) && wanted(n));
    let uses = needs.filter_map(|n| n.ways.first()).flat_map(|w| &w.uses);
    uses.filter(|u| !u.blockers.is_empty())
        .flat_map(|u| u.solids.iter().map(|s| (u.face, s)))
        .map(|(face, s)| Space {
            shape: Convex::new(hull(&s.outline.0)),
            face,
            from: s.from.0,
            to: s.to.0,
        })
        .collect()
}

/// Whether the order of a copy has no stuck fastener of an owner, and none that was not stuck before.
pub fn unlocks<'r>(before: &'r Order, owner: Owner) -> impl Fn(&Robot, &Geometry) -> bool + 'r {
    move |copy, geometry| {
        let after = order::study_locks(copy, geometry);
        let known = |o: &Owner| before.stuck.iter().any(|s| s.owner == *o);
        after.stuck.iter().all(|s| s.owner != owner && known(&s.owner))
            && after.stuck_things.len() < before.stuck_things.len().max(1)
    }
}

/// Whether a thing of a copy comes off with fewer than this many others.
pub fn comes_off_with_fewer(owner: Owner, others: usize) -> impl Fn(&Robot, &Geometry) -> bool {
    move |copy, geometry| {
        let model = Model::new(copy, geometry);
        order::service_of(&model, owner).is_some_and(|s| !s.impossible && s.others() < others)
    }
}

/// Other fixings for a thing, as edits.
fn fixings(layout: &Layout, owner: Owner) -> Vec<Remedy> {
    let subject = faces::subject(layout.robot, owner);
    let fixing = match owner {
        Owner::Part(p) => &layout.robot.parts[p.0].fixing,
        Owner::Plug(p) => &layout.robot.plugs[p.0].fixing,
    };
    let name = subject.name().to_owned();
    let set = |key: &str, value: EditValue| Edit::Set { on: subject.clone(), key: key.into(), value };
    let style = |s: FixingStyle| set("fixing.style", EditValue::Text(s.word().into()));
    let flag = |key: &str, on: bool| set(key, EditValue::Flag(on));
    let mut out = Vec::new();
    if fixing.style == FixingStyle::BoltAndNut {
        let flush = fixing.head == Head::Countersunk;
        if fixing.turned || flush {
            let mut edits = vec![flag("fixing.turned", false)];
            if flush {
                edits.push(set("fixing.head", EditValue::Text("pan".into())));
            }
            let text =
                format!("Turn the bolts of {name} round: pan heads on {name}, nuts on the far face.");
            out.push(Remedy::edit(text, edits));
        } else {
            let text = format!(
                "Turn the bolts of {name} round: put them in from the far face, with the nuts on {name}."
            );
            out.push(Remedy::edit(text, vec![flag("fixing.turned", true)]));
        }
    }
    let through = matches!(
        fixing.style,
        FixingStyle::BoltAndNut
            | FixingStyle::Standoff
            | FixingStyle::Clip
            | FixingStyle::Housing
            | FixingStyle::Cleat
    );
    if through {
        let unturned = |mut edits: Vec<Edit>| {
            if fixing.turned {
                edits.push(flag("fixing.turned", false));
            }
            edits
        };
        out.push(Remedy::edit(
            format!(
                "Use captive nuts for {name}, sunk into the far face: then its bolts need no spanner."
            ),
            unturned(vec![style(FixingStyle::CaptiveNut), flag("fixing.sunk", true)]),
        ));
        out.push(Remedy::edit(
            format!("Screw {name} into threaded inserts."),
            unturned(vec![style(FixingStyle::Insert)]),
        ));
    }
    if fixing.style != FixingStyle::Cleat {
        for (word, side) in [("right", "right"), ("left", "left"), ("up", "upper"), ("down", "lower")] {
            out.push(Remedy::edit(
                format!(
                    "Hold {name} in cleats and let it slide out {} (in its own frame), once the cleat at its {side} \
                     end is off.",
                    if matches!(word, "up" | "down") { format!("{word}wards") } else { format!("to the {word}") }
                ),
                vec![style(FixingStyle::Cleat), set("fixing.slides", EditValue::Text(word.into()))],
            ));
        }
    }
    out
}

/// The robot with edits of fixings and places carried out; `None` for anything else.
pub fn applied(robot: &Robot, edits: &[Edit]) -> Option<Robot> {
    let mut out = robot.clone();
    for edit in edits {
        let Edit::Set { on, key, value } = edit else { return None };
        let (fixing, at) = held(&mut out, on)?;
        match (key.as_str(), value) {
            ("at", EditValue::Point(p)) => *at = *p,
            ("fixing.turned", EditValue::Flag(b)) => fixing.turned = *b,
            ("fixing.sunk", EditValue::Flag(b)) => fixing.sunk = *b,
            ("fixing.style", EditValue::Text(word)) => {
                let styles = [FixingStyle::Insert, FixingStyle::CaptiveNut, FixingStyle::Cleat];
                fixing.style = styles.into_iter().find(|s| s.word() == word)?;
            }
            ("fixing.head", EditValue::Text(word)) if word == "pan" => fixing.head = Head::Pan,
            ("fixing.slides", EditValue::Text(word)) => {
                let way = ["right", "up", "left", "down"].iter().position(|w| w == word)?;
                fixing.slides = Some(Degrees(90.0 * way as f64));
            }
            _ => return None,
        }
    }
    Some(out)
}

fn held<'r>(robot: &'r mut Robot, on: &Subject) -> Option<(&'r mut Fixing, &'r mut Point)> {
    match on {
        Subject::Part(name) => {
            let part = robot.parts.iter_mut().find(|p| p.name == *name)?;
            let Place::Board(at) = &mut part.place else { return None };
            Some((&mut part.fixing, &mut at.at))
        }
        Subject::Plug(name) => {
            let plug = robot.plugs.iter_mut().find(|p| p.name == *name)?;
            let PlugPlace::Fixed(at) = &mut plug.place else { return None };
            Some((&mut plug.fixing, &mut at.at))
        }
        _ => None,
    }
}
