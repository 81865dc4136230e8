//! Names of fasteners, by where they are on their part.

use crate::access::Job;
use crate::faces::{self, Standing};
use crate::geometry::Owner;
use loomdeck_model::part_type::FixingStyle;
use loomdeck_model::{Face, Point, Robot};

/// What a job is done to: "the lower left bolt", "the screw of terminal `plus`". Left and right as seen
/// looking at the face that carries the part.
pub fn thing(robot: &Robot, owner: Owner, job: &Job) -> String {
    let Some(standing) = faces::standing(robot).find(|s| s.owner == owner) else {
        return "a fastener".to_owned();
    };
    match job {
        Job::Fastener { hole } => {
            let at = |p: Point| seen(standing.at.to_board(p), standing.at.face);
            let holes: Vec<Point> = standing.kind.holes.iter().map(|h| at(h.at)).collect();
            let place = place(&holes, *hole);
            format!("the {place}{}{}", if place.is_empty() { "" } else { " " }, fastener(&standing))
        }
        Job::Terminal { terminal } => {
            let name = standing.kind.terminals.get(*terminal).map_or("", |t| t.name.as_str());
            format!("the screw of terminal {name}")
        }
        Job::Reach { need } => {
            let what = standing.kind.reach.get(*need).map_or("", |r| r.what.as_str());
            format!("the {what}")
        }
        Job::Unplug => "the latch".to_owned(),
        Job::Slide => "the way out of the cleats".to_owned(),
    }
}

/// As seen looking at a face.
fn seen(p: Point, face: Face) -> Point {
    match face {
        Face::Front => p,
        Face::Back => Point::new(-p.x, p.y),
    }
}

/// The word for what holds a thing.
fn fastener(standing: &Standing) -> &'static str {
    match standing.fixing.style {
        FixingStyle::BoltAndNut | FixingStyle::Housing => "bolt",
        FixingStyle::Clip => "clip",
        FixingStyle::Cleat => "bolt of the cleat",
        _ => "screw",
    }
}

/// "lower left", "upper", "" for a single hole.
fn place(holes: &[Point], which: usize) -> String {
    let Some(at) = holes.get(which) else { return String::new() };
    let word = |low: f64, high: f64, v: f64, words: [&'static str; 3]| -> &'static str {
        if high - low < 1.0 {
            return "";
        }
        match (v - low) / (high - low) {
            t if t < 0.34 => words[0],
            t if t > 0.66 => words[2],
            _ => words[1],
        }
    };
    let span = |f: fn(&Point) -> f64| {
        let all = holes.iter().map(f);
        all.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)))
    };
    let ((x0, x1), (y0, y1)) = (span(|p| p.x), span(|p| p.y));
    let upright = word(y0, y1, at.y, ["lower", "middle", "upper"]);
    let across = word(x0, x1, at.x, ["left", "middle", "right"]);
    let both: Vec<&str> = [upright, across].into_iter().filter(|w| !w.is_empty()).collect();
    match both.as_slice() {
        ["middle", "middle"] => "middle".to_owned(),
        ["middle", side] => format!("middle {side}"),
        other => other.join(" "),
    }
}

/// "a", "a and b", "a, b and c".
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn holes_are_named_by_their_place() {
        let p = |x, y| Point::new(x, y);
        let four = [p(0.0, 0.0), p(40.0, 0.0), p(0.0, 30.0), p(40.0, 30.0)];
        let names: Vec<String> = (0..4).map(|i| place(&four, i)).collect();
        assert_eq!(names, ["lower left", "lower right", "upper left", "upper right"]);
        assert_eq!(place(&[p(3.0, 3.0)], 0), "");
        assert_eq!(place(&[p(3.0, 3.0), p(30.0, 3.0)], 1), "right");
        assert_eq!(place(&[p(3.0, 3.0), p(3.0, 30.0), p(3.0, 15.0)], 2), "middle");
        // Looking at the back, what has the larger x is on the left.
        let back: Vec<Point> = four.iter().map(|q| seen(*q, Face::Back)).collect();
        assert_eq!(place(&back, 0), "lower right");
    }

    #[test]
    fn lists_read_like_a_sentence() {
        let of = |items: &[&str]| list(&items.iter().map(|s| (*s).to_owned()).collect::<Vec<_>>());
        assert_eq!(
            (of(&["a"]), of(&["a", "b"]), of(&["a", "b", "c"])),
            ("a".into(), "a and b".into(), "a, b and c".into())
        );
    }
}
