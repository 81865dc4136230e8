//! Columns of labels beside a drawing, with leaders that do not cross.

use super::{Block, Placed, Wish, cross};
use crate::svg::Spot;

/// A column of labels on one side of a drawing.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// Edge of the column that faces the drawing.
    pub x: f64,
    /// The column stands to the right of the drawing.
    pub right: bool,
    /// Upper end.
    pub top: f64,
    /// Lower end.
    pub bottom: f64,
    /// Gap between labels.
    pub gap: f64,
    /// Length of the level stretch of each leader next to its label.
    pub stub: f64,
}

impl Column {
    /// How many labels of this height it holds.
    pub fn room_for(&self, height: f64) -> usize {
        ((self.bottom - self.top + self.gap) / (height + self.gap)).floor().max(0.0) as usize
    }

    /// Places the labels, each in its first form, as near to the height of its target as their order
    /// allows. The caller sees to it that they fit.
    pub fn place(&self, wishes: &[(usize, &Wish)]) -> Vec<Placed> {
        let mut order: Vec<(usize, &Wish)> =
            wishes.iter().copied().filter(|(_, w)| !w.forms.is_empty()).collect();
        order.sort_by(|a, b| {
            let key = |w: &Wish| (w.target.y, w.target.x);
            let (ka, kb) = (key(a.1), key(b.1));
            ka.0.total_cmp(&kb.0).then(ka.1.total_cmp(&kb.1)).then(a.0.cmp(&b.0))
        });
        let mut placed = self.stack(&order);
        // Neighbours whose leaders cross change places; each exchange removes a crossing, and the
        // rounds are bounded all the same.
        for _ in 0..order.len() * 2 {
            let Some(i) = (1..placed.len()).find(|i| leaders_cross(&placed[i - 1], &placed[*i])) else {
                break;
            };
            order.swap(i - 1, i);
            placed = self.stack(&order);
        }
        placed
    }

    fn stack(&self, order: &[(usize, &Wish)]) -> Vec<Placed> {
        let heights: Vec<f64> = order.iter().map(|(_, w)| w.forms[0].height).collect();
        let tops = self.tops(order, &heights);
        let each = order.iter().zip(tops).map(|((wish, w), top)| {
            let form = &w.forms[0];
            let left = if self.right { self.x } else { self.x - form.width };
            let block =
                Block::new(Spot::new(left, top), Spot::new(left + form.width, top + form.height));
            let middle = top + form.height / 2.0;
            let knee = if self.right { self.x - self.stub } else { self.x + self.stub };
            let leader = vec![Spot::new(self.x, middle), Spot::new(knee, middle), w.target];
            Placed { wish: *wish, form: 0, block, leader }
        });
        each.collect()
    }

    /// Upper edges: at the target's height where possible, pushed down by the one above, then pushed
    /// up from the lower end.
    fn tops(&self, order: &[(usize, &Wish)], heights: &[f64]) -> Vec<f64> {
        let mut tops = Vec::with_capacity(order.len());
        let mut free = self.top;
        for ((_, wish), h) in order.iter().zip(heights) {
            let top = (wish.target.y - h / 2.0).max(free);
            tops.push(top);
            free = top + h + self.gap;
        }
        let mut free = self.bottom;
        for (top, h) in tops.iter_mut().zip(heights).rev() {
            *top = top.min(free - h);
            free = *top - self.gap;
        }
        tops
    }
}

fn leaders_cross(a: &Placed, b: &Placed) -> bool {
    let lines = |p: &Placed| p.leader.windows(2).map(|w| (w[0], w[1])).collect::<Vec<_>>();
    lines(a).iter().any(|x| lines(b).iter().any(|y| cross(*x, *y)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::labels::Form;

    #[test]
    fn a_full_column_keeps_its_labels_apart_and_within() {
        let column = Column { x: 110.0, right: true, top: 0.0, bottom: 100.0, gap: 1.0, stub: 4.0 };
        let form = Form { lines: vec![], width: 20.0, height: 6.0, upright: false };
        let wishes: Vec<Wish> = (0..column.room_for(6.0))
            .map(|i| Wish {
                target: Spot::new(10.0 + (i * 37 % 80) as f64, 90.0 + (i % 3) as f64),
                home: None,
                forms: vec![form.clone()],
            })
            .collect();
        assert_eq!(wishes.len(), 14);
        let all: Vec<(usize, &Wish)> = wishes.iter().enumerate().collect();
        let placed = column.place(&all);
        assert_eq!(placed.len(), 14);
        for (i, a) in placed.iter().enumerate() {
            assert!(a.block.low.y >= -1e-9 && a.block.high.y <= 100.0 + 1e-9);
            for b in &placed[i + 1..] {
                assert!(!a.block.overlaps(b.block));
            }
        }
    }

    #[test]
    fn neighbours_with_crossed_leaders_change_places() {
        let column = Column { x: 100.0, right: true, top: 0.0, bottom: 40.0, gap: 1.0, stub: 4.0 };
        let form = Form { lines: vec![], width: 20.0, height: 6.0, upright: false };
        let wish = |x, y| Wish { target: Spot::new(x, y), home: None, forms: vec![form.clone()] };
        let wishes = [wish(10.0, 20.0), wish(90.0, 20.2)];
        let placed = column.place(&[(0, &wishes[0]), (1, &wishes[1])]);
        assert!(!leaders_cross(&placed[0], &placed[1]));
    }
}
