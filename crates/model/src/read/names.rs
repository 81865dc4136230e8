//! Names that must be unique, and references to them.

use super::problem::nearest;
use super::tree::Span;
use super::value::shown;
use super::view::Gather;
use std::collections::BTreeMap;
use unicode_normalization::UnicodeNormalization;

/// The same name however its letters are composed (Unicode NFC).
pub fn same(name: &str) -> String {
    name.nfc().collect()
}

/// Names of one kind, each with its index.
#[derive(Debug, Default)]
pub struct Names {
    index: BTreeMap<String, (usize, Span)>,
}

impl Names {
    /// Adds a name; a second one is noted as a problem.
    pub fn add(&mut self, name: &str, number: usize, span: &Span, what: &str, gather: &mut Gather<'_>) {
        let key = same(name);
        if let Some((_, first)) = self.index.get(&key) {
            let (file, line) = (gather.sources.name(first).to_owned(), gather.sources.line(first));
            gather.say(
                span,
                format!(
                    "A second {what} is called `{}`; the first is in {}, line {}.",
                    shown(name),
                    file,
                    line
                ),
                Some("Give one of them another name.".to_owned()),
            );
        } else {
            self.index.insert(key, (number, span.clone()));
        }
    }

    /// The index of a name.
    pub fn get(&self, name: &str) -> Option<usize> {
        self.index.get(&same(name)).map(|(n, _)| *n)
    }

    /// Where the first holder of a name stands.
    pub fn span(&self, name: &str) -> Option<&Span> {
        self.index.get(&same(name)).map(|(_, s)| s)
    }

    /// All names.
    pub fn all(&self) -> impl Iterator<Item = &str> {
        self.index.keys().map(String::as_str)
    }

    /// Resolves a reference; an unknown one is noted with the nearest name.
    pub fn resolve(
        &self,
        name: &str,
        span: &Span,
        what: &str,
        gather: &mut Gather<'_>,
    ) -> Option<usize> {
        if let Some(n) = self.get(name) {
            return Some(n);
        }
        let help = match nearest(name, self.all()) {
            Some(near) => format!("Did you mean `{near}`?"),
            None if self.index.is_empty() => format!("This robot has no {what} yet."),
            None if self.index.len() <= 12 => {
                format!("There is: {}.", self.all().collect::<Vec<_>>().join(", "))
            }
            None => format!("There are {} of them; check the spelling.", self.index.len()),
        };
        gather.say_unresolved(span, format!("There is no {what} called `{}`.", shown(name)), Some(help));
        None
    }
}
