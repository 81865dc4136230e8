//! What is on show, so kept that every page can be told just what it has not seen yet, of what it looks at.

use crate::room::PageId;
use crate::scene::{SECTIONS, Section, Sections};
use crate::talk::{BesideTheBoard, Tell};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Counts the states that were on show; 0: before the first.
type Version = u64;

/// What a page has: of each section the state that it was told last.
#[derive(Clone, Debug, Default)]
pub struct Seen {
    sections: [Version; SECTIONS.len()],
    /// Of which situation, and when.
    loads: Option<(String, Version)>,
}

/// What a page shows.
#[derive(Clone, Debug, Default)]
pub struct Look {
    /// The situation whose loads it shows.
    pub situation: Option<String>,
    /// What it shows of what not every page does; `None`: all of it.
    pub beside: Option<Vec<BesideTheBoard>>,
}

impl Look {
    /// Whether it is for the page at all.
    fn wants(&self, section: usize) -> bool {
        let special = match SECTIONS[section] {
            "good_news" => BesideTheBoard::GoodNews,
            "diagram" => BesideTheBoard::Diagram,
            "make" => BesideTheBoard::Make,
            _ => return true,
        };
        self.beside.as_ref().is_none_or(|b| b.contains(&special))
    }
}

/// What kind of state is on show.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Kind {
    /// `rev` of the files behind it.
    pub rev: u32,
    /// It is a try.
    pub trying: bool,
    /// The deep tier is of it.
    pub deep: bool,
}

/// The versions of a section.
#[derive(Clone, Debug, Default)]
struct Changed {
    /// When it changed so that it must be told as a whole: of a list, its names or their order.
    whole: Version,
    /// When each thing of a list changed.
    each: Vec<Version>,
}

impl Changed {
    fn last(&self) -> Version {
        self.each.iter().copied().max().unwrap_or(0).max(self.whole)
    }

    fn next(&self, old: Option<&Section>, new: &Section, now: Version) -> Self {
        match (old, new) {
            (Some(old), new) if old == new => self.clone(),
            (Some(Section::List(old)), Section::List(new))
                if old.len() == new.len() && old.iter().zip(new).all(|(a, b)| a.0 == b.0) =>
            {
                let versions = old.iter().zip(new).zip(&self.each);
                let each = versions.map(|((a, b), was)| if a.1 == b.1 { *was } else { now }).collect();
                Self { whole: self.whole, each }
            }
            (_, Section::List(new)) => Self { whole: now, each: vec![now; new.len()] },
            (_, Section::Whole(_)) => Self { whole: now, each: Vec::new() },
        }
    }
}

/// The state that pages are told.
#[derive(Clone, Debug, Default)]
pub struct Shown {
    /// Its kind.
    pub kind: Kind,
    /// The ask that brought it.
    pub answers: Option<(PageId, u32)>,
    version: Version,
    sections: Option<Sections>,
    changed: [Changed; SECTIONS.len()],
    loads: BTreeMap<String, Version>,
}

impl Shown {
    /// The next state: what reads the same keeps its version.
    #[must_use]
    pub fn next(&self, kind: Kind, sections: Option<Sections>, answers: Option<(PageId, u32)>) -> Self {
        let version = self.version + 1;
        let (changed, loads) = match &sections {
            None => (self.changed.clone(), self.loads.clone()),
            Some(new) => {
                let old = self.sections.as_ref();
                let changed = std::array::from_fn(|i| {
                    self.changed[i].next(old.map(|o| &o.all[i]), &new.all[i], version)
                });
                let same = |name: &String, text: &Arc<str>| {
                    old.and_then(|o| o.loads.get(name)).filter(|o| *o == text).is_some()
                };
                let loads = new.loads.iter().map(|(name, text)| {
                    let was = self.loads.get(name).copied().filter(|_| same(name, text));
                    (name.clone(), was.unwrap_or(version))
                });
                (changed, loads.collect())
            }
        };
        Self { kind, answers, version, sections, changed, loads }
    }

    /// The loads that a page looks at, when it has not seen them so.
    fn new_loads(&self, seen: &Seen, look: &Look) -> Option<(&String, &Arc<str>, Version)> {
        let (name, text) = self.sections.as_ref()?.loads.get_key_value(look.situation.as_ref()?)?;
        let version = *self.loads.get(name)?;
        let has = seen.loads.as_ref().is_some_and(|(of, when)| of == name && *when == version);
        (!has).then_some((name, text, version))
    }

