//! What a person types into a field, made into a value of its kind.

use loomdeck_model::format::{Dimension, Field, Kind, MAX_CORNERS};
use loomdeck_model::read::problem::nearest;
use loomdeck_model::units::{Amperes, Degrees, Millimetres, three_digits};
use loomdeck_model::wire::Gauge;
use loomdeck_model::{EditValue, Point};

/// The value that a text means for a key; the text is not empty.
///
/// # Errors
/// A sentence that says what was expected.
pub fn read(field: &Field, text: &str) -> Result<EditValue, String> {
    let text = text.trim();
    let not = |wanted: &str| Err(format!("`{}` is not {wanted}.", short(text)));
    match &field.kind {
        Kind::Text | Kind::Name | Kind::Reference | Kind::Coded => Ok(EditValue::Text(text.to_owned())),
        Kind::Flag => match text.to_lowercase().as_str() {
            "yes" | "y" | "true" | "on" => Ok(EditValue::Flag(true)),
            "no" | "n" | "false" | "off" => Ok(EditValue::Flag(false)),
            _ => not("`yes` or `no`"),
        },
        Kind::Whole(low, high) => match text.parse::<i64>() {
            Ok(n) if (*low..=*high).contains(&n) => Ok(EditValue::Number(n as f64)),
            _ => not(&format!("a whole number from {low} to {high}")),
        },
        Kind::Number(low, high) => match number(text) {
            Some(n) => within(n, *low, *high, "a number", "").map(EditValue::Number),
            None => not("a number"),
        },
        Kind::Percent(low, high) => match number(text.trim_end_matches('%')) {
            Some(n) => within(n, *low, *high, "a share", "\u{2009}%").map(EditValue::Number),
            None => not("a share in percent, like `20 %`"),
        },
        Kind::Quantity(d, low, high) => {
            let symbol = d.symbol();
            let space = if symbol == "°" { "" } else { "\u{2009}" };
            let base = quantity(*d, text)?;
            let base = within(base, *low, *high, &a(d.word()), &format!("{space}{symbol}"))?;
            Ok(match d {
                Dimension::Length => EditValue::Length(Millimetres(base)),
                Dimension::Current => EditValue::Current(Amperes(base)),
                Dimension::Angle => EditValue::Angle(Degrees(base)),
                _ => EditValue::Number(base),
            })
        }
        Kind::Size => gauge(text).map(EditValue::Gauge),
        Kind::Point | Kind::Extent => {
            let p = point(text)?;
            if matches!(field.kind, Kind::Extent) && (p.x <= 0.0 || p.y <= 0.0) {
                return Err("Width and height must be above zero.".to_owned());
            }
            Ok(EditValue::Point(p))
        }
        Kind::Word(words) => {
            if let Some(w) = words.iter().find(|w| w.to_lowercase() == text.to_lowercase()) {
                return Ok(EditValue::Text((*w).to_owned()));
            }
            let near = nearest(text, words.iter().copied());
            let near = near.map_or_else(String::new, |n| format!(" Perhaps `{n}`?"));
            Err(format!("`{}` is not known here.{near} There is: {}.", short(text), words.join(", ")))
        }
        Kind::CodedList | Kind::References => {
            let all = text.split([',', ';']).map(str::trim).filter(|t| !t.is_empty());
            Ok(EditValue::Texts(all.map(str::to_owned).collect()))
        }
        Kind::Points => points(text).map(EditValue::Points),
        Kind::Tables(inner) if inner.name == PIN => pins(text).map(EditValue::Pins),
        Kind::SizeRange
        | Kind::Table(_)
        | Kind::Tables(_)
        | Kind::Elements
        | Kind::ReferenceMap
        | Kind::MapOf(..) => Err(format!("`{}` is written in the files, not here.", field.key)),
    }
}

/// The table of a corner that a wire runs through.
pub const PIN: &str = "pin";

