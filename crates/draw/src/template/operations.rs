//! The holes of a face with the drill plan's operations as groups: a drawing to look at, and for programs that
//! read SVG.

use super::{Template, outline_of, size};
use crate::face::{Look, Matter};
use crate::palette::Theme;
use crate::svg::{Canvas, Ink, Spot, Type};
use loomdeck_make::plan::{Lies, Operation, Stage, Stop};
use loomdeck_model::Face;

/// Paper around the board, mm.
const MARGIN: f64 = 6.0;

/// Draws a face at 1:1: the outline, and for each stage of the drill plan on that face a group of class
/// `operation`, named like `5 drill through 5.5 mm bit`, with a group of class `stop` for each stop, in order,
/// named by its hole. Stages with the board on its edge are on both. `None` without a board.
pub fn operations(matter: &Matter<'_>, face: Face, theme: Theme) -> Option<String> {
    let template = Template::new(matter, face)?;
    let look = Look::full_size(theme);
    let bounds = crate::labels::Block::over(template.outline.iter().copied())?.grown(MARGIN);
    let title = format!("{}: holes, {}", matter.robot.name, template.view.words());
    let mut canvas = Canvas::new(bounds.low, bounds.high, &title);
    let palette = look.palette();
    canvas.rectangle(bounds.low, bounds.high, 0.0, Ink::fill(palette.paper));
    canvas.group("outline");
    canvas.corners(&template.outline, true, look.outline().filled(palette.board));
    canvas.end();
    for stage in &matter.making.plan.stages {
        if stage.lies == Lies::Up(face) || stage.lies == Lies::OnEdge {
            draw_stage(&mut canvas, &template, stage, look);
        }
    }
    labels(&mut canvas, &template, look);
    Some(canvas.finish())
}

fn draw_stage(canvas: &mut Canvas, template: &Template<'_>, stage: &Stage, look: Look) {
    let tool = stage.tool.word(template.unit());
    let name = format!("{} {} {tool}", stage.number, stage.operation.word()).replace('\u{2009}', " ");
    canvas.group_of("operation", &name);
    for stop in &stage.stops {
        let hole = stop.hole.map_or_else(|| "outer edge".to_owned(), |h| (h + 1).to_string());
        canvas.group_of("stop", &hole);
        draw_stop(canvas, template, stage.operation, stop, look);
        canvas.end();
    }
    canvas.end();
}

fn draw_stop(
    canvas: &mut Canvas,
    template: &Template<'_>,
    operation: Operation,
    stop: &Stop,
    look: Look,
) {
    let at = template.view.spot(stop.at);
    let hole = stop.hole.and_then(|h| template.matter.making.holes.get(h));
    match operation {
        Operation::Mark => crate::face::cross(canvas, at, 2.5, look.dimension()),
        Operation::Saw | Operation::EdgeRelief => match hole {
            Some(hole) if hole.is_sawn() => {
                canvas.path(&outline_of(template.view, hole, Spot::default()), look.detail());
            }
            Some(hole) => canvas.circle(at, hole.diameter().0 / 2.0 + 0.5, look.dimension()),
            None => canvas.corners(&template.outline, true, look.dimension()),
        },
        Operation::Countersink | Operation::Pocket => {
            if let Some(d) = stop.diameter {
                canvas.circle(at, d.0 / 2.0, look.detail().dashed(1.0, 0.8));
            }
        }
        // What leaves no line of its own.
        Operation::Deburr | Operation::File => {}
        _ => {
            if let Some(d) = stop.diameter {
                canvas.circle(at, d.0 / 2.0, look.detail());
            }
        }
    }
}

fn labels(canvas: &mut Canvas, template: &Template<'_>, look: Look) {
    canvas.group("labels");
    for (hole, placed, form) in &template.labels {
        if let [from, to] = placed.leader[..] {
            let r = template.matter.making.holes[*hole].diameter().0 / 2.0;
            let far = from.distance(to);
            if far > r + 3.0 {
                canvas.line(from, to.towards(from, (r + 1.0) / far), look.dimension());
            }
        }
        let c = placed.block.centre();
        let set = Type::new(size(), look.palette().ink).centred();
        canvas.text(Spot::new(c.x, c.y + 0.32 * size()), &form.lines[0], set);
    }
    canvas.end();
}
