//! The body half of a plug cannot come off.

use super::layout::{Layout, Solid};
use super::{marks, mm};
use crate::access::plugs::pull;
use crate::access::{Blocker, Job, ToolUse};
use crate::faces::plug_direction;
use crate::geometry::Owner;
use crate::shape::{Convex, along, dot, minus};
use loomdeck_model::{Finding, Page, PlugPlace, Point, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "plug-blocked",
    severity: Severity::Fix,
    title: "Something stands in the way of a plug",
    physics: "To part a plug you pull its body half off along its axis by half its mated length, with its \
        boot and the fingers behind it. The swept strip, as wide and high as the plug, must be free of \
        every part, head, nut and mount. Fingers at the sides of a plug that locks are another finding.",
    source: "Common practice, no source: half the mated length, the boot, and 20 mm for fingers.",
    limits: "Fingers are taken to come from behind the plug, not from above. Wires in the way are not looked \
        at.",
    before: super::robot!(
        "[[zone]]\nname = \"leg\"\npath_mm = 300\n\
         [[plug]]\nname = \"leg-plug\"\nfamily = \"plug-2\"\nzone = \"leg\"\nface = \"front\"\n\
         at_mm = [60, 75]\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [100, 60]\n"
    ),
    after: super::robot!(
        "[[zone]]\nname = \"leg\"\npath_mm = 300\n\
         [[plug]]\nname = \"leg-plug\"\nfamily = \"plug-2\"\nzone = \"leg\"\nface = \"front\"\n\
         at_mm = [175, 30]\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [100, 60]\n"
    ),
};

/// Looks at every fixed plug.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    for need in layout.geometry.access.needs.iter().filter(|n| n.job == Job::Unplug) {
        let Some(ahead) = need.ways.first().and_then(|w| w.uses.first()) else { continue };
        let Some(s) = layout.solid(&need.subject) else { continue };
        for blocker in ahead.blockers.iter().filter(|b| b.by != Subject::Robot) {
            out.extend(finding(layout, s, ahead, blocker));
        }
    }
}

fn finding(layout: &Layout, s: &Solid, ahead: &ToolUse, blocker: &Blocker) -> Option<Finding> {
    let (strip, end, d, need) = swept(layout, s, ahead)?;
    let other = layout.solid(&blocker.by).filter(|o| o.face == s.face);
    let body = other.filter(|o| o.pieces.iter().any(|p| p.overlaps(&strip)));
    // Of a nut or head only its depth in the strip is known.
    let free =
        body.map_or((need - blocker.overlap.0).max(0.0), |o| first_touch(&o.pieces, &strip, end, d));
    let name = blocker.by.name();
    let what = format!(
        "{} cannot come apart: {name} stands {} in front of it, and it needs {}.",
        s.name(),
        mm(free),
        mm(need)
    );
    let why = "The body half comes off by half the plug's length, with its boot and your fingers.";
    let mut moves =
        body.map_or_else(Vec::new, |o| layout.moves_off(o, std::slice::from_ref(&strip), 0.0));
    moves.push((s, Point::new(-d.x, -d.y), need - free));
    let remedy = layout.best_move(moves).unwrap_or_else(|| {
        Remedy::advice(format!("Turn {} to face a free side, or give it a tail.", s.name()))
    });
    Some(
        Finding::new(PAGE.slug, PAGE.severity, s.subject.clone(), what, why, PAGE.source)
            .with_subject(blocker.by.clone())
            .with_value("free_mm", free)
            .with_limit("free_mm", need)
            .with_remedy(remedy)
            .with_spot(s.face, s.middle())
            .with_marks(marks::tool(layout, ahead)),
    )
}

/// What the body half sweeps: the strip, the middle of the plug's end, its direction, its length.
fn swept(layout: &Layout, s: &Solid, ahead: &ToolUse) -> Option<(Convex, Point, Point, f64)> {
    let Owner::Plug(plug) = s.body.owner else { return None };
    let PlugPlace::Fixed(at) = layout.robot.plugs[plug.0].place else { return None };
    let family = layout.robot.family_of(plug)?;
    let end = at.to_board(Point::new(family.length.0 / 2.0, 0.0));
    let strip = Convex::new(ahead.solids.first()?.outline.0.clone());
    Some((strip, end, plug_direction(at), pull(family)))
}

/// How far along `d` from `end` a strip first meets some pieces.
pub fn first_touch(pieces: &[Convex], strip: &Convex, end: Point, d: Point) -> f64 {
    let mut least = f64::INFINITY;
    let mut seen = |p: Point| least = least.min(dot(minus(p, end), d));
    for piece in pieces {
        piece.corners.iter().filter(|p| strip.depth(**p) >= 0.0).for_each(|p| seen(*p));
        let n = piece.corners.len();
        for i in 0..n {
            let (a, b) = (piece.corners[i], piece.corners[(i + 1) % n]);
            if let Some((t0, t1)) = strip.clip(a, b) {
                seen(along(a, minus(b, a), t0));
                seen(along(a, minus(b, a), t1));
            }
        }
        if piece.depth(end) >= 0.0 {
            seen(end);
        }
    }
    least.max(0.0)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;

    #[test]
    fn free_and_needed_length() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "plug-blocked").unwrap();
        // Plug 40 long centred at x = 60; the box begins at x = 100.
        assert!((f.values["free_mm"] - 20.0).abs() < 1e-4);
        assert_eq!(f.limits["free_mm"], 45.0);
    }
}
