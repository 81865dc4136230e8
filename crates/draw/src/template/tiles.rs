//! How a board is cut into sheets of paper that overlap.

use crate::labels::Block;
use crate::svg::Spot;
use loomdeck_model::Paper;
use loomdeck_model::units::MM_PER_INCH;

/// Width of the strip that neighbouring sheets share, mm.
pub const OVERLAP: f64 = 12.0;

/// Paper kept free around the drawing, mm: room for the heading, notes and calibration lines.
pub mod margin {
    /// Left: the upright calibration line.
    pub const LEFT: f64 = 16.0;
    /// Right.
    pub const RIGHT: f64 = 9.0;
    /// Top: the heading.
    pub const TOP: f64 = 19.0;
    /// Bottom: the level calibration line and the page number.
    pub const BOTTOM: f64 = 22.0;
}

/// A sheet of paper as it is held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SheetSize {
    /// Width, mm.
    pub width: f64,
    /// Height, mm.
    pub height: f64,
}

impl SheetSize {
    /// Upright.
    pub const fn upright(paper: Paper) -> Self {
        match paper {
            Paper::A4 => Self { width: 210.0, height: 297.0 },
            Paper::Letter => Self { width: 8.5 * MM_PER_INCH, height: 11.0 * MM_PER_INCH },
        }
    }
    /// On its side.
    pub const fn level(paper: Paper) -> Self {
        let s = Self::upright(paper);
        Self { width: s.height, height: s.width }
    }
    /// The part of it that shows the board.
    pub fn window(self) -> Block {
        Block::new(
            Spot::new(margin::LEFT, margin::TOP),
            Spot::new(self.width - margin::RIGHT, self.height - margin::BOTTOM),
        )
    }
}

/// One sheet of a template.
#[derive(Clone, Debug, PartialEq)]
pub struct Tile {
    /// Column, from 0, left to right.
    pub column: usize,
    /// Row, from 0, top to bottom.
    pub row: usize,
    /// What it shows, on the drawing of the whole board.
    pub shows: Block,
}

impl Tile {
    /// Its name: row as a letter, column as a number: `A1`, `B2`.
    pub fn name(&self) -> String {
        let mut row = self.row;
        let mut letters = String::new();
        loop {
            letters.insert(0, char::from(b'A' + (row % 26) as u8));
            if row < 26 {
                break;
            }
            row = row / 26 - 1;
        }
        format!("{letters}{}", self.column + 1)
    }
}

/// All sheets of one template.
#[derive(Clone, Debug, PartialEq)]
pub struct Tiling {
    /// How the paper is held.
    pub sheet: SheetSize,
    /// Columns.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
    /// The sheets, row by row.
    pub tiles: Vec<Tile>,
}

/// Covers a drawing with the fewest sheets, upright when there is no difference.
pub fn tiling(drawing: Block, paper: Paper) -> Tiling {
    let upright = cover(drawing, SheetSize::upright(paper));
    let level = cover(drawing, SheetSize::level(paper));
    if level.tiles.len() < upright.tiles.len() { level } else { upright }
}

fn cover(drawing: Block, sheet: SheetSize) -> Tiling {
    let window = sheet.window();
    let (w, h) = (window.width(), window.height());
    let count = |length: f64, one: f64| {
        if length <= one { 1 } else { ((length - OVERLAP) / (one - OVERLAP)).ceil() as usize }
    };
    let (columns, rows) = (count(drawing.width(), w), count(drawing.height(), h));
    let covered = |n: usize, one: f64| one + (n - 1) as f64 * (one - OVERLAP);
    let left = drawing.centre().x - covered(columns, w) / 2.0;
    let top = drawing.centre().y - covered(rows, h) / 2.0;
    let tiles = (0..rows).flat_map(|row| (0..columns).map(move |column| (row, column)));
    let tiles = tiles.map(|(row, column)| {
        let low = Spot::new(left + column as f64 * (w - OVERLAP), top + row as f64 * (h - OVERLAP));
        Tile { column, row, shows: Block::new(low, Spot::new(low.x + w, low.y + h)) }
    });
    Tiling { sheet, columns, rows, tiles: tiles.collect() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_spot_lies_on_a_sheet_and_neighbours_share_a_strip() {
        for (w, h) in [(400.0, 300.0), (90.0, 60.0), (1200.0, 700.0), (185.0, 256.0)] {
            for paper in [Paper::A4, Paper::Letter] {
                let drawing = Block::around(Spot::new(30.0, -70.0), w, h);
                let t = tiling(drawing, paper);
                assert_eq!(t.tiles.len(), t.columns * t.rows);
                for (u, v) in [(0.0, 0.0), (0.31, 0.77), (0.5, 0.5), (1.0, 1.0)] {
                    let p = Spot::new(drawing.low.x + u * w, drawing.low.y + v * h);
                    assert!(t.tiles.iter().any(|t| t.shows.nearest(p) == p), "{p:?}");
                }
                for pair in t.tiles.windows(2).filter(|p| p[0].row == p[1].row) {
                    assert!((pair[0].shows.high.x - pair[1].shows.low.x - OVERLAP).abs() < 1e-9);
                }
            }
        }
    }

    #[test]
    fn a_wide_board_takes_paper_on_its_side() {
        let t = tiling(Block::around(Spot::default(), 400.0, 300.0), Paper::A4);
        assert_eq!((t.columns, t.rows, t.sheet), (2, 2, SheetSize::level(Paper::A4)));
        assert_eq!(t.tiles[3].name(), "B2");
    }
}
