//! What the builder must know, and what is well.

use super::{corners, pt};
use crate::talk::{FindingOn, MarkKind, MarkOn, RemedyOn, Severity, SpotOn, SubjectOn, WireSize};
use loomdeck_model::units::in_inches;
use loomdeck_model::{Finding, LengthUnit, Mark, MarkShape, Page, Robot, Subject};
use loomdeck_study::Study;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, LazyLock};

/// What the last deep tier found beyond the live one, to be shown until the next one is there.
#[derive(Clone, Debug, Default)]
pub struct Known {
    findings: Arc<Vec<Finding>>,
    news: Arc<Vec<String>>,
}

impl Known {
    /// What `deep` found that `live`, the same robot's live tier, had not.
    pub fn of(live: &Study, deep: &Study) -> Self {
        let mut left: Vec<&Finding> = live.findings.iter().collect();
        let beyond = deep.findings.iter().filter(|f| match left.iter().position(|l| l == f) {
            Some(i) => {
                left.swap_remove(i);
                false
            }
            None => true,
        });
        let findings = beyond.cloned().collect();
        let order = deep.deep.iter().flat_map(|d| d.order.good_news.iter().cloned());
        Self { findings: Arc::new(findings), news: Arc::new(order.collect()) }
    }

    /// All findings of a study, worst first, and whether each is of the deep tier. One that is older than the
    /// study is left out when what it is about is gone.
    pub fn with<'f>(&'f self, study: &'f Study) -> Vec<(&'f Finding, bool)> {
        let robot = &study.robot;
        if study.deep.is_some() {
            return study.findings.iter().map(|f| (f, self.findings.contains(f))).collect();
        }
        let is_there = |s: &Subject| {
            matches!(s, Subject::Robot | Subject::Board | Subject::Day) || robot.places.contains_key(s)
        };
        let older = self.findings.iter().filter(|f| f.subjects.iter().all(is_there));
        let mut all: Vec<(&Finding, bool)> =
            study.findings.iter().map(|f| (f, false)).chain(older.map(|f| (f, true))).collect();
        // The order of `Finding::sort`; a stable sort keeps the live one first where two are alike.
        all.sort_by(|(a, _), (b, _)| {
            (a.severity, a.slug, &a.subjects, &a.situation).cmp(&(
                b.severity,
                b.slug,
                &b.subjects,
                &b.situation,
            ))
        });
        all
    }
}

static TITLES: LazyLock<BTreeMap<&'static str, &'static Page>> =
    LazyLock::new(|| loomdeck_study::pages().into_iter().map(|p| (p.slug, p)).collect());

/// The title of a kind of finding.
pub fn title(slug: &str) -> &str {
    TITLES.get(slug).map_or(slug, |p| p.title)
}

/// What names each finding: slug, subjects and situation, and a count where they are alike.
pub fn keys(all: &[(&Finding, bool)]) -> Vec<String> {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    let mut taken = BTreeSet::new();
    let each = all.iter().map(|(f, _)| {
        let plain = key(f);
        let count = seen.entry(plain.clone()).or_insert(0);
        loop {
            *count += 1;
            let one = if *count == 1 { plain.clone() } else { format!("{plain} #{count}") };
            if taken.insert(one.clone()) {
                break one;
            }
        }
    });
    each.collect()
}

/// What names a finding where no other is alike.
pub fn key(f: &Finding) -> String {
    let mut key = f.slug.to_owned();
    for s in &f.subjects {
        key.push(' ');
        key.push_str(&kind(s));
        key.push(':');
        key.push_str(s.name());
    }
    if let Some(situation) = &f.situation {
        key.push_str(" @");
        key.push_str(situation);
    }
    key
}

fn kind(s: &Subject) -> String {
    let value = serde_json::to_value(s).unwrap_or_default();
    value.get("kind").and_then(|k| k.as_str()).unwrap_or_default().to_owned()
}

/// Every finding in the order given.
pub fn findings(robot: &Robot, all: &[(&Finding, bool)]) -> Vec<FindingOn> {
    let unit = robot.book.unit;
    let each = all.iter().zip(keys(all));
    each.map(|((f, deep), key)| FindingOn { key, deep: *deep, ..finding(robot, f, unit) }).collect()
}

