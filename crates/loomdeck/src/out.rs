//! Where text goes: wrapped to the terminal, coloured only there.

use anstyle::{AnsiColor, Color, RgbColor, Style};
use indicatif::{ProgressBar, ProgressStyle};
use loomdeck_model::Severity;
use std::io::{self, IsTerminal, Write};
use std::time::Duration;

/// Standard output.
pub struct Out {
    to: anstream::AutoStream<io::BufWriter<io::Stdout>>,
    /// Columns to wrap at.
    pub width: usize,
}

impl Out {
    /// Standard output, with colour when it is a terminal that wants it.
    pub fn new() -> Self {
        let choice = anstream::AutoStream::choice(&io::stdout());
        let width = if io::stdout().is_terminal() { textwrap_width() } else { 100 };
        Self { to: anstream::AutoStream::new(io::BufWriter::new(io::stdout()), choice), width }
    }

    /// A line.
    pub fn line(&mut self, text: &str) -> io::Result<()> {
        writeln!(self.to, "{text}")
    }

    /// A paragraph, wrapped, every line indented.
    pub fn paragraph(&mut self, indent: usize, text: &str) -> io::Result<()> {
        self.hanging(&" ".repeat(indent), indent, text)
    }

    /// A paragraph whose first line begins with `first`, the others with spaces.
    pub fn hanging(&mut self, first: &str, indent: usize, text: &str) -> io::Result<()> {
        let rest = " ".repeat(indent);
        let options =
            textwrap::Options::new(self.width.max(40)).initial_indent(first).subsequent_indent(&rest);
        for line in textwrap::wrap(text, options) {
            writeln!(self.to, "{}", line.trim_end())?;
        }
        Ok(())
    }

    /// Raw text, as it is.
    pub fn raw(&mut self, text: &str) -> io::Result<()> {
        self.to.write_all(text.as_bytes())
    }

    /// JSON, with a line end.
    pub fn json(&mut self, value: &impl serde::Serialize) -> io::Result<()> {
        serde_json::to_writer_pretty(&mut self.to, value)?;
        writeln!(self.to)
    }

    /// Writes out what is still held.
    pub fn flush(&mut self) -> io::Result<()> {
        self.to.flush()
    }
}

fn textwrap_width() -> usize {
    // `COLUMNS` is what shells export; terminals narrower than 40 are not catered for.
    std::env::var("COLUMNS").ok().and_then(|c| c.parse().ok()).unwrap_or(100).clamp(40, 110)
}

/// Bold.
pub fn strong(text: &str) -> String {
    let s = Style::new().bold();
    format!("{s}{text}{s:#}")
}

/// Dimmed.
pub fn quiet(text: &str) -> String {
    let s = Style::new().dimmed();
    format!("{s}{text}{s:#}")
}

/// The word of a severity in its colour.
pub fn severity(s: Severity) -> String {
    let style = match s {
        Severity::Danger => Style::new().fg_color(Some(Color::Rgb(RgbColor(0xd0, 0x3a, 0x2b)))).bold(),
        Severity::Fix => Style::new().fg_color(Some(Color::Ansi(AnsiColor::Yellow))).bold(),
        Severity::Look => Style::new().fg_color(Some(Color::Ansi(AnsiColor::Blue))),
        Severity::Note => Style::new().dimmed(),
    };
    format!("{style}{}{style:#}", s.word())
}

/// Says on standard error why nothing was done.
pub fn complain(sentence: &str) {
    // Nothing can be done when even this cannot be written.
    let _ = writeln!(anstream::stderr(), "loomdeck: {sentence}");
}

/// A turning sign on standard error while something takes time; silent when nobody looks.
pub fn busy(what: &'static str) -> ProgressBar {
    if !io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new_spinner().with_message(what);
    bar.enable_steady_tick(Duration::from_millis(120));
    bar
}

/// A bar on standard error; silent when nobody looks.
pub fn counting(what: &'static str) -> ProgressBar {
    if !io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(0).with_message(what);
    if let Ok(style) = ProgressStyle::with_template("{msg} {pos} of {len} {wide_bar}") {
        bar.set_style(style);
    }
    bar
}