/// What a kind of value looks like, in a few words, for who is about to type one.
pub fn hint(kind: &Kind) -> String {
    match kind {
        Kind::Flag => "yes or no".to_owned(),
        Kind::Whole(low, high) => format!("{low} to {high}"),
        Kind::Number(..) => "a number".to_owned(),
        Kind::Percent(..) => "like 20\u{2009}%".to_owned(),
        Kind::Quantity(Dimension::Length, ..) => "like 30 mm or 1 1/4 in".to_owned(),
        Kind::Quantity(d, ..) => {
            let space = if d.symbol() == "°" { "" } else { "\u{2009}" };
            format!("like 2{space}{}", d.symbol())
        }
        Kind::Size => "like 2.5 mm² or 14 AWG".to_owned(),
        Kind::Point => "like 120, 40 mm".to_owned(),
        Kind::Extent => "like 240, 160 mm".to_owned(),
        Kind::Points => "like 0, 0; 240, 0; 240, 160 mm".to_owned(),
        Kind::Tables(inner) if inner.name == PIN => "like front 120, 40 mm; back 30, 20 mm".to_owned(),
        Kind::CodedList | Kind::References => "names with commas between".to_owned(),
        _ => String::new(),
    }
}

fn a(word: &str) -> String {
    let vowel = word.starts_with(['a', 'e', 'i', 'o', 'u']);
    format!("{} {word}", if vowel { "an" } else { "a" })
}

/// A foreign text, short enough to be read.
fn short(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).take(40).collect()
}

/// `12`, `12.5`, `12,5`, `1/4`, `1 1/4`; a minus may stand before it.
fn number(text: &str) -> Option<f64> {
    let text = text.trim().replace('\u{2212}', "-");
    let (sign, text) = match text.strip_prefix('-') {
        Some(rest) => (-1.0, rest.trim().to_owned()),
        None => (1.0, text),
    };
    // A second sign, an exponent, a word like `inf`: none of them is a number here.
    if text.chars().any(|c| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | ' '))) {
        return None;
    }
    let decimal = |t: &str| t.replace(',', ".").parse::<f64>().ok().filter(|n| n.is_finite());
    let words: Vec<&str> = text.split_whitespace().collect();
    let fraction = |t: &str| {
        let (over, under) = t.split_once('/')?;
        let (over, under) = (over.parse::<u32>().ok()?, under.parse::<u32>().ok()?);
        (under > 0).then(|| f64::from(over) / f64::from(under))
    };
    let size = match words.as_slice() {
        [one] if one.contains('/') => fraction(one)?,
        [one] => decimal(one)?,
        [whole, part] if part.contains('/') => f64::from(whole.parse::<u32>().ok()?) + fraction(part)?,
        _ => return None,
    };
    Some(sign * size)
}

/// A text cut behind its number: what is left is the unit.
fn cut(text: &str) -> (&str, &str) {
    let digits = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | '-' | '+' | '\u{2212}');
    let end = text.char_indices().find(|(_, c)| !digits(*c) && !c.is_whitespace());
    let end = end.map_or(text.len(), |(i, _)| i);
    (text[..end].trim(), text[end..].trim())
}

/// A quantity in its base unit. An angle needs no unit: it has but one.
fn quantity(d: Dimension, text: &str) -> Result<f64, String> {
    let (value, unit) = cut(text);
    let like = hint(&Kind::Quantity(d, 0.0, 0.0));
    let not = || format!("`{}` is not {} with its unit: write it {like}.", short(text), a(d.word()));
    let value = number(value).ok_or_else(not)?;
    if unit.is_empty() {
        if d == Dimension::Angle {
            return Ok(value);
        }
        return Err(format!("`{}` has no unit: write it {like}.", short(text)));
    }
    // The unit alone goes to the reader of the files, so that both know the same units. Two numbers are asked
    // for because a unit may begin elsewhere (Fahrenheit).
    let base = |n: f64| d.parse(&format!("{n} {unit}"));
    base(value).ok_or_else(not)
}

