//! Prints puzzles drawn from seeds and what this crate makes of them as JSON, for a solver of another kind.
//!
//! `removal FIRST COUNT PARTS WIRES CROWD`: boards of the seeds FIRST and following. Weights and prices are
//! whole numbers; things and conditions are named by their place.
#![allow(clippy::print_stdout, clippy::print_stderr)]

#[path = "../src/order/samples.rs"]
#[allow(dead_code)]
mod samples;

use loomdeck_space::order::least::{Least, least};
use loomdeck_space::order::locked::waivers;
use loomdeck_space::order::puzzle::{Condition, Puzzle, Thing};
use std::process::ExitCode;

/// Steps of a search: enough for all boards asked of it.
const EFFORT: usize = 4_000_000;
/// Sets looked at for each knot.
const LOCK_EFFORT: usize = 5_000;

fn main() -> ExitCode {
    let numbers: Vec<u64> = std::env::args().skip(1).filter_map(|a| a.parse().ok()).collect();
    let [first, count, parts, wires, crowd] = numbers[..] else {
        eprintln!("Give FIRST COUNT PARTS WIRES CROWD.");
        return ExitCode::from(2);
    };
    let size = |n: u64| usize::try_from(n).unwrap_or(0);
    let boards: Vec<String> = (first..first + count)
        // Every third board locks itself somewhere.
        .map(|seed| {
            board(
                seed,
                samples::board(size(parts), size(wires), size(crowd), seed % 3 != 0, seed),
                size(parts),
            )
        })
        .collect();
    println!("{{\"boards\":[{}]}}", boards.join(","));
    ExitCode::SUCCESS
}

fn board(seed: u64, drawn: Vec<samples::Drawn>, parts: usize) -> String {
    let things = drawn.into_iter().map(|(weight, conditions)| {
        let conditions = conditions.into_iter().map(|(price, ways)| Condition { price, ways });
        Thing { weight, conditions: conditions.collect() }
    });
    let puzzle = Puzzle { things: things.collect() };
    let removals: Vec<String> =
        (0..parts).map(|t| removal(t, least(&puzzle, t, EFFORT).as_ref())).collect();
    let locked = waivers(&puzzle, LOCK_EFFORT);
    let waived = locked.waived.iter().map(|(t, c)| format!("[{t},{c}]")).collect::<Vec<_>>().join(",");
    format!(
        "{{\"seed\":{seed},\"parts\":{parts},\"things\":{},\"removals\":[{}],\"waived\":[{waived}],\
         \"waived_exact\":{}}}",
        list(puzzle.things.iter().map(thing)),
        removals.join(","),
        locked.exact
    )
}

fn list(items: impl Iterator<Item = String>) -> String {
    format!("[{}]", items.collect::<Vec<_>>().join(","))
}

fn thing(t: &Thing) -> String {
    let way = |w: &Vec<usize>| list(w.iter().map(usize::to_string));
    let ways = |c: &Condition| list(c.ways.iter().map(way));
    format!("{{\"weight\":{},\"conditions\":{}}}", t.weight, list(t.conditions.iter().map(ways)))
}

fn removal(target: usize, found: Option<&Least>) -> String {
    match found {
        None => format!("{{\"target\":{target},\"weight\":null}}"),
        Some(f) => format!(
            "{{\"target\":{target},\"weight\":{},\"bound\":{},\"exact\":{},\"order\":{}}}",
            f.weight,
            f.bound,
            f.exact,
            list(f.order.iter().map(usize::to_string))
        ),
    }
}
