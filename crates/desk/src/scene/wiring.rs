//! Wires and looms as they lie on the faces.

use super::{milli, pt, pts};
use crate::talk::{self, LoomBodyOn, LoomOn, TieOn, WireOn};
use loomdeck_draw::{book, palette::insulation};
use loomdeck_model::units::Millimetres;
use loomdeck_space::{Leg, WireRun};
use loomdeck_study::Study;
use std::collections::BTreeSet;

fn radii(all: &[Millimetres]) -> Vec<f64> {
    all.iter().map(|r| milli(r.0)).collect()
}

/// Every wire, in the robot's order.
pub fn wires(study: &Study) -> Vec<WireOn> {
    let robot = &study.robot;
    let matter = book::matter(study);
    let blocked: BTreeSet<usize> = study.geometry.blocked.iter().map(|b| b.wire.0).collect();
    let each = study.geometry.wires.iter();
    each.map(|run| {
        let wire = &robot.wires[run.wire.0];
        let colour = matter.colour(run.wire);
        WireOn {
            name: wire.name.clone(),
            from: robot.landing_word(wire.from),
            to: robot.landing_word(wire.to),
            size: wire.gauge.to_string(),
            colour: insulation(colour.base).to_owned(),
            stripe: colour.stripe.map(|s| insulation(s).to_owned()),
            outside_mm: milli(wire.insulation.outside_diameter(wire.gauge).0),
            cut_mm: (!blocked.contains(&run.wire.0)).then(|| milli(run.cut.0)),
            legs: legs(run),
            loom: wire.loom.map(|l| robot.looms[l.0].name.clone()),
        }
    })
    .collect()
}

fn legs(run: &WireRun) -> Vec<talk::Leg> {
    let along = run.legs.iter().filter_map(|leg| match leg {
        Leg::Along { face, points, radii } if points.len() > 1 => Some((face, points, radii)),
        _ => None,
    });
    along
        .map(|(face, points, bends)| talk::Leg {
            face: (*face).into(),
            points: pts(points),
            radii_mm: radii(bends),
        })
        .collect()
}

/// Every loom, in the robot's order.
pub fn looms(study: &Study) -> Vec<LoomOn> {
    let each = study.geometry.looms.iter();
    each.map(|run| LoomOn {
        name: study.robot.looms[run.loom.0].name.clone(),
        bodies: run
            .bodies
            .iter()
            .filter(|b| b.wires.len() > 1)
            .map(|b| LoomBodyOn {
                face: b.face.into(),
                points: pts(&b.points),
                radii_mm: radii(&b.radii),
                diameter_mm: milli(b.diameter.0),
            })
            .collect(),
        ties: run
            .ties
            .iter()
            .map(|t| TieOn {
                face: t.face.into(),
                at_mm: pt(t.at),
                along_deg: milli(t.along.0),
                bundle_mm: milli(t.bundle.0),
            })
            .collect(),
    })
    .collect()
}
