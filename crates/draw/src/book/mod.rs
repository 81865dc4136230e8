//! The build book and the stand-alone template, set by the typesetter from plain data.
//!
//! What the builder wrote reaches the typesetter as strings in a file of data, never as part of its
//! text, so that no name can be taken for an instruction.

mod data;
mod electricity;
mod front;
mod making;
mod room;
mod service;
mod stand;
mod work;
mod world;

pub use work::{lies, stops, torques};
pub use world::{Desk, DrawProblem};

use crate::diagram;
use crate::face::{self, Drawing, Matter, View};
use crate::palette::Theme;
use crate::plot::{self, Plot};
use crate::template::{self, SheetSize};
#[cfg(test)]
pub use data::Caution;
use data::{Book, Picture};
pub use data::{Column, Table};
use loomdeck_model::{Face, Paper, Robot};
use loomdeck_study::Study;
use serde::Serialize;
use std::collections::BTreeMap;

/// Scale of diagram strips in print: letters are four fifths of full size. One that fits a sheet
/// alone may be larger.
const DIAGRAM_SCALE: f64 = 0.8;

/// The files of a document.
#[derive(Default)]
struct Files(BTreeMap<String, Vec<u8>>);

impl Files {
    fn picture(&mut self, name: &str, svg: String, title: &str, width: f64) -> Picture {
        let file = format!("{name}.svg");
        self.0.insert(file.clone(), svg.into_bytes());
        let title = title.to_owned();
        Picture { file, title, width, scale: String::new(), note: String::new(), flipped: false }
    }
}

/// Sets the build book of a study as a PDF. The same study gives the same bytes.
///
/// # Errors
/// What the typesetter says, when it cannot set the book.
pub fn book(study: &Study) -> Result<Vec<u8>, DrawProblem> {
    let mut files = Files::default();
    let data = worded(study, &mut files)?;
    set(include_str!("book.typ"), &data, files, "book")
}

/// The contents with a word on letters that cannot be printed.
fn worded(study: &Study, files: &mut Files) -> Result<Book, DrawProblem> {
    let mut data = contents(study, files);
    let words = serde_json::to_string(&data).map_err(|e| DrawProblem { what: e.to_string() })?;
    if crate::text::in_print(&words).is_some() {
        data.missing_letters = front::MISSING_LETTERS.to_owned();
    }
    Ok(data)
}

/// The words and tables of a study's book, for tests.
#[cfg(test)]
pub fn book_words(study: &Study) -> Book {
    worded(study, &mut Files::default()).unwrap_or_else(|e| panic!("{e}"))
}

/// Sets the drilling templates of both faces as a PDF of their own.
///
/// # Errors
/// What the typesetter says, when it cannot set the pages.
pub fn template_pdf(study: &Study) -> Result<Vec<u8>, DrawProblem> {
    #[derive(Serialize)]
    struct Data {
        robot: String,
        paper: &'static str,
        templates: Vec<Picture>,
    }
    let mut files = Files::default();
    let matter = matter(study);
    let templates = templates(&matter, &mut files);
    let data = Data { robot: study.robot.name.clone(), paper: paper_word(&study.robot), templates };
    set(include_str!("template.typ"), &data, files, "template")
}

fn set<T: Serialize>(
    text: &str,
    data: &T,
    mut files: Files,
    ident: &str,
) -> Result<Vec<u8>, DrawProblem> {
    let json = serde_json::to_string(data).map_err(|e| DrawProblem { what: e.to_string() })?;
    // The typesetter would break a line at the thin space between a number and its unit.
    let json = json.replace('\u{2009}', "\u{202f}");
    files.0.insert("data.json".to_owned(), json.into_bytes());
    for content in files.0.values_mut() {
        // Names in letters that no typeface of ours has would print as blank boxes.
        let shown = std::str::from_utf8(content).ok().and_then(crate::text::in_print);
        if let Some(shown) = shown {
            *content = shown.into_bytes();
        }
    }
    Desk::new(text, files.0)?.pdf(&format!("loomdeck-{ident}"))
}

