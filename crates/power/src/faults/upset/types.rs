//! What is said about signals and the grounds they are measured against.

use loomdeck_model::{Landing, PartId, SituationId, WireId};
use serde::Serialize;

/// Everything about signals.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Upset {
    /// One per output and input that are joined, in the robot's order.
    pub links: Vec<Link>,
    /// Outputs that lie on one wire.
    pub clashes: Vec<Clash>,
    /// Where the model ends.
    pub validity: Vec<String>,
    /// What is well, and by how much.
    pub good_news: Vec<String>,
}

/// What a signal carries.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Sound.
    Audio,
    /// Logic levels.
    Logic,
}

/// An output and an input that it drives.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Link {
    /// The output.
    pub from: Landing,
    /// Its name.
    pub from_name: String,
    /// The input.
    pub to: Landing,
    /// Its name.
    pub to_name: String,
    /// What it carries.
    pub kind: Kind,
    /// High level or full scale of the output, V.
    pub sends_v: f64,
    /// Level that the input wants, V.
    pub wants_v: f64,
    /// What the input survives, V.
    pub bears_v: Option<f64>,
    /// One of them is balanced or isolated.
    pub isolated: bool,
    /// The grounds of the two parts are one piece of metal.
    pub common: bool,
    /// Ground of the input against ground of the output, one per situation in which both are fed.
    pub shifts: Vec<Shift>,
    /// What causes the largest.
    pub cause: Option<Cause>,
}

impl Link {
    /// The largest of the shifts, with its situation.
    pub fn worst(&self) -> Option<&Shift> {
        self.shifts.iter().max_by(|a, b| a.noticed(self.kind).1.total_cmp(&b.noticed(self.kind).1))
    }

    /// What of it is noticed, mV.
    pub fn noticed_mv(&self) -> f64 {
        self.worst().map_or(0.0, |w| w.noticed(self.kind).1)
    }

    /// The largest shift against full scale, dB; `None` when there is none.
    pub fn below_full_scale_db(&self) -> Option<f64> {
        let most = self.noticed_mv() / 1000.0;
        (most > 1e-9 && self.wants_v > 0.0).then(|| 20.0 * (most / self.wants_v).log10())
    }
}

/// Ground of an input against ground of the output that drives it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Shift {
    /// In which situation.
    pub situation: SituationId,
    /// With the mean currents, mV.
    pub mean_mv: f64,
    /// With what heats, mV.
    pub rms_mv: f64,
    /// With every load at its peak at once, mV.
    pub peak_mv: f64,
    /// With the mean currents and every motor off, mV.
    pub quiet_mv: f64,
}

/// What of a shift counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Measure {
    /// Mean, as it is.
    Mean,
    /// With every load at its peak, as it is.
    Peak,
    /// From mean to peak: loads that come and go.
    MeanToPeak,
    /// What the rms has beyond the mean: loads that beat, as music does.
    Beat,
    /// From motors off to motors on.
    MotorsOn,
}

impl Measure {
    /// Of a first quantity against a second one, both of the kind that this measure compares.
    pub fn of(self, first: f64, second: f64) -> f64 {
        match self {
            Self::Mean | Self::Peak => first,
            Self::MeanToPeak | Self::MotorsOn => first - second,
            Self::Beat => (first * first - second * second).max(0.0).sqrt(),
        }
    }
}

impl Shift {
    /// What an ear or an input takes notice of: sound does not hear what stays as it is.
    pub fn noticed(&self, kind: Kind) -> (Measure, f64) {
        let measures: &[Measure] = match kind {
            Kind::Audio => &[Measure::MeanToPeak, Measure::Beat, Measure::MotorsOn],
            Kind::Logic => &[Measure::Peak, Measure::Mean],
        };
        let each = measures.iter().map(|&m| {
            let (first, second) = match m {
                Measure::Mean => (self.mean_mv, 0.0),
                Measure::Peak => (self.peak_mv, 0.0),
                Measure::MeanToPeak => (self.peak_mv, self.mean_mv),
                Measure::Beat => (self.rms_mv, self.mean_mv),
                Measure::MotorsOn => (self.mean_mv, self.quiet_mv),
            };
            (m, m.of(first, second).abs())
        });
        each.reduce(|a, b| if b.1 > a.1 { b } else { a }).unwrap_or((Measure::Mean, 0.0))
    }
}

/// The wire that causes most of a shift, and what mends it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cause {
    /// The wire.
    pub wire: WireId,
    /// What it carries then, of that which is noticed, A.
    pub current_a: f64,
    /// What of the shift drops along it, mV.
    pub drop_mv: f64,
    /// The same as a share of the shift, %.
    pub share_percent: f64,
    /// The change that helps most, tried by solving.
    pub star: Option<Star>,
}

/// A wire end moved so that the current no longer flows between the two grounds.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Star {
    /// The wire.
    pub wire: WireId,
    /// Its end that moves: `from` or `to`.
    pub end: &'static str,
    /// Where that end goes.
    pub landing: Landing,
    /// The same as the files write it.
    pub landing_name: String,
    /// The largest shift afterwards, mV.
    pub after_mv: f64,
}

/// Two outputs on one wire.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Clash {
    /// The parts.
    pub parts: [PartId; 2],
    /// Their terminals.
    pub names: [String; 2],
}
