//! Two rails side by side: what the higher one destroys when they touch.

use crate::faults::Ground;
use crate::faults::short::{Short, Touch};
use crate::findings::help;
use loomdeck_model::units::Volts;
use loomdeck_model::{Finding, Page, Remedy, Severity};
use std::collections::BTreeMap;

/// A lamp on 24 V and a board on 5 V: the looms, and which of them the board's wires run in.
macro_rules! two_rails {
    ($looms:literal, $board:literal) => {
        small_robot!(
            load_type!("lamp", "power", "power", 24, 10, 32, 0.5),
            load_type!("board", "logic", "power", 5, 4, 6, 0.3),
            part!("battery-a", "lead-agm-12v-12ah"),
            part!("battery-b", "lead-agm-12v-12ah"),
            part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
            part!("converter", "converter-24v-5v-5a"),
            part!("lamp", "lamp"),
            part!("board", "board"),
            $looms,
            wire!("link", "battery-a.plus", "battery-b.minus", 4, 100),
            wire!("heart", "battery-b.plus", "fuse.in", 4, 100),
            wire!("feed", "fuse.out", "converter.in-plus", 1.5, 300),
            wire!("back", "converter.in-minus", "battery-a.minus", 1.5, 300),
            wire!("lamp-feed", "fuse.out", "lamp.plus", 1.5, 300, "loom = \"head\""),
            wire!("lamp-back", "lamp.minus", "battery-a.minus", 1.5, 300, "loom = \"head\""),
            wire!("board-feed", "converter.out-plus", "board.plus", 1.5, 300, $board),
            wire!("board-back", "board.minus", "converter.out-minus", 1.5, 300, $board),
            situation!("on")
        )
    };
}

/// The page.
pub const PAGE: Page = Page {
    slug: "rails-touch",
    severity: Severity::Look,
    title: "A low rail lies beside a high one, and would not survive it",
    physics: "Where a loom chafes, two conductors touch. When both are the same rail nothing happens; when one stands higher, it lifts the lower until a fuse opens, and electronics die within milliseconds, long before. The voltage that each part gets is solved with the middles of the two wires joined. What is destroyed is named with what it bears. A signal takes no current to speak of: it gets the higher rail's full voltage.",
    source: "The parts' stated damage voltages; the solved network; common practice for keeping rails of different voltage in looms of their own",
    limits: "A bolted touch of 1 mΩ in full batteries' most loaded lasting situation. It takes worn insulation, which a tidy loom with edge protection does not give. Signals without a stated damage voltage are not judged.",
    before: two_rails!("\n[[loom]]\nname = \"head\"\n", "loom = \"head\""),
    after: two_rails!("\n[[loom]]\nname = \"head\"\n[[loom]]\nname = \"board\"\n", "loom = \"board\""),
};

pub(super) fn find(ground: &Ground<'_>, found: &Short, out: &mut Vec<Finding>) {
    let mut places: BTreeMap<&str, Vec<&Touch>> = BTreeMap::new();
    for touch in found.touching.iter().filter(|t| !t.destroys.is_empty()) {
        places.entry(&touch.place).or_default().push(touch);
    }
    for (place, touches) in places {
        out.extend(finding(ground, place, &touches));
    }
}

fn finding(ground: &Ground<'_>, place: &str, touches: &[&Touch]) -> Option<Finding> {
    let robot = ground.robot;
    let over = |t: &Touch| t.destroys.iter().map(|h| h.voltage_v / h.limit_v).fold(0.0, f64::max);
    let worst = touches.iter().max_by(|a, b| over(a).total_cmp(&over(b)))?;
    let hurt = worst
        .destroys
        .iter()
        .max_by(|a, b| (a.voltage_v / a.limit_v).total_cmp(&(b.voltage_v / b.limit_v)))?;
    let wire = |id: loomdeck_model::WireId| robot.wires[id.0].name.as_str();
    let part = &robot.parts[hurt.part.0].name;
    let more = match touches.iter().map(|t| t.destroys.len()).sum::<usize>() {
        0 | 1 => String::new(),
        n => format!(" In all {n} such cases lie in it."),
    };
    let mut f = Finding::new(
        PAGE.slug,
        Severity::Look,
        help::wire(robot, worst.low),
        format!(
            "If {} and {} touch in {place}, {part} gets {:.1}; above {} it is destroyed.{more}",
            wire(worst.high),
            wire(worst.low),
            Volts(hurt.voltage_v),
            Volts(hurt.limit_v)
        ),
        "A rail of higher voltage lies beside a lower one, and no fuse is quick enough for electronics.",
        PAGE.source,
    )
    .with_subject(help::wire(robot, worst.high))
    .with_subject(help::part(robot, hurt.part))
    .with_value("voltage_v", hurt.voltage_v)
    .with_limit("voltage_v", hurt.limit_v)
    .with_situation(&robot.situations[worst.situation.0].name);
    if let Some(current) = worst.current_a {
        f = f.with_value("current_a", current);
    }
    Some(f.with_remedy(Remedy::advice(
        "Give the two rails looms of their own, or a sleeve over one of them where they cannot part, and keep both off sharp edges.",
    )))
}
