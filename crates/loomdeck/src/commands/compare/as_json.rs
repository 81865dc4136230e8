//! The JSON that `compare` prints. Published: keys may be added, never renamed or removed.

use crate::json::{self, FindingJson};
use loomdeck_make::HoleShape;
use loomdeck_model::{LengthUnit, Subject};
use loomdeck_study::Study;
use loomdeck_study::compare::{
    Comparison, HoleChange, HoleNow, PartChange, PartNow, ReelChange, Reuse, SupplyChange, WireChange,
    WireNow,
};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// What `compare --json` prints.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Compared {
    /// Name of the old robot.
    pub old: String,
    /// Name of the new robot.
    pub new: String,
    /// The sheet, when it is different.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub board: Option<BoardJson>,
    /// Holes that are different.
    pub holes: Vec<HoleJson>,
    /// Parts and plugs that are different.
    pub parts: Vec<PartChangeJson>,
    /// Wires that are different.
    pub wires: Vec<WireChangeJson>,
    /// Wire to cut anew and old pieces left over, by reel; cores of cables left out.
    pub reels: Vec<ReelJson>,
    /// What more or less is needed.
    pub supplies: Vec<SupplyJson>,
    /// Findings of the old robot that the new one has not, worst first.
    pub findings_gone: Vec<FindingJson>,
    /// Findings that are new, worst first.
    pub findings_new: Vec<FindingJson>,
}

/// The sheet in both robots; absent where there is no board.
#[derive(Debug, Serialize, JsonSchema)]
pub struct BoardJson {
    /// As it was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub old: Option<SheetJson>,
    /// As it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub new: Option<SheetJson>,
    /// Its outline is another.
    pub outline_changed: bool,
}

/// A sheet.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SheetJson {
    /// Width of the box around it.
    pub width_mm: f64,
    /// Height of the box around it.
    pub height_mm: f64,
    /// Thickness.
    pub thickness_mm: f64,
    /// Material.
    pub material: String,
}

/// A hole that is different.
#[derive(Debug, Serialize, JsonSchema)]
pub struct HoleJson {
    /// `moved`, `resized`, `added`, `gone`; the first two may come together.
    pub changes: Vec<&'static str>,
    /// What it is for: names of parts, plugs, mounts or pass-throughs.
    pub subjects: Vec<String>,
    /// The same in words.
    pub what: String,
    /// How far it moved, when it is in both.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moved_mm: Option<f64>,
    /// As it was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub old: Option<HoleNowJson>,
    /// As it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub new: Option<HoleNowJson>,
}

/// A hole.
#[derive(Debug, Serialize, JsonSchema)]
pub struct HoleNowJson {
    /// Its number in the hole table.
    pub number: usize,
    /// Centre, in the board's frame.
    pub x_mm: f64,
    /// Centre, in the board's frame.
    pub y_mm: f64,
    /// Diameter; of a slot or rectangle its width.
    pub diameter_mm: f64,
    /// Full length of a slot or rectangle.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub length_mm: Option<f64>,
    /// Turn of its long axis.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turn_deg: Option<f64>,
    /// Depth, when it does not go through.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub depth_mm: Option<f64>,
    /// Face it is drilled from.
    pub side: &'static str,
}

/// A part or plug that is different.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PartChangeJson {
    /// `part` or `plug`.
    pub kind: &'static str,
    /// Its name.
    pub name: String,
    /// `added`, `gone`, or any of `moved`, `turned`, `place`, `type`, `fixing`, `fuses`, `tail`.
    pub changes: Vec<&'static str>,
    /// How far it moved, when it is on the board in both.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moved_mm: Option<f64>,
    /// How far it was turned, counter-clockwise on its face.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turned_deg: Option<f64>,
    /// As it was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub old: Option<PartNowJson>,
    /// As it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub new: Option<PartNowJson>,
}

/// A part or plug.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PartNowJson {
    /// Name of its type.
    #[serde(rename = "type")]
    pub kind: String,
    /// Face of the board, or zone.
    pub place: String,
    /// Where its origin lies, in the board's frame.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub x_mm: Option<f64>,
    /// Where its origin lies, in the board's frame.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub y_mm: Option<f64>,
    /// Its turn, counter-clockwise on its face.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turn_deg: Option<f64>,
    /// How it is held.
    pub fixing: &'static str,
    /// Gap between it and the board.
    pub standoff_mm: f64,
    /// Fuses by way.
    pub fuses: BTreeMap<String, String>,
}

