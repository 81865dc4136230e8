//! Sizes of screws, nuts and washers.
//!
//! Metric: clearance holes ISO 273 (1979); coarse pitch ISO 261; socket heads ISO 4762; countersunk
//! heads ISO 7046-2; pan heads ISO 7045; nuts ISO 4032 style 1; washers ISO 7089. The rows for M8
//! and M10, pan heads and the washers of M2 and M2.5 are from memory. Inch: flat heads ASME B18.6.3;
//! tap drills ASME B1.1; pan and socket heads, nuts, washers and clearance holes from memory.
//! Every size is the largest the standard allows, so that a clearance is never flattered.

use loomdeck_model::part_type::{Head, Thread};
use loomdeck_model::units::{MM_PER_INCH, Millimetres};

/// A screw's head.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeadSize {
    /// Largest diameter.
    pub diameter: Millimetres,
    /// Height above the bearing face; for a countersunk head the depth it sinks in.
    pub height: Millimetres,
    /// It sinks in flush.
    pub flush: bool,
}

impl HeadSize {
    /// How far it stands off the surface it is screwed down on.
    pub fn stands_off(self) -> Millimetres {
        if self.flush { Millimetres::ZERO } else { self.height }
    }
}

/// A hexagon nut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NutSize {
    /// Across flats: the spanner.
    pub across_flats: Millimetres,
    /// Across corners of a full hexagon: the circle it turns in.
    pub across_corners: Millimetres,
    /// Height.
    pub height: Millimetres,
}

/// A plain washer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WasherSize {
    /// Hole.
    pub inside: Millimetres,
    /// Outside diameter.
    pub outside: Millimetres,
    /// Thickness.
    pub thickness: Millimetres,
}

/// One row of the tables, mm.
struct Row {
    pitch: f64,
    clearance: [f64; 3],
    tap: f64,
    socket: (f64, f64),
    countersunk: (f64, f64),
    pan: (f64, f64),
    nut: (f64, f64),
    washer: (f64, f64, f64),
    insert_hole: f64,
}

const fn inch(x: f64) -> f64 {
    x * MM_PER_INCH
}

const fn inch2(a: f64, b: f64) -> (f64, f64) {
    (inch(a), inch(b))
}

