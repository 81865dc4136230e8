//! A missing return sends its current through a thin wire.

use crate::faults::Ground;
use crate::faults::crossed::{Crossed, Detour, LostReturn};
use crate::findings::help;
use loomdeck_model::units::{Amperes, Celsius, Volts};
use loomdeck_model::{Edit, EditValue, Finding, Page, Remedy, Severity, Subject};

/// The type of a load with a line, whose signal ground is its return.
macro_rules! player {
    () => {
        concat!(
            "\n[[type]]\nname = \"player\"\ntitle = \"player\"\ngroup = \"loads\"\nabout = \"A load with a line.\"\n",
            "basis = \"Invented for this page.\"\nsize_mm = [30, 30]\nheight_mm = 20\nmass_g = 50\nnoise = \"audio\"\n",
            "fixing = { style = \"loose\" }\nterminal = [\n",
            "  { name = \"plus\", at_mm = [5, 15], height_mm = 5, exit = \"left\", fitting = \"screw-clamp\", wire_mm2 = [0.2, 16], role = \"positive\", room_for = 2 },\n",
            "  { name = \"minus\", at_mm = [25, 15], height_mm = 5, exit = \"right\", fitting = \"screw-clamp\", wire_mm2 = [0.2, 16], role = \"return\", room_for = 3 },\n",
            "  { name = \"ground\", node = \"minus\", at_mm = [25, 25], height_mm = 5, exit = \"right\", fitting = \"screw-clamp\", wire_mm2 = [0.1, 2], role = \"signal-return\", optional = true },\n",
            "]\n[[type.element]]\nkind = \"load\"\nplus = \"plus\"\nminus = \"minus\"\nlaw = \"current\"\nnominal_v = 12\n",
            "brown_out_v = 5\ndamage_v = 20\nusual = \"on\"\n",
            "activities = [{ name = \"on\", mean_a = 0.05 }, { name = \"loud\", mean_a = 12 }]\n"
        )
    };
}

