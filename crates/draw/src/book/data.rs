//! What the book's text reads: plain data, already in words.

use serde::Serialize;

/// A drawing among the book's files, with the size it is printed at, mm.
#[derive(Clone, Debug, Serialize)]
pub struct Picture {
    /// Name of its file.
    pub file: String,
    /// What it shows.
    pub title: String,
    /// Width in print.
    pub width: f64,
    /// Scale in words, where it matters.
    pub scale: String,
    /// Words under it.
    pub note: String,
    /// The sheet is held on its side.
    pub flipped: bool,
}

/// A column of a table.
#[derive(Clone, Debug, Serialize)]
pub struct Column {
    /// Heading.
    pub head: String,
    /// Share of the free width; 0: as wide as its widest cell.
    pub share: u8,
    /// Numbers stand to the right.
    pub right: bool,
}

/// A table of words.
#[derive(Clone, Debug, Serialize)]
pub struct Table {
    /// Its title.
    pub title: String,
    /// What holds for all of its rows; mostly empty.
    pub note: String,
    /// Columns.
    pub columns: Vec<Column>,
    /// Cells, row by row.
    pub rows: Vec<Vec<String>>,
    /// What stands there without rows.
    pub empty: String,
}

impl Table {
    /// A table without rows. A head that begins with `>` is a column of numbers, one that begins with
    /// `*` takes free width.
    pub fn new(title: &str, heads: &[&str], empty: &str) -> Self {
        let columns = heads.iter().map(|h| {
            let share = u8::try_from(h.chars().take_while(|c| *c == '*').count()).unwrap_or(0);
            let right = h.starts_with('>');
            Column { head: h.trim_start_matches(['>', '*']).to_owned(), share, right }
        });
        Self {
            title: title.to_owned(),
            note: String::new(),
            columns: columns.collect(),
            rows: Vec::new(),
            empty: empty.to_owned(),
        }
    }
    /// With one more row.
    pub fn row<const N: usize>(&mut self, cells: [String; N]) {
        self.rows.push(cells.to_vec());
    }
}

/// A caution.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Caution {
    /// The danger.
    pub title: &'static str,
    /// What to do.
    pub text: &'static str,
}

/// How many findings there are of one severity.
#[derive(Clone, Debug, Serialize)]
pub struct Count {
    /// The severity's word.
    pub severity: &'static str,
    /// How many.
    pub count: usize,
}

/// A finding.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "the fields of a finding, in words")]
pub struct Entry {
    pub number: usize,
    pub severity: &'static str,
    pub about: String,
    pub what: String,
    pub why: String,
    pub remedies: Vec<String>,
    pub source: String,
}

/// A part in the tree of supplies.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "the columns of the tree, in words")]
pub struct TreeRow {
    pub strokes: String,
    pub name: String,
    pub facts: String,
    pub fuse: String,
    pub wires: String,
    pub current: String,
    pub notes: Vec<String>,
}

/// A situation.
#[derive(Clone, Debug, Serialize)]
pub struct SituationPart {
    /// Its name.
    pub name: String,
    /// What happens in it.
    pub about: String,
    /// What is unusual about its solution; empty when all is well.
    pub outcome: String,
    /// Switches, charge, air.
    pub setting: String,
    /// What the batteries and chargers give.
    pub sources: Vec<String>,
    /// Converters and drivers that give nothing.
    pub resting: String,
    /// Cautions that belong beside it.
    pub cautions: Vec<Caution>,
    /// Its tables.
    pub tables: Vec<Table>,
}

/// A wire label.
#[derive(Clone, Debug, Serialize)]
pub struct LabelPart {
    /// Name of the wire.
    pub name: String,
    /// This end.
    pub at: String,
    /// The other end.
    pub far: String,
}

/// The day.
#[derive(Clone, Debug, Serialize)]
pub struct DayPart {
    /// What it comes to.
    pub notes: Vec<String>,
    /// Charge over time.
    pub plot: Option<Picture>,
    /// Its steps.
    pub steps: Table,
    /// Battery by battery.
    pub batteries: Table,
}

/// A sentence of a step.
#[derive(Clone, Debug, Serialize)]
pub struct StepLine {
    /// What it says.
    pub text: String,
    /// It is ticked off when it is done.
    pub tick: bool,
}

/// A step of the order of work.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "the fields of a step, in words")]
pub struct StepPart {
    pub number: usize,
    pub heading: String,
    /// Told where the board is turned over.
    pub lies: String,
    pub picture: Option<Picture>,
    /// What the numbers on the picture stand for.
    pub keys: Vec<String>,
    pub words: Vec<StepLine>,
    pub tools: String,
    pub hardware: Vec<String>,
    pub torques: Vec<String>,
    pub watch: Vec<String>,
    pub cautions: Vec<String>,
    /// Which stages of the drill plan it is.
    pub stages: String,
}

