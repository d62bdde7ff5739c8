//! What an address needs of whoever asks for it.

use super::Visitor;
use crate::network::listen::Came;

/// What is needed to be answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Need {
    /// Nothing: the way in, style, script.
    Anyone,
    /// To be signed in, or at home on this machine.
    #[default]
    SignedIn,
    /// The passphrase typed a short while ago.
    Fresh,
    /// This machine itself: what lets others in.
    ThisMachine,
}

/// Why someone is turned away.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Turned {
    /// The device was not let in yet.
    NotPaired,
    /// Nobody is signed in on it.
    NotSignedIn,
    /// The passphrase is asked for again.
    NotFresh,
    /// Only this machine itself does that.
    Elsewhere,
}

impl Need {
    /// Why a visitor is turned away, if they are.
    pub(crate) fn turns_away(self, visitor: &Visitor) -> Option<Turned> {
        if self == Self::Anyone || (visitor.is_at_home && visitor.came == Came::Host) {
            return None;
        }
        if visitor.session.is_none() {
            let is_known = visitor.device.is_some() || visitor.came == Came::Host;
            return Some(if is_known { Turned::NotSignedIn } else { Turned::NotPaired });
        }
        match self {
            Self::Anyone | Self::SignedIn => None,
            Self::Fresh => (!visitor.is_fresh).then_some(Turned::NotFresh),
            Self::ThisMachine => (visitor.came != Came::Host).then_some(Turned::Elsewhere),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Need, Turned};
    use crate::door::Visitor;
    use crate::network::listen::Came;

    #[test]
    fn each_need_turns_away_whom_it_should() {
        let stranger = Visitor { came: Came::Network([10, 0, 0, 9].into()), ..Visitor::default() };
        let paired = Visitor { device: Some(1), ..stranger };
        let signed = Visitor { session: Some(2), ..paired };
        let fresh = Visitor { is_fresh: true, ..signed };
        let home = Visitor { is_at_home: true, ..Visitor::default() };
        let shut_home = Visitor::default();
        let turned =
            |need: Need| [stranger, paired, signed, fresh, home, shut_home].map(|one| need.turns_away(&one));
        let (pair, sign, again, away) = (
            Some(Turned::NotPaired),
            Some(Turned::NotSignedIn),
            Some(Turned::NotFresh),
            Some(Turned::Elsewhere),
        );
        assert_eq!(turned(Need::Anyone), [None; 6]);
        assert_eq!(turned(Need::SignedIn), [pair, sign, None, None, None, sign]);
        assert_eq!(turned(Need::Fresh), [pair, sign, again, None, None, sign]);
        assert_eq!(turned(Need::ThisMachine), [pair, sign, away, away, None, sign]);
    }
}