const M2: Row = Row {
    pitch: 0.4,
    clearance: [2.2, 2.4, 2.6],
    tap: 1.6,
    socket: (3.8, 2.0),
    countersunk: (3.8, 1.2),
    pan: (4.0, 1.6),
    nut: (4.0, 1.6),
    washer: (2.2, 5.0, 0.3),
    insert_hole: 3.2,
};
const M2_5: Row = Row {
    pitch: 0.45,
    clearance: [2.7, 2.9, 3.1],
    tap: 2.05,
    socket: (4.5, 2.5),
    countersunk: (4.7, 1.5),
    pan: (5.0, 2.1),
    nut: (5.0, 2.0),
    washer: (2.7, 6.0, 0.5),
    insert_hole: 4.0,
};
const M3: Row = Row {
    pitch: 0.5,
    clearance: [3.2, 3.4, 3.6],
    tap: 2.5,
    socket: (5.5, 3.0),
    countersunk: (5.5, 1.65),
    pan: (5.6, 2.4),
    nut: (5.5, 2.4),
    washer: (3.2, 7.0, 0.5),
    insert_hole: 4.0,
};
const M4: Row = Row {
    pitch: 0.7,
    clearance: [4.3, 4.5, 4.8],
    tap: 3.3,
    socket: (7.0, 4.0),
    countersunk: (8.4, 2.7),
    pan: (8.0, 3.1),
    nut: (7.0, 3.2),
    washer: (4.3, 9.0, 0.8),
    insert_hole: 5.6,
};
const M5: Row = Row {
    pitch: 0.8,
    clearance: [5.3, 5.5, 5.8],
    tap: 4.2,
    socket: (8.5, 5.0),
    countersunk: (9.3, 2.7),
    pan: (9.5, 3.7),
    nut: (8.0, 4.7),
    washer: (5.3, 10.0, 1.0),
    insert_hole: 6.4,
};
const M6: Row = Row {
    pitch: 1.0,
    clearance: [6.4, 6.6, 7.0],
    tap: 5.0,
    socket: (10.0, 6.0),
    countersunk: (11.3, 3.3),
    pan: (12.0, 4.6),
    nut: (10.0, 5.2),
    washer: (6.4, 12.0, 1.6),
    insert_hole: 8.0,
};
const M8: Row = Row {
    pitch: 1.25,
    clearance: [8.4, 9.0, 10.0],
    tap: 6.8,
    socket: (13.0, 8.0),
    countersunk: (15.8, 4.65),
    pan: (16.0, 6.0),
    nut: (13.0, 6.8),
    washer: (8.4, 16.0, 1.6),
    insert_hole: 9.7,
};
const M10: Row = Row {
    pitch: 1.5,
    clearance: [10.5, 11.0, 12.0],
    tap: 8.5,
    socket: (16.0, 10.0),
    countersunk: (18.3, 5.0),
    pan: (20.0, 7.5),
    nut: (16.0, 8.4),
    washer: (10.5, 20.0, 2.0),
    insert_hole: 12.0,
};
const NO4: Row = Row {
    pitch: MM_PER_INCH / 40.0,
    clearance: [inch(0.1160), inch(0.1285), inch(0.1360)],
    tap: inch(0.0890),
    socket: inch2(0.183, 0.112),
    countersunk: inch2(0.212, 0.067),
    pan: inch2(0.219, 0.080),
    nut: inch2(0.250, 0.098),
    washer: (inch(0.125), inch(0.312), inch(0.040)),
    insert_hole: 4.0,
};
const NO6: Row = Row {
    pitch: MM_PER_INCH / 32.0,
    clearance: [inch(0.1440), inch(0.1495), inch(0.1695)],
    tap: inch(0.1065),
    socket: inch2(0.226, 0.138),
    countersunk: inch2(0.262, 0.083),
    pan: inch2(0.270, 0.097),
    nut: inch2(0.3125, 0.114),
    washer: (inch(0.156), inch(0.375), inch(0.065)),
    insert_hole: 4.8,
};
const NO8: Row = Row {
    pitch: MM_PER_INCH / 32.0,
    clearance: [inch(0.1695), inch(0.1770), inch(0.1960)],
    tap: inch(0.1360),
    socket: inch2(0.270, 0.164),
    countersunk: inch2(0.312, 0.100),
    pan: inch2(0.322, 0.115),
    nut: inch2(0.34375, 0.130),
    washer: (inch(0.188), inch(0.438), inch(0.065)),
    insert_hole: 5.6,
};
const NO10: Row = Row {
    pitch: MM_PER_INCH / 24.0,
    clearance: [inch(0.1960), inch(0.2010), inch(0.2210)],
    tap: inch(0.1495),
    socket: inch2(0.312, 0.190),
    countersunk: inch2(0.362, 0.116),
    pan: inch2(0.373, 0.133),
    nut: inch2(0.375, 0.130),
    washer: (inch(0.219), inch(0.500), inch(0.065)),
    insert_hole: 6.4,
};

const fn row(thread: Thread) -> &'static Row {
    match thread {
        Thread::M2 => &M2,
        Thread::M2_5 => &M2_5,
        Thread::M3 => &M3,
        Thread::M4 => &M4,
        Thread::M5 => &M5,
        Thread::M6 => &M6,
        Thread::M8 => &M8,
        Thread::M10 => &M10,
        Thread::No4 => &NO4,
        Thread::No6 => &NO6,
        Thread::No8 => &NO8,
        Thread::No10 => &NO10,
    }
}

/// How loosely a screw sits in its clearance hole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// ISO 273 fine (H12), or the close drill of inch charts.
    Close,
    /// ISO 273 medium (H13), or the free drill: what a hand-drilled board wants.
    Normal,
    /// ISO 273 coarse (H14), or the next drill of inch charts.
    Loose,
}

