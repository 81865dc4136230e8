//! How loud a robot is: the volume of its amplifiers, as one number.
//!
//! A volume of 1 is the loudest activity that an amplifier's type states, 0 its quietest. Between them the supply
//! current is taken as what it draws in the quiet plus a share of what sound adds to it: i(t) = q + v·s(t). From
//! that follow the mean, q + v·S, the peak likewise, and the rms by ⟨i²⟩ = q² + 2·q·v·S + v²·⟨s²⟩, where S and ⟨s²⟩ are
//! those of the loudest activity. So the volume is a share of the sound's *power*: half of it is 3 dB less.
//!
//! This holds for switching amplifiers, whose efficiency hardly changes between a quarter and full power; one with
//! linear output stages takes more in between than it says (common practice, no source).

use crate::element::{Activity, ElementKind, Load};
use crate::part_type::{NoiseClass, PartType, SignalDirection, TerminalRole};
use crate::situation::{Situation, SituationActivity};
use crate::units::Amperes;
use crate::{PartId, Robot};

/// A load that makes sound, with the two ends of its volume.
struct Amplifier<'r> {
    part: PartId,
    load: &'r Load,
    quiet: &'r Activity,
    loud: &'r Activity,
}

impl Amplifier<'_> {
    /// The activity at a volume.
    fn at(&self, volume: f64) -> Activity {
        let (q, v) = (self.quiet.mean.0, volume);
        let (added, peak) = (self.loud.mean.0 - q, self.loud.peak.0 - q);
        let square = (self.loud.rms.0.powi(2) - q * q - 2.0 * q * added).max(added * added);
        let rms = (q * q + 2.0 * q * v * added + v * v * square).max(0.0).sqrt();
        Activity {
            name: format!("{} %", (volume * 100.0).round()),
            mean: Amperes(q + v * added),
            rms: Amperes(rms),
            peak: Amperes((q + v * peak).max(rms)),
            peak_time: self.loud.peak_time,
        }
    }

    /// The volume of an activity, by its mean.
    fn of(&self, activity: &Activity) -> f64 {
        let (low, high) = (self.quiet.mean.0, self.loud.mean.0);
        ((activity.mean.0 - low) / (high - low)).clamp(0.0, 1.0)
    }
}

/// It takes an audio signal in.
fn is_amplifier(kind: &PartType) -> bool {
    kind.noise == NoiseClass::Audio
        && kind.terminals.iter().any(|t| {
            let takes = |d: SignalDirection| matches!(d, SignalDirection::Input | SignalDirection::Both);
            t.role == TerminalRole::Audio && t.signal.as_ref().is_some_and(|s| takes(s.direction))
        })
}

/// Every amplifier whose type states something quiet and something louder.
fn amplifiers(robot: &Robot) -> impl Iterator<Item = Amplifier<'_>> {
    (0..robot.parts.len()).map(PartId).filter_map(|part| {
        let kind = robot.type_of(part);
        let load = kind.elements.iter().filter(|_| is_amplifier(kind)).find_map(|e| match &e.kind {
            ElementKind::Load(load) => Some(load),
            _ => None,
        })?;
        let by_mean = |a: &&Activity, b: &&Activity| a.mean.0.total_cmp(&b.mean.0);
        let quiet = load.activities.iter().min_by(by_mean)?;
        let loud = load.activities.iter().max_by(by_mean)?;
        (loud.mean.0 > quiet.mean.0).then_some(Amplifier { part, load, quiet, loud })
    })
}

/// The volume in a situation, 0 to 1: that of its loudest amplifier. `None`: the robot has none.
pub fn volume(robot: &Robot, situation: &Situation) -> Option<f64> {
    let each = amplifiers(robot).map(|a| {
        let now = match situation.activity.get(&a.part) {
            Some(SituationActivity::Own(own)) => Some(own),
            Some(SituationActivity::Named(index)) => a.load.activities.get(*index),
            None => a.load.activities.get(a.load.usual),
        };
        now.map_or(0.0, |now| a.of(now))
    });
    each.reduce(f64::max)
}

/// The situation with every amplifier at this volume, 0 to 1. `None`: the robot has none.
pub fn at_volume(robot: &Robot, situation: &Situation, volume: f64) -> Option<Situation> {
    let mut changed = situation.clone();
    let mut any = false;
    for a in amplifiers(robot) {
        changed.activity.insert(a.part, SituationActivity::Own(a.at(volume)));
        any = true;
    }
    any.then_some(changed)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Folder, read};

    const TEXT: &str = "format = 1\n[robot]\nname = \"Loud\"\n\
        [[zone]]\nname = \"chest\"\npath_mm = 300\n\
        [[part]]\nname = \"amp\"\ntype = \"audio-amplifier-12v-2x20w\"\nzone = \"chest\"\n\
        [[part]]\nname = \"player\"\ntype = \"sound-player-5v\"\nzone = \"chest\"\n\
        [[situation]]\nname = \"show\"\nactivity = { amp = \"loud\" }\n\
        [[situation]]\nname = \"waiting\"\n\
        [[situation]]\nname = \"silent\"\nactivity = { amp = \"silent\" }\n";

    fn robot(text: &str) -> Robot {
        let (robot, problems) = read(&Folder::single(text.to_owned()));
        robot.unwrap_or_else(|| panic!("{problems:?}"))
    }

    #[test]
    fn the_ends_of_the_volume_are_what_the_type_states() {
        let robot = robot(TEXT);
        let [show, waiting, silent] = [0, 1, 2].map(|i| &robot.situations[i]);
        assert_eq!((volume(&robot, show), volume(&robot, silent)), (Some(1.0), Some(0.0)));
        // Talk takes 0.5 A, the quiet 0.08, the loudest 1.4.
        let talk = volume(&robot, waiting).unwrap();
        assert!((talk - 0.42 / 1.32).abs() < 1e-12, "{talk}");
        let amp = robot.part("amp").unwrap();
        let at = |v: f64| match &at_volume(&robot, waiting, v).unwrap().activity[&amp] {
            SituationActivity::Own(a) => [a.mean.0, a.rms.0, a.peak.0],
            SituationActivity::Named(_) => panic!(),
        };
        let near = |a: [f64; 3], b: [f64; 3]| {
            assert!(a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-12), "{a:?} for {b:?}");
        };
        near(at(1.0), [1.4, 2.0, 4.2]);
        near(at(0.0), [0.08, 0.08, 0.08]);
        // Half: 0.08 + 0.66; 0.0064 + 2 · 0.08 · 0.66 + (4 − 0.0064 − 2 · 0.08 · 1.32) / 4; 0.08 + 2.06.
        near(at(0.5), [0.74, (0.0064_f64 + 0.1056 + 3.7824 / 4.0).sqrt(), 2.14]);
        let changed = at_volume(&robot, waiting, 0.5).unwrap();
        assert_eq!(changed.activity.len(), 1, "a player takes the same at any volume");
        assert!((volume(&robot, &changed).unwrap() - 0.5).abs() < 1e-12);
    }

    #[test]
    fn a_robot_without_amplifier_has_no_volume() {
        let mute = robot(
            &TEXT.replace("audio-amplifier-12v-2x20w", "sound-player-5v").replace("activity", "#"),
        );
        assert_eq!(volume(&mute, &mute.situations[0]), None);
        assert!(at_volume(&mute, &mute.situations[0], 0.5).is_none());
    }
}