/// What the drawings of a study show.
pub fn matter(study: &Study) -> Matter<'_> {
    Matter {
        robot: &study.robot,
        geometry: &study.geometry,
        making: &study.making,
        findings: &study.findings,
    }
}

const fn paper_word(robot: &Robot) -> &'static str {
    match robot.book.paper {
        Paper::A4 => "a4",
        Paper::Letter => "us-letter",
    }
}

fn contents(study: &Study, files: &mut Files) -> Book {
    let (robot, power, making) = (&study.robot, &study.power, &study.making);
    let unit = robot.book.unit;
    let matter = matter(study);
    let day_plot = power.day.as_ref().map(|d| {
        let p = plot::day(robot, d, Theme::Paper, (text_width(robot), 88.0));
        plot_picture(files, "day", p, "Charge over the day")
    });
    let mut day = electricity::day(robot, power.day.as_ref());
    day.plot = day_plot;
    let (holes, works) = making::holes(making, unit);
    Book {
        robot: robot.name.clone(),
        about: robot.about.clone(),
        paper: paper_word(robot),
        summary: summary(study),
        cover: cover(&matter, files),
        cautions: front::cautions(robot),
        disclaimer: front::DISCLAIMER,
        verdict: front::verdict(&study.findings),
        counts: front::counts(&study.findings),
        good_news: study
            .good_news()
            .iter()
            .map(|g| front::quoted(&front::in_unit(g, robot.book.unit)))
            .collect(),
        findings: front::entries(&study.findings, robot.book.unit),
        tree: electricity::tree(&diagram::tree::rows(&given(study)), 47.0),
        tree_note: "Each part stands under the one that most of its current comes from. Fuse: the one its feed \
                    leaves from. Current: the largest that heats the feed in any situation. Returns are not listed.",
        diagram: diagrams(study, files),
        diagram_note: "Supplies and motor wires. Over each line its size, under it the largest current that heats \
                       it in any situation. A foot under a part: its return goes back to the battery's minus. A dashed box tells where the line \
                       goes on.",
        situations_note: "What flows where, computed for each situation with warm wires. The plot shows the battery \
                          that gives most; the tick is the peak with every load at its peak at once. “Warm” is a wire’s \
                          temperature, “room” what it has left below its insulation’s limit.",
        currents: currents(study, files),
        situations: electricity::situations(robot, power),
        drawings: drawings(&matter, files),
        room: rooms(&matter, study.deep.as_ref().map(|d| d.facing.as_slice()).unwrap_or_default()),
        holes_note: making::holes_note(making, unit),
        holes,
        works,
        drilling_cautions: front::while_drilling(),
        drill: work::drill(&matter, files),
        templates: templates(&matter, files),
        fasteners_note: "Equal stacks are one row. Pieces are listed in the order in which they go on.",
        fasteners: making::fasteners(making),
        cuts_note: format!(
            "Reel by reel, in {}. Lengths include stripping and the slack for a second termination; cut the longest \
             of a reel first. What has its own lead is not cut.",
            match unit {
                loomdeck_model::LengthUnit::Mm => "millimetres",
                loomdeck_model::LengthUnit::Inch => "inches",
            }
        ),
        cuts: making::cuts(robot, making, unit),
        cables: making::cables(robot, making, unit),
        labels_note: "One label for each end. Print on adhesive paper, cut along the frames, and wrap them with the \
                      wire's name outwards.",
        labels: making::labels(making),
        order_note: order_note(study),
        order: study.deep.as_ref().map(|d| work::order(&matter, &d.steps, files)).unwrap_or_default(),
        wiring_note: "Power first, then returns, motors, logic, audio. Tick each wire when both of its ends are \
                      tight and its label is on. Batteries stay unplugged until the last one is ticked.",
        wiring: making::wiring(robot, making),
        wiring_cautions: front::while_wiring(),
        missing_letters: String::new(),
        shopping: making::shopping(making),
        fuses_note: "“Least” is the smallest standard rating that carries what flows; “most” is the largest that \
                     still protects every wire behind it. Fit nothing outside that window.",
        fuses: electricity::fuses(robot, power),
        fuse_plots: fuse_plots(study, files),
        day,
        spare_note: "What each thing could still carry, for next year's ideas. Room is what is left of the limit.",
        spare: electricity::spare(robot, power),
        faults: fault_parts(study, files),
        service_notes: study.deep.as_ref().map(|d| service::notes(robot, &d.order)).unwrap_or_default(),
        service: service::table(robot, study.deep.as_ref().map(|d| &d.order)),
        in_use: service::in_use(robot, &study.geometry),
        take_out: service::take_out(&matter, study.deep.as_ref().map(|d| &d.order), files),
        stand: stand::stand(&matter, files),
    }
}

