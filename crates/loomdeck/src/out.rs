//! Where text goes: wrapped to the terminal, coloured only there.

use anstyle::{AnsiColor, Color, RgbColor, Style};
use indicatif::{ProgressBar, ProgressStyle};
use loomdeck_model::Severity;
use std::io::{self, IsTerminal, Write};
use std::time::Duration;

/// Standard output, gathered until [`Out::flush`].
pub struct Out {
    text: String,
    /// Columns to wrap at.
    pub width: usize,
}

impl Out {
    /// Standard output, wrapped to the terminal when it is one.
    pub fn new() -> Self {
        Self { text: String::new(), width: width() }
    }

    /// A line.
    pub fn line(&mut self, text: &str) {
        self.text.push_str(text);
        self.text.push('\n');
    }

    /// A paragraph, wrapped, every line indented.
    pub fn paragraph(&mut self, indent: usize, text: &str) {
        self.hanging(&" ".repeat(indent), indent, text);
    }

    /// A paragraph whose first line begins with `first`, the others with spaces.
    pub fn hanging(&mut self, first: &str, indent: usize, text: &str) {
        let rest = " ".repeat(indent);
        let options = textwrap::Options::new(self.width).initial_indent(first).subsequent_indent(&rest);
        for line in textwrap::wrap(text, options) {
            self.line(line.trim_end());
        }
    }

    /// Raw text, as it is.
    pub fn raw(&mut self, text: &str) {
        self.text.push_str(text);
    }

    /// JSON, with a line end.
    pub fn json(&mut self, value: &impl serde::Serialize) -> io::Result<()> {
        self.text.push_str(&serde_json::to_string_pretty(value)?);
        self.text.push('\n');
        Ok(())
    }

    /// Writes everything out, with colour when standard output is a terminal that wants it.
    pub fn flush(&mut self) -> io::Result<()> {
        let mut to = anstream::stdout().lock();
        to.write_all(self.text.as_bytes())?;
        self.text.clear();
        to.flush()
    }
}

/// Columns: as `COLUMNS` says, else as the terminal has; 100 where there is none. Narrower than 30
/// nothing can be read, wider than 110 neither.
fn width() -> usize {
    let stated = std::env::var("COLUMNS").ok().and_then(|c| c.parse().ok());
    let terminal = || io::stdout().is_terminal().then(textwrap::termwidth);
    stated.or_else(terminal).unwrap_or(100).clamp(30, 110)
}

/// Bold.
pub fn strong(text: &str) -> String {
    let s = Style::new().bold();
    format!("{s}{text}{s:#}")
}

/// Black on white, whatever the terminal's colours are.
pub fn on_white(text: &str) -> String {
    let s = Style::new()
        .fg_color(Some(Color::Rgb(RgbColor(0, 0, 0))))
        .bg_color(Some(Color::Rgb(RgbColor(255, 255, 255))));
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
