use super::*;
use crate::talk::{Place, TypeKind};
use loomdeck_model::read::Folder;

fn typed(pairs: &[(&str, &str)]) -> Typed {
    pairs.iter().map(|(k, v)| ((*k).to_owned(), (*v).to_owned())).collect()
}
fn folder() -> Folder {
    Folder::single("format = 1\n[robot]\nname = \"x\"\n")
}
fn robot(folder: &Folder) -> Robot {
    read(folder).0.unwrap()
}
fn of(draft: &DraftType) -> Drafted {
    let folder = folder();
    drafted(draft, &folder, &robot(&folder))
}
fn said(d: &Drafted, field: &str) -> String {
    d.wrong.iter().filter(|w| w.field == field).map(|w| w.why.as_str()).collect::<Vec<_>>().join(" ")
}
fn bracket() -> DraftType {
    DraftType {
        name: "shelf-bracket".into(),
        values: typed(&[
            ("title", "shelf <b>bracket</b>"),
            ("width", "6 cm"),
            ("depth", "4 cm"),
            ("height", "30"),
            ("mass", "45 g"),
        ]),
        ..DraftType::default()
    }
}

#[test]
fn a_plain_part_is_written_with_the_units_as_typed() {
    let d = of(&bracket());
    assert_eq!(d.wrong, []);
    assert_eq!(d.file, "parts/shelf-bracket.toml");
    assert_eq!(
        d.text,
        "[[type]]\nname = \"shelf-bracket\"\ntitle = \"shelf <b>bracket</b>\"\nsize_cm = [6, 4]\nheight_mm = 30\nmass_g = 45\n"
    );
    assert_eq!(d.drawn.outline, [[0.0, 0.0], [60.0, 0.0], [60.0, 40.0], [0.0, 40.0]]);
}

#[test]
fn holes_come_from_their_edges_or_their_spacing() {
    let mut b = bracket();
    b.values.extend(typed(&[("pattern", "corners"), ("hole_edge", "5 mm"), ("hole_diameter", "3.2")]));
    let d = of(&b);
    assert!(
        d.text.contains("holes_mm = [[5, 5], [55, 5], [5, 35], [55, 35]]\nhole_diameter_mm = 3.2\n"),
        "{}",
        d.text
    );
    b.values.extend(typed(&[("hole_edge", "20")]));
    assert!(said(&of(&b), "hole_edge").contains("meet in the middle"));
    // In the middle when no edge is said; two holes when a spacing is none.
    b.values.extend(typed(&[("pattern", "spacing"), ("hole_across", "50"), ("hole_up", "0")]));
    assert!(of(&b).text.contains("holes_mm = [[5, 20], [55, 20]]"));
    b.values.extend(typed(&[("hole_left", "12")]));
    assert!(said(&of(&b), "hole_across").contains("beside the part"));
    // In inches when everything is.
    let inches = [
        ("width", "4 in"),
        ("depth", "2 in"),
        ("pattern", "corners"),
        ("hole_edge", "1/4 in"),
        ("hole_diameter", "1/8 in"),
    ];
    b.values.extend(typed(&inches));
    b.values.remove("hole_left");
    let d = of(&b);
    assert!(d.text.contains("size_in = [4, 2]"), "{:?}", d.wrong);
    assert!(
        d.text.contains("holes_in = [[0.25, 0.25], [3.75, 0.25], [0.25, 1.75], [3.75, 1.75]]"),
        "{}",
        d.text
    );
    // Single ones beside the part.
    b.values.insert("pattern".into(), String::new());
    b.holes =
        vec![Place { x: "1 in".into(), y: "1 in".into() }, Place { x: "9 in".into(), y: "1 in".into() }];
    let d = of(&b);
    assert_eq!(
        (said(&d, "holes.0.x"), said(&d, "holes.1.x").as_str()),
        (String::new(), "This hole lies beside the part.")
    );
}

