//! Many shorts at once, in blocks.

use super::border::Border;
use super::{Failure, Place, Sweep};
use crate::solver::lu::BLOCK;

/// Current of a short, and the items taken as off.
pub type Current = Result<(f64, Vec<usize>), Failure>;

impl Sweep<'_> {
    /// Currents of many shorts, each alone, from the first place to the second, with the loads that were
    /// taken as off: as [`Sweep::short`] finds them, without the unknowns of the whole network. `None` when
    /// nothing joins the places.
    pub fn currents(&mut self, pairs: &[(Place, Place)], ohms: f64) -> Vec<Option<Current>> {
        if self.ports.is_none() {
            self.ports = Some(self.ports());
        }
        let mut ports = self.ports.take().flatten();
        let mut out = Vec::with_capacity(pairs.len());
        let (mut block, mut work) = (Vec::new(), Vec::new());
        let mut off = vec![false; self.loads.len()];
        for some in pairs.chunks(BLOCK) {
            let borders: Vec<Option<Border>> =
                some.iter().map(|&(a, b)| self.border(a, b, ohms)).collect();
            let Some(ports) = ports.as_mut() else {
                out.extend(some.iter().map(|&(a, b)| self.alone(a, b, ohms)));
                continue;
            };
            block.clear();
            block.resize(self.x.len(), [0.0; BLOCK]);
            for (side, border) in borders.iter().enumerate() {
                for &(row, value) in border.iter().flat_map(|b| &b.u) {
                    block[row][side] += value;
                }
            }
            self.factors.solve_block(&self.core.order, &mut block, &mut work);
            for (side, (border, &(a, b))) in borders.iter().zip(some).enumerate() {
                let Some(border) = border else {
                    out.push(None);
                    continue;
                };
                let stiff =
                    border.ohms + border.w.iter().map(|&(at, w)| w * block[at][side]).sum::<f64>();
                off.fill(false);
                let found = self.in_ports(ports, border, |at| block[at][side], stiff, &mut off);
                out.push(match found {
                    Some(current) if current.is_finite() => {
                        let off = off.iter().zip(&self.loads).filter(|(off, _)| **off);
                        Some(Ok((current, off.map(|(_, load)| load.whole).collect())))
                    }
                    _ => self.alone(a, b, ohms),
                });
            }
        }
        self.ports = Some(ports);
        out
    }

    fn alone(&mut self, a: Place, b: Place, ohms: f64) -> Option<Current> {
        Some(self.short(a, b, ohms)?.map(|short| (short.current, short.shed)))
    }
}