/// A quantity as it was typed: its number, the suffix of its unit in the files, and its base value.
///
/// # Errors
/// What was expected.
pub fn as_typed(d: Dimension, text: &str) -> Result<(f64, &'static str, f64), String> {
    let base = quantity(d, text.trim())?;
    let n = number(cut(text.trim()).0).unwrap_or(base);
    let same = |(_, factor, offset): &&(&str, f64, f64)| {
        ((n + offset) * factor - base).abs() <= 1e-9 * base.abs().max(1e-9)
    };
    let found = d.suffixes().iter().find(same);
    Ok(found.map_or((base, d.suffixes()[0].0, base), |(suffix, ..)| (n, suffix, base)))
}

/// A wire size.
///
/// # Errors
/// What was expected.
pub fn wire_size(text: &str) -> Result<Gauge, String> {
    gauge(text.trim())
}

fn within(n: f64, low: f64, high: f64, what: &str, unit: &str) -> Result<f64, String> {
    if (low..=high).contains(&n) {
        return Ok(n);
    }
    let [n, low, high] = [n, low, high].map(three_digits);
    Err(format!("This is {n}{unit}; {what} from {low} to {high}{unit} is expected."))
}

/// `2.5 mm²`, `14 AWG`, `AWG 14`, `2/0 AWG`.
fn gauge(text: &str) -> Result<Gauge, String> {
    let lower = text.to_lowercase();
    let not = || format!("`{}` is not a wire size: write it like 2.5 mm² or 14 AWG.", short(text));
    if lower.contains("awg") {
        let bare = lower.replace("awg", "");
        let bare = bare.trim();
        let n = match bare.strip_suffix("/0") {
            Some(zeros) => {
                zeros.trim().parse::<i32>().ok().filter(|n| (1..=4).contains(n)).map(|n| 1 - n)
            }
            None => bare.parse::<i32>().ok().filter(|n| (0..=40).contains(n)),
        };
        return n.map(Gauge::Awg).ok_or_else(not);
    }
    let (value, unit) = cut(&lower);
    let value = number(value).ok_or_else(not)?;
    if !matches!(unit, "mm2" | "mm²" | "qmm" | "sq mm" | "mm^2") {
        return Err(if unit.is_empty() {
            format!("`{0}` has no unit: write {0} mm² or {0} AWG.", short(text))
        } else {
            not()
        });
    }
    within(value, 0.02, 300.0, "a wire", "\u{2009}mm²").map(Gauge::Metric)
}

/// `120, 40 mm`, `4 1/2 in, 2 in`, `30 × 20 mm`. A unit behind the second counts for both.
fn point(text: &str) -> Result<Point, String> {
    let not = || format!("`{}` is not two lengths: write them like 120, 40 mm.", short(text));
    let parts: Vec<&str> = match text.contains(';') {
        true => text.split(';').collect(),
        false => text.split([',', '×', 'x']).collect(),
    };
    let [x, y] = parts.as_slice() else { return Err(not()) };
    let unit = cut(y.trim()).1;
    let y_mm = quantity(Dimension::Length, y)?;
    let x = if cut(x.trim()).1.is_empty() { format!("{x} {unit}") } else { (*x).to_owned() };
    let far = 100_000.0;
    let x_mm = within(quantity(Dimension::Length, &x)?, -far, far, "a length", "\u{2009}mm")?;
    Ok(Point::new(x_mm, within(y_mm, -far, far, "a length", "\u{2009}mm")?))
}

/// Corners with semicolons between; a unit behind the last holds for those that have none.
fn points(text: &str) -> Result<Vec<Point>, String> {
    let rows: Vec<&str> = text.split(';').map(str::trim).filter(|t| !t.is_empty()).collect();
    let unit = rows.last().map_or("", |r| cut(r.rsplit(',').next().unwrap_or_default().trim()).1);
    if rows.len() > MAX_CORNERS {
        return Err(format!("These are {} corners; at most {MAX_CORNERS} are taken.", rows.len()));
    }
    let one = |(i, row): (usize, &&str)| {
        let bare = cut(row.rsplit(',').next().unwrap_or_default().trim()).1.is_empty();
        let row = if bare { format!("{row} {unit}") } else { (*row).to_owned() };
        point(&row).map_err(|why| format!("Corner {}: {why}", i + 1))
    };
    rows.iter().enumerate().map(one).collect()
}

