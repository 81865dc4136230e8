//! `parts`: search the library, or show one type.

use crate::out::{self, Out};
use crate::table::Columns;
use crate::{End, Trouble, json};
use loomdeck_model::part_type::Exit;
use loomdeck_model::units::{Millimetres, in_inches, three_digits};
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

/// A drawing is missing here, so words must do: size, holes, how it is held, terminals.
fn show(out: &mut Out, t: &PartType, inch: bool) -> Result<(), Trouble> {
    let unit = |text: String| if inch { in_inches(&text) } else { text };
    let mm = |x: f64| Millimetres(x).to_string();
    out.line(&format!("{}  {}", out::strong(&t.name), t.title));
    out.paragraph(2, &t.about);
    out.hanging("  Basis: ", 4, &t.basis);
    let (w, d) = size(t);
    if w > 0.0 {
        let (low, _) = t.outline.bounds();
        out.line(&unit(format!("  {} × {}, {} high, {}", mm(w), mm(d), t.height, t.mass)));
        let origin = match (low.x, low.y) {
            (0.0, 0.0) => "at the lower left corner".to_owned(),
            (x, y) => unit(format!("{} from its left, {} from its lower end", mm(-x), mm(-y))),
        };
        out.line(&format!("  its own origin is {origin}"));
        let thread = t.fixing.thread.map_or(String::new(), |x| format!(", {}", x.word()));
        out.line(&format!("  held by: {}{thread}", t.fixing.style.word()));
        if let Some(first) = t.holes.first() {
            let centres: Vec<String> =
                t.holes.iter().map(|h| format!("{}, {}", mm(h.at.x), mm(h.at.y))).collect();
            let text = format!("holes of {} at: {}", first.diameter, centres.join("; "));
            out.paragraph(2, &unit(text));
        }
    }
    terminals(out, t, &unit);
    as_written(out, t);
    Ok(())
}

fn terminals(out: &mut Out, t: &PartType, unit: &dyn Fn(String) -> String) {
    if t.terminals.is_empty() {
        return;
    }
    let mut c = Columns::new(
        &["  terminal", "role", "where", "leaves", "takes", "on", "limit"],
        &[1, 2, 3, 4, 5, 6],
    );
    for x in &t.terminals {
        let role = serde_json::to_value(x.role).ok().and_then(|v| v.as_str().map(str::to_owned));
        let leaves = match x.exit {
            Exit::Up => "off the face".to_owned(),
            Exit::Along(a) => format!("{:.0}°", a.0),
        };
        let limit = [x.current.map(|a| a.to_string()), x.temperature.map(|t| t.to_string())];
        let ends: Vec<String> = x.ends.iter().map(ToString::to_string).collect();
        c.row(vec![
            format!("  {}", x.name),
            role.unwrap_or_default(),
            unit(format!("{}, {}", Millimetres(x.at.x), Millimetres(x.at.y))),
            leaves,
            format!("{} to {}, {}", three_digits(x.thinnest.0), x.thickest, ends.join(" or ")),
            t.nodes.get(x.node.0).cloned().unwrap_or_default(),
            limit.into_iter().flatten().collect::<Vec<_>>().join(", "),
        ]);
    }
    out.line("");
    for line in c.lines() {
        out.line(&line);
    }
    out.paragraph(2, "Terminals that stand on the same piece of metal have the same word under \"on\".");
}

/// The type in the words of its file: what to copy, extend or override.
fn as_written(out: &mut Out, t: &PartType) {
    let Some(text) = library::as_written(&t.name).filter(|_| !t.own) else { return };
    let from = ["\n[[type.element]]", "\nelement = ", "\n[type.fuse]", "\n[type.plug]"]
        .iter()
        .filter_map(|s| text.find(s))
        .min();
    if let Some(from) = from {
        out.line(&format!("\n  {}", out::strong("As its file writes it")));
        for line in text[from..].trim().lines().take_while(|l| !l.starts_with('#')) {
            out.line(&format!("    {line}"));
        }
    }
}
