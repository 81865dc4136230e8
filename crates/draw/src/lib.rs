//! Everything a builder looks at or prints: drawings, diagrams, plots, templates, the book.
//!
//! All of it is drawn from a study and nothing else, and no engineering result is computed here: a
//! number on paper is a number of the study. The same study gives the same bytes.

pub mod book;
pub mod diagram;
pub mod dxf;
pub mod face;
pub mod labels;
pub mod palette;
pub mod svg;
pub mod template;
mod text;
mod words;
