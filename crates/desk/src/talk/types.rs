//! `web/src/talk.ts`, made of the types of this room.

use super::*;
use std::path::{Path, PathBuf};
use ts_rs::Config;

const HEAD: &str = "// What page and program say to one another.\n\
    // Made by `cargo xtask types` from crates/desk/src/talk: change it there.\n";

fn file() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../web/src/talk.ts")
}

/// A comment of a type, when it has one.
fn declared<T: TS>(config: &Config) -> String {
    let docs = T::docs().unwrap_or_default();
    let docs = docs.trim_end();
    let break_after = if docs.is_empty() { "" } else { "\n" };
    format!("{docs}{break_after}export {}\n", T::decl(config))
}

macro_rules! declared {
    ($config:expr, $($name:ty),* $(,)?) => { [$(declared::<$name>($config)),*] };
}

fn text() -> String {
    let config = Config::default();
    let all = declared!(
        &config,
        Ask,
        BesideTheBoard,
        Tell,
        FileChange,
        FieldOn,
        Corners,
        TypeOn,
        PhoneOn,
        DraftType,
        Place,
        Shape,
        Wrong,
        DraftDrawn,
        DraftHole,
        DraftTerminal,
        FormField,
        TypeKind,
        ElementForm,
        TypeForms,
        Given,
        Mistake,
        Edit,
        EditSubject,
        EditValue,
        Face,
        Sides,
        Severity,
        Unit,
        Sections,
        RobotOn,
        Counts,
        Sheet,
        PassOn,
        MountOn,
        KeepOutOn,
        HoleOn,
        PartOn,
        Terminal,
        PlugOn,
        WireOn,
        Leg,
        LoomOn,
        LoomBodyOn,
        TieOn,
        FindingOn,
        SubjectOn,
        SpotOn,
        MarkOn,
        MarkKind,
        RoomWanted,
        RemedyOn,
        WireSize,
        SituationOn,
        LoadsOn,
        WireInSituation,
        TerminalInSituation,
        PartInSituation,
        ZoneOn,
        OffBoard,
        DiagramOn,
        PlotOn,
        MakeOn,
        StepOn,
        CutOn,
        EndOn,
        StageOn,
        FastenerOn,
        ShopOn,
        Picture,
        Tick,
        TickList,
    );
    let point = "/** Millimetres in the board's frame: as seen looking at the front, x right, y up. */\n\
                 export type Pt = [number, number];\n";
    let kinds: Vec<String> = crate::edits::KINDS.iter().map(|k| format!("\"{k}\"")).collect();
    let kinds = format!(
        "/** Kinds of things in the files. */\nexport type SubjectKind = {};\n",
        kinds.join(" | ")
    );
    format!("{HEAD}\n{point}\n{kinds}\n{}", all.join("\n"))
}

/// Fails when the file is stale; `cargo xtask types` sets the variable that has it written.
#[test]
fn the_pages_types_are_fresh() {
    let (file, text) = (file(), text());
    if std::env::var_os("LOOMDECK_WRITE_TYPES").is_some() {
        std::fs::create_dir_all(file.parent().unwrap()).unwrap();
        std::fs::write(&file, text).unwrap();
        return;
    }
    let there = std::fs::read_to_string(&file).unwrap_or_default();
    assert!(there.replace("\r\n", "\n") == text, "web/src/talk.ts is stale: run `cargo xtask types`");
}
