//! Pulling fixed plugs: the way of the body half, and the fingers at its latch.

use super::kept::Found;
use super::scene::{Scene, Setting};
use super::sweep::{prism, strip};
use super::ways::{Place, tool_use};
use super::{Job, Tool, Way, When, tools};
use crate::faces::{Standing, plug_direction};
use loomdeck_model::Point;
use loomdeck_model::part_type::PlugFamily;

/// Room for fingers behind a plug, mm.
pub const BEHIND: f64 = 20.0;

/// How far beyond its own end the body half of a plug needs the way free: half the mated length that it
/// comes off by, its boot, and fingers behind it. Common practice, no source.
pub fn pull(family: &PlugFamily) -> f64 {
    family.length.0 / 2.0 + family.boot.0 + BEHIND
}

/// The pull of a fixed plug, with the board in the body and its cover off. The first use is the way of
/// the body half; of a plug that locks, the second is thumb and finger at its two sides, which press the
/// latch and travel with it.
pub fn needs(scene: &Scene, thing: &Standing, out: &mut Found) {
    let (Some(family), Some(body)) = (&thing.kind.plug_family, &thing.body) else { return };
    let way = plug_direction(thing.at);
    let place = Place {
        face: thing.at.face,
        at: thing.at.at,
        setting: Setting::InPlace,
        own: Some(&thing.subject),
        own_body: false,
    };
    out.add(scene, (&thing.subject, Some(thing.owner)), (Job::Unplug, When::Use), || {
        let (half, wide) = (family.length.0 / 2.0, family.width.0);
        let (low, high) = (body.base.0, body.top.0);
        let ahead = strip(thing.at.at, way, half, half + pull(family), wide);
        let mut uses = vec![tool_use(scene, &place, Tool::Fingers, vec![prism(ahead, low, high)])];
        if family.locks {
            let finger = tools::FINGER;
            let beside = [1.0, -1.0].map(|side| {
                let out = side * (wide + finger) / 2.0;
                let at = Point::new(thing.at.at.x - way.y * out, thing.at.at.y + way.x * out);
                prism(strip(at, way, 0.0, 2.0 * half, finger), low, high.max(low + finger))
            });
            uses.push(tool_use(scene, &place, Tool::Fingers, beside.to_vec()));
        }
        vec![Way { uses }]
    });
}
