//! What is on show, in sections that are told apart: only those that changed are sent.

use super::MakeOn;
use serde::{Deserialize, Serialize};
#[cfg(test)]
use ts_rs::TS;

/// Millimetres in the board's frame: as seen looking at the front, x right, y up.
pub type Pt = [f64; 2];

/// A side of the board.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(TS))]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Face {
    Front,
    Back,
}

impl From<loomdeck_model::Face> for Face {
    fn from(face: loomdeck_model::Face) -> Self {
        match face {
            loomdeck_model::Face::Front => Self::Front,
            loomdeck_model::Face::Back => Self::Back,
        }
    }
}

/// What a mark is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(TS))]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum MarkKind {
    Clash,
    Room,
    Span,
}

/// Side or sides that a region concerns.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(TS))]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Sides {
    Front,
    Back,
    Both,
}

/// How bad a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(TS))]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Severity {
    Danger,
    Fix,
    Look,
    Note,
}

/// Unit that lengths are shown in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(test, derive(TS))]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Unit {
    #[default]
    Mm,
    Inch,
}

shown! {
    /// Everything on show. In the program each section is JSON as soon as it is known; this type is for the
    /// pages.
    pub struct Sections {
        /// The robot as a whole.
        pub robot: RobotOn,
        /// The board; `None`: there is none yet.
        pub sheet: Option<Sheet>,
        /// Parts on the board, both faces.
        pub parts: Vec<PartOn>,
        /// Plugs, fixed or on tails.
        pub plugs: Vec<PlugOn>,
        /// Wires.
        pub wires: Vec<WireOn>,
        /// Looms.
        pub looms: Vec<LoomOn>,
        /// What the builder must know, worst first.
        pub findings: Vec<FindingOn>,
        /// What is well, with its margin.
        pub good_news: Vec<String>,
        /// The situations.
        pub situations: Vec<SituationOn>,
        /// The robot in the situation that the page looks at.
        pub loads: LoadsOn,
        /// Places off the board with the parts in them.
        pub zones: Vec<ZoneOn>,
        /// Parts off the board.
        pub off_board: Vec<OffBoard>,
        /// The power diagram; follows with the deep tier.
        pub diagram: DiagramOn,
        /// The plots that can be asked for at `/picture`; they follow with the deep tier.
        pub plots: Vec<PlotOn>,
        /// How it is made; `None` until the first deep tier.
        pub make: Option<MakeOn>,
    }

    /// The robot as a whole.
    pub struct RobotOn {
        /// Its name.
        pub name: String,
        /// Name of its folder.
        pub folder: String,
        /// Unit that lengths are shown in.
        pub unit: Unit,
        /// How many findings of each severity.
        pub counts: Counts,
        /// Names of its cables.
        pub cables: Vec<String>,
        /// Names of its own part types.
        pub own_types: Vec<String>,
    }

    /// How many findings of each severity.
    #[allow(missing_docs, reason = "the names are the meaning")]
    pub struct Counts {
        pub danger: usize,
        pub fix: usize,
        pub look: usize,
        pub note: usize,
    }

    /// The board.
    pub struct Sheet {
        /// Outline.
        pub outline: Vec<Pt>,
        /// Thickness.
        pub thickness_mm: f64,
        /// Material.
        pub material: String,
        /// Free depth in front of it.
        pub depth_front_mm: f64,
        /// Free depth behind it.
        pub depth_back_mm: f64,
        /// Openings.
        pub passes: Vec<PassOn>,
        /// Bolts that hold it in the body.
        pub mounts: Vec<MountOn>,
        /// Regions to stay out of.
        pub keep_outs: Vec<KeepOutOn>,
        /// Every hole.
        pub holes: Vec<HoleOn>,
    }

    /// An opening that lets wires change face.
    pub struct PassOn {
        /// Name.
        pub name: String,
        /// Outline; arcs as corners.
        pub outline: Vec<Pt>,
        /// Middle.
        pub at_mm: Pt,
        /// Share of it that wires fill.
        pub fill: f64,
        /// End to end, or diameter.
        pub length_mm: f64,
        /// Across; the same for a round one.
        pub width_mm: f64,
        /// Turn of its long axis.
        pub turn_deg: f64,
        /// Round, by diameter.
        pub round: bool,
    }

    /// A bolt that holds the board in the body.
    pub struct MountOn {
        /// Name.
        pub name: String,
        /// Middle.
        pub at_mm: Pt,
        /// Diameter of its hole.
        pub diameter_mm: f64,
        /// It can be moved: its place is in the robot's own files.
        pub movable: bool,
    }

    /// A region to stay out of.
    pub struct KeepOutOn {
        /// Name.
        pub name: String,
        /// Which face it concerns.
        pub face: Sides,
        /// Outline.
        pub outline: Vec<Pt>,
        /// The corner that it is given by; `None`: it cannot be moved as a whole.
        pub at_mm: Option<Pt>,
    }

    /// A hole: a circle, swept from one end to the other.
    pub struct HoleOn {
        /// Name of what it belongs to.
        pub of: String,
        /// One end.
        pub from_mm: Pt,
        /// The other; the same for a round hole.
        pub to_mm: Pt,
        /// Diameter.
        pub diameter_mm: f64,
    }

    /// A part on the board.
    pub struct PartOn {
        /// Name.
        pub name: String,
        /// Name of its type.
        pub kind: String,
        /// Title of its type.
        pub title: String,
        /// The face that carries it.
        pub face: Face,
        /// Where its own origin lies: the key `at`.
        pub at_mm: Pt,
        /// Counter-clockwise, looking at its face: the key `turn`.
        pub turn_deg: f64,
        /// Footprint.
        pub outline: Vec<Pt>,
        /// Top above the face.
        pub height_mm: f64,
        /// It may be dragged.
        pub movable: bool,
        /// Where its wires land.
        pub terminals: Vec<Terminal>,
    }

    /// A terminal on the board.
    pub struct Terminal {
        /// Name.
        pub name: String,
        /// Where.
        pub at_mm: Pt,
        /// Which way its wire leaves, counter-clockwise from x; `None`: straight up.
        pub direction_deg: Option<f64>,
        /// What it is for.
        pub role: String,
    }

    /// A plug.
    pub struct PlugOn {
        /// Name.
        pub name: String,
        /// Name of its family.
        pub family: String,
        /// The face that carries it, or from which its tail leaves.
        pub face: Face,
        /// The zone that it leads to.
        pub zone: String,
        /// Where it is fixed, or where its tail leaves the board.
        pub at_mm: Pt,
        /// Which way it is turned, or its tail leaves.
        pub turn_deg: f64,
        /// Footprint; of one on a tail, drawn near the board.
        pub outline: Vec<Pt>,
        /// Its tail, drawn shortened; `None`: it is fixed.
        pub tail: Option<Vec<Pt>>,
        /// How many contacts each half has.
        pub contacts: u32,
        /// It can be moved: its place is in the robot's own files.
        pub movable: bool,
    }

    /// A wire.
    pub struct WireOn {
        /// Name.
        pub name: String,
        /// Where it begins: `heart.plus`.
        pub from: String,
        /// Where it ends.
        pub to: String,
        /// Its size in words.
        pub size: String,
        /// Colour of its insulation, `#rrggbb`.
        pub colour: String,
        /// Colour of its stripe.
        pub stripe: Option<String>,
        /// Outside diameter.
        pub outside_mm: f64,
        /// Length to cut; 0: a lead that a part brings along; `None`: it finds no way.
        pub cut_mm: Option<f64>,
        /// Its way over the faces.
        pub legs: Vec<Leg>,
        /// The loom it runs in.
        pub loom: Option<String>,
    }

    /// A way over a face.
    pub struct Leg {
        /// Which face.
        pub face: Face,
        /// Corners, where the straight stretches would meet.
        pub points: Vec<Pt>,
        /// Radius of the bend at each corner.
        pub radii_mm: Vec<f64>,
    }

    /// A loom.
    pub struct LoomOn {
        /// Name.
        pub name: String,
        /// Its pieces.
        pub bodies: Vec<LoomBodyOn>,
        /// Where it is tied.
        pub ties: Vec<TieOn>,
    }

    /// A piece of a loom.
    pub struct LoomBodyOn {
        /// Which face.
        pub face: Face,
        /// Corners of its middle line.
        pub points: Vec<Pt>,
        /// Radius of the bend at each corner.
        pub radii_mm: Vec<f64>,
        /// Diameter.
        pub diameter_mm: f64,
    }

    /// A tie round a loom.
    pub struct TieOn {
        /// Which face.
        pub face: Face,
        /// Where.
        pub at_mm: Pt,
        /// Which way the loom runs there.
        pub along_deg: f64,
        /// Diameter of the loom there.
        pub bundle_mm: f64,
    }

    /// One thing the builder must know.
    pub struct FindingOn {
        /// Names it in this study: what `remedy` and `preview` ask by.
        pub key: String,
        /// Name of its kind.
        pub slug: String,
        /// How bad.
        pub severity: Severity,
        /// Title of its kind.
        pub title: String,
        /// What it is about, the main thing first.
        pub subjects: Vec<SubjectOn>,
        /// What happens and how much.
        pub what: String,
        /// Why.
        pub why: String,
        /// Standard, handbook or rule behind it.
        pub source: String,
        /// Its numbers, unit in the name.
        pub values: Vec<(String, f64)>,
        /// What they are held against.
        pub limits: Vec<(String, f64)>,
        /// The situation it shows in.
        pub situation: Option<String>,
        /// Where its tag goes.
        pub spot: Option<SpotOn>,
        /// What is drawn where it happens.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        #[cfg_attr(test, ts(optional, as = "Option<Vec<MarkOn>>"))]
        pub marks: Vec<MarkOn>,
        /// What to do, best first.
        pub remedies: Vec<RemedyOn>,
        /// It belongs to the deep tier: older than the rest while the study is not `deep`.
        pub deep: bool,
    }

    /// Something to draw where a finding happens.
    pub struct MarkOn {
        /// On which face.
        pub face: Face,
        /// Whether two things clash there, it is a place to be kept free, or a distance.
        pub kind: MarkKind,
        /// Its outline; of a distance, the two ends.
        pub points: Vec<Pt>,
        /// What stands beside it; empty: nothing.
        pub words: String,
    }

    /// Room that a wire's bend, a tool or a hand wants, seen from above.
    pub struct RoomWanted {
        /// Name of the part, plug or bolt whose it is.
        pub of: String,
        /// What is done there, and with what.
        pub words: String,
        /// On which face.
        pub face: Face,
        /// Where.
        pub at_mm: Pt,
        /// Outlines.
        pub outlines: Vec<Vec<Pt>>,
        /// What stands in it, worst first; empty: it is free.
        pub by: Vec<String>,
    }

    /// A named thing, and where it stands in the files.
    pub struct SubjectOn {
        /// Kind: `part`, `wire` …
        pub kind: String,
        /// Name.
        pub name: String,
        /// File.
        #[serde(skip_serializing_if = "Option::is_none")]
        #[cfg_attr(test, ts(optional))]
        pub file: Option<String>,
        /// Line, from 1.
        #[serde(skip_serializing_if = "Option::is_none")]
        #[cfg_attr(test, ts(optional))]
        pub line: Option<usize>,
    }

    /// A place on a face.
    pub struct SpotOn {
        /// Which face.
        pub face: Face,
        /// Where.
        pub at_mm: Pt,
    }

    /// Something to do.
    pub struct RemedyOn {
        /// What, an imperative sentence.
        pub text: String,
        /// The program can write it into the files.
        pub can_be_applied: bool,
        /// What it would change in the files: kind and name of a thing, and the key. Findings that ask for the
        /// same are mended together.
        pub changes: Vec<String>,
        /// The size that it gives a wire.
        #[serde(skip_serializing_if = "Option::is_none")]
        #[cfg_attr(test, ts(optional))]
        pub size: Option<WireSize>,
    }

    /// A size for a wire: `mm2` or `awg`.
    pub struct WireSize {
        /// Name of the wire.
        pub wire: String,
        /// Cross-section.
        pub mm2: Option<f64>,
        /// Gauge.
        pub awg: Option<i32>,
    }

    /// A situation.
    pub struct SituationOn {
        /// Name.
        pub name: String,
        /// What happens in it.
        pub note: Option<String>,
        /// Speed over ground.
        pub speed_m_s: f64,
        /// State of charge of every battery, 0 to 100.
        pub charge_percent: f64,
        /// Volume of its loudest amplifier, 0 to 100: 100 is the loudest activity that its type states, 0 the
        /// quietest, between them shares of what sound adds to its current. `None`: it has no amplifier.
        pub volume_percent: Option<f64>,
    }

    /// The robot in one situation.
    pub struct LoadsOn {
        /// Name of the situation.
        pub situation: String,
        /// Wires that something feeds.
        pub wires: Vec<WireInSituation>,
        /// Terminals that something feeds.
        pub terminals: Vec<TerminalInSituation>,
        /// Parts.
        pub parts: Vec<PartInSituation>,
    }

    /// A wire in a situation.
    pub struct WireInSituation {
        /// Name.
        pub name: String,
        /// Mean current, positive from its `from` to its `to`.
        pub current_a: f64,
        /// Mean voltage along it.
        pub drop_v: f64,
        /// Temperature of its conductor; `None`: hotter than the model holds.
        pub temperature_c: Option<f64>,
        /// What its insulation bears.
        pub limit_c: Option<f64>,
    }

    /// A terminal in a situation.
    pub struct TerminalInSituation {
        /// `part.terminal` or `plug.half.contact`.
        pub name: String,
        /// Against the negative pole of the battery that feeds it.
        pub voltage_v: f64,
    }

    /// A part in a situation.
    pub struct PartInSituation {
        /// Name.
        pub name: String,
        /// Electrical power it takes; negative when it gives.
        pub power_w: f64,
    }

    /// A place off the board.
    pub struct ZoneOn {
        /// Name.
        pub name: String,
        /// Names of the parts in it.
        pub parts: Vec<String>,
    }

    /// A part off the board.
    pub struct OffBoard {
        /// Name.
        pub name: String,
        /// Name of its type.
        pub kind: String,
        /// Title of its type.
        pub title: String,
        /// The zone it is in.
        pub zone: String,
        /// Names of its terminals.
        pub terminals: Vec<String>,
    }

    /// The power diagram as SVG, for each theme.
    pub struct DiagramOn {
        /// On paper; empty: not drawn yet.
        pub paper: String,
        /// On slate; empty: not drawn yet.
        pub slate: String,
    }

    /// A plot that can be asked for.
    pub struct PlotOn {
        /// Its name in the address.
        pub name: String,
        /// What it shows.
        pub title: String,
    }
}