/// Corners of a wire: like `front 120, 40 mm; back 30, 20 mm`.
fn pins(text: &str) -> Result<Vec<(String, Point)>, String> {
    let rows: Vec<&str> = text.split(';').map(str::trim).filter(|t| !t.is_empty()).collect();
    let mut places = Vec::new();
    let mut faces = Vec::new();
    for (i, row) in rows.iter().enumerate() {
        let (face, at) = row.split_once(char::is_whitespace).unwrap_or((row, ""));
        let face = face.to_lowercase();
        if !matches!(face.as_str(), "front" | "back") {
            return Err(format!("Corner {}: write the face before it, like `front 120, 40 mm`.", i + 1));
        }
        faces.push(face);
        places.push(at);
    }
    Ok(faces.into_iter().zip(points(&places.join(";"))?).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn field(kind: Kind) -> Field {
        Field { key: "k", kind, required: false, about: "" }
    }
    fn length(text: &str) -> Result<EditValue, String> {
        read(&field(Kind::Quantity(Dimension::Length, 0.0, 1000.0)), text)
    }
    fn mm(text: &str) -> f64 {
        match length(text) {
            Ok(EditValue::Length(l)) => l.0,
            other => panic!("{text}: {other:?}"),
        }
    }

    #[test]
    fn lengths_are_read_as_people_write_them() {
        for (text, expected) in [
            ("30 cm", 300.0),
            ("30cm", 300.0),
            ("12,5 mm", 12.5),
            ("0.5 m", 500.0),
            ("1 1/4 in", 31.75),
            ("1/2\"", 12.7),
            ("3/8 inch", 9.525),
            (" 7 mm ", 7.0),
        ] {
            assert!((mm(text) - expected).abs() < 1e-9, "{text}");
        }
        for (text, said) in [
            ("30", "has no unit: write it like 30 mm"),
            ("30 A", "is not a length with its unit"),
            ("mm", "is not a length"),
            ("1e3 mm", "is not a length"),
            ("--3 mm", "is not a length"),
            ("1/0 in", "is not a length"),
            ("1200 mm", "This is 1200\u{2009}mm; a length from 0 to 1000\u{2009}mm is expected"),
            ("-1 mm", "from 0 to 1000"),
        ] {
            let why = length(text).unwrap_err();
            assert!(why.contains(said), "{text}: {why}");
        }
    }

    #[test]
    fn other_quantities_have_their_units() {
        let of = |d, text| read(&field(Kind::Quantity(d, -1000.0, 1000.0)), text);
        assert_eq!(of(Dimension::Current, "250 mA"), Ok(EditValue::Current(Amperes(0.25))));
        assert_eq!(of(Dimension::Angle, "90"), Ok(EditValue::Angle(Degrees(90.0))));
        assert_eq!(of(Dimension::Angle, "\u{2212}45°"), Ok(EditValue::Angle(Degrees(-45.0))));
        assert_eq!(of(Dimension::Time, "2 min"), Ok(EditValue::Number(120.0)));
        assert_eq!(of(Dimension::Speed, "3.6 km/h"), Ok(EditValue::Number(1.0)));
        let Ok(EditValue::Number(hot)) = of(Dimension::Temperature, "212 °F") else { panic!() };
        assert!((hot - 100.0).abs() < 1e-9);
        assert!(of(Dimension::Temperature, "20 mm").unwrap_err().contains("a temperature"));
    }

    #[test]
    fn wire_sizes_are_metric_or_by_gauge() {
        let size = |t| read(&field(Kind::Size), t);
        assert_eq!(size("2.5 mm²"), Ok(EditValue::Gauge(Gauge::Metric(2.5))));
        assert_eq!(size("0,75mm2"), Ok(EditValue::Gauge(Gauge::Metric(0.75))));
        assert_eq!(size("10 AWG"), Ok(EditValue::Gauge(Gauge::Awg(10))));
        assert_eq!(size("awg 14"), Ok(EditValue::Gauge(Gauge::Awg(14))));
        assert_eq!(size("2/0 AWG"), Ok(EditValue::Gauge(Gauge::Awg(-1))));
        for (text, said) in [
            ("10", "write 10 mm² or 10 AWG"),
            ("10 mm", "is not a wire size"),
            ("99 AWG", "is not a wire size"),
            ("5/0 AWG", "is not a wire size"),
            ("900 mm2", "from 0.02 to 300"),
        ] {
            let why = size(text).unwrap_err();
            assert!(why.contains(said), "{text}: {why}");
        }
    }

    #[test]
    fn words_flags_shares_lists_and_points() {
        let word = Kind::Word(&["front", "back"]);
        assert_eq!(read(&field(word), "Back"), Ok(EditValue::Text("back".into())));
        let why = read(&field(Kind::Word(&["front", "back"])), "frnt").unwrap_err();
        assert!(why.contains("Perhaps `front`?") && why.contains("front, back"), "{why}");
        assert_eq!(read(&field(Kind::Flag), "Yes"), Ok(EditValue::Flag(true)));
        assert!(read(&field(Kind::Flag), "maybe").unwrap_err().contains("`yes` or `no`"));
        let share = |t| read(&field(Kind::Percent(0.0, 100.0)), t);
        assert_eq!(share("80 %"), Ok(EditValue::Number(80.0)));
        assert!(share("180 %").unwrap_err().contains("from 0 to 100"));
        assert!(read(&field(Kind::Whole(1, 9)), "12").unwrap_err().contains("from 1 to 9"));
        let list = read(&field(Kind::References), "a, b,");
        assert_eq!(list, Ok(EditValue::Texts(vec!["a".into(), "b".into()])));
        let at = |t| read(&field(Kind::Point), t);
        for text in ["120, 40 mm", "120 mm, 40 mm", "12; 4 cm", "120 × 40 mm"] {
            assert_eq!(at(text), Ok(EditValue::Point(Point::new(120.0, 40.0))), "{text}");
        }
        let Ok(EditValue::Point(p)) = at("-1 1/2 in, 2 in") else { panic!() };
        assert!((p.x + 38.1).abs() < 1e-9 && (p.y - 50.8).abs() < 1e-9);
        assert!(at("120, 40").unwrap_err().contains("no unit"));
        assert!(at("120 mm").unwrap_err().contains("two lengths"));
        assert!(read(&field(Kind::Extent), "0, 4 mm").unwrap_err().contains("above zero"));
    }

    #[test]
    fn corners_are_read_with_one_unit_or_each_its_own() {
        let at = |x, y| Point::new(x, y);
        let of = |t| read(&field(Kind::Points), t);
        assert_eq!(
            of("0, 0; 4, 0; 4, 2 cm"),
            Ok(EditValue::Points(vec![at(0.0, 0.0), at(40.0, 0.0), at(40.0, 20.0)]))
        );
        assert_eq!(of("0, 0 mm; 1, 0 in;"), Ok(EditValue::Points(vec![at(0.0, 0.0), at(25.4, 0.0)])));
        assert!(of("0, 0; 4; 4, 2 mm").unwrap_err().starts_with("Corner 2: "));
        assert!(of("0, 0; nan, 2 mm").unwrap_err().starts_with("Corner 2: "));
        assert!(of("0, 0; 4, 2").unwrap_err().contains("no unit"));
        assert!(of(&"1, 1;".repeat(MAX_CORNERS + 1)).unwrap_err().contains("at most"));
        let wire = loomdeck_model::format::tables::ROOT.fields.iter().find(|f| f.key == "wire").unwrap();
        let Kind::Tables(wire) = wire.kind else { panic!() };
        let pins = wire.fields.iter().find(|f| f.key == "pins").unwrap();
        let expected = vec![("front".to_owned(), at(1.0, 2.0)), ("back".to_owned(), at(3.0, 4.0))];
        assert_eq!(read(pins, "front 1, 2; Back 3, 4 mm"), Ok(EditValue::Pins(expected)));
        assert!(read(pins, "1, 2 mm").unwrap_err().contains("the face before it"));
    }
}
