//! What who comes in may do.

use crate::talk::Ask;

/// The rights that a door gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rights {
    /// All: it is the page of who opened the desk.
    Own,
    /// A guest's, from the network.
    Guest {
        /// It may change the robot too.
        may_edit: bool,
    },
}

impl Rights {
    /// It may change the robot.
    pub const fn may_edit(self) -> bool {
        matches!(self, Self::Own | Self::Guest { may_edit: true })
    }

    /// It is a guest's.
    pub const fn is_guest(self) -> bool {
        matches!(self, Self::Guest { .. })
    }

    /// Why an ask is refused; `None`: it is granted.
    pub const fn refuses(self, ask: &Ask) -> Option<&'static str> {
        match ask {
            Ask::Hello { .. }
            | Ask::Look { .. }
            | Ask::LetGo { .. }
            | Ask::Tick { .. }
            | Ask::Fields { .. }
            | Ask::Rooms { .. }
            | Ask::Library { .. } => None,
            _ if self.may_edit() => None,
            // There is one robot on show, and every page sees it: what a guest tries would move under the hand of
            // who works at it. The trial of a remedy takes the machine from them.
            Ask::Try { .. } | Ask::Slide { .. } | Ask::Preview { .. } => Some(NO_TRYING),
            Ask::Edit { .. }
            | Ask::Field { .. }
            | Ask::TakeOut { .. }
            | Ask::Twin { .. }
            | Ask::TypeForms { .. }
            | Ask::DraftLike { .. }
            | Ask::Draft { .. }
            | Ask::MakeType { .. }
            | Ask::Form { .. }
            | Ask::New { .. }
            | Ask::Undo { .. }
            | Ask::Redo { .. }
            | Ask::Remedy { .. } => Some(NO_EDITING),
        }
    }
}

const NO_EDITING: &str = "You came over the network, so you may look and tick off, and change nothing. Whoever opened the desk allows more with `--lan-edit`.";
const NO_TRYING: &str = "You came over the network, so you may look and tick off. What you try would be seen by all; whoever opened the desk allows it with `--lan-edit`.";