/// The page.
pub const PAGE: Page = Page {
    slug: "return-through-signal",
    severity: Severity::Fix,
    title: "When a return comes off, its current burns a thin wire",
    physics: "A part is fed by two wires, but often joined to others by a third: the return of an audio or control signal, the screen of a cable, a bond. When its own return comes off (a loose screw, a contact that was not pushed home), the current does not stop: it takes that third way. A signal's wire is made for milliamperes; it is not behind a fuse that would protect it, because nobody meant it to carry anything. It overheats in its loom, and what it joins gets the voltage along it.\n\nEach return wire that carries current is taken out in thought, one after the other, in the lasting situation in which it carries most; the network is solved again.",
    source: "The solved network; heat balance of `wire-too-hot`; common practice of two returns, or of isolated signals, where a signal joins two supplies",
    limits: "One wire at a time, loads as in the situation. Signals carry current only through terminals whose node is the part's return.",
    before: small_robot!(
        player!(),
        part!("battery", "lead-agm-12v-18ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-20a\" }"),
        part!("amp", "player"),
        part!("box", "player"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("amp-plus", "fuse.out", "amp.plus", 4, 300),
        wire!("amp-minus", "amp.minus", "battery.minus", 4, 300),
        wire!("box-plus", "amp.plus", "box.plus", 4, 300),
        wire!("box-minus", "box.minus", "battery.minus", 4, 300),
        wire!("line-ground", "amp.ground", "box.ground", 0.14, 300),
        situation!("loud", "activity = { amp = \"loud\" }")
    ),
    after: small_robot!(
        player!(),
        part!("battery", "lead-agm-12v-18ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-20a\" }"),
        part!("amp", "player"),
        part!("box", "player"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("amp-plus", "fuse.out", "amp.plus", 4, 300),
        wire!("amp-minus", "amp.minus", "battery.minus", 4, 300),
        wire!("amp-minus-again", "amp.minus", "battery.minus", 4, 300),
        wire!("box-plus", "amp.plus", "box.plus", 4, 300),
        wire!("box-minus", "box.minus", "battery.minus", 4, 300),
        wire!("line-ground", "amp.ground", "box.ground", 0.14, 300),
        situation!("loud", "activity = { amp = \"loud\" }")
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Crossed, out: &mut Vec<Finding>) {
    for lost in &found.returns {
        let burns = |d: &&Detour| d.signal && d.reaches_c.is_none_or(|c| c > d.limit_c);
        let worst = lost.detours.iter().find(burns);
        if worst.is_some() || !lost.hurt.is_empty() {
            out.push(finding(ground, lost, worst));
        }
    }
}

fn finding(ground: &Ground<'_>, lost: &LostReturn, worst: Option<&Detour>) -> Finding {
    let robot = ground.robot;
    let name = &robot.wires[lost.wire.0].name;
    let carried = Amperes(lost.carried_a);
    let burnt = worst.map_or(String::new(), |d| {
        let wire = &robot.wires[d.wire.0];
        let reached = match d.reaches_c {
            Some(c) => format!("settles at {:.0}, and bears {:.0}", Celsius(c), Celsius(d.limit_c)),
            None => "burns".to_owned(),
        };
        format!(" {} flow through {} instead, which {reached}.", Amperes(d.current_a), wire.name)
    });
    let hurt = lost.hurt.first().map_or(String::new(), |h| {
        let limit = if h.limit_v > 0.0 { format!(" of {}", Volts(h.limit_v)) } else { String::new() };
        format!(" {} gets {:.1}{limit}.", robot.parts[h.part.0].name, Volts(h.voltage_v))
    });
    let mut f = Finding::new(
        PAGE.slug,
        Severity::Fix,
        help::wire(robot, lost.wire),
        format!("When {name} comes off, its {carried} find another way.{burnt}{hurt}"),
        "The return of a signal, a screen or a bond joins what this wire alone should join.",
        PAGE.source,
    )
    .with_value("carried_a", lost.carried_a)
    .with_situation(&robot.situations[lost.situation.0].name);
    if let Some(d) = worst {
        f = f
            .with_subject(help::wire(robot, d.wire))
            .with_value("current_a", d.current_a)
            .with_limit("temperature_c", d.limit_c);
        if let Some(c) = d.reaches_c {
            f = f.with_value("temperature_c", c);
        }
    }
    if let Some(h) = lost.hurt.first() {
        f = f
            .with_subject(help::part(robot, h.part))
            .with_value("voltage_v", h.voltage_v)
            .with_limit("voltage_v", h.limit_v);
    }
    f.with_remedy(second(ground, lost)).with_remedy(Remedy::advice(
        "Isolate the signal (a transformer or an isolator in its line), so that nothing but the return joins the two.",
    ))
}

/// A second return beside the first.
fn second(ground: &Ground<'_>, lost: &LostReturn) -> Remedy {
    let robot = ground.robot;
    let wire = &robot.wires[lost.wire.0];
    let free = |name: &String| robot.wires.iter().all(|w| w.name != *name);
    let name = (2..).map(|n| format!("{}-{n}", wire.name)).find(free).unwrap_or_default();
    let mut keys = vec![
        ("from".to_owned(), EditValue::Text(robot.landing_word(wire.from))),
        ("to".to_owned(), EditValue::Text(robot.landing_word(wire.to))),
        ("size".to_owned(), EditValue::Gauge(wire.gauge)),
    ];
    if let Some(loom) = wire.loom {
        keys.push(("loom".to_owned(), EditValue::Text(robot.looms[loom.0].name.clone())));
    }
    if let Some(length) = wire.length {
        keys.push(("length".to_owned(), EditValue::Length(length)));
    }
    Remedy::edit(
        format!("Lay a second return, {name}, beside {}: one may come off then.", wire.name),
        vec![Edit::Add { on: Subject::Wire(name), keys }],
    )
}
