//! `service`: what must come off to take a part off, step by step.

use crate::cli::RobotArg;
use crate::out::{self, Out};
use crate::table::Columns;
use crate::{End, Trouble};
use loomdeck_model::read::problem::nearest;
use loomdeck_model::{PlugId, Robot, WireId};
use loomdeck_space::Owner;
use loomdeck_space::access::{Job, Tool};
use loomdeck_space::order::{Order, Service, Step, StepKind};
use loomdeck_study::Study;
use schemars::JsonSchema;
use serde::Serialize;

/// Tell what must come off to take a part off, step by step. Without a part: a table of all of them.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  loomdeck service demos/samovar\n  \
    loomdeck service demos/samovar amplifier\n  loomdeck service my-robot --json\n\n\
    Exit status 1 when something on the board cannot come off at all.")]
pub struct Args {
    #[command(flatten)]
    robot: RobotArg,
    /// The part or plug to take off.
    #[arg(value_name = "PART")]
    part: Option<String>,
    /// Print JSON (its schema: `loomdeck schema service`).
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &Args, out: &mut Out) -> Result<End, Trouble> {
    let (_, study) = super::study(&args.robot.robot)?;
    let study = study.deepened();
    let nothing = Order::default();
    let order = study.deep.as_ref().map_or(&nothing, |d| &d.order);
    let wanted = wanted(&study.robot, order, args.part.as_deref())?;
    if args.json {
        out.json(&serviced(&study, order, &wanted))?;
    } else if args.part.is_some() {
        wanted.iter().for_each(|s| steps(out, &study, s));
    } else {
        table(out, &study.robot, order);
    }
    let stuck = wanted.iter().any(|s| s.impossible);
    Ok(if stuck { End::Findings } else { End::Clean })
}

/// The one part asked for, or all.
fn wanted<'o>(robot: &Robot, order: &'o Order, part: Option<&str>) -> Result<Vec<&'o Service>, Trouble> {
    let Some(part) = part else { return Ok(order.service.iter().collect()) };
    if let Some(found) = order.service.iter().find(|s| name(robot, s.owner) == part) {
        return Ok(vec![found]);
    }
    if robot.parts.iter().any(|p| p.name == part) || robot.plugs.iter().any(|p| p.name == part) {
        return Err(Trouble::Told(format!("`{part}` is not on the board.")));
    }
    let near = match nearest(part, order.service.iter().map(|s| name(robot, s.owner))) {
        Some(near) => format!("Did you mean `{near}`?"),
        None => "`loomdeck service ROBOT` lists everything on it.".to_owned(),
    };
    Err(Trouble::Told(format!("Nothing on the board is called `{part}`. {near}")))
}

fn name(robot: &Robot, owner: Owner) -> &str {
    match owner {
        Owner::Part(p) => &robot.parts[p.0].name,
        Owner::Plug(p) => &robot.plugs[p.0].name,
    }
}

fn plugs(robot: &Robot, plugs: &[PlugId]) -> Vec<String> {
    plugs.iter().map(|p| robot.plugs[p.0].name.clone()).collect()
}

fn wires(robot: &Robot, wires: &[WireId]) -> Vec<String> {
    wires.iter().map(|w| robot.wires[w.0].name.clone()).collect()
}

fn tools(tools: &[Tool]) -> Vec<String> {
    tools.iter().map(|t| t.word().to_owned()).collect()
}

fn others(robot: &Robot, s: &Service) -> Vec<String> {
    s.remove.iter().filter(|o| **o != s.owner).map(|o| name(robot, *o).to_owned()).collect()
}

