//! Things by place, in square cells, to be met along a straight stretch.

use loomdeck_model::Point;

/// Side of a cell, mm.
const CELL: f64 = 20.0;

/// Most cells in a row or column.
const MOST: usize = 400;

/// Numbers of things by the cells that their boxes touch.
#[derive(Clone, Debug)]
pub struct Cells {
    low: Point,
    side: f64,
    columns: usize,
    rows: usize,
    cells: Vec<Vec<u32>>,
}

impl Cells {
    /// From boxes: lower left and upper right.
    pub fn new(boxes: &[(Point, Point)]) -> Self {
        let (mut low, mut high) = boxes.first().copied().unwrap_or_default();
        for (a, b) in boxes {
            low = Point::new(low.x.min(a.x), low.y.min(a.y));
            high = Point::new(high.x.max(b.x), high.y.max(b.y));
        }
        let long = (high.x - low.x).max(high.y - low.y);
        let side = CELL.max(long / MOST as f64);
        let count = |a: f64, b: f64| ((b - a) / side) as usize + 1;
        let (columns, rows) = (count(low.x, high.x), count(low.y, high.y));
        let mut out = Self { low, side, columns, rows, cells: vec![Vec::new(); columns * rows] };
        for (i, corners) in boxes.iter().enumerate() {
            out.insert(i as u32, *corners);
        }
        out
    }

    /// The same cells with nothing in them.
    pub fn emptied(&self) -> Self {
        Self { cells: vec![Vec::new(); self.cells.len()], ..*self }
    }

    /// Enters a thing by its box.
    pub fn insert(&mut self, thing: u32, (a, b): (Point, Point)) {
        for row in self.row(a.y)..=self.row(b.y) {
            for column in self.column(a.x)..=self.column(b.x) {
                self.cells[row * self.columns + column].push(thing);
            }
        }
    }

    /// From points.
    pub fn of_points(points: impl Iterator<Item = Point>) -> Self {
        let boxes: Vec<(Point, Point)> = points.map(|p| (p, p)).collect();
        Self::new(&boxes)
    }

    fn column(&self, x: f64) -> usize {
        (((x - self.low.x) / self.side).max(0.0) as usize).min(self.columns - 1)
    }

    fn row(&self, y: f64) -> usize {
        (((y - self.low.y) / self.side).max(0.0) as usize).min(self.rows - 1)
    }

    /// Things that may lie within `far` of a straight stretch; one in several cells may come again.
    pub fn along(&self, a: Point, b: Point, far: f64, mut each: impl FnMut(u32)) {
        let (a, b) = if a.y <= b.y { (a, b) } else { (b, a) };
        let rise = b.y - a.y;
        for row in self.row(a.y - far)..=self.row(b.y + far) {
            // The part of the stretch whose surroundings reach into this row.
            let y0 = self.low.y + row as f64 * self.side - far;
            let y1 = self.low.y + (row + 1) as f64 * self.side + far;
            let at = |y: f64| if rise < 1e-9 { 0.0 } else { ((y - a.y) / rise).clamp(0.0, 1.0) };
            let (mut t0, mut t1) = if rise < 1e-9 { (0.0, 1.0) } else { (at(y0), at(y1)) };
            // Things beyond the outermost rows lie in them.
            if row == 0 {
                t0 = 0.0;
            }
            if row + 1 == self.rows {
                t1 = 1.0;
            }
            let (p, q) = (a.x + (b.x - a.x) * t0, a.x + (b.x - a.x) * t1);
            for column in self.column(p.min(q) - far)..=self.column(p.max(q) + far) {
                self.cells[row * self.columns + column].iter().for_each(|i| each(*i));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::nearest_on_segment;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn nothing_near_is_missed(
            at in proptest::collection::vec((-50.0..350f64, -50.0..250f64), 1..60),
            ax in -80.0..380f64, ay in -80.0..280f64, bx in -80.0..380f64, by in -80.0..280f64,
            far in 0.0..40f64,
        ) {
            let points: Vec<Point> = at.iter().map(|(x, y)| Point::new(*x, *y)).collect();
            let cells = Cells::of_points(points.iter().copied());
            let (a, b) = (Point::new(ax, ay), Point::new(bx, by));
            let mut met = vec![false; points.len()];
            cells.along(a, b, far, |i| met[i as usize] = true);
            for (p, met) in points.iter().zip(met) {
                prop_assert!(met || p.distance(nearest_on_segment(*p, a, b)) > far);
            }
        }
    }
}