/// Diameter of a clearance hole.
pub const fn clearance_hole(thread: Thread, fit: Fit) -> Millimetres {
    Millimetres(row(thread).clearance[fit as usize])
}

/// Pitch of the coarse thread.
pub const fn pitch(thread: Thread) -> Millimetres {
    Millimetres(row(thread).pitch)
}

/// Drill for a tapped hole (about 75 % of the full thread).
pub const fn tap_drill(thread: Thread) -> Millimetres {
    Millimetres(row(thread).tap)
}

/// Hole for a threaded insert. Makers differ by some tenths; common practice, no source: the insert
/// at hand decides.
pub const fn insert_hole(thread: Thread) -> Millimetres {
    Millimetres(row(thread).insert_hole)
}

/// Length of a threaded insert: about twice its thread (common practice, no source).
pub fn insert_length(thread: Thread) -> Millimetres {
    thread.major() * 2.0
}

/// A screw's head.
pub const fn head(thread: Thread, head: Head) -> HeadSize {
    let r = row(thread);
    let ((diameter, height), flush) = match head {
        Head::Socket => (r.socket, false),
        Head::Countersunk => (r.countersunk, true),
        Head::Pan => (r.pan, false),
    };
    HeadSize { diameter: Millimetres(diameter), height: Millimetres(height), flush }
}

/// A hexagon nut. Across corners is flats × 2/√3, the sharp hexagon.
pub fn nut(thread: Thread) -> NutSize {
    let (flats, height) = row(thread).nut;
    NutSize {
        across_flats: Millimetres(flats),
        across_corners: Millimetres(flats * 2.0 / 3f64.sqrt()),
        height: Millimetres(height),
    }
}

/// A plain washer.
pub const fn washer(thread: Thread) -> WasherSize {
    let (inside, outside, thickness) = row(thread).washer;
    WasherSize {
        inside: Millimetres(inside),
        outside: Millimetres(outside),
        thickness: Millimetres(thickness),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_grow_with_the_thread() {
        let metric: Vec<Thread> = Thread::ALL.into_iter().filter(|t| !t.is_inch()).collect();
        for pair in metric.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            assert!(clearance_hole(a, Fit::Normal) < clearance_hole(b, Fit::Normal));
            assert!(head(a, Head::Socket).diameter < head(b, Head::Socket).diameter);
            assert!(nut(a).height < nut(b).height);
            assert!(washer(a).outside < washer(b).outside);
        }
    }

    #[test]
    fn a_thread_fits_its_own_hole_nut_and_washer() {
        for t in Thread::ALL {
            let major = t.major();
            assert!(clearance_hole(t, Fit::Close) > major, "{}", t.word());
            assert!(clearance_hole(t, Fit::Close) < clearance_hole(t, Fit::Normal));
            assert!(clearance_hole(t, Fit::Normal) < clearance_hole(t, Fit::Loose));
            assert!(tap_drill(t) < major);
            // A tap drill is the major diameter less one pitch, within a drill size.
            assert!((tap_drill(t) + pitch(t) - major).abs().0 < 0.25, "{}", t.word());
            assert!(washer(t).inside > major && washer(t).outside > nut(t).across_flats);
            assert!(head(t, Head::Pan).diameter > clearance_hole(t, Fit::Normal));
        }
    }

    /// ISO 273, ISO 4762, ISO 4032 and ISO 7089 as printed for M3 and M5.
    #[test]
    fn printed_rows() {
        assert_eq!(clearance_hole(Thread::M3, Fit::Normal), Millimetres(3.4));
        assert_eq!(head(Thread::M5, Head::Socket).diameter, Millimetres(8.5));
        // ISO 4032 prints 8.79 as the least across corners of M5; the sharp hexagon is larger.
        assert!(nut(Thread::M5).across_corners.0 > 8.79);
        assert_eq!(nut(Thread::M5).height, Millimetres(4.7));
        assert_eq!(washer(Thread::M4).outside, Millimetres(9.0));
    }
}
