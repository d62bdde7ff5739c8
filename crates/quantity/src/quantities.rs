//! The quantities themselves: newtypes in SI with constructors and readers named by unit.
//!
//! Conversion factors are exact by definition (international yard and pound agreement of 1959:
//! inch 25.4 mm, avoirdupois pound 453.59237 g and ounce a sixteenth of it, mile 1609.344 m).

use crate::parse::{Grammar, Unit, parse};
use crate::{Printed, QuantityError};
use std::cmp::Ordering;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// Metres in an inch. Definition.
const INCH_M: f64 = 0.0254;
/// Kilograms in an avoirdupois ounce. Definition: 0.453 592 37 kg / 16.
const OUNCE_KG: f64 = 0.028_349_523_125;
/// Metres in an international yard. Definition.
const YARD_M: f64 = 0.9144;
/// Metres a second in a mile an hour. Definition: 1609.344 m / 3600 s.
const MPH_M_S: f64 = 0.447_04;

/// Writes one quantity: the newtype, its arithmetic, its parser, and for each unit (so many SI units
/// `times / over`) a constructor, a checked constructor and a reader.
macro_rules! quantity {
    (
        $(#[$meta:meta])* $name:ident
        { $($make:ident $try_make:ident $read:ident $unit:literal = $times:expr, $over:expr;)+ }
        typed $grammar:ident
    ) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);

            $(
                #[doc = concat!("Makes one from so many ", $unit, " that the program worked out.")]
                #[must_use]
                pub const fn $make(value: f64) -> Self {
                    Self(value * $times / $over)
                }

                #[doc = concat!("Makes one from so many ", $unit, " that came from outside.")]
                ///
                /// # Errors
                /// [`QuantityError::NotFinite`], or [`QuantityError::Absurd`] beyond what a bench meets.
                pub fn $try_make(value: f64) -> Result<Self, QuantityError> {
                    $grammar.check(Self::$make(value).0, value, $unit).map(Self)
                }

                #[doc = concat!("Reads it in ", $unit, ".")]
                #[must_use]
                pub const fn $read(self) -> f64 {
                    self.0 * $over / $times
                }
            )+

            /// Reads what a person typed, in any unit this quantity knows.
            ///
            /// # Errors
            /// [`QuantityError`] saying what was expected, what was found and what to do.
            pub fn parse(text: &str) -> Result<Self, QuantityError> {
                parse(text, &$grammar).map(Self)
            }

            /// Returns its size without the sign.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// Orders two of them; every quantity that enters is finite, so this is a total order.
            #[must_use]
            pub fn compare(&self, other: &Self) -> Ordering {
                self.0.total_cmp(&other.0)
            }

            /// Returns the smaller of the two.
            #[must_use]
            pub const fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// Returns the larger of the two.
            #[must_use]
            pub const fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }

        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }

        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
                items.fold(Self::ZERO, Add::add)
            }
        }
    };
}

quantity! {
    /// A length, or a distance along a club from the grip end toward the head.
    Length {
        inches try_from_inches as_inches "in" = INCH_M, 1.0;
        mm try_from_mm as_mm "mm" = 1.0, 1000.0;
        metres try_from_metres as_metres "m" = 1.0, 1.0;
    }
    typed LENGTH
}

quantity! {
    /// How far a ball goes, along the ground or through the air.
    Distance {
        yards try_from_yards as_yards "yd" = YARD_M, 1.0;
        metres try_from_metres as_metres "m" = 1.0, 1.0;
    }
    typed DISTANCE
}

quantity! {
    /// A mass.
    Mass {
        grams try_from_grams as_grams "g" = 1.0, 1000.0;
        ounces try_from_ounces as_ounces "oz" = OUNCE_KG, 1.0;
        kilograms try_from_kilograms as_kilograms "kg" = 1.0, 1.0;
    }
    typed MASS
}

quantity! {
    /// An angle.
    Angle {
        degrees try_from_degrees as_degrees "deg" = std::f64::consts::PI, 180.0;
        radians try_from_radians as_radians "rad" = 1.0, 1.0;
    }
    typed ANGLE
}

quantity! {
    /// A moment of inertia.
    Inertia {
        kg_cm2 try_from_kg_cm2 as_kg_cm2 "kg cm²" = 1.0, 10_000.0;
        kg_m2 try_from_kg_m2 as_kg_m2 "kg m²" = 1.0, 1.0;
    }
    typed INERTIA
}

quantity! {
    /// A frequency.
    Frequency {
        cpm try_from_cpm as_cpm "cpm" = 1.0, 60.0;
        hertz try_from_hertz as_hertz "Hz" = 1.0, 1.0;
    }
    typed FREQUENCY
}

quantity! {
    /// A speed.
    Speed {
        mph try_from_mph as_mph "mph" = MPH_M_S, 1.0;
        metres_per_second try_from_metres_per_second as_metres_per_second "m/s" = 1.0, 1.0;
    }
    typed SPEED
}

