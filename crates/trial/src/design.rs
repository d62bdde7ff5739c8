//! The plan of a trial and the order of its balls: which club is handed over next, so that neither warming up nor the
//! club before tips the answer.
//!
//! # Source
//! Published: Williams (1949), Experimental designs balanced for the estimation of residual effects of treatments,
//! Australian Journal of Scientific Research A 2(2), 149-168 (from memory; that each follows each equally often is
//! checked by a test).

use crate::TrialError;
use crate::strike::count;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

/// How many visits, which lengths, how many balls.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Lengths to be tried, as offsets from the rule's, rising, in.
    pub offsets_in: Vec<f64>,
    /// Visits on different days.
    pub visits: usize,
    /// Times every length comes round in a visit.
    pub rounds: usize,
    /// Balls hit in a row before the club is changed.
    pub balls_in_a_row: usize,
    /// Seed of every order and of the code.
    pub seed: u64,
}

impl Plan {
    /// Six lessons with twelve counted balls each, three lengths: the usual plan.
    #[must_use]
    pub fn lessons(seed: u64) -> Self {
        Self { offsets_in: vec![-0.5, 0.0, 0.5], visits: 6, rounds: 2, balls_in_a_row: 2, seed }
    }

    /// Four lessons with twelve counted balls each.
    #[must_use]
    pub fn quick(seed: u64) -> Self {
        Self { visits: 4, ..Self::lessons(seed) }
    }

    /// Three days for the trial alone, five lengths, forty balls a day.
    #[must_use]
    pub fn dedicated(seed: u64) -> Self {
        Self { offsets_in: vec![-0.5, -0.25, 0.0, 0.25, 0.5], visits: 3, rounds: 4, balls_in_a_row: 2, seed }
    }

    /// Refuses a plan that cannot be hit or would tell nothing.
    ///
    /// # Errors
    /// [`TrialError::BadPlan`] with the number that is off.
    pub fn check(&self) -> Result<(), TrialError> {
        let bad = |what, found: String, expected| Err(TrialError::BadPlan { what, found, expected });
        if !(2..=6).contains(&self.offsets_in.len()) {
            return bad("the number of lengths", self.offsets_in.len().to_string(), "2 to 6");
        }
        if let Some(far) = self.offsets_in.iter().find(|offset| !(-1.0..=1.0).contains(*offset)) {
            return bad("a length's offset from the rule", format!("{} in", thousandths(*far)), "-1 to 1 in");
        }
        if let Some(pair) = self.offsets_in.windows(2).find(|pair| pair[1] - pair[0] < 0.125 - 1e-9) {
            return bad(
                "the step between two lengths",
                format!("{} in", thousandths(pair[1] - pair[0])),
                "1/8 in and more, rising",
            );
        }
        if !(1..=12).contains(&self.visits) {
            return bad("the number of visits", self.visits.to_string(), "1 to 12");
        }
        if !(1..=10).contains(&self.rounds) {
            return bad("the number of rounds", self.rounds.to_string(), "1 to 10");
        }
        if !(1..=5).contains(&self.balls_in_a_row) {
            return bad("the balls in a row", self.balls_in_a_row.to_string(), "1 to 5");
        }
        Ok(())
    }

    /// Counted balls of one visit.
    #[must_use]
    pub fn balls_a_visit(&self) -> usize {
        self.offsets_in.len() * self.rounds * self.balls_in_a_row
    }

    /// Offsets of a visit's balls, for what a visit would be worth.
    #[must_use]
    pub fn balls(&self) -> Vec<f64> {
        self.offsets_in.iter().flat_map(|offset| vec![*offset; self.rounds * self.balls_in_a_row]).collect()
    }

    /// The letter each length goes by until the trial is over, in the order of the offsets.
    #[must_use]
    pub fn code(&self) -> Vec<char> {
        let mut letters: Vec<char> = ('A'..='Z').take(self.offsets_in.len()).collect();
        shuffle(&mut letters, &mut self.random(0));
        letters
    }

    fn random(&self, stream: u64) -> ChaCha8Rng {
        let mut random = ChaCha8Rng::seed_from_u64(self.seed);
        random.set_stream(stream);
        random
    }

