//! The first pages: cautions, and what there is to know at a glance.

use super::data::{Caution, Count, Entry};
use loomdeck_model::element::{Chemistry, ElementKind};
use loomdeck_model::units::in_inches;
use loomdeck_model::{Finding, LengthUnit, MovedBy, Robot, Severity, Situation, Subject};
use loomdeck_power::{ElementResult, SituationResult};

/// What informs and what decides.
pub const DISCLAIMER: &str = "This book informs. It is computed from what the robot's files say, by models that \
    have limits; local codes and licensed practice decide. Where the book and the thing in your hands \
    disagree, measure, and believe the measurement.";

const BURN: Caution = Caution {
    title: "Batteries burn.",
    text: "A short circuit of a battery like these melts tools and lights cloth within a second. Take off rings, \
           watches and chains. Cover the poles you are not working on.",
};
const LITHIUM: Caution = Caution {
    title: "Lithium packs need a battery-management system and a supervised charge.",
    text: "Charge only with the charger made for the pack, on a surface that does not burn, with somebody in the \
           room. A pack that is swollen, dented or was once empty is not charged again.",
};
const LEAD: Caution = Caution {
    title: "Lead batteries give off gas and hold acid.",
    text: "Charge with the lid open and air moving, no flame or spark near. Acid in the eye: rinse with water for \
           fifteen minutes and see a doctor.",
};
const FUSE: Caution = Caution {
    title: "Fuse at the battery.",
    text: "The first fuse sits as near to the positive pole as it can. Never bridge a fuse, and never fit a larger \
           one because the right one is not at hand.",
};
const DISCONNECT: Caution = Caution {
    title: "Disconnect before you work.",
    text: "Take the battery's plug or lead off first and put it on last. Wait until lamps on converters and drivers \
           are out: capacitors stay charged for a while.",
};
const STOP: Caution = Caution {
    title: "A moving robot needs a stop within reach.",
    text: "Near the public, somebody who sees the robot has a hand at the stop. Try the stop, and what happens when \
           the radio link is lost, before every show, with the wheels off the ground first.",
};
const PINCH: Caution = Caution {
    title: "Motors pinch and burn.",
    text: "Keep fingers, hair and sleeves away from gears, wheels and joints. A motor that has been held fast is hot \
           enough to burn.",
};
const PUSHED: Caution = Caution {
    title: "Pushing is driving.",
    text: "A robot that is pushed or rolls downhill makes current, even switched off. Push slowly, and do not unplug \
           the battery while it rolls.",
};
const DRILLING: Caution = Caution {
    title: "Drilling.",
    text: "Wear glasses. Clamp the board on scrap, never hold it by hand; large bits grab.",
};

/// Told where a name could not be printed as it is written.
pub const MISSING_LETTERS: &str = "Some names in your files use letters that this book has no typeface for. Such a \
    letter stands here as its Unicode number between angle brackets, ⟨6F22⟩, on the pages as on the labels.";

/// The cautions: those that always hold, and those that this robot's batteries ask for.
pub fn cautions(robot: &Robot) -> Vec<Caution> {
    let mut all = vec![BURN];
    all.extend(charging(robot));
    all.extend([FUSE, DISCONNECT, STOP, PINCH, PUSHED, DRILLING]);
    all
}

/// What to mind while the robot's batteries charge.
fn charging(robot: &Robot) -> Vec<Caution> {
    let has = |test: fn(Chemistry) -> bool| {
        let mut elements = robot.parts.iter().flat_map(|p| &robot.types[p.kind.0].elements);
        elements.any(|e| matches!(&e.kind, ElementKind::Battery(b) if test(b.chemistry)))
    };
    let each = [(has(Chemistry::is_lead), LEAD), (has(Chemistry::is_lithium), LITHIUM)];
    each.into_iter().filter(|(here, _)| *here).map(|(_, c)| c).collect()
}

/// The cautions that belong beside the wiring order.
pub fn while_wiring() -> Vec<Caution> {
    vec![DISCONNECT, BURN, FUSE]
}

/// The cautions that belong beside the hole table.
pub fn while_drilling() -> Vec<Caution> {
    vec![DRILLING]
}

