//! Ids of the example's records and acts: the same in every studio, and told apart from all others.
//!
//! UUIDs of version 8, which is left to whoever makes them, of small numbers: no draw and no digest gives such a one.

use studio::Id;

/// The ids of one golfer, counted up; golfer 0 is the house.
#[derive(Debug)]
pub(crate) struct Ids {
    golfer: u32,
    last: u64,
}

impl Ids {
    /// Begins a golfer's ids.
    pub(crate) fn of(golfer: u32) -> Self {
        Self { golfer, last: 0 }
    }

    /// Returns the next one; within an act they rise, as the store lists records of one act by id.
    pub(crate) fn next(&mut self) -> Id {
        self.last += 1;
        Id::parse(&format!("{:08x}-0000-8000-8000-{:012x}", self.golfer, self.last))
            .expect("hexadecimal digits in lower case, as many as a UUID has")
    }
}

#[cfg(test)]
mod tests {
    use super::Ids;

    #[test]
    fn ids_rise_and_golfers_do_not_share_any() {
        let (mut first, mut second) = (Ids::of(1), Ids::of(2));
        let (one, two) = (first.next(), first.next());
        assert_eq!(one.as_str(), "00000001-0000-8000-8000-000000000001");
        assert!(one < two);
        assert_ne!(one, second.next());
    }
}
