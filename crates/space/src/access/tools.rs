//! Sizes of tools and hands.
//!
//! Where a standard fixes a size it is named; the rest is common practice, no source, and errs towards
//! the larger tool.

use crate::hardware;
use loomdeck_model::part_type::{Head, Thread};

/// Diameter of the room a closed hand takes around a handle, mm. Common practice, no source: a man's
/// fist is 85 to 100 mm over the knuckles, a little less round a thin handle.
pub const FIST: f64 = 80.0;
/// Length of a handle with the hand on it, mm (common practice, no source).
pub const GRIP: f64 = 100.0;
/// Diameter of a driver's handle held by the fingertips, mm (common practice, no source).
pub const HANDLE: f64 = 32.0;
/// Thickness of a finger with some air, mm. Common practice, no source: index fingers of men are up to
/// 23 mm wide at the knuckle, 18 mm at the tip.
pub const FINGER: f64 = 20.0;
/// Rod that pushes something out from behind, mm (common practice, no source).
pub const ROD: f64 = 5.0;

/// A straight driver: a shaft with a handle at its end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Driver {
    /// Diameter of what turns in front of the handle, mm.
    pub shaft: f64,
    /// Its length, mm.
    pub length: f64,
}

/// Screwdriver for a cross recess. Point by thread: ISO 7045 and ISO 7046-2 (from memory); shafts by point
/// as the trade sells them (0: 3, 1: 5, 2: 6, 3: 8 mm), with the usual lengths 60, 80, 100 and 150 mm.
pub const fn screwdriver(thread: Thread) -> Driver {
    match thread {
        Thread::M2 => Driver { shaft: 3.0, length: 60.0 },
        Thread::M2_5 | Thread::M3 | Thread::No4 => Driver { shaft: 5.0, length: 80.0 },
        Thread::M4 | Thread::M5 | Thread::No6 | Thread::No8 | Thread::No10 => {
            Driver { shaft: 6.0, length: 100.0 }
        }
        Thread::M6 | Thread::M8 | Thread::M10 => Driver { shaft: 8.0, length: 150.0 },
    }
}

/// Screwdriver for the clamp screw of a terminal that takes wire up to this section, mm². Common
/// practice, no source: 2.5 × 75 up to 1.5 mm², 3.5 × 100 up to 4 mm², 5.5 × 125 up to 16 mm², then 8 × 150.
pub const fn terminal_driver(thickest: f64) -> Driver {
    match thickest {
        a if a <= 1.5 => Driver { shaft: 3.0, length: 75.0 },
        a if a <= 4.0 => Driver { shaft: 4.0, length: 100.0 },
        a if a <= 16.0 => Driver { shaft: 6.0, length: 125.0 },
        _ => Driver { shaft: 8.0, length: 150.0 },
    }
}

/// An L-shaped hex key, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HexKey {
    /// Across the corners of the key.
    pub shaft: f64,
    /// Long arm.
    pub long: f64,
    /// Short arm.
    pub short: f64,
}

/// Hex key for a socket head. Key by thread: ISO 4762 (M3 2.5, M4 3, M5 4, M6 5, M8 6, M10 8), inch keys
/// ASME B18.3, the latter from memory; arms by key: ISO 2936 (from memory).
pub fn hex_key(thread: Thread) -> HexKey {
    let (flats, long, short) = match thread {
        Thread::M2 => (1.5, 46.5, 15.5),
        Thread::M2_5 => (2.0, 52.0, 18.0),
        Thread::M3 | Thread::No4 => (2.5, 58.5, 20.5),
        Thread::M4 | Thread::No6 => (3.0, 66.0, 23.0),
        Thread::No8 => (3.6, 70.0, 26.0),
        Thread::M5 | Thread::No10 => (4.0, 74.0, 29.0),
        Thread::M6 => (5.0, 85.0, 33.0),
        Thread::M8 => (6.0, 96.0, 38.0),
        Thread::M10 => (8.0, 108.0, 44.0),
    };
    HexKey { shaft: flats * 2.0 / 3f64.sqrt(), long, short }
}

/// Outside diameter of a socket or nut driver for a nut. ISO 2725-1 allows (from memory) 8.8 mm for
/// 5.5, 11 for 7, 12.2 for 8, 14.7 for 10 and 18.5 for 13 across flats; 1.25 × flats + 2.2 holds all of
/// them.
pub fn socket(thread: Thread) -> f64 {
    1.25 * hardware::nut(thread).across_flats.0 + 2.2
}

/// Length of a nut driver in front of its handle, mm (common practice, no source).
pub const NUT_DRIVER: f64 = 125.0;

/// An open spanner lying on its nut, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spanner {
    /// Width of its jaw.
    pub head: f64,
    /// Thickness.
    pub thickness: f64,
    /// Length from the nut.
    pub length: f64,
    /// Width of its handle.
    pub handle: f64,
}

/// Open spanner for a nut. Common practice, no source: jaws are some 2.1 × flats + 3 wide (10 mm: 24),
/// 0.4 × flats + 1.5 thick and 12 × flats + 30 long.
pub fn spanner(thread: Thread) -> Spanner {
    let s = hardware::nut(thread).across_flats.0;
    Spanner {
        head: 2.1 * s + 3.0,
        thickness: 0.4 * s + 1.5,
        length: 12.0 * s + 30.0,
        handle: 1.0 * s + 3.0,
    }
}

/// Angle through which an open spanner must swing before it can take the nut anew, degrees: its jaw is
/// set at 15°, so that turned over it takes hold every 30° (common practice; ISO 3318 sets 15°, from
/// memory).
pub const SWING: f64 = 30.0;

/// How far a head's tool sits over it: the widest of head and shaft.
pub fn over_head(thread: Thread, head: Head, shaft: f64) -> f64 {
    hardware::head(thread, head).diameter.0.max(shaft)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 2725-1, largest outside diameters (from memory).
    #[test]
    fn sockets_hold_the_printed_ones() {
        for (thread, printed) in [
            (Thread::M3, 8.8),
            (Thread::M4, 11.0),
            (Thread::M5, 12.2),
            (Thread::M6, 14.7),
            (Thread::M8, 18.5),
        ] {
            let ours = socket(thread);
            assert!(ours >= printed - 0.1 && ours < printed + 1.0, "{}: {ours}", thread.word());
        }
    }

    #[test]
    fn tools_grow_with_the_thread() {
        let metric: Vec<Thread> = Thread::ALL.into_iter().filter(|t| !t.is_inch()).collect();
        for pair in metric.windows(2) {
            assert!(screwdriver(pair[0]).shaft <= screwdriver(pair[1]).shaft);
            assert!(hex_key(pair[0]).long < hex_key(pair[1]).long);
            assert!(spanner(pair[0]).length <= spanner(pair[1]).length);
        }
        for t in Thread::ALL {
            assert!(socket(t) > hardware::nut(t).across_corners.0, "{}", t.word());
            // A key fits into its head.
            assert!(hex_key(t).shaft < hardware::head(t, Head::Socket).diameter.0, "{}", t.word());
        }
    }
}
