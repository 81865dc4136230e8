//! How wide a hole in the board is drilled: what its use allows, and the bit that is taken.

use crate::bit::{Bit, Found};
use crate::hardware::{self, Fit};
use loomdeck_model::part_type::{Fixing, FixingStyle, MountHole, Thread};
use loomdeck_model::units::{Degrees, Millimetres};
use loomdeck_model::{BoardMount, LengthUnit, PassShape, Point};

/// Centres closer than this are the same hole: no hand drills them apart, mm.
pub const MERGE_WITHIN: f64 = 0.1;

/// How much wider an opening may be than it is drawn.
pub const OPENING_MORE: Millimetres = Millimetres(0.5);

/// The diameters that do for one use of a hole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoleSize {
    /// Smallest.
    pub least: Millimetres,
    /// Best.
    pub aim: Millimetres,
    /// Largest.
    pub most: Millimetres,
}

impl HoleSize {
    /// A clearance hole: from the fine to the coarse of ISO 273 or of inch charts.
    pub const fn clearance(thread: Thread) -> Self {
        Self {
            least: hardware::clearance_hole(thread, Fit::Close),
            aim: hardware::clearance_hole(thread, Fit::Normal),
            most: hardware::clearance_hole(thread, Fit::Loose),
        }
    }

    /// The hole of a bolt that holds the board: its clearance hole, or wider where the builder says so.
    pub fn of_mount(mount: &BoardMount) -> Self {
        mount.hole.map_or(Self::clearance(mount.thread), Self::opening)
    }

    /// A hole for a fixing; `None` when nothing is drilled. Clearance for what goes through; the
    /// insert's hole with a tenth either way; a pilot of 0.7 of the thread for a wood screw, with a
    /// quarter of a millimetre either way (common practice); without thread the part's own hole and
    /// half a millimetre more.
    pub fn of_fixing(fixing: &Fixing, hole: &MountHole) -> Option<Self> {
        if !fixing.style.needs_hole() {
            return None;
        }
        let around = |aim: Millimetres, less: f64, more: f64| Self {
            least: aim - Millimetres(less),
            aim,
            most: aim + Millimetres(more),
        };
        Some(match (fixing.style, fixing.thread) {
            (_, None) => around(hole.diameter, 0.0, 0.5),
            (FixingStyle::Insert, Some(t)) => around(hardware::insert_hole(t), 0.1, 0.1),
            (FixingStyle::WoodScrew, Some(t)) => around(t.major() * 0.7, 0.25, 0.25),
            (_, Some(t)) => Self::clearance(t),
        })
    }

    /// An opening of this diameter or width.
    pub fn opening(width: Millimetres) -> Self {
        Self { least: width, aim: width, most: width + OPENING_MORE }
    }

    /// The bit that makes it.
    pub fn bit(&self, unit: LengthUnit) -> Found {
        Bit::for_hole(unit, self.least, self.aim, self.most)
    }

    /// Diameter that is really drilled.
    pub fn drilled(&self, unit: LengthUnit) -> Millimetres {
        self.bit(unit).bit.diameter()
    }
}

/// Size of an opening, with length and turn when it is a slot.
pub fn of_pass(shape: PassShape) -> (HoleSize, Option<(Millimetres, Degrees)>) {
    match shape {
        PassShape::Round(d) => (HoleSize::opening(d), None),
        PassShape::Slot { length, width, turn } if length > width => {
            (HoleSize::opening(width), Some((length, turn)))
        }
        PassShape::Rect { length, width, turn, .. } if length > width => {
            (HoleSize::opening(width), Some((length, turn)))
        }
        PassShape::Slot { width, .. } | PassShape::Rect { width, .. } => {
            (HoleSize::opening(width), None)
        }
    }
}

/// Centres of the end holes of a slot of this full length, cut with a bit of this diameter.
pub fn slot_ends(at: Point, length: Millimetres, bit: Millimetres, turn: Degrees) -> [Point; 2] {
    let half = ((length.0 - bit.0) / 2.0).max(0.0);
    let (s, c) = turn.0.to_radians().sin_cos();
    let along = |t: f64| Point::new(at.x + t * c, at.y + t * s);
    [along(-half), along(half)]
}