/// Height of a plot among the words about faults, mm.
const FAULT_PLOT: f64 = 72.0;

/// Rows of a table about faults that are printed: those nearest to their limit come first.
const FAULT_ROWS: usize = 18;

/// A table with its first rows only.
fn shortened(mut table: Table) -> Table {
    let more = table.rows.len().saturating_sub(FAULT_ROWS);
    // Two rows more cost less room than the sentence that would stand for them.
    if more > 2 {
        table.rows.truncate(FAULT_ROWS);
        let rest = format!("{more} more rows are left out here; `loomdeck faults --all` prints them.");
        table.note = format!("{} {rest}", table.note).trim().to_owned();
    }
    table
}

/// What happens when something goes wrong, chapter by chapter.
fn fault_parts(study: &Study, files: &mut Files) -> Vec<data::FaultPart> {
    let size = (text_width(&study.robot), FAULT_PLOT);
    let part = |c: crate::faults::Chapter| {
        let drawn = crate::faults::plots(&c, Theme::Paper, size).into_iter().enumerate();
        let plots = drawn.map(|(i, (title, p))| {
            let file = format!("faults-{}-{i}", c.word);
            plot_picture(files, &file, p, &title)
        });
        data::FaultPart {
            title: c.title,
            intro: c.intro,
            plots: plots.collect(),
            says: c
                .says
                .iter()
                .map(|s| front::quoted(&front::in_unit(s, study.robot.book.unit)))
                .collect(),
            tables: c.tables.into_iter().filter(|t| !t.rows.is_empty()).map(shortened).collect(),
            limits: c.limits,
        }
    };
    crate::faults::chapters(study).into_iter().map(part).collect()
}

/// How the pictures of the steps are read.
fn order_note(study: &Study) -> Vec<String> {
    let Some(deep) = study.deep.as_ref().filter(|d| !d.steps.is_empty()) else { return Vec::new() };
    let mut notes = vec![
        "Step by step, so that every screw can still be reached when its turn comes. On the pictures, what comes is \
         green and what is there is a thin outline; wires that come have their own colours; what is dashed lies on \
         the other face; hatched is the room that your tool needs."
            .to_owned(),
    ];
    if deep.order.stuck.is_empty() {
        notes.extend(
            deep.order
                .good_news
                .iter()
                .map(|g| front::quoted(&front::in_unit(g, study.robot.book.unit))),
        );
    } else {
        notes.push(
            "No order reaches every screw: see the findings. The steps go as far as they can."
                .to_owned(),
        );
    }
    notes
}

/// Openings, passages and bends; `None` without a board.
fn rooms(matter: &Matter<'_>, facing: &[loomdeck_space::bend::Facing]) -> Option<data::RoomPart> {
    let board = matter.robot.board.as_ref()?;
    let (robot, geometry, unit) = (matter.robot, matter.geometry, matter.robot.book.unit);
    let openings = room::openings(robot, geometry, unit);
    let passages = room::passages(geometry, unit);
    let (bends, facing) = (room::bends(robot, geometry, unit), room::facing(robot, facing, unit));
    let any = !(openings.rows.is_empty() && passages.rows.is_empty() && bends.rows.is_empty());
    any.then(|| data::RoomPart {
        note: "What goes through the board and along its faces, and how much room it has. Change openings before you \
               drill.",
        openings,
        proposals: room::proposals(board, geometry, unit),
        passages,
        bends,
        facing,
    })
}

