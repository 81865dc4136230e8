//! What is on show, so kept that every page can be told just what it has not seen yet.

use crate::room::PageId;
use crate::scene::{SECTIONS, Sections};
use crate::talk::Tell;
use std::sync::Arc;

/// Which version of each section a page has; 0: none.
pub type Seen = [u64; SECTIONS.len()];

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

/// The state that pages are told.
#[derive(Clone, Debug, Default)]
pub struct Shown {
    /// Its kind.
    pub kind: Kind,
    /// The ask that brought it.
    pub answers: Option<(PageId, u32)>,
    sections: Option<Sections>,
    versions: Seen,
}

impl Shown {
    /// The next state: sections that read the same keep their version.
    #[must_use]
    pub fn next(&self, kind: Kind, sections: Option<Sections>, answers: Option<(PageId, u32)>) -> Self {
        let mut next = Self { kind, answers, sections, versions: self.versions };
        let (Some(new), old) = (&next.sections, &self.sections) else { return next };
        let latest = self.versions.iter().max().copied().unwrap_or(0) + 1;
        for (i, text) in new.iter().enumerate() {
            if old.as_ref().is_none_or(|old| old[i] != *text) {
                next.versions[i] = latest;
            }
        }
        next
    }

    /// The message for a page that has seen so much; it has seen all of it then.
    pub fn tell(&self, seen: &mut Seen, answers: Option<u32>) -> Option<String> {
        let sections = self.sections.as_ref()?;
        let news = (0..SECTIONS.len()).filter(|i| seen[*i] != self.versions[*i]);
        let news: Vec<(&str, &Arc<str>)> = news.map(|i| (SECTIONS[i], &sections[i])).collect();
        let head = Tell::Study {
            rev: self.kind.rev,
            answers,
            trying: self.kind.trying,
            deep: self.kind.deep,
            sections: (),
        };
        let head = serde_json::to_string(&head).ok()?;
        // The sections are JSON already; they go in where the head has left room, at its end.
        let room = head.strip_suffix("null}")?;
        let size = news.iter().map(|(n, t)| n.len() + t.len() + 4).sum::<usize>();
        let mut text = String::with_capacity(room.len() + size + 2);
        text.push_str(room);
        text.push('{');
        for (i, (name, section)) in news.into_iter().enumerate() {
            let comma = if i > 0 { "," } else { "" };
            text.extend([comma, "\"", name, "\":", section]);
        }
        text.push_str("}}");
        *seen = self.versions;
        Some(text)
    }

    /// Whether a page has all sections.
    pub fn is_seen(&self, seen: &Seen) -> bool {
        self.sections.is_none() || self.versions == *seen
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};

    fn sections(first: &str) -> Sections {
        let mut all: Sections = std::array::from_fn(|_| "[]".into());
        all[0] = first.into();
        all
    }

    #[test]
    fn a_page_is_told_what_it_has_not_seen() {
        let mut seen = Seen::default();
        assert_eq!(Shown::default().tell(&mut seen, None), None, "nothing can be shown yet");
        let kind = |rev| Kind { rev, deep: rev == 2, ..Kind::default() };
        let one = Shown::default().next(kind(1), Some(sections("{\"a\":1}")), None);
        let told = |shown: &Shown, seen: &mut Seen, answers| -> Value {
            serde_json::from_str(&shown.tell(seen, answers).unwrap()).unwrap()
        };
        let all = told(&one, &mut seen, None);
        assert_eq!(all["sections"].as_object().unwrap().len(), SECTIONS.len());
        assert_eq!(all["sections"]["robot"], json!({"a": 1}));
        assert!(one.is_seen(&seen));
        let two = one.next(kind(2), Some(sections("2")), None);
        let three = two.next(kind(2), Some(sections("3")), None);
        // A page that missed one state gets what differs from the last that it saw.
        let expected = json!({"tell": "study", "rev": 2, "answers": 7, "trying": false, "deep": true, "sections": {"robot": 3}});
        assert_eq!(told(&three, &mut seen, Some(7)), expected);
        assert_eq!(told(&three, &mut seen, None)["sections"], json!({}));
        let same = three.next(kind(3), Some(sections("3")), None);
        assert_eq!(told(&same, &mut seen, None)["sections"], json!({}));
    }
}