/// A wire that is different.
#[derive(Debug, Serialize, JsonSchema)]
pub struct WireChangeJson {
    /// Its name in the new robot; of a wire that is gone, in the old one.
    pub name: String,
    /// `added`, `gone`, or any of `longer`, `shorter`, `size`, `insulation`, `colour`, `ends`, `landing`,
    /// `cable`, `renamed`.
    pub changes: Vec<&'static str>,
    /// By how much its cut length grew; below zero: it is shorter.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub longer_mm: Option<f64>,
    /// What becomes of the old piece: `as-it-is`, `trim`, `too-short`, `other-reel`, `other-cable`,
    /// `left-over`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub old_piece: Option<&'static str>,
    /// How much to take off the old piece.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub trim_mm: Option<f64>,
    /// How much the old piece lacks.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub short_by_mm: Option<f64>,
    /// Ends of the old piece that need a new end: `from`, `to`.
    pub new_ends: Vec<&'static str>,
    /// As it was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub old: Option<WireNowJson>,
    /// As it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub new: Option<WireNowJson>,
}

/// A wire.
#[derive(Debug, Serialize, JsonSchema)]
pub struct WireNowJson {
    /// Its name.
    pub name: String,
    /// Length it is cut to.
    pub cut_mm: f64,
    /// Its size in words.
    pub size: String,
    /// Its insulation.
    pub insulation: &'static str,
    /// Its colour.
    pub colour: String,
    /// The cable whose core it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cable: Option<String>,
    /// Where it begins.
    pub from: String,
    /// What is fitted there.
    pub from_end: String,
    /// Where it ends.
    pub to: String,
    /// What is fitted there.
    pub to_end: String,
}

/// A reel of wire.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ReelJson {
    /// Size in words.
    pub size: String,
    /// Insulation.
    pub insulation: &'static str,
    /// Colour.
    pub colour: String,
    /// Wire to cut anew.
    pub cut_mm: f64,
    /// Old pieces that nothing uses any more, trimmings not counted.
    pub left_over_mm: f64,
}

/// A line of the shopping list that is different.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SupplyJson {
    /// Shelf of the shop.
    pub group: &'static str,
    /// The thing in words.
    pub item: String,
    /// What the counts are in: `pieces` or `m`.
    pub unit: &'static str,
    /// How much the old robot needs, without spares.
    pub old_count: f64,
    /// How much the new robot needs, without spares.
    pub new_count: f64,
    /// How much to buy when all of the old robot is used again.
    pub buy_count: f64,
    /// How much is left over then.
    pub left_over_count: f64,
}

/// A comparison as JSON.
pub fn compared(c: &Comparison, old: &Study, new: &Study, unit: LengthUnit) -> Compared {
    Compared {
        old: old.robot.name.clone(),
        new: new.robot.name.clone(),
        board: board(c, old, new),
        holes: c.holes.iter().map(hole).collect(),
        parts: c.parts.iter().map(part).collect(),
        wires: c.wires.iter().map(wire).collect(),
        reels: c.reels.iter().map(reel).collect(),
        supplies: c.supplies.iter().map(supply).collect(),
        findings_gone: c.gone.iter().map(|f| json::finding(f, &old.robot, unit)).collect(),
        findings_new: c.new.iter().map(|f| json::finding(f, &new.robot, unit)).collect(),
    }
}

fn board(c: &Comparison, old: &Study, new: &Study) -> Option<BoardJson> {
    let sheet = |s: &Study| {
        s.robot.board.as_ref().map(|b| {
            let (low, high) = b.outline.bounds();
            SheetJson {
                width_mm: high.x - low.x,
                height_mm: high.y - low.y,
                thickness_mm: b.thickness.0,
                material: b.material.word().to_owned(),
            }
        })
    };
    (c.board != Default::default()).then(|| BoardJson {
        old: sheet(old),
        new: sheet(new),
        outline_changed: c.board.size.is_some(),
    })
}

/// What is different about a hole.
pub fn hole_changes(h: &HoleChange) -> Vec<&'static str> {
    match (&h.old, &h.new) {
        (None, _) => vec!["added"],
        (_, None) => vec!["gone"],
        _ => [(h.has_moved(), "moved"), (h.is_resized(), "resized")]
            .into_iter()
            .filter_map(|(is, word)| is.then_some(word))
            .collect(),
    }
}

fn hole(h: &HoleChange) -> HoleJson {
    HoleJson {
        changes: hole_changes(h),
        subjects: h.subjects.iter().map(|s| s.name().to_owned()).collect(),
        what: h.what.clone(),
        moved_mm: h.moved.map(|m| m.0),
        old: h.old.as_ref().map(hole_now),
        new: h.new.as_ref().map(hole_now),
    }
}

fn hole_now(h: &HoleNow) -> HoleNowJson {
    let (diameter, length, turn) = match h.shape {
        HoleShape::Round(d) => (d, None, None),
        HoleShape::Slot { length, width, turn } | HoleShape::Rect { length, width, turn, .. } => {
            (width, Some(length.0), Some(turn.0))
        }
    };
    HoleNowJson {
        number: h.number,
        x_mm: h.at.x,
        y_mm: h.at.y,
        diameter_mm: diameter.0,
        length_mm: length,
        turn_deg: turn,
        depth_mm: h.depth.map(|d| d.0),
        side: h.side.word(),
    }
}

