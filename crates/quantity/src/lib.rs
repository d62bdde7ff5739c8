//! Quantities of the bench: lengths, masses, angles, inertias and the few others a club needs.
//!
//! Every quantity is a newtype over an `f64` in SI units. Units appear only at the door: in the
//! names of constructors and readers ([`Length::inches`], [`Length::as_inches`]), in what
//! [`Length::parse`] and its kin accept, and in what the readings print. Inside, nothing is rounded;
//! a number is rounded once, to the step of the bench, when it is printed.
//!
//! Infallible constructors are for numbers the program itself worked out; what a person or a file
//! supplies goes through `try_from_…` or `parse`, which refuse what is not finite or cannot be meant.

mod error;
mod estimate;
mod inch;
mod parse;
mod printed;
mod quantities;

pub use error::QuantityError;
pub use estimate::{Estimate, Z_80};
pub use inch::{InchReading, InchStep};
pub use printed::Printed;
pub use quantities::{Angle, Distance, Frequency, Inertia, Length, Mass, Moment, Speed};
