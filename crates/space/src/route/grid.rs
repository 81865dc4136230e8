//! Pieces by place, so that a segment meets only those near it.

use crate::shape::Convex;
use loomdeck_model::Point;

/// Pieces by square cell, so that a segment meets only those near it.
pub struct Grid {
    low: Point,
    cell: f64,
    columns: usize,
    rows: usize,
    start: Vec<u32>,
    items: Vec<u32>,
}

/// Pieces are entered with this margin, so that a segment through a cell's corner misses none, mm.
const MARGIN: f64 = 1e-3;

impl Grid {
    /// Enters every piece by its box.
    pub fn new(pieces: &[Convex]) -> Self {
        let (mut low, mut high) = (Point::new(0.0, 0.0), Point::new(1.0, 1.0));
        if let Some(first) = pieces.first() {
            (low, high) = (first.low, first.high);
        }
        for p in pieces {
            low = Point::new(low.x.min(p.low.x), low.y.min(p.low.y));
            high = Point::new(high.x.max(p.high.x), high.y.max(p.high.y));
        }
        let (w, h) = ((high.x - low.x).max(1.0), (high.y - low.y).max(1.0));
        let cell = (w * h / (pieces.len().max(1) as f64 * 2.0)).sqrt().max(w.max(h) / 512.0);
        let columns = (w / cell).ceil() as usize + 1;
        let rows = (h / cell).ceil() as usize + 1;
        let mut grid = Self { low, cell, columns, rows, start: Vec::new(), items: Vec::new() };
        let cells_of = |p: &Convex| {
            let (x0, x1) = (grid.column(p.low.x - MARGIN), grid.column(p.high.x + MARGIN));
            let (y0, y1) = (grid.row(p.low.y - MARGIN), grid.row(p.high.y + MARGIN));
            (y0..=y1).flat_map(move |y| (x0..=x1).map(move |x| y * columns + x))
        };
        // Counted first, then entered, each cell's pieces in their order.
        let mut start = vec![0u32; columns * rows + 1];
        for cell in pieces.iter().flat_map(cells_of) {
            start[cell + 1] += 1;
        }
        for cell in 0..columns * rows {
            start[cell + 1] += start[cell];
        }
        let mut next = start.clone();
        let mut items = vec![0u32; start.last().map_or(0, |n| *n as usize)];
        for (i, p) in pieces.iter().enumerate() {
            for cell in cells_of(p) {
                items[next[cell] as usize] = i as u32;
                next[cell] += 1;
            }
        }
        (grid.start, grid.items) = (start, items);
        grid
    }

    fn column(&self, x: f64) -> usize {
        (((x - self.low.x) / self.cell).max(0.0) as usize).min(self.columns - 1)
    }

    fn row(&self, y: f64) -> usize {
        (((y - self.low.y) / self.cell).max(0.0) as usize).min(self.rows - 1)
    }

    fn cell(&self, column: usize, row: usize) -> &[u32] {
        let i = row * self.columns + column;
        &self.items[self.start[i] as usize..self.start[i + 1] as usize]
    }

    /// Pieces that may hold a point.
    pub fn cell_at(&self, p: Point) -> &[u32] {
        self.cell(self.column(p.x), self.row(p.y))
    }

    /// Asks about every cell that a segment touches until the answer is no.
    pub fn cells_along(&self, a: Point, b: Point, mut ask: impl FnMut(&[u32]) -> bool) -> bool {
        let (a, b) = if a.y <= b.y { (a, b) } else { (b, a) };
        let (r0, r1) = (self.row(a.y - MARGIN), self.row(b.y + MARGIN));
        let rise = b.y - a.y;
        for row in r0..=r1 {
            let x_at = |y: f64| {
                let t = if rise > 1e-12 { ((y - a.y) / rise).clamp(0.0, 1.0) } else { 0.0 };
                a.x + (b.x - a.x) * t
            };
            let y0 = self.low.y + row as f64 * self.cell;
            let (mut x0, mut x1) = if rise > 1e-12 {
                (
                    x_at(if row == 0 { a.y } else { y0 }),
                    x_at(if row + 1 == self.rows { b.y } else { y0 + self.cell }),
                )
            } else {
                (a.x, b.x)
            };
            if x0 > x1 {
                std::mem::swap(&mut x0, &mut x1);
            }
            for column in self.column(x0 - MARGIN)..=self.column(x1 + MARGIN) {
                if !ask(self.cell(column, row)) {
                    return false;
                }
            }
        }
        true
    }
}
