//! How long a drag takes to show: `cargo bench -p loomdeck-desk --bench drag`. Percentiles over the socket:
//! `cargo run --release -p loomdeck-desk --example measure`.

use loomdeck_desk::history::History;
use loomdeck_desk::room::Room;
use loomdeck_desk::talk::{Edit, EditSubject, EditValue};
use loomdeck_model::{Folder, Place, Point, Subject, edit, read};
use std::collections::BTreeSet;
use std::path::Path;

fn main() {
    divan::main();
}

const DEMOS: [&str; 3] = ["cart", "samovar", "samovar-first-try"];

fn room(name: &str) -> Room {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name);
    Room::new(name, Folder::load(&folder).unwrap_or_default(), History::default(), None)
}

/// The first part on the board, and where it is.
fn first(room: &Room) -> Option<(String, [f64; 2])> {
    room.study()?.robot.parts.iter().find_map(|p| match p.place {
        Place::Board(at) => Some((p.name.clone(), [at.at.x, at.at.y])),
        Place::Zone { .. } => None,
    })
}

fn moved((part, at): &(String, [f64; 2]), by: f64) -> Edit {
    Edit::Set {
        on: EditSubject { kind: "part".to_owned(), name: Some(part.clone()) },
        key: "at".to_owned(),
        value: EditValue::PointMm([at[0] + by, at[1]]),
    }
}

/// A try, from the change as the page sends it to the sections as they are sent back.
#[divan::bench(args = DEMOS)]
fn try_to_sections(bencher: divan::Bencher, name: &str) {
    let mut room = room(name);
    let Some(part) = first(&room) else { return };
    let mut by = 0.0;
    bencher.bench_local(|| {
        // Never where it was the last time.
        by = if by > 5.0 { 0.1 } else { by + 0.1 };
        room.try_on(1, &[moved(&part, by)]).ok().and_then(|()| room.sections(&BTreeSet::new()))
    });
}

/// Of that: the change written into the texts, and the texts read.
#[divan::bench(args = DEMOS)]
fn try_to_robot(bencher: divan::Bencher, name: &str) {
    let room = room(name);
    let Some((part, at)) = first(&room) else { return };
    let mut by = 0.0;
    bencher.bench_local(|| {
        by = if by > 5.0 { 0.1 } else { by + 0.1 };
        let on = Subject::Part(part.clone());
        let value = loomdeck_model::EditValue::Point(Point::new(at[0] + by, at[1]));
        let change = loomdeck_model::Edit::Set { on, key: "at".to_owned(), value };
        edit::apply(room.folder(), &[change]).map(|after| read(&after)).is_ok()
    });
}

/// The sections alone.
#[divan::bench(args = DEMOS)]
fn sections(bencher: divan::Bencher, name: &str) {
    let room = room(name);
    bencher.bench_local(|| room.sections(&BTreeSet::new()));
}
