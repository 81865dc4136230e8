//! A value of the files as a text with its unit.

use loomdeck_model::format::Kind;
use toml::Value;

/// What stands at a key of a kind, written with a unit.
pub fn text(kind: &Kind, unit: &str, value: &Value) -> String {
    let sign = symbol(unit);
    match (kind, value) {
        (Kind::Flag, Value::Boolean(b)) => if *b { "yes" } else { "no" }.to_owned(),
        (Kind::Size, Value::Integer(n)) if unit == "awg" && *n < 0 => format!("{}/0 AWG", 1 - n),
        (Kind::Size, Value::Integer(0)) if unit == "awg" => "1/0 AWG".to_owned(),
        (Kind::Size, Value::String(t)) if unit == "awg" && !t.to_lowercase().contains("awg") => {
            format!("{t} AWG")
        }
        (Kind::Point | Kind::Extent, Value::Array(pair)) => {
            let both: Vec<String> = pair.iter().map(plain).collect();
            format!("{} {sign}", both.join(", "))
        }
        (Kind::Points, Value::Array(list)) => {
            let one =
                |p: &Value| p.as_array().map(|p| p.iter().map(plain).collect::<Vec<_>>().join(", "));
            let all: Vec<String> = list.iter().filter_map(one).collect();
            format!("{} {sign}", all.join("; "))
        }
        (Kind::Tables(inner), Value::Array(list)) if inner.name == super::typed::PIN => pins(list),
        (_, Value::Array(list)) if list.iter().all(Value::is_str) => {
            list.iter().filter_map(Value::as_str).collect::<Vec<_>>().join(", ")
        }
        (Kind::Tables(_) | Kind::Elements, Value::Array(list)) => format!("{} in the files", list.len()),
        (_, Value::Integer(_) | Value::Float(_)) if unit == "deg" => format!("{}°", plain(value)),
        (_, Value::Integer(_) | Value::Float(_)) if !unit.is_empty() => {
            format!("{} {sign}", plain(value))
        }
        _ => plain(value),
    }
}

/// Corners of a wire, each with its face and its own unit.
fn pins(list: &[Value]) -> String {
    let one = |pin: &Value| {
        let pin = pin.as_table()?;
        let face = pin.get("face")?.as_str()?;
        let (unit, at) = pin.iter().find_map(|(k, v)| Some((k.strip_prefix("at_")?, v.as_array()?)))?;
        let at: Vec<String> = at.iter().map(plain).collect();
        Some(format!("{face} {} {unit}", at.join(", ")))
    };
    list.iter().filter_map(one).collect::<Vec<_>>().join("; ")
}

fn plain(value: &Value) -> String {
    match value {
        Value::String(t) => t.clone(),
        other => other.to_string(),
    }
}

/// A unit of a key as people write it.
fn symbol(unit: &str) -> &str {
    match unit {
        "a" => "A",
        "ma" => "mA",
        "v" => "V",
        "mv" => "mV",
        "w" => "W",
        "ohm" => "Ω",
        "mohm" => "mΩ",
        "ah" => "Ah",
        "f" => "F",
        "uf" => "µF",
        "deg" => "°",
        "degc" => "°C",
        "degf" => "°F",
        "m_s" => "m/s",
        "km_h" => "km/h",
        "nm" => "N·m",
        "m2" => "m²",
        "cm2" => "cm²",
        "mm2" => "mm²",
        "m3_h" => "m³/h",
        "l_s" => "l/s",
        "awg" => "AWG",
        "percent" => "%",
        other => other,
    }
}
