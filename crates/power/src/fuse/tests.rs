#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::curve::*;

#[test]
fn the_curve_passes_through_its_points_and_stays_in_its_band() {
    // ISO 8820-3 (2002) type C limits (from memory), as in [`BLADE`].
    let points = blade();
    for (m, fast, slow) in BLADE {
        assert!((fastest(&points, m) / fast - 1.0).abs() < 1e-9, "{m}");
        match slow {
            Some(s) => assert!((slowest(&points, m) / s - 1.0).abs() < 1e-9, "{m}"),
            None => assert!(slowest(&points, m).is_infinite()),
        }
    }
    let (mut last_fast, mut last_slow) = (f64::INFINITY, f64::INFINITY);
    for step in 100..1500 {
        let m = f64::from(step) / 100.0;
        let (f, s) = (fastest(&points, m), slowest(&points, m));
        assert!(f <= last_fast && s <= last_slow && f <= s, "{m}: {f} {s}");
        (last_fast, last_slow) = (f, s);
    }
    assert!(fastest(&points, 1.0).is_infinite());
}

#[test]
fn warm_air_takes_a_little_off_a_rating() {
    for (t, worth) in [(25.0, 1.0), (65.0, 0.95), (85.0, 0.90)] {
        assert!((derating(t) - worth).abs() < 1e-12);
    }
    assert!(derating(200.0) >= 0.5);
}

/// A 12 V battery, a wire of this size, fuses in strip holders of these ratings one beside the other, and
/// a 2 A lamp behind each.
fn before_the_fuse(heart: f64, ratings: &[u32], trunk: f64) -> loomdeck_model::Robot {
    let mut text =
        String::from("format = 1\n[robot]\nname = \"T\"\n[[zone]]\nname = \"body\"\npath_mm = 100\n");
    let part = |name: &str, kind: &str, more: &str| {
        format!("[[part]]\nname = \"{name}\"\ntype = \"{kind}\"\nzone = \"body\"\n{more}\n")
    };
    let wire = |name: &str, from: &str, to: &str, mm2: f64| {
        format!(
            "[[wire]]\nname = \"{name}\"\nfrom = \"{from}\"\nto = \"{to}\"\nsize_mm2 = {mm2}\nlength_mm = 200\n"
        )
    };
    text += &part("battery", "lead-agm-12v-35ah", "");
    text += &part("plus", "bus-bar-m6-6", "");
    text += &part("minus", "bus-bar-m6-6", "");
    text += &wire("heart", "battery.plus", "plus.s1", heart);
    text += &wire("trunk", "minus.s1", "battery.minus", trunk);
    for (i, rating) in ratings.iter().enumerate() {
        let fuses = format!("fuses = {{ way = \"strip-{rating}a\" }}");
        text += &part(&format!("fuse-{i}"), "fuse-holder-strip", &fuses);
        text += &part(&format!("lamp-{i}"), "lamp-led-12v-5w", "");
        text += &wire(&format!("feed-{i}"), &format!("plus.s{}", i + 2), &format!("fuse-{i}.in"), 16.0);
        text += &wire(&format!("go-{i}"), &format!("fuse-{i}.out"), &format!("lamp-{i}.plus"), 16.0);
        text +=
            &wire(&format!("back-{i}"), &format!("lamp-{i}.minus"), &format!("minus.s{}", i + 2), 16.0);
    }
    text += "[[situation]]\nname = \"on\"\ncharge_percent = 80\nlasting = true\n";
    loomdeck_model::testing::robot(&text)
}

fn told(robot: &loomdeck_model::Robot) -> Vec<(&'static str, Vec<String>)> {
    let geometry = crate::testing::measured(robot);
    let study = crate::study(robot, &geometry);
    let words = |f: &loomdeck_model::Finding| {
        f.subjects.iter().map(|s| format!("{s:?}")).chain([f.what.clone(), f.why.clone()]).collect()
    };
    crate::findings(robot, &geometry, &study)
        .iter()
        .filter(|f| ["fuse-larger-than-wire-allows", "fuses-together-exceed-wire"].contains(&f.slug))
        .map(|f| (f.slug, words(f)))
        .collect()
}

#[test]
fn a_thin_wire_before_a_fuse_is_held_against_it() {
    let names = |told: &[(&str, Vec<String>)], word: &str| {
        told.iter().any(|t| t.1.iter().any(|w| w.contains(word)))
    };
    // 81 A may flow for ever through a 60 A fuse, and through the 4 mm² before it (common tables give
    // such a wire about 50 A).
    let thin = told(&before_the_fuse(4.0, &[60], 16.0));
    assert!(thin.len() == 1 && thin[0].0 == "fuse-larger-than-wire-allows", "{thin:?}");
    assert!(names(&thin, "\"heart\"") && !names(&thin, "\"trunk\""), "{thin:?}");
    // The same for the way back.
    let back = told(&before_the_fuse(16.0, &[60], 4.0));
    assert!(names(&back, "\"trunk\"") && !names(&back, "\"heart\""), "{back:?}");
    assert!(told(&before_the_fuse(16.0, &[60], 16.0)).is_empty());
}

#[test]
fn fuses_side_by_side_count_together_only_as_something_to_look_at() {
    // Each lets pass 40 A, all three 121 A.
    let three = told(&before_the_fuse(6.0, &[30, 30, 30], 6.0));
    assert!(three.iter().all(|t| t.0 == "fuses-together-exceed-wire"), "{three:?}");
    assert_eq!(three.len(), 2, "heart and trunk: {three:?}");
    assert!(told(&before_the_fuse(35.0, &[30, 30, 30], 35.0)).is_empty());
    // One that is too large for the shared wire by itself is a danger.
    let one = told(&before_the_fuse(6.0, &[30, 80], 16.0));
    assert!(one.iter().any(|t| t.0 == "fuse-larger-than-wire-allows"), "{one:?}");
}
