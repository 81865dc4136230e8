//! Answers of the exchange and upset rooms as JSON, for `verify/`.
//!
//! `exchange keying SEED COUNT` prints random questions of re-keying with the answers found.
//! `exchange networks DEMO` prints networks of wrong plugs in the robot DEMO with their solutions, and the
//! ground shifts of its signals with the networks they were read from.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a tool for developers")]

mod common;

use loomdeck_model::Robot;
use loomdeck_power::circuit::Circuit;
use loomdeck_power::circuit::values::Level;
use loomdeck_power::faults::exchange::keying::Question;
use loomdeck_power::faults::exchange::{Deed, network::alterations};
use loomdeck_power::faults::{Ground, exchange, upset};
use loomdeck_power::operate::{export, from_nothing};
use loomdeck_power::testing::measured;
use serde_json::{Value, json};
use std::process::ExitCode;

fn main() -> ExitCode {
    let words = common::words();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    common::print(match words[..] {
        ["keying", seed, count] => match (seed.parse(), count.parse()) {
            (Ok(seed), Ok(count)) => Ok(keying(seed, count)),
            _ => Err("SEED and COUNT are whole numbers.".to_owned()),
        },
        ["networks", folder] => common::read(folder).map(|robot| networks(&robot)),
        _ => Err("exchange keying SEED COUNT | exchange networks FOLDER".to_owned()),
    })
}

/// A generator of small numbers, the same everywhere: xorshift64* (S. Vigna, 2016).
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: u64) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33) % n
    }
}

/// Random graphs of 4 to 30 plugs, of every density, with one to five arrangements.
fn keying(seed: u64, count: usize) -> Value {
    let mut dice = Dice(seed.max(1));
    let mut all = Vec::new();
    for _ in 0..count {
        let plugs = 4 + dice.below(27) as usize;
        let (arrangements, genders) = (1 + dice.below(5) as usize, 1 + dice.below(2) as usize);
        let density = 5 + dice.below(90);
        let colours = (arrangements * genders) as u64;
        let now: Vec<usize> = (0..plugs).map(|_| dice.below(colours) as usize).collect();
        let mut edges = Vec::new();
        for a in 0..plugs {
            for b in a + 1..plugs {
                if dice.below(100) < density {
                    edges.push((a, b));
                }
            }
        }
        let question = Question { now, edges, arrangements, genders };
        let answer = question.answer();
        all.push(json!({
            "now": question.now, "edges": question.edges, "arrangements": question.arrangements,
            "genders": question.genders, "colours": answer.colours, "cost": answer.cost, "least": answer.least,
        }));
    }
    json!({ "questions": all })
}

/// Every wrong and swapped pair that was looked at, with its network.
fn networks(robot: &Robot) -> Value {
    let geometry = measured(robot);
    let power = loomdeck_power::study(robot, &geometry);
    let ground = Ground::of(robot, &geometry, &power);
    let found = exchange::study(&ground);
    let mut all = Vec::new();
    for case in found.cases.iter().filter(|c| c.like.is_none() && !matches!(c.deed, Deed::Out { .. })) {
        let altered: Circuit =
            ground.circuit.altered(robot, &alterations(robot, &ground.circuit, case.deed));
        for &id in &case.situations {
            let situation = &robot.situations[id.0];
            let solution = from_nothing(&altered, robot, situation, Level::Mean, &ground.ohms(id));
            if solution.end.is_none() {
                let named = format!("{:?} in {}", case.deed, situation.name);
                all.push(json!(export(&altered, &named, &solution)));
            }
        }
    }
    let upset = upset::study(&ground);
    let mut shifts = Vec::new();
    for link in upset.links.iter().filter(|l| !l.shifts.is_empty()) {
        let Some((from, to)) = upset::links::grounds(&ground, link) else { continue };
        for shift in &link.shifts {
            shifts.push(json!({
                "from": from, "to": to, "situation": robot.situations[shift.situation.0].name,
                "mean_mv": shift.mean_mv, "peak_mv": shift.peak_mv,
            }));
        }
    }
    let mut grounds = Vec::new();
    for (s, situation) in robot.situations.iter().enumerate() {
        let ohms = ground.ohms(loomdeck_model::SituationId(s));
        for (level, word) in [(Level::Mean, "mean_mv"), (Level::Peak, "peak_mv")] {
            let solution = from_nothing(&ground.circuit, robot, situation, level, &ohms);
            if solution.end.is_none() {
                let exported = export(&ground.circuit, &situation.name, &solution);
                grounds.push(json!({ "level": word, "network": exported }));
            }
        }
    }
    json!({ "exchanges": all, "grounds": grounds, "shifts": shifts })
}
