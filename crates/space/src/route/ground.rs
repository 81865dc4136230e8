//! What stands on a face, as a wire meets it.

use super::posts::Posts;
use super::scene::Obstacle;
use super::view::View;
use crate::faces;
use crate::geometry::FaceView;
use crate::shape::{Convex, octagon, pieces, pockets};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Board, Robot, Subject};

/// What stands on a face, in the order of its obstacles; the pockets of the board come last.
#[derive(Debug)]
pub(super) struct Ground {
    pub obstacles: Vec<Obstacle>,
    pub subjects: Vec<Subject>,
    pub posts: Posts,
}

/// What stands this high off the face, such as a cover, is put on last, over the wires: terminals are up to
/// some 20 mm high, and a loom lies on them (common practice, no source).
const OVERHEAD: Millimetres = Millimetres(35.0);

/// With more bodies than this on both faces together, both are prepared at once.
const MANY: usize = 20;

/// What stands on either face as obstacles.
pub(super) fn grounds(
    robot: &Robot,
    board: &Board,
    [front, back]: [&FaceView; 2],
    view: &View,
) -> [Ground; 2] {
    let one = |face: &FaceView| ground(robot, board, face, view);
    if front.bodies.len() + back.bodies.len() <= MANY {
        return [one(front), one(back)];
    }
    crate::beside(|| one(front), || one(back)).into()
}

/// What stands on a face as obstacles.
fn ground(robot: &Robot, board: &Board, face: &FaceView, view: &View) -> Ground {
    let mut subjects = Vec::new();
    let mut obstacles = Vec::new();
    let mut add = |subject: Subject, pieces: Vec<Convex>| {
        subjects.push(subject);
        obstacles.push(Obstacle { pieces: pieces.into_iter().map(Convex::simplified).collect() });
    };
    for body in &face.bodies {
        let stands = body.base < OVERHEAD;
        add(
            faces::subject(robot, body.owner),
            if stands { pieces(&view.outline(&body.outline)) } else { Vec::new() },
        );
    }
    // Below what stands so high there are only its posts.
    let high: Vec<Subject> = face
        .bodies
        .iter()
        .filter(|b| b.base >= OVERHEAD)
        .map(|b| faces::subject(robot, b.owner))
        .collect();
    let posts = face.fixtures.iter().filter(|f| high.contains(&f.subject));
    for f in face.fasteners.iter().chain(posts) {
        if f.height > Millimetres::ZERO {
            add(f.subject.clone(), vec![octagon(view.point(f.at), f.diameter.0 / 2.0)]);
        }
    }
    for k in
        board.keep_outs.iter().filter(|k| !k.wires_may_cross && k.face.is_none_or(|f| f == face.face))
    {
        add(Subject::KeepOut(k.name.clone()), pieces(&view.outline(&k.outline)));
    }
    add(Subject::Board, pockets(&view.outline));
    let posts = Posts::new(&view.outline, &obstacles);
    Ground { obstacles, subjects, posts }
}
