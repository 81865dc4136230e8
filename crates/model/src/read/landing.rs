//! Ends of wires: `part.terminal` and `plug.board.3`.

use super::names::same;
use super::problem::nearest;
use super::robot::Build;
use super::tree::Span;
use super::value::shown;
use super::view::Gather;
use crate::robot::{Half, Landing, PartId, PlugId};

/// Reads one end.
pub fn landing(text: &str, span: &Span, build: &Build, gather: &mut Gather<'_>) -> Option<Landing> {
    let pieces: Vec<&str> = text.split('.').collect();
    let Some(place) = build.place_of(pieces[0]) else {
        let help = match nearest(pieces[0], build.part_names.all()) {
            Some(near) => format!("Did you mean `{}`?", text.replacen(pieces[0], near, 1)),
            None => "An end is written `part.terminal`, or `plug.board.1` for a contact of a plug."
                .to_owned(),
        };
        gather.say_unresolved(
            span,
            format!("There is no part or plug called `{}`.", shown(pieces[0])),
            Some(help),
        );
        return None;
    };
    match place {
        PartOrPlug::Part(part) => terminal(part, &pieces[1..], span, build, gather),
        PartOrPlug::Plug(plug) => contact(plug, &pieces[1..], span, build, gather),
    }
}

/// What a name of a part or plug stands for.
#[derive(Clone, Copy, Debug)]
pub enum PartOrPlug {
    /// A part.
    Part(PartId),
    /// A plug.
    Plug(PlugId),
}

fn terminal(
    part: PartId,
    rest: &[&str],
    span: &Span,
    build: &Build,
    gather: &mut Gather<'_>,
) -> Option<Landing> {
    let kind = build.type_of(part)?;
    let names = || kind.terminals.iter().map(|t| t.name.as_str());
    if let [name] = rest
        && let Some(i) = kind.terminals.iter().position(|t| same(&t.name) == same(name))
    {
        return Some(Landing::Part { part, terminal: i });
    }
    let wanted = rest.join(".");
    let part_name = &build.parts.get(part.0)?.name;
    let help = match nearest(&wanted, names()) {
        Some(near) => format!("Did you mean `{part_name}.{near}`?"),
        None => format!("Its terminals: {}.", names().collect::<Vec<_>>().join(", ")),
    };
    let message = if rest.is_empty() {
        format!("The terminal of `{part_name}` is missing.")
    } else {
        format!("`{part_name}` ({}) has no terminal `{}`.", kind.title, shown(&wanted))
    };
    gather.say(span, message, Some(help));
    None
}

fn contact(
    plug: PlugId,
    rest: &[&str],
    span: &Span,
    build: &Build,
    gather: &mut Gather<'_>,
) -> Option<Landing> {
    // A plug that was refused has been reported; its wires need no second word.
    let p = build.plugs.get(plug.0)?;
    let contacts = build.types[p.family.0].plug_family.as_ref().map_or(0, |f| f.contacts);
    let half = match rest.first() {
        Some(&"board") => Some(Half::Board),
        Some(&"body") => Some(Half::Body),
        _ => None,
    };
    let number = rest.get(1).and_then(|n| n.parse::<u32>().ok()).filter(|n| (1..=contacts).contains(n));
    match (half, number, rest.len()) {
        (Some(half), Some(contact), 2) => Some(Landing::Plug { plug, half, contact }),
        _ => {
            gather.say(
                span,
                format!("This is not a contact of the plug `{}`.", p.name),
                Some(format!(
                    "Write `{0}.board.1` to `{0}.board.{1}`, or `{0}.body.1` to `{0}.body.{1}`.",
                    p.name, contacts
                )),
            );
            None
        }
    }
}