/// A part of the order of work.
#[derive(Clone, Debug, Serialize)]
pub struct StepGroup {
    /// Heading.
    pub title: String,
    /// Its steps.
    pub steps: Vec<StepPart>,
}

/// A stage of the drill plan.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "the fields of a stage, in words")]
pub struct StageRow {
    pub number: usize,
    pub title: String,
    pub picture: Option<Picture>,
    pub facts: Vec<String>,
    /// Hole numbers in the order of the work.
    pub stops: Vec<String>,
    pub cautions: Vec<String>,
}

/// The drill plan.
#[derive(Clone, Debug, Serialize)]
pub struct Drill {
    /// How it is read.
    pub note: Vec<String>,
    /// What to mind with every drill.
    pub always: Vec<String>,
    /// One tool a row.
    pub tools: Table,
    /// Stage by stage.
    pub stages: Vec<StageRow>,
}

/// Taking the board out.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "the parts of the chapter, in its order")]
pub struct OutPart {
    pub steps: Vec<OutStep>,
    pub picture: Option<Picture>,
    pub way: Vec<String>,
    pub ways: Table,
}

/// One thing to do while the board is taken out.
#[derive(Clone, Debug, Serialize)]
pub struct OutStep {
    /// What is done.
    pub title: String,
    /// To what, in order.
    pub things: Vec<String>,
}

/// The board at rest and in the body.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "the parts of the chapter, in its order")]
pub struct StandPart {
    pub weight: Vec<String>,
    pub shares: Table,
    pub pictures: Vec<Picture>,
    pub laid: Vec<String>,
    pub feet: Table,
    pub held: Vec<String>,
    pub growth: Vec<String>,
    pub mounts: Table,
}

/// Room for wires: openings, passages, bends.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "the parts of the chapter, in its order")]
pub struct RoomPart {
    pub note: &'static str,
    pub openings: Table,
    pub proposals: Vec<String>,
    pub passages: Table,
    pub bends: Table,
    pub facing: Table,
}

/// A family of faults.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "the parts of the chapter, in its order")]
pub struct FaultPart {
    pub title: &'static str,
    pub intro: &'static str,
    pub says: Vec<String>,
    pub plots: Vec<Picture>,
    pub tables: Vec<Table>,
    pub limits: Vec<String>,
}

/// The whole book.
#[derive(Clone, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the parts of the book, in its order")]
pub struct Book {
    pub robot: String,
    pub about: String,
    pub paper: &'static str,
    pub summary: String,
    pub cover: Option<Picture>,
    pub cautions: Vec<Caution>,
    pub disclaimer: &'static str,
    pub verdict: String,
    pub counts: Vec<Count>,
    pub good_news: Vec<String>,
    pub findings: Vec<Entry>,
    pub tree: Vec<TreeRow>,
    pub tree_note: &'static str,
    pub diagram: Vec<Vec<Vec<Picture>>>,
    pub diagram_note: &'static str,
    pub situations_note: &'static str,
    pub currents: Option<Picture>,
    pub situations: Vec<SituationPart>,
    pub drawings: Vec<Picture>,
    pub room: Option<RoomPart>,
    pub holes_note: Vec<String>,
    pub holes: Table,
    pub works: Table,
    pub drilling_cautions: Vec<Caution>,
    pub drill: Drill,
    pub templates: Vec<Picture>,
    pub fasteners_note: &'static str,
    pub fasteners: Table,
    pub cuts_note: String,
    pub cuts: Vec<Table>,
    pub cables: Table,
    pub labels_note: &'static str,
    pub labels: Vec<LabelPart>,
    pub order_note: Vec<String>,
    pub order: Vec<StepGroup>,
    pub wiring_note: &'static str,
    pub wiring: Vec<Table>,
    pub wiring_cautions: Vec<Caution>,
    pub missing_letters: String,
    pub shopping: Vec<Table>,
    pub fuses_note: &'static str,
    pub fuses: Table,
    pub fuse_plots: Vec<Picture>,
    pub day: DayPart,
    pub spare_note: &'static str,
    pub spare: Vec<Table>,
    pub faults: Vec<FaultPart>,
    pub service_notes: Vec<String>,
    pub service: Table,
    pub in_use: Table,
    pub take_out: Option<OutPart>,
    pub stand: Option<StandPart>,
}
