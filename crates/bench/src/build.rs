//! The build of a whole set from what is on the shelf: for every club the way and the parts that bring its numbers into
//! tolerance at least cost, so that no part is taken twice.
//!
//! Every club has its candidates (`candidate`), each worked out on the same sums as the ways of a plan; what cannot be
//! part of a best answer is left out (`narrow`); one candidate a club is picked by an integer programme under the shelf's
//! counts (`pick`); what binds, or why it cannot be met, is said (`explain`). See `docs/derivations/build.md`.

mod addition;
mod aim;
mod base;
mod candidate;
mod explain;
mod misses;
mod narrow;
mod pick;
mod shelf_part;
#[cfg(test)]
mod tests;

pub use aim::{Aim, AimedNumber};
pub use shelf_part::ShelfPart;

use crate::{House, State, Way};
use candidate::{Candidate, Goal, candidates};
use club::Club;
use narrow::Narrowed;
use quantity::{Frequency, Mass};

/// How many answers are kept. House choice: more are not compared by anyone.
const MOST_ANSWERS: usize = 3;
/// Most that is added at a head. Trade practice: more draws its balance toward the heel.
const MOST_AT_THE_HEAD: Mass = Mass::grams(10.0);
/// Most clubs of a set. Definition of what the tool takes.
const MOST_CLUBS: usize = 20;
/// Most parts of a shelf. Definition of what the tool takes.
const MOST_PARTS: usize = 2000;
/// Most of what a part or a minute may cost, cents. Definition of what the tool takes: sums stay exact.
const MOST_CENTS: i64 = 10_000_000;

/// A club and what it is to become.
#[derive(Debug, Clone, Copy)]
pub struct ClubToBuild<'a> {
    /// The club.
    pub club: &'a Club,
    /// Its numbers when it leaves.
    pub aim: Aim,
}

/// What the build goes by.
#[derive(Debug, Clone, Copy)]
pub struct BuildRules<'a> {
    /// The house's limits.
    pub house: &'a House,
    /// Whether the golfer is growing.
    pub is_growing: bool,
    /// What a minute at the bench costs, cents: effort beside parts.
    pub cents_a_minute: i64,
}

/// One club of an answer.
#[derive(Debug, Clone, PartialEq)]
pub struct BuiltClub {
    /// Its name.
    pub name: String,
    /// The way.
    pub way: Way,
    /// The parts: their places on the shelf given, and how many.
    pub parts: Vec<(usize, u32)>,
    /// Its numbers when it leaves.
    pub state: State,
    /// Its frequency, where one was read and the shaft stays.
    pub frequency: Option<Frequency>,
    /// What it costs, parts and minutes, cents.
    pub cents: i64,
    /// Minutes at the bench.
    pub minutes: u32,
    /// What is out of tolerance, by how much and why; empty when all is within.
    pub misses: Vec<String>,
}

/// A way to build the whole set.
#[derive(Debug, Clone, PartialEq)]
pub struct BuildAnswer {
    /// The clubs, as they were given.
    pub clubs: Vec<BuiltClub>,
    /// What it costs, cents.
    pub cents: i64,
}

impl BuildAnswer {
    /// Minutes at the bench.
    #[must_use]
    pub fn minutes(&self) -> u32 {
        self.clubs.iter().map(|club| club.minutes).sum()
    }

    /// Whether every club is within its tolerances.
    #[must_use]
    pub fn is_within(&self) -> bool {
        self.clubs.iter().all(|club| club.misses.is_empty())
    }
}

/// A part whose count binds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Binding {
    /// Its place on the shelf given.
    pub part: usize,
    /// What one more of it would save at least, cents.
    pub saves_cents: i64,
}

/// The answers for a set.
#[derive(Debug, Clone, PartialEq)]
pub struct Build {
    /// The best answers, the cheapest first; when the aims cannot be met, the nearest one alone.
    pub answers: Vec<BuildAnswer>,
    /// What binds the first answer.
    pub binds: Vec<Binding>,
    /// Why the aims cannot be met; empty when they can.
    pub because: Vec<String>,
    /// Some club had so many candidates that the dearest were left out, or the proof took too long: a cheaper answer than
    /// the first is not ruled out.
    pub is_narrowed: bool,
}

