//! Seats in the board: cones for countersunk heads, pockets for captive nuts.

use loomdeck_model::part_type::{Head, Thread};
use loomdeck_model::units::{Degrees, MM_PER_INCH, Millimetres};
use loomdeck_model::{Face, LengthUnit, Material};
use loomdeck_space::{hardware, held};

/// A conical seat for a screw's head.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Countersink {
    /// From this face.
    pub face: Face,
    /// Diameter at the face.
    pub diameter: Millimetres,
    /// Full angle.
    pub angle: Degrees,
    /// How far the largest head of the standard lies below the face.
    pub below: Millimetres,
}

/// A head that is a little below the face never stands proud of it.
const BELOW: Millimetres = Millimetres(0.1);

impl Countersink {
    /// The seat of a head, a tenth of a millimetre below flush.
    ///
    /// The cone is as wide at the face as the head's own cone would be with a sharp rim, d + 2·k·tan(α/2) with
    /// the thread's outside diameter d and the head's height k: the rim of a real head is cut back from
    /// that (ISO 7046-2: M4 8.4 mm instead of 9.4), and a seat no wider than the real rim leaves the head
    /// standing proud. Metric heads have 90°, inch ones 82° (ASME B18.6.3). With ISO 273 medium holes this gives
    /// the seats of ISO 15065 (from memory).
    pub fn of(thread: Thread, face: Face) -> Self {
        let angle = angle(thread);
        let sharp =
            thread.major() + hardware::head(thread, Head::Countersunk).height * (2.0 * half_tan(angle));
        Self { face, diameter: sharp + BELOW * (2.0 * half_tan(angle)), angle, below: BELOW }
    }
    /// Depth of the cone around a hole of this diameter.
    pub fn depth_in(&self, hole: Millimetres) -> Millimetres {
        Millimetres(((self.diameter - hole).0 / 2.0 / half_tan(self.angle)).max(0.0))
    }
}

/// Full angle of a countersunk head.
pub const fn angle(thread: Thread) -> Degrees {
    Degrees(if thread.is_inch() { 82.0 } else { 90.0 })
}

fn half_tan(angle: Degrees) -> f64 {
    (angle.0 / 2.0).to_radians().tan()
}

/// How much deeper a countersunk socket head wants its seat than a cross-recessed one, when it does:
/// its cone is higher (k of ISO 10642 against ISO 7046-2).
pub fn deeper_for_socket(thread: Thread) -> Option<Millimetres> {
    let socket = match thread {
        Thread::M3 => 1.86,
        Thread::M4 => 2.48,
        Thread::M5 => 3.10,
        Thread::M6 => 3.72,
        _ => return None,
    };
    let more = socket - hardware::head(thread, Head::Countersunk).height.0;
    (more > 0.0).then_some(Millimetres(more))
}

/// A flat-bottomed pocket in which a captive nut lies flush.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pocket {
    /// From this face.
    pub face: Face,
    /// Diameter.
    pub diameter: Millimetres,
    /// Depth.
    pub depth: Millimetres,
    /// The nut's corners bite into its wall; `false`: the sheet would crack, and the nut is glued in.
    pub bites: bool,
}

