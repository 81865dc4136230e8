use super::*;
use crate::history::sum;
use crate::talk::{DraftType, EditSubject, EditValue, Given};
use proptest::prelude::*;
use std::path::Path;
use std::sync::LazyLock;

static CART: LazyLock<Folder> = LazyLock::new(|| {
    Folder::load(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos/cart")).unwrap()
});

/// Every situation of the cart is looked at.
fn seen() -> BTreeSet<String> {
    room().study().unwrap().robot.situations.iter().map(|s| s.name.clone()).collect()
}

fn room() -> Room {
    Room::new("cart", CART.clone(), History::default(), None)
}

fn on(kind: &str, name: &str) -> EditSubject {
    EditSubject { kind: kind.to_owned(), name: Some(name.to_owned()) }
}

fn set(kind: &str, name: &str, key: &str, value: EditValue) -> Edit {
    Edit::Set { on: on(kind, name), key: key.to_owned(), value }
}

fn move_to(part: &str, x: f64, y: f64) -> Edit {
    set("part", part, "at", EditValue::PointMm([x, y]))
}

fn done(room: &mut Room, page: PageId, base: u32, edits: &[Edit]) -> Result<(), No> {
    let change = room.edit(page, base, "Move", edits)?;
    room.accept(change);
    Ok(())
}

fn why(no: No) -> String {
    match no {
        No::Nothing => String::new(),
        No::Refused(why) | No::Conflict(why) => why,
        No::Wrong(all) => all.into_iter().map(|w| format!("{}: {} ", w.field, w.why)).collect(),
    }
}

#[test]
fn a_change_counts_up_and_can_be_taken_back_and_done_again() {
    let mut room = room();
    assert_eq!(room.rev(), 1);
    assert!(why(room.undo(1).unwrap_err()).contains("nothing to take back"));
    done(&mut room, 1, 1, &[move_to("driver", 171.0, 31.0)]).unwrap();
    assert_eq!(room.rev(), 2);
    let moved = room.folder().clone();
    assert!(moved.files["robot.toml"].contains("at_mm = [171, 31]"));
    let undo = room.undo(1).unwrap();
    room.accept(undo);
    assert_eq!((room.folder(), room.rev()), (&*CART, 3));
    let redo = room.redo(1).unwrap();
    room.accept(redo);
    assert_eq!(room.folder(), &moved);
    let Tell::Kept { undo, redo, saved, .. } = room.kept(None) else { panic!() };
    assert_eq!((undo.as_deref(), redo, saved), (Some("Move"), None, true));
}

#[test]
fn a_change_that_is_none_makes_no_step() {
    let mut room = room();
    assert_eq!(done(&mut room, 1, 1, &[move_to("driver", 170.0, 30.0)]), Err(No::Nothing));
    assert_eq!((room.rev(), room.history().len()), (1, 0));
}

#[test]
fn what_cannot_be_done_is_refused_with_why_and_changes_nothing() {
    let mut room = room();
    for (edit, expected) in [
        (move_to("drivre", 1.0, 1.0), "stands in none of the files"),
        (set("part", "driver", "colour", EditValue::Flag(true)), "not known there"),
        (set("part", "driver", "at", EditValue::LengthMm(1.0)), "does not go with the key"),
        (
            set("part", "driver", "type", EditValue::Text("nothing".into())),
            "could not be read after this",
        ),
    ] {
        let told = why(done(&mut room, 1, 1, std::slice::from_ref(&edit)).unwrap_err());
        assert!(told.contains(expected), "{told}");
        // And as a try: nothing is shown either.
        assert!(room.try_on(1, &[edit]).is_err() && !room.trying());
    }
    assert_eq!((room.folder(), room.rev()), (&*CART, 1));
}

#[test]
fn an_older_hand_may_touch_other_keys_and_no_same_ones() {
    let mut room = room();
    done(&mut room, 1, 1, &[move_to("driver", 171.0, 31.0)]).unwrap();
    // Another page, which saw rev 1: another part is fine, the same part's place is not.
    done(&mut room, 2, 1, &[move_to("receiver", 251.0, 160.0)]).unwrap();
    let told = done(&mut room, 2, 1, &[move_to("driver", 172.0, 31.0)]).unwrap_err();
    assert!(matches!(&told, No::Conflict(why) if why.contains("`driver`")), "{told:?}");
    done(&mut room, 2, 1, &[set("part", "driver", "turn", EditValue::AngleDeg(90.0))]).unwrap();
    // Its own changes are no surprise to a page that is faster than its answers.
    done(&mut room, 1, 1, &[move_to("driver", 173.0, 31.0)]).unwrap();
    // What never was, and what is too long ago.
    assert!(matches!(done(&mut room, 1, 99, &[move_to("lamp", 0.0, 0.0)]), Err(No::Conflict(_))));
    for _ in 0..=REMEMBERED {
        room.log.push_back(Logged { rev: room.rev + 1, by: None, touched: BTreeSet::new() });
        room.rev += 1;
        if room.log.len() > REMEMBERED {
            room.log.pop_front();
        }
    }
    assert!(matches!(done(&mut room, 1, 1, &[move_to("driver", 1.0, 1.0)]), Err(No::Conflict(_))));
}

#[test]
fn a_try_shows_and_is_let_go() {
    let mut room = room();
    let before = room.sections(&seen()).unwrap();
    room.try_on(1, &[move_to("driver", 180.0, 40.0)]).unwrap();
    let during = room.sections(&seen()).unwrap();
    assert!(room.trying() && before.all[2] != during.all[2]);
    assert_eq!(room.folder(), &*CART, "nothing is written");
    assert!(!room.let_go(2), "only who tries lets go");
    assert!(room.let_go(1) && !room.trying());
    assert_eq!(room.sections(&seen()).unwrap(), before);
    // Letting go where it was tried takes the study that is there already.
    room.try_on(1, &[move_to("driver", 180.0, 40.0)]).unwrap();
    let tried = Arc::clone(&room.trying.as_ref().unwrap().1);
    let change = room.edit(1, 1, "Move driver", &[move_to("driver", 180.0, 40.0)]).unwrap();
    assert!(Arc::ptr_eq(&change.study, &tried));
    room.accept(change);
    assert!(!room.trying() && room.sections(&seen()).unwrap() == during);
}

/// The second place that a hand passes is not written into the texts; the robot is the one they would say.
#[test]
fn where_a_hand_passes_the_robot_is_what_the_texts_would_say() {
    let said = |edits: &[Edit]| {
        let mut fresh = room();
        fresh.try_on(1, edits).unwrap();
        fresh.trying.unwrap().1.robot.clone()
    };
    let mut room = room();
    for (x, y) in [(180.0, 40.0), (181.5, 41.25), (-3.0, 0.1 + 0.2), (90.017, 1e-7), (170.0, 30.0)] {
        let edits = [move_to("driver", x, y)];
        room.try_on(1, &edits).unwrap();
        assert_eq!(room.trying.as_ref().unwrap().1.robot, said(&edits), "{x} {y}");
        assert_eq!(room.moving.as_ref().unwrap().1.len(), 1);
    }
    // More, other or less than before: by way of the texts.
    let both = [move_to("driver", 1.0, 2.0), move_to("fuses", 3.0, 4.0)];
    let turned = [move_to("driver", 1.0, 2.0), set("part", "driver", "turn", EditValue::AngleDeg(90.0))];
    for edits in [&both[..], &turned, &both[1..]] {
        room.try_on(2, edits).unwrap();
        assert_eq!(room.trying.as_ref().unwrap().1.robot, said(edits));
    }
    assert!(room.try_on(1, &[move_to("driver", f64::NAN, 0.0)]).is_err());
    // Parts that are no longer where the files had them then.
    room.try_on(1, &[move_to("driver", 5.0, 5.0)]).unwrap();
    done(&mut room, 1, 1, &[Edit::Remove { on: on("part", "driver") }]).ok();
    assert!(room.rev() == 1 || room.try_on(1, &[move_to("driver", 6.0, 6.0)]).is_err());
}

#[test]
fn a_slide_solves_a_situation_anew_and_writes_nothing() {
    let mut room = room();
    let before = room.sections(&seen()).unwrap();
    let name = room.study().unwrap().robot.situations[0].name.clone();
    let charge = |percent| Slid { charge_percent: Some(percent), ..Slid::default() };
    room.slide(1, &name, charge(20.0)).unwrap();
    let during = room.sections(&seen()).unwrap();
    assert_ne!(before.loads, during.loads, "an emptier battery shows");
    assert!(why(room.slide(1, "no such", Slid::default()).unwrap_err()).contains("no such"));
    let speed = |m_s| Slid { speed_m_s: Some(m_s), ..Slid::default() };
    let volume = |percent| Slid { volume_percent: Some(percent), ..Slid::default() };
    for wrong in [speed(-1.0), speed(f64::NAN), charge(101.0)] {
        assert!(room.slide(1, &name, wrong).is_err());
    }
    assert!(why(room.slide(1, &name, volume(50.0)).unwrap_err()).contains("amplifies"));
    room.let_go(1);
    assert_eq!((room.sections(&seen()).unwrap(), room.folder()), (before, &*CART));
}

#[test]
fn files_that_cannot_be_read_leave_the_last_study_on_show() {
    let mut room = room();
    let before = room.sections(&seen()).unwrap();
    let text = &CART.files["robot.toml"];
    let broken = Folder::single(text.replacen("thickness_mm = 9", "thicknes_mm = 9", 1));
    assert_eq!(room.outside(Ok(broken.clone())), Outside::Broken);
    assert_eq!(room.outside(Ok(broken)), Outside::Same, "the same mistakes are told once");
    let Some(Tell::Broken { rev, mistakes }) = room.broken() else { panic!() };
    assert!(rev == 1 && mistakes.iter().any(|m| m.line > 0 && m.message.contains("thicknes_mm")));
    assert_eq!(room.sections(&seen()).unwrap(), before);
    let told = why(done(&mut room, 1, 1, &[move_to("driver", 1.0, 1.0)]).unwrap_err());
    assert!(told.contains("cannot be read just now") && told.contains("thicknes_mm"), "{told}");
    assert!(room.undo(1).is_err() && room.try_on(1, &[move_to("driver", 1.0, 1.0)]).is_err());
    assert_eq!(room.outside(Ok(CART.clone())), Outside::Mended);
    assert!(room.broken().is_none());
    done(&mut room, 1, 1, &[move_to("driver", 171.0, 31.0)]).unwrap();
}

#[test]
fn a_change_outside_is_a_step_like_any_other() {
    let mut room = room();
    done(&mut room, 1, 1, &[move_to("driver", 171.0, 31.0)]).unwrap();
    let mine = room.folder().clone();
    let theirs =
        Folder::single(mine.files["robot.toml"].replace("at_mm = [250, 160]", "at_mm = [251, 161]"));
    assert!(matches!(room.outside(Ok(theirs.clone())), Outside::Changed(Deed::Step(_))));
    assert_eq!((room.folder(), room.rev()), (&theirs, 3));
    // A hand that saw the state before it.
    assert!(matches!(done(&mut room, 1, 2, &[move_to("receiver", 0.0, 0.0)]), Err(No::Conflict(_))));
    for expected in [&mine, &*CART] {
        let undo = room.undo(1).unwrap();
        room.accept(undo);
        assert_eq!(room.folder(), expected);
    }
    // A file that comes or goes is one too.
    let before = room.folder().clone();
    let mut more = before.clone();
    more.files.insert("parts/lamp.toml".to_owned(), OWN.to_owned());
    assert!(matches!(room.outside(Ok(more.clone())), Outside::Changed(Deed::Step(_))));
    let Tell::Kept { undo: Some(words), why: None, .. } = room.kept(None) else { panic!() };
    assert_eq!(words, "New file parts/lamp.toml outside the desk");
    assert!(matches!(room.outside(Ok(before.clone())), Outside::Changed(Deed::Step(_))));
    for expected in [&more, &before] {
        let undo = room.undo(1).unwrap();
        room.accept(undo);
        assert_eq!(room.folder(), expected);
    }
    let redo = room.redo(1).unwrap();
    room.accept(redo);
    assert_eq!(room.folder(), &more);
}

const OWN: &str = "[[type]]\nname = \"own\"\nsize_mm = [10, 10]\nheight_mm = 5\n";

fn bracket(name: &str) -> DraftType {
    let values = [("width", "60"), ("depth", "40"), ("height", "30")];
    let values = values.map(|(k, v)| (k.to_owned(), v.to_owned())).into();
    DraftType { name: name.to_owned(), values, ..DraftType::default() }
}

#[test]
fn a_type_is_a_file_that_comes_and_goes_with_its_step() {
    let mut room = room();
    let change = room.make_type(1, &bracket("bracket")).unwrap();
    room.accept(change);
    assert!(room.folder().files["parts/bracket.toml"].contains("size_mm = [60, 40]"));
    assert!(matches!(room.make_type(1, &bracket("bracket")), Err(No::Wrong(_))), "two of one name");
    let Tell::Kept { undo: Some(words), .. } = room.kept(None) else { panic!() };
    assert_eq!(words, "Make the type bracket");
    // It can be placed at once.
    let keys = [("type", "bracket"), ("face", "back"), ("at", "10, 10 mm")];
    let given = |keys: &[(&str, &str)]| -> Vec<Given> {
        keys.iter().map(|(k, t)| Given { key: (*k).to_owned(), text: (*t).to_owned() }).collect()
    };
    let change = room.fresh(1, 2, &on("part", "left"), &given(&keys)).unwrap();
    room.accept(change);
    for _ in 0..2 {
        let undo = room.undo(1).unwrap();
        room.accept(undo);
    }
    assert_eq!(room.folder(), &*CART);
    for _ in 0..2 {
        let redo = room.redo(1).unwrap();
        room.accept(redo);
    }
    assert!(room.folder().files["robot.toml"].contains("type = \"bracket\""));
}

#[test]
fn a_new_thing_wants_its_keys_and_names_what_is_missing() {
    let given = |keys: &[(&str, &str)]| -> Vec<Given> {
        keys.iter().map(|(k, t)| Given { key: (*k).to_owned(), text: (*t).to_owned() }).collect()
    };
    let mut empty =
        Room::new("r", Folder::single("format = 1\n[robot]\nname = \"r\"\n"), History::default(), None);
    let board = EditSubject { kind: "board".to_owned(), name: None };
    let No::Wrong(wrong) = empty.fresh(1, 1, &board, &given(&[("thickness", "nine")])).unwrap_err()
    else {
        panic!()
    };
    let fields: Vec<&str> = wrong.iter().map(|w| w.field.as_str()).collect();
    assert_eq!(fields, ["thickness", "material", "depth_front", "depth_back", "size"]);
    let keys = [
        ("size", "320, 240 mm"),
        ("thickness", "9 mm"),
        ("material", "plywood"),
        ("depth_front", "110 mm"),
        ("depth_back", "20 mm"),
    ];
    let change = empty.fresh(1, 1, &board, &given(&keys)).unwrap();
    empty.accept(change);
    assert!(empty.folder().files["robot.toml"].contains("[board]\nsize_mm = [320, 240]\n"));
    assert!(why(empty.fresh(1, 2, &board, &given(&keys)).unwrap_err()).contains("taken"));
    // A plug and a cable.
    let mut room = room();
    let plug = [("family", "plug-power-2"), ("zone", "mast"), ("face", "front"), ("at", "294, 150 mm")];
    let change = room.fresh(1, 1, &on("plug", "horn-plug"), &given(&plug)).unwrap();
    room.accept(change);
    let change = room.fresh(1, 2, &on("cable", "pair"), &given(&[("kind", "twisted-pair")])).unwrap();
    room.accept(change);
    let told = why(room.fresh(1, 3, &on("plug", "two"), &given(&[("zone", "nowhere")])).unwrap_err());
    assert!(told.contains("family: ") && told.contains("face: "), "{told}");
    let Ok(Tell::Fields { fields, .. }) = room.form(1, "plug") else { panic!() };
    let words = |key: &str| fields.iter().find(|f| f.key == key).unwrap().words.clone();
    assert!(words("zone").contains(&"mast".to_owned()) && words("family").len() > 10);
}

#[test]
fn a_part_moves_between_board_and_zone_and_keeps_its_name_in_the_situations() {
    let mut room = room();
    let on_it = || on("part", "lamp");
    let key = |key: &str, value| Edit::Set { on: on_it(), key: key.to_owned(), value };
    let unset = |key: &str| Edit::Unset { on: on_it(), key: key.to_owned() };
    let to_board = [
        unset("zone"),
        unset("lead"),
        key("face", EditValue::Text("front".into())),
        key("at", EditValue::PointMm([60.0, 60.0])),
    ];
    done(&mut room, 1, 1, &to_board).unwrap();
    let part = |room: &Room| {
        let robot = &room.study().unwrap().robot;
        robot.parts.iter().find(|p| p.name == "lamp").unwrap().clone()
    };
    let there = part(&room);
    let to_zone =
        [unset("face"), unset("at"), unset("turn"), key("zone", EditValue::Text("mast".into()))];
    done(&mut room, 1, 2, &to_zone).unwrap();
    assert_ne!(part(&room), there);
    // A table of what a motor does is renamed with it.
    typed(&mut room, "part", "left-wheel", "name", "port-wheel").unwrap();
    let text = &room.folder().files["robot.toml"];
    assert!(text.contains("motors = { port-wheel = { stalled = true }, right-wheel"), "{text}");
}

#[test]
fn a_desk_may_begin_with_files_that_cannot_be_read() {
    let broken = Folder::single("format = 1\n[robot]\nnam = \"x\"\n");
    let mut room = Room::new("r", broken, History::default(), None);
    assert!(room.sections(&seen()).is_none() && room.broken().is_some());
    assert!(room.edit(1, 1, "x", &[move_to("a", 0.0, 0.0)]).is_err());
    assert_eq!(room.outside(Ok(CART.clone())), Outside::Changed(Deed::Begin));
    assert!(room.sections(&seen()).is_some() && room.broken().is_none());
}

#[test]
fn the_deep_tier_comes_to_the_study_it_was_made_of_and_no_other() {
    let mut room = room();
    let deep = Arc::new(Study::clone(room.study().unwrap()).deepened());
    let drawn = || Drawn::of(&deep);
    done(&mut room, 1, 1, &[move_to("driver", 171.0, 31.0)]).unwrap();
    assert!(!room.deepened(1, Arc::clone(&deep), drawn()) && !room.is_deep());
    let undo = room.undo(1).unwrap();
    room.accept(undo);
    assert!(room.deepened(room.rev(), Arc::clone(&deep), drawn()) && room.is_deep());
    room.try_on(1, &[move_to("driver", 171.0, 31.0)]).unwrap();
    assert!(!room.is_deep(), "a try is not deep");
}

#[test]
fn a_remedy_is_found_by_its_findings_key_and_applied() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos/samovar-first-try");
    let mut room = Room::new("s", Folder::load(&path).unwrap(), History::default(), None);
    let findings: serde_json::Value =
        serde_json::from_str(&room.sections(&seen()).unwrap().all[6].text()).unwrap();
    let able = |f: &&serde_json::Value| f["remedies"][0]["can_be_applied"] == true;
    let first = findings.as_array().unwrap().iter().find(able).unwrap();
    let key = first["key"].as_str().unwrap();
    assert!(matches!(room.remedy(1, 0, key, 0), Err(No::Conflict(_))), "an older base");
    assert!(matches!(room.remedy(1, 1, "no such", 0), Err(No::Refused(_))));
    assert!(matches!(room.remedy(1, 1, key, 99), Err(No::Refused(_))));
    let change = room.remedy(1, 1, key, 0).unwrap();
    room.accept(change);
    let after: serde_json::Value =
        serde_json::from_str(&room.sections(&seen()).unwrap().all[6].text()).unwrap();
    assert_ne!(findings, after);
    assert_eq!(room.history().undo().unwrap().words, first["remedies"][0]["text"].as_str().unwrap());
}

