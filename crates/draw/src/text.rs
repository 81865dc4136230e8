//! How wide a text is, and how it is cut into lines.
//!
//! Widths come from the typeface that the book is set in, so that a label's box is what is
//! printed. A screen without that typeface falls back to another serif of about the same width.

use std::sync::LazyLock;
use typst::foundations::Bytes;
use typst::layout::Abs;
use typst::text::{Font, FontInstance, FontVariant, FontVariations};

/// The typeface of everything drawn, with what a screen may use instead.
pub const FAMILY: &str = "Libertinus Serif, Georgia, Times New Roman, serif";

/// Height of a capital letter over the size of the type.
pub const CAPITAL: f64 = 0.647;

/// Room kept for typefaces that run wider than the one measured.
const SAFETY: f64 = 1.03;

/// All typefaces that come along, for letters that the usual one lacks.
static OTHERS: LazyLock<Vec<Font>> =
    LazyLock::new(|| typst_assets::fonts().filter_map(|data| Font::new(Bytes::new(data), 0)).collect());

static REGULAR: LazyLock<Option<FontInstance>> = LazyLock::new(|| {
    let data = typst_assets::fonts().next()?;
    let font = Font::new(Bytes::new(data), 0)?;
    Some(font.instantiate(FontVariant::default(), Abs::pt(10.0), &FontVariations::default()))
});

/// Whether a letter has a shape in one of the typefaces that come along.
fn has_shape(c: char) -> bool {
    let usual = |f: &FontInstance| f.ttf().glyph_index(c).is_some();
    c.is_ascii()
        || REGULAR.as_ref().is_some_and(usual)
        || OTHERS.iter().any(|f| f.info().coverage.contains(c.into()))
}

