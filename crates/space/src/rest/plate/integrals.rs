//! The energy of bending and the work of an even load, integrated over the outline.

use super::basis::{DEGREE, Frame, curvatures, legendre, values};
use crate::shape::{Convex, pieces};
use loomdeck_model::{Outline, Point};

/// ∫ of the energy of each pair of products (for stiffness one), and of each product, over the outline.
pub(super) fn integrals(
    outline: &Outline,
    frame: Frame,
    poisson: f64,
    basis: &[(usize, usize)],
) -> (Vec<f64>, Vec<f64>) {
    let whole = match pieces(outline).as_slice() {
        [one] => upright_box(one).is_some(),
        _ => false,
    };
    let (mut energy, even) = if whole {
        over_box(frame, poisson, basis)
    } else {
        over_pieces(outline, frame, poisson, basis)
    };
    let n = basis.len();
    for i in 0..n {
        for j in i + 1..n {
            energy[i * n + j] = energy[j * n + i];
        }
    }
    (energy, even)
}

/// The same over the whole box, where the integrals of both directions part.
fn over_box(frame: Frame, poisson: f64, basis: &[(usize, usize)]) -> (Vec<f64>, Vec<f64>) {
    let n = basis.len();
    // ∫ of the product of two polynomials' derivatives: [first's][second's] order, by degrees.
    let mut one = vec![[[0.0; 3]; 3]; (DEGREE + 1) * (DEGREE + 1)];
    for (x, weight) in gauss(DEGREE + 1) {
        let p = legendre(x);
        for i in 0..=DEGREE {
            for j in 0..=DEGREE {
                let cell = &mut one[i * (DEGREE + 1) + j];
                for (a, row) in cell.iter_mut().enumerate() {
                    for (b, value) in row.iter_mut().enumerate() {
                        *value += weight * p[i][a] * p[j][b];
                    }
                }
            }
        }
    }
    let (a, b) = (frame.half.x, frame.half.y);
    let mut energy = vec![0.0; n * n];
    for i in 0..n {
        for j in 0..=i {
            let x = &one[basis[i].0 * (DEGREE + 1) + basis[j].0];
            let y = &one[basis[i].1 * (DEGREE + 1) + basis[j].1];
            let across = x[2][0] * y[0][2] + x[0][2] * y[2][0];
            energy[i * n + j] = x[2][2] * y[0][0] * b / (a * a * a)
                + x[0][0] * y[2][2] * a / (b * b * b)
                + (poisson * across + 2.0 * (1.0 - poisson) * x[1][1] * y[1][1]) / (a * b);
        }
    }
    // Every product but the first has no mean.
    let mut even = vec![0.0; n];
    even[0] = 4.0 * a * b;
    (energy, even)
}

/// The same by places all over the outline.
fn over_pieces(
    outline: &Outline,
    frame: Frame,
    poisson: f64,
    basis: &[(usize, usize)],
) -> (Vec<f64>, Vec<f64>) {
    let n = basis.len();
    let mut energy = vec![0.0; n * n];
    let mut even = vec![0.0; n];
    let rule = gauss(DEGREE + 1);
    for (at, weight) in places(outline, &rule) {
        let k = curvatures(frame, frame.to_unit(at), basis);
        for (e, v) in even.iter_mut().zip(values(frame, at, basis)) {
            *e += weight * v;
        }
        for i in 3..n {
            let [xx, yy, xy] = k[i];
            // What the pair's energy is made of, gathered for the inner loop.
            let (gx, gy) = (weight * (xx + poisson * yy), weight * (yy + poisson * xx));
            let gt = weight * 2.0 * (1.0 - poisson) * xy;
            let row = &mut energy[i * n + 3..i * n + i + 1];
            for (e, c) in row.iter_mut().zip(&k[3..]) {
                *e += gx * c[0] + gy * c[1] + gt * c[2];
            }
        }
    }
    (energy, even)
}

/// Places and weights that integrate the products' energies exactly over the outline.
fn places(outline: &Outline, rule: &[(f64, f64)]) -> Vec<(Point, f64)> {
    let mut out = Vec::new();
    for piece in pieces(outline) {
        match upright_box(&piece) {
            Some((low, high)) => {
                let (w, h) = (high.x - low.x, high.y - low.y);
                for (u, a) in rule {
                    for (v, b) in rule {
                        let at = Point::new(low.x + w * (u + 1.0) / 2.0, low.y + h * (v + 1.0) / 2.0);
                        out.push((at, a * b * w * h / 4.0));
                    }
                }
            }
            None => {
                let c = &piece.corners;
                (1..c.len().saturating_sub(1))
                    .for_each(|i| triangle([c[0], c[i], c[i + 1]], rule, &mut out));
            }
        }
    }
    out
}

fn upright_box(piece: &Convex) -> Option<(Point, Point)> {
    let on_box = |p: &Point| {
        (p.x == piece.low.x || p.x == piece.high.x) && (p.y == piece.low.y || p.y == piece.high.y)
    };
    (piece.corners.len() == 4 && piece.corners.iter().all(on_box)).then_some((piece.low, piece.high))
}

/// The square's rule squeezed into a triangle.
fn triangle(t: [Point; 3], rule: &[(f64, f64)], out: &mut Vec<(Point, f64)>) {
    let (p, q) =
        (Point::new(t[1].x - t[0].x, t[1].y - t[0].y), Point::new(t[2].x - t[1].x, t[2].y - t[1].y));
    let twice = (p.x * q.y - p.y * q.x).abs();
    for (u, a) in rule {
        for (v, b) in rule {
            let (s, r) = ((u + 1.0) / 2.0, (v + 1.0) / 2.0);
            let at = Point::new(t[0].x + s * (p.x + r * q.x), t[0].y + s * (p.y + r * q.y));
            out.push((at, a * b / 4.0 * s * twice));
        }
    }
}

/// Nodes and weights of Gauss's rule on −1..1, by Newton from Chebyshev's nodes.
fn gauss(n: usize) -> Vec<(f64, f64)> {
    (0..n)
        .map(|i| {
            let mut x = (std::f64::consts::PI * (i as f64 + 0.75) / (n as f64 + 0.5)).cos();
            let mut slope = 1.0;
            for _ in 0..50 {
                let (mut before, mut now) = (1.0, x);
                for k in 1..n {
                    let k = k as f64;
                    (before, now) = (now, ((2.0 * k + 1.0) * x * now - k * before) / (k + 1.0));
                }
                slope = n as f64 * (x * now - before) / (x * x - 1.0);
                let step = now / slope;
                x -= step;
                if step.abs() < 1e-15 {
                    break;
                }
            }
            (x, 2.0 / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}