quantity! {
    /// A first moment of mass: a mass times its distance, as a balance scale reads it.
    Moment {
        inch_ounces try_from_inch_ounces as_inch_ounces "in oz" = INCH_M * OUNCE_KG, 1.0;
        gram_inches try_from_gram_inches as_gram_inches "g in" = INCH_M, 1000.0;
        kilogram_metres try_from_kilogram_metres as_kilogram_metres "kg m" = 1.0, 1.0;
    }
    typed MOMENT
}

impl Length {
    /// Prints it in millimetres.
    #[must_use]
    pub fn mm_printed(self, decimals: usize) -> Printed {
        Printed::new(self.as_mm(), decimals, "mm")
    }

    /// Prints it in decimal inches, for diameters and other small things read with a caliper.
    #[must_use]
    pub fn decimal_inches(self, decimals: usize) -> Printed {
        Printed::new(self.as_inches(), decimals, "in")
    }
}

impl Distance {
    /// Prints it in yards.
    #[must_use]
    pub fn yards_printed(self, decimals: usize) -> Printed {
        Printed::new(self.as_yards(), decimals, "yd")
    }
}

impl Mass {
    /// Prints it in grams.
    #[must_use]
    pub fn grams_printed(self, decimals: usize) -> Printed {
        Printed::new(self.as_grams(), decimals, "g")
    }
}

impl Angle {
    /// Prints it in degrees.
    #[must_use]
    pub fn degrees_printed(self, decimals: usize) -> Printed {
        Printed::new(self.as_degrees(), decimals, "°")
    }
}

impl Inertia {
    /// Prints it in kg cm².
    #[must_use]
    pub fn kg_cm2_printed(self, decimals: usize) -> Printed {
        Printed::new(self.as_kg_cm2(), decimals, "kg cm²")
    }
}

impl Speed {
    /// Prints it in miles an hour.
    #[must_use]
    pub fn mph_printed(self, decimals: usize) -> Printed {
        Printed::new(self.as_mph(), decimals, "mph")
    }
}

impl Frequency {
    /// Prints it in cycles a minute.
    #[must_use]
    pub fn cpm_printed(self, decimals: usize) -> Printed {
        Printed::new(self.as_cpm(), decimals, "cpm")
    }
}

impl Moment {
    /// Prints it in inch-ounces.
    #[must_use]
    pub fn inch_ounces_printed(self, decimals: usize) -> Printed {
        Printed::new(self.as_inch_ounces(), decimals, "in oz")
    }
}

impl Mul<Length> for Mass {
    type Output = Moment;
    fn mul(self, arm: Length) -> Moment {
        Moment(self.0 * arm.0)
    }
}

impl Div<Length> for Moment {
    type Output = Mass;
    fn div(self, arm: Length) -> Mass {
        Mass(self.0 / arm.0)
    }
}

impl Div<Mass> for Moment {
    type Output = Length;
    fn div(self, mass: Mass) -> Length {
        Length(self.0 / mass.0)
    }
}

impl Mul<Length> for Moment {
    type Output = Inertia;
    fn mul(self, arm: Length) -> Inertia {
        Inertia(self.0 * arm.0)
    }
}

// What a person may type. The limits are the type's own (nothing at a bench comes near them); a field
// such as "length of a club" has narrower ones of its own where it is read.

const LENGTH: Grammar = Grammar {
    expected: "a length such as \"33 1/4 in\" or \"845 mm\"",
    known: "in, ft, mm, cm, m",
    units: &[
        Unit { spellings: &["", "in", "ins", "inch", "inches", "\""], times: INCH_M, over: 1.0 },
        Unit { spellings: &["mm"], times: 1.0, over: 1000.0 },
        Unit { spellings: &["cm"], times: 1.0, over: 100.0 },
        Unit { spellings: &["m"], times: 1.0, over: 1.0 },
        Unit { spellings: &["ft", "foot", "feet", "'"], times: INCH_M * 12.0, over: 1.0 },
    ],
    takes_feet_and_fractions: true,
    // wide enough that a height typed in millimetres and read as inches still reaches its field, which
    // can then name the slip
    least_si: -100.0,
    most_si: 100.0,
};

const DISTANCE: Grammar = Grammar {
    expected: "a distance such as \"150 yd\" or \"137 m\"",
    known: "yd, m, ft",
    units: &[
        Unit { spellings: &["", "yd", "yds", "yard", "yards"], times: YARD_M, over: 1.0 },
        Unit { spellings: &["m", "metre", "metres"], times: 1.0, over: 1.0 },
        Unit { spellings: &["ft", "foot", "feet"], times: INCH_M * 12.0, over: 1.0 },
    ],
    takes_feet_and_fractions: false,
    least_si: -2000.0,
    most_si: 2000.0,
};

