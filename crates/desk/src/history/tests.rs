use super::*;
use proptest::prelude::*;
use std::fs;

fn folder(texts: &[(&str, &str)]) -> Folder {
    Folder { files: texts.iter().map(|(n, t)| ((*n).to_owned(), (*t).to_owned())).collect() }
}

proptest! {
    /// Any two texts: the change between them leads from one to the other and back.
    #[test]
    fn a_change_of_text_leads_there_and_back(old in "(\\PC|\r?\n){0,40}", new in "(\\PC|\r?\n){0,40}") {
        let change = TextChange::between("f", &old, &new);
        prop_assert_eq!(change.is_none(), old == new);
        if let Some(c) = change {
            prop_assert_eq!(c.on(&old), Some(new.clone()));
            prop_assert_eq!(c.reversed().on(&new), Some(old.clone()));
        }
    }

    /// Any deeds: read back from the file they are what they were, and cut at any byte of the last line only
    /// that line is missing.
    #[test]
    fn a_history_cut_in_its_last_line_loses_no_more(
        deeds in prop::collection::vec((0..6_u8, "[a-zäß€\n\"]{0,6}"), 1..12),
        cut in 0.0..1.0_f64,
    ) {
        let mut states = vec![folder(&[("robot.toml", "a = 1\n"), ("board.toml", "b\r\n")])];
        let mut history = History::default();
        let mut lines = vec![Line::new(0, Deed::Begin, &states[0])];
        let mut histories = vec![history.clone()];
        for (i, (kind, text)) in deeds.iter().enumerate() {
            let now = states.last().unwrap().clone();
            let (deed, after) = match kind {
                0 if history.undo().is_some() => (Deed::Undo, history.undo().unwrap().back(&now).unwrap()),
                1 if history.redo().is_some() => (Deed::Redo, history.redo().unwrap().forth(&now).unwrap()),
                // A file comes, or goes.
                4 | 5 => {
                    let mut after = now.clone();
                    if after.files.remove("parts/own.toml").is_none() {
                        after.files.insert("parts/own.toml".to_owned(), text.clone());
                    }
                    (Deed::Step(Step::between("x", &now, &after)), after)
                }
                _ => {
                    let mut after = now.clone();
                    let file = if kind % 2 == 0 { "robot.toml" } else { "board.toml" };
                    after.files.insert(file.to_owned(), format!("{text}{i}"));
                    (Deed::Step(Step::between("x", &now, &after)), after)
                }
            };
            history.take_down(&deed);
            lines.push(Line::new(i as u64, deed, &after));
            states.push(after);
            histories.push(history.clone());
        }
        let texts: Vec<String> =
            lines.iter().map(|l| format!("{}\n", serde_json::to_string(l).unwrap())).collect();
        let whole = texts.concat();
        let last = texts.last().unwrap().len();
        let n = states.len();

        let back = read_back(whole.as_bytes(), &states[n - 1]);
        prop_assert_eq!(&back.history, &histories[n - 1]);
        prop_assert_eq!((back.keep, back.anew), (whole.len(), false));

        // The crash came before the files were written: they are as they were before the last line.
        let cut = whole.len() - last + ((last as f64) * cut) as usize;
        for end in [cut, whole.len()] {
            let back = read_back(&whole.as_bytes()[..end], &states[n - 2]);
            prop_assert!(!back.anew);
            if states[n - 2] != states[n - 1] {
                prop_assert_eq!(&back.history, &histories[n - 2]);
                prop_assert_eq!(back.keep, whole.len() - last);
            }
        }
    }
}

#[test]
fn every_cut_of_the_last_line_is_survived_on_disk() {
    let dir = tempfile::tempdir().unwrap();
    let (a, b) = (folder(&[("robot.toml", "one")]), folder(&[("robot.toml", "two")]));
    let mut found = disk::open(dir.path(), &a).ok().unwrap();
    assert!(!found.anew, "an empty history is no broken one");
    found.disk.add(&Line::new(1, Deed::Begin, &a)).unwrap();
    let step = Step::between("two", &a, &b);
    found.disk.add(&Line::new(2, Deed::Step(step.clone()), &b)).unwrap();
    found.disk.add(&Line::new(3, Deed::Undo, &a)).unwrap();
    drop(found);
    let path = dir.path().join(disk::OWN).join(disk::FILE);
    let whole = fs::read(&path).unwrap();
    let second = whole.iter().enumerate().filter(|(_, c)| **c == b'\n').nth(1).unwrap().0 + 1;
    for end in second..whole.len() {
        fs::write(&path, &whole[..end]).unwrap();
        let mut found = disk::open(dir.path(), &b).ok().unwrap();
        assert_eq!((found.history.undo(), found.anew), (Some(&step), false), "cut at {end}");
        // And it goes on behind the last whole line.
        found.disk.add(&Line::new(4, Deed::Undo, &a)).unwrap();
        drop(found);
        let again = disk::open(dir.path(), &a).ok().unwrap();
        assert_eq!((again.history.redo(), again.anew), (Some(&step), false));
    }
}

#[test]
fn a_file_comes_back_as_it_was_and_never_over_another() {
    let without = folder(&[("robot.toml", "one")]);
    let with = folder(&[("robot.toml", "one"), ("parts/own.toml", "mine\n")]);
    let comes = Step::between("x", &without, &with);
    assert_eq!(comes.forth(&without), Ok(with.clone()));
    assert_eq!(comes.back(&with), Ok(without.clone()));
    let other = folder(&[("robot.toml", "one"), ("parts/own.toml", "somebody's\n")]);
    assert!(comes.forth(&other).is_err(), "not over another file");
    assert!(comes.back(&other).is_err(), "and what was written into it since is not lost");
    let goes = Step::between("x", &with, &without);
    assert_eq!((goes.forth(&with), goes.back(&without)), (Ok(without), Ok(with)));
    // Lines of before there was such a thing read as they did.
    let old = r#"{"file":"robot.toml","from":0,"before":"a","after":"b"}"#;
    assert_eq!(serde_json::from_str::<TextChange>(old).unwrap().being, Being::Stays);
}

