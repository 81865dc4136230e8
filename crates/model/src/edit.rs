//! Writing an edit back into the text, keeping comments, order and formatting.
//!
//! Each edit changes the smallest stretch of one file. Everything outside it keeps its bytes:
//! comments, blank lines, quoting of keys, CRLF line ends, a byte-order mark.

use crate::finding::{Edit, EditValue};
use crate::format::tables::ROOT;
use crate::format::{Dimension, Field, Kind, Spec};
use crate::read::Folder;
use crate::read::names::same;
use crate::robot::Subject;
use crate::wire::Gauge;
use std::fmt;
use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, Key, Table, TableLike, Value};

/// Why an edit cannot be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EditProblem {
    /// The thing is in none of the files.
    NoSuchThing(String),
    /// A thing of that name exists already.
    NameTaken(String),
    /// The format has no such key there.
    NoSuchKey(String),
    /// The value does not go with the key.
    WrongValue(String),
    /// The file is not TOML.
    NotToml(String),
}

impl fmt::Display for EditProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoSuchThing(n) => write!(f, "`{n}` stands in none of the files."),
            Self::NameTaken(n) => write!(f, "The name `{n}` is taken."),
            Self::NoSuchKey(k) => write!(f, "The key `{k}` is not known there."),
            Self::WrongValue(k) => write!(f, "The value does not go with the key `{k}`."),
            Self::NotToml(file) => write!(f, "{file} is not TOML."),
        }
    }
}

impl std::error::Error for EditProblem {}

/// The folder with all edits applied, in order; none is applied when one cannot be.
///
/// # Errors
/// The first edit that cannot be written.
pub fn apply(folder: &Folder, edits: &[Edit]) -> Result<Folder, EditProblem> {
    let mut changed = folder.clone();
    for edit in edits {
        apply_one(&mut changed, edit)?;
    }
    Ok(changed)
}

fn apply_one(folder: &mut Folder, edit: &Edit) -> Result<(), EditProblem> {
    let (Edit::Set { on, .. }
    | Edit::Unset { on, .. }
    | Edit::Rekey { on, .. }
    | Edit::Add { on, .. }
    | Edit::Remove { on }) = edit;
    let file = match edit {
        Edit::Add { .. } if holder(folder, on)?.is_some() => {
            return Err(EditProblem::NameTaken(on.name().to_owned()));
        }
        Edit::Add { .. } => home(folder, on),
        _ => holder(folder, on)?.ok_or_else(|| EditProblem::NoSuchThing(on.name().to_owned()))?,
    };
    let before = folder.files.get(&file).cloned().unwrap_or_default();
    let mut doc = parse(&file, &before)?;
    match edit {
        Edit::Set { key, value, .. } => {
            let (table, spec) =
                find_mut(&mut doc, on).ok_or_else(|| EditProblem::NoSuchThing(on.name().to_owned()))?;
            set(table, spec, key, value)?;
        }
        Edit::Unset { key, .. } => {
            let (table, spec) =
                find_mut(&mut doc, on).ok_or_else(|| EditProblem::NoSuchThing(on.name().to_owned()))?;
            unset(table, spec, key)?;
        }
        Edit::Rekey { key, to, .. } => {
            let (table, spec) =
                find_mut(&mut doc, on).ok_or_else(|| EditProblem::NoSuchThing(on.name().to_owned()))?;
            rekey(table, spec, key, to)?;
        }
        Edit::Add { keys, .. } => add(&mut doc, on, keys)?,
        Edit::Remove { .. } => remove(&mut doc, on)?,
    }
    folder.files.insert(file, graft(&before, &doc.to_string()));
    Ok(())
}

fn parse(file: &str, text: &str) -> Result<DocumentMut, EditProblem> {
    text.trim_start_matches('\u{feff}').parse().map_err(|_| EditProblem::NotToml(file.to_owned()))
}

