//! Part types, from the library and the robot's own files.

use super::elements::{Nodes, elements};
use super::outline::outline;
use super::tree::{Node, Table, Value};
use super::value::shown;
use super::view::{Gather, View, tables_of};
use super::words;
use crate::element::{Fuse, FusePoint};
use crate::format::type_tables::TYPE;
use crate::geometry::{Outline, Point};
use crate::part_type::*;
use crate::units::*;
use crate::wire::EndKind;

/// How finely round footprints are faceted, mm.
const FACET: f64 = 0.05;

/// Reads one part type from its checked table. `None` when something essential was refused.
pub fn part_type(table: &Table, own: bool, gather: &mut Gather<'_>) -> Option<PartType> {
    let v = View::new(&TYPE, table);
    let before = gather.problems.len();
    let name = v.text("name")?.to_owned();
    let outline = footprint(&v, gather);
    let height = Millimetres(v.number("height").unwrap_or(0.0));
    let mut nodes = Nodes::default();
    let terminals = terminals(&v, &outline, height, &mut nodes, gather);
    let elements = elements(v.node("element").map(|(n, _)| n), &mut nodes, gather);
    lonely_nodes(&v, &nodes, gather);
    let holes = holes(&v, gather);
    let fixing = match v.table("fixing") {
        Some(f) => fixing(&f, &usual_fixing(&holes)),
        None => usual_fixing(&holes),
    };
    let built = PartType {
        title: v.text("title").unwrap_or(&name).to_owned(),
        group: v.text("group").unwrap_or("own parts").to_owned(),
        about: v.text_or_empty("about"),
        basis: v.text_or_empty("basis"),
        outline,
        height,
        mass: Kilograms(v.number("mass").unwrap_or(0.0)),
        holes,
        fixing,
        terminals,
        nodes: nodes.names,
        elements,
        fuse: v.table("fuse").and_then(|f| fuse(&f, gather)),
        plug_family: v.table("plug").and_then(|p| plug_family(&p, gather)),
        reach: v.tables("reach").iter().filter_map(reach).collect(),
        noise: v.text("noise").and_then(words::noise).unwrap_or(NoiseClass::Quiet),
        ambient_limit: v.number("ambient_limit").map(Celsius),
        radio_link: v.flag("radio_link"),
        moves: v.flag("moves"),
        leaves: v.number("leaves").unwrap_or(0.0),
        own,
        name,
    };
    (gather.problems.len() == before).then_some(built)
}

fn footprint(v: &View<'_>, gather: &mut Gather<'_>) -> Outline {
    let given = ["size", "outline", "diameter"].into_iter().filter(|k| v.has(k)).count();
    if given > 1 {
        gather.say(
            &v.table.span,
            "`size`, `outline` and `diameter` all give the footprint; one of them is enough.",
            None,
        );
    }
    if let Some((w, h)) = v.extent("size") {
        return Outline::rectangle(Point::new(0.0, 0.0), w, h);
    }
    if let Some(d) = v.number("diameter") {
        return Outline::circle(Point::new(0.0, 0.0), d / 2.0, FACET);
    }
    match v.points("outline").map(outline) {
        Some(Ok(o)) => o,
        Some(Err(why)) => {
            gather.say(v.span("outline"), why, None);
            Outline::default()
        }
        None => {
            if !v.has("fuse") && !v.has("plug") && given == 0 {
                let help = "Give `size_mm`, `outline_mm` or `diameter_mm`.".to_owned();
                gather.say(&v.table.span, "This type has no footprint.", Some(help));
            }
            Outline::default()
        }
    }
}

fn holes(v: &View<'_>, gather: &mut Gather<'_>) -> Vec<MountHole> {
    let Some(centres) = v.points("holes") else { return Vec::new() };
    let Some(d) = v.number("hole_diameter") else {
        if !centres.is_empty() && !v.has("hole_diameter") {
            gather.say(v.span("holes"), "Mounting holes need their `hole_diameter_mm`.", None);
        }
        return Vec::new();
    };
    centres.into_iter().map(|at| MountHole { at, diameter: Millimetres(d) }).collect()
}

/// Bolt and nut with the thickest thread that passes the holes; without holes an adhesive mount.
fn usual_fixing(holes: &[MountHole]) -> Fixing {
    let smallest = holes.iter().map(|h| h.diameter.0).fold(f64::INFINITY, f64::min);
    let thread = Thread::ALL.into_iter().rfind(|t| !t.is_inch() && t.major().0 < smallest);
    let thread = if holes.is_empty() { None } else { thread };
    Fixing {
        style: if thread.is_some() { FixingStyle::BoltAndNut } else { FixingStyle::Adhesive },
        thread,
        head: Head::Pan,
        standoff: Millimetres(0.0),
        flange: Millimetres(2.0),
        turned: false,
        sunk: false,
        slides: None,
    }
}