/// The cautions that belong beside a situation: those of charging, pushing and a motor held fast.
pub fn beside(robot: &Robot, result: &SituationResult, situation: &Situation) -> Vec<Caution> {
    let mut elements = result.parts.iter().flat_map(|p| &p.elements);
    let charges = !situation.powered.is_empty();
    let held = elements.any(|e| matches!(e, ElementResult::Motor { stalled: true, .. }));
    let pushed = situation.moved_by == MovedBy::Hand && situation.speed.0 != 0.0;
    let mut all = if charges { charging(robot) } else { Vec::new() };
    all.extend(pushed.then_some(PUSHED));
    all.extend(held.then_some(PINCH));
    all
}

/// How many findings there are of each severity that occurs.
pub fn counts(findings: &[Finding]) -> Vec<Count> {
    let each = Severity::ALL.map(|s| Count {
        severity: s.word(),
        count: findings.iter().filter(|f| f.severity == s).count(),
    });
    each.into_iter().filter(|c| c.count > 0).collect()
}

/// The state of the robot in a sentence or two.
pub fn verdict(findings: &[Finding]) -> String {
    let of = |s: Severity| findings.iter().filter(|f| f.severity == s).count();
    let things = |n: usize| if n == 1 { "one thing".to_owned() } else { format!("{n} things") };
    match (of(Severity::Danger), of(Severity::Fix), of(Severity::Look)) {
        (0, 0, 0) => "Nothing here needs to change before you build.".to_owned(),
        (0, 0, n) => format!(
            "The robot can be built as it stands. A careful builder would look at {} first.",
            things(n)
        ),
        (0, n, _) => format!(
            "Before you build, put right {}: as drawn, the robot will not work or cannot be built.",
            things(n)
        ),
        (n, 0, _) => format!("Do not build it yet: {} can hurt somebody or destroy a part.", things(n)),
        (n, m, _) => format!(
            "Do not build it yet: {} can hurt somebody or destroy a part, and {} will not work or cannot be built.",
            things(n),
            if m == 1 { "one more".to_owned() } else { format!("{m} more") }
        ),
    }
}

/// The findings, numbered like the tags.
pub fn entries(findings: &[Finding], unit: LengthUnit) -> Vec<Entry> {
    let said = |text: &str| quoted(&in_unit(text, unit));
    let each = findings.iter().enumerate().map(|(i, f)| Entry {
        number: i + 1,
        severity: f.severity.word(),
        about: about(f),
        what: said(&f.what),
        why: said(&f.why),
        remedies: f.remedies.iter().map(|r| said(&r.text)).collect(),
        source: if f.source.is_empty() {
            String::new()
        } else {
            format!("Source: {}", quoted(f.source))
        },
    });
    each.collect()
}

/// A sentence of the study with its lengths in the unit of the book.
pub fn in_unit(text: &str, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Mm => text.to_owned(),
        LengthUnit::Inch => in_inches(text),
    }
}

/// Names between back ticks, as screens show them, between quotation marks as print does.
pub fn quoted(text: &str) -> String {
    let mut open = false;
    let each = text.chars().map(|c| match c {
        '`' => {
            open = !open;
            if open { '“' } else { '”' }
        }
        c => c,
    });
    each.collect()
}

fn about(finding: &Finding) -> String {
    let mut words: Vec<String> = finding.subjects.iter().map(subject).collect();
    words.dedup();
    if words.len() > 4 {
        let more = words.len() - 3;
        words.truncate(3);
        words.push(format!("and {more} more"));
    }
    let list = words.join(", ");
    match &finding.situation {
        Some(s) => format!("{list} · in “{s}”"),
        None => list,
    }
}

fn subject(subject: &Subject) -> String {
    let kind = match subject {
        Subject::Robot | Subject::Board | Subject::Day => return format!("the {}", subject.name()),
        Subject::Part(_) => "",
        Subject::Plug(_) => "plug ",
        Subject::Wire(_) => "wire ",
        Subject::Loom(_) => "loom ",
        Subject::Cable(_) => "cable ",
        Subject::Zone(_) => "zone ",
        Subject::Pass(_) => "opening ",
        Subject::BoardMount(_) => "mount ",
        Subject::KeepOut(_) => "keep-out ",
        Subject::Situation(_) => "situation ",
        Subject::Type(_) => "part type ",
    };
    format!("{kind}{}", subject.name())
}
