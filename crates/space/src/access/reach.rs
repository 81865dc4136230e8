//! What the types ask for: cards, fuses, trimmers, buttons, USB plugs.

use super::kept::Found;
use super::scene::{Scene, Setting};
use super::sweep::{BOUND, cylinder, oblique, prism, strip};
use super::ways::{Place, sorted, tool_use};
use super::{Blocker, Job, Solid, Tool, ToolUse, Way, When};
use crate::faces::{self, Standing};
use crate::shape::{direction, nearest_on_segment};
use loomdeck_model::part_type::{Exit, ReachNeed};
use loomdeck_model::units::{Degrees, Millimetres};
use loomdeck_model::{Point, Subject};

/// How much further along its way an oblique space reaches than the tool does, mm.
pub const STEP: f64 = 2.0;

/// What one thing's type asks for.
pub fn needs(scene: &Scene, thing: &Standing, out: &mut Found) {
    for (i, need) in thing.kind.reach.iter().enumerate() {
        let whose = (&thing.subject, Some(thing.owner));
        out.add(scene, whose, (Job::Reach { need: i }, When::Use), || sorted(ways(scene, thing, need)));
    }
}

/// The tool that goes with a word.
pub fn tool(what: &str) -> Tool {
    match what {
        "card" => Tool::Card,
        "usb" => Tool::UsbPlug,
        "trimmer" | "adjust" => Tool::TrimTool,
        "fuse-pull" => Tool::FusePuller,
        "terminal-screw" => Tool::Screwdriver,
        "button" | "switch" => Tool::Fingers,
        _ => Tool::Other,
    }
}

/// Thickness of what goes in, with the fingers that hold it, mm. A type states only its width. Common
/// practice, no source: a card or a USB plug between thumb and finger 16, the blade of a driver in a row
/// of screws 6; everything else is as thick as wide.
fn thickness(tool: Tool, width: f64) -> f64 {
    width.min(match tool {
        Tool::Card | Tool::UsbPlug => 16.0,
        Tool::Screwdriver => 6.0,
        _ => f64::INFINITY,
    })
}

/// Depth that a tool needs, whatever the type says. A USB plug needs 20 mm for itself, 10 for its boot
/// and three diameters of a 4 mm cable for its bend (common practice, no source).
fn depth(tool: Tool, stated: f64) -> f64 {
    match tool {
        Tool::UsbPlug => stated.max(42.0),
        _ => stated,
    }
}

fn ways(scene: &Scene, thing: &Standing, need: &ReachNeed) -> Vec<Way> {
    let at = thing.at.to_board(need.at);
    let height = (need.height + thing.lift()).max(Millimetres::ZERO).0;
    let setting = if need.in_place { Setting::InPlace } else { Setting::Bench };
    let upward = upright(need);
    let below = upward && thing.body.as_ref().is_some_and(|b| height < b.base.0);
    let place = Place {
        face: thing.at.face,
        at,
        setting,
        own: Some(&thing.subject),
        // What lies on its underside cannot be got at through the thing itself.
        own_body: below,
    };
    let tool = tool(&need.what);
    let direct = tool_use(scene, &place, tool, space(thing, need, at, height));
    let mut ways = vec![Way { uses: vec![direct] }];
    if below {
        ways.push(Way { uses: through_the_board(scene, &place, need, height) });
    }
    ways
}

/// It comes straight off the face.
fn upright(need: &ReachNeed) -> bool {
    need.towards == Exit::Up || need.tilt.0 > 89.9
}

fn space(thing: &Standing, need: &ReachNeed, at: Point, height: f64) -> Vec<Solid> {
    let tool = tool(&need.what);
    let (wide, deep) = (need.width.0, depth(tool, need.depth.0));
    let thick = thickness(tool, wide);
    if upright(need) {
        if thick >= wide - BOUND {
            return vec![cylinder(at, wide, height, height + deep)];
        }
        // A row lies along the thing's own x axis.
        let along = direction(thing.at.direction_to_board(Degrees(0.0)).0);
        return vec![prism(strip(at, along, -wide / 2.0, wide / 2.0, thick), height, height + deep)];
    }
    let Exit::Along(d) = faces::turned(thing.at, need.towards) else { return Vec::new() };
    let way = direction(d.0);
    if need.tilt.0 < 0.1 {
        // Fingers come from above: they are not pressed into the board.
        let low = (height - thick / 2.0).max(0.0);
        return vec![prism(strip(at, way, 0.0, deep, wide), low, height + thick / 2.0)];
    }
    oblique((at, height), way, need.tilt.0, (deep, wide), STEP)
}

/// From the other face, through the board and up to what lies on the underside of the thing.
fn through_the_board(scene: &Scene, place: &Place, need: &ReachNeed, height: f64) -> Vec<ToolUse> {
    let tool = tool(&need.what);
    let (wide, deep) = (need.width.0, depth(tool, need.depth.0));
    let far = Place { face: place.face.other(), own_body: false, ..*place };
    let mut outside = tool_use(scene, &far, tool, vec![cylinder(place.at, wide, 0.0, deep)]);
    if let Some(missing) = missing_hole(scene, place.at, wide) {
        let overlap = Millimetres(missing);
        outside.blockers.push(Blocker { by: Subject::Board, overlap, stays: true });
        super::scene::sort(&mut outside.blockers);
    }
    let near = Place { own_body: false, ..*place };
    let inside = tool_use(scene, &near, tool, vec![cylinder(place.at, wide, 0.0, height)]);
    vec![outside, inside]
}

/// How much wider the nearest opening would have to be on one side to let a round tool through here;
/// `None` when one lets it through, the tool's width at most.
fn missing_hole(scene: &Scene, at: Point, wide: f64) -> Option<f64> {
    let missing = |h: &crate::geometry::BoardHole| {
        at.distance(nearest_on_segment(at, h.from, h.to)) + wide / 2.0 - h.diameter.0 / 2.0
    };
    let least = scene.openings.iter().map(missing).fold(wide, f64::min);
    (least > crate::shape::TOUCH).then_some(least)
}

/// Diameter of an access hole for a need: its tool and half a millimetre all round.
pub fn access_hole(need: &ReachNeed) -> Millimetres {
    need.width + Millimetres(1.0)
}
