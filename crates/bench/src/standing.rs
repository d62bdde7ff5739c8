//! How a way stands: the house's limits, the club's condition and the rule on length, most severe first.

use crate::House;
use crate::way::{Way, WayKind, dust};
use club::rules::LengthRule;
use club::{Club, Condition};
use quantity::{InchStep, Length};

/// How a way stands to the house's limits and the Rules.
#[derive(Debug, Clone, PartialEq)]
pub enum Standing {
    /// Nothing against it.
    Plain,
    /// To be said before it is done.
    Caution(String),
    /// Only with the golfer's written acceptance.
    NeedsAcceptance(String),
    /// Not done.
    Refused(String),
}

impl Standing {
    /// Returns the reason, if there is one.
    #[must_use]
    pub fn reason(&self) -> Option<&str> {
        match self {
            Self::Plain => None,
            Self::Caution(reason) | Self::NeedsAcceptance(reason) | Self::Refused(reason) => Some(reason),
        }
    }

    /// Names it in a word or two.
    #[must_use]
    pub fn words(&self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Caution(_) => "with caution",
            Self::NeedsAcceptance(_) => "written acceptance",
            Self::Refused(_) => "not done",
        }
    }
}

/// Holds a way against the house's limits, the club's condition and the Rules.
pub(crate) fn standing(club: &Club, way: Way, house: &House) -> Standing {
    if club.is(Condition::Cracked) && way.kind() != WayKind::OtherShaft {
        return Standing::Refused("the shaft is cracked: it is not played, and not worked on".to_owned());
    }
    let by_house = match way {
        Way::Leave | Way::Regrip(_) | Way::OtherShaft(_) => Standing::Plain,
        Way::GripDown(by) => grip_down_standing(by, house),
        Way::Cut(by) => cut_standing(club, by, house),
        Way::Extend(by, _) => extension_standing(club, by, house),
    };
    if matches!(by_house, Standing::Refused(_)) {
        return by_house;
    }
    let length = club.length() + way.change_of_hold();
    match LengthRule::of(club.kind, length) {
        LengthRule::AppearsToFit => by_house,
        rule @ LengthRule::OverTheLocalRule => match by_house {
            Standing::Plain => Standing::Caution(rule.sentence().to_owned()),
            other => other,
        },
        rule @ (LengthRule::TooShort | LengthRule::TooLong) => Standing::Refused(rule.sentence().to_owned()),
    }
}

fn grip_down_standing(by: Length, house: &House) -> Standing {
    if by <= house.most_grip_down + dust() {
        return Standing::Plain;
    }
    Standing::Refused(format!(
        "held more than {} down a grip loses its taper and grows thin",
        house.most_grip_down.to_step(InchStep::Sixteenth)
    ))
}

fn cut_standing(club: &Club, by: Length, house: &House) -> Standing {
    if club.is(Condition::AlreadyExtended) {
        return Standing::Caution(
            "there is an extension inside: take the piece out before measuring a cut".to_owned(),
        );
    }
    if by > house.plain_cut + dust() {
        return Standing::Caution(format!(
            "a cut of more than {} leaves the club stiffer and lighter at the head than it was made",
            house.plain_cut.to_step(InchStep::Sixteenth)
        ));
    }
    Standing::Plain
}

fn extension_standing(club: &Club, by: Length, house: &House) -> Standing {
    let step = InchStep::Sixteenth;
    if club.is(Condition::AlreadyExtended) {
        return Standing::Refused(
            "already extended once: a second piece on the first works loose".to_owned(),
        );
    }
    let least = house.least_shaft(club.shaft.material);
    if club.shaft.mass.value < least {
        return Standing::Refused(format!(
            "a {} shaft of about {} is under {}: its butt is too thin to hold a plug",
            club.shaft.material,
            club.shaft.mass.value.grams_printed(0),
            least.grams_printed(0)
        ));
    }
    if by > house.most_extension + dust() {
        return Standing::Refused(format!(
            "over the house's limit of {}",
            house.most_extension.to_step(step)
        ));
    }
    if by > house.caution_extension + dust() {
        return Standing::NeedsAcceptance(format!(
            "over {}: only with the golfer's written acceptance",
            house.caution_extension.to_step(step)
        ));
    }
    if by > house.plain_extension + dust() {
        return Standing::Caution(format!(
            "over {}: say that the joint carries more, and quote another shaft beside it",
            house.plain_extension.to_step(step)
        ));
    }
    if club.is(Condition::Rusted) {
        return Standing::Caution("rust: clean the butt bright before judging the wall".to_owned());
    }
    Standing::Plain
}