#[test]
fn what_is_wrong_is_said_beside_its_field_and_nothing_is_written() {
    for (key, text, expected) in [
        ("width", "", "How wide"),
        ("width", "0", "from 0.1"),
        ("width", "NaN", "not a length"),
        ("width", "inf mm", "not a length"),
        ("width", "-3", "from 0.1"),
        ("width", "1e9 mm", "not a length"),
        ("depth", "999999999", "from 0.1 to"),
        ("height", "", "stand off"),
        ("height", "0", "above zero"),
        ("height", "tall", "not a length"),
        ("mass", "3", "no unit"),
        ("leaves", "200 %", "from 0 to 100"),
        ("noise", "loud", "not known here"),
    ] {
        let mut b = bracket();
        b.values.insert(key.into(), text.into());
        let d = of(&b);
        assert!(said(&d, key).contains(expected), "{key} = {text}: {:?}", d.wrong);
        assert_eq!(d.text, "", "{key} = {text}");
    }
}

#[test]
fn a_name_is_a_file_and_leads_nowhere_else() {
    let long = "x".repeat(81);
    for (name, expected) in [
        ("", "needs a name"),
        ("../x", "cannot stand in a name"),
        ("a/b", "cannot stand in a name"),
        ("a\\b", "cannot stand in a name"),
        ("a lamp", "A space cannot"),
        ("<script>", "cannot stand in a name"),
        ("a\u{202e}b", "cannot stand in a name"),
        (".hidden", "cannot stand in a name"),
        ("x.toml", "cannot stand in a name"),
        ("CON", "on every system"),
        ("lpt1", "on every system"),
        (long.as_str(), "too long"),
        ("blade-2a", "The library has"),
        ("there", "has a part type"),
        ("Other", "There is a file"),
    ] {
        let mut folder = folder();
        folder
            .files
            .insert("parts/o.toml".into(), "[[type]]\nname = \"there\"\nsize_mm = [1, 1]\n".into());
        folder
            .files
            .insert("parts/other.toml".into(), "[[type]]\nname = \"o\"\nsize_mm = [1, 1]\n".into());
        let d = drafted(&DraftType { name: name.into(), ..bracket() }, &folder, &robot(&folder));
        assert!(said(&d, "name").contains(expected), "{name}: {:?}", d.wrong);
        assert_eq!((d.file.as_str(), d.text.as_str()), ("", ""), "{name}");
    }
}

#[test]
fn an_outline_that_is_none_is_told_at_its_corners() {
    let place = |(x, y): &(&str, &str)| Place { x: (*x).into(), y: (*y).into() };
    let of_corners = |corners: &[(&str, &str)]| {
        let mut b = bracket();
        b.shape = Shape::Corners;
        b.corners = corners.iter().map(place).collect();
        of(&b)
    };
    let d = of_corners(&[("0", "0"), ("40", "0"), ("40", "20"), ("0", "30")]);
    assert!(d.text.contains("outline_mm = [[0, 0], [40, 0], [40, 20], [0, 30]]"), "{:?}", d.wrong);
    let d = of_corners(&[("0", "0"), ("40", "30"), ("40", "0"), ("0", "32")]);
    assert!(said(&d, "corners").contains("crosses itself"), "{:?}", d.wrong);
    assert_eq!(d.drawn.outline.len(), 4, "it is drawn all the same");
    assert!(said(&of_corners(&[("0", "0"), ("40", "0")]), "corners").contains("Three corners"));
    assert!(
        said(&of_corners(&[("0", "0"), ("x", "0"), ("1", "1")]), "corners.1.x").contains("not a length")
    );
    let many = vec![("0", "0"); 2001];
    assert!(said(&of_corners(&many), "corners").contains("at most 2000"));
}

/// The begun draft of a kind with figures in every field that wants one.
fn filled(kind: &TypeKind) -> DraftType {
    let (like, _) = like::like(kinds::of(&kind.key), &folder()).unwrap_or_default();
    DraftType { name: format!("my-{}", kind.key), ..like }
}