/// A fixing from its table; what it does not say is taken from `base`.
pub fn fixing(v: &View<'_>, base: &Fixing) -> Fixing {
    Fixing {
        style: v.text("style").and_then(words::fixing_style).unwrap_or(base.style),
        thread: v.text("thread").and_then(words::thread).or(base.thread),
        head: v.text("head").and_then(words::head).unwrap_or(base.head),
        standoff: v.number("standoff").map_or(base.standoff, Millimetres),
        flange: v.number("flange").map_or(base.flange, Millimetres),
        turned: flag(v, "turned", base.turned),
        sunk: flag(v, "sunk", base.sunk),
        slides: slides(v).or(base.slides),
    }
}

/// A flag that keeps what the base says unless it is given.
fn flag(v: &View<'_>, key: &str, base: bool) -> bool {
    if v.has(key) { v.flag(key) } else { base }
}

/// The way a part slides out of its cleats.
fn slides(v: &View<'_>) -> Option<Degrees> {
    let word = v.text("slides").and_then(direction);
    let along = word.and_then(|exit| match exit {
        Exit::Along(d) => Some(d),
        Exit::Up => None,
    });
    along.or(v.number("slides_angle").map(|d| Degrees(d.rem_euclid(360.0))))
}

fn terminals(
    v: &View<'_>,
    outline: &Outline,
    height: Millimetres,
    nodes: &mut Nodes,
    gather: &mut Gather<'_>,
) -> Vec<Terminal> {
    let mut terminals: Vec<Terminal> = Vec::new();
    for t in v.tables("terminal") {
        let Some(name) = t.text("name") else { continue };
        if terminals.iter().any(|x| x.name == name) {
            gather.say(t.span("name"), format!("A second terminal is called `{}`.", shown(name)), None);
            continue;
        }
        terminals.extend(terminal(&t, name, outline, height, nodes, gather));
    }
    terminals
}

fn terminal(
    t: &View<'_>,
    name: &str,
    outline: &Outline,
    height: Millimetres,
    nodes: &mut Nodes,
    gather: &mut Gather<'_>,
) -> Option<Terminal> {
    let fitting_text = t.text("fitting")?;
    let Some(fitting) = words::fitting(fitting_text) else {
        let help =
            "Fittings are: screw-clamp, spring-clamp, stud-M6, tab-6.3, contact, pin, solder, lead-150.";
        let message = format!("`{}` is not a fitting known here.", shown(fitting_text));
        gather.say(t.span("fitting"), message, Some(help.to_owned()));
        return None;
    };
    let ends = ends(t, "ends", gather);
    let (thin, thick) = t.size_range("wire")?;
    let at = t.point("at").unwrap_or_default();
    Some(Terminal {
        name: name.to_owned(),
        at,
        height: t.number("height").map_or(height / 2.0, Millimetres),
        exit: exit(t, at, outline),
        fitting,
        ends: if ends.is_empty() { words::usual_ends(fitting) } else { ends },
        thinnest: thin.area(),
        thickest: thick.area(),
        room_for: t
            .number("room_for")
            .map_or(if matches!(fitting, Fitting::Stud(_)) { 2 } else { 1 }, |n| n as u32),
        boot: t.number("boot").map_or_else(|| words::usual_boot(fitting), Millimetres),
        trimmed_boot: t.number("boot_trimmed").map(Millimetres),
        screw: t.text("screw").and_then(direction).or(match fitting {
            Fitting::ScrewClamp | Fitting::Stud(_) => Some(Exit::Up),
            _ => None,
        }),
        current: t.number("current").map(Amperes),
        temperature: t.number("temperature").map(Celsius),
        torque: t.number("torque").map(NewtonMetres),
        shrouded: t.flag("shrouded"),
        role: words::role(t.text("role")?)?,
        node: nodes.touch(t.text("node").unwrap_or(name)),
        signal: t.table("signal").and_then(|s| signal(&s)),
        optional: t.flag("optional"),
    })
}

/// Direction of a word along a face.
pub fn direction(word: &str) -> Option<Exit> {
    Some(match word {
        "right" => Exit::Along(Degrees(0.0)),
        "up" => Exit::Along(Degrees(90.0)),
        "left" => Exit::Along(Degrees(180.0)),
        "down" => Exit::Along(Degrees(270.0)),
        "off" => Exit::Up,
        _ => return None,
    })
}