/// Edits as a hand makes them; some of them cannot be made.
fn any_edit() -> impl Strategy<Value = Edit> {
    let part = prop::sample::select(vec!["driver", "receiver", "converter", "fuses", "lamp", "nobody"]);
    let wire = prop::sample::select(vec!["heart-1", "heart-2"]);
    prop_oneof![
        (part.clone(), 0.0..300.0_f64, 0.0..200.0_f64).prop_map(|(p, x, y)| move_to(
            p,
            x.round(),
            y.round()
        )),
        (part.clone(), "[a-zA-Zäß\u{1f600}\"\\\\ ]{0,8}").prop_map(|(p, t)| set(
            "part",
            p,
            "note",
            EditValue::Text(t)
        )),
        (part.clone(), 0..4).prop_map(|(p, q)| set(
            "part",
            p,
            "turn",
            EditValue::AngleDeg(f64::from(q) * 90.0)
        )),
        part.prop_map(|p| Edit::Unset { on: on("part", p), key: "note".to_owned() }),
        (wire, 100.0..900.0_f64).prop_map(|(w, l)| set(
            "wire",
            w,
            "length",
            EditValue::LengthMm(l.round())
        )),
        "[a-c]".prop_map(|z| Edit::Add {
            on: on("zone", &z),
            keys: vec![("path".to_owned(), EditValue::LengthMm(300.0))]
        }),
        "[a-c]".prop_map(|z| Edit::Remove { on: on("zone", &z) }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    /// Undo after any edits gives back every byte, one state after the other; redo gives them again.
    #[test]
    fn undo_gives_every_byte_back(edits in prop::collection::vec(any_edit(), 1..10)) {
        let mut room = room();
        let mut states = vec![room.folder().clone()];
        for edit in edits {
            let rev = room.rev();
            if done(&mut room, 1, rev, &[edit]).is_ok() {
                states.push(room.folder().clone());
            }
        }
        prop_assert_eq!(room.history().len(), states.len() - 1);
        for state in states.iter().rev().skip(1) {
            let undo = room.undo(1).unwrap();
            room.accept(undo);
            prop_assert_eq!(room.folder(), state);
        }
        for state in &states[1..] {
            let redo = room.redo(1).unwrap();
            room.accept(redo);
            prop_assert_eq!(room.folder(), state);
            prop_assert_eq!(sum(room.folder()), sum(state));
        }
        // What is shown is what a study from nothing shows.
        let fresh = Room::new("cart", room.folder().clone(), History::default(), None);
        prop_assert_eq!(room.sections(&seen()), fresh.sections(&seen()));
    }
}

#[test]
fn a_break_down_over_the_files_is_told_and_passes() {
    let mut room = room();
    room.stumbled();
    assert!(room.broken().is_some() && room.edit(1, 1, "x", &[move_to("driver", 1.0, 1.0)]).is_err());
    assert_eq!(room.outside(Ok(CART.clone())), Outside::Mended);
    done(&mut room, 1, 1, &[move_to("driver", 171.0, 31.0)]).unwrap();
}

fn typed(room: &mut Room, kind: &str, name: &str, key: &str, text: &str) -> Result<(), No> {
    let change = room.field(1, room.rev(), &on(kind, name), key, text)?;
    room.accept(change);
    Ok(())
}

#[test]
fn what_is_typed_goes_into_the_files_with_its_unit() {
    let mut room = room();
    let wire = room.study().unwrap().robot.wires[0].name.clone();
    typed(&mut room, "wire", &wire, "length", "30 cm").unwrap();
    assert!(room.folder().files["robot.toml"].contains("length_mm = 300"));
    typed(&mut room, "wire", &wire, "size", "8 AWG").unwrap();
    assert!(room.folder().files["robot.toml"].contains("size_awg = 8"));
    typed(&mut room, "wire", &wire, "length", "  ").unwrap();
    assert!(!room.folder().files["robot.toml"].contains("length_mm = 300"));
    typed(&mut room, "robot", "", "limits.stall", "1 min").unwrap();
    assert!(room.folder().files["robot.toml"].contains("stall_s = 60"));
    let before = room.folder().clone();
    for (key, text, said) in [
        ("size", "8", "has no unit"),
        ("size", "", "must be given"),
        ("insulation", "rubber", "silicone"),
        ("length", "long", "30 mm"),
        ("from", "nowhere.plus", "nowhere"),
        ("lenght", "3 mm", "not known"),
    ] {
        let told = why(typed(&mut room, "wire", &wire, key, text).unwrap_err());
        assert!(told.contains(said), "{key} {text}: {told}");
    }
    assert_eq!(room.folder(), &before);
    for _ in 0..4 {
        let undo = room.undo(1).unwrap();
        room.accept(undo);
    }
    assert_eq!(room.folder(), &*CART);
}

#[test]
fn a_second_part_is_like_the_first() {
    let mut room = room();
    let change = room.twin(1, 1, "driver", "driver-2", Some([60.0, 120.0])).unwrap();
    room.accept(change);
    let robot = &room.study().unwrap().robot;
    let named = |n: &str| robot.parts.iter().find(|p| p.name == n).unwrap();
    assert_eq!(named("driver").kind, named("driver-2").kind);
    assert_eq!(named("driver").fuses, named("driver-2").fuses);
    assert!(room.folder().files["robot.toml"].contains("at_mm = [60, 120]"));
    assert!(why(room.twin(1, 2, "driver", "driver-2", None).unwrap_err()).contains("taken"));
    assert!(why(room.twin(1, 2, "nobody", "x", None).unwrap_err()).contains("none of"));
    let undo = room.undo(1).unwrap();
    room.accept(undo);
    assert_eq!(room.folder(), &*CART);
}

#[test]
fn a_thing_is_taken_out_with_what_hangs_on_it_only_when_that_is_asked() {
    let mut room = room();
    let robot = &room.study().unwrap().robot;
    let wires = robot.wires.len();
    let told = why(room.take_out(1, 1, &on("part", "driver"), false).unwrap_err());
    assert!(told.contains("Wires hang on `driver`"), "{told}");
    let change = room.take_out(1, 1, &on("part", "driver"), true).unwrap();
    room.accept(change);
    let robot = &room.study().unwrap().robot;
    assert!(robot.wires.len() < wires && !robot.parts.iter().any(|p| p.name == "driver"));
    let undo = room.undo(1).unwrap();
    room.accept(undo);
    typed(&mut room, "part", "driver", "name", "left-driver").unwrap();
    let robot = &room.study().unwrap().robot;
    assert!(robot.wires.len() == wires && robot.parts.iter().any(|p| p.name == "left-driver"));
    let undo = room.undo(1).unwrap();
    assert_eq!(undo.after, *CART);
}

#[test]
fn a_louder_amplifier_takes_more() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos/samovar");
    let mut room = Room::new("s", Folder::load(&path).unwrap(), History::default(), None);
    let looked_at = BTreeSet::from(["show".to_owned()]);
    let mut power = |percent| {
        let to = Slid { volume_percent: percent, ..Slid::default() };
        room.slide(1, "show", to).unwrap();
        let loads = Arc::clone(&room.sections(&looked_at).unwrap().loads["show"]);
        let loads: serde_json::Value = serde_json::from_str(&loads).unwrap();
        let parts = loads["parts"].as_array().unwrap();
        parts.iter().find(|p| p["name"] == "amplifier").unwrap()["power_w"].as_f64().unwrap()
    };
    let [quiet, half, loud, said] = [Some(0.0), Some(50.0), Some(100.0), None].map(&mut power);
    assert!(quiet < half && half < loud, "{quiet} {half} {loud}");
    assert_eq!(loud, said, "in the show it is as loud as its type states");
    assert!(room.slide(1, "show", Slid { volume_percent: Some(101.0), ..Slid::default() }).is_err());
}
