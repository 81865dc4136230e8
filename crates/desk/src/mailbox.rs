//! What waits to be done: asks in order, and of every page at most one try.
//!
//! A hand that drags sends more positions than can be studied. The last one wins: a try replaces the one that
//! waits, and anything else that its page asks for makes it pointless.

use crate::room::PageId;
use crate::talk::Ask;
use std::collections::{BTreeMap, VecDeque};
use std::sync::{Condvar, Mutex, PoisonError};
use std::time::Duration;

/// Asks of one page that may wait.
const MOST: usize = 64;

/// Something for the hand that does the work.
#[derive(Debug)]
pub enum Mail<O, D> {
    /// A page has come, with the way to it.
    Join(PageId, O),
    /// A page asks.
    Ask(PageId, Ask),
    /// A page has gone.
    Leave(PageId),
    /// Work that was done elsewhere has come back.
    Done(D),
    /// It is over.
    Stop,
}

/// The box. `O`: the way to a page; `D`: work that comes back.
#[derive(Debug)]
pub struct Mailbox<O, D> {
    waiting: Mutex<Waiting<O, D>>,
    bell: Condvar,
}

#[derive(Debug)]
struct Waiting<O, D> {
    mail: VecDeque<Mail<O, D>>,
    tries: BTreeMap<PageId, Ask>,
    asks: BTreeMap<PageId, usize>,
}

impl<O, D> Default for Mailbox<O, D> {
    fn default() -> Self {
        let waiting = Waiting { mail: VecDeque::new(), tries: BTreeMap::new(), asks: BTreeMap::new() };
        Self { waiting: Mutex::new(waiting), bell: Condvar::new() }
    }
}

impl<O, D> Mailbox<O, D> {
    /// Puts an ask in. Says no when the page has too many waiting.
    pub fn ask(&self, page: PageId, ask: Ask) -> bool {
        let mut waiting = self.waiting.lock().unwrap_or_else(PoisonError::into_inner);
        if matches!(ask, Ask::Try { .. } | Ask::Slide { .. }) {
            waiting.tries.insert(page, ask);
        } else {
            let many = waiting.asks.entry(page).or_insert(0);
            if *many >= MOST {
                return false;
            }
            *many += 1;
            // What a page reads or ticks off has nothing to do with what is in its hand.
            let reads = matches!(
                ask,
                Ask::Look { .. }
                    | Ask::Rooms { .. }
                    | Ask::Fields { .. }
                    | Ask::Library { .. }
                    | Ask::Tick { .. }
            );
            if !reads {
                waiting.tries.remove(&page);
            }
            waiting.mail.push_back(Mail::Ask(page, ask));
        }
        drop(waiting);
        self.bell.notify_one();
        true
    }

    /// Puts anything else in.
    pub fn put(&self, mail: Mail<O, D>) {
        let mut waiting = self.waiting.lock().unwrap_or_else(PoisonError::into_inner);
        if let Mail::Leave(page) = &mail {
            waiting.tries.remove(page);
        }
        waiting.mail.push_back(mail);
        drop(waiting);
        self.bell.notify_one();
    }

    /// Takes the next: what was asked in order first, then tries. Waits at most so long for one.
    pub fn take(&self, most: Duration) -> Option<Mail<O, D>> {
        let waiting = self.waiting.lock().unwrap_or_else(PoisonError::into_inner);
        let empty = |w: &mut Waiting<O, D>| w.mail.is_empty() && w.tries.is_empty();
        let (mut waiting, _) =
            self.bell.wait_timeout_while(waiting, most, empty).unwrap_or_else(PoisonError::into_inner);
        if let Some(mail) = waiting.mail.pop_front() {
            if let Mail::Ask(page, _) = &mail {
                match waiting.asks.get_mut(page) {
                    Some(n) if *n > 1 => *n -= 1,
                    _ => drop(waiting.asks.remove(page)),
                }
            }
            return Some(mail);
        }
        waiting.tries.pop_first().map(|(page, ask)| Mail::Ask(page, ask))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NOW: Duration = Duration::ZERO;

    fn a_try(id: u32) -> Ask {
        Ask::Try { id, base: 1, edits: Vec::new() }
    }

    fn next(mailbox: &Mailbox<(), ()>) -> Option<(PageId, u32)> {
        match mailbox.take(NOW)? {
            Mail::Ask(page, ask) => Some((page, ask.id())),
            _ => None,
        }
    }

    #[test]
    fn the_last_try_wins_and_never_waits_behind_another() {
        let mailbox = Mailbox::<(), ()>::default();
        (1..1000).for_each(|id| assert!(mailbox.ask(1, a_try(id))));
        mailbox.ask(2, a_try(5));
        assert_eq!(next(&mailbox), Some((1, 999)));
        assert_eq!(next(&mailbox), Some((2, 5)));
        assert_eq!(next(&mailbox), None);
    }

    #[test]
    fn an_ask_overtakes_the_tries_before_it() {
        let mailbox = Mailbox::<(), ()>::default();
        mailbox.ask(1, a_try(1));
        mailbox.ask(1, Ask::LetGo { id: 2 });
        mailbox.ask(1, a_try(3));
        assert_eq!([next(&mailbox), next(&mailbox), next(&mailbox)], [Some((1, 2)), Some((1, 3)), None]);
        mailbox.ask(1, a_try(4));
        mailbox.put(Mail::Leave(1));
        assert!(matches!(mailbox.take(NOW), Some(Mail::Leave(1))));
        assert_eq!(next(&mailbox), None);
    }

    #[test]
    fn who_looks_elsewhere_or_reads_holds_on_to_the_try() {
        let mailbox = Mailbox::<(), ()>::default();
        mailbox.ask(1, a_try(1));
        mailbox.ask(1, Ask::Look { id: 2, situation: None, beside: Vec::new() });
        mailbox.ask(1, Ask::Rooms { id: 3 });
        let all: Vec<_> = std::iter::from_fn(|| next(&mailbox)).collect();
        assert_eq!(all, [(1, 2), (1, 3), (1, 1)]);
    }

    #[test]
    fn a_page_cannot_fill_the_box() {
        let mailbox = Mailbox::<(), ()>::default();
        let taken = (0..100).filter(|id| mailbox.ask(1, Ask::Undo { id: *id })).count();
        assert_eq!(taken, MOST);
        assert!(mailbox.ask(2, Ask::Undo { id: 1 }), "another page is not its fault");
        assert_eq!(next(&mailbox), Some((1, 0)));
        assert!(mailbox.ask(1, Ask::Undo { id: 100 }));
    }
}