const MASS: Grammar = Grammar {
    expected: "a mass such as \"426 g\"",
    known: "g, kg, oz, lb",
    units: &[
        Unit { spellings: &["", "g", "gram", "grams"], times: 1.0, over: 1000.0 },
        Unit { spellings: &["kg"], times: 1.0, over: 1.0 },
        Unit { spellings: &["oz", "ounce", "ounces"], times: OUNCE_KG, over: 1.0 },
        Unit { spellings: &["lb", "lbs", "pound", "pounds"], times: OUNCE_KG * 16.0, over: 1.0 },
    ],
    takes_feet_and_fractions: false,
    least_si: -500.0,
    most_si: 500.0,
};

const ANGLE: Grammar = Grammar {
    expected: "an angle such as \"62 deg\"",
    known: "deg, °",
    units: &[Unit {
        spellings: &["", "deg", "degs", "degree", "degrees", "°"],
        times: std::f64::consts::PI,
        over: 180.0,
    }],
    takes_feet_and_fractions: false,
    least_si: -std::f64::consts::TAU,
    most_si: std::f64::consts::TAU,
};

const INERTIA: Grammar = Grammar {
    expected: "a moment of inertia such as \"2675 kg cm2\"",
    known: "kg cm2, kg m2, g cm2",
    units: &[
        Unit { spellings: &["", "kgcm2"], times: 1.0, over: 10_000.0 },
        Unit { spellings: &["kgm2"], times: 1.0, over: 1.0 },
        Unit { spellings: &["gcm2"], times: 1.0, over: 10_000_000.0 },
    ],
    takes_feet_and_fractions: false,
    least_si: -10.0,
    most_si: 10.0,
};

const FREQUENCY: Grammar = Grammar {
    expected: "a frequency such as \"300 cpm\"",
    known: "cpm, Hz",
    units: &[
        Unit { spellings: &["", "cpm"], times: 1.0, over: 60.0 },
        Unit { spellings: &["hz"], times: 1.0, over: 1.0 },
    ],
    takes_feet_and_fractions: false,
    least_si: 0.0,
    most_si: 1000.0,
};

const SPEED: Grammar = Grammar {
    expected: "a speed such as \"78 mph\"",
    known: "mph, m/s, km/h",
    units: &[
        Unit { spellings: &["", "mph"], times: MPH_M_S, over: 1.0 },
        Unit { spellings: &["m/s", "mps"], times: 1.0, over: 1.0 },
        Unit { spellings: &["km/h", "kmh", "kph"], times: 1.0, over: 3.6 },
    ],
    takes_feet_and_fractions: false,
    least_si: -150.0,
    most_si: 150.0,
};

const MOMENT: Grammar = Grammar {
    expected: "a moment such as \"213.5 in oz\"",
    known: "in oz, g in",
    units: &[
        Unit { spellings: &["", "inoz", "ozin"], times: INCH_M * OUNCE_KG, over: 1.0 },
        Unit { spellings: &["gin", "ing"], times: INCH_M, over: 1000.0 },
    ],
    takes_feet_and_fractions: false,
    least_si: -100.0,
    most_si: 100.0,
};

#[cfg(test)]
mod tests {
    use super::{Angle, Inertia, Length, Mass, Moment, Speed};

    #[test]
    fn metric_lengths_are_divided_so_that_945_mm_is_exact() {
        // 945 * 0.001 would be 0.945_000_000_000_000_1
        assert!((Length::mm(945.0).as_metres() - 0.945).abs() < f64::EPSILON / 8.0);
    }

    #[test]
    fn an_ounce_is_the_avoirdupois_ounce() {
        assert!((Mass::ounces(1.0).as_grams() - 28.349_523_125).abs() < 1e-12);
    }

    #[test]
    fn a_mass_on_an_arm_is_a_moment_and_divides_back() {
        let moment = Mass::grams(100.0) * Length::inches(2.0);
        assert!((moment.as_gram_inches() - 200.0).abs() < 1e-12);
        assert!(((moment / Length::inches(2.0)).as_grams() - 100.0).abs() < 1e-12);
        assert!(((moment / Mass::grams(100.0)).as_inches() - 2.0).abs() < 1e-12);
        assert!((Moment::inch_ounces(1.0).as_gram_inches() - 28.349_523_125).abs() < 1e-11);
    }

    #[test]
    fn each_quantity_reads_its_own_units() {
        assert_eq!(Mass::parse("1 lb").unwrap(), Mass::ounces(16.0));
        assert_eq!(Angle::parse("62°").unwrap(), Angle::degrees(62.0));
        assert_eq!(Inertia::parse("2675 kg·cm²").unwrap(), Inertia::kg_cm2(2675.0));
        assert_eq!(Speed::parse("36 km/h").unwrap(), Speed::metres_per_second(10.0));
        assert_eq!(Moment::parse("213.5 in·oz").unwrap(), Moment::inch_ounces(213.5));
    }

    #[test]
    fn what_is_not_finite_or_cannot_be_meant_is_refused_at_the_door() {
        assert!(Length::try_from_inches(f64::NAN).is_err());
        assert!(Mass::try_from_grams(f64::INFINITY).is_err());
        assert!(Length::try_from_mm(-200_000.0).is_err());
        assert!(Length::try_from_inches(37.0).is_ok());
    }
}
