//! A small writer of SVG, in millimetres, y down.

mod path;

pub use path::{Outliner, rounded};

use crate::text;
use std::fmt::Write;

/// Weights of line, mm on paper: three and no more.
pub mod weight {
    /// Outlines of things.
    pub const OUTLINE: f64 = 0.5;
    /// Details within them.
    pub const DETAIL: f64 = 0.25;
    /// Dimensions, leaders, grids.
    pub const DIMENSION: f64 = 0.15;
}

/// A place on the drawing, mm, y down.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Spot {
    /// To the right.
    pub x: f64,
    /// Down.
    pub y: f64,
}

impl Spot {
    /// From its two coordinates.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }
    /// Distance to another.
    pub fn distance(self, other: Self) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }
    /// The place part of the way to another (0 here, 1 there).
    pub fn towards(self, other: Self, part: f64) -> Self {
        Self::new(self.x + (other.x - self.x) * part, self.y + (other.y - self.y) * part)
    }
}

/// How a shape is inked.
#[derive(Clone, Copy, Debug, Default)]
pub struct Ink<'a> {
    /// Colour and width of the line.
    pub line: Option<(&'a str, f64)>,
    /// Colour within.
    pub fill: Option<&'a str>,
    /// Lengths of dash and gap.
    pub dash: Option<(f64, f64)>,
    /// Round ends of lines.
    pub round: bool,
}

impl<'a> Ink<'a> {
    /// A line only.
    pub const fn line(colour: &'a str, width: f64) -> Self {
        Self { line: Some((colour, width)), fill: None, dash: None, round: false }
    }
    /// A fill only.
    pub const fn fill(colour: &'a str) -> Self {
        Self { line: None, fill: Some(colour), dash: None, round: false }
    }
    /// With a fill.
    #[must_use]
    pub const fn filled(mut self, colour: &'a str) -> Self {
        self.fill = Some(colour);
        self
    }
    /// With dashes.
    #[must_use]
    pub const fn dashed(mut self, dash: f64, gap: f64) -> Self {
        self.dash = Some((dash, gap));
        self
    }
    /// With round ends and corners.
    #[must_use]
    pub const fn rounded(mut self) -> Self {
        self.round = true;
        self
    }
}

/// Which part of a text lies at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Anchor {
    Start,
    Middle,
    End,
}

/// How a text is set.
#[derive(Clone, Copy, Debug)]
pub struct Type<'a> {
    /// Size of type, mm.
    pub size: f64,
    /// Colour.
    pub colour: &'a str,
    /// Which part of it lies at its place.
    pub anchor: Anchor,
    /// Heavier.
    pub strong: bool,
    /// Slanted.
    pub slanted: bool,
    /// Turned to read upwards.
    pub upright: bool,
    /// Colour of a rim that keeps lines off the letters.
    pub rim: Option<&'a str>,
}

impl<'a> Type<'a> {
    /// Plain, starting at its place.
    pub const fn new(size: f64, colour: &'a str) -> Self {
        Self {
            size,
            colour,
            anchor: Anchor::Start,
            strong: false,
            slanted: false,
            upright: false,
            rim: None,
        }
    }
    /// Centred on its place.
    #[must_use]
    pub const fn centred(mut self) -> Self {
        self.anchor = Anchor::Middle;
        self
    }
    /// Ending at its place.
    #[must_use]
    pub const fn ending(mut self) -> Self {
        self.anchor = Anchor::End;
        self
    }
    /// Heavier.
    #[must_use]
    pub const fn strong(mut self) -> Self {
        self.strong = true;
        self
    }
    /// Slanted.
    #[must_use]
    pub const fn slanted(mut self) -> Self {
        self.slanted = true;
        self
    }
    /// Reading upwards.
    #[must_use]
    pub const fn upwards(mut self) -> Self {
        self.upright = true;
        self
    }
    /// With a rim of this colour.
    #[must_use]
    pub const fn rimmed(mut self, colour: &'a str) -> Self {
        self.rim = Some(colour);
        self
    }
}

