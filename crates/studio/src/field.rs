//! The fields a reading can be of, one row for each: what it is, where it stands on a card, how it is taken.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Subject {
    /// The golfer.
    Body,
    /// A club.
    Club,
}

/// What kind of value a field takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A length read to 1/16 in.
    Height,
    /// A length read with a caliper.
    Small,
    /// A mass.
    Mass,
    /// An angle.
    Angle,
    /// Cycles a minute.
    Frequency,
    /// A speed.
    Speed,
    /// Letter and number of the 14-inch scale.
    Swingweight,
    /// What a shaft is made of.
    Material,
    /// How a head was made.
    Construction,
    /// What a close look found.
    Conditions,
}

macro_rules! fields {
    ($($name:ident $subject:ident $kind:ident $key:literal $label:literal $example:literal;)+) => {
        /// A field a reading can be of.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
        pub enum Field {
            $(
                #[doc = $label]
                #[serde(rename = $key)]
                $name,
            )+
        }

        impl Field {
            /// All fields, in the order in which they are shown.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// Returns its key on a fitting card.
            #[must_use]
            pub const fn key(self) -> &'static str {
                match self { $(Self::$name => $key,)+ }
            }

            /// Names it.
            #[must_use]
            pub const fn label(self) -> &'static str {
                match self { $(Self::$name => $label,)+ }
            }

            /// Shows how it may be typed.
            #[must_use]
            pub const fn example(self) -> &'static str {
                match self { $(Self::$name => $example,)+ }
            }

            /// Tells what is measured.
            #[must_use]
            pub const fn subject(self) -> Subject {
                match self { $(Self::$name => Subject::$subject,)+ }
            }

            /// Tells what kind of value it takes.
            #[must_use]
            pub const fn kind(self) -> Kind {
                match self { $(Self::$name => Kind::$kind,)+ }
            }
        }
    };
}

fields! {
    KnuckleHeight Body Height "knuckle_height" "Knuckle height" "29 1/4 in";
    WristHeight Body Height "wrist_height" "Wrist height" "34 in";
    Stature Body Height "stature" "Stature" "5 ft 10 in";
    HandLength Body Height "hand_length" "Hand length" "7 1/2 in";
    MiddleFinger Body Height "middle_finger" "Middle finger" "3 1/4 in";
    HeadSpeed Body Speed "head_speed" "Head speed, 7 iron" "78 mph";
    ClubLength Club Height "length" "Length" "37 in";
    Lie Club Angle "lie" "Lie" "62 deg";
    Loft Club Angle "loft" "Loft" "34 deg";
    Mass Club Mass "mass" "Mass" "426 g";
    Balance Club Height "balance" "Balance point" "28 1/4 in";
    Swingweight Club Swingweight "swingweight" "Swingweight" "D0.5";
    Frequency Club Frequency "frequency" "Frequency" "300 cpm";
    HeadConstruction Club Construction "head.construction" "Head made" "forged";
    GroovePitch Club Small "head.groove_pitch" "Groove pitch" "1/8 in";
    HeadMass Club Mass "head.mass" "Head mass" "268 g";
    ShaftMaterial Club Material "shaft.material" "Shaft" "steel";
    ButtMassPerInch Club Mass "shaft.butt_mass_per_inch" "An inch of butt weighs" "3.0 g";
    ButtDiameter Club Small "shaft.butt_diameter" "Butt outside" "0.600 in";
    ButtWall Club Small "shaft.butt_wall" "Butt wall" "0.020 in";
    GripMass Club Mass "grip.mass" "Grip mass" "50 g";
    GripCore Club Small "grip.core" "Grip core" "0.600 in";
    PlugMassPerInch Club Mass "plug.mass_per_inch" "An inch of plug weighs" "6 g";
    PlugSeated Club Small "plug.seated" "Plug seated" "2 1/2 in";
    Condition Club Conditions "condition" "Found on it" "rusted";
}

impl Field {
    /// Finds a field by its key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|field| field.key() == key)
    }

    /// Returns the fields of one subject.
    pub fn of(subject: Subject) -> impl Iterator<Item = Self> {
        Self::ALL.iter().copied().filter(move |field| field.subject() == subject)
    }

    /// Tells whether work at the bench changes it, so that a reading from before says nothing afterwards. A length, a
    /// mass, a lie are read again when the job is checked; the head stays what it is.
    #[must_use]
    pub fn is_changed_by_work(self) -> bool {
        matches!(
            self,
            Self::Balance
                | Self::Swingweight
                | Self::Frequency
                | Self::GripMass
                | Self::GripCore
                | Self::HeadMass
        )
    }

    /// Says how many readings of it are worth taking in a visit.
    #[must_use]
    pub fn readings(self) -> usize {
        match self {
            Self::KnuckleHeight | Self::WristHeight | Self::Stature => 3,
            _ => 1,
        }
    }

    /// Says how it is taken, so that two people read it alike.
    #[must_use]
    pub fn how(self) -> &'static str {
        match self {
            Self::KnuckleHeight => {
                "Floor to the middle knuckle of the lead hand's middle finger: stand tall, eyes level, arm hanging, fingers \
                 hooked as round a handle. The centre of the bony knob, seen from the side. Step away between readings."
            }
            Self::WristHeight => "Floor to the wrist crease of the lead hand, in the same shoes.",
            Self::Stature => "Against a wall, without shoes, a book flat on the head.",
            Self::HandLength => "Wrist crease to the tip of the middle finger, hand flat.",
            Self::MiddleFinger => "Root of the middle finger to its tip, on the palm side.",
            Self::HeadSpeed => "Five swings with the seven-iron, none dropped, the middle one.",
            Self::ClubLength => {
                "On a horizontal bed, sole against a plate at 60 degrees, to the top of the cap."
            }
            Self::Balance => "On a thin edge, from the grip end.",
            Self::Swingweight => "The 14-inch scale; either this or the balance point.",
            _ => "",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Field;

    #[test]
    fn keys_are_told_apart_and_found_again() {
        for field in Field::ALL {
            assert_eq!(Field::from_key(field.key()), Some(*field));
            assert!(!field.label().is_empty());
        }
    }
}
