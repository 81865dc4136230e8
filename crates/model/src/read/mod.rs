//! From the text of a folder to a [`Robot`], with every mistake at once.
//!
//! The reader walks trees in which each key and value knows its place ([`tree`]). Each table is
//! first checked against the format ([`crate::format`]): unknown keys, kinds, units, ranges. Then
//! names are resolved and the robot is built; nothing stops at the first mistake.

mod board;
pub mod elements;
pub mod folder;
pub mod journal;
pub mod landing;
pub mod names;
pub mod outline;
mod own_types;
mod parts;
pub mod problem;
pub mod robot;
pub mod situations;
#[cfg(test)]
mod tests;
pub mod tree;
pub mod types;
pub mod value;
pub mod view;
pub mod wiring;
pub mod words;

pub use folder::Folder;
pub use problem::Problem;

use crate::Robot;
use crate::format::tables::{AS_BUILT, ROOT};
use crate::format::type_tables::TYPE;
use crate::format::{Kind, MAX_ENTRIES};
use tree::{Node, Sources, Span, Table, Value};
use view::{Gather, check_table};

/// Reads a robot. The robot is there when no problem was found.
pub fn read(folder: &Folder) -> (Option<Robot>, Vec<Problem>) {
    let sources = Sources::new(folder.files.clone().into_iter().collect());
    let mut gather = Gather::new(&sources);
    let root = joined(&mut gather);
    let unparsed = !gather.problems.is_empty();
    check_table(&ROOT, &root.main, &mut gather);
    if let Some(table) = &root.as_built {
        check_table(&AS_BUILT, table, &mut gather);
    }
    let robot = robot::build(&root.main, root.as_built.as_ref(), &mut gather);
    let mut problems = gather.problems;
    if !unparsed {
        problems.extend(at_most(gather.unresolved, MAX_UNRESOLVED));
    }
    problems.sort_by(|a, b| {
        (file_rank(&a.file), &a.file, a.span.start).cmp(&(file_rank(&b.file), &b.file, b.span.start))
    });
    problems.dedup();
    let robot = robot.filter(|_| problems.is_empty());
    (robot, problems)
}

/// More names than this that stand for nothing have one cause, and no one reads them all.
const MAX_UNRESOLVED: usize = 20;

/// The first of many, the last of them with a word about the rest.
fn at_most(mut problems: Vec<Problem>, most: usize) -> Vec<Problem> {
    let more = problems.len().saturating_sub(most);
    problems.truncate(most);
    if let Some(last) = problems.last_mut().filter(|_| more > 0) {
        let help = last.help.take().unwrap_or_default();
        last.help = Some(format!("{help} {more} more names stand for nothing.").trim().to_owned());
    }
    problems
}

/// `robot.toml` comes first, then the other top files, then the parts.
fn file_rank(file: &str) -> usize {
    folder::TOP_FILES.iter().position(|f| *f == file).unwrap_or(folder::TOP_FILES.len())
}

struct Root {
    main: Table,
    as_built: Option<Table>,
}

/// Parses all files and joins their sections, as if they were one.
fn joined(gather: &mut Gather<'_>) -> Root {
    let mut entries: Vec<(String, Span, Node)> = Vec::new();
    let mut as_built = None;
    let mut order: Vec<usize> = (0..gather.sources.files.len()).collect();
    order.sort_by_key(|i| file_rank(&gather.sources.files[*i].0));
    let top = Span { file: order.first().copied().unwrap_or(0), bytes: 0..0 };
    for file in order {
        let name = gather.sources.files[file].0.clone();
        let table = tree::parse(gather.sources, file, &mut gather.problems);
        if name == "as-built.toml" {
            as_built = Some(table);
            continue;
        }
        let parts_file = name.starts_with("parts/");
        for (key, span, node) in table.entries {
            if parts_file && key != "type" {
                let help = Some("Files in `parts/` hold `[[type]]` tables only.".to_owned());
                gather.say(&span, format!("`{}` cannot stand in this file.", value::shown(&key)), help);
                continue;
            }
            join(&mut entries, key, span, node, gather);
        }
    }
    Root { main: Table { entries, span: top }, as_built }
}

fn join(
    entries: &mut Vec<(String, Span, Node)>,
    key: String,
    span: Span,
    node: Node,
    gather: &mut Gather<'_>,
) {
    let Some((_, first, there)) = entries.iter_mut().find(|(k, ..)| *k == key) else {
        entries.push((key, span, node));
        return;
    };
    let lists = ROOT.fields.iter().any(|f| f.key == key && matches!(f.kind, Kind::Tables(_)));
    match (&mut there.value, node.value) {
        (Value::List(all), Value::List(more)) if lists && all.len() + more.len() <= MAX_ENTRIES + 1 => {
            all.extend(more)
        }
        _ => {
            let (file, line) = (gather.sources.name(first).to_owned(), gather.sources.line(first));
            gather.say(
                &span,
                format!(
                    "`{}` stands here a second time; the first is in {}, line {}.",
                    value::shown(&key),
                    file,
                    line
                ),
                None,
            );
        }
    }
}

/// Checks own part types against the format.
pub(crate) fn check_types(tables: &[Table], gather: &mut Gather<'_>) {
    for table in tables {
        check_table(&TYPE, table, gather);
    }
}