/// Why no build can be worked out.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BuildError {
    /// Too few or too many of something.
    #[error("expected 1 to {most} {what}, found {found}")]
    Count {
        /// Of what.
        what: &'static str,
        /// The most that is taken.
        most: usize,
        /// How many were given.
        found: usize,
    },
    /// A club nobody weighed has no numbers to hold.
    #[error("{0}: expected mass and balance or swingweight to have been read, found neither")]
    NotWeighed(String),
    /// A price that cannot be.
    #[error("{what}: expected a price of 0 to {MOST_CENTS} cents, found {found}")]
    Price {
        /// Of what.
        what: String,
        /// What was given.
        found: i64,
    },
    /// A size or tolerance that cannot be.
    #[error("{what}: expected {expected}")]
    Size {
        /// Of what.
        what: String,
        /// What would do.
        expected: &'static str,
    },
    /// The solver found neither an answer nor that there is none.
    #[error("the build could not be solved: {0}")]
    NotSolved(String),
}

/// Works out how to build a set from a shelf.
///
/// # Errors
/// [`BuildError`] for clubs, parts or prices that cannot be, and when the solver gives up.
pub fn build_set(
    clubs: &[ClubToBuild<'_>],
    shelf: &[ShelfPart],
    rules: &BuildRules<'_>,
) -> Result<Build, BuildError> {
    check(clubs, shelf, rules)?;
    let scarce: Vec<bool> = shelf.iter().map(|part| part.is_scarce_for(clubs.len())).collect();
    let every = |goal: Goal| -> Vec<Narrowed> {
        clubs.iter().map(|club| narrow::narrow(candidates(club, shelf, rules, goal), &scarce)).collect()
    };
    let within = every(Goal::Within);
    let is_narrowed = within.iter().any(|narrowed| narrowed.is_cut);
    let (best, is_proved) = pick::best(&choices(&within), shelf, MOST_ANSWERS)?;
    let is_narrowed = is_narrowed || !is_proved;
    if let Some(first) = best.first() {
        let binds = explain::binds(&choices(&within), shelf, first)?;
        let answers = best.iter().map(|picked| answer(clubs, &within, picked, shelf)).collect();
        return Ok(Build { answers, binds, because: Vec::new(), is_narrowed });
    }
    let nearest = every(Goal::Nearest);
    let is_narrowed = nearest.iter().any(|narrowed| narrowed.is_cut);
    let (best, is_proved) = pick::best(&choices(&nearest), shelf, 1)?;
    let is_narrowed = is_narrowed || !is_proved;
    let answers: Vec<BuildAnswer> =
        best.iter().map(|picked| answer(clubs, &nearest, picked, shelf)).collect();
    let because = explain::because(clubs, &choices(&within), shelf, rules)?;
    Ok(Build { answers, binds: Vec::new(), because, is_narrowed })
}

fn choices(narrowed: &[Narrowed]) -> Vec<&[Candidate]> {
    narrowed.iter().map(|club| club.kept.as_slice()).collect()
}

/// The picked candidates as an answer.
fn answer(
    clubs: &[ClubToBuild<'_>],
    narrowed: &[Narrowed],
    picked: &[usize],
    shelf: &[ShelfPart],
) -> BuildAnswer {
    let picked = narrowed.iter().zip(picked).filter_map(|(narrowed, place)| narrowed.kept.get(*place));
    let clubs: Vec<BuiltClub> =
        clubs.iter().zip(picked).map(|(club, candidate)| candidate.built(club, shelf)).collect();
    BuildAnswer { cents: clubs.iter().map(|club| club.cents).sum(), clubs }
}

fn check(clubs: &[ClubToBuild<'_>], shelf: &[ShelfPart], rules: &BuildRules<'_>) -> Result<(), BuildError> {
    if clubs.is_empty() || clubs.len() > MOST_CLUBS {
        return Err(BuildError::Count { what: "clubs", most: MOST_CLUBS, found: clubs.len() });
    }
    if shelf.len() > MOST_PARTS {
        return Err(BuildError::Count { what: "parts", most: MOST_PARTS, found: shelf.len() });
    }
    let price = |what: &str, found: i64| {
        let error = || BuildError::Price { what: what.to_owned(), found };
        (0..=MOST_CENTS).contains(&found).then_some(()).ok_or_else(error)
    };
    price("a minute at the bench", rules.cents_a_minute)?;
    for part in shelf {
        price(&part.name, part.cost_cents)?;
        part.check()?;
    }
    for club in clubs {
        if !club.club.is_weighed {
            return Err(BuildError::NotWeighed(club.club.name.clone()));
        }
        club.aim.check(&club.club.name)?;
    }
    Ok(())
}
