//! Remedies tried on the faces before they are offered: things moved, turned or held otherwise.

use crate::access::{self, Need, Scene, Solid as Space, Way, When};
use crate::faces::{self, Standing};
use crate::findings::layout::{Layout, Solid};
use crate::findings::mm;
use crate::geometry::{FaceView, Owner};
use crate::shape::Convex;
use loomdeck_model::part_type::Fixing;
use loomdeck_model::units::Degrees;
use loomdeck_model::{Edit, EditValue, Face, Placement, Point, Remedy, Subject};
use std::cell::OnceCell;

/// A layout with what trials need, made when the first is asked for.
pub struct Tried<'l, 'a> {
    /// The layout.
    pub layout: &'l Layout<'a>,
    scene: OnceCell<Scene<'a>>,
}

/// At most this many moves are tried for one finding: the shortest.
const MOVES: usize = 6;

impl<'l, 'a> Tried<'l, 'a> {
    /// Nothing tried yet.
    pub fn new(layout: &'l Layout<'a>) -> Self {
        Self { layout, scene: OnceCell::new() }
    }

    /// Needs of the finished board, with those of a job first asked for.
    pub fn needs(&self) -> impl Iterator<Item = &'l Need> {
        self.layout.geometry.access.needs.iter()
    }

    /// Some way is blocked by covers alone, which are there to be taken off.
    pub fn only_covers(&self, need: &Need) -> bool {
        let robot = self.layout.robot;
        let cover = |by: &Subject| {
            let Subject::Part(name) = by else { return false };
            robot.part(name).is_some_and(|p| robot.type_of(p).group == "covers")
        };
        let all = |w: &Way| w.uses.iter().flat_map(|u| &u.blockers).all(|b| cover(&b.by));
        need.ways.iter().any(all)
    }

    /// Everything as it stands.
    pub fn scene(&self) -> &Scene<'a> {
        let layout = self.layout;
        self.scene.get_or_init(|| Scene::new(layout.robot, layout.board, &layout.geometry.faces))
    }

    /// The faces with one thing standing otherwise.
    pub fn views(&self, thing: Standing) -> Vec<FaceView> {
        faces::with(&self.layout.geometry.faces, self.layout.board, thing)
    }

    /// A thing as it stands.
    pub fn stands(&self, owner: Owner) -> Option<Standing<'a>> {
        faces::stands(self.layout.robot, owner)
    }

    /// A need that is blocked is free once one thing stands otherwise.
    pub fn frees(&self, need: &Need, thing: &Standing) -> bool {
        match need.owner {
            // What belongs to the thing itself is not in its way, so nothing else changes for it.
            Some(owner) if owner == thing.owner => access::is_free_at(self.scene(), thing, need),
            Some(owner) => {
                let scene = self.scene_with(thing.clone());
                self.stands(owner).is_some_and(|other| access::is_free_at(&scene, &other, need))
            }
            None => {
                let scene = self.scene_with(thing.clone());
                access::board_needs(&scene).iter().any(|n| n.subject == need.subject && n.is_free())
            }
        }
    }

    /// A thing standing otherwise has a free place there.
    pub fn has_place(&self, thing: &Standing) -> bool {
        thing.body.as_ref().is_some_and(|body| self.layout.free(thing.at.face, body))
    }

    /// Not more of what must be reached at a thing is blocked than where it stands now.
    fn no_worse(&self, thing: &Standing) -> bool {
        let blocked = |needs: &mut dyn Iterator<Item = &Need>| {
            needs.filter(|n| n.when != When::Prepare && !n.is_free()).count()
        };
        let now = blocked(&mut self.needs().filter(|n| n.owner == Some(thing.owner)));
        blocked(&mut access::needs_of(self.scene(), thing).iter()) <= now
    }

    /// The scene with one thing standing otherwise.
    pub fn scene_with(&self, thing: Standing) -> Scene<'a> {
        Scene::new(self.layout.robot, self.layout.board, &self.views(thing))
    }

    /// The shortest move that works, of those that are tried.
    pub fn best_move(
        &self,
        mut moves: Vec<(&Solid, Point, f64)>,
        works: impl Fn(&Standing) -> bool,
    ) -> Option<Remedy> {
        moves.retain(|m| m.2.is_finite() && m.2 > 0.0);
        moves.sort_by(|a, b| a.2.total_cmp(&b.2));
        moves.into_iter().take(MOVES).find_map(|(solid, way, far)| {
            let remedy = self.layout.move_remedy(solid, way, far)?;
            let [Edit::Set { value: EditValue::Point(at), .. }] = remedy.edits[..] else { return None };
            let now = self.stands(solid.body.owner)?;
            let moved = placed(&now, Placement { at, ..now.at });
            (works(&moved) && self.no_worse(&moved)).then_some(remedy)
        })
    }

    /// The thing turned about the middle of its outline by a quarter, a half or three quarters.
    pub fn turn(&self, solid: &Solid, works: impl Fn(&Standing) -> bool) -> Option<Remedy> {
        let now = self.stands(solid.body.owner)?;
        [180.0, 90.0, 270.0].into_iter().find_map(|by| {
            let turned = placed(&now, about_middle(&now, by));
            if !self.has_place(&turned) || !works(&turned) || !self.no_worse(&turned) {
                return None;
            }
            let (at, turn) = (turned.at.at, turned.at.turn);
            let on = solid.subject.clone();
            let set = |key: &str, value| Edit::Set { on: on.clone(), key: key.into(), value };
            let text = format!(
                "Turn {} by {by}\u{2009}° where it stands: turn {}\u{2009}°, x {}, y {}.",
                solid.name(),
                turn.0,
                mm(at.x),
                mm(at.y)
            );
            let edits = vec![set("turn", EditValue::Angle(turn)), set("at", EditValue::Point(at))];
            Some(Remedy::edit(text, edits))
        })
    }

    /// The part held otherwise, when that works.
    pub fn held(
        &self,
        owner: Owner,
        fixing: Fixing,
        text: String,
        keys: &[(&str, EditValue)],
        works: impl Fn(&Standing) -> bool,
    ) -> Option<Remedy> {
        let now = self.stands(owner)?;
        let other = Standing::new(owner, now.subject.clone(), now.kind, now.at, &fixing);
        if !works(&other) {
            return None;
        }
        let set = |(key, value): &(&str, EditValue)| Edit::Set {
            on: now.subject.clone(),
            key: format!("fixing.{key}"),
            value: value.clone(),
        };
        Some(Remedy::edit(text, keys.iter().map(set).collect()))
    }

    /// Moves, turns and the like that free a blocked need: what is in its way moves, or the thing itself
    /// moves or turns.
    pub fn remedies(&self, need: &Need) -> Vec<Remedy> {
        let mut out = Vec::new();
        if self.only_covers(need) {
            return out;
        }
        let frees = |thing: &Standing| self.frees(need, thing);
        let own = need.owner.and_then(|_| self.layout.solid(&need.subject));
        let mut moves = Vec::new();
        let mut turns: Vec<&Solid> = own.into_iter().collect();
        for way in &need.ways {
            let Some((by, face, spaces)) = single_blocker(way) else { continue };
            let Some(other) = self.layout.solid(by) else { continue };
            if !turns.iter().any(|s| s.subject == other.subject) {
                turns.push(other);
            }
            if other.face != face {
                continue;
            }
            for (solid, d, t) in self.layout.moves_off(other, &spaces, 0.0) {
                moves.push((solid, d, t));
                if let Some(own) = own {
                    moves.push((own, Point::new(-d.x, -d.y), t));
                }
            }
        }
        out.extend(self.best_move(moves, frees));
        out.extend(turns.into_iter().find_map(|solid| self.turn(solid, frees)));
        out
    }
}

