//! At rest and in the body: what the board stands on, what it weighs, how it bends and grows.

use super::data::{StandPart, Table};
use super::service::fine;
use super::{Files, front};
use crate::face::Matter;
use crate::palette::Theme;
use crate::steps;
use crate::words;
use loomdeck_model::units::{Kilograms, three_digits};
use loomdeck_model::{Board, LengthUnit, Robot, Subject};
use loomdeck_space::rest::strength::SPAN_OVER;
use loomdeck_space::rest::{BoardMass, Growth, Held, Laid, MassOf, Rest, Strength};

/// Room for each of two pictures side by side, mm.
const PICTURE: (f64, f64) = (80.0, 52.0);
/// Heaviest shares that are listed.
const SHARES: usize = 6;

/// Everything about the board at rest.
pub fn stand(matter: &Matter<'_>, files: &mut Files) -> Option<StandPart> {
    let rest: &Rest = matter.geometry.rest.as_ref()?;
    let board = matter.robot.board.as_ref()?;
    let unit = matter.robot.book.unit;
    let pictures = rest.laid.iter().filter_map(|l| {
        let s = steps::laid(matter, l, &rest.mass, Theme::Paper, PICTURE)?;
        let title = format!("{} down", super::making::capital(l.down.word()));
        Some(files.picture(&format!("laid-{}", l.down.word()), s.svg, &title, s.width))
    });
    let pictures = pictures.collect();
    let said = |text: String| front::quoted(&text);
    Some(StandPart {
        weight: weight(matter.robot, &rest.mass, unit).into_iter().map(said).collect(),
        shares: shares(matter.robot, &rest.mass),
        pictures,
        laid: rest.laid.iter().map(|l| words_of(l, unit)).map(said).collect(),
        feet: feet(&rest.laid, unit),
        held: held(board, &rest.held, unit),
        mounts: mounts(board, &rest.held, rest.growth.as_ref(), unit),
        growth: rest.growth.as_ref().map(|g| growth(board, g, unit)).unwrap_or_default(),
    })
}

/// A mass: kilograms, or grams below one.
pub fn mass(m: Kilograms) -> String {
    if m.0.abs() < 1.0 { format!("{}\u{2009}g", (m.0 * 1000.0).round()) } else { m.to_string() }
}

fn weight(robot: &Robot, mass_of: &BoardMass, unit: LengthUnit) -> Vec<String> {
    let c = mass_of.centre;
    let depth = robot.board.as_ref().map_or(0.0, |b| b.thickness.0);
    let z = if c.z > 0.0 {
        format!("{} in front of the front face", fine(c.z, unit))
    } else if -c.z > depth {
        format!("{} behind the back face", fine(-c.z - depth, unit))
    } else {
        "within the sheet".to_owned()
    };
    let mut out = vec![format!(
        "The loaded board weighs {}. Its centre of mass lies {} to the right of the board’s origin and {} above it, \
         {z}.",
        mass(mass_of.total),
        words::length(c.x.round(), unit),
        words::length(c.y.round(), unit),
    )];
    if !mass_of.not_stated.is_empty() {
        let names: Vec<&str> =
            mass_of.not_stated.iter().map(|o| super::service::owner(robot, *o)).collect();
        out.push(format!("It is heavier than that: no mass is stated for {}.", names.join(", ")));
    }
    out
}

fn shares(robot: &Robot, of: &BoardMass) -> Table {
    let mut t = Table::new("What it weighs", &["***of", ">mass"], "");
    let mut rows: Vec<(f64, String)> = of
        .shares
        .iter()
        .map(|s| {
            let name = match s.of {
                MassOf::Sheet => "the sheet itself".to_owned(),
                MassOf::Owner(o) => super::service::owner(robot, o).to_owned(),
                MassOf::Wires => "wires on the board".to_owned(),
                MassOf::Hardware => "screws, nuts, washers".to_owned(),
            };
            (s.mass.0, name)
        })
        .collect();
    rows.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    let rest: f64 = rows.iter().skip(SHARES).map(|r| r.0).sum();
    let more = rows.len().saturating_sub(SHARES);
    for (m, name) in rows.into_iter().take(SHARES) {
        t.row([name, mass(Kilograms(m))]);
    }
    if more > 0 {
        t.row([format!("{more} more"), mass(Kilograms(rest))]);
    }
    t
}

/// How it lies with one face down.
fn words_of(laid: &Laid, unit: LengthUnit) -> String {
    let lean = if laid.lean.0 >= 0.5 {
        format!(" It leans {}° from level.", three_digits(laid.lean.0))
    } else {
        String::new()
    };
    let delicate: Vec<String> = laid
        .carriers
        .iter()
        .filter_map(|c| c.delicate.map(|why| format!("{} ({why})", c.on.name())))
        .collect();
    let delicate = if delicate.is_empty() {
        String::new()
    } else {
        format!(" Do not let it stand on {}: put blocks under the sheet instead.", delicate.join(", "))
    };
    format!(
        "With its {} down it stands on three points. The weight falls {} inside the nearest line it could tip over, so \
         it tips when the table is tilted by {}°.{lean}{delicate}",
        laid.down.word(),
        words::length(laid.margin.0, unit),
        three_digits(laid.tip.0),
    )
}

