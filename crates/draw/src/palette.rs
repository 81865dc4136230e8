//! Paper, ink and the few colours, in two themes.
//!
//! Every colour that carries text keeps a contrast of at least 4.5 to its paper (a test holds
//! that), and no meaning rests on colour alone: severities also differ in word and ring.

use loomdeck_model::Severity;
use loomdeck_model::wire::BaseColour;

/// Light or dark.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Theme {
    /// Ink on warm paper.
    Paper,
    /// Chalk on slate.
    Slate,
}

/// The colours of a theme, as `#rrggbb`.
#[derive(Clone, Copy, Debug)]
pub struct Palette {
    /// Background.
    pub paper: &'static str,
    /// Face of the board, a shade off the background.
    pub board: &'static str,
    /// Main lines and text.
    pub ink: &'static str,
    /// Secondary lines and text.
    pub quiet: &'static str,
    /// Lines of the far face and of grids; never text.
    pub faint: &'static str,
    /// The one accent.
    pub accent: &'static str,
    /// Sleeve of a loom.
    pub sleeve: &'static str,
}

impl Theme {
    /// Its colours.
    pub const fn palette(self) -> Palette {
        match self {
            Self::Paper => Palette {
                paper: "#fdfbf5",
                board: "#fffefa",
                ink: "#1b2a24",
                quiet: "#566059",
                faint: "#a3aba3",
                accent: "#23705f",
                sleeve: "#d9d5c6",
            },
            Self::Slate => Palette {
                paper: "#222b2e",
                board: "#29343a",
                ink: "#efebdf",
                quiet: "#b4bcb5",
                faint: "#66736f",
                accent: "#74c8b2",
                sleeve: "#56635f",
            },
        }
    }

    /// A pale tint of the accent, for bands and for what is new.
    pub const fn tint(self) -> &'static str {
        match self {
            Self::Paper => "#d2e5dd",
            Self::Slate => "#2f5049",
        }
    }

    /// Colour of a severity.
    pub const fn severity(self, severity: Severity) -> &'static str {
        match (self, severity) {
            (Self::Paper, Severity::Danger) => "#a02620",
            (Self::Paper, Severity::Fix) => "#8a5600",
            (Self::Paper, Severity::Look) => "#3d5a7a",
            (Self::Paper, Severity::Note) => "#5c6163",
            (Self::Slate, Severity::Danger) => "#f59a8d",
            (Self::Slate, Severity::Fix) => "#e6b25c",
            (Self::Slate, Severity::Look) => "#a4c0de",
            (Self::Slate, Severity::Note) => "#b9bebe",
        }
    }
}

/// Insulation as it looks, the same in both themes: it is the wire's colour, not the drawing's.
pub const fn insulation(colour: BaseColour) -> &'static str {
    match colour {
        BaseColour::Red => "#c8322b",
        BaseColour::Black => "#2a2a2a",
        BaseColour::Brown => "#7a4a2b",
        BaseColour::Orange => "#e07b1f",
        BaseColour::Yellow => "#ecc928",
        BaseColour::Green => "#3c8c46",
        BaseColour::Blue => "#2f66b3",
        BaseColour::Violet => "#7a4f9a",
        BaseColour::Grey => "#8d9191",
        BaseColour::White => "#f6f4ee",
        BaseColour::Pink => "#e295a6",
    }
}

/// Contrast of two `#rrggbb` colours, 1 to 21, by the relative-luminance formula of WCAG 2.1.
#[cfg(test)]
fn contrast(a: &str, b: &str) -> f64 {
    let luminance = |c: &str| {
        let channel = |i: usize| {
            let v = f64::from(u8::from_str_radix(&c[i..i + 2], 16).unwrap_or(0)) / 255.0;
            if v <= 0.040_45 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
    };
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_stands_out_from_its_paper() {
        assert!((contrast("#ffffff", "#000000") - 21.0).abs() < 1e-9);
        for theme in [Theme::Paper, Theme::Slate] {
            let p = theme.palette();
            let mut inks = vec![p.ink, p.quiet, p.accent];
            inks.extend(Severity::ALL.map(|s| theme.severity(s)));
            for ink in inks {
                for ground in [p.paper, p.board] {
                    let c = contrast(ink, ground);
                    assert!(c >= 4.5, "{theme:?} {ink} on {ground}: {c:.2}");
                }
            }
        }
    }
}
