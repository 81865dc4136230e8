//! `situations`: currents, voltages and temperatures in every situation.

use crate::cli::RobotArg;
use crate::out::{self, Out};
use crate::table::Columns;
use crate::{End, Trouble, json};
use loomdeck_model::Robot;
use loomdeck_model::units::three_digits;
use loomdeck_power::{Outcome, SituationResult};

/// Show currents, voltages and temperatures in every situation.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  loomdeck situations demos/samovar\n  \
    loomdeck situations demos/samovar --only show\n  loomdeck situations my-robot --json")]
pub struct Args {
    #[command(flatten)]
    robot: RobotArg,
    /// Only the situation of this name.
    #[arg(long, value_name = "NAME")]
    only: Option<String>,
    /// Print JSON (its schema: `loomdeck schema situations`).
    #[arg(long)]
    json: bool,
    /// Print the solved networks as JSON, with every number, for a solver of your own.
    #[arg(long, conflicts_with = "json")]
    networks: bool,
}

/// Runs it.
pub fn run(args: &Args, out: &mut Out) -> Result<End, Trouble> {
    let (_, study) = super::study(&args.robot.robot)?;
    let robot = &study.robot;
    if let Some(name) = &args.only
        && robot.situation(name).is_none()
    {
        let names: Vec<&str> = robot.situations.iter().map(|s| s.name.as_str()).collect();
        return Err(Trouble::Told(format!(
            "There is no situation called `{name}`. There is: {}.",
            names.join(", ")
        )));
    }
    let wanted = |s: &SituationResult| {
        args.only.as_ref().is_none_or(|n| robot.situations[s.situation.0].name == *n)
    };
    if args.networks {
        let situations = loomdeck_power::export(robot, &study.geometry);
        let mut all = loomdeck_power::ExportedStudy { situations };
        all.situations.retain(|s| args.only.as_ref().is_none_or(|n| s.situation == *n));
        out.json(&all)?;
        return Ok(End::Clean);
    }
    if args.json {
        let mut all = json::situations(robot, &study.power);
        all.situations.retain(|s| args.only.as_ref().is_none_or(|n| s.name == *n));
        out.json(&all)?;
        return Ok(End::Clean);
    }
    if robot.situations.is_empty() {
        out.paragraph(0, "This robot has no situations yet. Add a `[[situation]]` with a name and the switches that are closed.");
    }
    for s in study.power.situations.iter().filter(|s| wanted(s)) {
        situation(out, robot, s)?;
    }
    Ok(End::Clean)
}

fn situation(out: &mut Out, robot: &Robot, s: &SituationResult) -> Result<(), Trouble> {
    let described = &robot.situations[s.situation.0];
    out.line(&format!("{}  {}", out::strong(&described.name), described.about));
    match &s.outcome {
        Outcome::Solved => {}
        Outcome::Ends { fraction, part, .. } => {
            let who = part.map_or("the supply", |p| robot.parts[p.0].name.as_str());
            let text =
                format!("Only up to {:.0} % of the load: there `{who}` drops out.", fraction * 100.0);
            out.paragraph(2, &text);
        }
        Outcome::Chatters { part } => {
            out.paragraph(2, &format!("`{}` opens and closes without end.", robot.parts[part.0].name));
        }
        Outcome::Unsolved { at } => {
            out.paragraph(2, &format!("No solution: the equations break down at `{at}`."))
        }
    }
    let mut wires = Columns::new(&["  wire", "size", "A", "A rms", "A peak", "mV", "°C"], &[]);
    for w in s.wires.iter().filter(|w| w.fed) {
        let wire = &robot.wires[w.wire.0];
        wires.row(vec![
            format!("  {}", wire.name),
            wire.gauge.to_string(),
            three_digits(w.current.0),
            three_digits(w.rms.0),
            three_digits(w.peak.0),
            three_digits(w.drop.0 * 1000.0),
            w.temperature.map_or_else(|| "outside model".to_owned(), |t| format!("{:.0}", t.0)),
        ]);
    }
    let mut parts = Columns::new(&["  part", "W in", "W heat"], &[]);
    for p in s.parts.iter().filter(|p| p.power.0.abs() > 0.05 || p.heat.0 > 0.05) {
        let name = format!("  {}", robot.parts[p.part.0].name);
        parts.row(vec![name, three_digits(p.power.0), three_digits(p.heat.0)]);
    }
    for line in
        wires.lines().into_iter().chain([String::new()]).chain(parts.lines()).chain([String::new()])
    {
        out.line(&line);
    }
    Ok(())
}
