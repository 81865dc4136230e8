//! Small grammars and word lists: colours, ends, fittings, threads.

use crate::element::{Chemistry, Shorted, SignalLoss};
use crate::part_type::*;
use crate::robot::*;
use crate::units::Millimetres;
use crate::wire::*;

/// `red` or `red/black`.
pub fn colour(text: &str) -> Option<Colour> {
    let base = |w: &str| {
        let w = w.trim().to_lowercase();
        let w = if w == "gray" { "grey".to_owned() } else { w };
        BaseColour::ALL.into_iter().find(|c| c.word() == w)
    };
    match text.split_once('/') {
        Some((a, b)) => Some(Colour { base: base(a)?, stripe: Some(base(b)?) }),
        None => Some(Colour::plain(base(text)?)),
    }
}

/// `ferrule`, `ring-6`, `receptacle-6.3`.
pub fn end_kind(text: &str) -> Option<EndKind> {
    let size = |rest: &str| {
        rest.trim_start_matches(['M', 'm']).parse::<f64>().ok().filter(|n| (0.5..=30.0).contains(n))
    };
    Some(match text {
        "bare" => EndKind::Bare,
        "ferrule" => EndKind::Ferrule,
        "contact" => EndKind::Contact,
        "header-contact" => EndKind::HeaderContact,
        "soldered" => EndKind::Soldered,
        "lead" => EndKind::Lead,
        _ => {
            let (kind, rest) = text.split_once('-')?;
            match kind {
                "ring" => EndKind::Ring(size(rest)?),
                "fork" => EndKind::Fork(size(rest)?),
                "receptacle" => EndKind::Receptacle(size(rest)?),
                _ => return None,
            }
        }
    })
}

/// The ends known, for messages.
pub const END_HELP: &str =
    "Ends are: bare, ferrule, ring-6, fork-4, receptacle-6.3, contact, header-contact, soldered, lead.";

/// How an end is written in files.
pub fn end_word(end: EndKind) -> String {
    use crate::units::three_digits as n;
    match end {
        EndKind::Bare => "bare".to_owned(),
        EndKind::Ferrule => "ferrule".to_owned(),
        EndKind::Ring(d) => format!("ring-{}", n(d)),
        EndKind::Fork(d) => format!("fork-{}", n(d)),
        EndKind::Receptacle(w) => format!("receptacle-{}", n(w)),
        EndKind::Contact => "contact".to_owned(),
        EndKind::HeaderContact => "header-contact".to_owned(),
        EndKind::Soldered => "soldered".to_owned(),
        EndKind::Lead => "lead".to_owned(),
    }
}

/// `M4`, `8-32`.
pub fn thread(text: &str) -> Option<Thread> {
    Thread::ALL.into_iter().find(|t| t.word() == text)
}

/// `screw-clamp`, `stud-M6`, `tab-6.3`, `lead-150`.
pub fn fitting(text: &str) -> Option<Fitting> {
    Some(match text {
        "screw-clamp" => Fitting::ScrewClamp,
        "spring-clamp" => Fitting::SpringClamp,
        "contact" => Fitting::Contact,
        "pin" => Fitting::Pin,
        "solder" => Fitting::Solder,
        _ => match text.split_once('-')? {
            ("stud", t) => Fitting::Stud(thread(t)?),
            ("tab", w) => {
                Fitting::Tab(Millimetres(w.parse().ok().filter(|w| (1.0..=20.0).contains(w))?))
            }
            ("lead", l) => {
                Fitting::Lead(Millimetres(l.parse().ok().filter(|l| (1.0..=5000.0).contains(l))?))
            }
            _ => return None,
        },
    })
}

/// The ends that a fitting takes when its type does not say.
pub fn usual_ends(fitting: Fitting) -> Vec<EndKind> {
    match fitting {
        Fitting::ScrewClamp | Fitting::SpringClamp => vec![EndKind::Ferrule, EndKind::Bare],
        Fitting::Stud(t) => vec![EndKind::Ring(t.major().0)],
        Fitting::Tab(w) => vec![EndKind::Receptacle(w.0)],
        Fitting::Contact => vec![EndKind::Contact],
        Fitting::Pin => vec![EndKind::HeaderContact],
        Fitting::Solder => vec![EndKind::Soldered],
        Fitting::Lead(_) => vec![EndKind::Lead],
    }
}

/// Stiff length in front of a fitting when its type does not say: common of such ends, no source.
pub fn usual_boot(fitting: Fitting) -> Millimetres {
    Millimetres(match fitting {
        Fitting::ScrewClamp | Fitting::SpringClamp => 4.0,
        Fitting::Stud(t) => 6.0 + 2.0 * t.major().0,
        Fitting::Tab(_) => 20.0,
        Fitting::Contact => 12.0,
        Fitting::Pin => 14.0,
        Fitting::Solder => 3.0,
        Fitting::Lead(_) => 0.0,
    })
}

