//! What is printed: made of the files as they are, when it is asked for.

use super::{Desk, plain};
use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use loomdeck_make::table;
use loomdeck_model::Face;
use loomdeck_study::Study;
use std::sync::{Arc, PoisonError};

/// Something that can be printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Paper {
    Book,
    Template,
    Dxf(Face),
    /// One of the lists, by its name.
    List(&'static str),
}

/// The lists, by the names that [`table::all`] gives them.
const LISTS: [&str; 6] = ["holes", "drill-plan", "fasteners", "cutlist", "labels", "shopping"];

impl Paper {
    fn named(name: &str) -> Option<Self> {
        match name {
            "book.pdf" => Some(Self::Book),
            "template.pdf" => Some(Self::Template),
            "front.dxf" => Some(Self::Dxf(Face::Front)),
            "back.dxf" => Some(Self::Dxf(Face::Back)),
            _ => {
                let stem = name.strip_suffix(".csv")?;
                LISTS.iter().find(|l| **l == stem).map(|l| Self::List(l))
            }
        }
    }

    const fn kind(self) -> &'static str {
        match self {
            Self::Book | Self::Template => "application/pdf",
            Self::Dxf(_) => "image/vnd.dxf",
            Self::List(_) => "text/csv; charset=utf-8",
        }
    }

    /// Its bytes; a sentence when it cannot be made.
    fn of(self, study: &Study) -> Result<Vec<u8>, String> {
        let needs_board = matches!(self, Self::Template | Self::Dxf(_));
        if needs_board && study.robot.board.is_none() {
            return Err("This robot has no board yet, so there is nothing to drill.".to_owned());
        }
        match self {
            Self::Book => {
                let deep;
                let study = if study.deep.is_some() {
                    study
                } else {
                    deep = study.clone().deepened();
                    &deep
                };
                loomdeck_draw::book(study).map_err(|e| e.to_string())
            }
            Self::Template => loomdeck_draw::template_pdf(study).map_err(|e| e.to_string()),
            Self::Dxf(face) => Ok(loomdeck_draw::dxf(study, face).into_bytes()),
            Self::List(name) => {
                let all = table::all(&study.robot, &study.making, study.robot.book.unit);
                let list = all.iter().find(|t| t.name == name);
                list.map(|t| t.to_csv().into_bytes()).ok_or_else(|| "There is no such list.".to_owned())
            }
        }
    }
}

/// Prints, one thing at a time, on a thread that may take its time.
pub async fn print(State(desk): State<Arc<Desk>>, Path(name): Path<String>) -> Response {
    let Some(paper) = Paper::named(&name) else { return plain::not_found() };
    let study = desk.shared.study.lock().unwrap_or_else(PoisonError::into_inner).clone();
    let Some(study) = study else {
        let why = "The robot's files cannot be read yet. Mend them first.";
        return plain::page(StatusCode::CONFLICT, "There is nothing to print", &[why]);
    };
    let Ok(_turn) = desk.house.press.acquire().await else { return plain::not_found() };
    match tokio::task::spawn_blocking(move || paper.of(&study)).await {
        Ok(Ok(bytes)) => {
            let shown =
                if matches!(paper, Paper::Book | Paper::Template) { "inline" } else { "attachment" };
            let headers = [
                (header::CONTENT_TYPE, paper.kind().to_owned()),
                (header::CONTENT_DISPOSITION, format!("{shown}; filename=\"{name}\"")),
            ];
            (headers, bytes).into_response()
        }
        Ok(Err(why)) => plain::page(StatusCode::CONFLICT, "It cannot be printed", &[&why]),
        Err(_) => {
            let why = "The program itself went wrong over this. Your files are as they were.";
            plain::page(StatusCode::INTERNAL_SERVER_ERROR, "It cannot be printed", &[why])
        }
    }
}