/// A drawing under way.
#[derive(Clone, Debug)]
pub struct Canvas {
    low: Spot,
    high: Spot,
    title: String,
    body: String,
    open: usize,
    clips: usize,
}

impl Canvas {
    /// A drawing that shows the rectangle between two corners, one unit a millimetre.
    pub fn new(low: Spot, high: Spot, title: &str) -> Self {
        Self { low, high, title: title.to_owned(), body: String::new(), open: 0, clips: 0 }
    }

    /// Opens a group with a class.
    pub fn group(&mut self, class: &str) {
        let _ = writeln!(self.body, "<g class=\"{}\">", escape(class));
        self.open += 1;
    }

    /// Opens a group for one named thing, with a title that a pointer shows.
    pub fn group_of(&mut self, class: &str, name: &str) {
        let (class, name) = (escape(class), escape(name));
        let _ = writeln!(self.body, "<g class=\"{class}\" data-name=\"{name}\"><title>{name}</title>");
        self.open += 1;
    }

    /// Opens a group for several named things, their names apart by line ends, with a title that a pointer
    /// shows.
    pub fn group_of_all(&mut self, class: &str, names: &[&str]) {
        let names: Vec<String> = names.iter().map(|n| escape(n)).collect();
        let (data, title) = (names.join("&#10;"), names.join(", "));
        let class = escape(class);
        let _ = writeln!(self.body, "<g class=\"{class}\" data-names=\"{data}\"><title>{title}</title>");
        self.open += 1;
    }

    /// Opens a group of which only what lies in a rectangle shows.
    pub fn clip(&mut self, low: Spot, high: Spot) {
        self.clips += 1;
        let (x, y, w, h) = (n(low.x), n(low.y), n(high.x - low.x), n(high.y - low.y));
        let id = self.clips;
        let _ = writeln!(
            self.body,
            "<clipPath id=\"clip-{id}\"><rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"/></clipPath>\n\
             <g clip-path=\"url(#clip-{id})\">"
        );
        self.open += 1;
    }

    /// Closes the last group.
    pub fn end(&mut self) {
        if self.open > 0 {
            self.body.push_str("</g>\n");
            self.open -= 1;
        }
    }

    /// A straight line.
    pub fn line(&mut self, a: Spot, b: Spot, ink: Ink<'_>) {
        let (x1, y1, x2, y2) = (n(a.x), n(a.y), n(b.x), n(b.y));
        let _ = write!(self.body, "<line x1=\"{x1}\" y1=\"{y1}\" x2=\"{x2}\" y2=\"{y2}\"");
        self.ink(ink);
    }