    /// The order of every visit: each the best of 200 drawn, given the visits before it.
    ///
    /// First no length meets itself between two rounds, then every length begins a visit as often as any, for the first
    /// balls of a day are unlike the others; then order and length go together least, over all visits so far.
    #[must_use]
    pub fn orders(&self) -> Vec<VisitOrder> {
        const DRAWN: usize = 200;
        let mut orders: Vec<VisitOrder> = Vec::with_capacity(self.visits);
        for visit in 0..self.visits {
            let mut random = self.random(u64::try_from(visit).unwrap_or(0) + 1);
            let square = square(self.offsets_in.len(), visit % 2 == 1);
            let mut best: Option<(Rank, VisitOrder)> = None;
            for _ in 0..DRAWN {
                let order = self.drawn(&square, &mut random);
                let rank = Rank::of(&order, &orders);
                if best.as_ref().is_none_or(|(least, _)| rank.is_before(least)) {
                    best = Some((rank, order));
                }
            }
            orders.extend(best.map(|(_, order)| order));
        }
        orders
    }

    fn drawn(&self, square: &[Vec<usize>], random: &mut ChaCha8Rng) -> VisitOrder {
        let mut rows = square.to_vec();
        shuffle(&mut rows, random);
        let mut names: Vec<usize> = (0..self.offsets_in.len()).collect();
        shuffle(&mut names, random);
        let lengths = rows.iter().cycle().take(self.rounds).flatten().map(|symbol| names[*symbol]).collect();
        VisitOrder::new(self, lengths)
    }
}

/// What makes one order better than another.
struct Rank {
    repeats: usize,
    /// How often its first length began a visit before.
    begun: usize,
    /// How far order and length go together, over all visits so far.
    tilt: f64,
}

impl Rank {
    fn of(order: &VisitOrder, before: &[VisitOrder]) -> Self {
        let begun = before.iter().filter(|other| other.lengths.first() == order.lengths.first()).count();
        let sum = |of: &dyn Fn(&Balance) -> f64| {
            (before.iter().map(|other| of(&other.balance)).sum::<f64>() + of(&order.balance)).abs()
        };
        let tilt = sum(&|balance| balance.with_length) + sum(&|balance| balance.with_square);
        Self { repeats: order.balance.repeats, begun, tilt }
    }

    fn is_before(&self, other: &Self) -> bool {
        (self.repeats, self.begun, self.tilt) < (other.repeats, other.begun, other.tilt)
    }
}

/// A length as a message prints it.
fn thousandths(length_in: f64) -> f64 {
    (length_in * 1000.0).round() / 1000.0
}

/// Fisher's and Yates's shuffle, from the last down, so that the order depends on the seed alone.
fn shuffle<T>(items: &mut [T], random: &mut ChaCha8Rng) {
    for last in (1..items.len()).rev() {
        items.swap(last, random.random_range(0..=last));
    }
}

/// A square in which each symbol follows each other as often as any: n rows for an even number of symbols; an odd
/// number takes two squares, the second with its rows reversed.
fn square(symbols: usize, is_second: bool) -> Vec<Vec<usize>> {
    // 0, 1, n-1, 2, n-2, …
    let first: Vec<usize> = (0..symbols)
        .map(|place| if place % 2 == 1 { place.div_ceil(2) } else { (symbols - place / 2) % symbols })
        .collect();
    (0..symbols)
        .map(|row| {
            let mut line: Vec<usize> = first.iter().map(|symbol| (symbol + row) % symbols).collect();
            if is_second && symbols % 2 == 1 {
                line.reverse();
            }
            line
        })
        .collect()
}

/// The order of one visit.
#[derive(Debug, Clone, PartialEq)]
pub struct VisitOrder {
    /// Which length is handed over, by its place among the plan's offsets; each for the plan's balls in a row.
    pub lengths: Vec<usize>,
    /// How well the order is balanced.
    pub balance: Balance,
}

/// How well an order is balanced.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// How often one round ends and the next begins with the same length.
    pub repeats: usize,
    /// Correlation of the order with length.
    pub with_length: f64,
    /// Correlation of the order with the square of length.
    pub with_square: f64,
}

impl VisitOrder {
    fn new(plan: &Plan, lengths: Vec<usize>) -> Self {
        let repeats = lengths.windows(2).filter(|pair| pair[0] == pair[1]).count();
        let offsets: Vec<f64> = lengths.iter().map(|length| plan.offsets_in[*length]).collect();
        let squares: Vec<f64> = offsets.iter().map(|offset| offset * offset).collect();
        let balance =
            Balance { repeats, with_length: with_order(&offsets), with_square: with_order(&squares) };
        Self { lengths, balance }
    }
}