    /// The message for a page that has seen so much; it has seen all that it looks at then.
    pub fn tell(&self, seen: &mut Seen, look: &Look, answers: Option<u32>) -> Option<String> {
        let sections = self.sections.as_ref()?;
        let Kind { rev, trying, deep } = self.kind;
        let head = Tell::Study { rev, answers, trying, deep, sections: (), changed: () };
        let head = serde_json::to_string(&head).ok()?;
        let (mut whole, mut changed) = (Object::default(), Object::default());
        for (i, section) in sections.all.iter().enumerate().filter(|(i, _)| look.wants(*i)) {
            let had = std::mem::replace(&mut seen.sections[i], self.version);
            let versions = &self.changed[i];
            match section {
                _ if versions.last() <= had => {}
                Section::List(items) if versions.whole <= had => {
                    let new = items.iter().zip(&versions.each).filter(|(_, version)| **version > had);
                    changed.put_list(SECTIONS[i], new.map(|((_, text), _)| &**text));
                }
                Section::List(items) => {
                    whole.put_list(SECTIONS[i], items.iter().map(|(_, text)| &**text));
                }
                Section::Whole(text) => whole.put(SECTIONS[i], text),
            }
        }
        if let Some((name, text, version)) = self.new_loads(seen, look) {
            whole.put("loads", text);
            seen.loads = Some((name.clone(), version));
        }
        // The sections are JSON already; they go in where the head has left room, at its end.
        let room = head.strip_suffix("null}")?;
        let also = if changed.0.is_empty() { ["", "", ""] } else { [",\"changed\":{", &changed.0, "}"] };
        Some([&[room, "{", &whole.0, "}"], also.as_slice(), &["}"]].concat().concat())
    }

    /// Whether a page has all that it looks at.
    pub fn is_seen(&self, seen: &Seen, look: &Look) -> bool {
        let has = |i: usize| !look.wants(i) || self.changed[i].last() <= seen.sections[i];
        self.sections.is_none() || (0..SECTIONS.len()).all(has) && self.new_loads(seen, look).is_none()
    }
}

/// The inside of a JSON object.
#[derive(Default)]
struct Object(String);

impl Object {
    fn name(&mut self, name: &str) {
        let comma = if self.0.is_empty() { "" } else { "," };
        self.0.extend([comma, "\"", name, "\":"]);
    }

    fn put(&mut self, name: &str, text: &str) {
        self.name(name);
        self.0.push_str(text);
    }

