//! `make`: all files for the workshop.

use crate::cli::{RobotArg, UnitArg};
use crate::out::{self, Out};
use crate::{End, Trouble, json, report};
use loomdeck_draw::Theme;
use loomdeck_make::table;
use loomdeck_model::read::folder::plain;
use loomdeck_model::{Face, Severity};
use std::path::PathBuf;

/// Write all files for the workshop into a folder: drilling template (PDF), drawings of both faces
/// (SVG), their holes by operation (SVG, DXF), and lists as CSV: holes, drill plan, fasteners, cut list,
/// labels, shopping.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  loomdeck make demos/samovar -o workshop\n\n\
    Files of the same names in the folder are replaced; others are left alone.\n\
    Exit status 1 when there are findings of `fix` or worse.")]
pub struct Args {
    #[command(flatten)]
    robot: RobotArg,
    #[command(flatten)]
    unit: UnitArg,
    /// Folder to write into; made when it does not exist.
    #[arg(short, long, value_name = "FOLDER")]
    output: PathBuf,
    /// Print JSON (its schema: `loomdeck schema make`).
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &Args, out: &mut Out) -> Result<End, Trouble> {
    let study = super::study_in(&args.robot.robot, &args.unit)?;
    let unit = study.robot.book.unit;
    let made = |e: std::io::Error| {
        Trouble::Told(format!("{} cannot be made: {}.", args.output.display(), plain(&e)))
    };
    std::fs::create_dir_all(&args.output).map_err(made)?;
    let sign = out::busy("writing the workshop's files");
    let mut files: Vec<(String, Vec<u8>)> = table::all(&study.robot, &study.making, unit)
        .iter()
        .map(|t| (format!("{}.csv", t.name), t.to_csv().into_bytes()))
        .collect();
    if study.robot.board.is_some() {
        let template = loomdeck_draw::template_pdf(&study).map_err(|e| Trouble::Told(e.to_string()))?;
        files.push(("template.pdf".to_owned(), template));
        let matter = loomdeck_draw::book::matter(&study);
        for face in Face::BOTH {
            let name = face.word();
            let drawing = loomdeck_draw::face_svg(&study, face, Theme::Paper);
            files.push((format!("{name}.svg"), drawing.into_bytes()));
            if let Some(holes) = loomdeck_draw::template::operations(&matter, face, Theme::Paper) {
                files.push((format!("{name}-holes.svg"), holes.into_bytes()));
            }
            files.push((format!("{name}.dxf"), loomdeck_draw::dxf(&study, face).into_bytes()));
        }
    }
    for (name, bytes) in &files {
        super::write(&args.output.join(name), bytes)?;
    }
    sign.finish_and_clear();
    if args.json {
        out.json(&json::Made { files: files.iter().map(|(n, _)| n.clone()).collect() })?;
    } else {
        out.line(&format!("{}: {}", study.robot.name, report::summary(&study)));
        for (name, bytes) in &files {
            out.line(&format!(
                "  {}  {} kB",
                args.output.join(name).display(),
                bytes.len().div_ceil(1000)
            ));
        }
        if study.robot.board.is_none() {
            out.paragraph(0, "This robot has no board yet, so there is no template and no drawing.");
        }
    }
    let bad = study.worst().is_some_and(|w| w <= Severity::Fix);
    Ok(if bad { End::Findings } else { End::Clean })
}
