//! Many flights at once, for spreads and comparisons.

use super::{Conditions, FlightError, Flown, Launch, fly};
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};

/// Flies every launch under the same conditions, on all cores.
///
/// The answers stand in the order of the launches, and each is bit for bit what [`fly`] gives: no flight knows of another.
#[must_use]
pub fn fly_many(launches: &[Launch], conditions: &Conditions) -> Vec<Result<Flown, FlightError>> {
    launches.par_iter().map(|launch| fly(launch, conditions)).collect()
}
