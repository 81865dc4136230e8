//! Changes as the pages send them, made into those of the files; and what is wrong with them in the
//! builder's words.

use crate::talk::{Edit, EditSubject, EditValue};
use loomdeck_model::units::{Amperes, Degrees, Millimetres};
use loomdeck_model::wire::Gauge;
use loomdeck_model::{Point, edit, finding};

/// Changes in one ask: more come from no hand.
const MOST: usize = 2000;

/// Longest text of a value, bytes.
const LONGEST: usize = 20_000;

/// The changes of the files.
///
/// # Errors
/// A sentence about the first that is none.
pub fn read(edits: &[Edit]) -> Result<Vec<finding::Edit>, String> {
    if edits.is_empty() {
        return Err("There is nothing to change.".to_owned());
    }
    if edits.len() > MOST {
        return Err(format!("These are {} changes at once; at most {MOST} are taken.", edits.len()));
    }
    edits.iter().map(one).collect()
}

fn one(e: &Edit) -> Result<finding::Edit, String> {
    Ok(match e {
        Edit::Set { on, key, value: v } => {
            finding::Edit::Set { on: subject(on)?, key: key_of(key)?, value: value(key, v)? }
        }
        Edit::Unset { on, key } => finding::Edit::Unset { on: subject(on)?, key: key_of(key)? },
        Edit::Add { on, keys } => {
            let keys = keys.iter().map(|(k, v)| Ok((key_of(k)?, value(k, v)?)));
            finding::Edit::Add { on: subject(on)?, keys: keys.collect::<Result<_, String>>()? }
        }
        Edit::Remove { on } => finding::Edit::Remove { on: subject(on)? },
    })
}

/// The kinds of things, as the pages write them.
pub const KINDS: [&str; 14] = [
    "robot",
    "board",
    "part",
    "plug",
    "wire",
    "loom",
    "cable",
    "zone",
    "pass",
    "board-mount",
    "keep-out",
    "situation",
    "day",
    "type",
];

/// The thing that a page names.
///
/// # Errors
/// A sentence, when there is no such kind of thing or it wants a name.
pub fn subject(on: &EditSubject) -> Result<loomdeck_model::Subject, String> {
    use loomdeck_model::Subject as S;
    match on.kind.as_str() {
        "robot" => return Ok(S::Robot),
        "board" => return Ok(S::Board),
        "day" => return Ok(S::Day),
        _ => {}
    }
    let name = on.name.as_deref().map(str::trim).filter(|n| !n.is_empty());
    let name = name.map(str::to_owned).ok_or_else(|| {
        if KINDS.contains(&on.kind.as_str()) {
            format!("A {} needs a name.", on.kind)
        } else {
            unknown(&on.kind)
        }
    })?;
    Ok(match on.kind.as_str() {
        "part" => S::Part(name),
        "plug" => S::Plug(name),
        "wire" => S::Wire(name),
        "loom" => S::Loom(name),
        "cable" => S::Cable(name),
        "zone" => S::Zone(name),
        "pass" => S::Pass(name),
        "board-mount" => S::BoardMount(name),
        "keep-out" => S::KeepOut(name),
        "situation" => S::Situation(name),
        "type" => S::Type(name),
        other => return Err(unknown(other)),
    })
}

fn unknown(kind: &str) -> String {
    let near = loomdeck_model::read::problem::nearest(kind, KINDS);
    let near = near.map_or_else(|| KINDS.join(", "), |n| format!("perhaps {n}"));
    format!("`{}` is no kind of thing that stands in the files; there is: {near}.", shown(kind))
}

/// A foreign word, short enough to be read.
fn shown(word: &str) -> String {
    word.chars().take(40).collect()
}

fn key_of(key: &str) -> Result<String, String> {
    let fits = !key.is_empty() && key.len() <= 200 && !key.chars().any(char::is_control);
    if fits { Ok(key.to_owned()) } else { Err(format!("`{}` is no key of the files.", shown(key))) }
}

fn value(key: &str, v: &EditValue) -> Result<finding::EditValue, String> {
    use finding::EditValue as V;
    let finite = |x: f64| {
        if x.is_finite() {
            Ok(x)
        } else {
            Err(format!("`{}` wants a number; this is none.", shown(key)))
        }
    };
    let fits = |t: &str| {
        if t.len() > LONGEST {
            return Err(format!("The text for `{}` is longer than {LONGEST} bytes.", shown(key)));
        }
        Ok(t.to_owned())
    };
    Ok(match v {
        EditValue::Text(t) => V::Text(fits(t)?),
        EditValue::Number(n) => V::Number(finite(*n)?),
        EditValue::Flag(b) => V::Flag(*b),
        EditValue::Texts(list) => V::Texts(list.iter().map(|t| fits(t)).collect::<Result<_, _>>()?),
        EditValue::LengthMm(l) => V::Length(Millimetres(finite(*l)?)),
        EditValue::PointMm([x, y]) => V::Point(Point::new(finite(*x)?, finite(*y)?)),
        EditValue::CurrentA(a) => V::Current(Amperes(finite(*a)?)),
        EditValue::AngleDeg(a) => V::Angle(Degrees(finite(*a)?)),
        EditValue::Mm2(a) => V::Gauge(Gauge::Metric(finite(*a)?)),
        EditValue::Awg(n) => V::Gauge(Gauge::Awg(*n)),
    })
}