fn table(out: &mut Out, robot: &Robot, order: &Order) {
    if order.service.is_empty() {
        out.paragraph(0, "Nothing stands on the board yet.");
        return;
    }
    order.good_news.iter().for_each(|news| out.paragraph(0, news));
    let mut rows =
        Columns::new(&["part", "face up", "comes off first", "wires", "screws", "tools"], &[1, 2, 5]);
    for s in &order.service {
        let first =
            if s.impossible { "cannot come off".to_owned() } else { others(robot, s).join(", ") };
        rows.row(vec![
            name(robot, s.owner).to_owned(),
            s.face.word().to_owned(),
            if first.is_empty() { "-".to_owned() } else { first },
            s.wires.len().to_string(),
            s.fasteners.to_string(),
            tools(&s.tools).join(", "),
        ]);
    }
    rows.lines().iter().for_each(|l| out.line(l));
    if order.service.iter().any(|s| s.board_out) {
        out.paragraph(0, "What is worked on from the back needs the whole board out of the body first.");
    }
}

/// The removal of one part, step by step.
fn steps(out: &mut Out, study: &Study, s: &Service) {
    let robot = &study.robot;
    let who = name(robot, s.owner);
    if s.impossible {
        out.paragraph(
            0,
            &format!(
                "{who} cannot come off as the board is. `loomdeck check` says why and what to change."
            ),
        );
        return;
    }
    let lead = match s.others() {
        0 => "nothing else comes off".to_owned(),
        n => format!("{n} other{} off first", if n == 1 { " comes" } else { "s come" }),
    };
    out.line(&format!("{}  {lead}", out::strong(who)));
    let mut lines: Vec<String> = Vec::new();
    if s.board_out {
        lines.extend(board_out(study));
    }
    let mut face = None;
    for step in &s.steps {
        // In the body only the front can be worked on, and it faces you.
        if s.board_out && face != Some(step.face) {
            face = Some(step.face);
            lines.push(format!("Put the board down with its {} up.", step.face.word()));
        }
        lines.push(told(robot, step));
    }
    for (i, line) in lines.iter().enumerate() {
        out.hanging(&format!("{:>4}. ", i + 1), 6, line);
    }
    if !s.exact {
        let text = format!(
            "The search was cut short: it may go with fewer, but not with fewer than {} others.",
            s.lower_bound
        );
        out.paragraph(2, &text);
    }
}

/// Getting the board out of the body.
fn board_out(study: &Study) -> Option<String> {
    let Some(way) = study.deep.as_ref().and_then(|d| d.order.take_out.as_ref()) else {
        return Some("Take the board out of the body.".to_owned());
    };
    let mut text = "Take the board out of the body".to_owned();
    if !way.plugs.is_empty() {
        text += &format!(": pull {}", plugs(&study.robot, &way.plugs).join(", "));
    }
    if !way.tied.is_empty() {
        text += &format!("; unscrew {}, which have no plug", wires(&study.robot, &way.tied).join(", "));
    }
    match way.mounts.len() {
        0 => {}
        1 => text += "; undo its bolt",
        n => text += &format!("; undo its {n} bolts"),
    }
    Some(text + ".")
}

fn told(robot: &Robot, step: &Step) -> String {
    let mut text = match &step.what {
        StepKind::Pull(plug) => format!("Pull {}", robot.plugs[plug.0].name),
        StepKind::Undo(list) => format!("Mark and undo {}", wires(robot, list).join(", ")),
        StepKind::TakeOff(owner) => format!("Take {} off", name(robot, *owner)),
        StepKind::Strip(owner) => {
            format!("Take off what is left of the fixing of {}", name(robot, *owner))
        }
    };
    if step.fasteners > 0 {
        text += &format!(": {} fastener{}", step.fasteners, if step.fasteners == 1 { "" } else { "s" });
    }
    if !step.tools.is_empty() {
        text += &format!(" ({})", tools(&step.tools).join(", "));
    }
    if step.both_faces {
        text += ". Both faces at once: stand the board on its edge";
    }
    text + "."
}

/// What `service --json` prints.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Serviced {
    /// Parts and plugs on the board, in the order of the files.
    pub parts: Vec<ServiceJson>,
    /// Fasteners that no order of work reaches.
    pub stuck: Vec<StuckJson>,
    /// How often the board is turned over while it is put together.
    pub turns: usize,
    /// What is well.
    pub good_news: Vec<String>,
}