/// As stated, else away over the nearest edge of the footprint's bounds.
fn exit(t: &View<'_>, at: Point, outline: &Outline) -> Exit {
    if let Some(exit) = t.text("exit").and_then(direction) {
        return exit;
    }
    if let Some(angle) = t.number("exit_angle") {
        return Exit::Along(Degrees(angle.rem_euclid(360.0)));
    }
    if outline.0.is_empty() {
        return Exit::Up;
    }
    let (low, high) = outline.bounds();
    let sides =
        [(high.x - at.x, 0.0), (high.y - at.y, 90.0), (at.x - low.x, 180.0), (at.y - low.y, 270.0)];
    let nearest =
        sides.into_iter().fold((f64::INFINITY, 0.0), |best, s| if s.0 < best.0 { s } else { best });
    Exit::Along(Degrees(nearest.1))
}

fn ends(t: &View<'_>, key: &str, gather: &mut Gather<'_>) -> Vec<EndKind> {
    let mut ends = Vec::new();
    for (text, span) in t.texts(key) {
        match words::end_kind(text) {
            Some(end) => ends.push(end),
            None => gather.say(
                span,
                format!("`{}` is not a wire end known here.", shown(text)),
                Some(words::END_HELP.to_owned()),
            ),
        }
    }
    ends
}

fn signal(s: &View<'_>) -> Option<Signal> {
    Some(Signal {
        direction: match s.text("direction")? {
            "output" => SignalDirection::Output,
            "input" => SignalDirection::Input,
            _ => SignalDirection::Both,
        },
        level: Volts(s.number("level")?),
        damage: s.number("damage").map(Volts),
        isolated: s.flag("isolated"),
    })
}

/// A node that only one element touches is a slip of the pen.
fn lonely_nodes(v: &View<'_>, nodes: &Nodes, gather: &mut Gather<'_>) {
    let Some((list, _)) = v.node("element") else { return };
    for table in tables_of(list) {
        for (key, _, node) in &table.entries {
            let Value::Text(name) = &node.value else { continue };
            if matches!(key.as_str(), "kind" | "name" | "form" | "law" | "usual" | "chemistry") {
                continue;
            }
            let lonely = nodes.names.iter().zip(&nodes.touched).any(|(n, c)| n == name && *c == 1);
            if lonely {
                let others =
                    nodes.names.iter().zip(&nodes.touched).filter(|(n, c)| **c > 1 && *n != name);
                let near = super::problem::nearest(name, others.map(|(n, _)| n.as_str()));
                gather.say(
                    &node.span,
                    format!("Nothing but this element touches the node `{}`.", shown(name)),
                    Some(match near {
                        Some(near) => format!("Did you mean `{near}`?"),
                        None => "Give a terminal this `node`, or use the node of a terminal.".to_owned(),
                    }),
                );
            }
        }
    }
}

fn fuse(f: &View<'_>, gather: &mut Gather<'_>) -> Option<Fuse> {
    let curve: Vec<FusePoint> = f
        .tables("curve")
        .iter()
        .filter_map(|p| {
            Some(FusePoint {
                multiple: p.number("percent")? / 100.0,
                fastest: Seconds(p.number("fastest")?),
                slowest: p.number("slowest").map(Seconds),
            })
        })
        .collect();
    let falls = |w: &[FusePoint]| {
        let slow = |p: &FusePoint| p.slowest.map_or(f64::INFINITY, |s| s.0);
        w[0].multiple < w[1].multiple && w[0].fastest >= w[1].fastest && slow(&w[0]) >= slow(&w[1])
    };
    if curve.len() < 2
        || !curve.windows(2).all(falls)
        || curve.iter().any(|p| p.slowest.is_some_and(|s| s < p.fastest))
    {
        gather.say(
            f.span("curve"),
            "The opening times need at least two points that rise in current and fall in time, fastest below slowest.",
            None,
        );
        return None;
    }
    Some(Fuse {
        form: f.text("form")?.to_owned(),
        rating: Amperes(f.number("rating")?),
        voltage: Volts(f.number("voltage")?),
        breaking_capacity: Amperes(f.number("breaking_capacity")?),
        cold: Ohms(f.number("cold")?),
        curve,
        colour: f.text("colour").map(str::to_owned),
    })
}

