//! What a club's frequency becomes, where one was read and the shaft stays.

use club::Club;
use club::shaft::{BenchBeam, USUAL_CLAMP};
use quantity::{Frequency, Length, Mass};

/// Returns the frequency of a club that comes out so much longer (shorter when negative) with so much added at the head:
/// half way between two profiles that stand for all, and half of what lies between them.
pub(crate) fn frequency_after(
    club: &Club,
    longer: Length,
    added_at_head: Mass,
) -> Option<(Frequency, Frequency)> {
    let head = club.head.mass.value;
    let beam = BenchBeam {
        length: club.length(),
        head,
        shaft: club.on_bench.rest.mass - head,
        clamp: USUAL_CLAMP,
        frequency: club.frequency?,
    };
    let after = beam.altered(longer, added_at_head).ok()?;
    let (one, other) = (after.butt_four_times_tip, after.uniform);
    Some(((one + other) * 0.5, (one - other).abs() * 0.5))
}
