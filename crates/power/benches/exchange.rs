//! How long it takes to try every exchange of plugs: `cargo bench -p loomdeck-power --bench exchange`.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

use loomdeck_model::testing::robot;
use loomdeck_power::faults::exchange::keying::Question;
use loomdeck_power::faults::{Ground, exchange};
use loomdeck_power::testing::measured;

fn main() {
    divan::main();
}

/// Plugs of one family, each in every other's place; every one of them leads to something else, or
/// there are this many kinds of contents.
#[divan::bench(args = [(10, 10), (30, 8), (30, 30)], sample_count = 3)]
fn plugs(bencher: divan::Bencher, (plugs, kinds): (usize, usize)) {
    let robot = robot(&plugged(plugs, kinds));
    let geometry = measured(&robot);
    let power = loomdeck_power::study(&robot, &geometry);
    let ground = Ground::of(&robot, &geometry, &power);
    bencher.bench_local(|| exchange::study(&ground));
}

/// Re-keying alone: as many harmful pairs as not.
#[divan::bench(args = [10, 20, 30], sample_count = 5)]
fn keying(bencher: divan::Bencher, plugs: usize) {
    let edges = (0..plugs)
        .flat_map(|a| (a + 1..plugs).map(move |b| (a, b)))
        .filter(|(a, b)| (a * 7 + b * 13) % 4 < 2)
        .collect();
    let question = Question { now: vec![0; plugs], edges, arrangements: 5, genders: 2 };
    bencher.bench_local(|| question.answer());
}

/// The text of a robot with this many plugs of one family along a chain of bus bars, with this many
/// different things on them: lamps, light rings and fans for 12 V, every third a fan for 5 V behind a
/// converter, on wires of four sizes.
fn plugged(plugs: usize, kinds: usize) -> String {
    let mut text = String::from(
        "format = 1\n[robot]\nname = \"Plugs\"\n[[zone]]\nname = \"body\"\npath_mm = 300\n[board]\nsize_mm = [900, 500]\nthickness_mm = 9\nmaterial = \"hdpe\"\ndepth_front_mm = 60\ndepth_back_mm = 40\n",
    );
    fn part(text: &mut String, name: &str, kind: &str, more: &str) {
        *text += &format!("[[part]]\nname = \"{name}\"\ntype = \"{kind}\"\nzone = \"body\"\n{more}");
    }
    let mut count = 0;
    let mut wire = |text: &mut String, from: &str, to: &str, mm2: &str| {
        count += 1;
        *text += &format!(
            "[[wire]]\nname = \"w{count}\"\nfrom = \"{from}\"\nto = \"{to}\"\nsize_mm2 = {mm2}\nlength_mm = 300\n"
        );
    };
    part(&mut text, "battery", "lead-agm-12v-35ah", "");
    part(&mut text, "main", "fuse-holder-strip", "fuses = { way = \"strip-100a\" }\n");
    wire(&mut text, "battery.plus", "main.in", "25");
    let (mut plus, mut minus) = ("main.out".to_owned(), "battery.minus".to_owned());
    for i in 0..plugs {
        let kind = i % kinds;
        let size = ["0.5", "0.75", "1", "1.5"][kind / 8 % 4];
        let load = ["lamp-led-12v-5w", "led-ring-12v-12w", "fan-5v-40mm", "fan-12v-60mm"][kind % 4];
        let five = load.contains("5v");
        let fuse = ["blade-2a", "blade-3a"][kind / 4 % 2];
        part(&mut text, &format!("p{i}"), "bus-bar-m6-4", "");
        part(&mut text, &format!("m{i}"), "bus-bar-m6-4", "");
        part(
            &mut text,
            &format!("f{i}"),
            "fuse-holder-blade",
            &format!("fuses = {{ way = \"{fuse}\" }}\n"),
        );
        part(&mut text, &format!("l{i}"), load, "");
        text += &format!(
            "[[plug]]\nname = \"plug{i}\"\nfamily = \"plug-power-2\"\nzone = \"body\"\nface = \"front\"\nat_mm = [880, {}]\n",
            10 + i * 480 / plugs
        );
        wire(&mut text, &plus, &format!("p{i}.s1"), "25");
        wire(&mut text, &minus, &format!("m{i}.s1"), "25");
        wire(&mut text, &format!("p{i}.s3"), &format!("f{i}.in"), "1.5");
        let (mut from, mut back) = (format!("f{i}.out"), format!("m{i}.s3"));
        if five {
            part(&mut text, &format!("c{i}"), "converter-12v-5v-3a", "");
            wire(&mut text, &from, &format!("c{i}.in-plus"), "1.5");
            wire(&mut text, &format!("c{i}.in-minus"), &back, "1.5");
            (from, back) = (format!("c{i}.out-plus"), format!("c{i}.out-minus"));
        }
        wire(&mut text, &from, &format!("plug{i}.board.1"), size);
        wire(&mut text, &format!("plug{i}.board.2"), &back, size);
        wire(&mut text, &format!("plug{i}.body.1"), &format!("l{i}.plus"), size);
        wire(&mut text, &format!("l{i}.minus"), &format!("plug{i}.body.2"), size);
        (plus, minus) = (format!("p{i}.s2"), format!("m{i}.s2"));
    }
    text + "[[situation]]\nname = \"show\"\nlasting = true\n"
}