    fn put_list<'t>(&mut self, name: &str, items: impl Iterator<Item = &'t str>) {
        self.name(name);
        for (i, item) in items.enumerate() {
            self.0.extend([if i > 0 { "," } else { "[" }, item]);
        }
        self.0.push_str(if self.0.ends_with(':') { "[]" } else { "]" });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};

    const PARTS: usize = 2;
    const MAKE: usize = SECTIONS.len() - 1;

    fn sections(first: &str) -> Sections {
        let mut all: [Section; SECTIONS.len()] = std::array::from_fn(|_| Section::Whole("[]".into()));
        all[0] = Section::Whole(first.into());
        Sections { all, loads: BTreeMap::new() }
    }

    fn with_parts(parts: &[(&str, u32)]) -> Sections {
        let mut sections = sections("0");
        let text = |(name, at): &(&str, u32)| json!({"name": name, "at": at}).to_string().into();
        let list = parts.iter().map(|p| (p.0.to_owned(), text(p))).collect();
        sections.all[PARTS] = Section::List(list);
        sections
    }

    fn kind(rev: u32) -> Kind {
        Kind { rev, deep: rev == 2, ..Kind::default() }
    }

    fn told(shown: &Shown, seen: &mut Seen, look: &Look, answers: Option<u32>) -> Value {
        serde_json::from_str(&shown.tell(seen, look, answers).unwrap()).unwrap()
    }

    #[test]
    fn a_page_is_told_what_it_has_not_seen() {
        let (mut seen, look) = (Seen::default(), Look::default());
        assert_eq!(Shown::default().tell(&mut seen, &look, None), None, "nothing can be shown yet");
        let one = Shown::default().next(kind(1), Some(sections("{\"a\":1}")), None);
        assert!(!one.is_seen(&seen, &look));
        let all = told(&one, &mut seen, &look, None);
        assert_eq!(all["sections"].as_object().unwrap().len(), SECTIONS.len());
        assert_eq!(all["sections"]["robot"], json!({"a": 1}));
        assert!(one.is_seen(&seen, &look));
        let two = one.next(kind(2), Some(sections("2")), None);
        let three = two.next(kind(2), Some(sections("3")), None);
        // A page that missed one state gets what differs from the last that it saw.
        let expected = json!({"tell": "study", "rev": 2, "answers": 7, "trying": false, "deep": true, "sections": {"robot": 3}});
        assert_eq!(told(&three, &mut seen, &look, Some(7)), expected);
        assert_eq!(told(&three, &mut seen, &look, None)["sections"], json!({}));
        let same = three.next(kind(3), Some(sections("3")), None);
        assert!(same.is_seen(&seen, &look));
        assert_eq!(told(&same, &mut seen, &look, None)["sections"], json!({}));
    }

    #[test]
    fn of_a_list_only_what_changed_is_told() {
        let (mut seen, look) = (Seen::default(), Look::default());
        let parts = |n: u32| with_parts(&[("a", 1), ("b", n), ("c", 3)]);
        let one = Shown::default().next(kind(1), Some(parts(2)), None);
        assert_eq!(told(&one, &mut seen, &look, None)["sections"]["parts"][1]["at"], 2);
        let two = one.next(kind(1), Some(parts(5)), None);
        let late = seen.clone();
        let news = told(&two, &mut seen, &look, None);
        let changed = json!({"parts": [{"name": "b", "at": 5}]});
        assert_eq!((&news["sections"], &news["changed"]), (&json!({}), &changed));
        let news = told(&two, &mut seen, &look, None);
        assert_eq!((&news["sections"], news.get("changed")), (&json!({}), None));
        // Back where it was: for who has seen it elsewhere that is a change.
        let three = two.next(kind(1), Some(parts(2)), None);
        assert_eq!(told(&three, &mut seen, &look, None)["changed"]["parts"][0]["at"], 2);
        // One that goes, or comes, or changes its place in the list: the list as a whole.
        for other in [&[("a", 1), ("b", 2)][..], &[("b", 2), ("a", 1)], &[]] {
            let next = three.next(kind(2), Some(with_parts(other)), None);
            for seen in [&mut seen.clone(), &mut late.clone()] {
                let news = told(&next, seen, &look, None);
                assert_eq!(news["sections"]["parts"].as_array().unwrap().len(), other.len());
                assert!(news.get("changed").is_none());
            }
        }
    }

    #[test]
    fn what_a_page_does_not_look_at_is_told_as_soon_as_it_does() {
        let mut seen = Seen::default();
        let at = |beside: &[BesideTheBoard]| Look { situation: None, beside: Some(beside.to_vec()) };
        let (board, make) = (at(&[]), at(&[BesideTheBoard::Make]));
        let one = Shown::default().next(kind(1), Some(sections("0")), None);
        let first = told(&one, &mut seen, &board, None);
        let had = first["sections"].as_object().unwrap();
        assert!(!["good_news", "diagram", "make"].iter().any(|n| had.contains_key(*n)));
        assert_eq!(had.len(), SECTIONS.len() - 3);
        let mut changed = sections("0");
        changed.all[MAKE] = Section::Whole("1".into());
        let two = one.next(kind(1), Some(changed), None);
        assert!(two.is_seen(&seen, &board) && !two.is_seen(&seen, &make));
        assert_eq!(told(&two, &mut seen, &board, None)["sections"], json!({}));
        assert_eq!(told(&two, &mut seen, &make, None)["sections"], json!({"make": 1}));
        assert!(two.is_seen(&seen, &make));
    }

    #[test]
    fn loads_are_told_of_the_situation_that_is_looked_at() {
        let mut seen = Seen::default();
        let at = |s: &str| Look { situation: Some(s.to_owned()), beside: Some(Vec::new()) };
        let state = |parked: &str, show: &str| {
            let mut sections = sections("0");
            sections.loads = [("parked", parked), ("show", show)]
                .map(|(n, t)| (n.to_owned(), Arc::from(t)))
                .into_iter()
                .collect();
            Some(sections)
        };
        let one = Shown::default().next(kind(1), state("1", "2"), None);
        assert!(told(&one, &mut seen, &Look::default(), None)["sections"].get("loads").is_none());
        assert!(!one.is_seen(&seen, &at("parked")));
        assert_eq!(told(&one, &mut seen, &at("parked"), None)["sections"], json!({"loads": 1}));
        let two = one.next(kind(1), state("1", "3"), None);
        assert!(two.is_seen(&seen, &at("parked")));
        assert_eq!(told(&two, &mut seen, &at("show"), None)["sections"], json!({"loads": 3}));
        // It has only one at a time.
        assert_eq!(told(&two, &mut seen, &at("parked"), None)["sections"], json!({"loads": 1}));
        assert!(two.is_seen(&seen, &at("nowhere")));
    }
}
