//! The line of a wire or loom on the drawing, with its bends as they are laid.

use super::view::View;
use crate::svg::{Outliner, rounded};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Face, Point};
use loomdeck_space::route::path::{Piece, pieces};

/// The path of a lane through these corners with bends of these radii. Where none is stated, corners are
/// eased by up to `ease`, for the eye only.
pub fn lane(view: View, points: &[Point], radii: &[Millimetres], ease: f64) -> String {
    if radii.iter().all(|r| r.0 <= 0.0) {
        return rounded(&view.corners(points), ease);
    }
    let mut d = Outliner::default();
    let all = pieces(points, radii);
    for (i, piece) in all.iter().enumerate() {
        let (Piece::Line { from, .. } | Piece::Arc { from, .. }) = *piece;
        if i == 0 {
            d.start(view.spot(from));
        }
        match *piece {
            Piece::Line { to, .. } => d.to(view.spot(to)),
            Piece::Arc { to, radius, turn, .. } => {
                // Clockwise on paper: on the front as on the board, on the back the other way round.
                let clockwise = (turn < 0.0) == (view.near() == Face::Front);
                d.arc(radius, clockwise, view.spot(to));
            }
        }
    }
    d.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bend_turns_the_same_way_as_on_the_board() {
        let points = [Point::new(0.0, 0.0), Point::new(20.0, 0.0), Point::new(20.0, 20.0)];
        let radii = [0.0, 8.0, 0.0].map(Millimetres);
        // To the right, then up: counter-clockwise on the front, whose y points down on paper.
        assert_eq!(
            lane(View::Face(Face::Front), &points, &radii, 1.0),
            "M0 0L12 0A8 8 0 0 0 20 -8L20 -20"
        );
        assert_eq!(
            lane(View::Face(Face::Back), &points, &radii, 1.0),
            "M0 0L-12 0A8 8 0 0 1 -20 -8L-20 -20"
        );
    }

    #[test]
    fn corners_without_a_radius_are_eased() {
        let points = [Point::new(0.0, 0.0), Point::new(20.0, 0.0), Point::new(20.0, 20.0)];
        let none = [Millimetres::ZERO; 3];
        assert_eq!(lane(View::Face(Face::Front), &points, &none, 2.0), "M0 0L18 0Q20 0 20 -2L20 -20");
    }
}
