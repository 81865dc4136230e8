//! Quantities with their unit in the type.
//!
//! A quantity is a finite `f64` in one fixed unit. Inside a solver's loop plain `f64` is fine; at a
//! crate's interface these types are used, so that a length never meets a current by mistake.

use serde::Serialize;
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

macro_rules! quantity {
    ($(#[$meta:meta])* $name:ident, $symbol:literal $(, small: ($below:literal, $factor:literal, $small:literal))?) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize)]
        #[serde(transparent)]
        pub struct $name(pub f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);
            /// The symbol printed behind a value.
            pub const SYMBOL: &'static str = $symbol;

            /// The bare number, in the unit of the type.
            pub const fn value(self) -> f64 {
                self.0
            }
            /// Size without sign.
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }
            /// The larger of the two.
            pub fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }
            /// The smaller of the two.
            pub fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }
        }

        impl fmt::Display for $name {
            /// Writes no more digits than are useful (three significant ones, or the precision
            /// asked for), a thin space and the unit: a smaller one where the number would begin with zeros
            /// and the trade uses it.
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                match f.precision() {
                    Some(p) => write!(f, "{:.*}\u{2009}{}", p, self.0, $symbol),
                    $(None if self.0 != 0.0 && self.0.abs() < $below => {
                        write!(f, "{}\u{2009}{}", three_digits($factor * self.0), $small)
                    })?
                    None => write!(f, "{}\u{2009}{}", three_digits(self.0), $symbol),
                }
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, factor: f64) -> Self {
                Self(self.0 / factor)
            }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
                Self(iter.map(|q| q.0).sum())
            }
        }
    };
}

quantity!(
    /// Length.
    Millimetres, "mm");
quantity!(
    /// Area, also the cross-section of a conductor.
    SquareMillimetres, "mm²");
quantity!(
    /// Area of a surface.
    SquareMetres, "m²");
quantity!(
    /// Flow of a volume of air.
    CubicMetresPerHour, "m³/h");
quantity!(
    /// Electric current.
    Amperes, "A");
quantity!(
    /// Electric potential difference.
    Volts, "V");
quantity!(
    /// Resistance.
    Ohms, "Ω");
quantity!(
    /// Temperature on the Celsius scale, also a difference of temperatures.
    Celsius, "°C");
quantity!(
    /// Power.
    Watts, "W");
quantity!(
    /// Time.
    Seconds, "s", small: (0.1, 1000.0, "ms"));
quantity!(
    /// Mass.
    Kilograms, "kg");
quantity!(
    /// Electric charge as batteries state it.
    AmpereHours, "Ah");
quantity!(
    /// Energy as batteries state it.
    WattHours, "Wh");
quantity!(
    /// Capacitance.
    Farads, "F");
quantity!(
    /// Plane angle, counter-clockwise positive.
    Degrees, "°");
quantity!(
    /// Speed over ground.
    MetresPerSecond, "m/s");
quantity!(
    /// Torque.
    NewtonMetres, "N·m");

impl Mul<Ohms> for Amperes {
    type Output = Volts;
    fn mul(self, r: Ohms) -> Volts {
        Volts(self.0 * r.0)
    }
}
impl Mul<Amperes> for Volts {
    type Output = Watts;
    fn mul(self, i: Amperes) -> Watts {
        Watts(self.0 * i.0)
    }
}
impl Div<Ohms> for Volts {
    type Output = Amperes;
    fn div(self, r: Ohms) -> Amperes {
        Amperes(self.0 / r.0)
    }
}
impl Div<Amperes> for Volts {
    type Output = Ohms;
    fn div(self, i: Amperes) -> Ohms {
        Ohms(self.0 / i.0)
    }
}

/// A number with three significant digits at most, without trailing zeros behind the point and
/// without an exponent: `0.0123`, `4.5`, `18.2`, `1240`.
pub fn three_digits(x: f64) -> String {
    if x == 0.0 || !x.is_finite() {
        return format!("{x}").replace("-0", "0");
    }
    let magnitude = x.abs().log10().floor();
    let decimals = (2.0 - magnitude).clamp(0.0, 9.0) as usize;
    let text = format!("{x:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    };
    if text == "-0" { "0".to_owned() } else { text }
}

/// A text in which every length printed by this module (`12.5 mm`) stands in inches. Areas and wire
/// sizes (`mm²`) stay as they are.
pub fn in_inches(text: &str) -> String {
    const UNIT: &str = "\u{2009}mm";
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(UNIT) {
        let (before, after) = (&rest[..at], &rest[at + UNIT.len()..]);
        let digits = before.len()
            - before.chars().rev().take_while(|c| c.is_ascii_digit() || *c == '.' || *c == '-').count();
        let is_length = !after.starts_with(|c: char| c.is_alphanumeric() || c == '²' || c == '³');
        match before[digits..].parse::<f64>() {
            Ok(mm) if is_length => {
                out.push_str(&before[..digits]);
                out.push_str(&inches(mm));
            }
            _ => {
                out.push_str(before);
                out.push_str(UNIT);
            }
        }
        rest = after;
    }
    out.push_str(rest);
    out
}

/// A length in inches: two decimals from an inch on, three below.
pub fn inches(mm: f64) -> String {
    let inch = mm / MM_PER_INCH;
    if inch.abs() >= 1.0 { format!("{inch:.2}\u{2009}in") } else { format!("{inch:.3}\u{2009}in") }
}

/// One inch in millimetres (exact).
pub const MM_PER_INCH: f64 = 25.4;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_digits_are_enough() {
        for (x, text) in [
            (0.0, "0"),
            (0.01234, "0.0123"),
            (4.5, "4.5"),
            (18.249, "18.2"),
            (1240.4, "1240"),
            (-0.5, "-0.5"),
            (99.96, "100"),
            (-0.0, "0"),
        ] {
            assert_eq!(three_digits(x), text, "{x}");
        }
    }

    #[test]
    fn short_times_are_told_in_milliseconds() {
        for (x, text) in
            [(0.0, "0 s"), (0.00573, "5.73 ms"), (-0.02, "-20 ms"), (0.1, "0.1 s"), (3.0, "3 s")]
        {
            assert_eq!(Seconds(x).to_string().replace('\u{2009}', " "), text);
        }
        assert_eq!(
            format!("{:.1}", Seconds(0.04)).replace('\u{2009}', " "),
            "0.0 s",
            "as was asked for"
        );
    }

    #[test]
    fn lengths_in_a_text_turn_into_inches_and_nothing_else_does() {
        let text = format!(
            "{} too far, {} wide, {}",
            Millimetres(12.7),
            Millimetres(254.0),
            SquareMillimetres(1.5)
        );
        assert_eq!(in_inches(&text), "0.500\u{2009}in too far, 10.00\u{2009}in wide, 1.5\u{2009}mm²");
        assert_eq!(in_inches("no numbers\u{2009}mm"), "no numbers\u{2009}mm");
    }

    #[test]
    fn a_value_is_printed_with_a_thin_space_and_its_unit() {
        assert_eq!(Amperes(18.2).to_string(), "18.2\u{2009}A");
        assert_eq!(format!("{:.1}", Celsius(94.0)), "94.0\u{2009}°C");
    }
}