fn summary(study: &Study) -> String {
    let r = &study.robot;
    let mut parts = vec![format!("{} parts", r.parts.len()), format!("{} wires", r.wires.len())];
    if let Some(board) = &r.board {
        let (low, high) = board.outline.bounds();
        let size = |mm: f64| crate::words::length_number(mm, r.book.unit);
        parts.push(format!(
            "board {} × {} × {}\u{2009}{}, {}",
            size(high.x - low.x),
            size(high.y - low.y),
            size(board.thickness.0),
            crate::words::unit_word(r.book.unit),
            board.material.word()
        ));
        parts.push(format!("{} holes", study.making.holes.len()));
    }
    format!("{}.", parts.join(" · "))
}

/// Width of the text block, mm.
const fn text_width(robot: &Robot) -> f64 {
    SheetSize::upright(robot.book.paper).width - 40.0
}

/// Room for a drawing on a page held on its side, mm.
const fn wide_room(robot: &Robot) -> (f64, f64) {
    let s = SheetSize::level(robot.book.paper);
    (s.width - 24.0, s.height - 50.0)
}

fn cover(matter: &Matter<'_>, files: &mut Files) -> Option<Picture> {
    matter.robot.board.as_ref()?;
    let width = text_width(matter.robot) - 4.0;
    let (d, scale) = face::bare(matter, View::SeeThrough, Theme::Paper, (width, 150.0));
    Some(files.picture("cover", d.svg, "Both faces, seen through", d.width * scale))
}

fn drawings(matter: &Matter<'_>, files: &mut Files) -> Vec<Picture> {
    if matter.robot.board.is_none() {
        return Vec::new();
    }
    let room = wide_room(matter.robot);
    // With nothing on one face, both seen through would be the other again.
    let on = |face: Face| matter.robot.parts.iter().any(|p| face::is_on(p, face));
    let both = on(Face::Front) && on(Face::Back);
    let views = face::VIEWS.into_iter().zip(["front", "back", "through"]);
    let views = views.filter(|(view, _)| both || !matches!(view, View::SeeThrough));
    let each = views.map(|(view, name)| {
        let (Drawing { svg, width, .. }, scale) = face::fitted(matter, view, Theme::Paper, room);
        let mut picture = files.picture(name, svg, view.words(), width * scale);
        picture.scale = if scale > 0.999 {
            "full size".to_owned()
        } else {
            format!("1 : {}", loomdeck_model::units::three_digits(1.0 / scale))
        };
        picture.note = legend(view);
        picture
    });
    each.collect()
}

/// How a drawing of the board is read.
fn legend(view: View) -> String {
    let faces = match view {
        View::Face(Face::Front) => "Solid outlines are on this face, dashed ones on the back.",
        View::Face(Face::Back) => {
            "The board turned over about its upright edge. Solid outlines are on this face, dashed ones on the front."
        }
        View::SeeThrough => {
            "Solid outlines are on the front, dashed ones on the back, as if the board were glass."
        }
    };
    format!(
        "{faces} Wires have their own colours; a pale band is a loom, as thick as it is, a dark bar across it a tie. \
         Screws’ heads carry a cross, nuts a hexagon; an opening that is crossed out is for tools. A number in a ring \
         is the finding of that number. The green corner is where the hole table measures from."
    )
}

