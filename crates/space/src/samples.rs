//! Robots made by rule, for tests and benches.

use std::fmt::Write;

/// One kind of module, 40 × 30 mm, terminals left and right, and one with a plug family.
pub const TYPES: &str = r#"
format = 1
[robot]
name = "sample"
about = "made by rule"
[[type]]
name = "box"
title = "box"
group = "boxes"
about = "A box with four terminals."
basis = "made up"
size_mm = [40, 30]
height_mm = 20
mass_g = 50
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 3.4
fixing = { style = "bolt-and-nut", thread = "M3", head = "pan" }
[[type.terminal]]
name = "a"
at_mm = [2, 10]
height_mm = 8
exit = "left"
fitting = "screw-clamp"
wire_mm2 = [0.2, 6]
room_for = 8
boot_mm = 0
role = "passive"
optional = true
[[type.terminal]]
name = "b"
at_mm = [2, 20]
height_mm = 8
exit = "left"
fitting = "screw-clamp"
wire_mm2 = [0.2, 6]
room_for = 8
boot_mm = 0
role = "passive"
optional = true
[[type.terminal]]
name = "c"
at_mm = [38, 10]
height_mm = 8
exit = "right"
fitting = "screw-clamp"
wire_mm2 = [0.2, 6]
room_for = 8
boot_mm = 0
role = "passive"
optional = true
[[type.terminal]]
name = "d"
at_mm = [38, 20]
height_mm = 8
exit = "right"
fitting = "screw-clamp"
wire_mm2 = [0.2, 6]
room_for = 8
boot_mm = 0
role = "passive"
optional = true
[[type.element]]
kind = "resistor"
a = "a"
b = "c"
ohms_ohm = 100
power_w = 1
"#;

/// A robot with about this many parts in rows on both faces and this many wires, a fifth of them in
/// looms, every fourth between the faces.
pub fn rows(parts: usize, wires: usize) -> String {
    rows_tied(parts, wires, wires / 15, 5)
}

/// The same with this many looms and every so-manieth wire in one of them.
pub fn rows_tied(parts: usize, wires: usize, looms: usize, every: usize) -> String {
    let per_face = parts.div_ceil(2);
    let columns = (per_face as f64).sqrt().ceil() as usize;
    let lines = per_face.div_ceil(columns);
    let (w, h) = (columns as f64 * 60.0 + 40.0, lines as f64 * 50.0 + 40.0);
    let mut text = TYPES.to_owned();
    let _ = writeln!(
        text,
        "[board]\nsize_mm = [{w}, {h}]\nthickness_mm = 9\nmaterial = \"hdpe\"\ndepth_front_mm = 60\ndepth_back_mm = 60"
    );
    for line in 0..=lines {
        let y = 15.0 + line as f64 * 50.0;
        for (k, x) in [(0, 0.25), (1, 0.75)] {
            let x = (w * x / 60.0).round() * 60.0 + 10.0;
            let _ = writeln!(
                text,
                "[[pass]]\nname = \"pass-{line}-{k}\"\nat_mm = [{x}, {y}]\ndiameter_mm = 12"
            );
        }
    }
    for i in 0..parts {
        let (face, j) = if i < per_face { ("front", i) } else { ("back", i - per_face) };
        let (column, line) = (j % columns, j / columns);
        let x =
            30.0 + column as f64 * 60.0 + if face == "back" { 43.0 } else { 0.0 } + (i * 7 % 5) as f64;
        let y = 30.0 + line as f64 * 50.0 + (i * 3 % 4) as f64;
        let _ = writeln!(
            text,
            "[[part]]\nname = \"p{i}\"\ntype = \"box\"\nface = \"{face}\"\nat_mm = [{x}, {y}]"
        );
    }
    for i in 0..looms {
        let _ = writeln!(text, "[[loom]]\nname = \"loom-{i}\"");
    }
    for i in 0..wires {
        let from = i * 13 % parts;
        let step = 1 + i * 7 % 23;
        let to = if i % 4 == 3 { (from + per_face + step) % parts } else { (from + step) % parts };
        let to = if to == from { (to + 1) % parts } else { to };
        let (a, b) = (["a", "b", "c", "d"][i % 4], ["c", "a", "d", "b"][i / 4 % 4]);
        let _ = write!(
            text,
            "[[wire]]\nname = \"w{i}\"\nfrom = \"p{from}.{a}\"\nto = \"p{to}.{b}\"\nsize_mm2 = {}\n",
            [0.5, 0.75, 1.5, 0.5][i % 4]
        );
        if i % every == 0 && looms > 0 {
            let _ = writeln!(text, "loom = \"loom-{}\"", (i / 15) % looms);
        }
    }
    text
}