/// The same thing at another place.
pub fn placed<'a>(now: &Standing<'a>, at: Placement) -> Standing<'a> {
    Standing::new(now.owner, now.subject.clone(), now.kind, at, now.fixing)
}

/// Turned about the middle of the box around its outline.
fn about_middle(now: &Standing, by: f64) -> Placement {
    let middle = |at: Placement| {
        let body = placed(now, at).body.map(|b| b.outline.bounds());
        body.map(|(low, high)| Point::new((low.x + high.x) / 2.0, (low.y + high.y) / 2.0))
    };
    let turn = Degrees((now.at.turn.0 + by).rem_euclid(360.0));
    let turned = Placement { turn, ..now.at };
    let (Some(was), Some(is)) = (middle(now.at), middle(turned)) else { return turned };
    let round = |x: f64| (x * 100.0).round() / 100.0;
    let at = Point::new(round(now.at.at.x + was.x - is.x), round(now.at.at.y + was.y - is.y));
    Placement { at, ..turned }
}

/// What alone stands in a way, on which face, and the spaces that it is in.
fn single_blocker(way: &Way) -> Option<(&Subject, Face, Vec<Convex>)> {
    let mut all = way.uses.iter().filter(|u| !u.blockers.is_empty());
    let blocked = all.next()?;
    let [only] = &blocked.blockers[..] else { return None };
    if all.next().is_some() {
        return None;
    }
    Some((&only.by, blocked.face, blocked.solids.iter().map(convex).collect()))
}

/// The footprint of a space.
pub fn convex(space: &Space) -> Convex {
    Convex::new(space.outline.0.clone())
}

/// The job in the words of a sentence: "the card of player".
pub fn job_word(layout: &Layout, need: &Need) -> String {
    super::words::job(layout.robot, need.owner, &need.job, need.subject.name())
}
