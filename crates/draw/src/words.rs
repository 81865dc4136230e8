//! Quantities and names in the words of the book.

use loomdeck_model::LengthUnit;
use loomdeck_model::units::{MM_PER_INCH, three_digits};

/// A length: millimetres with at most one decimal, or inches with at most two.
pub fn length(mm: f64, unit: LengthUnit) -> String {
    format!("{}\u{2009}{}", length_number(mm, unit), unit_word(unit))
}

/// A length of many pieces together: metres or feet.
pub fn long(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Mm => format!("{}\u{2009}m", three_digits(mm / 1000.0)),
        LengthUnit::Inch => format!("{}\u{2009}ft", three_digits(mm / (12.0 * MM_PER_INCH))),
    }
}

/// The number of [`length`] alone.
pub fn length_number(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Mm => trimmed(format!("{mm:.1}")),
        LengthUnit::Inch => trimmed(format!("{:.2}", mm / MM_PER_INCH)),
    }
}

/// A position that is drilled by: always the same number of decimals, so that columns line up.
pub fn position(mm: f64, unit: LengthUnit) -> String {
    let text = match unit {
        LengthUnit::Mm => format!("{mm:.1}"),
        LengthUnit::Inch => format!("{:.3}", mm / MM_PER_INCH),
    };
    if text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
        text.replace('-', "")
    } else {
        text
    }
}

/// `mm` or `in`.
pub const fn unit_word(unit: LengthUnit) -> &'static str {
    match unit {
        LengthUnit::Mm => "mm",
        LengthUnit::Inch => "in",
    }
}

/// A time in the unit a person would use.
pub fn time(seconds: f64) -> String {
    if !seconds.is_finite() {
        return "for ever".to_owned();
    }
    if seconds <= 0.0 {
        "0\u{2009}s".to_owned()
    } else if seconds < 0.1 {
        format!("{}\u{2009}ms", three_digits(seconds * 1e3))
    } else if seconds < 120.0 {
        format!("{}\u{2009}s", three_digits(seconds))
    } else if seconds < 7200.0 {
        format!("{}\u{2009}min", (seconds / 60.0).round())
    } else {
        let minutes = (seconds / 60.0).round() as i64;
        match minutes % 60 {
            0 => format!("{}\u{2009}h", minutes / 60),
            rest => format!("{}\u{2009}h {rest}\u{2009}min", minutes / 60),
        }
    }
}

/// A share as a whole number of percent.
pub fn percent(fraction: f64) -> String {
    format!("{}\u{2009}%", (fraction * 100.0).round())
}

fn trimmed(text: String) -> String {
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_and_times_read_well() {
        assert_eq!(length(400.0, LengthUnit::Mm), "400\u{2009}mm");
        assert_eq!(length(12.7, LengthUnit::Inch), "0.5\u{2009}in");
        assert_eq!(position(40.0, LengthUnit::Mm), "40.0");
        assert_eq!(position(-0.01, LengthUnit::Mm), "0.0");
        assert_eq!(time(0.02), "20\u{2009}ms");
        assert_eq!(time(5400.0), "90\u{2009}min");
        assert_eq!(time(9000.0), "2\u{2009}h 30\u{2009}min");
    }
}
