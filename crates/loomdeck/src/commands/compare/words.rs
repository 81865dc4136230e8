//! A comparison in words and tables.

use super::as_json::{hole_changes, part_changes, wire_changes};
use crate::out::{self, Out};
use crate::report::{self, in_unit};
use crate::table::Columns;
use loomdeck_model::units::{Millimetres, three_digits};
use loomdeck_model::{Finding, LengthUnit, Point, Robot};
use loomdeck_study::Study;
use loomdeck_study::compare::{
    BoardChange, Comparison, HoleChange, HoleNow, PartChange, ReelChange, Reuse, SupplyChange,
    WireChange, WireNow,
};

/// Prints it.
pub fn print(out: &mut Out, c: &Comparison, old: &Study, new: &Study, unit: LengthUnit) {
    out.line(&format!("{} → {}", out::strong(&old.robot.name), out::strong(&new.robot.name)));
    if c.is_empty() {
        out.paragraph(0, "The two are the same: every hole, part, wire and finding.");
        return;
    }
    board(out, &c.board, unit);
    holes(out, &c.holes, unit);
    parts(out, &c.parts, unit);
    wires(out, &c.wires, old, unit);
    reels(out, &c.reels, unit);
    supplies(out, &c.supplies, unit);
    findings(out, "Findings that are new", &c.new, &new.robot, unit);
    findings(out, "Findings that are gone", &c.gone, &old.robot, unit);
}

fn heading(out: &mut Out, title: &str, counts: &[(usize, &str)]) {
    let told: Vec<String> =
        counts.iter().filter(|(n, _)| *n > 0).map(|(n, word)| format!("{n} {word}")).collect();
    out.line("");
    out.line(format!("{}  {}", out::strong(title), told.join(", ")).trim_end());
}

fn table(out: &mut Out, columns: &Columns) {
    for line in columns.lines() {
        out.line(&line);
    }
}

/// A length to a tenth of a millimetre, in the unit asked for.
fn length(mm: Millimetres, unit: LengthUnit) -> String {
    // Rounded first, so that nothing is told as -0.0.
    let tenth = Millimetres((mm.0 * 10.0).round() / 10.0 + 0.0);
    in_unit(&format!("{tenth:.1}"), unit)
}

fn signed(mm: Millimetres, unit: LengthUnit) -> String {
    let sign = if mm.0 > 0.0 { "+" } else { "" };
    format!("{sign}{}", length(mm, unit))
}

fn place(at: Point, unit: LengthUnit) -> String {
    format!("{}, {}", length(Millimetres(at.x), unit), length(Millimetres(at.y), unit))
}

fn board(out: &mut Out, b: &BoardChange, unit: LengthUnit) {
    let mut told = Vec::new();
    if let Some([_, is]) = b.there {
        told.push(if is { "There is a board now." } else { "There is no board any more." }.to_owned());
    }
    if let Some([was, is]) = b.size {
        let size = |s: [Millimetres; 2]| format!("{} × {}", length(s[0], unit), length(s[1], unit));
        told.push(if was == is {
            "The board's outline is another.".to_owned()
        } else {
            format!("The board is {} instead of {}.", size(is), size(was))
        });
    }
    if let Some([was, is]) = b.thickness {
        told.push(format!("It is {} thick instead of {}.", length(is, unit), length(was, unit)));
    }
    if let Some([was, is]) = b.material {
        told.push(format!("It is of {} instead of {}.", is.word(), was.word()));
    }
    if !told.is_empty() {
        out.paragraph(0, &told.join(" "));
    }
}

fn holes(out: &mut Out, holes: &[HoleChange], unit: LengthUnit) {
    if holes.is_empty() {
        return;
    }
    let count = |word: &str| holes.iter().filter(|h| hole_changes(h).contains(&word)).count();
    let counts = [
        (count("moved"), "moved"),
        (count("resized"), "of another size"),
        (count("added"), "added"),
        (count("gone"), "gone"),
    ];
    heading(out, "Holes", &counts);
    let mut c = Columns::new(&["  for", "was", "is", "moved", "size"], &[1, 2, 3, 4]);
    for h in holes {
        let at = |n: &Option<HoleNow>| n.as_ref().map_or_else(|| "—".to_owned(), |n| place(n.at, unit));
        let moved = match h.moved {
            Some(m) if h.has_moved() => length(m, unit),
            Some(_) => "stays".to_owned(),
            None if h.old.is_none() => "new".to_owned(),
            None => "gone".to_owned(),
        };
        let names: Vec<&str> = h.subjects.iter().map(|s| s.name()).collect();
        c.row(vec![
            format!("  {}: {}", names.join(", "), h.what),
            at(&h.old),
            at(&h.new),
            moved,
            sizes(h, unit),
        ]);
    }
    table(out, &c);
}

