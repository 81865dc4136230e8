//! Units that files may use.

/// A physical dimension with the units accepted for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Dimension {
    Length,
    Current,
    Voltage,
    Resistance,
    Power,
    Time,
    Mass,
    Charge,
    Capacitance,
    Angle,
    Temperature,
    Speed,
    Torque,
    Area,
    Flow,
}

impl Dimension {
    /// Unit suffixes as (suffix, factor, offset): base = (number + offset) · factor. The first is
    /// the base unit.
    pub const fn suffixes(self) -> &'static [(&'static str, f64, f64)] {
        match self {
            Self::Length => {
                &[("mm", 1.0, 0.0), ("cm", 10.0, 0.0), ("m", 1000.0, 0.0), ("in", 25.4, 0.0)]
            }
            Self::Current => &[("a", 1.0, 0.0), ("ma", 1e-3, 0.0)],
            Self::Voltage => &[("v", 1.0, 0.0), ("mv", 1e-3, 0.0)],
            Self::Resistance => &[("ohm", 1.0, 0.0), ("mohm", 1e-3, 0.0)],
            Self::Power => &[("w", 1.0, 0.0)],
            Self::Time => &[("s", 1.0, 0.0), ("ms", 1e-3, 0.0), ("min", 60.0, 0.0), ("h", 3600.0, 0.0)],
            Self::Mass => &[("kg", 1.0, 0.0), ("g", 1e-3, 0.0), ("lb", 0.453_592_37, 0.0)],
            Self::Charge => &[("ah", 1.0, 0.0)],
            Self::Capacitance => &[("f", 1.0, 0.0), ("uf", 1e-6, 0.0)],
            Self::Angle => &[("deg", 1.0, 0.0)],
            Self::Temperature => &[("degc", 1.0, 0.0), ("degf", 5.0 / 9.0, -32.0)],
            Self::Speed => &[("m_s", 1.0, 0.0), ("km_h", 1.0 / 3.6, 0.0)],
            Self::Torque => &[("nm", 1.0, 0.0)],
            Self::Area => &[("m2", 1.0, 0.0), ("cm2", 1e-4, 0.0)],
            Self::Flow => &[("m3_h", 1.0, 0.0), ("l_s", 3.6, 0.0)],
        }
    }

    /// The symbol of the base unit, for people.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Length => "mm",
            Self::Current => "A",
            Self::Voltage => "V",
            Self::Resistance => "Ω",
            Self::Power => "W",
            Self::Time => "s",
            Self::Mass => "kg",
            Self::Charge => "Ah",
            Self::Capacitance => "F",
            Self::Angle => "°",
            Self::Temperature => "°C",
            Self::Speed => "m/s",
            Self::Torque => "N·m",
            Self::Area => "m²",
            Self::Flow => "m³/h",
        }
    }

    /// The word for it in messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Current => "current",
            Self::Voltage => "voltage",
            Self::Resistance => "resistance",
            Self::Power => "power",
            Self::Time => "time",
            Self::Mass => "mass",
            Self::Charge => "charge",
            Self::Capacitance => "capacitance",
            Self::Angle => "angle",
            Self::Temperature => "temperature",
            Self::Speed => "speed",
            Self::Torque => "torque",
            Self::Area => "area",
            Self::Flow => "flow",
        }
    }

    /// Turns a number in a unit into the base unit.
    pub fn to_base(self, number: f64, suffix: &str) -> Option<f64> {
        let (_, factor, offset) = self.suffixes().iter().find(|(s, ..)| *s == suffix)?;
        Some((number + offset) * factor)
    }

    /// Turns a value in the base unit into a unit.
    pub fn from_base(self, value: f64, suffix: &str) -> Option<f64> {
        let (_, factor, offset) = self.suffixes().iter().find(|(s, ..)| *s == suffix)?;
        Some(value / factor - offset)
    }

    /// Reads `12 mm`, `0.5in`, `20 °C` into the base unit; `None` when it is not a number with one
    /// of the units.
    pub fn parse(self, text: &str) -> Option<f64> {
        let (number, unit) = split_number(text)?;
        let unit = unit.to_lowercase();
        let unit = match unit.as_str() {
            "°c" | "c" => "degc",
            "°f" => "degf",
            "°" => "deg",
            "ω" | "ohms" => "ohm",
            "mω" => "mohm",
            "µf" | "μf" => "uf",
            "m/s" => "m_s",
            "km/h" => "km_h",
            "n·m" | "n m" => "nm",
            "m²" => "m2",
            "cm²" => "cm2",
            "m³/h" | "m3/h" => "m3_h",
            "l/s" => "l_s",
            "\"" | "inch" => "in",
            other => other,
        };
        // `f` means farad for a capacitance and Fahrenheit for a temperature.
        let unit = if self == Self::Temperature && unit == "f" { "degf" } else { unit };
        self.to_base(number, unit)
    }
}

/// Splits a text into its leading number and the trimmed rest.
pub(crate) fn split_number(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    let end = text
        .char_indices()
        .find(|(i, c)| {
            let sign = (*c == '-' || *c == '+') && *i == 0;
            !(c.is_ascii_digit() || *c == '.' || sign)
        })
        .map_or(text.len(), |(i, _)| i);
    let number = text[..end].parse::<f64>().ok().filter(|n| n.is_finite())?;
    Some((number, text[end..].trim()))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn every_unit_goes_there_and_back() {
        use Dimension::*;
        for d in [
            Length,
            Current,
            Voltage,
            Resistance,
            Power,
            Time,
            Mass,
            Charge,
            Capacitance,
            Angle,
            Temperature,
            Speed,
            Torque,
            Area,
            Flow,
        ] {
            for (suffix, ..) in d.suffixes() {
                let base = d.to_base(12.5, suffix).unwrap();
                assert!((d.from_base(base, suffix).unwrap() - 12.5).abs() < 1e-9, "{d:?} {suffix}");
            }
        }
    }

    #[test]
    fn texts_with_units_are_read() {
        assert_eq!(Dimension::Length.parse("0.5 in"), Some(12.7));
        assert_eq!(Dimension::Length.parse("12mm"), Some(12.0));
        assert_eq!(Dimension::Temperature.parse("212 °F"), Some(100.0));
        assert_eq!(Dimension::Length.parse("12"), None);
        assert_eq!(Dimension::Length.parse("inf mm"), None);
        assert_eq!(Dimension::Length.parse("12 A"), None);
    }
}
