//! Parts a job needs, and how many.

use club::Club;
use quantity::{InchStep, Length, Mass, Printed};

macro_rules! part_kinds {
    ($($name:ident $word:literal $doc:literal)+) => {
        /// What a part is.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum PartKind {
            $(
                #[doc = $doc]
                $name,
            )+
        }

        impl PartKind {
            /// Every kind, in the order of the bench: what goes into the butt, over it, and to the head.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// Names it.
            #[must_use]
            pub const fn words(self) -> &'static str {
                match self { $(Self::$name => $word,)+ }
            }
        }
    };
}

part_kinds! {
    Plug "plug" "A piece that extends a butt."
    Grip "grip" "A grip."
    GripTape "grip tape" "Tape under a grip."
    Glue "glue" "Glue for a joint."
    Shaft "shaft" "A shaft."
    Ferrule "ferrule" "A trim ring."
    TipWeight "tip weight" "A weight in the tip."
    ButtWeight "butt weight" "A weight in the butt."
    HeadTape "head tape" "Tape on a head."
}

impl PartKind {
    /// Finds a kind by its words.
    #[must_use]
    pub fn from_words(words: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|kind| kind.words() == words)
    }
}

/// One line of the parts list.
#[derive(Debug, Clone, PartialEq)]
pub struct PartLine {
    /// What it is.
    pub kind: PartKind,
    /// What to order, with the sizes that decide it.
    pub what: String,
    /// How many the clubs need.
    pub needed: u32,
    /// How many to have over. Trade practice: one grip, one plug, two ferrules.
    pub spare: u32,
    /// How long the pieces are, where that is to be ordered too.
    pub lengths: Option<Lengths>,
    /// The diameter that decides: of the butt for a plug or a shaft, of the core for a grip.
    pub diameter: Option<Length>,
    /// What one weighs, where that decides.
    pub mass: Option<Mass>,
}

/// How the lengths of several pieces are told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lengths {
    /// Each piece is cut to its own length; this is the longest.
    UpTo(Length),
    /// All come off one roll; this is their sum.
    InAll(Length),
}

impl Lengths {
    /// Takes two lines of the same part together.
    fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::UpTo(one), Self::UpTo(two) | Self::InAll(two)) => Self::UpTo(one.max(two)),
            (Self::InAll(one), Self::UpTo(two) | Self::InAll(two)) => Self::InAll(one + two),
        }
    }
}

/// A roll of tape is not cut an inch longer for less than this, inches. Derived: below what a pair of scissors does.
const ROUNDING_IN: f64 = 0.01;
/// How lead tape is called on the list.
const LEAD_TAPE: &str = "Lead tape";

impl PartLine {
    /// Tells whether it is lead, which is said to the golfer.
    #[must_use]
    pub fn is_lead(&self) -> bool {
        self.what.starts_with(LEAD_TAPE)
    }

    /// Says what to order, with its length where that matters.
    #[must_use]
    pub fn words(&self) -> String {
        match self.lengths {
            Some(Lengths::UpTo(longest)) => {
                format!("{}, up to {} long", self.what, longest.to_step(InchStep::Sixteenth))
            }
            Some(Lengths::InAll(sum)) => format!("{}, {} in all", self.what, sum.to_step(InchStep::Quarter)),
            None => self.what.clone(),
        }
    }

