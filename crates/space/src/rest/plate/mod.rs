//! A thin plate on point supports, by the method of Ritz.
//!
//! The deflection is a polynomial of the two coordinates; its coefficients make the energy of bending less
//! the work of the loads least, with the deflection held at zero over every support (the multipliers of
//! these conditions are the supports' forces). Free edges need no condition of their own: least energy
//! brings it about. Source: Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, 2nd edition,
//! articles 80 and 82 (method of Ritz; from memory); energy of bending
//! D/2 ∫ (w_xx + w_yy)² − 2 (1 − ν) (w_xx w_yy − w_xy²).
//!
//! A polynomial is a little stiffer than the plate: near concentrated forces deflections come out some
//! percent too small (the tests say how much). Lengths are mm, forces N, stresses MPa.

mod basis;
mod factors;
mod integrals;
#[cfg(test)]
mod tests;

use basis::{DEGREE, Frame, curvatures, legendre, legendre_values, products, values};
use factors::Factors;
use integrals::integrals;
use loomdeck_model::{Outline, Point};

/// A force square to the plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Where.
    pub at: Point,
    /// How much, N; positive bends the plate in the direction of positive deflection.
    pub force: f64,
}

/// What is to be bent.
#[derive(Clone, Debug)]
pub struct Plate<'a> {
    /// Outline of the sheet; holes are left out of account.
    pub outline: &'a Outline,
    /// Bending stiffness E·t³ / 12 (1 − ν²), N·mm.
    pub stiffness: f64,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Where it is held: deflection zero, free to turn.
    pub supports: &'a [Point],
    /// Forces.
    pub loads: &'a [Load],
    /// Evenly spread load, N/mm².
    pub pressure: f64,
}

/// The plate bent.
#[derive(Clone, Debug)]
pub struct Bent {
    frame: Frame,
    stiffness: f64,
    poisson: f64,
    coefficients: Vec<f64>,
    /// Force of each support on the plate, N, against the load.
    pub reactions: Vec<f64>,
}

/// Deflections and moments over a grid of lines of the outline's box.
#[derive(Clone, Debug)]
pub struct Grid {
    /// Where, deflection in mm, largest moment per width in any direction in N; line by line.
    pub places: Vec<(Point, f64, f64)>,
}

/// Bends a plate; `None` when the supports do not hold it (fewer than three, or all on one line).
pub fn bend(plate: &Plate) -> Option<Bent> {
    Prepared::of(plate.outline, plate.poisson, plate.supports)?.bend(plate)
}

/// A sheet with its supports, ready to be loaded in any way.
#[derive(Clone, Debug)]
pub struct Prepared {
    outline: Outline,
    poisson: f64,
    supports: Vec<Point>,
    frame: Frame,
    even: Vec<f64>,
    factors: Factors,
}

impl Prepared {
    /// `None` when the supports do not hold it.
    pub fn of(outline: &Outline, poisson: f64, supports: &[Point]) -> Option<Self> {
        let frame = Frame::of(outline)?;
        let basis = products();
        let (n, m) = (basis.len(), supports.len());
        if m < 3 {
            return None;
        }
        let (energy, even) = integrals(outline, frame, poisson, &basis);
        let size = n + m;
        let mut matrix = vec![0.0; size * size];
        for i in 0..n {
            matrix[i * size..i * size + n].copy_from_slice(&energy[i * n..(i + 1) * n]);
        }
        for (k, support) in supports.iter().enumerate() {
            for (i, v) in values(frame, *support, &basis).into_iter().enumerate() {
                matrix[i * size + n + k] = v;
                matrix[(n + k) * size + i] = v;
            }
            // A trace of give in every support: conditions that repeat one another stay solvable.
            matrix[(n + k) * size + n + k] = -1e-9 * frame.half.x * frame.half.y;
        }
        let factors = Factors::of(matrix, size)?;
        Some(Self {
            outline: outline.clone(),
            poisson,
            supports: supports.to_vec(),
            frame,
            even,
            factors,
        })
    }

