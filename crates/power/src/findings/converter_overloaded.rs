//! A converter or driver gives more than it may.

use super::{All, help, shelf};
use crate::circuit::values::{Level, amperes};
use crate::results::{ConverterState, ElementResult, Outcome, SituationResult};
use loomdeck_model::element::{Converter, ElementKind, LoadLaw};
use loomdeck_model::units::{Amperes, Volts};
use loomdeck_model::{Finding, Page, PartId, Remedy, Severity, SituationId};

/// The page.
pub const PAGE: Page = Page {
    slug: "converter-overloaded",
    severity: Severity::Fix,
    title: "A converter is asked for more than it gives",
    physics: "Beyond its limit a converter holds its current and lets its voltage fall: everything on its rail sags at once. When only the peaks exceed the limit, the rail dips with every peak.",
    source: "The converter's stated limit; the solved network",
    limits: "The limit is taken as sharp. Peaks of all loads are taken to come together.",
    before: small_robot!(
        load_type!("board", "logic", "power", 5, 4.5, 6, 3.4),
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("converter", "converter-12v-5v-3a"),
        part!("load", "board"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "converter.in-plus", 1.5, 300),
        wire!("return", "converter.in-minus", "battery.minus", 1.5, 300),
        wire!("five", "converter.out-plus", "load.plus", 1.5, 100),
        wire!("five-return", "load.minus", "converter.out-minus", 1.5, 100),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("board", "logic", "power", 5, 4.5, 6, 3.4),
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("converter", "converter-12v-5v-5a"),
        part!("load", "board"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "converter.in-plus", 1.5, 300),
        wire!("return", "converter.in-minus", "battery.minus", 1.5, 300),
        wire!("five", "converter.out-plus", "load.plus", 1.5, 100),
        wire!("five-return", "load.minus", "converter.out-minus", 1.5, 100),
        situation!("on")
    ),
};

/// One situation in which it is at its limit.
struct AtLimit {
    situation: SituationId,
    /// Not only at the peaks.
    steady: bool,
    /// What hangs on it, with what each asks for at the full output voltage.
    asked: Vec<(PartId, f64)>,
    volts: Volts,
    /// Fraction of the load at which the state ends, when it does.
    ends: Option<f64>,
}

impl AtLimit {
    fn sum(&self) -> f64 {
        self.asked.iter().map(|a| a.1).sum()
    }
}

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for (part, e, kind) in help::elements(all) {
        let ElementKind::Converter(c) = kind else { continue };
        let at: Vec<AtLimit> =
            all.study.situations.iter().filter_map(|s| at_limit(all, s, part, e, c)).collect();
        let worst =
            at.iter().reduce(|a, b| if (b.steady, b.sum()) > (a.steady, a.sum()) { b } else { a });
        if let Some(worst) = worst {
            let others: Vec<&str> = at
                .iter()
                .filter(|a| a.steady == worst.steady && a.situation != worst.situation)
                .map(|a| help::name(all, a.situation))
                .collect();
            out.push(finding(all, part, c, worst, &others));
        }
    }
}

fn at_limit(
    all: &All<'_>,
    s: &SituationResult,
    part: PartId,
    e: usize,
    c: &Converter,
) -> Option<AtLimit> {
    let ElementResult::Converter { output_voltage, output_current, peak_output_current, state, .. } =
        &s.parts[part.0].elements[e]
    else {
        return None;
    };
    // A load of constant power has no state beyond the limit: then the state shown is the last
    // before it.
    let full = |i: Amperes| i.0 >= c.limit.0 * (1.0 - help::AT_LIMIT);
    let ends = help::limiting(all, s, false) == Some(part);
    let steady = *state == ConverterState::Limiting
        || ends
        || (s.outcome != Outcome::Solved && full(*output_current));
    let ends_at_peaks = help::limiting(all, s, true) == Some(part);
    if !(steady || ends_at_peaks || full(*peak_output_current)) {
        return None;
    }
    let level = if steady { Level::Mean } else { Level::Peak };
    let outcome = if steady { &s.outcome } else { &s.peak_outcome };
    let fraction = match outcome {
        Outcome::Ends { fraction, .. } if help::limiting(all, s, !steady) == Some(part) => {
            Some(*fraction)
        }
        _ => None,
    };
    let mut asked: Vec<(PartId, f64)> = s
        .drops
        .iter()
        .filter(|d| d.fed_by == part)
        .map(|d| (d.part, asks(all, s, d.part, c, level)))
        .collect();
    asked.sort_by(|a, b| b.1.total_cmp(&a.1));
    asked.dedup_by_key(|a| a.0);
    Some(AtLimit { situation: s.situation, steady, asked, volts: *output_voltage, ends: fraction })
}

