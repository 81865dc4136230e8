use super::*;
use crate::route::scene::Obstacle;
use loomdeck_model::Outline;

fn posts(boxes: &[(f64, f64, f64, f64)]) -> Posts {
    let mut all: Vec<Obstacle> = boxes
        .iter()
        .map(|(x, y, w, h)| Obstacle {
            pieces: crate::shape::pieces(&Outline::rectangle(Point::new(*x, *y), *w, *h)),
        })
        .collect();
    all.push(Obstacle { pieces: Vec::new() });
    Posts::new(&Outline::rectangle(Point::new(0., 0.), 300., 200.), &all)
}

fn post(posts: &Posts, x: f64, y: f64) -> Option<u32> {
    posts.all.iter().position(|p| norm(minus(p.at, Point::new(x, y))) < 1e-6).map(|i| i as u32)
}

fn strand(nodes: &[(f64, f64, Option<u32>)], stub: bool) -> Strand {
    Strand {
        width: 2.0,
        clearance: 1.2,
        radius: 6.0,
        nodes: nodes.iter().map(|(x, y, post)| Node { at: Point::new(*x, *y), post: *post }).collect(),
        stubs: [stub.then_some(Stub { most: 40.0 }), None],
        joins: [None, None],
    }
}

/// Three terminals on the top of a box, all led to the right and down past its corner.
#[test]
fn wires_from_a_row_of_terminals_lie_in_order() {
    let posts = posts(&[(100., 80., 60., 40.)]);
    let corner = post(&posts, 160., 120.);
    let strands: Vec<Strand> = [110.0, 120.0, 130.0]
        .iter()
        .map(|x| {
            strand(
                &[(*x, 118., None), (*x, 121.2, None), (161.2, 121.2, corner), (161.2, 20., None)],
                true,
            )
        })
        .collect();
    let laid = lay(&posts, &strands);
    // The rightmost is nearest to the box; each further left one lane further out, all parallel.
    let heights: Vec<f64> = laid.iter().map(|l| l.points[1].y).collect();
    assert!(heights[0] > heights[1] && heights[1] > heights[2], "{heights:?}");
    for pair in heights.windows(2) {
        assert!((pair[0] - pair[1] - 2.0 - AIR).abs() < 1e-6, "{laid:?}");
    }
    for l in &laid {
        assert!((l.points[1].y - l.points[2].y).abs() < 1e-6, "{:?}", l.points);
    }
}

#[test]
fn a_strand_alone_hugs_its_corner() {
    let posts = posts(&[(100., 80., 60., 40.)]);
    let corner = post(&posts, 160., 120.);
    let mut one = strand(&[(50., 121.2, None), (161.2, 121.2, corner), (161.2, 20., None)], false);
    one.radius = 0.0;
    let laid = lay(&posts, &[one]);
    // Half its width and the air: more than its clearance.
    assert!((laid[0].radii[1].0 - 1.3).abs() < 1e-6);
    let arc = crate::route::path::pieces(&laid[0].points, &laid[0].radii)[1];
    assert!((norm(minus(arc.at(arc.length() / 2.0).0, Point::new(160., 120.))) - 1.3).abs() < 1e-6);
}

/// Places along a lane, a mm apart, beyond its stub.
fn places(laid: &Laid) -> Vec<Point> {
    let mut out = Vec::new();
    for piece in crate::route::path::pieces(&laid.points, &laid.radii).iter().skip(1) {
        let long = piece.length();
        let n = long.ceil().max(1.0);
        out.extend((0..=n as usize).map(|k| piece.at(long * k as f64 / n).0));
    }
    out
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(64))]
    /// Where there is room, no two lanes come nearer than their widths, all the way round a corner.
    #[test]
    fn lanes_keep_their_widths(
        wires in proptest::collection::vec((2.0..12.0f64, 0.8..4.0f64), 2..7),
    ) {
        let posts = posts(&[(100., 80., 60., 40.)]);
        let corner = post(&posts, 160., 120.);
        let mut x = 100.0;
        let mut strands: Vec<Strand> = Vec::new();
        for (step, width) in &wires {
            // Far enough from the corner that the bends at terminal and corner do not share their room.
            x += (step + width).min(30.0 / wires.len() as f64);
            let clearance = 1.2f64.max(width / 2.0);
            let (top, right) = (120.0 + clearance, 160.0 + clearance);
            let mut s = strand(&[(x, 118., None), (x, top, None), (right, top, corner), (right, -60., None)], true);
            s.width = *width;
            s.clearance = clearance;
            strands.push(s);
        }
        // Each ends as far out as its lane has to be, the last terminal's nearest, so that all run down side by
        // side.
        let mut out = 0.0f64;
        let mut before: Option<f64> = None;
        for s in strands.iter_mut().rev() {
            out = match before {
                None => s.clearance.max(s.width / 2.0 + AIR),
                Some(width) => out + (width + s.width) / 2.0 + AIR,
            };
            before = Some(s.width);
            if let Some(end) = s.nodes.last_mut() {
                end.at.x = 160.0 + out;
            }
        }
        let laid = lay(&posts, &strands);
        for i in 0..laid.len() {
            for j in i + 1..laid.len() {
                let keep = (strands[i].width + strands[j].width) / 2.0;
                for p in places(&laid[i]).into_iter().filter(|p| p.y > -50.0) {
                    let near = places(&laid[j]).into_iter().map(|q| norm(minus(p, q))).fold(f64::INFINITY, f64::min);
                    // Measured at places a mm apart.
                    proptest::prop_assert!(near > keep - 0.02, "{} and {}: {} < {} at {:?}", i, j, near, keep, p);
                }
            }
        }
        proptest::prop_assert_eq!(&laid, &lay(&posts, &strands));
    }
}
