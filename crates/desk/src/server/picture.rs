//! Small pictures that a page asks for when it shows them: steps of the work, stages of drilling, plots.

use super::{Desk, plain};
use crate::talk::Picture;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use loomdeck_draw::steps::Sketch;
use loomdeck_draw::{NamedPlot, Theme, drill_sketches, named_plots, step_sketches};
use loomdeck_study::Study;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

/// Room for the picture of a step, mm of paper: as in the book.
const ROOM: (f64, f64) = (84.0, 58.0);

/// What is drawn together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Step,
    Drill,
    Plot,
}

impl Kind {
    /// The kind that a name asks for, by its first word.
    fn of(name: &str) -> Option<Self> {
        match name.split_once('-')?.0 {
            "step" => Some(Self::Step),
            "drill" => Some(Self::Drill),
            "plot" => Some(Self::Plot),
            _ => None,
        }
    }

    fn draw(self, study: &Study, theme: Theme) -> BTreeMap<String, Picture> {
        let sketches = |word: &str, all: Vec<(usize, Sketch)>| {
            let each = all.into_iter();
            each.map(|(n, s)| (format!("{word}-{n}"), Picture { svg: s.svg, keys: s.keys })).collect()
        };
        match self {
            Self::Step => sketches("step", step_sketches(study, theme, ROOM)),
            Self::Drill => sketches("drill", drill_sketches(study, theme, ROOM)),
            Self::Plot => {
                let picture = |p: NamedPlot| Picture { svg: p.plot.svg, keys: Vec::new() };
                let each = named_plots(study, theme).into_iter();
                each.map(|p| (format!("plot-{}", p.name), picture(p))).collect()
            }
        }
    }
}

type Drawn = Vec<(Kind, Theme, Arc<BTreeMap<String, Picture>>)>;

/// What was drawn of the study that was asked for last: whoever asks for one step asks for the next.
#[derive(Debug, Default)]
pub struct Pictures(Mutex<Option<(Arc<Study>, Drawn)>>);

impl Pictures {
    /// One at a time: who waits for the same finds it drawn.
    fn get(&self, study: &Arc<Study>, theme: Theme, kind: Kind) -> Arc<BTreeMap<String, Picture>> {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.as_ref().is_none_or(|(of, _)| !Arc::ptr_eq(of, study)) {
            *kept = Some((Arc::clone(study), Vec::new()));
        }
        let there = kept.iter().flat_map(|(_, all)| all).find(|(k, t, _)| (*k, *t) == (kind, theme));
        if let Some((.., all)) = there {
            return Arc::clone(all);
        }
        let all = Arc::new(kind.draw(study, theme));
        if let Some((_, drawn)) = kept.as_mut() {
            drawn.push((kind, theme, Arc::clone(&all)));
        }
        all
    }
}

/// A picture with what its numbers mean; `null` when there is none of that name.
pub async fn picture(
    State(desk): State<Arc<Desk>>,
    Path((theme, name)): Path<(String, String)>,
) -> Response {
    let theme = match theme.as_str() {
        "paper" => Theme::Paper,
        "slate" => Theme::Slate,
        _ => return plain::not_found(),
    };
    let Some(kind) = Kind::of(&name) else { return plain::not_found() };
    let study = desk.shared.study.lock().unwrap_or_else(PoisonError::into_inner).clone();
    let work = move || desk.house.pictures.get(&study?, theme, kind).get(&name).cloned();
    // One that breaks down is one that is not there.
    let found = tokio::task::spawn_blocking(work).await.unwrap_or_default();
    let text = serde_json::to_string(&found).unwrap_or_else(|_| "null".to_owned());
    ([(header::CONTENT_TYPE, "application/json")], text).into_response()
}
