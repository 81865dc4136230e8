//! Bits on sale: metric, inch fractions, number drills, and the tools for large openings.

use loomdeck_model::LengthUnit;
use loomdeck_model::units::{MM_PER_INCH, Millimetres, three_digits};
use serde::{Serialize, Serializer};
use std::fmt;

/// A drill bit or hole cutter, as written on its shank.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub enum Bit {
    /// Twist drill, diameter in mm.
    Metric(f64),
    /// Twist drill, inches as numerator over denominator.
    Fraction(u32, u32),
    /// Number drill of the inch system, 1 to 80.
    Number(u32),
    /// Spur or brad-point bit, for openings in sheet up to 16 mm; diameter in mm.
    Spur(f64),
    /// Saw-tooth bit or hole saw, for larger openings; diameter in mm.
    SawTooth(f64),
    /// The same, inches as numerator over denominator.
    SawToothInch(u32, u32),
}

/// Inch fractions stand for a whole number of sixty-fourths.
const SIXTY_FOURTHS: f64 = 64.0;

/// Number drills from No. 1 to No. 60, inches. Source: ASME B94.11M, standard twist drill sizes
/// (from memory; the four tap drills among them are checked against printed charts below).
const NUMBERS: [f64; 60] = [
    0.2280, 0.2210, 0.2130, 0.2090, 0.2055, 0.2040, 0.2010, 0.1990, 0.1960, 0.1935, 0.1910, 0.1890,
    0.1850, 0.1820, 0.1800, 0.1770, 0.1730, 0.1695, 0.1660, 0.1610, 0.1590, 0.1570, 0.1540, 0.1520,
    0.1495, 0.1470, 0.1440, 0.1405, 0.1360, 0.1285, 0.1200, 0.1160, 0.1130, 0.1110, 0.1100, 0.1065,
    0.1040, 0.1015, 0.0995, 0.0980, 0.0960, 0.0935, 0.0890, 0.0860, 0.0820, 0.0810, 0.0785, 0.0760,
    0.0730, 0.0700, 0.0670, 0.0635, 0.0595, 0.0550, 0.0520, 0.0465, 0.0430, 0.0420, 0.0410, 0.0400,
];

/// Largest twist drill that a hand drill's chuck takes, mm.
const CHUCK: f64 = 13.0;

/// Twist drills of an ordinary metric set: half millimetres from 1 to 13 (common practice).
fn metric_set() -> impl Iterator<Item = Bit> {
    (2..=26).map(|n| Bit::Metric(f64::from(n) / 2.0))
}

/// Every metric twist drill a shop sells singly: tenths of a millimetre from 0.5 to 13.
fn metric_single() -> impl Iterator<Item = Bit> {
    (5..=130).map(|n| Bit::Metric(f64::from(n) / 10.0))
}

/// Twist drills of an ordinary inch set: sixty-fourths from 1/16 to 1/2 (common practice).
fn inch_set() -> impl Iterator<Item = Bit> {
    (4..=32).map(Bit::sixty_fourths)
}

/// Number drills.
fn inch_single() -> impl Iterator<Item = Bit> {
    (1..=60).map(Bit::Number)
}

/// Spur bits up to 16 mm, above that saw-tooth bits and hole saws (sizes commonly on sale: common
/// practice, no single source).
const CUTTERS_MM: [u32; 53] = [
    14, 15, 16, 17, 18, 19, 20, 21, 22, 23, 24, 25, 26, 27, 28, 29, 30, 32, 33, 35, 37, 38, 40, 41, 43,
    44, 45, 46, 48, 50, 51, 52, 54, 55, 57, 59, 60, 64, 65, 67, 68, 70, 73, 76, 79, 80, 83, 86, 89, 92,
    95, 98, 102,
];

/// The same in the inch system, in sixteenths of an inch: every one up to 1 1/2, then eighths, then
/// quarters (common practice, no single source).
const CUTTERS_SIXTEENTHS: [u32; 29] = [
    9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23, 24, 26, 28, 30, 32, 34, 36, 38, 40, 44,
    48, 52, 56, 64,
];