    /// A rectangle with rounded corners.
    pub fn rectangle(&mut self, low: Spot, high: Spot, radius: f64, ink: Ink<'_>) {
        let (x, y, w, h) = (n(low.x), n(low.y), n(high.x - low.x), n(high.y - low.y));
        let _ = write!(self.body, "<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"");
        if radius > 0.0 {
            let _ = write!(self.body, " rx=\"{}\"", n(radius));
        }
        self.ink(ink);
    }

    /// A circle.
    pub fn circle(&mut self, centre: Spot, radius: f64, ink: Ink<'_>) {
        let (x, y, r) = (n(centre.x), n(centre.y), n(radius));
        let _ = write!(self.body, "<circle cx=\"{x}\" cy=\"{y}\" r=\"{r}\"");
        self.ink(ink);
    }

    /// A line through corners, closed or open.
    pub fn corners(&mut self, corners: &[Spot], closed: bool, ink: Ink<'_>) {
        if corners.len() < 2 {
            return;
        }
        let mut d = Outliner::default();
        for (i, c) in corners.iter().enumerate() {
            if i == 0 { d.start(*c) } else { d.to(*c) }
        }
        if closed {
            d.close();
        }
        self.path(&d.finish(), ink);
    }

    /// A path in SVG's own notation, made by [`Outliner`].
    pub fn path(&mut self, d: &str, ink: Ink<'_>) {
        let _ = write!(self.body, "<path d=\"{d}\"");
        self.ink(ink);
    }

    /// A line of text; `at` is on its base line.
    pub fn text(&mut self, at: Spot, content: &str, set: Type<'_>) {
        let (x, y) = (n(at.x), n(at.y));
        let _ = write!(self.body, "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\"", n(set.size));
        let _ = write!(self.body, " fill=\"{}\"", set.colour);
        match set.anchor {
            Anchor::Start => {}
            Anchor::Middle => self.body.push_str(" text-anchor=\"middle\""),
            Anchor::End => self.body.push_str(" text-anchor=\"end\""),
        }
        if set.strong {
            self.body.push_str(" font-weight=\"600\"");
        }
        if set.slanted {
            self.body.push_str(" font-style=\"italic\"");
        }
        if set.upright {
            let _ = write!(self.body, " transform=\"rotate(-90 {x} {y})\"");
        }
        if let Some(rim) = set.rim {
            let w = n(set.size * 0.28);
            let _ = write!(
                self.body,
                " stroke=\"{rim}\" stroke-width=\"{w}\" stroke-linejoin=\"round\" paint-order=\"stroke\""
            );
        }
        let _ = writeln!(self.body, ">{}</text>", escape(content));
    }

    fn ink(&mut self, ink: Ink<'_>) {
        match ink.fill {
            Some(fill) => {
                let _ = write!(self.body, " fill=\"{fill}\"");
            }
            None => self.body.push_str(" fill=\"none\""),
        }
        if let Some((colour, width)) = ink.line {
            let _ = write!(self.body, " stroke=\"{colour}\" stroke-width=\"{}\"", n(width));
            if ink.round {
                self.body.push_str(" stroke-linecap=\"round\" stroke-linejoin=\"round\"");
            }
            if let Some((dash, gap)) = ink.dash {
                let _ = write!(self.body, " stroke-dasharray=\"{} {}\"", n(dash), n(gap));
            }
        }
        self.body.push_str("/>\n");
    }

    /// Width of the drawing, mm.
    pub fn width(&self) -> f64 {
        self.high.x - self.low.x
    }

    /// Height of the drawing, mm.
    pub fn height(&self) -> f64 {
        self.high.y - self.low.y
    }

    /// The file.
    pub fn finish(mut self) -> String {
        while self.open > 0 {
            self.end();
        }
        let (x, y, w, h) = (n(self.low.x), n(self.low.y), n(self.width()), n(self.height()));
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" \
             viewBox=\"{x} {y} {w} {h}\" font-family=\"{}\" role=\"img\">\n<title>{}</title>\n{}</svg>\n",
            text::FAMILY,
            escape(&self.title),
            self.body
        )
    }
}

/// A number with at most four decimals and no needless zeros; what is not finite becomes 0.
pub fn n(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{value:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Text made safe for content and attributes. Control characters, which XML cannot carry, become
/// the replacement character.
pub fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\n' | '\t' | '\r' => safe.push(' '),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => safe.push('\u{fffd}'),
            c => safe.push(c),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hostile_text_stays_text() {
        let mut canvas = Canvas::new(Spot::new(0.0, 0.0), Spot::new(10.0, 10.0), "</title><script>");
        canvas.group_of("part", "\"/><script>alert(1)</script>\u{0}");
        canvas.text(Spot::new(1.0, 1.0), "<b>&amp;", Type::new(3.0, "#000"));
        let svg = canvas.finish();
        assert!(!svg.contains("<script") && !svg.contains('\u{0}'), "{svg}");
        assert!(svg.contains("&lt;b&gt;&amp;amp;"));
        assert_eq!(svg.matches("<g ").count(), svg.matches("</g>").count());
    }

    #[test]
    fn numbers_are_short_and_finite() {
        for (x, text) in [(1.0, "1"), (0.123_46, "0.1235"), (-0.000_01, "0"), (f64::NAN, "0")] {
            assert_eq!(n(x), text);
        }
    }
}
