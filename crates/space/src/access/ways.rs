//! From tools to ways: which of them are worth keeping.

use super::scene::{Scene, Setting};
use super::{Blocker, Solid, Tool, ToolUse, Way, scene};
use crate::faces::depth;
use crate::shape;
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Face, Outline, Point, Subject};

/// Where a tool works.
#[derive(Clone, Copy)]
pub struct Place<'a> {
    /// Face it works on.
    pub face: Face,
    /// Where.
    pub at: Point,
    /// On the bench or in the body.
    pub setting: Setting,
    /// Whose it is: its own pieces are not in its way.
    pub own: Option<&'a Subject>,
    /// Its own body is.
    pub own_body: bool,
}

/// A tool at its place, held against everything that stands there.
pub fn tool_use(scene: &Scene, place: &Place, tool: Tool, solids: Vec<Solid>) -> ToolUse {
    let (blockers, beyond_edge) = blockers(scene, place, &solids);
    ToolUse { tool, face: place.face, at: place.at, solids, blockers, beyond_edge }
}

/// What stands in some spaces, and how far they reach beyond the board's edge when it is not known how much
/// room there is.
pub fn blockers(scene: &Scene, place: &Place, solids: &[Solid]) -> (Vec<Blocker>, Option<Millimetres>) {
    let mut blockers = scene.in_the_way(place, solids);
    let open = match place.setting {
        Setting::Bench => return (blockers, None),
        Setting::Wire => false,
        Setting::InPlace => place.face == Face::Front,
    };
    let wall = depth(scene.board, place.face).0;
    let high = solids.iter().map(|s| s.to.0).fold(0.0, f64::max);
    let mut walls = if open { 0.0 } else { (high - wall).max(0.0) };
    let over = over_edge(&scene.board.outline, solids);
    let mut beyond_edge = None;
    match scene.board.edge_room {
        Some(room) => walls = walls.max(over - room.0),
        None if over > shape::TOUCH => beyond_edge = Some(Millimetres(over)),
        None => {}
    }
    if walls > shape::TOUCH {
        blockers.push(Blocker { by: Subject::Robot, overlap: Millimetres(walls), stays: true });
        scene::sort(&mut blockers);
    }
    (blockers, beyond_edge)
}

/// How far some spaces reach beyond the board's edge.
fn over_edge(board: &Outline, solids: &[Solid]) -> f64 {
    let corners = solids.iter().flat_map(|s| &s.outline.0);
    let outside = corners.filter(|p| !shape::contains(board, **p));
    outside.map(|p| shape::edge_distance(board, *p)).fold(0.0, f64::max)
}

/// The uses worth keeping of several that would do: the first that is free alone; when none is, those
/// that no other beats, which has nothing in its way but what is in theirs too.
pub fn best(options: impl Iterator<Item = ToolUse>) -> Vec<ToolUse> {
    let mut kept: Vec<ToolUse> = Vec::new();
    for option in options {
        if option.blockers.is_empty() {
            return vec![option];
        }
        if kept.iter().any(|k| beats(k, &option)) {
            continue;
        }
        kept.retain(|k| !beats(&option, k));
        kept.push(option);
    }
    kept.sort_by(|a, b| rank(a).0.cmp(&rank(b).0).then(rank(a).1.total_cmp(&rank(b).1)));
    kept
}

/// The same, with the space that all options but the first have in common: when the first beats that
/// space alone, it beats them all, and they are not looked at.
pub fn best_with_core(
    scene: &Scene,
    place: &Place,
    core: Option<Vec<Solid>>,
    mut options: impl Iterator<Item = (Tool, Vec<Solid>)>,
) -> Vec<ToolUse> {
    let Some((tool, solids)) = options.next() else { return Vec::new() };
    let first = tool_use(scene, place, tool, solids);
    if first.blockers.is_empty() {
        return vec![first];
    }
    if let Some(core) = core {
        let common = scene.in_the_way(place, &core);
        if first.blockers.iter().all(|x| common.iter().any(|y| as_bad(x, y))) {
            return vec![first];
        }
    }
    let rest = options.map(|(tool, solids)| tool_use(scene, place, tool, solids));
    best(std::iter::once(first).chain(rest))
}

/// One is in the way where the other is, and goes with its part if the other does.
fn as_bad(x: &Blocker, y: &Blocker) -> bool {
    y.by == x.by && (y.stays || !x.stays)
}

/// Everything in the way of `a` is in the way of `b`, and stays there if it stays in `a`'s; where they are
/// the same, less deep.
fn beats(a: &ToolUse, b: &ToolUse) -> bool {
    let within = a.blockers.iter().all(|x| b.blockers.iter().any(|y| as_bad(x, y)));
    within && (a.blockers.len() < b.blockers.len() || rank(a).1 <= rank(b).1)
}

/// How many things are in the way, and how deep the worst.
fn rank(u: &ToolUse) -> (usize, f64) {
    (u.blockers.len(), u.blockers.first().map_or(0.0, |b| b.overlap.0))
}

/// Every choice of one use per hand.
pub fn together(hands: Vec<Vec<ToolUse>>) -> Vec<Way> {
    if hands.iter().all(|options| options.len() == 1) {
        return vec![Way { uses: hands.into_iter().flatten().collect() }];
    }
    let mut ways = vec![Way { uses: Vec::new() }];
    for options in hands {
        ways = ways
            .into_iter()
            .flat_map(|way| {
                options.iter().map(move |u| {
                    let mut uses = way.uses.clone();
                    uses.push(u.clone());
                    Way { uses }
                })
            })
            .collect();
    }
    ways
}

/// Best first: fewest things in the way, then the least deep. A free way leaves no other.
pub fn sorted(mut ways: Vec<Way>) -> Vec<Way> {
    if let Some(free) = ways.iter().position(Way::is_free) {
        return vec![ways.swap_remove(free)];
    }
    let rank = |w: &Way| {
        let all = || w.uses.iter().flat_map(|u| &u.blockers);
        (all().count(), all().map(|b| b.overlap.0).fold(0.0, f64::max))
    };
    ways.sort_by(|a, b| {
        let (a, b) = (rank(a), rank(b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    ways
}
