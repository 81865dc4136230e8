//! Power and sensitive signals run tied together.

use super::mm;
use crate::geometry::Geometry;
use loomdeck_model::{
    CableKind, Edit, EditValue, Finding, Function, LoomId, Page, Remedy, Robot, Severity, Subject,
    WireId,
};
use std::collections::{BTreeMap, BTreeSet};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "power-beside-signal",
    severity: Severity::Look,
    title: "Motor or supply wires are tied together with audio or radio wires",
    physics: "Switched motor current couples into every wire that runs along with it, through the magnetic field \
        between them and their capacitance, in proportion to the length they share. Audio and aerial \
        wires hear it as whine and crackle. The length is the longest stretch over which such a wire is \
        tied together with a supply or motor wire.",
    source: "Common practice, no source: no more than 100 mm, and crossing at right angles.",
    limits: "No field is computed. Cores of a screened cable are left out; twisted pairs are not, because \
        speaker leads to a bridge output still radiate.",
    before: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [5, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [155, 60]\n\
         [[loom]]\nname = \"across\"\n\
         [[wire]]\nname = \"feed\"\nfrom = \"amp.left\"\nto = \"player.right\"\nsize_mm2 = 0.5\n\
         function = \"supply\"\nloom = \"across\"\n\
         [[wire]]\nname = \"sound\"\nfrom = \"amp.left\"\nto = \"player.right\"\nsize_mm2 = 0.5\n\
         function = \"audio\"\nloom = \"across\"\n"
    ),
    after: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [5, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [155, 60]\n\
         [[loom]]\nname = \"across\"\n\
         [[loom]]\nname = \"sound-across\"\n\
         [[wire]]\nname = \"feed\"\nfrom = \"amp.left\"\nto = \"player.right\"\nsize_mm2 = 0.5\n\
         function = \"supply\"\nloom = \"across\"\n\
         [[wire]]\nname = \"sound\"\nfrom = \"amp.left\"\nto = \"player.right\"\nsize_mm2 = 0.5\n\
         function = \"audio\"\nloom = \"sound-across\"\n"
    ),
};

/// Longest shared stretch that is let pass, mm.
const SHARED: f64 = 100.0;

/// Looks at every bundle.
pub fn find(robot: &Robot, geometry: &Geometry, out: &mut Vec<Finding>) {
    let mut by_loom: BTreeMap<Option<LoomId>, (f64, BTreeSet<WireId>, BTreeSet<WireId>)> =
        BTreeMap::new();
    for run in &geometry.wires {
        if !hears(robot, run.wire) {
            continue;
        }
        let disturbed: f64 = run
            .bundles
            .iter()
            .filter(|b| b.with.iter().any(|w| speaks(robot, *w)))
            .map(|b| b.length.0)
            .sum();
        if disturbed <= SHARED {
            continue;
        }
        let entry = by_loom.entry(robot.wires[run.wire.0].loom).or_default();
        entry.0 = entry.0.max(disturbed);
        entry.1.insert(run.wire);
        entry.2.extend(run.bundles.iter().flat_map(|b| &b.with).filter(|w| speaks(robot, **w)));
    }
    for (loom, (length, quiet, loud)) in by_loom {
        let names = |set: &BTreeSet<WireId>| list(set.iter().map(|w| robot.wires[w.0].name.as_str()));
        let what = format!(
            "{} {} tied together with {} over {}; {} is the limit for comfort.",
            names(&quiet),
            if quiet.len() == 1 { "runs" } else { "run" },
            names(&loud),
            mm(length),
            mm(SHARED)
        );
        let why = "Switched current couples into wires that run along with it: you hear it as whine.";
        let subject = match loom {
            Some(l) => Subject::Loom(robot.looms[l.0].name.clone()),
            None => Subject::Wire(
                quiet.iter().map(|w| robot.wires[w.0].name.clone()).next().unwrap_or_default(),
            ),
        };
        let mut f = Finding::new(PAGE.slug, PAGE.severity, subject, what, why, PAGE.source)
            .with_value("length_mm", length)
            .with_limit("length_mm", SHARED);
        for w in &quiet {
            f = f.with_subject(Subject::Wire(robot.wires[w.0].name.clone()));
        }
        if let Some(l) = loom {
            f = f.with_remedy(own_loom(robot, &robot.looms[l.0].name, &quiet));
        }
        out.push(f);
    }
}

fn list<'a>(names: impl Iterator<Item = &'a str>) -> String {
    let names: Vec<&str> = names.collect();
    match names.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [one, two] => format!("{one} and {two}"),
        [one, two, rest @ ..] => format!("{one}, {two} and {} more", rest.len()),
    }
}

/// It picks up: audio or radio outside a screen. Speaker leads carry power themselves and are thick;
/// only thin audio wires hear.
fn hears(robot: &Robot, wire: WireId) -> bool {
    let w = &robot.wires[wire.0];
    let screened = w.cable.is_some_and(|c| robot.cables[c.0].kind == CableKind::Screened);
    matches!(w.function, Function::Audio | Function::Radio) && !screened && w.gauge.area().0 < 0.7
}

/// It disturbs.
fn speaks(robot: &Robot, wire: WireId) -> bool {
    robot.wires[wire.0].function.is_power()
}

fn own_loom(robot: &Robot, loom: &str, quiet: &BTreeSet<WireId>) -> Remedy {
    let mut name = format!("{loom}-quiet");
    while robot.looms.iter().any(|l| l.name == name) {
        name.push_str("-2");
    }
    let mut edits = vec![Edit::Add { on: Subject::Loom(name.clone()), keys: Vec::new() }];
    edits.extend(quiet.iter().map(|w| Edit::Set {
        on: Subject::Wire(robot.wires[w.0].name.clone()),
        key: "loom".into(),
        value: EditValue::Text(name.clone()),
    }));
    Remedy::edit(format!("Tie the audio and radio wires into a loom of their own, {name}."), edits)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};

    #[test]
    fn the_shared_stretch_is_measured() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "power-beside-signal").unwrap();
        assert!(f.values["length_mm"] > 186.0 && f.values["length_mm"] < 260.0, "{:?}", f.values);
    }

    #[test]
    fn a_screen_keeps_it_out() {
        let text = super::PAGE.before.to_owned()
            + "cable = \"mike\"\n[[cable]]\nname = \"mike\"\nkind = \"screened\"\n";
        assert_eq!(count(&text, "power-beside-signal"), 0);
    }
}
