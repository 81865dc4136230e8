//! A situation as it would be at another speed, charge or volume.

use super::{No, PageId, Room};
use loomdeck_model::sound;
use loomdeck_model::units::MetresPerSecond;
use std::sync::Arc;

/// Fastest that a slider goes, m/s: a running man.
const FASTEST: f64 = 10.0;

/// Where the sliders stand; `None`: as the files say.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Slid {
    /// Speed over ground.
    pub speed_m_s: Option<f64>,
    /// State of charge of every battery, 0 to 100.
    pub charge_percent: Option<f64>,
    /// Volume of every amplifier, 0 to 100: see [`sound`].
    pub volume_percent: Option<f64>,
}

impl Room {
    /// Shows a situation at another speed, charge or volume.
    ///
    /// # Errors
    /// When there is no such situation, or no such speed, or nothing that makes sound.
    pub fn slide(&mut self, page: PageId, situation: &str, to: Slid) -> Result<(), No> {
        let study = self.open()?;
        let mut robot = study.robot.clone();
        let none = || No::Refused(format!("There is no situation called `{situation}`."));
        let id = robot.situation(situation).ok_or_else(none)?;
        let mut described = robot.situations[id.0].clone();
        if let Some(speed) = to.speed_m_s {
            if !(0.0..=FASTEST).contains(&speed) {
                return Err(No::Refused(format!("The speed must lie between 0 and {FASTEST} m/s.")));
            }
            described.speed = MetresPerSecond(speed);
        }
        if let Some(charge) = to.charge_percent {
            described.charge = share("charge", charge)?;
        }
        if let Some(volume) = to.volume_percent {
            let mute = || No::Refused("Nothing in this robot amplifies sound.".to_owned());
            let volume = share("volume", volume)?;
            described = sound::at_volume(&robot, &described, volume).ok_or_else(mute)?;
        }
        robot.situations[id.0] = described;
        self.trying = Some((page, Arc::new(study.after(robot))));
        Ok(())
    }
}

fn share(of: &str, percent: f64) -> Result<f64, No> {
    let told = || No::Refused(format!("The {of} must lie between 0 and 100 %."));
    (0.0..=100.0).contains(&percent).then_some(percent / 100.0).ok_or_else(told)
}
