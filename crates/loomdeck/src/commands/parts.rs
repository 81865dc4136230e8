//! `parts`: search the library, or show one type.

use crate::out::{self, Out};
use crate::table::Columns;
use crate::{End, Trouble, json};
use loomdeck_model::part_type::Exit;
use loomdeck_model::units::{in_inches, three_digits};
use loomdeck_model::{PartType, library, read};
use std::path::PathBuf;

/// Search the parts library, or show one part type with all its data when its name is given.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  loomdeck parts motor driver\n  loomdeck parts dual-motor-driver-24v-30a\n  \
    loomdeck parts --robot my-robot own"
)]
pub struct Args {
    /// Words that must all occur, or the name of one type.
    words: Vec<String>,
    /// Search the part types of this robot too.
    #[arg(long, value_name = "ROBOT")]
    robot: Option<PathBuf>,
    /// Unit of lengths.
    #[arg(long, value_name = "UNIT", default_value = "mm")]
    unit: crate::cli::Unit,
    /// Print JSON (its schema: `loomdeck schema parts`).
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &Args, out: &mut Out) -> Result<End, Trouble> {
    let (mut types, _) = library::all();
    if let Some(path) = &args.robot {
        let folder = super::load(path)?;
        match read(&folder) {
            (Some(robot), _) => {
                let own: Vec<PartType> = robot.types.into_iter().filter(|t| t.own).collect();
                types.retain(|t| own.iter().all(|o| o.name != t.name));
                types.extend(own);
            }
            (None, problems) => return Err(Trouble::Files(folder, problems)),
        }
    }
    if let [one] = args.words.as_slice()
        && let Some(t) = types.iter().find(|t| t.name == *one)
    {
        if args.json {
            out.json(&json::Parts { types: vec![short(t)] })?;
        } else {
            show(out, t, args.unit == crate::cli::Unit::Inch)?;
        }
        return Ok(End::Clean);
    }
    let found = library::search(&types, &args.words);
    if args.json {
        out.json(&json::Parts { types: found.into_iter().map(short).collect() })?;
        return Ok(End::Clean);
    }
    if found.is_empty() {
        out.paragraph(0, &format!("No part type has all of these words: {}.", args.words.join(" ")));
    }
    let mut group = "";
    for t in found {
        if t.group != group {
            group = &t.group;
            out.line(&format!("\n{}", out::strong(group)));
        }
        out.line(&format!("  {:<34} {}", t.name, t.title));
    }
    Ok(End::Clean)
}

fn short(t: &PartType) -> json::PartTypeJson {
    let (width, depth) = size(t);
    json::PartTypeJson {
        name: t.name.clone(),
        title: t.title.clone(),
        group: t.group.clone(),
        about: t.about.clone(),
        basis: t.basis.clone(),
        elements: t.elements.iter().map(|e| e.kind.word().to_owned()).collect(),
        terminals: t.terminals.iter().map(|t| t.name.clone()).collect(),
        width_mm: width,
        depth_mm: depth,
        height_mm: t.height.0,
        mass_kg: t.mass.0,
    }
}

fn size(t: &PartType) -> (f64, f64) {
    if t.outline.0.is_empty() {
        return (0.0, 0.0);
    }
    let (low, high) = t.outline.bounds();
    (high.x - low.x, high.y - low.y)
}

fn show(out: &mut Out, t: &PartType, inch: bool) -> Result<(), Trouble> {
    let unit = |text: String| if inch { in_inches(&text) } else { text };
    out.line(&format!("{}  {}", out::strong(&t.name), t.title));
    out.paragraph(2, &t.about);
    out.hanging("  Basis: ", 4, &t.basis);
    let (w, d) = size(t);
    if w > 0.0 {
        let mm = |x: f64| format!("{}\u{2009}mm", three_digits(x));
        let text = format!("{} × {}, {} high, {}", mm(w), mm(d), mm(t.height.0), t.mass);
        out.line(&format!("  {}", unit(text)));
        out.line(&format!(
            "  held by: {}{}",
            t.fixing.style.word(),
            t.fixing.thread.map_or(String::new(), |x| format!(", {}", x.word()))
        ));
    }
    if !t.terminals.is_empty() {
        out.line("");
        let mut c =
            Columns::new(&["  terminal", "role", "where", "leaves", "wires", "limit"], &[1, 2, 3, 4, 5]);
        for x in &t.terminals {
            let role = serde_json::to_value(x.role)
                .ok()
                .and_then(|v| v.as_str().map(str::to_owned))
                .unwrap_or_default();
            let leaves = match x.exit {
                Exit::Up => "off the face".to_owned(),
                Exit::Along(a) => format!("{:.0}°", a.0),
            };
            let limit = [x.current.map(|a| a.to_string()), x.temperature.map(|t| t.to_string())];
            c.row(vec![
                format!("  {}", x.name),
                role,
                unit(format!("{:.0}\u{2009}mm, {:.0}\u{2009}mm", x.at.x, x.at.y)),
                leaves,
                format!("{} to {}", three_digits(x.thinnest.0), x.thickest),
                limit.into_iter().flatten().collect::<Vec<_>>().join(", "),
            ]);
        }
        for line in c.lines() {
            out.line(&line);
        }
    }
    data(out, t)
}

/// The electrical data, key by key, as the type's own files would name them.
fn data(out: &mut Out, t: &PartType) -> Result<(), Trouble> {
    let mut blocks: Vec<(String, serde_json::Value)> = t
        .elements
        .iter()
        .map(|e| {
            (
                format!("{} ({})", e.name, e.kind.word()),
                serde_json::to_value(&e.kind).unwrap_or_default(),
            )
        })
        .collect();
    if let Some(f) = &t.fuse {
        blocks.push(("fuse".to_owned(), serde_json::to_value(f).unwrap_or_default()));
    }
    if let Some(p) = &t.plug_family {
        blocks.push(("plug family".to_owned(), serde_json::to_value(p).unwrap_or_default()));
    }
    for (name, value) in blocks {
        out.line(&format!("\n  {}", out::strong(&name)));
        let Some(fields) = value.as_object() else { continue };
        for (key, v) in fields.iter().filter(|(k, v)| *k != "kind" && !v.is_null()) {
            out.hanging(&format!("    {key}: "), 6, &plain(v, &t.nodes, key));
        }
    }
    Ok(())
}

fn plain(v: &serde_json::Value, nodes: &[String], key: &str) -> String {
    const NODES: [&str; 15] = [
        "plus",
        "minus",
        "a",
        "b",
        "anode",
        "cathode",
        "in_plus",
        "in_minus",
        "out_plus",
        "out_minus",
        "coil_plus",
        "coil_minus",
        "node",
        "feed",
        "way",
    ];
    match v {
        serde_json::Value::Number(n) if NODES.contains(&key) => {
            n.as_u64().and_then(|i| nodes.get(i as usize)).cloned().unwrap_or_default()
        }
        serde_json::Value::Number(n) => n.as_f64().map_or_else(|| n.to_string(), three_digits),
        serde_json::Value::String(s) => s.clone(),
        serde_json::Value::Bool(b) => (if *b { "yes" } else { "no" }).to_owned(),
        serde_json::Value::Array(items) => {
            let inner: Vec<String> = items.iter().map(|i| plain(i, nodes, "")).collect();
            inner.join("; ")
        }
        serde_json::Value::Object(o) => {
            let inner: Vec<String> =
                o.iter().map(|(k, v)| format!("{k} {}", plain(v, nodes, k))).collect();
            inner.join(", ")
        }
        serde_json::Value::Null => String::new(),
    }
}