/// What it takes to take one part off.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ServiceJson {
    /// Its name.
    pub name: String,
    /// `part` or `plug`.
    pub kind: String,
    /// The face that carries it.
    pub face: String,
    /// It comes off at all.
    pub possible: bool,
    /// The whole board comes out of the body first.
    pub board_out: bool,
    /// What else comes off first, in order.
    pub others: Vec<String>,
    /// What is done, in order.
    pub steps: Vec<StepJson>,
    /// Wires undone.
    pub wires: Vec<String>,
    /// Plugs pulled.
    pub plugs: Vec<String>,
    /// Fasteners undone.
    pub fasteners: usize,
    /// Tools, each once.
    pub tools: Vec<String>,
    /// How often it is worked on, when that is more than once in a while.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub often: Option<String>,
    /// No removal gets by with fewer others.
    pub exact: bool,
    /// No removal gets by with fewer others than this.
    pub others_at_least: usize,
}

/// One step.
#[derive(Debug, Serialize, JsonSchema)]
pub struct StepJson {
    /// `pull`, `undo`, `take-off` or `strip`.
    pub what: String,
    /// The plug, the wires, or the part.
    pub names: Vec<String>,
    /// The face that is up.
    pub face: String,
    /// The other face is needed at the same time.
    pub both_faces: bool,
    /// Tools in hand.
    pub tools: Vec<String>,
    /// Fasteners undone.
    pub fasteners: usize,
}

/// A fastener that no order of work reaches.
#[derive(Debug, Serialize, JsonSchema)]
pub struct StuckJson {
    /// Whose it is.
    pub part: String,
    /// Which mounting hole of its type, from 0; none when it is a terminal or a latch.
    pub hole: Option<usize>,
    /// What is in the way.
    pub by: Vec<String>,
    /// By how much.
    pub overlap_mm: f64,
}

fn serviced(study: &Study, order: &Order, wanted: &[&Service]) -> Serviced {
    let robot = &study.robot;
    Serviced {
        parts: wanted.iter().map(|s| service_json(robot, s)).collect(),
        stuck: order
            .stuck
            .iter()
            .map(|s| StuckJson {
                part: name(robot, s.owner).to_owned(),
                hole: matches!(s.job, Job::Fastener { .. }).then_some(s.hole),
                by: s.by.iter().map(|b| b.name().to_owned()).collect(),
                overlap_mm: s.overlap.0,
            })
            .collect(),
        turns: order.turns,
        good_news: order.good_news.clone(),
    }
}

fn service_json(robot: &Robot, s: &Service) -> ServiceJson {
    ServiceJson {
        name: name(robot, s.owner).to_owned(),
        kind: match s.owner {
            Owner::Part(_) => "part",
            Owner::Plug(_) => "plug",
        }
        .to_owned(),
        face: s.face.word().to_owned(),
        possible: !s.impossible,
        board_out: s.board_out,
        others: others(robot, s),
        steps: s.steps.iter().map(|step| step_json(robot, step)).collect(),
        wires: wires(robot, &s.wires),
        plugs: plugs(robot, &s.plugs),
        fasteners: s.fasteners,
        tools: tools(&s.tools),
        often: s.often.clone(),
        exact: s.exact,
        others_at_least: s.lower_bound,
    }
}

fn step_json(robot: &Robot, step: &Step) -> StepJson {
    let (what, names) = match &step.what {
        StepKind::Pull(plug) => ("pull", plugs(robot, &[*plug])),
        StepKind::Undo(list) => ("undo", wires(robot, list)),
        StepKind::TakeOff(owner) => ("take-off", vec![name(robot, *owner).to_owned()]),
        StepKind::Strip(owner) => ("strip", vec![name(robot, *owner).to_owned()]),
    };
    StepJson {
        what: what.to_owned(),
        names,
        face: step.face.word().to_owned(),
        both_faces: step.both_faces,
        tools: tools(&step.tools),
        fasteners: step.fasteners,
    }
}