macro_rules! words {
    ($(#[$meta:meta])* $name:ident -> $type:ty { $($word:literal => $value:expr),* $(,)? }) => {
        $(#[$meta])*
        pub fn $name(text: &str) -> Option<$type> {
            match text {
                $($word => Some($value),)*
                _ => None,
            }
        }
    };
}

words!(
/// Chemistry of a battery.
chemistry -> Chemistry {
    "lead-flooded" => Chemistry::LeadFlooded,
    "lead-agm" => Chemistry::LeadAgm,
    "lead-gel" => Chemistry::LeadGel,
    "lithium-iron-phosphate" => Chemistry::LithiumIronPhosphate,
    "lithium-ion" => Chemistry::LithiumIon,
    "nickel-metal-hydride" => Chemistry::NickelMetalHydride,
});
words!(
/// What something does when its commands cease.
signal_loss -> SignalLoss {
    "stops" => SignalLoss::Stops,
    "holds" => SignalLoss::Holds,
    "silent" => SignalLoss::Silent,
});
words!(
/// What a source does into a short.
shorted -> Shorted {
    "holds" => Shorted::Holds,
    "trips" => Shorted::Trips,
});
words!(
/// What holds the robot on a slope.
held_by -> HeldBy {
    "brake" => HeldBy::Brake,
    "chocks" => HeldBy::Chocks,
});
words!(
/// Style of a fixing.
fixing_style -> FixingStyle {
    "bolt-and-nut" => FixingStyle::BoltAndNut,
    "standoff" => FixingStyle::Standoff,
    "insert" => FixingStyle::Insert,
    "captive-nut" => FixingStyle::CaptiveNut,
    "clip" => FixingStyle::Clip,
    "cleat" => FixingStyle::Cleat,
    "adhesive" => FixingStyle::Adhesive,
    "housing" => FixingStyle::Housing,
    "wood-screw" => FixingStyle::WoodScrew,
    "loose" => FixingStyle::Loose,
});
words!(
/// Head of a screw.
head -> Head {
    "socket" => Head::Socket,
    "countersunk" => Head::Countersunk,
    "pan" => Head::Pan,
});
words!(
/// Noise class.
noise -> NoiseClass {
    "power" => NoiseClass::Power,
    "audio" => NoiseClass::Audio,
    "logic" => NoiseClass::Logic,
    "radio" => NoiseClass::Radio,
    "quiet" => NoiseClass::Quiet,
});
words!(
/// Role of a terminal.
role -> TerminalRole {
    "positive" => TerminalRole::Positive,
    "return" => TerminalRole::Return,
    "motor" => TerminalRole::Motor,
    "audio" => TerminalRole::Audio,
    "logic" => TerminalRole::Logic,
    "radio" => TerminalRole::Radio,
    "signal-return" => TerminalRole::SignalReturn,
    "screen" => TerminalRole::Screen,
    "bond" => TerminalRole::Bond,
    "passive" => TerminalRole::Passive,
});
words!(
/// Slack of a wire.
slack -> Slack {
    "fixed" => Slack::Fixed,
    "service" => Slack::Service,
    "moving" => Slack::Moving,
});
words!(
/// Function of a wire.
function -> Function {
    "supply" => Function::Supply,
    "return" => Function::Return,
    "motor" => Function::Motor,
    "audio" => Function::Audio,
    "logic" => Function::Logic,
    "radio" => Function::Radio,
    "signal-return" => Function::SignalReturn,
    "screen" => Function::Screen,
    "bond" => Function::Bond,
});
words!(
/// Insulation.
insulation -> Insulation {
    "pvc-70" => Insulation::Pvc70,
    "pvc-105" => Insulation::Pvc105,
    "silicone" => Insulation::Silicone,
    "xlpe" => Insulation::Xlpe,
    "ptfe" => Insulation::Ptfe,
});
words!(
/// Sheet material.
material -> Material {
    "hdpe" => Material::Hdpe,
    "plywood" => Material::Plywood,
    "acrylic" => Material::Acrylic,
    "abs" => Material::Abs,
    "polycarbonate" => Material::Polycarbonate,
    "aluminium" => Material::Aluminium,
});
words!(
/// Face.
face -> crate::geometry::Face {
    "front" => crate::geometry::Face::Front,
    "back" => crate::geometry::Face::Back,
});
words!(
/// Make-up of a cable.
cable_kind -> CableKind {
    "pair" => CableKind::Pair,
    "twisted-pair" => CableKind::TwistedPair,
    "screened" => CableKind::Screened,
    "multi-core" => CableKind::MultiCore,
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_are_written_as_they_are_read() {
        for text in [
            "bare",
            "ferrule",
            "ring-6",
            "fork-4",
            "receptacle-6.3",
            "contact",
            "header-contact",
            "soldered",
            "lead",
        ] {
            assert_eq!(end_kind(text).map(end_word).as_deref(), Some(text));
        }
        assert_eq!(end_kind("ring-M6"), Some(EndKind::Ring(6.0)));
        assert_eq!(end_kind("ring-nan"), None);
    }

    #[test]
    fn every_word_of_the_format_is_understood() {
        use crate::format::tables::{board, wiring};
        use crate::format::type_tables::elements::supply;
        for w in board::THREADS {
            assert!(thread(w).is_some(), "{w}");
        }
        for w in board::FIXING_STYLES {
            assert!(fixing_style(w).is_some(), "{w}");
        }
        for w in wiring::INSULATIONS {
            assert!(insulation(w).is_some(), "{w}");
        }
        for w in wiring::FUNCTIONS {
            assert!(function(w).is_some(), "{w}");
        }
        for w in supply::CHEMISTRIES {
            assert!(chemistry(w).is_some(), "{w}");
        }
    }

    #[test]
    fn colours_may_have_a_stripe() {
        assert_eq!(colour("red/black").map(|c| c.to_string()).as_deref(), Some("red/black"));
        assert_eq!(colour("Gray").map(|c| c.to_string()).as_deref(), Some("grey"));
        assert_eq!(colour("mauve"), None);
    }
}