/// Why a change cannot be written, for the builder.
pub fn told(why: &edit::EditProblem) -> String {
    let next = match why {
        edit::EditProblem::NoSuchThing(_) => " It may have been taken out or renamed meanwhile.",
        edit::EditProblem::NameTaken(_) => " Choose another name.",
        edit::EditProblem::NoSuchKey(_) => " docs/format.md lists the keys of each thing.",
        edit::EditProblem::WrongValue(_) => " docs/format.md says what the key takes.",
        edit::EditProblem::NotToml(_) => " Mend it in a text editor first.",
    };
    format!("{why}{next}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use loomdeck_model::{Folder, edit::apply};

    fn from(json: &str) -> Result<Vec<finding::Edit>, String> {
        read(&serde_json::from_str::<Vec<Edit>>(json).map_err(|e| e.to_string())?)
    }

    #[test]
    fn every_kind_of_value_reaches_the_files() {
        let text = "format = 1\n[robot]\nname = \"r\"\n[[part]]\nname = \"a\"\ntype = \"t\"\nat_in = [1, 1]\nface = \"front\"\n[[wire]]\nname = \"w\"\nfrom = \"a.x\"\nto = \"a.y\"\nsize_mm2 = 1\n";
        let edits = from(
            r#"[{"set":{"on":{"kind":"part","name":"a"},"key":"at","value":{"point_mm":[50.8,25.4]}}},
                {"set":{"on":{"kind":"part","name":"a"},"key":"turn","value":{"angle_deg":90}}},
                {"set":{"on":{"kind":"part","name":"a"},"key":"face","value":{"text":"back"}}},
                {"set":{"on":{"kind":"wire","name":"w"},"key":"size","value":{"awg":14}}},
                {"set":{"on":{"kind":"wire","name":"w"},"key":"length","value":{"length_mm":120.5}}},
                {"set":{"on":{"kind":"wire","name":"w"},"key":"via","value":{"texts":["p","q"]}}},
                {"unset":{"on":{"kind":"wire","name":"w"},"key":"length"}},
                {"add":{"on":{"kind":"zone","name":"head"},"keys":[["outside",{"flag":true}],["path",{"length_mm":300}]]}},
                {"set":{"on":{"kind":"robot"},"key":"limits.stall","value":{"number":2}}},
                {"set":{"on":{"kind":"wire","name":"w"},"key":"size","value":{"mm2":2.5}}}]"#,
        )
        .unwrap();
        let after = apply(&Folder::single(text), &edits).unwrap().files["robot.toml"].clone();
        for line in [
            "at_in = [2, 1]",
            "turn_deg = 90",
            "face = \"back\"",
            "size_mm2 = 2.5",
            "via = [\"p\", \"q\"]",
            "[[zone]]\nname = \"head\"\noutside = true\npath_mm = 300",
            "limits = { stall_s = 2 }",
        ] {
            assert!(after.contains(line), "{line} in\n{after}");
        }
        assert!(!after.contains("length") && !after.contains("awg"), "{after}");
    }

    #[test]
    fn what_is_no_change_is_told_in_words() {
        let wrong = |json: &str| from(json).unwrap_err();
        assert_eq!(wrong("[]"), "There is nothing to change.");
        assert_eq!(wrong(r#"[{"remove":{"on":{"kind":"part"}}}]"#), "A part needs a name.");
        assert!(wrong(r#"[{"remove":{"on":{"kind":"prat","name":"a"}}}]"#).contains("perhaps part"));
        assert!(wrong(r#"[{"remove":{"on":{"kind":"prat"}}}]"#).contains("perhaps part"));
        let long = format!(
            r#"[{{"set":{{"on":{{"kind":"robot"}},"key":"about","value":{{"text":"{}"}}}}}}]"#,
            "x".repeat(LONGEST + 1)
        );
        assert!(wrong(&long).contains("longer than"));
        assert!(wrong(r#"[{"unset":{"on":{"kind":"robot"},"key":"a\nb"}}]"#).contains("no key"));
        assert!(
            from(r#"[{"set":{"on":{"kind":"robot"},"key":"x","value":{"point_mm":[1]}}}]"#).is_err()
        );
    }

    #[test]
    fn a_number_that_is_none_is_refused() {
        let edit = Edit::Set {
            on: EditSubject { kind: "board".into(), name: None },
            key: "thickness".into(),
            value: EditValue::LengthMm(f64::NAN),
        };
        assert!(read(&[edit]).unwrap_err().contains("wants a number"));
    }
}