/// Takes every line that the edit left alone from the original, with its own line end.
fn graft(before: &str, after: &str) -> String {
    let (mark, body) = match before.strip_prefix('\u{feff}') {
        Some(rest) => ("\u{feff}", rest),
        None => ("", before),
    };
    let old: Vec<&str> = body.split_inclusive('\n').collect();
    let new: Vec<&str> = after.split_inclusive('\n').collect();
    let bare = |l: &str| l.trim_end_matches('\n').trim_end_matches('\r').to_owned();
    let head = old.iter().zip(&new).take_while(|(a, b)| bare(a) == bare(b)).count();
    let room = old.len().min(new.len()) - head;
    let tail = old
        .iter()
        .rev()
        .zip(new.iter().rev())
        .take(room)
        .take_while(|(a, b)| bare(a) == bare(b))
        .count();
    let crlf = old.iter().filter(|l| l.ends_with("\r\n")).count() * 2 > old.len();
    let mut out = String::with_capacity(after.len() + 16);
    out.push_str(mark);
    old[..head].iter().for_each(|l| out.push_str(l));
    if head > 0 && head < new.len() - tail && !out.ends_with('\n') {
        out.push_str(if crlf { "\r\n" } else { "\n" });
    }
    for line in &new[head..new.len() - tail] {
        out.push_str(&bare(line));
        if line.ends_with('\n') {
            out.push_str(if crlf { "\r\n" } else { "\n" });
        }
    }
    old[old.len() - tail..].iter().for_each(|l| out.push_str(l));
    out
}

/// The section of the root that holds a kind of thing; `None` for the top itself.
fn section(on: &Subject) -> Option<&'static str> {
    Some(match on {
        Subject::Robot => return None,
        Subject::Board => "board",
        Subject::Part(_) => "part",
        Subject::Plug(_) => "plug",
        Subject::Wire(_) => "wire",
        Subject::Loom(_) => "loom",
        Subject::Cable(_) => "cable",
        Subject::Zone(_) => "zone",
        Subject::Pass(_) => "pass",
        Subject::BoardMount(_) => "mount",
        Subject::KeepOut(_) => "keep_out",
        Subject::Situation(_) => "situation",
        Subject::Day => "day",
        Subject::Type(_) => "type",
    })
}

fn spec_of(section: &str) -> Option<&'static Spec> {
    ROOT.fields.iter().find(|f| f.key == section).and_then(|f| match &f.kind {
        Kind::Table(s) | Kind::Tables(s) => Some(*s),
        _ => None,
    })
}

/// The file in which a thing stands.
fn holder(folder: &Folder, on: &Subject) -> Result<Option<String>, EditProblem> {
    if *on == Subject::Robot {
        return Ok(folder.files.contains_key("robot.toml").then(|| "robot.toml".to_owned()));
    }
    for (file, text) in folder.files.iter().filter(|(f, _)| *f != "as-built.toml") {
        let mut doc = parse(file, text)?;
        if find_mut(&mut doc, on).is_some() {
            return Ok(Some(file.clone()));
        }
    }
    Ok(None)
}

/// The file a new thing goes into: where its kind already stands, else where its kind belongs.
fn home(folder: &Folder, on: &Subject) -> String {
    let Some(section) = section(on) else { return "robot.toml".to_owned() };
    let has = |text: &String| {
        text.trim_start_matches('\u{feff}').parse::<DocumentMut>().is_ok_and(|d| d.contains_key(section))
    };
    let belongs = match on {
        Subject::Wire(_) | Subject::Plug(_) | Subject::Loom(_) | Subject::Cable(_) => "wiring.toml",
        Subject::Board
        | Subject::Pass(_)
        | Subject::BoardMount(_)
        | Subject::KeepOut(_)
        | Subject::Part(_) => "board.toml",
        _ => "robot.toml",
    };
    let candidates = [belongs, "robot.toml", "board.toml", "wiring.toml"];
    let with_kind = candidates.into_iter().find(|f| folder.files.get(*f).is_some_and(has));
    let file = with_kind.or_else(|| candidates.into_iter().find(|f| folder.files.contains_key(*f)));
    file.unwrap_or("robot.toml").to_owned()
}