fn metric_cutters() -> impl Iterator<Item = Bit> {
    CUTTERS_MM
        .iter()
        .map(|d| if *d <= 16 { Bit::Spur(f64::from(*d)) } else { Bit::SawTooth(f64::from(*d)) })
}

fn inch_cutters() -> impl Iterator<Item = Bit> {
    CUTTERS_SIXTEENTHS.iter().map(|n| Bit::saw_tooth(*n))
}

/// Cutters of a book in this unit. Hole saws in inches are sold where millimetres are used, not the
/// other way round.
fn cutters(unit: LengthUnit) -> Vec<Bit> {
    match unit {
        LengthUnit::Mm => metric_cutters().chain(inch_cutters()).collect(),
        LengthUnit::Inch => inch_cutters().collect(),
    }
}

/// A bit that was found, and whether an ordinary set contains it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Found {
    /// The bit.
    pub bit: Bit,
    /// It comes in an ordinary set; otherwise it is bought singly, or no bit on sale fits and
    /// `bit` is the nearest larger one.
    pub ordinary: bool,
    /// Its diameter lies within the window that was asked for.
    pub fits: bool,
}

impl Bit {
    fn sixty_fourths(n: u32) -> Self {
        let (n, d) = reduce(n, 64);
        Self::Fraction(n, d)
    }
    fn saw_tooth(sixteenths: u32) -> Self {
        let (n, d) = reduce(sixteenths, 16);
        Self::SawToothInch(n, d)
    }

    /// Diameter it cuts.
    pub fn diameter(self) -> Millimetres {
        Millimetres(match self {
            Self::Metric(d) | Self::Spur(d) | Self::SawTooth(d) => d,
            Self::Fraction(n, d) | Self::SawToothInch(n, d) => f64::from(n) / f64::from(d) * MM_PER_INCH,
            Self::Number(n) => NUMBERS.get(n as usize - 1).copied().unwrap_or(0.0) * MM_PER_INCH,
        })
    }

    /// Its size as written on it, without what kind of bit it is: `19 mm or 3/4 in`. A metric cutter
    /// names the inch size that differs by a tenth of a millimetre at most.
    pub fn size_word(self) -> String {
        match self {
            Self::Metric(d) => format!("{}\u{2009}mm", three_digits(d)),
            Self::Fraction(n, d) | Self::SawToothInch(n, d) => format!("{}\u{2009}in", mixed(n, d)),
            Self::Number(n) => format!("No. {n}"),
            Self::Spur(d) | Self::SawTooth(d) => {
                let same = inch_cutters().find(|b| (b.diameter().0 - d).abs() < 0.1 + FUZZ);
                let or = same.map_or_else(String::new, |b| format!(" or {}", b.size_word()));
                format!("{}\u{2009}mm{or}", three_digits(d))
            }
        }
    }

    /// It cuts an opening rather than drills a hole: needs a pilot, and both faces.
    pub const fn is_cutter(self) -> bool {
        matches!(self, Self::Spur(_) | Self::SawTooth(_) | Self::SawToothInch(..))
    }

    /// The bit for a hole whose diameter may lie from `least` to `most` and had best be `aim`:
    /// first from an ordinary set, then from those sold singly. When none fits, the smallest one on
    /// sale that is not smaller than `least`.
    pub fn for_hole(unit: LengthUnit, least: Millimetres, aim: Millimetres, most: Millimetres) -> Found {
        let (set, single): (Vec<Self>, Vec<Self>) = match unit {
            LengthUnit::Mm => (metric_set().collect(), metric_single().collect()),
            LengthUnit::Inch => (inch_set().collect(), inch_single().collect()),
        };
        let cutters = cutters(unit);
        let ordinary = nearest(set.iter().chain(&cutters), least, aim, most);
        if let Some(bit) = ordinary {
            return Found { bit, ordinary: true, fits: true };
        }
        if let Some(bit) = nearest(single.iter(), least, aim, most) {
            return Found { bit, ordinary: false, fits: true };
        }
        let all = || set.iter().chain(&single).chain(&cutters);
        let larger = all()
            .filter(|b| b.diameter().0 >= least.0 - FUZZ)
            .min_by(|a, b| a.diameter().0.total_cmp(&b.diameter().0));
        let bit = larger.copied().unwrap_or(match unit {
            LengthUnit::Mm => Self::SawTooth(aim.0),
            LengthUnit::Inch => {
                let (n, d) = reduce((aim.0 / MM_PER_INCH * SIXTY_FOURTHS).round().max(1.0) as u32, 64);
                Self::SawToothInch(n, d)
            }
        });
        Found { bit, ordinary: false, fits: false }
    }