/// Letters that leave no ink of their own: joiners, marks of direction, variation selectors.
const fn is_silent(c: char) -> bool {
    matches!(c,
        '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}'
        | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{e0100}'..='\u{e01ef}')
}

/// A text as print can show it: each run of letters that no typeface has a shape for becomes their
/// Unicode numbers between angle brackets, so that names stay apart and no blank box is printed.
/// `None` when nothing needs changing.
pub fn in_print(text: &str) -> Option<String> {
    if text.is_ascii() || text.chars().all(|c| has_shape(c) && !is_silent(c)) {
        return None;
    }
    let mut shown = String::new();
    let mut open = false;
    for c in text.chars().filter(|c| !is_silent(*c)) {
        if has_shape(c) {
            if open {
                shown.push('⟩');
            }
            open = false;
            shown.push(c);
            continue;
        }
        shown.push(if open { '\u{a0}' } else { '⟨' });
        shown.push_str(&format!("{:X}", u32::from(c)));
        open = true;
    }
    if open {
        shown.push('⟩');
    }
    Some(shown)
}

/// Width of a text at this size of type, in the unit of `size`. Letters without a shape are as wide
/// as the numbers that stand for them in print.
pub fn width(text: &str, size: f64) -> f64 {
    match in_print(text) {
        Some(shown) => width_of(&shown, size),
        None => width_of(text, size),
    }
}

fn width_of(text: &str, size: f64) -> f64 {
    let Some(font) = REGULAR.as_ref() else { return text.chars().count() as f64 * size * 0.6 };
    let ems: f64 = text
        .chars()
        .map(|c| {
            let glyph = font.ttf().glyph_index(c);
            // A letter the typeface lacks is set from another one; those are rarely wider than high.
            glyph.and_then(|g| font.x_advance(g.0)).map_or(1.0, |e| e.get())
        })
        .sum();
    ems * size * SAFETY
}

/// Size of type whose capitals are this high.
pub fn size_for_capitals(height: f64) -> f64 {
    height / CAPITAL
}

/// A text in at most `lines` lines, none wider than `room`; `None` when it does not fit. Breaks
/// after a space, `-`, `_` or `/`.
pub fn wrap(text: &str, size: f64, room: f64, lines: usize) -> Option<Vec<String>> {
    let mut done: Vec<String> = Vec::new();
    let mut line = String::new();
    for piece in pieces(text) {
        let longer = format!("{line}{piece}");
        if width(longer.trim_end(), size) <= room {
            line = longer;
            continue;
        }
        if line.is_empty() || width(piece.trim_end(), size) > room {
            return None;
        }
        done.push(line.trim_end().to_owned());
        line = piece.to_owned();
    }
    done.push(line.trim_end().to_owned());
    (done.len() <= lines).then_some(done)
}

/// Like [`wrap`] but always gives something: words too long for the room are cut with `…`.
pub fn wrap_or_cut(text: &str, size: f64, room: f64, lines: usize) -> Vec<String> {
    if let Some(done) = wrap(text, size, room, lines) {
        return done;
    }
    let mut done: Vec<String> = Vec::new();
    let mut line = String::new();
    for piece in pieces(text) {
        if width(format!("{line}{piece}").trim_end(), size) <= room {
            line.push_str(piece);
            continue;
        }
        if !line.is_empty() {
            done.push(line.trim_end().to_owned());
        }
        line = piece.to_owned();
    }
    done.push(line.trim_end().to_owned());
    let more = done.len() > lines;
    done.truncate(lines.max(1));
    let last = done.len() - 1;
    for (i, line) in done.iter_mut().enumerate() {
        let must_cut = more && i == last;
        if must_cut || width(line, size) > room {
            *line = cut(line, size, room);
        }
    }
    done
}

/// A text shortened with `…` to fit the room.
pub fn cut(text: &str, size: f64, room: f64) -> String {
    let mut kept: Vec<char> = text.chars().collect();
    loop {
        let shown: String = kept.iter().collect::<String>() + "…";
        if kept.is_empty() || width(&shown, size) <= room {
            return shown;
        }
        kept.pop();
    }
}

/// The text itself where it fits the room, else shortened.
pub fn cut_if_longer(text: &str, size: f64, room: f64) -> String {
    if width(text, size) <= room { text.to_owned() } else { cut(text, size, room) }
}

fn pieces(text: &str) -> impl Iterator<Item = &str> {
    text.split_inclusive([' ', '-', '_', '/'])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wide_letter_is_wider() {
        assert!(REGULAR.is_some());
        assert!(width("mmm", 10.0) > 2.0 * width("iii", 10.0));
        assert!((width("abc", 20.0) - 2.0 * width("abc", 10.0)).abs() < 1e-9);
    }

    #[test]
    fn letters_without_a_shape_become_their_numbers() {
        assert_eq!(in_print("left-leg"), None);
        for known in ["Größe Łódź", "μΩ ≤ → ☐ ✓ ⟨⟩", "αβγδ Ω", "Привет", "2\u{2009}mm²", "\u{a0}"]
        {
            assert_eq!(in_print(known), None, "{known}");
        }
        assert_eq!(in_print("漢字-1").as_deref(), Some("⟨6F22\u{a0}5B57⟩-1"));
        assert_eq!(in_print("🙂\u{fe0f}").as_deref(), Some("⟨1F642⟩"));
        assert_eq!(in_print("a\u{200d}b").as_deref(), Some("ab"));
        assert!(width("漢", 10.0) > width("⟨6F22", 10.0));
    }

    #[test]
    fn lines_fit_their_room_or_are_refused() {
        let lines = wrap("dual-motor-driver", 5.0, 30.0, 3);
        let lines = lines.unwrap_or_default();
        assert!(lines.len() == 2 && lines.concat() == "dual-motor-driver", "{lines:?}");
        assert!(lines.iter().all(|l| width(l, 5.0) <= 30.0));
        assert_eq!(wrap("unbreakableword", 5.0, 10.0, 3), None);
        for text in ["unbreakableword", "a b c d e f g h", "", "—"] {
            for line in wrap_or_cut(text, 5.0, 10.0, 2) {
                assert!(width(&line, 5.0) <= 10.0, "{line}");
            }
        }
    }
}
