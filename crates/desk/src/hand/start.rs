//! How the hand begins.

use super::{Hand, Shared, now_unix_s};
use crate::files::Files;
use crate::history::disk::{self, Trouble};
use crate::history::{Deed, History, Line};
use crate::mailbox::Mailbox;
use crate::room::Room;
use crate::shown::Shown;
use crate::ticks::Ticks;
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::{Arc, Mutex};
use std::time::Instant;
use tokio::sync::watch;

/// Opens a robot's folder: what is shared with the server, and the hand that is to work.
///
/// # Errors
/// A sentence: it is no robot, its files cannot be read at all, or another desk has it open.
pub fn start(dir: &Path) -> Result<(Arc<Shared>, Hand), String> {
    let mut files = Files::open(dir)?;
    let folder = files.load().map_err(|mistakes| {
        let told = mistakes.iter().map(|m| format!("{}: {}", m.file, m.message));
        told.collect::<Vec<_>>().join("\n")
    })?;
    let (history, disk, note) = match disk::open(files.dir(), &folder) {
        Ok(found) => {
            let mut disk = found.disk;
            let begun = found.anew || !disk.has_lines();
            let kept = !begun || disk.add(&Line::new(now_unix_s(), Deed::Begin, &folder)).is_ok();
            let note = found.anew.then(|| ANEW.to_owned());
            (found.history, kept.then_some(disk), note)
        }
        Err(Trouble::Taken) => {
            return Err(format!(
                "{} is open in another desk already. Use its address, or end it first.",
                dir.display()
            ));
        }
        Err(Trouble::Told(why)) => (History::default(), None, Some(why)),
    };
    let ticks = Ticks::open(files.dir());
    let room = Room::new(&files.name(), folder, history, note);
    let shared = Arc::new(Shared {
        mailbox: Mailbox::default(),
        shown: watch::Sender::new(Arc::new(Shown::default())),
        study: Mutex::new(None),
    });
    let mut hand = Hand {
        shared: Arc::clone(&shared),
        room,
        files,
        disk,
        ticks,
        pages: BTreeMap::new(),
        looks: BTreeMap::new(),
        moved: Instant::now(),
        deepening: false,
        shallow: None,
        trials: Arc::new(()),
    };
    hand.show(None);
    Ok((shared, hand))
}

const ANEW: &str = "The files were changed while no desk was open, so what was done before can no longer be taken back.";
