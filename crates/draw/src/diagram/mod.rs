//! The power diagram, laid out by the program: batteries on the left, loads on the right.
//!
//! Supplies and motor wires are drawn; returns are marked by a foot under the part. The layout is
//! the usual one for layered graphs (Sugiyama, Tagawa, Toda, 1981): a layer for each step from the
//! battery, fewer crossings by barycentres, heights by least squares, and level and upright lines
//! with a track of their own. A large diagram is cut into strips where it branches; flags say where
//! a line goes on.

mod graph;
mod order;
mod paint;
mod route;
mod sheets;
mod symbols;
pub mod tree;

pub use graph::{Given, Graph, Link, Node, Port};
pub use paint::{DiagramSheet, draw};
pub use sheets::{cut, shelves};

/// A place in the layout, mm.
#[derive(Clone, Debug)]
pub struct Laid {
    /// Per node: left edge, upper edge, width, height.
    pub boxes: Vec<(f64, f64, f64, f64)>,
    /// Per net: its lines.
    pub nets: Vec<route::Net>,
    /// Size of all.
    pub size: (f64, f64),
}

/// Lays a graph out.
pub fn lay(graph: &Graph) -> Laid {
    let layers = order::layers(graph);
    let mut plan = order::Plan::new(graph, &layers);
    plan.reduce_crossings();
    plan.set_heights();
    route::run(graph, &plan)
}
