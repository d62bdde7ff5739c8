//! How fast one address may ask: thirty requests a second, a hundred and twenty at once.

use crate::tries::network_of;
use std::collections::BTreeMap;
use std::net::IpAddr;

/// Requests a second. House choice: a page and what it loads is under twenty.
const A_SECOND: f64 = 30.0;
/// Requests at once. House choice.
const AT_ONCE: f64 = 120.0;
/// Addresses that are remembered; beyond it all are forgotten, which only gives each its full measure again.
const MOST_ADDRESSES: usize = 4096;

/// What every address has left.
#[derive(Debug, Default)]
pub struct Pace {
    left: BTreeMap<IpAddr, (f64, i64)>,
}

impl Pace {
    /// Counts a request; false when the address asks too fast.
    pub fn allows(&mut self, from: IpAddr, now_ms: i64) -> bool {
        if self.left.len() >= MOST_ADDRESSES {
            self.left.clear();
        }
        let (left, since_ms) = self.left.entry(network_of(from)).or_insert((AT_ONCE, now_ms));
        #[expect(clippy::cast_precision_loss, reason = "seconds")]
        let now_left = (*left + (now_ms - *since_ms).max(0) as f64 * A_SECOND / 1000.0).min(AT_ONCE);
        let is_allowed = now_left >= 1.0;
        *left = if is_allowed { now_left - 1.0 } else { now_left };
        *since_ms = now_ms;
        is_allowed
    }
}

#[cfg(test)]
mod tests {
    use super::Pace;
    use std::net::IpAddr;

    #[test]
    fn a_burst_is_taken_and_a_flood_is_not() {
        let mut pace = Pace::default();
        let one = IpAddr::from([192, 168, 1, 2]);
        let taken = |pace: &mut Pace, now_ms| (0..1000).filter(|_| pace.allows(one, now_ms)).count();
        assert_eq!(taken(&mut pace, 0), 120);
        assert_eq!(taken(&mut pace, 1000), 30);
        assert!(pace.allows(IpAddr::from([192, 168, 1, 3]), 1000), "another is not kept out");
    }
}