    /// How many the shelf gives: pieces, or whole inches of a roll.
    #[must_use]
    pub fn count(&self) -> u32 {
        match self.lengths {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "some inches of tape"
            )]
            Some(Lengths::InAll(length)) => (length.as_inches() - ROUNDING_IN).ceil().max(1.0) as u32,
            Some(Lengths::UpTo(_)) | None => self.needed,
        }
    }

    /// One piece with so many spares for the whole job.
    pub(crate) fn one(kind: PartKind, what: String, spare: u32) -> Self {
        Self { kind, what, needed: 1, spare, lengths: None, diameter: None, mass: None }
    }

    /// A plug by butt outside diameter and wall, and by its length.
    pub(crate) fn plug(club: &Club, showing: Length) -> Self {
        let butt = club.shaft.butt_diameter.decimal_inches(3);
        let fit = match club.shaft.butt_wall {
            Some(wall) => {
                let inside = club.shaft.butt_diameter - wall * 2.0;
                format!("wall {}: inside {}", wall.decimal_inches(3), inside.decimal_inches(3))
            }
            None => "caliper the inside first".to_owned(),
        };
        let length = showing + club.plug.seated;
        Self {
            lengths: Some(Lengths::UpTo(length)),
            diameter: Some(club.shaft.butt_diameter),
            ..Self::one(PartKind::Plug, format!("Plug for a butt of {butt}, {fit}"), 1)
        }
    }

    /// A grip by core size and mass.
    pub(crate) fn grip(club: &Club, mass: Mass) -> Self {
        let what = format!("Grip, core {}, {}", club.grip.core.decimal_inches(3), mass.grams_printed(0));
        Self { diameter: Some(club.grip.core), mass: Some(mass), ..Self::one(PartKind::Grip, what, 1) }
    }

    /// A strip of two-way tape.
    pub(crate) fn two_way_tape() -> Self {
        Self::one(PartKind::GripTape, "Two-way grip tape, strip".to_owned(), 0)
    }

    /// Slow two-part glue.
    pub(crate) fn glue() -> Self {
        Self::one(PartKind::Glue, "Slow two-part epoxy, one joint".to_owned(), 0)
    }

    /// A shaft to cut to this length.
    pub(crate) fn shaft(club: &Club, cut: Length) -> Self {
        let butt = club.shaft.butt_diameter.decimal_inches(3);
        Self {
            lengths: Some(Lengths::UpTo(cut)),
            diameter: Some(club.shaft.butt_diameter),
            mass: Some(club.shaft.mass.value),
            ..Self::one(
                PartKind::Shaft,
                format!(
                    "Shaft, {}, {butt} butt, about {} as cut, tip to suit the head",
                    club.shaft.material,
                    club.shaft.mass.value.grams_printed(0)
                ),
                0,
            )
        }
    }

    /// A ferrule.
    pub(crate) fn ferrule() -> Self {
        Self::one(PartKind::Ferrule, "Ferrule".to_owned(), 2)
    }

    /// A head weight.
    pub(crate) fn tip_weight(mass: Mass) -> Self {
        let what = format!("Tip weight, {}", weight(mass));
        Self { mass: Some(mass), ..Self::one(PartKind::TipWeight, what, 0) }
    }

    /// A butt weight.
    pub(crate) fn butt_weight(mass: Mass) -> Self {
        let what = format!("Butt weight, {}", weight(mass));
        Self { mass: Some(mass), ..Self::one(PartKind::ButtWeight, what, 0) }
    }

    /// Tape for the back of a head: lead, but tungsten for a child.
    pub(crate) fn head_tape(length: Length, per_inch: Mass, is_growing: bool) -> Self {
        let metal = if is_growing { "Tungsten tape" } else { LEAD_TAPE };
        Self {
            lengths: Some(Lengths::InAll(length)),
            mass: Some(per_inch),
            ..Self::one(PartKind::HeadTape, format!("{metal} of {}/in", per_inch.grams_printed(2)), 0)
        }
    }
}

/// A weight as it is stamped: whole grams, or with the tenth it has.
pub(crate) fn weight(mass: Mass) -> Printed {
    let is_whole = (mass.as_grams() - mass.as_grams().round()).abs() < 0.05;
    mass.grams_printed(usize::from(!is_whole))
}

/// Adds lines up: the same part once, with how many are needed; the spares do not multiply.
pub(crate) fn gathered(lines: impl IntoIterator<Item = PartLine>) -> Vec<PartLine> {
    let mut list: Vec<PartLine> = Vec::new();
    for line in lines {
        match list.iter_mut().find(|have| have.what == line.what) {
            Some(have) => {
                have.needed += line.needed;
                have.spare = have.spare.max(line.spare);
                have.lengths = [have.lengths, line.lengths].into_iter().flatten().reduce(Lengths::and);
            }
            None => list.push(line),
        }
    }
    list
}