    /// The pilot bit before a final one: about a third of it for twist drills beyond 6 mm, the usual
    /// 6 mm (1/4 in) centre drill for cutters; `None` for small bits (common practice).
    pub fn pilot(self, unit: LengthUnit) -> Option<Self> {
        let d = self.diameter().0;
        let small = match unit {
            LengthUnit::Mm => Self::Metric(3.0),
            LengthUnit::Inch => Self::sixty_fourths(8),
        };
        let centre = match unit {
            LengthUnit::Mm => Self::Metric(6.0),
            LengthUnit::Inch => Self::sixty_fourths(16),
        };
        if self.is_cutter() || d > CHUCK {
            Some(centre)
        } else if d > 6.0 {
            Some(small)
        } else {
            None
        }
    }
}

/// Rounding of decimal inches in millimetres, mm.
const FUZZ: f64 = 1e-6;

fn nearest<'a>(
    bits: impl Iterator<Item = &'a Bit>,
    least: Millimetres,
    aim: Millimetres,
    most: Millimetres,
) -> Option<Bit> {
    let off = |b: &Bit| (b.diameter().0 - aim.0).abs();
    bits.filter(|b| (least.0 - FUZZ..=most.0 + FUZZ).contains(&b.diameter().0))
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .copied()
}

const fn reduce(mut n: u32, mut d: u32) -> (u32, u32) {
    while n > 0 && n.is_multiple_of(2) && d.is_multiple_of(2) {
        n /= 2;
        d /= 2;
    }
    (n, d)
}

/// `3/4`, `1 1/8`, `2`.
fn mixed(n: u32, d: u32) -> String {
    match (n / d, n % d) {
        (whole, 0) => whole.to_string(),
        (0, rest) => format!("{rest}/{d}"),
        (whole, rest) => format!("{whole} {rest}/{d}"),
    }
}

/// A whole number of parts of an inch in lowest terms: `3/4 in`.
pub fn fraction_word(n: u32, d: u32) -> String {
    let (n, d) = reduce(n, d);
    format!("{}\u{2009}in", mixed(n, d))
}

impl fmt::Display for Bit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.size_word())?;
        f.write_str(match self {
            Self::Metric(_) | Self::Fraction(..) | Self::Number(_) => "",
            Self::Spur(_) => " spur bit",
            Self::SawTooth(_) | Self::SawToothInch(..) => " saw-tooth bit",
        })
    }
}

impl Serialize for Bit {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inch(x: f64) -> Millimetres {
        Millimetres(x * MM_PER_INCH)
    }

    #[test]
    fn fractions_are_exact() {
        // Arithmetic: 25.4 mm to the inch, exactly.
        for (n, mm, text) in
            [(4, 1.5875, "1/16"), (9, 3.571_875, "9/64"), (12, 4.7625, "3/16"), (32, 12.7, "1/2")]
        {
            let bit = Bit::sixty_fourths(n);
            assert!((bit.diameter().0 - mm).abs() < 1e-9);
            assert_eq!(bit.to_string(), format!("{text}\u{2009}in"));
        }
    }

    #[test]
    fn number_drills_fall_and_match_the_printed_tap_drills() {
        for pair in NUMBERS.windows(2) {
            assert!(pair[0] > pair[1]);
        }
        // Tap-drill charts for 4-40, 6-32, 8-32, 10-24 (two printed charts agree).
        for (n, d) in [(43, 0.0890), (36, 0.1065), (29, 0.1360), (25, 0.1495)] {
            assert!((Bit::Number(n).diameter().0 / MM_PER_INCH - d).abs() < 1e-9);
        }
    }

