//! Colours of insulation: what the published conventions say, and what the shelf allows.
//!
//! The conventions disagree, so each proposal names the one it follows. Red for DC positive is in all
//! of them. For DC negative, ABYC E-11 and ISO 13297 (small craft) have black or yellow, IEC 60445
//! (2017) has white; black is proposed because it is what hook-up wire is sold in. Green-and-yellow is
//! for the protective conductor alone (IEC 60445). Motors, logic and audio have no published colour;
//! there the proposal only keeps clear of the colours that mean something.

use crate::making::ColourBasis;
use loomdeck_model::wire::{BaseColour, Colour};
use loomdeck_model::{Function, Robot, Wire};

const MARINE: &str = "ABYC E-11 and ISO 13297";
const EARTH: &str = "IEC 60445";
const FREE: &str = "no published colour; kept apart from red, black and green (common practice)";

/// Colours proposed for a function, best first, and whose convention that is.
pub fn convention(function: Function) -> (&'static [Colour], &'static str) {
    use BaseColour::*;
    const fn c(base: BaseColour) -> Colour {
        Colour::plain(base)
    }
    const GREEN_YELLOW: Colour = Colour { base: Green, stripe: Some(Yellow) };
    const SUPPLY: &[Colour] = &[c(Red), Colour { base: Red, stripe: Some(White) }];
    const RETURN: &[Colour] = &[
        c(Black),
        c(Yellow),
        Colour { base: Black, stripe: Some(Yellow) },
        Colour { base: Black, stripe: Some(White) },
    ];
    const BOND: &[Colour] = &[GREEN_YELLOW, c(Green)];
    const MOTOR: &[Colour] = &[c(Blue), c(Orange), c(Violet), c(White), c(Brown), c(Grey)];
    const LOGIC: &[Colour] = &[c(White), c(Violet), c(Blue), c(Grey), c(Orange), c(Brown)];
    const AUDIO: &[Colour] = &[c(Violet), c(White), c(Grey), c(Blue), c(Pink)];
    const RADIO: &[Colour] = &[c(Pink), c(Orange), c(White), c(Grey)];
    const SIGNAL_RETURN: &[Colour] = &[c(Grey), c(Black), c(Brown)];
    match function {
        Function::Supply => (SUPPLY, MARINE),
        Function::Return => (RETURN, MARINE),
        Function::Bond => (BOND, EARTH),
        Function::Motor => (MOTOR, FREE),
        Function::Logic => (LOGIC, FREE),
        Function::Audio => (AUDIO, FREE),
        Function::Radio => (RADIO, FREE),
        Function::SignalReturn | Function::Screen => (SIGNAL_RETURN, FREE),
    }
}

/// What a colour says to whoever opens the robot next, when it says anything.
pub const fn meaning(colour: Colour) -> Option<Function> {
    match colour.base {
        BaseColour::Red => Some(Function::Supply),
        BaseColour::Black => Some(Function::Return),
        BaseColour::Green => Some(Function::Bond),
        _ => None,
    }
}

/// A colour a wire of `function` may wear without telling a lie. Black is also fair on the returns
/// of signals.
pub fn agrees(colour: Colour, function: Function) -> bool {
    match meaning(colour) {
        None => true,
        Some(Function::Return) => {
            matches!(function, Function::Return | Function::SignalReturn | Function::Screen)
        }
        Some(meant) => meant == function,
    }
}

/// Colours on the shelf for a wire's size and insulation; `None`: the shelf does not limit it.
/// An empty list: the shelf has no such wire.
pub fn on_shelf(robot: &Robot, wire: &Wire) -> Option<Vec<Colour>> {
    if robot.shelf.wires.is_empty() {
        return None;
    }
    let reels =
        robot.shelf.wires.iter().filter(|s| s.gauge == wire.gauge && s.insulation == wire.insulation);
    Some(reels.flat_map(|s| s.colours.iter().copied()).collect())
}

/// The colour of a wire and the reason for it.
pub fn choose(robot: &Robot, wire: &Wire) -> (Colour, ColourBasis) {
    if let Some(colour) = wire.colour {
        return (colour, ColourBasis::Chosen);
    }
    let (wanted, name) = convention(wire.function);
    let turn = turn_in_its_bunch(robot, wire);
    let Some(shelf) = on_shelf(robot, wire).filter(|colours| !colours.is_empty()) else {
        return (wanted[turn % wanted.len()], ColourBasis::Convention(name));
    };
    let both: Vec<Colour> = wanted.iter().copied().filter(|c| shelf.contains(c)).collect();
    if !both.is_empty() {
        return (both[turn % both.len()], ColourBasis::Convention(name));
    }
    let honest = shelf.iter().find(|c| agrees(**c, wire.function));
    (*honest.unwrap_or(&shelf[0]), ColourBasis::Shelf)
}

/// Wires of one function between the same two places take their colours in turn, so that the two
/// leads of a motor can be told apart. Supplies, returns and bonds keep their one colour.
fn turn_in_its_bunch(robot: &Robot, wire: &Wire) -> usize {
    if !matches!(wire.function, Function::Motor | Function::Logic | Function::Audio) {
        return 0;
    }
    let place = |w: &Wire| (holder(w.from), holder(w.to));
    robot
        .wires
        .iter()
        .take_while(|w| w.name != wire.name)
        .filter(|w| w.function == wire.function && w.colour.is_none() && place(w) == place(wire))
        .count()
}

/// The part or plug a landing belongs to.
fn holder(landing: loomdeck_model::Landing) -> (u8, usize) {
    match landing {
        loomdeck_model::Landing::Part { part, .. } => (0, part.0),
        loomdeck_model::Landing::Plug { plug, .. } => (1, plug.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_function_has_a_colour_that_does_not_lie() {
        use Function::*;
        for function in [Supply, Return, Motor, Audio, Logic, Radio, SignalReturn, Screen, Bond] {
            let (colours, _) = convention(function);
            assert!(!colours.is_empty());
            assert!(colours.iter().all(|c| agrees(*c, function)), "{function:?}");
        }
    }

    #[test]
    fn the_published_colours_are_first() {
        // ABYC E-11 and ISO 13297: positive red; negative black or yellow. IEC 60445: green-and-yellow
        // for the protective conductor only.
        assert_eq!(convention(Function::Supply).0[0].to_string(), "red");
        assert_eq!(convention(Function::Return).0[0].to_string(), "black");
        assert_eq!(convention(Function::Bond).0[0].to_string(), "green/yellow");
        assert!(!agrees(Colour::plain(BaseColour::Red), Function::Return));
        assert!(!agrees(Colour::plain(BaseColour::Green), Function::Logic));
    }
}