fn templates(matter: &Matter<'_>, files: &mut Files) -> Vec<Picture> {
    let mut pictures = Vec::new();
    for face in Face::BOTH {
        for (i, page) in template::pages(matter, face).into_iter().enumerate() {
            let name = format!("template-{}-{i}", face.word());
            let mut picture = files.picture(&name, page.svg, &page.title, page.sheet.width);
            picture.flipped = page.sheet.width > page.sheet.height;
            pictures.push(picture);
        }
    }
    pictures
}

/// The graph of a study's power diagram.
pub fn diagram_graph(study: &Study) -> diagram::Graph {
    diagram::Graph::of(&given(study))
}

/// What the diagram and the tree of supplies are made from.
pub(crate) fn given(study: &Study) -> diagram::Given<'_> {
    let matter = matter(study);
    let wires = 0..study.robot.wires.len();
    let current = |i: usize| {
        let each = study.power.situations.iter().filter_map(|s| s.wires.get(i)).filter(|w| w.fed);
        each.map(|w| w.rms).reduce(loomdeck_model::units::Amperes::max)
    };
    diagram::Given {
        robot: &study.robot,
        currents: wires.clone().map(current).collect(),
        colours: wires.map(|i| matter.colour(loomdeck_model::WireId(i))).collect(),
    }
}

/// The strips of the diagram, as many on a sheet as there is room for: sheets of rows.
fn diagrams(study: &Study, files: &mut Files) -> Vec<Vec<Vec<Picture>>> {
    let room = wide_room(&study.robot);
    let tall = room.1 - 6.0;
    // Margins of the drawing itself are taken off before it is cut.
    let most = (room.0 / DIAGRAM_SCALE - 8.0, tall / DIAGRAM_SCALE - 21.0);
    let strips = diagram::cut(&diagram_graph(study), most);
    let alone = strips.len() == 1;
    let mut sizes = Vec::new();
    let mut pictures = Vec::new();
    for (i, strip) in strips.iter().enumerate() {
        let d = diagram::draw(strip, Theme::Paper, "Power diagram", (!alone).then_some(i + 1));
        let largest = if alone { 1.0 } else { DIAGRAM_SCALE };
        let scale = (room.0 / d.width).min(tall / d.height).min(largest);
        sizes.push((d.width * scale, d.height * scale));
        pictures.push(files.picture(
            &format!("diagram-{i}"),
            d.svg,
            &format!("Power diagram, strip {}", i + 1),
            d.width * scale,
        ));
    }
    let sheets = diagram::shelves(&sizes, (room.0 + 0.1, tall + 0.1));
    let row = |row: Vec<usize>| row.into_iter().map(|i| pictures[i].clone()).collect();
    sheets.into_iter().map(|rows| rows.into_iter().map(row).collect()).collect()
}

fn plot_picture(files: &mut Files, name: &str, plot: Plot, title: &str) -> Picture {
    files.picture(name, plot.svg, title, plot.width)
}

fn currents(study: &Study, files: &mut Files) -> Option<Picture> {
    if study.power.situations.is_empty() {
        return None;
    }
    let p = plot::currents(&study.robot, &study.power, Theme::Paper, text_width(&study.robot));
    Some(plot_picture(files, "currents", p, "Battery current by situation"))
}

fn fuse_plots(study: &Study, files: &mut Files) -> Vec<Picture> {
    // A fuse that carries next to nothing and guards nothing has no picture worth its paper.
    let says = |f: &&loomdeck_power::FuseResult| {
        let least = 0.1 * f.rating.map_or(0.0, |r| r.0);
        let loaded = f.curves.loads.iter().any(|l| l.current.0 > least);
        f.fuse.is_some() && !f.curves.fastest.is_empty() && (loaded || !f.curves.withstand.is_empty())
    };
    let with_fuse = study.power.fuses.iter().filter(says);
    let size = (text_width(&study.robot), 60.0);
    let each = with_fuse.enumerate().map(|(i, f)| {
        let p = plot::fuse(&study.robot, f, Theme::Paper, size);
        plot_picture(files, &format!("fuse-{i}"), p, &electricity::way(&study.robot, f))
    });
    each.collect()
}
