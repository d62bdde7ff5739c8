//! How a way stands: the house's limits, the club's condition and the rule on length, most severe first.

use crate::House;
use crate::way::{Way, WayKind, bench_length};
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

    fn severity(&self) -> u8 {
        match self {
            Self::Plain => 0,
            Self::Caution(_) => 1,
            Self::NeedsAcceptance(_) => 2,
            Self::Refused(_) => 3,
        }
    }

    /// Keeps the more severe of the two; of equals the first.
    fn or_worse(self, other: Self) -> Self {
        if other.severity() > self.severity() { other } else { self }
    }
}

/// Holds a way against the house's limits, the club's condition, the golfer's age and the Rules.
pub(crate) fn standing(club: &Club, way: Way, house: &House, is_growing: bool) -> Standing {
    if club.is(Condition::Cracked) && way.kind() != WayKind::OtherShaft {
        return Standing::Refused("the shaft is cracked: it is not played, and not worked on".to_owned());
    }
    let by_house = match way {
        Way::Leave | Way::Regrip(_) | Way::OtherShaft(_) => Standing::Plain,
        Way::GripDown(by) => grip_down(by, house),
        Way::Cut(by) => cut(club, by, house),
        Way::Extend(by, _) => extension_of(club, by, house),
    };
    by_house.or_worse(by_rule(club, way)).or_worse(by_age(way, is_growing))
}

fn by_rule(club: &Club, way: Way) -> Standing {
    let is_longer_or_shorter = matches!(way, Way::Cut(_) | Way::Extend(..) | Way::OtherShaft(_));
    let change = if is_longer_or_shorter { way.change_of_hold() } else { Length::ZERO };
    match LengthRule::of(club.kind, club.length() + change) {
        LengthRule::AppearsToFit => Standing::Plain,
        // the club is as it is; the work does not make it so
        rule @ (LengthRule::TooShort | LengthRule::TooLong) if !is_longer_or_shorter => {
            Standing::Caution(rule.sentence().to_owned())
        }
        rule @ LengthRule::OverTheLocalRule => Standing::Caution(rule.sentence().to_owned()),
        rule @ (LengthRule::TooShort | LengthRule::TooLong) => Standing::Refused(rule.sentence().to_owned()),
    }
}

fn by_age(way: Way, is_growing: bool) -> Standing {
    if is_growing && matches!(way, Way::Cut(_)) {
        return Standing::Caution(
            "a club cut down for a child is stiff, heavy and upright: a lighter, shorter one is usually better".to_owned(),
        );
    }
    if !is_growing || bench_length(way.change_of_hold()) <= Length::ZERO {
        return Standing::Plain;
    }
    Standing::NeedsAcceptance(
        "a growing golfer's club is not lengthened on a rule made for adults; only with a parent's or guardian's written \
         agreement"
            .to_owned(),
    )
}

fn grip_down(by: Length, house: &House) -> Standing {
    if bench_length(by) <= bench_length(house.most_grip_down) {
        return Standing::Plain;
    }
    Standing::Refused(format!(
        "held more than {} down a grip loses its taper and grows thin",
        house.most_grip_down.to_step(InchStep::Sixteenth)
    ))
}

/// What an extension inside means for any work on the butt.
const EXTENSION_INSIDE: &str =
    "an extension is inside: take the piece out, measure the bare club and make a new card";

fn cut(club: &Club, by: Length, house: &House) -> Standing {
    let step = InchStep::Sixteenth;
    let by = bench_length(by);
    if club.is(Condition::AlreadyExtended) {
        return Standing::Refused(EXTENSION_INSIDE.to_owned());
    }
    if by > bench_length(house.most_cut) {
        return Standing::Refused(format!(
            "over the house's limit of {} for a cut: another club",
            house.most_cut.to_step(step)
        ));
    }
    if by > bench_length(house.plain_cut) {
        return Standing::Caution(format!(
            "a cut of more than {} leaves the club stiffer and lighter at the head than it was made",
            house.plain_cut.to_step(step)
        ));
    }
    Standing::Plain
}

fn extension_of(club: &Club, by: Length, house: &House) -> Standing {
    if club.is(Condition::AlreadyExtended) {
        return Standing::Refused(EXTENSION_INSIDE.to_owned());
    }
    let rusted = if club.is(Condition::Rusted) {
        Standing::Caution("rust: the wall is judged on bright metal before anything is glued".to_owned())
    } else {
        Standing::Plain
    };
    house.extension_standing(by).or_worse(thin_butt(club, house)).or_worse(rusted)
}

/// Light shafts have thin butts. What was weighed decides; what was only inferred is said.
fn thin_butt(club: &Club, house: &House) -> Standing {
    let (mass, least) = (&club.shaft.mass, house.least_shaft(club.shaft.material));
    if mass.value >= least {
        return Standing::Plain;
    }
    let about = format!("a {} shaft of about {}", club.shaft.material, mass.value.grams_printed(0));
    let is_sure = club.is_weighed && club.is_grip_known && mass.value + mass.half_width < least;
    if is_sure {
        return Standing::Refused(format!(
            "{about} is under {}: its butt is too thin to hold a plug",
            least.grams_printed(0)
        ));
    }
    Standing::Caution(format!(
        "{about}, reckoned and not weighed, may be under {}: a thin butt holds no plug, weigh club and grip first",
        least.grams_printed(0)
    ))
}

impl House {
    /// Tells how an extension of this length stands to the house's limits, whatever the club.
    #[must_use]
    pub fn extension_standing(&self, by: Length) -> Standing {
        let step = InchStep::Sixteenth;
        let by = bench_length(by);
        if by > bench_length(self.most_extension) {
            return Standing::Refused(format!(
                "over the house's limit of {}",
                self.most_extension.to_step(step)
            ));
        }
        if by > bench_length(self.caution_extension) {
            return Standing::NeedsAcceptance(format!(
                "over {}: only with the golfer's written acceptance",
                self.caution_extension.to_step(step)
            ));
        }
        if by > bench_length(self.plain_extension) {
            return Standing::Caution(format!(
                "over {}: the joint carries more, and another shaft is the other way",
                self.plain_extension.to_step(step)
            ));
        }
        Standing::Plain
    }
}