#[test]
fn a_line_whose_change_never_came_is_taken_off() {
    let dir = tempfile::tempdir().unwrap();
    let (a, b) = (folder(&[("robot.toml", "one")]), folder(&[("robot.toml", "two")]));
    let mut found = disk::open(dir.path(), &a).ok().unwrap();
    found.disk.add(&Line::new(1, Deed::Begin, &a)).unwrap();
    let end = found.disk.add(&Line::new(2, Deed::Step(Step::between("x", &a, &b)), &b)).unwrap();
    found.disk.take_back(end).unwrap();
    found.disk.add(&Line::new(2, Deed::Step(Step::between("y", &a, &b)), &b)).unwrap();
    drop(found);
    let found = disk::open(dir.path(), &b).ok().unwrap();
    assert_eq!(found.history.undo().map(|s| s.words.as_str()), Some("y"));
    drop(found);
    // The files are still those before the line.
    let found = disk::open(dir.path(), &a).ok().unwrap();
    assert!(found.history.is_empty() && !found.anew);
}

#[test]
fn other_files_begin_a_new_history() {
    let dir = tempfile::tempdir().unwrap();
    let (a, other) = (folder(&[("robot.toml", "one")]), folder(&[("robot.toml", "other")]));
    let mut found = disk::open(dir.path(), &a).ok().unwrap();
    found.disk.add(&Line::new(1, Deed::Begin, &a)).unwrap();
    assert!(matches!(disk::open(dir.path(), &a), Err(disk::Trouble::Taken)), "one desk at a time");
    drop(found);
    assert!(disk::open(dir.path(), &other).ok().unwrap().anew);
    // Rubbish in the middle.
    let path = dir.path().join(disk::OWN).join(disk::FILE);
    let line = fs::read_to_string(&path).unwrap();
    fs::write(&path, format!("rubbish\n{line}{line}")).unwrap();
    assert!(disk::open(dir.path(), &a).ok().unwrap().anew);
}

#[cfg(unix)]
#[test]
fn links_are_not_followed() {
    let (dir, away) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let a = folder(&[("robot.toml", "one")]);
    std::os::unix::fs::symlink(away.path(), dir.path().join(disk::OWN)).unwrap();
    assert!(matches!(disk::open(dir.path(), &a), Err(disk::Trouble::Told(_))));
    assert_eq!(fs::read_dir(away.path()).unwrap().count(), 0);
    fs::remove_file(dir.path().join(disk::OWN)).unwrap();
    fs::create_dir(dir.path().join(disk::OWN)).unwrap();
    let target = away.path().join("target");
    fs::write(&target, "mine").unwrap();
    std::os::unix::fs::symlink(&target, dir.path().join(disk::OWN).join(disk::FILE)).unwrap();
    assert!(matches!(disk::open(dir.path(), &a), Err(disk::Trouble::Told(_))));
    assert_eq!(fs::read_to_string(&target).unwrap(), "mine");
}

#[test]
fn what_is_far_back_is_left_to_the_disk_and_fetched() {
    let dir = tempfile::tempdir().unwrap();
    let n = 3 * HELD + 7;
    let state = |i: usize| folder(&[("robot.toml", &format!("a = {i}\n"))]);
    let mut disk = disk::open(dir.path(), &state(0)).unwrap().disk;
    let mut history = History::default();
    let done = |history: &mut History, disk: &mut disk::Disk, deed: Deed, after: &Folder| {
        disk.add(&Line::new(0, deed.clone(), after)).unwrap();
        history.take_down(&deed);
        history.let_go();
        if history.is_short() {
            let fetched = disk.history().unwrap();
            let ahead = |h: &History| h.future.len() + h.below[1];
            assert_eq!((fetched.len(), ahead(&fetched)), (history.len(), ahead(history)));
            *history = fetched;
        }
        assert!(history.held() <= 4 * HELD, "{}", history.held());
    };
    done(&mut history, &mut disk, Deed::Begin, &state(0));
    for i in 1..=n {
        let step = Step::between(&format!("{i}"), &state(i - 1), &state(i));
        done(&mut history, &mut disk, Deed::Step(step), &state(i));
    }
    assert!(history.len() == n && history.past.len() < 2 * HELD);
    // A new desk finds the same, whatever is held.
    let again = read_back(&fs::read(dir.path().join(disk::OWN).join(disk::FILE)).unwrap(), &state(n));
    assert!(!again.anew && again.history.len() == n && again.history.held() == HELD);
    // All the way back, and forth again.
    let mut now = state(n);
    for i in (0..n).rev() {
        now = history.undo().unwrap().back(&now).unwrap();
        assert_eq!(now, state(i));
        done(&mut history, &mut disk, Deed::Undo, &now);
    }
    assert!(history.is_empty() && history.undo().is_none());
    for i in 1..=n {
        now = history.redo().unwrap().forth(&now).unwrap();
        assert_eq!(now, state(i));
        done(&mut history, &mut disk, Deed::Redo, &now);
    }
    assert!(history.redo().is_none() && history.len() == n);
    // Without the disk what is far back is gone, and that is said.
    assert!(history.cut_off() && !history.cut_off() && history.len() < n);
}