fn plug_family(p: &View<'_>, gather: &mut Gather<'_>) -> Option<PlugFamily> {
    let (thin, thick) = p.size_range("wire")?;
    let end_text = p.text("end")?;
    let Some(end) = words::end_kind(end_text) else {
        let message = format!("`{}` is not a wire end known here.", shown(end_text));
        gather.say(p.span("end"), message, Some(words::END_HELP.to_owned()));
        return None;
    };
    Some(PlugFamily {
        contacts: p.number("contacts")? as u32,
        rating: Amperes(p.number("rating")?),
        resistance: Ohms(p.number("resistance")?),
        voltage: Volts(p.number("voltage")?),
        thinnest: thin.area(),
        thickest: thick.area(),
        temperature: Celsius(p.number("temperature").unwrap_or(105.0)),
        reversible: p.flag("reversible"),
        keyings: p.texts("keyings").into_iter().map(|(t, _)| t.to_owned()).collect(),
        alike: p.flag("alike"),
        break_under_load: p.flag("break_under_load"),
        shrouded: p.flag("shrouded"),
        width: Millimetres(p.number("width")?),
        length: Millimetres(p.number("length")?),
        height: Millimetres(p.number("height")?),
        boot: Millimetres(p.number("boot").unwrap_or(10.0)),
        trimmed_boot: p.number("boot_trimmed").map(Millimetres),
        end,
        locks: p.flag("locks"),
    })
}

fn reach(r: &View<'_>) -> Option<ReachNeed> {
    Some(ReachNeed {
        what: r.text("what")?.to_owned(),
        at: r.point("at")?,
        height: Millimetres(r.number("height").unwrap_or(0.0)),
        towards: direction(r.text("towards")?)?,
        tilt: Degrees(r.number("tilt").unwrap_or(0.0)),
        in_place: r.flag("in_place"),
        width: Millimetres(r.number("width")?),
        depth: Millimetres(r.number("depth")?),
        often: r.text_or_empty("often"),
    })
}

/// A table with another laid over it: keys of `over` replace those of `base` (whatever their unit);
/// terminals and elements are laid over one another by name.
pub fn extended(base: &Table, over: &Table) -> Table {
    let field = |key: &str| TYPE.field_of(key).map(|(f, _)| f.key);
    let mut entries: Vec<_> = base
        .entries
        .iter()
        .filter(|(k, ..)| k != "name" && k != "extends")
        .filter(|(k, ..)| {
            let footprint = ["size", "outline", "diameter"];
            let mine = field(k);
            !over.entries.iter().any(|(o, ..)| {
                let theirs = field(o);
                let both_footprint = mine.is_some_and(|m| footprint.contains(&m))
                    && theirs.is_some_and(|t| footprint.contains(&t));
                theirs == mine && !matches!(mine, Some("terminal" | "element")) || both_footprint
            })
        })
        .cloned()
        .collect();
    for (key, span, node) in &over.entries {
        let merged = matches!(key.as_str(), "terminal" | "element");
        match entries.iter_mut().find(|(k, ..)| k == key).filter(|_| merged) {
            Some((_, _, below)) => lay_over_by_name(below, node),
            None => entries.push((key.clone(), span.clone(), node.clone())),
        }
    }
    Table { entries, span: over.span.clone() }
}

fn lay_over_by_name(below: &mut Node, over: &Node) {
    let name_of = |t: &Table| match t.get("name").map(|n| &n.value) {
        Some(Value::Text(t)) => t.clone(),
        _ => "main".to_owned(),
    };
    let new: Vec<Table> = tables_of(over).cloned().collect();
    let Value::List(items) = &mut below.value else { return };
    for table in new {
        let twin = items.iter_mut().find_map(|i| match &mut i.value {
            Value::Table(t) if name_of(t) == name_of(&table) => Some(t),
            _ => None,
        });
        match twin {
            Some(t) => {
                for (key, span, node) in table.entries {
                    let stem = |k: &str| k.split('_').next().unwrap_or(k).to_owned();
                    t.entries.retain(|(k, ..)| {
                        *k != key && !(stem(k) == stem(&key) && differs_only_in_unit(k, &key))
                    });
                    t.entries.push((key, span, node));
                }
            }
            None => items.push(Node { span: table.span.clone(), value: Value::Table(table) }),
        }
    }
}

/// `boot_mm` and `boot_in` are one key; `window_low_v` and `window_high_v` are two.
fn differs_only_in_unit(a: &str, b: &str) -> bool {
    const UNITS: [&str; 26] = [
        "_mm", "_cm", "_m", "_in", "_a", "_ma", "_v", "_mv", "_ohm", "_mohm", "_w", "_s", "_ms", "_min",
        "_h", "_kg", "_g", "_lb", "_ah", "_f", "_uf", "_deg", "_degc", "_degf", "_nm", "_awg",
    ];
    let bare = |k: &str| {
        let k = k.strip_suffix("_mm2").unwrap_or(k);
        UNITS.iter().find_map(|u| k.strip_suffix(u)).unwrap_or(k).to_owned()
    };
    bare(a) == bare(b)
}
