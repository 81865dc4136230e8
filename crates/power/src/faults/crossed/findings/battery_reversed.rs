//! A battery the wrong way round destroys what hangs on it.

use crate::faults::Ground;
use crate::faults::crossed::{Crossed, FLOWS, Reversed, Which};
use crate::findings::help;
use loomdeck_model::units::{Amperes, Seconds, Volts};
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "battery-reversed",
    severity: Severity::Look,
    title: "A battery put in the wrong way round destroys parts",
    physics: "Swap a battery's two leads once, and every part gets its supply backwards. Electronics conduct through the diodes inside their transistors: the current is that of a short, a fuse opens at best, and by then the part is dead; electrolytic capacitors burst. One battery of a series turned round takes its voltage off the others instead: the pack stands near zero, and the turned one is charged backwards as soon as a charger comes.\n\nThe network is solved with the battery led the other way, fuses whole. A series diode or an ideal-diode module in front of the parts keeps all of it away; a plug that fits one way only keeps it away after the first time.",
    source: "The solved network; common practice that nothing electronic bears more than 0.5 V the wrong way round unless it says so",
    limits: "Full batteries, the lasting situation with most switches closed. Motors and plain lamps bear either polarity.",
    before: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "blade-3a", "lamp", 1.5, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-3a\" }"),
        part!("diode", "schottky-20a-60v"),
        part!("load", "lamp"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("first", "fuse.out", "diode.anode", 1.5, 300),
        wire!("feed", "diode.cathode", "load.plus", 1.5, 300),
        wire!("return", "load.minus", "battery.minus", 1.5, 300),
        situation!("on")
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Crossed, out: &mut Vec<Finding>) {
    // The whole pack stands for its single batteries where it harms as much.
    let harmful = |which: Which| {
        let all = found.reversed.iter().filter(move |r| r.which == which && !r.hurt.is_empty());
        all.max_by_key(|r| r.hurt.len())
    };
    if let Some(worst) = harmful(Which::Pack).or_else(|| harmful(Which::One)) {
        out.push(finding(ground, worst));
    }
}

fn finding(ground: &Ground<'_>, r: &Reversed) -> Finding {
    let robot = ground.robot;
    let name = |p: loomdeck_model::PartId| robot.parts[p.0].name.as_str();
    let batteries: Vec<&str> = r.parts.iter().map(|&p| name(p)).collect();
    let worst = &r.hurt[0];
    let more = match r.hurt.len() {
        1 => String::new(),
        2 => ", and another part gets what it does not bear".to_owned(),
        n => format!(", and {} more parts get what they do not bear", n - 1),
    };
    let current = r.current_a.unwrap_or(0.0);
    let ends = match &r.opens {
        Some((part, way, time)) => format!(
            "{:.0} flow; the fuse in {} {way} opens within {}, too late for them.",
            Amperes(current),
            name(*part),
            Seconds(*time)
        ),
        None if current < FLOWS => "Next to no current flows, and no fuse opens.".to_owned(),
        None => format!("{:.0} flow, and no fuse opens.", Amperes(current)),
    };
    let mut f = Finding::new(
        PAGE.slug,
        Severity::Look,
        help::part(robot, r.parts.first().copied().unwrap_or(worst.part)),
        format!(
            "With {} the wrong way round, {} gets {:.1}{more}. {ends}",
            batteries.join(" and "),
            name(worst.part),
            Volts(worst.voltage_v)
        ),
        "No diode stands between the battery and these parts.",
        PAGE.source,
    )
    .with_subject(help::part(robot, worst.part))
    .with_value("voltage_v", worst.voltage_v)
    .with_limit("voltage_v", worst.limit_v)
    .with_value("current_a", current)
    .with_situation(&robot.situations[r.situation.0].name);
    f = f.with_remedy(Remedy::advice(
        "Connect the battery through a plug that fits one way only, mark its poles, and check the polarity with a meter before you mate it for the first time; or put a diode made for the current in front of the electronics.",
    ));
    f
}
