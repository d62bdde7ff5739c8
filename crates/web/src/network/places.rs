//! Places for connections: so many in all, and so many of one address; one that is not used is given to others.

use access::network_of;
use std::collections::BTreeMap;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

/// Most connections of other devices at once. House choice, as the numbers below.
const MOST: usize = 256;
/// Most of one address: a browser holds six to a host, and there may be several on a device.
const MOST_OF_ONE: usize = 32;
/// How long a new connection may ask nothing.
const FIRST_TAKES: Duration = Duration::from_secs(15);
/// How long one may ask nothing afterwards.
const IDLE: Duration = Duration::from_secs(120);
/// How often that is looked at.
const LOOK: Duration = Duration::from_secs(5);

/// The connections there are, by address.
#[derive(Debug, Clone, Default)]
pub(super) struct Places(Arc<Mutex<BTreeMap<IpAddr, usize>>>);

/// A place, given back when it is dropped.
#[derive(Debug)]
pub(super) struct Place {
    places: Places,
    from: IpAddr,
}

impl Places {
    /// Takes a place; none where all are taken, or, where `each` says that addresses are told apart, too many by one.
    pub(super) fn take(&self, from: IpAddr, each: bool) -> Option<Place> {
        let from = network_of(from);
        let mut taken = lock(&self.0);
        let of_it = taken.get(&from).copied().unwrap_or_default();
        if taken.values().sum::<usize>() >= MOST || (each && of_it >= MOST_OF_ONE) {
            return None;
        }
        taken.insert(from, of_it + 1);
        Some(Place { places: self.clone(), from })
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let mut taken = lock(&self.places.0);
        if let Some(of_it) = taken.get_mut(&self.from) {
            *of_it -= 1;
            if *of_it == 0 {
                taken.remove(&self.from);
            }
        }
    }
}

/// What a connection is used for.
#[derive(Debug, Clone)]
pub(super) struct Uses(Arc<Mutex<Use>>);

#[derive(Debug)]
struct Use {
    /// Answers that are not out whole.
    under_way: usize,
    /// How long it may rest now, and since when it does.
    may_rest: Duration,
    since: Instant,
}

/// An answer under way, over when it is dropped.
#[derive(Debug)]
pub(super) struct UnderWay(Uses);

impl Uses {
    pub(super) fn new() -> Self {
        Self(Arc::new(Mutex::new(Use { under_way: 0, may_rest: FIRST_TAKES, since: Instant::now() })))
    }

    /// Begins an answer.
    pub(super) fn begin(&self) -> UnderWay {
        lock(&self.0).under_way += 1;
        UnderWay(self.clone())
    }

    fn is_over(&self, now: Instant) -> bool {
        let used = lock(&self.0);
        used.under_way == 0 && now.saturating_duration_since(used.since) >= used.may_rest
    }

    /// Is done once the connection has rested too long.
    pub(super) async fn rested(&self) {
        while !self.is_over(Instant::now()) {
            tokio::time::sleep(LOOK).await;
        }
    }
}

impl Drop for UnderWay {
    fn drop(&mut self) {
        let mut used = lock(&self.0.0);
        used.under_way -= 1;
        (used.may_rest, used.since) = (IDLE, Instant::now());
    }
}

fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::{FIRST_TAKES, IDLE, MOST, MOST_OF_ONE, Places, Uses};
    use std::net::IpAddr;
    use std::time::{Duration, Instant};

    fn address(last: u8) -> IpAddr {
        IpAddr::from([10, 0, 0, last])
    }

    #[test]
    fn one_address_cannot_take_the_places_of_all() {
        let places = Places::default();
        let of_one: Vec<_> = (0..MOST_OF_ONE).map(|_| places.take(address(1), true).unwrap()).collect();
        assert!(places.take(address(1), true).is_none());
        let other = places.take(address(2), true).unwrap();
        drop(of_one);
        assert!(places.take(address(1), true).is_some());
        drop(other);
        assert!(places.0.lock().unwrap().is_empty(), "nothing is kept of an address that is gone");
    }

    #[test]
    fn through_a_proxy_they_all_have_one_address_and_no_more_places_than_there_are() {
        let places = Places::default();
        let _all: Vec<_> = (0..MOST).map(|_| places.take(address(1), false).unwrap()).collect();
        assert!(places.take(address(2), false).is_none());
    }

    #[test]
    fn a_connection_that_asks_nothing_is_over_and_one_that_is_answered_is_not() {
        let (uses, now) = (Uses::new(), Instant::now());
        let second = Duration::from_secs(1);
        assert!(!uses.is_over(now + FIRST_TAKES - second) && uses.is_over(now + FIRST_TAKES + second));
        let answers = [uses.begin(), uses.begin()];
        assert!(!uses.is_over(now + IDLE * 10), "a stream may run for hours");
        drop(answers);
        let now = Instant::now();
        assert!(!uses.is_over(now + IDLE - second) && uses.is_over(now + IDLE + second));
    }
}
