//! The typesetter's view of the world: one source, a few files in memory, no date, no disk.

use std::collections::BTreeMap;
use std::sync::LazyLock;
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;

/// The typefaces that come with the typesetter; nothing of the machine's own, so that a book is the
/// same everywhere.
static FONTS: LazyLock<Vec<Font>> =
    LazyLock::new(|| typst_assets::fonts().flat_map(|data| Font::iter(Bytes::new(data))).collect());
static BOOK: LazyLock<LazyHash<FontBook>> =
    LazyLock::new(|| LazyHash::new(FontBook::from_fonts(FONTS.iter())));
static LIBRARY: LazyLock<LazyHash<Library>> =
    LazyLock::new(|| LazyHash::new(<Library as LibraryExt>::default()));

/// What went wrong while something was drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DrawProblem {
    /// In words.
    pub what: String,
}

impl std::fmt::Display for DrawProblem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.what)
    }
}

impl std::error::Error for DrawProblem {}

/// A document to set: its text and the files it reads.
pub struct Desk {
    main: Source,
    files: BTreeMap<String, Bytes>,
}

impl Desk {
    /// A document.
    ///
    /// # Errors
    /// Never in practice: only if the fixed name of the main file were not a path.
    pub fn new(text: &str, files: BTreeMap<String, Vec<u8>>) -> Result<Self, DrawProblem> {
        let path = VirtualPath::new("main.typ").map_err(|e| DrawProblem { what: format!("{e:?}") })?;
        let id = RootedPath::new(VirtualRoot::Project, path).intern();
        let files = files.into_iter().map(|(name, data)| (name, Bytes::new(data))).collect();
        Ok(Self { main: Source::new(id, text.to_owned()), files })
    }

    /// Sets the document and writes its PDF.
    ///
    /// # Errors
    /// What the typesetter says, when text or drawings cannot be set.
    pub fn pdf(&self, ident: &str) -> Result<Vec<u8>, DrawProblem> {
        let said = |errors: ecow_errors::Errors| {
            let all: Vec<String> = errors.iter().map(|e| e.message.to_string()).collect();
            DrawProblem { what: format!("The book cannot be set: {}", all.join("; ")) }
        };
        let document: PagedDocument = typst::compile(self).output.map_err(said)?;
        let options = typst_pdf::PdfOptions {
            ident: Smart::Custom(ident.to_owned()),
            creator: Smart::Custom(Some("Loomdeck".to_owned())),
            timestamp: None,
            ..Default::default()
        };
        let pdf = typst_pdf::pdf(&document, &options).map_err(said);
        // A process that sets many books must not remember them all.
        typst::comemo::evict(4);
        pdf
    }
}

/// The typesetter's list of complaints.
mod ecow_errors {
    pub type Errors = typst::ecow::EcoVec<typst::diag::SourceDiagnostic>;
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }
    fn book(&self) -> &LazyHash<FontBook> {
        &BOOK
    }
    fn main(&self) -> FileId {
        self.main.id()
    }
    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.main.id() { Ok(self.main.clone()) } else { Err(FileError::AccessDenied) }
    }
    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let name = id.get().vpath().get_without_slash();
        self.files.get(name).cloned().ok_or(FileError::AccessDenied)
    }
    fn font(&self, index: usize) -> Option<Font> {
        FONTS.get(index).cloned()
    }
    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}