/// Correlation of values with their order; 0 when they are all alike.
fn with_order(values: &[f64]) -> f64 {
    let n = count(values.len()).max(1.0);
    let (middle, mean) = ((n - 1.0) / 2.0, values.iter().sum::<f64>() / n);
    let (mut both, mut orders, mut squares) = (0.0, 0.0, 0.0);
    for (place, value) in values.iter().enumerate() {
        let (order, value) = (count(place) - middle, value - mean);
        both += order * value;
        orders += order * order;
        squares += value * value;
    }
    let all = (orders * squares).sqrt();
    if all > 1e-12 { both / all } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::{Balance, Plan, square};
    use crate::strike::count;

    /// How often each symbol follows each other over the rows of both squares.
    fn follows(symbols: usize, squares: &[bool]) -> Vec<usize> {
        let mut counts = vec![0; symbols * symbols];
        for is_second in squares {
            for row in square(symbols, *is_second) {
                for pair in row.windows(2) {
                    counts[pair[0] * symbols + pair[1]] += 1;
                }
            }
        }
        (0..symbols * symbols).filter(|at| at / symbols != at % symbols).map(|at| counts[at]).collect()
    }

    #[test]
    fn each_follows_each_equally_often() {
        assert_eq!(square(5, false)[0], [0, 1, 4, 2, 3]);
        for symbols in [3, 5] {
            assert!(follows(symbols, &[false, true]).iter().all(|times| *times == 2), "{symbols}");
        }
        for symbols in [2, 4, 6] {
            assert!(follows(symbols, &[false]).iter().all(|times| *times == 1), "{symbols}");
        }
    }

    #[test]
    fn every_visit_brings_every_length_equally_often_and_differs_from_the_last() {
        for plan in [Plan::lessons(7), Plan::dedicated(7)] {
            let orders = plan.orders();
            for order in &orders {
                for length in 0..plan.offsets_in.len() {
                    assert_eq!(order.lengths.iter().filter(|other| **other == length).count(), plan.rounds);
                }
                assert_eq!(order.balance.repeats, 0);
            }
            let tilt = |of: &dyn Fn(&Balance) -> f64| {
                orders.iter().map(|order| of(&order.balance)).sum::<f64>() / count(orders.len())
            };
            assert!(tilt(&|balance| balance.with_length).abs() < 0.05, "{orders:?}");
            assert!(tilt(&|balance| balance.with_square).abs() < 0.2, "{orders:?}");
            // every length begins a visit as often as any, to one
            let begun = |length: usize| orders.iter().filter(|order| order.lengths[0] == length).count();
            let begun: Vec<usize> = (0..plan.offsets_in.len()).map(begun).collect();
            assert!(begun.iter().max().unwrap() - begun.iter().min().unwrap() <= 1, "{begun:?}");
            assert_eq!(orders, plan.orders());
            assert_ne!(orders[0].lengths, orders[1].lengths);
        }
        assert_ne!(Plan::lessons(7).orders(), Plan::lessons(8).orders());
    }

    #[test]
    fn five_rounds_of_five_lengths_are_free_of_any_tilt() {
        // derived: a whole square holds every length once in every place
        let plan = Plan { rounds: 5, ..Plan::dedicated(3) };
        let balance = plan.orders()[0].balance;
        assert!(balance.with_length.abs() + balance.with_square.abs() < 1e-12, "{balance:?}");
    }

    #[test]
    fn a_plan_that_cannot_be_hit_is_refused() {
        assert!(Plan::lessons(1).check().is_ok());
        for plan in [
            Plan { offsets_in: vec![0.0], ..Plan::lessons(1) },
            Plan { offsets_in: vec![0.0, 0.05], ..Plan::lessons(1) },
            Plan { offsets_in: vec![0.5, 0.0], ..Plan::lessons(1) },
            Plan { offsets_in: vec![0.0, 2.0], ..Plan::lessons(1) },
            Plan { offsets_in: vec![0.0, f64::NAN], ..Plan::lessons(1) },
            Plan { visits: 0, ..Plan::lessons(1) },
            Plan { rounds: 11, ..Plan::lessons(1) },
            Plan { balls_in_a_row: 0, ..Plan::lessons(1) },
        ] {
            assert!(plan.check().is_err(), "{plan:?}");
        }
    }
}
