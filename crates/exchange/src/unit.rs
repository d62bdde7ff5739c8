//! The unit a column's header gives to the bare numbers under it.

use studio::Kind;

macro_rules! units {
    ($($name:ident $word:literal [$($kind:ident)+] $($spelling:literal)*;)+) => {
        /// A unit in a header.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum HeaderUnit {
            $(
                #[doc = $word]
                $name,
            )+
        }

        impl HeaderUnit {
            /// Every unit.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// Names it as every field reads it.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$name => $word,)+ }
            }

            /// Tells whether a field of this kind can be in it.
            #[must_use]
            pub const fn is_of(self, kind: Kind) -> bool {
                match self { $(Self::$name => matches!(kind, $(Kind::$kind)|+),)+ }
            }

            /// Finds a unit by a word of a header, in small letters.
            #[must_use]
            pub fn from_word(word: &str) -> Option<Self> {
                match word {
                    $($word $(| $spelling)* => Some(Self::$name),)+
                    _ => None,
                }
            }
        }
    };
}

units! {
    Inches "in" [Height Small] "ins" "inch" "inches";
    Millimetres "mm" [Height Small] "millimetre" "millimetres" "millimeter" "millimeters";
    Centimetres "cm" [Height Small] "centimetre" "centimetres" "centimeter" "centimeters";
    Metres "m" [Height Small] "metre" "metres" "meter" "meters";
    Grams "g" [Mass] "gram" "grams" "gramme" "grammes";
    Kilograms "kg" [Mass] "kilogram" "kilograms";
    Ounces "oz" [Mass] "ounce" "ounces";
    Pounds "lb" [Mass] "lbs" "pound" "pounds";
    Degrees "deg" [Angle] "degs" "degree" "degrees";
    CyclesAMinute "cpm" [Frequency];
    Hertz "hz" [Frequency];
}

impl HeaderUnit {
    /// Writes the unit behind a bare number; a cell with letters or signs of its own stays as it is.
    #[must_use]
    pub fn beside(self, cell: &str) -> String {
        if is_bare(cell) { format!("{} {}", cell.trim(), self.word()) } else { cell.to_owned() }
    }
}

/// Tells whether a cell is a number without a unit, fractions and decimal commas included.
fn is_bare(cell: &str) -> bool {
    let is_fraction = |sign: char| matches!(sign, '½' | '¼' | '¾' | '⅛' | '⅜' | '⅝' | '⅞');
    let is_digit = |sign: char| sign.is_ascii_digit() || is_fraction(sign);
    let is_between = |sign: char| {
        sign.is_whitespace()
            || matches!(sign, '.' | ',' | '/' | '\u{2044}' | '\u{2215}' | '+' | '-' | '\u{2212}')
    };
    cell.chars().any(is_digit) && cell.chars().all(|sign| is_digit(sign) || is_between(sign))
}

#[cfg(test)]
mod tests {
    use super::HeaderUnit;
    use studio::{Field, Units};

    #[test]
    fn every_unit_is_read_by_a_field_of_its_kind() {
        for unit in HeaderUnit::ALL {
            assert_eq!(HeaderUnit::from_word(unit.word()), Some(*unit));
            let fields: Vec<&Field> = Field::ALL.iter().filter(|field| unit.is_of(field.kind())).collect();
            assert!(!fields.is_empty(), "{unit:?}");
            for field in fields {
                assert!(field.read(&unit.beside("1"), Units::Inches).is_ok(), "{unit:?} {field:?}");
            }
        }
    }

    #[test]
    fn only_a_bare_number_takes_the_unit() {
        let mm = |cell: &str| HeaderUnit::Millimetres.beside(cell);
        assert_eq!(mm(" 945 "), "945 mm");
        assert_eq!(mm("945,5"), "945,5 mm");
        assert_eq!(mm("37 1/4"), "37 1/4 mm");
        assert_eq!(mm("37¼"), "37¼ mm");
        for cell in ["37 in", "37\"", "long", "-", "", "1e3"] {
            assert_eq!(mm(cell), cell);
        }
    }
}
