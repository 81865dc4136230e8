//! The space that tools and hands sweep, lightly hatched.

use super::board::hatch;
use super::view::{Look, Matter, Reach, View};
use crate::svg::{Canvas, Ink, Spot, weight};
use loomdeck_model::Severity;
use loomdeck_space::access::{Need, ToolUse, Way};

/// The way that is used for a need: the first that is free, else the first of all.
pub fn used_way(need: &Need) -> Option<&Way> {
    need.ways.iter().find(|w| w.is_free()).or_else(|| need.ways.first())
}

/// The tools of that way.
pub fn way_uses(need: &Need) -> impl Iterator<Item = &ToolUse> {
    used_way(need).into_iter().flat_map(|w| &w.uses)
}

/// The reach that the look asks for, on the near face: free in the accent colour, blocked in that of
/// what must be put right.
pub fn all(canvas: &mut Canvas, matter: &Matter<'_>, view: View, look: Look) {
    if look.reach == Reach::Hidden {
        return;
    }
    let u = look.per_mm;
    canvas.group("reach");
    let mut drawn: Vec<(bool, Vec<Spot>)> = Vec::new();
    for need in &matter.geometry.access.needs {
        let free = used_way(need).is_none_or(Way::is_free);
        if free && look.reach == Reach::Blocked {
            continue;
        }
        let class = if free { "reach-free" } else { "reach-blocked" };
        let colour = if free { look.palette().accent } else { look.theme.severity(Severity::Fix) };
        canvas.group_of(class, need.subject.name());
        for solid in way_uses(need).filter(|t| t.face == view.near()).flat_map(|t| &t.solids) {
            let key = (free, view.corners(&solid.outline.0));
            if drawn.contains(&key) {
                continue;
            }
            let line = Ink::line(colour, weight::DIMENSION * u);
            hatch(canvas, &key.1, 1.6 * u, line);
            canvas.corners(&key.1, true, line.dashed(1.2 * u, 0.8 * u));
            drawn.push(key);
        }
        canvas.end();
    }
    canvas.end();
}
