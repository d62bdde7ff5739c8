//! A job and its way from the ask to the follow-up.

use crate::{Accepted, Id, PartUse, Quote, StudioError, Work};
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

macro_rules! states {
    ($($name:ident $words:literal)+) => {
        /// Where a job is.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
        pub enum JobState {
            $(
                #[doc = $words]
                #[serde(rename = $words)]
                $name,
            )+
        }

        impl JobState {
            /// Every state, in the order of a job's life.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// Names it.
            #[must_use]
            pub const fn words(self) -> &'static str {
                match self { $(Self::$name => $words,)+ }
            }
        }
    };
}

states! {
    Asked "asked"
    Measured "measured"
    OnTrial "on trial"
    Quoted "quoted"
    Agreed "agreed"
    WaitingForParts "waiting for parts"
    OnTheBench "on the bench"
    Curing "curing"
    Checked "checked"
    Ready "ready"
    HandedOver "handed over"
    FollowUpDue "follow-up due"
    Closed "closed"
    OnHold "on hold"
    Rework "rework"
    Cancelled "cancelled"
}

impl JobState {
    /// Finds a state by its words.
    #[must_use]
    pub fn from_words(words: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|state| state.words() == words)
    }

    /// Returns the states a job goes to from here, the usual one first.
    #[must_use]
    pub fn next(self) -> &'static [Self] {
        match self {
            Self::Asked => &[Self::Measured, Self::OnHold, Self::Cancelled],
            Self::Measured => &[Self::Agreed, Self::OnTrial, Self::Quoted, Self::OnHold, Self::Cancelled],
            Self::OnTrial => &[Self::Agreed, Self::Quoted, Self::Measured, Self::OnHold, Self::Cancelled],
            Self::Quoted => &[Self::Agreed, Self::OnHold, Self::Cancelled],
            Self::Agreed => &[Self::OnTheBench, Self::WaitingForParts, Self::OnHold, Self::Cancelled],
            Self::WaitingForParts => &[Self::OnTheBench, Self::OnHold, Self::Cancelled],
            Self::OnTheBench => {
                &[Self::Checked, Self::Curing, Self::WaitingForParts, Self::OnHold, Self::Cancelled]
            }
            Self::Curing => &[Self::OnTheBench, Self::Checked, Self::OnHold, Self::Cancelled],
            Self::Checked => &[Self::Ready, Self::Rework, Self::OnHold],
            Self::Ready => &[Self::HandedOver, Self::Rework, Self::OnHold],
            Self::HandedOver => &[Self::FollowUpDue, Self::Closed, Self::Rework],
            Self::FollowUpDue => &[Self::Closed, Self::Rework],
            Self::Rework => &[Self::OnTheBench, Self::OnHold, Self::Cancelled],
            Self::OnHold => &[Self::Measured, Self::Agreed, Self::OnTheBench, Self::Cancelled],
            Self::Closed | Self::Cancelled => &[],
        }
    }

    /// Tells whether nothing is left to do.
    #[must_use]
    pub fn is_over(self) -> bool {
        matches!(self, Self::Closed | Self::Cancelled)
    }

    /// Tells whether the day it is promised for is still to be met.
    #[must_use]
    pub fn is_owed(self) -> bool {
        !self.is_over() && !matches!(self, Self::Ready | Self::HandedOver | Self::FollowUpDue)
    }

    /// Tells whether the clubs are, or may be, on the bench.
    #[must_use]
    pub fn is_at_the_bench(self) -> bool {
        matches!(self, Self::OnTheBench | Self::Curing | Self::Rework)
    }
}

/// A job.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct JobFile {
    /// Its id.
    pub id: Id,
    /// The golfer.
    pub golfer: Id,
    /// The number on the sheet; given by the store.
    pub number: i64,
    /// Where it is.
    pub state: JobState,
    /// Since when, milliseconds UTC.
    pub since_ms: i64,
    /// When the glue has cured, milliseconds UTC.
    #[serde(default)]
    pub cured_ms: Option<i64>,
    /// Why it waits, or what to remember.
    #[serde(default)]
    pub note: Option<String>,
    /// The fitting card it was planned from.
    pub card: String,
    /// The work, as it was planned then.
    pub work: Work,
    /// When it was made, milliseconds UTC.
    pub made_ms: i64,
    /// What it was quoted at.
    #[serde(default)]
    pub quote: Option<Quote>,
    /// What it takes from the shelf.
    #[serde(default)]
    pub uses: Vec<PartUse>,
    /// The day it is promised for.
    #[serde(default)]
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub promised: Option<Date>,
    /// Taken back.
    #[serde(default)]
    pub removed: bool,
}