/// What a part on the rail asks for at the rail's full voltage, A.
fn asks(all: &All<'_>, s: &SituationResult, part: PartId, c: &Converter, level: Level) -> f64 {
    let situation = &all.robot.situations[s.situation.0];
    let fraction = match s.outcome {
        Outcome::Ends { fraction, .. } if fraction > 0.0 => fraction,
        _ => 1.0,
    };
    let elements = all.robot.type_of(part).elements.iter().zip(&s.parts[part.0].elements);
    elements
        .map(|(element, result)| match (&element.kind, result) {
            (ElementKind::Load(load), _) => {
                let i = amperes(situation, part, load, level);
                match load.law {
                    LoadLaw::Current => i,
                    LoadLaw::Power => i * (load.nominal / c.output),
                    LoadLaw::Resistance => i * (c.output / load.nominal),
                }
            }
            (_, ElementResult::Converter { input_current, .. }) => input_current.0 / fraction,
            (_, ElementResult::Driver { current, .. }) => current.0 / fraction,
            _ => 0.0,
        })
        .sum()
}

fn finding(all: &All<'_>, part: PartId, c: &Converter, at: &AtLimit, others: &[&str]) -> Finding {
    let name = &all.robot.parts[part.0].name;
    let situation = help::name(all, at.situation);
    let sum = Amperes(at.sum().max(c.limit.0));
    let also = match others {
        [] => String::new(),
        some => format!(
            " The same happens in {}.",
            some.iter().map(|s| format!("`{s}`")).collect::<Vec<_>>().join(", ")
        ),
    };
    let what = match (at.steady, at.ends) {
        (true, Some(f)) => format!(
            "{name} is asked for {sum} in `{situation}` and gives {}: at {:.0}\u{2009}% of the load it is at its limit, and its rail collapses.{also}",
            c.limit,
            100.0 * f
        ),
        (true, None) => format!(
            "{name} is asked for {sum} in `{situation}` and gives {}; its output sinks to {:.2}.{also}",
            c.limit, at.volts
        ),
        (false, _) => format!(
            "{name} is asked for {sum} at the peaks of `{situation}` and gives {}; its rail dips with each.{also}",
            c.limit
        ),
    };
    let takers: Vec<String> = at
        .asked
        .iter()
        .filter(|a| a.1 > 0.0)
        .take(3)
        .map(|&(p, i)| format!("{} {}", all.robot.parts[p.0].name, Amperes(i)))
        .collect();
    let why = format!(
        "Of this, {}. Beyond its limit it holds its current and lets its voltage fall.",
        takers.join(", ")
    );
    let mut f = Finding::new(
        PAGE.slug,
        if at.steady { Severity::Fix } else { Severity::Look },
        help::part(all.robot, part),
        what,
        why,
        PAGE.source,
    )
    .with_value("current_a", sum.0)
    .with_value("missing_a", sum.0 - c.limit.0)
    .with_limit("current_a", c.limit.0)
    .with_situation(situation);
    if at.steady {
        f = f.with_value("voltage_v", at.volts.0).with_limit("voltage_v", c.output.0);
    }
    if let Some(&(p, _)) = at.asked.first() {
        f = f.with_subject(help::part(all.robot, p));
    }
    if let Some(other) = larger(all, part, c, sum) {
        f = f.with_remedy(other);
    }
    f.with_remedy(Remedy::advice(match at.asked.first() {
        Some(&(p, i)) if at.asked.len() > 1 => format!(
            "Give {} a converter of its own for at least {}, or ask for {} less at once.",
            all.robot.parts[p.0].name,
            Amperes(i),
            sum - c.limit
        ),
        _ => format!("Ask for {} less at once.", sum - c.limit),
    }))
}

/// The smallest converter with the same output that gives what is asked for.
fn larger(all: &All<'_>, part: PartId, c: &Converter, sum: Amperes) -> Option<Remedy> {
    let inputs =
        all.study.situations.iter().flat_map(|s| &s.parts[part.0].elements).filter_map(|e| match e {
            // A rail that is off is no supply to run from.
            ElementResult::Converter { input_voltage: v, state, .. }
                if *state != ConverterState::Off =>
            {
                Some(*v)
            }
            _ => None,
        });
    let (low, high) =
        inputs.fold((c.window_high, Volts(0.0)), |(low, high), v| (low.min(v), high.max(v)));
    let suits = |o: &Converter| {
        let regulates = o.drop_out.is_none_or(|d| low - d > o.output);
        let runs = o.window_low < low && o.window_high >= high;
        regulates && runs && o.limit.0 > sum.0 * (1.0 + help::AT_LIMIT)
    };
    shelf::other_converter(all, part, suits, ", which can give this")
}
