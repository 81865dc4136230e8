//! Part types of the robot's own, with what they extend laid under them.

use super::check_types;
use super::names::{Names, same};
use super::robot::{Build, name_of};
use super::tree::{Span, Table};
use super::types::extended;
use super::value::shown;
use super::view::{Gather, View, tables_of};
use crate::format::type_tables::TYPE;
use crate::library::LIBRARY;
use crate::robot::Subject;

/// The robot's own types with what they extend laid under them; cycles are noted.
pub(super) fn own_types(v: &View<'_>, gather: &mut Gather<'_>) -> Vec<Table> {
    let Some((list, _)) = v.node("type") else { return Vec::new() };
    let raw: Vec<&Table> = tables_of(list).collect();
    let mut names = Names::default();
    for (i, t) in raw.iter().enumerate() {
        if let (Some(name), Some(node)) = (name_of(t), t.get("name")) {
            names.add(name, i, &node.span, "part type", gather);
        }
    }
    let mut full = Vec::new();
    for table in &raw {
        if let Some(t) = extend(table, &raw, &names, gather) {
            full.push(t);
        }
    }
    full
}

/// Longest chain of types that extend one another: a robot needs two or three, and each link is laid
/// over all the ones below.
const MAX_CHAIN: usize = 16;

fn extend(table: &Table, raw: &[&Table], names: &Names, gather: &mut Gather<'_>) -> Option<Table> {
    let mut chain: Vec<&Table> = vec![table];
    let mut bottom = None;
    loop {
        let top = chain[chain.len() - 1];
        let Some(node) = top.get("extends") else { break };
        let wanted = same(super::elements::node_text(node));
        // A type may extend the library's type of its own name.
        let other = name_of(top).is_none_or(|n| same(n) != wanted);
        let own = names.get(&wanted).filter(|_| other).and_then(|i| raw.get(i));
        if let Some(next) = own {
            if chain.iter().any(|t| std::ptr::eq(*t, *next)) {
                gather.say(
                    &node.span,
                    format!("`{}` extends itself in a circle.", shown(&wanted)),
                    None,
                );
                return None;
            }
            if chain.len() >= MAX_CHAIN {
                gather.say(
                    &node.span,
                    format!(
                        "This chain of `extends` has more than {MAX_CHAIN} links; no more are followed."
                    ),
                    None,
                );
                return None;
            }
            chain.push(next);
            continue;
        }
        match LIBRARY.types.iter().find(|(n, _)| *n == wanted) {
            Some((_, t)) => bottom = Some(relocated(t, &node.span)),
            None if name_of(top).is_some_and(|n| same(n) == wanted) => {
                gather.say(
                    &node.span,
                    format!("`{}` extends itself in a circle.", shown(&wanted)),
                    None,
                );
                return None;
            }
            None => {
                let near =
                    super::problem::nearest(&wanted, LIBRARY.types.iter().map(|(n, _)| n.as_str()));
                let help = near.map(|n| format!("Did you mean `{n}`?"));
                gather.say(
                    &node.span,
                    format!("There is no part type called `{}`.", shown(&wanted)),
                    help,
                );
                return None;
            }
        }
        break;
    }
    let mut result = match bottom {
        Some(b) => extended(&b, chain.pop()?),
        None => chain.pop()?.clone(),
    };
    while let Some(over) = chain.pop() {
        result = extended(&result, over);
    }
    Some(result)
}

/// A library table whose places point at the line that extends it: the library's own places mean
/// nothing in the robot's files.
fn relocated(table: &Table, span: &Span) -> Table {
    use super::tree::{Node, Value};
    fn node(n: &Node, span: &Span) -> Node {
        let value = match &n.value {
            Value::List(items) => Value::List(items.iter().map(|i| node(i, span)).collect()),
            Value::Table(t) => Value::Table(relocated(t, span)),
            other => other.clone(),
        };
        Node { value, span: span.clone() }
    }
    Table {
        entries: table
            .entries
            .iter()
            .map(|(k, _, n)| (k.clone(), span.clone(), node(n, span)))
            .collect(),
        span: span.clone(),
    }
}

/// Types nobody uses are read all the same, so that their mistakes come to light.
pub(super) fn unused_own_types(b: &mut Build, gather: &mut Gather<'_>) {
    let tables = b.own_types.clone();
    let laid_over: Vec<Table> = tables.iter().filter(|t| t.get("extends").is_some()).cloned().collect();
    check_types(&laid_over, gather);
    for table in &tables {
        let v = View::new(&TYPE, table);
        if let Some(name) = v.text("name") {
            let span = v.span("name").clone();
            b.resolve_type(name, &span, gather);
            b.stands(Subject::Type(name.to_owned()), &span, gather);
        }
    }
}