impl JobFile {
    /// Whether a quote can be made, or made anew: before the clubs are on the bench.
    #[must_use]
    pub const fn can_be_quoted(&self) -> bool {
        matches!(
            self.state,
            JobState::Asked | JobState::Measured | JobState::OnTrial | JobState::Quoted | JobState::Agreed
        )
    }

    /// Keeps a quote; whatever was agreed before needs a new yes.
    ///
    /// # Errors
    /// [`StudioError::NotFromHere`] once the clubs are on the bench.
    pub fn quoted(&self, quote: Quote, now_ms: i64) -> Result<Self, StudioError> {
        if !self.can_be_quoted() {
            return Err(StudioError::NotFromHere { from: self.state.words(), to: JobState::Quoted.words() });
        }
        let quote = Some(Quote { accepted: None, ..quote });
        Ok(Self { quote, state: JobState::Quoted, since_ms: now_ms, ..self.clone() })
    }

    /// Tells whether a price was agreed to: such a job stays when its golfer is forgotten.
    #[must_use]
    pub fn was_agreed(&self) -> bool {
        self.quote.as_ref().is_some_and(|quote| quote.accepted.is_some())
    }

    /// What the law keeps of a job whose golfer was forgotten: number, days, amounts. Readings, work and notes are gone.
    #[must_use]
    pub fn erased(&self) -> Self {
        let quote = self.quote.clone().map(|quote| Quote {
            accepted: quote.accepted.map(|accepted| Accepted { how: "erased".to_owned(), ..accepted }),
            ..quote
        });
        Self {
            note: None,
            card: String::new(),
            work: Work::default(),
            cured_ms: None,
            uses: Vec::new(),
            promised: None,
            quote,
            ..self.clone()
        }
    }

    /// Keeps the golfer's yes to the quote.
    ///
    /// # Errors
    /// [`StudioError::NotFromHere`] without a quote that waits for one.
    pub fn accepted(&self, accepted: Accepted, now_ms: i64) -> Result<Self, StudioError> {
        let Some(quote) = self.quote.as_ref().filter(|_| self.state == JobState::Quoted) else {
            return Err(StudioError::NotFromHere { from: self.state.words(), to: JobState::Agreed.words() });
        };
        let quote = Some(Quote { accepted: Some(accepted), ..quote.clone() });
        Ok(Self { quote, ..self.moved_to(JobState::Agreed, now_ms)? })
    }

    /// Moves the job on.
    ///
    /// # Errors
    /// [`StudioError::NotFromHere`] when a job does not go that way.
    pub fn moved_to(&self, state: JobState, now_ms: i64) -> Result<Self, StudioError> {
        if !self.state.next().contains(&state) {
            return Err(StudioError::NotFromHere { from: self.state.words(), to: state.words() });
        }
        Ok(Self {
            state,
            since_ms: now_ms,
            cured_ms: match state {
                JobState::Curing => Some(now_ms + i64::from(self.work.cure_hours) * 3_600_000),
                _ => None,
            },
            ..self.clone()
        })
    }
}

/// A step of a job that was done, or a reading taken at it. The newest of a step counts.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tick {
    /// Its id.
    pub id: Id,
    /// The golfer.
    pub golfer: Id,
    /// The job.
    pub job: Id,
    /// The step's key in the work.
    pub step: String,
    /// Whether it is done; unticking writes a new one.
    pub done: bool,
    /// The reading, as it is kept.
    #[serde(default)]
    pub typed: Option<String>,
    /// The reading in SI units.
    #[serde(default)]
    pub value_si: Option<f64>,
    /// Who did it.
    pub by: String,
    /// When, milliseconds UTC.
    pub at_ms: i64,
    /// Taken back.
    #[serde(default)]
    pub removed: bool,
}

#[cfg(test)]
mod tests {
    use super::JobState;

    #[test]
    fn every_state_is_reached_and_every_open_state_leads_on() {
        for state in JobState::ALL {
            assert_eq!(JobState::from_words(state.words()), Some(*state));
            assert_eq!(state.next().is_empty(), state.is_over(), "{state:?}");
            let is_reached = JobState::ALL.iter().any(|from| from.next().contains(state));
            assert!(is_reached || *state == JobState::Asked, "{state:?}");
        }
    }
}