#[test]
fn every_kind_begins_and_becomes_a_type_that_reads_like_its_model() {
    for kind in kinds::kinds() {
        let mut begun = kind.begin.clone();
        begun.name = "mine".into();
        let d = of(&begun);
        assert!(d.text.is_empty(), "{}: its sizes are still to be given", kind.key);
        let wrong: Vec<_> = d.wrong.iter().filter(|w| !w.missing).collect();
        assert!(wrong.is_empty(), "{}: {wrong:?}", kind.key);
        if kinds::of(&kind.key).is_empty() {
            continue;
        }
        // Filled with the figures of the library's type it is that type again.
        let d = of(&filled(&kind));
        assert_eq!(d.wrong, [], "{}", kind.key);
        let mut with = folder();
        with.files.insert(d.file.clone(), d.text.clone());
        let made = read(&with).0.unwrap().types.into_iter().find(|t| t.own).unwrap();
        let (all, _) = library::all();
        let model = all.into_iter().find(|t| t.name == kinds::of(&kind.key)).unwrap();
        let same = loomdeck_model::PartType {
            name: model.name.clone(),
            own: false,
            reach: model.reach.clone(),
            ..made
        };
        assert_eq!(same, model, "{}", kind.key);
    }
}

#[test]
fn a_terminal_and_a_model_say_what_they_miss() {
    let mut b = bracket();
    b.terminals = vec![
        typed(&[
            ("name", "plus"),
            ("x", "5"),
            ("y", "5"),
            ("role", "positive"),
            ("fitting", "screw-clamp"),
            ("thinnest", "4 mm²"),
            ("thickest", "1 mm²"),
        ]),
        typed(&[
            ("name", "plus"),
            ("x", "5"),
            ("role", "nonsense"),
            ("fitting", "glue"),
            ("thinnest", "4"),
        ]),
    ];
    b.elements = vec![typed(&[("kind", "meter"), ("plus", "plus")]), typed(&[("kind", "wonder")])];
    let d = of(&b);
    assert!(said(&d, "terminals.0.thickest").contains("thinner than the thinnest"));
    assert!(said(&d, "terminals.1.y").contains("from below"));
    assert!(said(&d, "terminals.1.role").contains("not known here"));
    assert!(said(&d, "terminals.1.thinnest").contains("mm² or"));
    assert!(said(&d, "elements.0.minus").contains("Negative"));
    assert!(said(&d, "elements.1.kind").contains("no such model"));
    // What only the reader sees comes back to its field.
    b.terminals[0].insert("thickest".into(), "6 mm²".into());
    b.terminals[1] = typed(&[
        ("name", "plus"),
        ("x", "5"),
        ("y", "9"),
        ("role", "return"),
        ("fitting", "glue"),
        ("thinnest", "18 AWG"),
        ("thickest", "10 AWG"),
    ]);
    b.elements = vec![typed(&[
        ("kind", "meter"),
        ("plus", "plus"),
        ("minus", "nowhere"),
        ("current", "10 mA"),
        ("voltage", "30 V"),
    ])];
    let d = of(&b);
    assert!(
        said(&d, "terminals.1.fitting").contains("not a fitting")
            || said(&d, "terminals.1.name").contains("second terminal"),
        "{:?}",
        d.wrong
    );
    b.terminals[1].extend(typed(&[("name", "minus"), ("fitting", "pin")]));
    let d = of(&b);
    assert!(!said(&d, "elements.0.minus").is_empty(), "{:?}", d.wrong);
    assert_eq!((d.drawn.terminals.len(), d.drawn.terminals[0].direction_deg), (2, Some(180.0)));
    b.elements[0].insert("minus".into(), "minus".into());
    let d = of(&b);
    assert!(d.text.contains("wire_awg = [18, 10]"), "{:?}\n{}", d.wrong, d.text);
}

#[test]
fn too_much_is_refused_before_it_is_read() {
    let mut b = bracket();
    b.terminals = vec![Typed::new(); MOST + 1];
    assert!(said(&of(&b), "").contains("At most"));
    let mut b = bracket();
    b.elements = vec![(0..=MOST).map(|i| (format!("channels.{i}.name"), "x".to_owned())).collect()];
    b.elements[0].insert("kind".into(), "driver".into());
    assert!(said(&of(&b), "elements.0.channels").contains("At most"));
}