/// What is different about a part or plug.
pub fn part_changes(p: &PartChange) -> Vec<&'static str> {
    let Some((o, n)) = p.both() else {
        return vec![if p.old.is_none() { "added" } else { "gone" }];
    };
    [
        (o.place != n.place, "place"),
        (p.has_moved(), "moved"),
        (p.is_turned(), "turned"),
        (o.kind != n.kind, "type"),
        (o.fixing != n.fixing, "fixing"),
        (o.fuses != n.fuses, "fuses"),
        (o.tail != n.tail, "tail"),
    ]
    .into_iter()
    .filter_map(|(is, word)| is.then_some(word))
    .collect()
}

fn part(p: &PartChange) -> PartChangeJson {
    PartChangeJson {
        kind: if matches!(p.subject, Subject::Plug(_)) { "plug" } else { "part" },
        name: p.subject.name().to_owned(),
        changes: part_changes(p),
        moved_mm: p.moved.map(|m| m.0),
        turned_deg: p.turned.map(|t| t.0),
        old: p.old.as_ref().map(part_now),
        new: p.new.as_ref().map(part_now),
    }
}

fn part_now(p: &PartNow) -> PartNowJson {
    PartNowJson {
        kind: p.kind.clone(),
        place: p.place.clone(),
        x_mm: p.at.map(|a| a.x),
        y_mm: p.at.map(|a| a.y),
        turn_deg: p.turn.map(|t| t.0),
        fixing: p.fixing.style.word(),
        standoff_mm: p.fixing.standoff.0,
        fuses: p.fuses.clone(),
    }
}

/// What is different about a wire.
pub fn wire_changes(w: &WireChange) -> Vec<&'static str> {
    let (Some(o), Some(n)) = (&w.old, &w.new) else {
        return vec![if w.old.is_none() { "added" } else { "gone" }];
    };
    let longer = w.longer.map_or(0.0, |l| l.0);
    let ends = |w: &WireNow| w.ends.clone().map(|e| e.kind);
    let landings = |w: &WireNow| w.ends.clone().map(|e| e.at);
    [
        (longer > 0.0, "longer"),
        (longer < 0.0, "shorter"),
        (o.spool.gauge != n.spool.gauge, "size"),
        (o.spool.insulation != n.spool.insulation, "insulation"),
        (o.spool.colour != n.spool.colour, "colour"),
        (ends(o) != ends(n), "ends"),
        (landings(o) != landings(n), "landing"),
        (o.cable != n.cable, "cable"),
        (o.name != n.name, "renamed"),
    ]
    .into_iter()
    .filter_map(|(is, word)| is.then_some(word))
    .collect()
}

fn wire(w: &WireChange) -> WireChangeJson {
    let (mut trim, mut short, mut ends) = (None, None, Vec::new());
    let piece = w.reuse.as_ref().map(|r| match r {
        Reuse::AsItIs => "as-it-is",
        Reuse::Trim { by, new_ends } => {
            trim = Some(by.0);
            ends = ["from", "to"].into_iter().zip(new_ends).filter(|e| *e.1).map(|e| e.0).collect();
            "trim"
        }
        Reuse::TooShort { by } => {
            short = Some(by.0);
            "too-short"
        }
        Reuse::OtherReel => "other-reel",
        Reuse::OtherCable => "other-cable",
        Reuse::Over => "left-over",
    });
    let named = w.new.as_ref().or(w.old.as_ref());
    WireChangeJson {
        name: named.map(|n| n.name.clone()).unwrap_or_default(),
        changes: wire_changes(w),
        longer_mm: w.longer.map(|l| l.0),
        old_piece: piece,
        trim_mm: trim,
        short_by_mm: short,
        new_ends: ends,
        old: w.old.as_ref().map(wire_now),
        new: w.new.as_ref().map(wire_now),
    }
}

fn wire_now(w: &WireNow) -> WireNowJson {
    let [from, to] = &w.ends;
    WireNowJson {
        name: w.name.clone(),
        cut_mm: w.cut.0,
        size: w.spool.gauge.to_string(),
        insulation: w.spool.insulation.word(),
        colour: w.spool.colour.to_string(),
        cable: w.cable.clone(),
        from: from.at.clone(),
        from_end: from.kind.to_string(),
        to: to.at.clone(),
        to_end: to.kind.to_string(),
    }
}

fn reel(r: &ReelChange) -> ReelJson {
    ReelJson {
        size: r.spool.gauge.to_string(),
        insulation: r.spool.insulation.word(),
        colour: r.spool.colour.to_string(),
        cut_mm: r.cut.0,
        left_over_mm: r.left_over.0,
    }
}

fn supply(s: &SupplyChange) -> SupplyJson {
    SupplyJson {
        group: s.group,
        item: s.item.clone(),
        unit: s.unit,
        old_count: s.old,
        new_count: s.new,
        buy_count: s.to_buy(),
        left_over_count: s.left_over(),
    }
}
