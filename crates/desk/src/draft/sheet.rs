//! The text of a type, and which stretch of it comes from which field.

use std::ops::Range;

/// A key with its value, or a table.
#[derive(Debug)]
pub enum Entry {
    /// A key with its value as it is written.
    One {
        /// Field it comes from.
        path: String,
        /// Key with its unit.
        key: String,
        /// Value.
        value: String,
    },
    /// A table within.
    Table {
        /// Its key.
        key: String,
        /// What is in it.
        inside: Vec<Self>,
    },
    /// A list of tables.
    Rows {
        /// Field of the list.
        path: String,
        /// Its key.
        key: String,
        /// What is in each.
        rows: Vec<Vec<Self>>,
    },
}

/// A text being written.
#[derive(Debug, Default)]
pub struct Sheet {
    /// The text.
    pub text: String,
    marks: Vec<(Range<usize>, String)>,
}

impl Sheet {
    /// Adds text that comes from no field.
    pub fn words(&mut self, text: &str) {
        self.text.push_str(text);
    }

    /// Adds a line.
    pub fn line(&mut self, path: &str, key: &str, value: &str) {
        let entry = Entry::One { path: path.to_owned(), key: key.to_owned(), value: value.to_owned() };
        self.entry(&entry);
    }

    /// Adds a key as a line.
    pub fn entry(&mut self, entry: &Entry) {
        self.put(entry);
        self.words("\n");
    }

    /// Adds keys as a table in one line.
    pub fn inline(&mut self, entries: &[Entry]) {
        self.words("{ ");
        for (i, entry) in entries.iter().enumerate() {
            if i > 0 {
                self.words(", ");
            }
            self.put(entry);
        }
        self.words(" }");
    }

    fn put(&mut self, entry: &Entry) {
        let from = self.text.len();
        match entry {
            Entry::One { path, key, value } => {
                self.words(&format!("{key} = {value}"));
                self.marks.push((from..self.text.len(), path.clone()));
            }
            Entry::Table { key, inside } => {
                self.words(&format!("{key} = "));
                self.inline(inside);
            }
            Entry::Rows { path, key, rows } => {
                self.words(&format!("{key} = ["));
                for (i, row) in rows.iter().enumerate() {
                    if i > 0 {
                        self.words(", ");
                    }
                    self.inline(row);
                }
                self.words("]");
                self.marks.push((from..self.text.len(), path.clone()));
            }
        }
    }

    /// The field from which a stretch of the text comes; empty when it comes from none.
    pub fn path_at(&self, span: &Range<usize>) -> String {
        let holds = |m: &&(Range<usize>, String)| m.0.start <= span.start && span.end <= m.0.end;
        let nearest = self.marks.iter().filter(holds).min_by_key(|(r, _)| r.len());
        nearest.map_or_else(String::new, |(_, path)| path.clone())
    }
}
