//! Mistakes in files, with the line they stand on and the text underlined.

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use loomdeck_model::{Folder, Problem};
use std::io::{IsTerminal, Write};

/// Prints all problems on standard error.
pub fn print(folder: &Folder, problems: &[Problem]) {
    let text = render(folder, problems, std::io::stderr().is_terminal());
    let _ = write!(anstream::stderr(), "{text}");
}

/// The problems as text.
pub fn render(folder: &Folder, problems: &[Problem], colour: bool) -> String {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    let mut out = String::new();
    for p in problems {
        let Some(source) = folder.files.get(&p.file).filter(|_| p.line > 0) else {
            out.push_str(&format!("{}: {}\n\n", p.file, told(p)));
            continue;
        };
        let span = visible(source, p);
        let snippet =
            Snippet::source(source.as_str()).fold(true).annotation(AnnotationKind::Primary.span(span));
        let title = format!("{}, line {}, column {}: {}", p.file, p.line, p.column, told(p));
        let report = &[Level::ERROR.no_name().primary_title(&title).element(snippet)];
        out.push_str(&renderer.render(report));
        out.push_str("\n\n");
    }
    let count = match problems.len() {
        1 => "One thing in the files must be put right first.".to_owned(),
        n => format!("{n} things in the files must be put right first."),
    };
    out.push_str(&count);
    out.push('\n');
    out
}

fn told(p: &Problem) -> String {
    match &p.help {
        Some(help) => format!("{} {help}", p.message),
        None => p.message.clone(),
    }
}

/// The span to underline: never empty, never more than its first line.
fn visible(source: &str, p: &Problem) -> std::ops::Range<usize> {
    let start = p.span.start.min(source.len());
    let line_end = source[start..].find('\n').map_or(source.len(), |n| start + n);
    let end = p.span.end.min(line_end).max(start);
    if end > start {
        return start..end;
    }
    let next = source[start..].chars().next().map_or(0, char::len_utf8);
    start..(start + next).min(source.len())
}
