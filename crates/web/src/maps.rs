//! Maps of what strikes cost, kept while the studio is open: a page that comes again finds its map worked out.

use ball::shot::ShotError;
use ball::strike_map::StrikeMap;
use ball::unknowns::{Setup, Unknowns};
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

/// Maps that are kept; the one unused longest goes first. A map takes some 30 kB.
const MOST: usize = 32;

/// The maps worked out so far.
#[derive(Debug, Clone, Default)]
pub(crate) struct Maps(Arc<Mutex<VecDeque<Kept>>>);

#[derive(Debug)]
struct Kept {
    setup: Setup,
    unknowns: Unknowns,
    map: Arc<StrikeMap>,
}

impl Maps {
    /// Returns the map of a club in a golfer's hands.
    ///
    /// # Errors
    /// [`ShotError`] as [`StrikeMap::of`] has it.
    pub(crate) fn of(&self, setup: &Setup, unknowns: &Unknowns) -> Result<Arc<StrikeMap>, ShotError> {
        if let Some(map) = self.take_up(setup, unknowns) {
            return Ok(map);
        }
        // worked out without the lock: two pages at once may both do it, and neither waits for the other
        let map = Arc::new(StrikeMap::of(setup, unknowns)?);
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        kept.push_front(Kept { setup: *setup, unknowns: *unknowns, map: Arc::clone(&map) });
        kept.truncate(MOST);
        Ok(map)
    }

    fn take_up(&self, setup: &Setup, unknowns: &Unknowns) -> Option<Arc<StrikeMap>> {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let place = kept.iter().position(|kept| kept.setup == *setup && kept.unknowns == *unknowns)?;
        let found = kept.remove(place)?;
        let map = Arc::clone(&found.map);
        kept.push_front(found);
        Some(map)
    }
}

#[cfg(test)]
mod tests {
    use super::{MOST, Maps};
    use ball::flight::Conditions;
    use ball::impact::{CAVITY_7_IRON, Delivery};
    use ball::unknowns::{Setup, Unknowns};
    use std::sync::Arc;

    const KNOWN: Unknowns = Unknowns::with_head_speed_known_to(0.02);

    fn at(head_speed_mps: f64) -> Setup {
        let delivery =
            Delivery { head_speed_mps, dynamic_loft_deg: 25.0, attack_deg: -4.0, ..Delivery::default() };
        Setup { head: CAVITY_7_IRON.head, delivery, conditions: Conditions::default() }
    }

    #[test]
    fn a_map_is_worked_out_once_and_goes_when_many_others_came() {
        let maps = Maps::default();
        let first = maps.of(&at(35.0), &KNOWN).unwrap();
        assert!(Arc::ptr_eq(&first, &maps.of(&at(35.0), &KNOWN).unwrap()));
        assert!(!Arc::ptr_eq(&first, &maps.of(&at(36.0), &KNOWN).unwrap()));
        for other in 0..MOST {
            maps.of(&at(20.0 + f64::from(u32::try_from(other).unwrap()) / 10.0), &KNOWN).unwrap();
        }
        let again = maps.of(&at(35.0), &KNOWN).unwrap();
        assert!(!Arc::ptr_eq(&first, &again));
        assert_eq!(first, again);
        assert!(maps.of(&at(f64::NAN), &KNOWN).is_err());
    }
}
