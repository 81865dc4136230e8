//! Inking a laid-out diagram.

use super::graph::{Graph, Node, SIZE};
use super::order::{LINE, port_height};
use super::route::{Net, port_text};
use super::symbols::Symbol;
use super::{Laid, lay};
use crate::face::Look;
use crate::labels::Block;
use crate::palette::{Theme, insulation};
use crate::svg::{Canvas, Ink, Spot, Type, weight};
use crate::text;

/// A drawn sheet of the diagram.
#[derive(Clone, Debug)]
pub struct DiagramSheet {
    /// The SVG file.
    pub svg: String,
    /// Width, mm.
    pub width: f64,
    /// Height, mm.
    pub height: f64,
    /// Boxes and labels, which must not overlap.
    pub blocks: Vec<Block>,
}

const EDGE: f64 = 4.0;

/// Lays out and draws a graph; with a number when it is one strip of several.
pub fn draw(graph: &Graph, theme: Theme, title: &str, number: Option<usize>) -> DiagramSheet {
    let laid = lay(graph);
    let look = Look::full_size(theme);
    let head = if number.is_some() { 8.0 } else { 0.0 };
    let low = Spot::new(-EDGE, -EDGE - head);
    let high = Spot::new(laid.size.0.max(40.0) + EDGE, laid.size.1.max(14.0) + EDGE + 5.0);
    let mut canvas = Canvas::new(low, high, title);
    canvas.rectangle(low, high, 0.0, Ink::fill(look.palette().paper));
    if let Some(number) = number {
        let set = Type::new(1.2 * SIZE, look.palette().accent).strong();
        canvas.text(Spot::new(0.0, -4.0), &number.to_string(), set);
    }
    lines(&mut canvas, graph, &laid, look);
    for (node, place) in graph.nodes.iter().zip(&laid.boxes) {
        boxed(&mut canvas, node, *place, look);
    }
    let mut blocks: Vec<Block> = laid
        .boxes
        .iter()
        .map(|(x, y, w, h)| Block::new(Spot::new(*x, *y), Spot::new(x + w, y + h)))
        .collect();
    blocks.extend(labels(&mut canvas, graph, &laid, look));
    DiagramSheet { width: canvas.width(), height: canvas.height(), svg: canvas.finish(), blocks }
}

fn lines(canvas: &mut Canvas, graph: &Graph, laid: &Laid, look: Look) {
    let p = look.palette();
    canvas.group("lines");
    let width = 0.9;
    for net in &laid.nets {
        let Some(link) = graph.links.get(net.link) else { continue };
        canvas.group_of_all("line", &wires_of(graph, net));
        let edge = Ink::line(p.ink, width + 2.0 * weight::DIMENSION).rounded();
        for (a, b) in &net.lines {
            canvas.line(*a, *b, edge);
        }
        for dot in &net.dots {
            canvas.circle(*dot, 1.1, Ink::fill(p.ink));
        }
        let base = Ink::line(insulation(link.colour.base), width).rounded();
        for (a, b) in &net.lines {
            canvas.line(*a, *b, base);
        }
        if let Some(stripe) = link.colour.stripe {
            for (a, b) in &net.lines {
                canvas.line(*a, *b, Ink::line(insulation(stripe), width * 0.4).dashed(2.0, 1.2));
            }
        }
        canvas.end();
    }
    canvas.end();
}

/// Names of the wires that a net draws: those of the links that end in it, else of the one that passes.
fn wires_of<'g>(graph: &'g Graph, net: &Net) -> Vec<&'g str> {
    let ends = net.labels.iter().map(|(link, _)| *link);
    let passes = net.labels.is_empty().then_some(net.link);
    let links = ends.chain(passes).filter_map(|i| graph.links.get(i));
    links.flat_map(|l| &l.wires).map(String::as_str).collect()
}

fn labels(canvas: &mut Canvas, graph: &Graph, laid: &Laid, look: Look) -> Vec<Block> {
    let p = look.palette();
    let mut blocks = Vec::new();
    canvas.group("labels");
    for net in &laid.nets {
        for (link, block) in &net.labels {
            let link = &graph.links[*link];
            let names: Vec<&str> = link.wires.iter().map(String::as_str).collect();
            canvas.group_of_all("label", &names);
            let middle = (block.low.y + block.high.y) / 2.0;
            let right = block.high.x - 1.6;
            let set = Type::new(SIZE, p.ink).ending();
            canvas.text(Spot::new(right, middle - 1.7), &link.size, set);
            let below = Spot::new(right, middle + 1.2 + 0.72 * SIZE);
            canvas.text(below, &link.current, set);
            canvas.end();
            let wide = text::width(&link.size, SIZE).max(text::width(&link.current, SIZE));
            blocks
                .push(Block::new(Spot::new(right - wide, block.low.y), Spot::new(right, block.high.y)));
        }
    }
    canvas.end();
    blocks
}

fn boxed(canvas: &mut Canvas, node: &Node, (x, y, w, h): (f64, f64, f64, f64), look: Look) {
    let p = look.palette();
    let flag = node.symbol == Symbol::Flag;
    let ink = if flag { look.far().filled(p.paper) } else { look.outline().filled(p.board) };
    canvas.group_of(if flag { "flag" } else { "box" }, &node.thing);
    canvas.rectangle(Spot::new(x, y), Spot::new(x + w, y + h), if flag { 0.0 } else { 1.0 }, ink);
    let names = |side: &[super::graph::Port]| {
        let each = side.iter().map(port_text).filter(|t| !t.is_empty());
        each.map(|t| text::width(&t, SIZE) + 3.0).fold(0.0, f64::max)
    };
    let inset = names(&node.left);
    let symbol = Spot::new(x + inset + 6.0, y + h / 2.0);
    node.symbol.draw(canvas, symbol, look.detail(), p.ink);
    let lines = node.name.len() + node.facts.len();
    let mut base = y + h / 2.0 - lines as f64 * LINE / 2.0 + 0.78 * LINE;
    let left = x + inset + 11.3;
    for line in &node.name {
        canvas.text(Spot::new(left, base), line, Type::new(SIZE, p.ink));
        base += LINE;
    }
    for line in &node.facts {
        canvas.text(Spot::new(left, base), line, Type::new(SIZE, p.quiet));
        base += LINE;
    }
    for (right, side) in [(false, &node.left), (true, &node.right)] {
        for (i, port) in side.iter().enumerate() {
            let at = Spot::new(if right { x + w } else { x }, y + port_height(node, right, i));
            canvas.circle(at, 0.7, Ink::fill(p.ink));
            let text = port_text(port);
            let set = Type::new(SIZE, p.quiet);
            let shift = if right { -2.0 } else { 2.0 };
            let set = if right { set.ending() } else { set };
            canvas.text(Spot::new(at.x + shift, at.y + 0.32 * SIZE), &text, set);
        }
    }
    if node.returns {
        foot(canvas, Spot::new(x + 6.0, y + h), look);
    }
    canvas.end();
}

/// A foot under a box: its return goes back to the battery.
fn foot(canvas: &mut Canvas, at: Spot, look: Look) {
    canvas.line(at, Spot::new(at.x, at.y + 2.2), look.detail());
    canvas.line(Spot::new(at.x - 1.8, at.y + 2.2), Spot::new(at.x + 1.8, at.y + 2.2), look.outline());
}
