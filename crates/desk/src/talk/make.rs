//! How a robot is made, as pages are told, and what of it is ticked off.

use super::Face;
use serde::{Deserialize, Serialize};
#[cfg(test)]
use ts_rs::TS;

shown! {
    /// How it is made. Keys stay the same while other things come and go, so that ticks find them again.
    pub struct MakeOn {
        /// Paper that the book is set for.
        pub paper: String,
        /// Which edges distances of holes are from, looking at the front.
        pub measured: String,
        /// The order of work.
        pub steps: Vec<StepOn>,
        /// The drill plan, tool by tool.
        pub stages: Vec<StageOn>,
        /// Wires to cut, reel by reel.
        pub cuts: Vec<CutOn>,
        /// What holds each part.
        pub fasteners: Vec<FastenerOn>,
        /// What to buy.
        pub shopping: Vec<ShopOn>,
    }

    /// A step of the order of work.
    pub struct StepOn {
        /// Names it.
        pub key: String,
        /// From 1. Its picture is `step-` with this number.
        pub number: usize,
        /// Which part of the work it belongs to.
        pub group: String,
        /// What is done, in a few words.
        pub heading: String,
        /// What to do with the board first; empty: nothing.
        pub turn: String,
        /// The face that is up.
        pub face: Option<Face>,
        /// How, in sentences.
        pub words: Vec<String>,
        /// Parts and plugs that come.
        pub parts: Vec<String>,
        /// Wires that come.
        pub wires: Vec<String>,
        /// Tools.
        pub tools: Vec<String>,
        /// Hardware, with counts.
        pub hardware: Vec<String>,
        /// Torques, where they are stated.
        pub torques: Vec<String>,
        /// What to watch.
        pub watch: Vec<String>,
        /// What can hurt.
        pub cautions: Vec<String>,
        /// Stages of the drill plan that it is, by number.
        pub stages: Vec<usize>,
    }

    /// One tool of the drill plan at work.
    pub struct StageOn {
        /// Names it.
        pub key: String,
        /// From 1. Its picture is `drill-` with this number.
        pub number: usize,
        /// What is done.
        pub work: String,
        /// With what.
        pub tool: String,
        /// How the board lies.
        pub lies: String,
        /// The board is turned over before it.
        pub turn_over: bool,
        /// Turns a minute to start at.
        pub rpm: Option<[f64; 2]>,
        /// What lies under or behind the board; empty: nothing.
        pub backing: String,
        /// The holes in order, those of one size together.
        pub stops: Vec<String>,
        /// How many places that is.
        pub count: usize,
        /// What to heed.
        pub cautions: Vec<String>,
    }

    /// A wire to cut.
    pub struct CutOn {
        /// Name of the wire.
        pub wire: String,
        /// Its reel, or the cable whose core it is.
        pub reel: String,
        /// Colour of its insulation, `#rrggbb`.
        pub colour: String,
        /// Length; 0: nothing to cut.
        pub cut_mm: f64,
        /// One end.
        pub from: EndOn,
        /// The other.
        pub to: EndOn,
        /// What to heed before cutting; empty: nothing.
        pub note: String,
    }

    /// An end of a wire.
    pub struct EndOn {
        /// Where it lands.
        pub at: String,
        /// What is fitted.
        pub fit: String,
        /// Insulation to strip.
        pub strip_mm: f64,
    }

    /// What holds a part: equal stacks together.
    pub struct FastenerOn {
        /// Names it.
        pub key: String,
        /// What it holds.
        pub of: String,
        /// Numbers of the holes; empty: stuck on.
        pub holes: Vec<usize>,
        /// Pieces from the screw's head on.
        pub pieces: Vec<String>,
        /// From which face it is turned; empty: no screw.
        pub turned_from: String,
        /// Standard lengths fit.
        pub fits: bool,
    }

    /// Something to buy.
    pub struct ShopOn {
        /// Shelf of the shop.
        pub group: String,
        /// The thing.
        pub item: String,
        /// How much is needed.
        pub needed: f64,
        /// How much to buy.
        pub buy: f64,
        /// Of what: pieces, m, ft.
        pub unit: String,
        /// Which spare was added, and where it is used.
        pub note: String,
    }

    /// A picture, as `/picture/THEME/NAME` gives it.
    pub struct Picture {
        /// SVG.
        pub svg: String,
        /// What its numbers stand for, from 1.
        pub keys: Vec<String>,
    }
}

/// What is ticked off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(test, derive(TS))]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum TickList {
    Step,
    Stage,
    Cut,
    Fastener,
    Shopping,
}

/// Something that is ticked off.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(test, derive(TS))]
#[serde(deny_unknown_fields)]
pub struct Tick {
    /// Of which list.
    pub list: TickList,
    /// Its key in that list.
    pub name: String,
    /// How it was when it was ticked: of a cut, its length.
    #[serde(default)]
    pub said: String,
}
