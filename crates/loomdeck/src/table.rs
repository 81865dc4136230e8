//! Columns of text.

/// Text in columns, the first and any named in `left` flush left, the others right.
#[derive(Debug, Default)]
pub struct Columns {
    rows: Vec<Vec<String>>,
    left: Vec<usize>,
}

impl Columns {
    /// Columns with a heading; `left` are flush left besides the first.
    pub fn new(heads: &[&str], left: &[usize]) -> Self {
        let heads = heads.iter().map(|h| (*h).to_owned()).collect();
        Self { rows: vec![heads], left: left.to_vec() }
    }

    /// Adds a row.
    pub fn row(&mut self, cells: Vec<String>) {
        self.rows.push(cells);
    }

    /// The lines, two spaces between columns.
    pub fn lines(&self) -> Vec<String> {
        let count = self.rows.iter().map(Vec::len).max().unwrap_or(0);
        let width =
            |c: usize| self.rows.iter().filter_map(|r| r.get(c)).map(|t| wide(t)).max().unwrap_or(0);
        let widths: Vec<usize> = (0..count).map(width).collect();
        let line = |row: &Vec<String>| {
            let cells: Vec<String> = row
                .iter()
                .enumerate()
                .map(|(c, t)| {
                    let pad = " ".repeat(widths[c] - wide(t));
                    if c == 0 || self.left.contains(&c) {
                        format!("{t}{pad}")
                    } else {
                        format!("{pad}{t}")
                    }
                })
                .collect();
            cells.join("  ").trim_end().to_owned()
        };
        self.rows.iter().map(line).collect()
    }
}

fn wide(text: &str) -> usize {
    textwrap::core::display_width(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_line_up() {
        let mut c = Columns::new(&["wire", "A"], &[]);
        c.row(vec!["heart".into(), "18.2".into()]);
        c.row(vec!["l".into(), "1".into()]);
        assert_eq!(c.lines(), ["wire      A", "heart  18.2", "l         1"]);
    }
}