/// `3.4 mm`, or `3.4 mm, was 4.5 mm`.
fn sizes(h: &HoleChange, unit: LengthUnit) -> String {
    let size = |n: &HoleNow| {
        let (wide, long) = extent(n);
        let mut text = match long {
            Some(long) => format!("{} × {}", length(long, unit), length(wide, unit)),
            None => length(wide, unit),
        };
        if let Some(depth) = n.depth {
            text.push_str(&format!(", {} deep", length(depth, unit)));
        }
        text
    };
    match (&h.old, &h.new) {
        (Some(o), Some(n)) if h.is_resized() => {
            let (was, is) = (size(o), size(n));
            if was == is {
                format!("{is}, from the {}, was from the {}", n.side.word(), o.side.word())
            } else {
                format!("{is}, was {was}")
            }
        }
        (_, Some(n)) | (Some(n), None) => size(n),
        _ => String::new(),
    }
}

fn extent(n: &HoleNow) -> (Millimetres, Option<Millimetres>) {
    use loomdeck_make::HoleShape;
    match n.shape {
        HoleShape::Round(d) => (d, None),
        HoleShape::Slot { length, width, .. } | HoleShape::Rect { length, width, .. } => {
            (width, Some(length))
        }
    }
}

fn parts(out: &mut Out, parts: &[PartChange], unit: LengthUnit) {
    if parts.is_empty() {
        return;
    }
    let count = |word: &str| parts.iter().filter(|p| part_changes(p).contains(&word)).count();
    let counts = [
        (count("added"), "added"),
        (count("gone"), "gone"),
        (count("moved"), "moved"),
        (count("turned"), "turned"),
        (count("type"), "of another type"),
    ];
    heading(out, "Parts and plugs", &counts);
    let mut c = Columns::new(&["  name", "what is different"], &[1]);
    for p in parts {
        c.row(vec![format!("  {}", p.subject.name()), part_words(p, unit)]);
    }
    table(out, &c);
}

fn part_words(p: &PartChange, unit: LengthUnit) -> String {
    let Some((o, n)) = p.both() else {
        let (word, there) = match (&p.old, &p.new) {
            (_, Some(n)) => ("new", n),
            (Some(o), _) => ("gone", o),
            _ => return String::new(),
        };
        return format!("{word}: {} ({})", there.kind, there.place);
    };
    let mut told = Vec::new();
    if o.place != n.place {
        told.push(format!("from {} to {}", o.place, n.place));
    }
    if p.has_moved()
        && let (Some(m), Some(from), Some(to)) = (p.moved, o.at, n.at)
    {
        let text =
            format!("moved {} from {} to {}", length(m, unit), place(from, unit), place(to, unit));
        told.push(text);
    }
    if p.is_turned()
        && let Some(t) = p.turned
    {
        told.push(format!("turned by {}\u{2009}°", three_digits(t.0)));
    }
    if o.kind != n.kind {
        told.push(format!("{} instead of {}", n.kind, o.kind));
    }
    if o.fixing != n.fixing {
        told.push(fixing_words(&o.fixing, &n.fixing, unit));
    }
    for (way, fuse) in &n.fuses {
        match o.fuses.get(way) {
            Some(was) if was == fuse => {}
            Some(was) => told.push(format!("{way}: {fuse} instead of {was}")),
            None => told.push(format!("{way}: {fuse}, was empty")),
        }
    }
    told.extend(o.fuses.keys().filter(|w| !n.fuses.contains_key(*w)).map(|w| format!("{w}: empty now")));
    if o.tail != n.tail {
        let tail = |t: Option<Millimetres>| {
            t.map_or_else(|| "fixed".to_owned(), |t| format!("on a tail of {}", length(t, unit)))
        };
        told.push(format!("{} instead of {}", tail(n.tail), tail(o.tail)));
    }
    told.join("; ")
}

fn fixing_words(
    o: &loomdeck_model::part_type::Fixing,
    n: &loomdeck_model::part_type::Fixing,
    unit: LengthUnit,
) -> String {
    let of = |f: &loomdeck_model::part_type::Fixing| {
        let thread = f.thread.map_or(String::new(), |t| format!(" {}", t.word()));
        let gap = if f.standoff.0 > 0.0 {
            format!(", {} off the board", length(f.standoff, unit))
        } else {
            String::new()
        };
        format!("{}{thread}{gap}", f.style.word())
    };
    let (was, is) = (of(o), of(n));
    if was == is { format!("held another way ({is})") } else { format!("held by {is}, was {was}") }
}

