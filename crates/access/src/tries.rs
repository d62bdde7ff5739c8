//! How often a passphrase or code may be tried from the network: five at once, then one a minute from one address, and
//! a hundred a day from all together. Asked before anything slow is worked out.

use std::collections::BTreeMap;
use std::net::IpAddr;

/// Tries at once from one address. House choice, as the numbers below.
const AT_ONCE: f64 = 5.0;
/// How long one try takes to come back.
const ONE_COMES_BACK_MS: f64 = 60_000.0;
/// Tries from all addresses together in a day.
const A_DAY: u32 = 100;
const DAY_MS: i64 = 24 * 3600 * 1000;
/// Addresses that are remembered: the one that tried longest ago is forgotten first.
const MOST_ADDRESSES: usize = 1000;

/// Too many tries: how long to wait.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("too many tries")]
pub struct TooMany {
    /// Seconds until the next try.
    pub wait_s: u64,
}

/// The tries of late. Kept in memory: a server that is started anew begins anew.
#[derive(Debug, Default)]
pub struct Tries {
    left: BTreeMap<IpAddr, (f64, i64)>,
    day_began_ms: i64,
    today: u32,
}

impl Tries {
    /// Counts a try from an address.
    ///
    /// # Errors
    /// [`TooMany`] with how long to wait; the try is then not counted.
    pub fn count(&mut self, from: IpAddr, now_ms: i64) -> Result<(), TooMany> {
        if !(0..DAY_MS).contains(&(now_ms - self.day_began_ms)) {
            (self.day_began_ms, self.today) = (now_ms, 0);
        }
        let from = network_of(from);
        let (left, since_ms) = self.left.get(&from).copied().unwrap_or((AT_ONCE, now_ms));
        #[expect(clippy::cast_precision_loss, reason = "minutes")]
        let left = (left + (now_ms - since_ms).max(0) as f64 / ONE_COMES_BACK_MS).min(AT_ONCE);
        if self.today >= A_DAY {
            return Err(TooMany { wait_s: seconds(self.day_began_ms + DAY_MS - now_ms) });
        }
        if left < 1.0 {
            #[expect(clippy::cast_possible_truncation, reason = "under a minute")]
            let wait_ms = ((1.0 - left) * ONE_COMES_BACK_MS).ceil() as i64;
            return Err(TooMany { wait_s: seconds(wait_ms) });
        }
        self.today += 1;
        self.left.insert(from, (left - 1.0, now_ms));
        if self.left.len() > MOST_ADDRESSES
            && let Some(oldest) = self.left.iter().min_by_key(|(_, (_, at))| *at).map(|(address, _)| *address)
        {
            self.left.remove(&oldest);
        }
        Ok(())
    }

    /// Gives a try back that was right: who types well is not kept out by it.
    pub fn was_right(&mut self, from: IpAddr) {
        self.left.remove(&network_of(from));
        self.today = self.today.saturating_sub(1);
    }
}

/// Rounded up, at least one.
fn seconds(ms: i64) -> u64 {
    u64::try_from(ms).unwrap_or(0).div_ceil(1000).max(1)
}

/// One host can have a whole /64 of IPv6 to itself.
#[must_use]
pub fn network_of(address: IpAddr) -> IpAddr {
    match address {
        IpAddr::V4(_) => address,
        IpAddr::V6(address) => match address.to_ipv4_mapped() {
            Some(inner) => IpAddr::V4(inner),
            None => IpAddr::V6((u128::from(address) >> 64 << 64).into()),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::Tries;
    use std::net::IpAddr;

    fn address(last: u8) -> IpAddr {
        IpAddr::from([192, 168, 1, last])
    }

    #[test]
    fn five_at_once_then_one_a_minute() {
        let mut tries = Tries::default();
        for _ in 0..5 {
            tries.count(address(2), 0).unwrap();
        }
        assert_eq!(tries.count(address(2), 1_000).unwrap_err().wait_s, 59);
        tries.count(address(3), 1_000).unwrap();
        tries.count(address(2), 60_000).unwrap();
        assert!(tries.count(address(2), 60_001).is_err());
    }

    #[test]
    fn a_hundred_a_day_whoever_tries_and_a_thousand_let_nobody_in() {
        let mut tries = Tries::default();
        let taken = (0..1000_u32)
            .filter(|place| {
                let [high, low, ..] = place.to_le_bytes();
                tries.count(IpAddr::from([10, 0, low, high]), i64::from(*place)).is_ok()
            })
            .count();
        assert_eq!(taken, 100);
        let wait = tries.count(address(1), 1000).unwrap_err().wait_s;
        assert!(wait > 86_000, "{wait}");
        tries.count(address(1), 24 * 3600 * 1000).unwrap();
    }

    #[test]
    fn one_who_types_right_is_not_kept_out() {
        let mut tries = Tries::default();
        for _ in 0..300 {
            tries.count(address(2), 0).unwrap();
            tries.was_right(address(2));
        }
    }

    #[test]
    fn a_host_with_many_addresses_of_one_network_is_one() {
        let mut tries = Tries::default();
        let refused = (0..40_u16)
            .filter(|last| tries.count(IpAddr::from([0x2001, 0xdb8, 0, 7, 0, 0, 0, *last]), 0).is_err())
            .count();
        assert_eq!(refused, 35);
    }
}