/// The table of a thing in one file, and its spec.
fn find_mut<'d>(
    doc: &'d mut DocumentMut,
    on: &Subject,
) -> Option<(&'d mut dyn TableLike, &'static Spec)> {
    let Some(section) = section(on) else { return Some((doc.as_table_mut(), &ROOT)) };
    let spec = spec_of(section)?;
    let item = doc.get_mut(section)?;
    if matches!(on, Subject::Board) {
        return Some((item.as_table_like_mut()?, spec));
    }
    let named = |t: &dyn TableLike| {
        t.get("name").and_then(Item::as_str).is_some_and(|n| same(n) == same(on.name()))
    };
    match item {
        Item::ArrayOfTables(list) => {
            let table = list.iter_mut().find(|t| named(*t))?;
            Some((table, spec))
        }
        Item::Value(Value::Array(list)) => {
            let table = list.iter_mut().filter_map(Value::as_inline_table_mut).find(|t| named(*t))?;
            Some((table, spec))
        }
        _ => None,
    }
}

fn field_in(spec: &'static Spec, key: &str) -> Result<&'static Field, EditProblem> {
    spec.fields.iter().find(|f| f.key == key).ok_or_else(|| EditProblem::NoSuchKey(key.to_owned()))
}

/// The spelling under which a field stands in a table.
fn spelling(table: &dyn TableLike, spec: &'static Spec, field: &Field) -> Option<String> {
    table
        .iter()
        .map(|(k, _)| k.to_owned())
        .find(|k| spec.field_of(k).is_some_and(|(f, _)| f.key == field.key))
}

fn set(
    table: &mut dyn TableLike,
    spec: &'static Spec,
    key: &str,
    value: &EditValue,
) -> Result<(), EditProblem> {
    if let Some((first, rest)) = key.split_once('.') {
        let field = field_in(spec, first)?;
        let inner =
            table.entry(first).or_insert_with(|| Item::Value(Value::InlineTable(InlineTable::new())));
        let inner = inner.as_table_like_mut().ok_or_else(|| EditProblem::WrongValue(key.to_owned()))?;
        return match &field.kind {
            Kind::Table(s) => set(inner, s, rest, value),
            Kind::ReferenceMap | Kind::MapOf(..) => {
                let new = plain(value).ok_or_else(|| EditProblem::WrongValue(key.to_owned()))?;
                put(inner, rest, new);
                Ok(())
            }
            _ => Err(EditProblem::NoSuchKey(key.to_owned())),
        };
    }
    let field = field_in(spec, key)?;
    let old = spelling(table, spec, field);
    let (name, new) =
        written(field, old.as_deref(), value).ok_or_else(|| EditProblem::WrongValue(key.to_owned()))?;
    if let Some(old) = old.filter(|o| *o != name) {
        table.remove(&old);
    }
    put(table, &name, new);
    Ok(())
}

/// Replaces a value where it stands, or adds it as the last key.
fn put(table: &mut dyn TableLike, key: &str, mut new: Value) {
    let existing = table.iter().map(|(k, _)| k.to_owned()).find(|k| same(k) == same(key));
    match existing.and_then(|k| table.get_mut(&k)) {
        Some(Item::Value(old)) => {
            *new.decor_mut() = old.decor().clone();
            *old = new;
        }
        Some(item) => *item = Item::Value(new),
        None => {
            table.insert(key, Item::Value(new));
        }
    }
}

fn unset(table: &mut dyn TableLike, spec: &'static Spec, key: &str) -> Result<(), EditProblem> {
    if let Some((first, rest)) = key.split_once('.') {
        let field = field_in(spec, first)?;
        let Some(inner) = table.get_mut(first).and_then(Item::as_table_like_mut) else { return Ok(()) };
        match &field.kind {
            Kind::Table(s) => unset(inner, s, rest)?,
            _ => {
                inner.remove(rest);
            }
        }
        if inner.is_empty() {
            table.remove(first);
        }
        return Ok(());
    }
    let field = field_in(spec, key)?;
    if let Some(old) = spelling(table, spec, field) {
        table.remove(&old);
    }
    Ok(())
}

/// Gives a free key another name where it stands, in the order it stands.
fn rekey(
    table: &mut dyn TableLike,
    spec: &'static Spec,
    key: &str,
    to: &str,
) -> Result<(), EditProblem> {
    let missing = || EditProblem::NoSuchKey(key.to_owned());
    let (first, old) = key.split_once('.').ok_or_else(missing)?;
    if !matches!(field_in(spec, first)?.kind, Kind::ReferenceMap | Kind::MapOf(..)) {
        return Err(missing());
    }
    let item = table.get_mut(first).ok_or_else(missing)?;
    let keys: Vec<String> = match &*item {
        Item::Table(t) => t.iter().map(|(k, _)| k.to_owned()).collect(),
        Item::Value(Value::InlineTable(t)) => t.iter().map(|(k, _)| k.to_owned()).collect(),
        _ => return Err(missing()),
    };
    let is = |k: &str, name: &str| same(k) == same(name);
    if !keys.iter().any(|k| is(k, old)) {
        return Err(missing());
    }
    if keys.iter().any(|k| is(k, to) && !is(k, old)) {
        return Err(EditProblem::NameTaken(to.to_owned()));
    }
    // All are taken out and put back, because what is put in comes last.
    let named = |k: &Key| match is(k.get(), old) {
        true => Key::new(to).with_leaf_decor(k.leaf_decor().clone()),
        false => k.clone(),
    };
    for k in &keys {
        match item {
            Item::Table(t) => {
                if let Some((k, v)) = t.remove_entry(k) {
                    t.insert_formatted(&named(&k), v);
                }
            }
            Item::Value(Value::InlineTable(t)) => {
                if let Some((k, v)) = t.remove_entry(k) {
                    t.insert_formatted(&named(&k), v);
                }
            }
            _ => {}
        }
    }
    Ok(())
}

fn add(doc: &mut DocumentMut, on: &Subject, keys: &[(String, EditValue)]) -> Result<(), EditProblem> {
    let missing = || EditProblem::NoSuchKey(on.name().to_owned());
    let section = section(on).ok_or_else(missing)?;
    let spec = spec_of(section).ok_or_else(missing)?;
    let mut table = Table::new();
    if !matches!(on, Subject::Day | Subject::Board) {
        table.insert("name", Item::Value(Value::from(on.name())));
    }
    for (key, value) in keys {
        set(&mut table, spec, key, value)?;
    }
    table.decor_mut().set_prefix("\n");
    if matches!(on, Subject::Board) {
        // There is one board: a table, and no list of them.
        doc.insert(section, Item::Table(table));
        return Ok(());
    }
    let item = doc.entry(section).or_insert_with(|| Item::ArrayOfTables(ArrayOfTables::new()));
    match item {
        Item::ArrayOfTables(list) => list.push(table),
        Item::Value(Value::Array(list)) => list.push(table.into_inline_table()),
        _ => return Err(missing()),
    }
    Ok(())
}

fn remove(doc: &mut DocumentMut, on: &Subject) -> Result<(), EditProblem> {
    let missing = || EditProblem::NoSuchThing(on.name().to_owned());
    let section = section(on).ok_or_else(missing)?;
    if matches!(on, Subject::Board) {
        return doc.remove(section).map(|_| ()).ok_or_else(missing);
    }
    let named = |t: &dyn TableLike| {
        t.get("name").and_then(Item::as_str).is_some_and(|n| same(n) == same(on.name()))
    };
    match doc.get_mut(section).ok_or_else(missing)? {
        Item::ArrayOfTables(list) => {
            let i = list.iter().position(|t| named(t)).ok_or_else(missing)?;
            list.remove(i);
            if list.is_empty() {
                doc.remove(section);
            }
        }
        Item::Value(Value::Array(list)) => {
            let i = list
                .iter()
                .position(|v| v.as_inline_table().is_some_and(|t| named(t)))
                .ok_or_else(missing)?;
            list.remove(i);
        }
        _ => return Err(missing()),
    }
    Ok(())
}

/// The key and value to write for a field, in the unit the file already uses.
fn written(field: &Field, old: Option<&str>, value: &EditValue) -> Option<(String, Value)> {
    let key = field.key;
    let unit = old.map(|o| o[key.len()..].trim_start_matches('_')).filter(|u| !u.is_empty());
    let quantity = |d: Dimension, base: f64| {
        let unit = unit.unwrap_or(d.suffixes()[0].0);
        Some((format!("{key}_{unit}"), number(d.from_base(base, unit)?)))
    };
    match (&field.kind, value) {
        (Kind::Quantity(d @ Dimension::Length, ..), EditValue::Length(l)) => quantity(*d, l.0),
        (Kind::Quantity(d @ Dimension::Current, ..), EditValue::Current(a)) => quantity(*d, a.0),
        (Kind::Quantity(d @ Dimension::Angle, ..), EditValue::Angle(a)) => quantity(*d, a.0),
        // A plain number is taken in the base unit of the key.
        (Kind::Quantity(d, ..), EditValue::Number(n)) => quantity(*d, *n),
        (Kind::Percent(..), EditValue::Number(n)) => Some((format!("{key}_percent"), number(*n))),
        (Kind::Number(..) | Kind::Whole(..), EditValue::Number(n)) => Some((key.to_owned(), number(*n))),
        (Kind::Point | Kind::Extent, EditValue::Point(p)) => {
            let unit = unit.unwrap_or("mm");
            Some((format!("{key}_{unit}"), Value::Array(pair(*p, unit)?)))
        }
        (Kind::Points, EditValue::Points(list)) => {
            let unit = unit.unwrap_or("mm");
            let mut all = Array::new();
            for p in list {
                all.push(pair(*p, unit)?);
            }
            Some((format!("{key}_{unit}"), Value::Array(all)))
        }
        (Kind::Tables(spec), EditValue::Pins(list)) if spec.name == "pin" => {
            let mut all = Array::new();
            for (face, at) in list {
                let mut pin = InlineTable::new();
                pin.insert("face", Value::from(face.as_str()));
                pin.insert("at_mm", Value::Array(pair(*at, "mm")?));
                all.push(pin);
            }
            Some((key.to_owned(), Value::Array(all)))
        }
        (Kind::Size, EditValue::Gauge(Gauge::Metric(mm2))) => Some((format!("{key}_mm2"), number(*mm2))),
        (Kind::Size, EditValue::Gauge(Gauge::Awg(n))) => {
            Some((format!("{key}_awg"), Value::from(i64::from(*n))))
        }
        (Kind::Table(_) | Kind::Tables(_) | Kind::Elements, _) => None,
        _ => Some((key.to_owned(), plain(value)?)),
    }
}

/// A point in a unit of length.
fn pair(p: crate::geometry::Point, unit: &str) -> Option<Array> {
    let in_unit = |x| Dimension::Length.from_base(x, unit).map(number);
    let mut pair = Array::new();
    pair.push(in_unit(p.x)?);
    pair.push(in_unit(p.y)?);
    Some(pair)
}

/// A value that needs no unit.
fn plain(value: &EditValue) -> Option<Value> {
    Some(match value {
        EditValue::Text(t) => Value::from(t.as_str()),
        EditValue::Number(n) => number(*n),
        EditValue::Flag(b) => Value::from(*b),
        EditValue::Texts(list) => Value::Array(list.iter().map(String::as_str).collect()),
        EditValue::Insulation(i) => Value::from(i.word()),
        EditValue::Colour(c) => Value::from(c.to_string()),
        _ => return None,
    })
}

/// A number without the noise of binary fractions: six decimals at most, whole when it is whole.
fn number(x: f64) -> Value {
    let rounded = (x * 1e6).round() / 1e6;
    if rounded.fract() == 0.0 && rounded.abs() < 1e15 {
        Value::from(rounded as i64)
    } else {
        Value::from(rounded)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;
    use crate::units::Millimetres;

    fn set_on(text: &str, on: Subject, key: &str, value: EditValue) -> String {
        let edits = [Edit::Set { on, key: key.to_owned(), value }];
        apply(&Folder::single(text), &edits).unwrap().files["robot.toml"].clone()
    }

    const TEXT: &str = "\u{feff}# top\r\nformat = 1 # one\r\n\r\n[[part]] # first\r\nname = 'a'\r\n  at_in = [ 1 , 2 ] # here\r\nfuses = { way-1 = \"x\" } # f\r\n\r\n# about b\r\n[[part]]\r\nname = \"b\"\r\nat_mm = [0, 0]\r\n# end";

    #[test]
    fn only_the_value_changes() {
        let new =
            set_on(TEXT, Subject::Part("a".into()), "at", EditValue::Point(Point::new(25.4, 50.8)));
        assert_eq!(new, TEXT.replace("[ 1 , 2 ]", "[1, 2]"));
        let new =
            set_on(TEXT, Subject::Part("b".into()), "at", EditValue::Point(Point::new(12.5, -3.0)));
        assert_eq!(new, TEXT.replace("[0, 0]", "[12.5, -3]"));
    }

    #[test]
    fn a_new_key_goes_last_in_its_table_with_the_files_line_end() {
        let new = set_on(TEXT, Subject::Part("b".into()), "lead", EditValue::Length(Millimetres(5.0)));
        assert_eq!(new, TEXT.replace("at_mm = [0, 0]\r\n", "at_mm = [0, 0]\r\nlead_mm = 5\r\n"));
    }

    #[test]
    fn dotted_keys_reach_into_tables() {
        let new = set_on(TEXT, Subject::Part("a".into()), "fuses.way-1", EditValue::Text("y".into()));
        assert_eq!(new, TEXT.replace("\"x\"", "\"y\""));
        let new =
            set_on(TEXT, Subject::Part("a".into()), "fixing.style", EditValue::Text("insert".into()));
        assert!(new.contains("fixing = { style = \"insert\" }"), "{new}");
        let new = set_on(TEXT, Subject::Robot, "limits.stall", EditValue::Number(3.0));
        assert!(new.contains("limits = { stall_s = 3 }"), "{new}");
    }

    #[test]
    fn names_match_however_they_are_composed() {
        let text = "[[part]]\nname = \"cafe\u{301}\" # left decomposed\nat_mm = [0, 0]\n";
        let new = set_on(
            text,
            Subject::Part("caf\u{e9}".into()),
            "at",
            EditValue::Point(Point::new(1.0, 2.0)),
        );
        assert_eq!(new, text.replace("[0, 0]", "[1, 2]"));
    }

    #[test]
    fn things_come_and_go() {
        let folder = Folder::single(TEXT);
        let wire = Edit::Add {
            on: Subject::Wire("w".into()),
            keys: vec![
                ("from".into(), EditValue::Text("a.plus".into())),
                ("size".into(), EditValue::Gauge(Gauge::Metric(1.5))),
            ],
        };
        let with = apply(&folder, std::slice::from_ref(&wire)).unwrap();
        let text = &with.files["robot.toml"];
        assert!(text.starts_with(TEXT.trim_end_matches("# end")), "{text}");
        assert!(
            text.contains("[[wire]]\r\nname = \"w\"\r\nfrom = \"a.plus\"\r\nsize_mm2 = 1.5\r\n"),
            "{text:?}"
        );
        assert_eq!(apply(&with, &[wire]), Err(EditProblem::NameTaken("w".into())));
        let gone = apply(&folder, &[Edit::Remove { on: Subject::Part("a".into()) }]).unwrap();
        assert!(
            !gone.files["robot.toml"].contains("'a'") && gone.files["robot.toml"].contains("# about b")
        );
        let none = apply(&folder, &[Edit::Remove { on: Subject::Part("zz".into()) }]);
        assert_eq!(none, Err(EditProblem::NoSuchThing("zz".into())));
    }

    #[test]
    fn the_board_is_one_table_and_no_list() {
        let folder = Folder::single(TEXT);
        let keys = vec![("thickness".to_owned(), EditValue::Length(Millimetres(6.0)))];
        let board = Edit::Add { on: Subject::Board, keys };
        let with = apply(&folder, std::slice::from_ref(&board)).unwrap();
        let text = &with.files["robot.toml"];
        assert!(text.contains("\r\n[board]\r\nthickness_mm = 6\r\n"), "{text:?}");
        assert_eq!(apply(&with, &[board]), Err(EditProblem::NameTaken("board".into())));
        let gone = apply(&with, &[Edit::Remove { on: Subject::Board }]).unwrap();
        assert!(!gone.files["robot.toml"].contains("[board]"));
    }

    #[test]
    fn corners_and_pins_are_written_and_read_back() {
        let text = "[board]\noutline_in = [[0, 0], [4, 0], [4, 4]] # cut\nthickness_mm = 6\n[[wire]]\nname = \"w\"\n";
        let at = |x, y| Point::new(x, y);
        let corners = EditValue::Points(vec![at(0.0, 0.0), at(50.8, 0.0), at(25.4, 25.4)]);
        let new = set_on(text, Subject::Board, "outline", corners);
        assert_eq!(new, text.replace("[[0, 0], [4, 0], [4, 4]]", "[[0, 0], [2, 0], [1, 1]]"));
        let pins = EditValue::Pins(vec![("front".into(), at(1.5, 2.0)), ("back".into(), at(3.0, 4.0))]);
        let new = set_on(text, Subject::Wire("w".into()), "pins", pins);
        let line =
            "pins = [{ face = \"front\", at_mm = [1.5, 2] }, { face = \"back\", at_mm = [3, 4] }]\n";
        assert_eq!(new, format!("{text}{line}"));
    }

    #[test]
    fn a_free_key_takes_another_name_where_it_stands() {
        let text = "[[situation]]\nname = \"s\" # one\nactivity = { lamp = \"on\", radio = { mean_a = 1 }, horn = \"off\" } # c\n\n[situation.motors]\n# the left one\nleft = { stalled = true }\n\n[situation.motors.right]\nstalled = true # r\n";
        let on = || Subject::Situation("s".into());
        let of = |key: &str, to: &str| {
            let edits = [Edit::Rekey { on: on(), key: key.into(), to: to.into() }];
            apply(&Folder::single(text), &edits).map(|f| f.files["robot.toml"].clone())
        };
        assert_eq!(of("activity.radio", "set"), Ok(text.replace("radio =", "set =")));
        assert_eq!(of("motors.left", "port"), Ok(text.replace("\nleft =", "\nport =")));
        assert_eq!(of("motors.right", "star"), Ok(text.replace("motors.right", "motors.star")));
        assert_eq!(of("activity.lamp", "horn"), Err(EditProblem::NameTaken("horn".into())));
        assert_eq!(of("activity.none", "x"), Err(EditProblem::NoSuchKey("activity.none".into())));
        assert_eq!(of("name.s", "x"), Err(EditProblem::NoSuchKey("name.s".into())));
    }

    #[test]
    fn a_key_is_taken_out_whatever_its_unit() {
        let edits = [Edit::Unset { on: Subject::Part("a".into()), key: "at".into() }];
        let new = apply(&Folder::single(TEXT), &edits).unwrap().files["robot.toml"].clone();
        assert_eq!(new, TEXT.replace("  at_in = [ 1 , 2 ] # here\r\n", ""));
    }
}