impl Pocket {
    /// In soft sheet the widest bit whose wall the nut's corners still bite into when it is pulled in with
    /// a bolt; in hard sheet, which would crack, the narrowest bit that the nut drops into, and glue
    /// (common practice, no source).
    ///
    /// As deep as the nut is high, less where the board is too thin ([`held::pocket`]).
    pub fn of(sunk: &held::Pocket, material: Material, unit: LengthUnit) -> Self {
        let step = match unit {
            LengthUnit::Mm => 1.0,
            LengthUnit::Inch => MM_PER_INCH / 16.0,
        };
        let bites = matches!(material, Material::Hdpe | Material::Plywood);
        let corners = sunk.across_corners.0;
        let narrow = ((corners - 0.05) / step).floor() * step;
        let wide = ((corners + 0.1) / step).ceil() * step;
        let fits = bites && narrow >= sunk.across_flats.0;
        let diameter = Millimetres(if fits { narrow } else { wide });
        Self { face: sunk.face, diameter, depth: sunk.depth, bites: fits }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Thread, hole, seat's diameter, its depth. Source: ISO 15065 (from memory), least diameter with
    /// the medium hole of ISO 273, and the depth with the greatest.
    const ISO_15065: [(Thread, f64, f64, f64); 8] = [
        (Thread::M2, 2.4, 4.4, 1.05),
        (Thread::M2_5, 2.9, 5.5, 1.35),
        (Thread::M3, 3.4, 6.3, 1.55),
        (Thread::M4, 4.5, 9.4, 2.55),
        (Thread::M5, 5.5, 10.4, 2.58),
        (Thread::M6, 6.6, 12.6, 3.13),
        (Thread::M8, 9.0, 17.3, 4.28),
        (Thread::M10, 11.0, 20.0, 4.65),
    ];

    #[test]
    fn seats_are_those_of_iso_15065() {
        for (thread, hole, diameter, depth) in ISO_15065 {
            let seat = Countersink::of(thread, Face::Back);
            let flush = (seat.diameter - seat.below * 2.0).0;
            assert!((flush - diameter).abs() < 0.01, "{}: {flush}", thread.word());
            assert_eq!(hardware::clearance_hole(thread, hardware::Fit::Normal).0, hole);
            let deep = seat.depth_in(Millimetres(hole)).0;
            assert!((deep - depth).abs() < 0.1, "{}: {deep}", thread.word());
        }
    }

    #[test]
    fn the_heads_of_iso_7046_and_10642_lie_below_or_as_far_proud_as_stated() {
        // ISO 7046-2: greatest diameter and height; ISO 10642: sharp diameter and height.
        let cross = [(Thread::M3, 5.5, 1.65), (Thread::M4, 8.4, 2.7), (Thread::M5, 9.3, 2.7)];
        for (thread, diameter, height) in cross {
            let seat = Countersink::of(thread, Face::Front);
            let sharp = thread.major().0 + 2.0 * height;
            assert!(seat.diameter.0 > sharp && sharp > diameter, "{}", thread.word());
            assert!(((seat.diameter.0 - sharp) / 2.0 - seat.below.0).abs() < 1e-9);
        }
        let socket = [(Thread::M3, 6.72), (Thread::M4, 8.96), (Thread::M5, 11.2), (Thread::M6, 13.44)];
        for (thread, sharp) in socket {
            let seat = Countersink::of(thread, Face::Front);
            let proud = (sharp - (seat.diameter.0 - 2.0 * seat.below.0)) / 2.0;
            let said = deeper_for_socket(thread).map_or(0.0, |m| m.0);
            assert!((proud.max(0.0) - said).abs() < 0.011, "{}: {proud} {said}", thread.word());
        }
    }

    #[test]
    fn inch_heads_have_their_own_cone() {
        // ASME B18.6.3: No. 4 head 0.067 in high; editions before 2003 print its sharp rim as 0.225 in.
        let seat = Countersink::of(Thread::No4, Face::Back);
        let flush = seat.diameter.0 - 2.0 * seat.below.0 * half_tan(seat.angle);
        assert!((flush / MM_PER_INCH - 0.225).abs() < 0.005, "{}", flush / MM_PER_INCH);
        assert_eq!(seat.angle, Degrees(82.0));
    }

    #[test]
    fn a_nut_bites_in_soft_sheet_and_drops_into_hard() {
        let pocket = |thread, material, unit| {
            let nut = hardware::nut(thread);
            let sunk = held::Pocket {
                face: Face::Back,
                across_flats: nut.across_flats,
                across_corners: nut.across_corners,
                depth: nut.height,
                proud: Millimetres::ZERO,
            };
            (nut, Pocket::of(&sunk, material, unit))
        };
        for thread in Thread::ALL {
            for unit in [LengthUnit::Mm, LengthUnit::Inch] {
                let (nut, soft) = pocket(thread, Material::Hdpe, unit);
                let (_, hard) = pocket(thread, Material::Acrylic, unit);
                assert!(soft.diameter >= nut.across_flats, "{}", thread.word());
                assert_eq!(soft.bites, soft.diameter < nut.across_corners, "{}", thread.word());
                assert!(hard.diameter > nut.across_corners && !hard.bites);
            }
        }
        // ISO 4032: M4 is 7 mm across flats and 8.08 across the sharp corners, 3.2 high.
        let (_, m4) = pocket(Thread::M4, Material::Plywood, LengthUnit::Mm);
        assert_eq!((m4.diameter, m4.bites, m4.depth), (Millimetres(8.0), true, Millimetres(3.2)));
    }
}