fn feet(laid: &[Laid], unit: LengthUnit) -> Table {
    let right = format!(">x, {}", words::unit_word(unit));
    let up = format!(">y, {}", words::unit_word(unit));
    let heads = ["face down", "***stands on", &right, &up, ">carries"];
    let mut t = Table::new("Feet", &heads, "");
    for l in laid {
        for f in &l.feet {
            t.row([
                l.down.word().to_owned(),
                standing_on(&f.on, f.stand),
                words::position(f.at.x, unit),
                words::position(f.at.y, unit),
                mass(f.load),
            ]);
        }
    }
    t
}

fn standing_on(on: &Subject, stand: loomdeck_space::rest::Stand) -> String {
    use loomdeck_space::rest::Stand;
    match stand {
        Stand::Top => on.name().to_owned(),
        Stand::Head => format!("screw or nut of {}", on.name()),
        Stand::Sheet => "a corner of the sheet".to_owned(),
        Stand::Foot => "a foot".to_owned(),
    }
}

fn held(board: &Board, held: &Held, unit: LengthUnit) -> Vec<String> {
    match held {
        Held::Nowhere => vec![
            "No mounts are stated, so nothing is known of how the sheet bends in the body.".to_owned(),
        ],
        Held::LikeAHinge { off_line } => vec![format!(
            "The mounts hold it like a hinge: its centre of mass lies {} off the line through them.",
            words::length(off_line.0, unit)
        )],
        Held::Firmly(s) => firmly(board, s, unit),
    }
}

fn firmly(board: &Board, s: &Strength, unit: LengthUnit) -> Vec<String> {
    let mut out = vec![
        format!(
            "Lying on its mounts, the {} sheet of {} sags {} under its load, and {} after a thousand hours; up to {} is \
             not seen as crooked (the free span of {} over {SPAN_OVER}). It is deepest {} to the right of the origin and \
             {} above it.",
            board.material.word(),
            words::length(board.thickness.0, unit),
            fine(s.sag.0, unit),
            fine(s.sag_later.0, unit),
            fine(s.allowed_sag().0, unit),
            words::length(s.span.0, unit),
            words::length(s.at.x, unit),
            words::length(s.at.y, unit),
        ),
        format!(
            "A bump of {} times its weight bends it {} and stresses it to {}\u{2009}MPa; {}\u{2009}MPa is allowed.",
            three_digits(s.bump),
            fine(s.sag_bump.0, unit),
            three_digits(s.stress_mpa),
            three_digits(s.allowed_mpa),
        ),
    ];
    if !s.rough.is_empty() {
        let why: Vec<String> =
            s.rough.iter().map(|r| front::in_unit(r.trim_end_matches('.'), unit)).collect();
        out.push(format!("These figures are rough: {}.", why.join("; ")));
    }
    out
}

/// Mount by mount: what it carries, how far the sheet moves past it.
fn mounts(board: &Board, held: &Held, growth: Option<&Growth>, unit: LengthUnit) -> Table {
    let heads = ["***mount", ">carries", ">sheet moves", ">room either way", "**"];
    let mut t = Table::new("Mounts", &heads, "");
    for (i, mount) in board.mounts.iter().enumerate() {
        let load = match held {
            Held::Firmly(s) => s.mounts.iter().find(|m| m.mount == i).map(|m| mass(m.load)),
            _ => None,
        };
        let moves = growth.and_then(|g| g.mounts.iter().find(|m| m.mount == i));
        let tight = moves.is_some_and(|m| m.moves[1].0 > m.play.0 + 1e-9);
        let wants = moves.filter(|_| tight).map(|m| {
            let wide = m.hole_needed(mount.thread);
            format!("wants a hole of {}", words::length(wide.0, unit))
        });
        t.row([
            format!("{} ({})", mount.name, mount.thread.word()),
            load.unwrap_or_default(),
            moves.map_or_else(String::new, |m| fine(m.moves[1].0, unit)),
            moves.map_or_else(String::new, |m| fine(m.play.0, unit)),
            wants.unwrap_or_default(),
        ]);
    }
    t
}

fn growth(board: &Board, g: &Growth, unit: LengthUnit) -> Vec<String> {
    let span = if (g.over_span[1] - g.over_span[0]).0 < 0.01 {
        fine(g.over_span[1].0, unit)
    } else {
        format!("{} to {}", fine(g.over_span[0].0, unit), fine(g.over_span[1].0, unit))
    };
    let worst = if g.worst().is_some() {
        "That is more than the holes leave room for: the sheet would buckle or crack."
    } else {
        "The holes of its mounts leave room for that."
    };
    vec![format!(
        "Drilled at {:.0} and used from {:.0} to {:.0}, the {} sheet grows by {span} over the {} between its furthest \
         mounts. {worst} Tighten its bolts so that it can slide.",
        g.made_at,
        g.coldest,
        g.hottest,
        board.material.word(),
        words::length(g.span.0, unit),
    )]
}
