//! The room that bends, tools and hands want, as plan views for drawing: of each thing to be reached and
//! of each wire's end, the footprint of its space in its best way, and what stands in it.
//!
//! What reaches higher than anything on its face is left out of the footprint: a fist above a long driver
//! says nothing about where parts may stand.

use crate::access::{Solid, Way, When};
use crate::bend::Bend;
use crate::cut::joined;
use crate::findings::access::words;
use crate::geometry::Geometry;
use crate::shape::Convex;
use loomdeck_model::{Face, Outline, Point, Robot, Subject};

/// A space seen from above.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    /// Whose it is.
    pub subject: Subject,
    /// What is done there: "the screw of amp.left: screwdriver".
    pub words: String,
    /// On which face.
    pub face: Face,
    /// Where, in the board's frame.
    pub at: Point,
    /// Its footprint.
    pub outlines: Vec<Outline>,
    /// What stands in it, worst first; empty: it is free.
    pub by: Vec<Subject>,
}

/// What hands and tools need to hold, wire and use everything, in the order of the needs. What is done
/// before a part is there is left out.
pub fn reach(robot: &Robot, geometry: &Geometry) -> Vec<Room> {
    let tops = Face::BOTH.map(|f| top(geometry, f));
    let needs = geometry.access.needs.iter().filter(|n| n.when != When::Prepare);
    needs
        .flat_map(|n| {
            let job = words::job(robot, n.owner, &n.job, n.subject.name());
            let uses = n.ways.first().map(|w: &Way| w.uses.as_slice()).unwrap_or_default();
            uses.iter().map(move |u| Room {
                subject: n.subject.clone(),
                words: format!("{job}: {}", u.tool.word()),
                face: u.face,
                at: u.at,
                outlines: footprint(&u.solids, tops[u.face as usize]),
                by: u.blockers.iter().map(|b| b.by.clone()).collect(),
            })
        })
        .collect()
}

/// What the bends of all wire ends need, in the order of the bends.
pub fn bends(robot: &Robot, geometry: &Geometry) -> Vec<Room> {
    let each = geometry.bends.iter().filter_map(|b: &Bend| {
        let way = b.ways.first()?;
        let wire = &robot.wires[b.wire.0];
        let place = robot.landing_word(if b.from_end { wire.from } else { wire.to });
        Some(Room {
            subject: crate::faces::subject(robot, b.owner),
            words: format!("the bend of {} at {place}", wire.name),
            face: b.face,
            at: b.at,
            outlines: footprint(&way.solids, f64::INFINITY),
            by: way.blockers.iter().map(|b| b.by.clone()).collect(),
        })
    });
    each.collect()
}

/// Height of the tallest thing on a face, mm.
fn top(geometry: &Geometry, face: Face) -> f64 {
    let Some(view) = geometry.face(face) else { return 0.0 };
    let bodies = view.bodies.iter().map(|b| b.top.0);
    let small = view.fasteners.iter().chain(&view.fixtures).map(|f| f.height.0);
    bodies.chain(small).fold(0.0, f64::max)
}

/// What of some spaces begins below a height; all of them when none does.
fn footprint(solids: &[Solid], below: f64) -> Vec<Outline> {
    let shape = |s: &Solid| Convex::new(s.outline.0.clone());
    let low = joined(solids.iter().filter(|s| s.from.0 < below).map(shape));
    if low.is_empty() { joined(solids.iter().map(shape)) } else { low }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::findings::tests::found;

    const SCREWS: &str = crate::findings::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [120, 50]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 1.5\n"
    );

    #[test]
    fn the_room_of_a_screw_is_its_tool_and_of_a_bend_reaches_out_of_its_terminal() {
        let (robot, _) = found(SCREWS);
        let geometry = crate::study(&robot);
        let all = reach(&robot, &geometry);
        // Two bolts each with head and nut, and the two terminals in use.
        let screws = all.iter().filter(|r| r.words.starts_with("a screw of amp")).count();
        assert_eq!(screws, 4, "{all:#?}");
        for room in &all {
            let (low, high) = Outline(room.outlines.iter().flat_map(|o| o.0.clone()).collect()).bounds();
            assert!(low.x <= room.at.x && room.at.x <= high.x && low.y <= room.at.y, "{room:?}");
            // The fist over a driver is above everything and not drawn.
            assert!(room.words.contains("spanner") || high.x - low.x < 60.0, "{room:?}");
        }
        let bends = bends(&robot, &geometry);
        assert_eq!(bends.len(), 2);
        let amp = bends.iter().find(|b| b.words == "the bend of one at amp.right").unwrap();
        let far = amp.outlines.iter().flat_map(|o| &o.0).map(|p| p.x).fold(0.0, f64::max);
        let need = geometry.bends[0].need().0;
        assert!((far - amp.at.x - need).abs() < 1e-6 && amp.by.is_empty(), "{far} {need}");
    }
}
