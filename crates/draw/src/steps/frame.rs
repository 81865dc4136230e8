//! The frame that all small pictures of a board share, and the strip that says which face is up.

use crate::face::{Look, Matter, View};
use crate::labels::Block;
use crate::palette::Theme;
use crate::svg::{Canvas, Ink, Outliner, Spot, Type, weight};
use crate::text;
use loomdeck_model::{Face, PlugPlace};

/// Height of the strip under the board, mm of paper.
const STRIP: f64 = 6.5;
/// Paper around the board, and beyond an edge with plugs on tails.
const MARGIN: f64 = 1.0;
const TAILS: f64 = 6.5;
/// Height of capitals, mm of paper.
const CAPITALS: f64 = 2.4;

/// The paper of one small picture.
pub struct Sheet {
    /// From where the board is seen.
    pub view: View,
    /// Theme, and units of the drawing for one millimetre of paper.
    pub look: Look,
    /// The board on the drawing.
    pub board: Block,
    /// The whole picture.
    pub frame: Block,
}

impl Sheet {
    /// The frame for a board within this room, mm of paper; `None` without a board.
    pub fn of(matter: &Matter<'_>, view: View, theme: Theme, room: (f64, f64)) -> Option<Self> {
        let board = matter.robot.board.as_ref()?;
        let bounds = Block::over(view.corners(&board.outline.0))?;
        let margin = margins(matter, view, bounds);
        let (wide, high) =
            (room.0 - margin.low.x - margin.high.x, room.1 - margin.low.y - margin.high.y - STRIP);
        let per_mm = (bounds.width() / wide.max(1.0)).max(bounds.height() / high.max(1.0)).max(1.0);
        let spare = (room.0 * per_mm - bounds.width()) / per_mm - margin.low.x - margin.high.x;
        let left = margin.low.x + spare.max(0.0) / 2.0;
        let low = Spot::new(bounds.low.x - left * per_mm, bounds.low.y - margin.low.y * per_mm);
        let bottom = bounds.high.y + (margin.high.y + STRIP) * per_mm;
        let frame = Block::new(low, Spot::new(low.x + room.0 * per_mm, bottom));
        let look = Look { per_mm, bare: true, ..Look::full_size(theme) };
        Some(Self { view, look, board: bounds, frame })
    }

    /// Where names may stand.
    pub fn room(&self) -> Block {
        let u = self.look.per_mm;
        let high = Spot::new(self.frame.high.x - 0.3 * u, self.frame.high.y - STRIP * u);
        Block::new(Spot::new(self.frame.low.x + 0.3 * u, self.frame.low.y + 0.3 * u), high)
    }

    /// An empty drawing with its paper.
    pub fn canvas(&self, title: &str) -> Canvas {
        let mut canvas = Canvas::new(self.frame.low, self.frame.high, title);
        canvas.rectangle(self.frame.low, self.frame.high, 0.0, Ink::fill(self.look.palette().paper));
        canvas
    }

    /// Size of its type.
    pub fn size(&self) -> f64 {
        text::size_for_capitals(CAPITALS) * self.look.per_mm
    }

    /// Lines of what is new.
    pub fn new_ink(&self) -> Ink<'static> {
        Ink::line(self.look.palette().accent, weight::OUTLINE * self.look.per_mm).rounded()
    }

    /// Lines of what was there before.
    pub fn old_ink(&self) -> Ink<'static> {
        Ink::line(self.look.palette().quiet, weight::DETAIL * self.look.per_mm).rounded()
    }

    /// The strip: which face is up, and the sign for a board that was turned over.
    pub fn strip(&self, canvas: &mut Canvas, turned: bool, how: &str) {
        let u = self.look.per_mm;
        let base = self.frame.high.y - 1.6 * u;
        let p = self.look.palette();
        canvas.group("strip");
        let words = format!("{} {how}", self.view.near().word());
        let set = Type::new(self.size(), p.quiet).centred();
        let middle = self.board.centre().x;
        let wide = text::width(&words, self.size());
        canvas.text(Spot::new(middle, base), &words, set);
        if turned {
            let at = Spot::new(middle - wide / 2.0 - 5.0 * u, base - 1.1 * u);
            self.turn_sign(canvas, at);
        }
        canvas.end();
    }

    /// An upright axis with an arrow around it.
    fn turn_sign(&self, canvas: &mut Canvas, at: Spot) {
        let u = self.look.per_mm;
        let accent = self.look.palette().accent;
        let axis = Ink::line(accent, weight::DETAIL * u).dashed(1.1 * u, 0.5 * u);
        canvas.group("turned");
        canvas.line(Spot::new(at.x, at.y - 2.4 * u), Spot::new(at.x, at.y + 2.4 * u), axis);
        let line = Ink::line(accent, weight::OUTLINE * u).rounded();
        let mut d = Outliner::default();
        let tip = Spot::new(at.x + 2.6 * u, at.y - 0.2 * u);
        d.start(Spot::new(at.x - 2.6 * u, at.y - 0.2 * u));
        d.bend(Spot::new(at.x, at.y + 2.8 * u), tip);
        canvas.path(&d.finish(), line);
        let back = [
            Spot::new(tip.x - 1.5 * u, tip.y + 0.1 * u),
            tip,
            Spot::new(tip.x + 0.1 * u, tip.y + 1.5 * u),
        ];
        canvas.corners(&back, false, line);
        canvas.end();
    }
}

/// Paper kept on each side (`low`: left and top), mm: more where plugs hang beyond the edge of the board.
/// The same for both faces, mirrored.
fn margins(matter: &Matter<'_>, view: View, bounds: Block) -> Block {
    let (mut low, mut high) = (Spot::new(MARGIN, MARGIN), Spot::new(MARGIN, MARGIN));
    for plug in &matter.robot.plugs {
        let PlugPlace::Tail { at, .. } = &plug.place else { continue };
        let out = crate::face::outward(bounds, view.spot(*at));
        match (out.x, out.y) {
            (x, _) if x < 0.0 => low.x = TAILS,
            (x, _) if x > 0.0 => high.x = TAILS,
            (_, y) if y < 0.0 => low.y = TAILS,
            _ => high.y = TAILS,
        }
    }
    Block::new(low, high)
}

/// The face that a part or plug is on, for choosing solid or dashed lines.
pub const fn is_near(view: View, face: Face) -> bool {
    view.near() as u8 == face as u8
}