    #[test]
    fn a_clearance_hole_finds_a_bit_of_the_set() {
        // ISO 273 fine, medium, coarse.
        for (fine, medium, coarse, bit) in [
            (2.2, 2.4, 2.6, 2.5),
            (2.7, 2.9, 3.1, 3.0),
            (3.2, 3.4, 3.6, 3.5),
            (4.3, 4.5, 4.8, 4.5),
            (5.3, 5.5, 5.8, 5.5),
            (6.4, 6.6, 7.0, 6.5),
        ] {
            let found = Bit::for_hole(
                LengthUnit::Mm,
                Millimetres(fine),
                Millimetres(medium),
                Millimetres(coarse),
            );
            assert_eq!(found, Found { bit: Bit::Metric(bit), ordinary: true, fits: true });
        }
    }

    #[test]
    fn an_inch_hole_takes_a_fraction_where_one_fits_and_a_number_where_none_does() {
        let eight = Bit::for_hole(LengthUnit::Inch, inch(0.1695), inch(0.1770), inch(0.1770));
        assert_eq!((eight.bit, eight.ordinary), (Bit::Fraction(11, 64), true));
        let six = Bit::for_hole(LengthUnit::Inch, inch(0.1440), inch(0.1495), inch(0.1495));
        assert_eq!((six.bit, six.ordinary, six.fits), (Bit::Number(25), false, true));
    }

    fn opening(unit: LengthUnit, d: f64) -> Found {
        Bit::for_hole(unit, Millimetres(d), Millimetres(d), Millimetres(d + 0.5))
    }

    #[test]
    fn a_size_that_nobody_sells_gets_the_next_larger() {
        let found = opening(LengthUnit::Mm, 42.0);
        assert_eq!(found, Found { bit: Bit::SawTooth(43.0), ordinary: false, fits: false });
        let huge = opening(LengthUnit::Mm, 190.0);
        assert_eq!((huge.bit, huge.fits), (Bit::SawTooth(190.0), false));
    }

    #[test]
    fn every_whole_millimetre_up_to_thirty_is_on_sale() {
        for d in 14..=30 {
            let found = opening(LengthUnit::Mm, f64::from(d));
            assert_eq!((found.bit.diameter().0, found.fits), (f64::from(d), true));
        }
    }

    #[test]
    fn an_inch_cutter_serves_where_it_fits_better() {
        // 3/4 in is 19.05 mm, 1 5/16 in 33.34 mm: exactly 25.4 mm to the inch.
        assert_eq!(
            opening(LengthUnit::Mm, 19.0).bit.to_string(),
            "19\u{2009}mm or 3/4\u{2009}in saw-tooth bit"
        );
        assert_eq!(opening(LengthUnit::Mm, 19.05).bit, Bit::SawToothInch(3, 4));
        assert_eq!(opening(LengthUnit::Mm, 33.3).bit, Bit::SawToothInch(21, 16));
        assert_eq!(opening(LengthUnit::Inch, 19.0).bit, Bit::SawToothInch(3, 4));
        assert_eq!(Bit::SawTooth(20.0).size_word(), "20\u{2009}mm");
    }

    #[test]
    fn cutters_come_in_rising_sizes() {
        assert!(CUTTERS_MM.windows(2).all(|p| p[0] < p[1]));
        assert!(CUTTERS_SIXTEENTHS.windows(2).all(|p| p[0] < p[1]));
    }

    #[test]
    fn words_are_those_of_the_workshop() {
        assert_eq!(Bit::saw_tooth(18).to_string(), "1 1/8\u{2009}in saw-tooth bit");
        assert_eq!(Bit::saw_tooth(32).to_string(), "2\u{2009}in saw-tooth bit");
        assert_eq!(Bit::Number(7).to_string(), "No. 7");
    }
}
