//! What is drawn, from where it is seen, and how large its letters and lines are.

use crate::palette::{Palette, Theme};
use crate::svg::{Ink, Spot, Type, weight};
use crate::text;
use loomdeck_make::Making;
use loomdeck_model::wire::{BaseColour, Colour};
use loomdeck_model::{Face, Finding, Function, Placement, Point, Robot, WireId};
use loomdeck_space::Geometry;

/// All that a drawing of the board shows.
#[derive(Clone, Copy, Debug)]
pub struct Matter<'a> {
    /// The robot.
    pub robot: &'a Robot,
    /// Where its wires run.
    pub geometry: &'a Geometry,
    /// Its holes and the colours of its wires.
    pub making: &'a Making,
    /// What the builder must know, in the order of their numbers.
    pub findings: &'a [Finding],
}

impl Matter<'_> {
    /// Colour of a wire: as proposed for cutting, else the builder's, else the usual one.
    pub fn colour(&self, wire: WireId) -> Colour {
        let cut = self.making.cuts.iter().find(|c| c.wire == wire);
        let own = &self.robot.wires[wire.0];
        cut.map(|c| c.spool.colour).or(own.colour).unwrap_or_else(|| usual(own.function))
    }
}

fn usual(function: Function) -> Colour {
    Colour::plain(match function {
        Function::Supply => BaseColour::Red,
        Function::Return | Function::SignalReturn => BaseColour::Black,
        Function::Motor => BaseColour::Brown,
        Function::Audio => BaseColour::White,
        Function::Logic => BaseColour::Blue,
        Function::Radio => BaseColour::Violet,
        Function::Screen => BaseColour::Grey,
        Function::Bond => BaseColour::Green,
    })
}

/// From where the board is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    /// Looking at a face.
    Face(Face),
    /// Looking at the front, through the board.
    SeeThrough,
}

impl View {
    /// The face that is drawn in full.
    pub const fn near(self) -> Face {
        match self {
            Self::Face(face) => face,
            Self::SeeThrough => Face::Front,
        }
    }
    /// A point of the board on the drawing.
    pub fn spot(self, p: Point) -> Spot {
        match self.near() {
            Face::Front => Spot::new(p.x, -p.y),
            Face::Back => Spot::new(-p.x, -p.y),
        }
    }
    /// Several.
    pub fn corners(self, points: &[Point]) -> Vec<Spot> {
        points.iter().map(|p| self.spot(*p)).collect()
    }
    /// A point of a part's own frame on the drawing.
    pub fn local(self, placement: &Placement, p: Point) -> Spot {
        self.spot(placement.to_board(p))
    }
    /// Wires and tags of this face are drawn.
    pub const fn shows(self, face: Face) -> bool {
        match self {
            Self::Face(own) => own as u8 == face as u8,
            Self::SeeThrough => true,
        }
    }
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Face(Face::Front) => "Front, seen from the front",
            Self::Face(Face::Back) => "Back, seen from the back",
            Self::SeeThrough => "Both faces, seen through from the front",
        }
    }
}

/// Theme and size of letters and lines.
#[derive(Clone, Copy, Debug)]
pub struct Look {
    /// Light or dark.
    pub theme: Theme,
    /// Units of the drawing for one millimetre of paper: 1 when it is printed at full size, 2 at half.
    pub per_mm: f64,
    /// Names, tags and marks are left out: a picture only.
    pub bare: bool,
    /// Whether the space of tools and hands is drawn.
    pub reach: Reach,
}

/// Which of the spaces that tools and hands sweep are drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Reach {
    /// None.
    #[default]
    Hidden,
    /// Those in which something stands, with no other way that is free.
    Blocked,
    /// Of everything that must be reached, the way that is used.
    All,
}

impl Look {
    /// For a drawing that is printed at full size.
    pub const fn full_size(theme: Theme) -> Self {
        Self { theme, per_mm: 1.0, bare: false, reach: Reach::Hidden }
    }
    /// Its colours.
    pub const fn palette(self) -> Palette {
        self.theme.palette()
    }
    /// Size of type for names: capitals of 3 mm on paper.
    pub fn size(self) -> f64 {
        text::size_for_capitals(3.0) * self.per_mm
    }
    /// Type for names.
    pub fn type_main(self) -> Type<'static> {
        Type::new(self.size(), self.palette().ink)
    }
    /// Type for what matters less.
    pub fn type_quiet(self) -> Type<'static> {
        Type::new(self.size(), self.palette().quiet)
    }
    /// Outlines.
    pub fn outline(self) -> Ink<'static> {
        Ink::line(self.palette().ink, weight::OUTLINE * self.per_mm).rounded()
    }
    /// Details.
    pub fn detail(self) -> Ink<'static> {
        Ink::line(self.palette().ink, weight::DETAIL * self.per_mm).rounded()
    }
    /// Dimensions and leaders.
    pub fn dimension(self) -> Ink<'static> {
        Ink::line(self.palette().quiet, weight::DIMENSION * self.per_mm)
    }
    /// The far face.
    pub fn far(self) -> Ink<'static> {
        let (dash, gap) = (1.8 * self.per_mm, 1.2 * self.per_mm);
        Ink::line(self.palette().faint, weight::DETAIL * self.per_mm).dashed(dash, gap)
    }
}