    /// It is this sheet on these supports.
    pub fn is_of(&self, outline: &Outline, poisson: f64, supports: &[Point]) -> bool {
        self.poisson == poisson && self.supports == supports && self.outline == *outline
    }

    /// Bends it under the loads of a plate of this outline on these supports.
    pub fn bend(&self, plate: &Plate) -> Option<Bent> {
        if plate.stiffness <= 0.0 {
            return None;
        }
        let basis = products();
        let n = basis.len();
        let mut right = vec![0.0; n + self.supports.len()];
        for (r, even) in right.iter_mut().zip(&self.even) {
            *r = plate.pressure * even / plate.stiffness;
        }
        for load in plate.loads {
            let p = self.frame.to_unit(load.at);
            let (px, py) = (legendre_values(p.x), legendre_values(p.y));
            for (r, (i, j)) in right.iter_mut().zip(&basis) {
                *r += load.force * (px[*i] * py[*j]) / plate.stiffness;
            }
        }
        let solved = self.factors.solve(right)?;
        let reactions = solved[n..].iter().map(|r| r * plate.stiffness).collect();
        Some(Bent {
            frame: self.frame,
            stiffness: plate.stiffness,
            poisson: plate.poisson,
            coefficients: solved[..n].to_vec(),
            reactions,
        })
    }
}

impl Bent {
    /// Deflection at a place, mm.
    pub fn deflection(&self, at: Point) -> f64 {
        values(self.frame, at, &products()).iter().zip(&self.coefficients).map(|(v, c)| v * c).sum()
    }

    /// Largest bending moment per width at a place in any direction, N (N·mm per mm).
    pub fn moment(&self, at: Point) -> f64 {
        let k = curvatures(self.frame, self.frame.to_unit(at), &products());
        let sum = k
            .iter()
            .zip(&self.coefficients)
            .fold([0.0; 3], |s, (k, c)| [s[0] + k[0] * c, s[1] + k[1] * c, s[2] + k[2] * c]);
        self.largest(sum)
    }

    /// The larger of the two chief moments of curvatures xx, yy, xy.
    fn largest(&self, k: [f64; 3]) -> f64 {
        let (d, nu) = (self.stiffness, self.poisson);
        let (mx, my) = (d * (k[0] + nu * k[1]), d * (k[1] + nu * k[0]));
        let mxy = d * (1.0 - nu) * k[2];
        let (middle, radius) = ((mx + my) / 2.0, ((mx - my) / 2.0).hypot(mxy));
        (middle + radius).abs().max((middle - radius).abs())
    }

    /// Both over `n` + 1 by `n` + 1 places of the outline's box. Line by line: the polynomial of a line is
    /// gathered once.
    pub fn grid(&self, n: usize) -> Grid {
        let basis = products();
        let f = self.frame;
        let (a, b) = (f.half.x, f.half.y);
        let along = |i: usize| 2.0 * i as f64 / n as f64 - 1.0;
        let lines: Vec<_> = (0..=n).map(|j| legendre(along(j))).collect();
        let mut places = Vec::with_capacity((n + 1) * (n + 1));
        for i in 0..=n {
            let p = legendre(along(i));
            let mut line = [[0.0; 3]; DEGREE + 1];
            for (&(x, y), c) in basis.iter().zip(&self.coefficients) {
                for (sum, order) in line[y].iter_mut().zip(p[x]) {
                    *sum += c * order;
                }
            }
            for (j, q) in lines.iter().enumerate() {
                let (mut w, mut k) = (0.0, [0.0; 3]);
                for (l, q) in line.iter().zip(q) {
                    w += l[0] * q[0];
                    k[0] += l[2] * q[0] / (a * a);
                    k[1] += l[0] * q[2] / (b * b);
                    k[2] += l[1] * q[1] / (a * b);
                }
                let at = Point::new(f.centre.x + a * along(i), f.centre.y + b * along(j));
                places.push((at, w, self.largest(k)));
            }
        }
        Grid { places }
    }
}