fn wires(out: &mut Out, wires: &[WireChange], old: &Study, unit: LengthUnit) {
    if wires.is_empty() {
        return;
    }
    let count = |word: &str| wires.iter().filter(|w| wire_changes(w).contains(&word)).count();
    let same = old.making.cuts.len() - wires.iter().filter(|w| w.old.is_some()).count();
    let counts = [
        (count("longer"), "longer"),
        (count("shorter"), "shorter"),
        (count("added"), "new"),
        (count("gone"), "gone"),
        (same, "unchanged"),
    ];
    heading(out, "Wires", &counts);
    let mut c = Columns::new(&["  wire", "was", "is", "longer", "the old piece"], &[4]);
    for w in wires {
        let name = w.new.as_ref().or(w.old.as_ref()).map_or("", |n| n.name.as_str());
        let cut = |n: &Option<WireNow>| match n {
            Some(n) if n.cut.0 > 0.0 => length(n.cut, unit),
            Some(_) => "own lead".to_owned(),
            None => "—".to_owned(),
        };
        let longer = w.longer.filter(|l| l.0 != 0.0);
        c.row(vec![
            format!("  {name}"),
            cut(&w.old),
            cut(&w.new),
            longer.map_or_else(String::new, |l| signed(l, unit)),
            reuse_words(w, unit),
        ]);
    }
    // What else is different would make the table wider than any page: it stands below its wire.
    let mut lines = c.lines().into_iter();
    lines.by_ref().take(1).for_each(|l| out.line(&l));
    for (line, w) in lines.zip(wires) {
        out.line(&line);
        let other = else_words(w);
        if !other.is_empty() {
            out.paragraph(6, &other);
        }
    }
}

fn reels(out: &mut Out, reels: &[ReelChange], unit: LengthUnit) {
    if reels.is_empty() {
        return;
    }
    heading(out, "Wire to cut anew", &[]);
    let mut c = Columns::new(&["  reel", "cut", "old pieces left over"], &[]);
    for r in reels {
        let of = |l: Millimetres| if l.0 > 0.0 { length(l, unit) } else { String::new() };
        let s = &r.spool;
        let reel = format!("  {}, {}, {}", s.gauge, s.insulation.word(), s.colour);
        c.row(vec![reel, of(r.cut), of(r.left_over)]);
    }
    table(out, &c);
}

fn else_words(w: &WireChange) -> String {
    let (Some(o), Some(n)) = (&w.old, &w.new) else { return String::new() };
    let mut told = Vec::new();
    for change in wire_changes(w) {
        told.push(match change {
            "size" => format!("{} instead of {}", n.spool.gauge, o.spool.gauge),
            "insulation" => {
                format!("{} instead of {}", n.spool.insulation.word(), o.spool.insulation.word())
            }
            "colour" => format!("{} instead of {}", n.spool.colour, o.spool.colour),
            "ends" => {
                let ends = |w: &WireNow| format!("{} to {}", w.ends[0].kind, w.ends[1].kind);
                format!("{} instead of {}", ends(n), ends(o))
            }
            "landing" => format!("now {} to {}", n.ends[0].at, n.ends[1].at),
            "cable" => "another cable".to_owned(),
            "renamed" => format!("was called {}", o.name),
            _ => continue,
        });
    }
    told.join("; ")
}

fn reuse_words(w: &WireChange, unit: LengthUnit) -> String {
    match &w.reuse {
        None => "cut it".to_owned(),
        Some(Reuse::AsItIs) => "stays".to_owned(),
        Some(Reuse::Trim { by, new_ends }) => {
            let ends = match new_ends {
                [true, true] => "new ends at both",
                [true, false] => "new end at its start",
                [false, true] => "new end at its end",
                [false, false] => "same ends",
            };
            if by.0 > 0.0 {
                format!("take {} off, {ends}", length(*by, unit))
            } else {
                format!("long enough only if its slack allows, {ends}")
            }
        }
        Some(Reuse::TooShort { by }) => format!("{} too short: cut a new one", length(*by, unit)),
        Some(Reuse::OtherReel) => "of another reel: cut a new one".to_owned(),
        Some(Reuse::OtherCable) => "of another cable: cut a new one".to_owned(),
        Some(Reuse::Over) => "left over".to_owned(),
    }
}

fn supplies(out: &mut Out, supplies: &[SupplyChange], unit: LengthUnit) {
    if supplies.is_empty() {
        return;
    }
    heading(out, "To buy and left over", &[]);
    let mut c = Columns::new(&["  item", "was", "is", "to buy", "left over"], &[]);
    for s in supplies {
        let of = |x: f64| match (x, s.unit) {
            (0.0, _) => String::new(),
            (x, "m") => format!("{}\u{2009}m", three_digits(x)),
            (x, _) => three_digits(x),
        };
        c.row(vec![
            format!("  {}", in_unit(&s.item, unit)),
            of(s.old),
            of(s.new),
            of(s.to_buy()),
            of(s.left_over()),
        ]);
    }
    table(out, &c);
    out.paragraph(
        2,
        "When all of the old robot is taken apart for the new one, without spares. Wire is counted by the metre, \
         but no piece can be made longer, so more of it is cut than is counted here; and crimped ends are not used \
         twice.",
    );
}

fn findings(out: &mut Out, title: &str, findings: &[Finding], robot: &Robot, unit: LengthUnit) {
    if findings.is_empty() {
        return;
    }
    heading(out, title, &[]);
    for f in findings {
        let names: Vec<&str> = f.subjects.iter().map(|s| s.name()).collect();
        let head = format!("  {}  {}", out::severity(f.severity), out::strong(f.slug));
        out.line(&format!(
            "{head}  {}  {}",
            report::short_list(&names),
            out::quiet(&report::place(robot, f))
        ));
        out.paragraph(4, &in_unit(&f.what, unit));
    }
}