fn finding(robot: &Robot, f: &Finding, unit: LengthUnit) -> FindingOn {
    let numbers = |m: &BTreeMap<&'static str, f64>| {
        m.iter().map(|(k, v)| ((*k).to_owned(), if v.is_finite() { *v } else { 0.0 })).collect()
    };
    FindingOn {
        key: String::new(),
        slug: f.slug.to_owned(),
        severity: match f.severity {
            loomdeck_model::Severity::Danger => Severity::Danger,
            loomdeck_model::Severity::Fix => Severity::Fix,
            loomdeck_model::Severity::Look => Severity::Look,
            loomdeck_model::Severity::Note => Severity::Note,
        },
        title: title(f.slug).to_owned(),
        subjects: f.subjects.iter().map(|s| subject(robot, s)).collect(),
        what: in_unit(&f.what, unit),
        why: in_unit(&f.why, unit),
        source: f.source.to_owned(),
        values: numbers(&f.values),
        limits: numbers(&f.limits),
        situation: f.situation.clone(),
        spot: f.spot.map(|(face, at)| SpotOn { face: face.into(), at_mm: pt(at) }),
        marks: f.marks.iter().map(|m| mark(m, unit)).collect(),
        remedies: f
            .remedies
            .iter()
            .map(|r| RemedyOn {
                text: in_unit(&r.text, unit),
                can_be_applied: !r.edits.is_empty(),
                changes: r.edits.iter().map(change).collect(),
                size: r.edits.iter().find_map(size),
            })
            .collect(),
        deep: false,
    }
}

fn mark(m: &Mark, unit: LengthUnit) -> MarkOn {
    let (kind, points) = match &m.shape {
        MarkShape::Clash(outline) => (MarkKind::Clash, corners(outline)),
        MarkShape::Room(outline) => (MarkKind::Room, corners(outline)),
        MarkShape::Span(from, to) => (MarkKind::Span, vec![pt(*from), pt(*to)]),
    };
    MarkOn { face: m.face.into(), kind, points, words: in_unit(&m.words, unit) }
}

/// What a change is about.
fn change(edit: &loomdeck_model::Edit) -> String {
    use loomdeck_model::Edit;
    let (on, key) = match edit {
        Edit::Set { on, key, .. } | Edit::Unset { on, key } | Edit::Rekey { on, key, .. } => {
            (on, key.as_str())
        }
        Edit::Add { on, .. } | Edit::Remove { on } => (on, ""),
    };
    format!("{} {} {key}", kind(on), on.name()).trim_end().to_owned()
}

/// The size that a change gives a wire.
fn size(edit: &loomdeck_model::Edit) -> Option<WireSize> {
    use loomdeck_model::{Edit, EditValue, wire::Gauge};
    match edit {
        Edit::Set { on: Subject::Wire(wire), key, value: EditValue::Gauge(gauge) } if key == "size" => {
            let (mm2, awg) = match gauge {
                Gauge::Metric(mm2) => (Some(*mm2), None),
                Gauge::Awg(n) => (None, Some(*n)),
            };
            Some(WireSize { wire: wire.clone(), mm2, awg })
        }
        _ => None,
    }
}

fn subject(robot: &Robot, s: &Subject) -> SubjectOn {
    let place = robot.places.get(s);
    SubjectOn {
        kind: kind(s),
        name: s.name().to_owned(),
        file: place.map(|p| p.file.clone()),
        line: place.map(|p| p.line),
    }
}

/// What is well: of this study, and of the last deep tier.
pub fn good_news(study: &Study, known: &Known) -> Vec<String> {
    let unit = study.robot.book.unit;
    let mut news = study.good_news();
    if study.deep.is_none() {
        news.extend(known.news.iter().cloned());
    }
    news.iter().map(|t| in_unit(t, unit)).collect()
}

/// A text with its lengths in the unit wanted.
pub fn in_unit(text: &str, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Mm => text.to_owned(),
        LengthUnit::Inch => in_inches(text),
    }
}
