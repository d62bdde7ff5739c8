//! What the trials of several studios say of the length rule: all golfers together, and each studio drawn toward the rest.

use crate::{LearntRule, StudioError, TrialFile, tell_of_the_rule};
use jiff::civil::Date;
use trial::{Pooled, StudioRule};

/// A studio with what its own golfers say.
#[derive(Debug, Clone, PartialEq)]
pub struct BranchRule {
    /// Its name.
    pub name: String,
    /// Learnt from its own golfers alone.
    pub own: StudioRule,
}

/// What they say together.
#[derive(Debug, Clone, PartialEq)]
pub struct ChainRule {
    /// Each studio, in the order given.
    pub studios: Vec<BranchRule>,
    /// Learnt from the golfers of all, as if they were one studio's.
    pub all: StudioRule,
    /// The errors of the rule's intercept, with what is each studio's own.
    pub pooled: Pooled,
}

impl ChainRule {
    /// Learns from the opened trials of each studio, by its name.
    ///
    /// # Errors
    /// [`StudioError`] when a trial holds a knuckle height that cannot be meant.
    pub fn learn(trials: &[(String, Vec<TrialFile>)]) -> Result<Self, StudioError> {
        let mut everyone = Vec::new();
        let mut studios = Vec::new();
        for (name, trials) in trials {
            let golfers = tell_of_the_rule(trials);
            studios.push(BranchRule { name: name.clone(), own: StudioRule::learn(&golfers)? });
            everyone.extend(golfers);
        }
        let errors: Vec<(f64, f64)> =
            studios.iter().map(|studio| (studio.own.intercept_in.mean, studio.own.intercept_in.sd)).collect();
        Ok(Self { studios, all: StudioRule::learn(&everyone)?, pooled: Pooled::of(&errors)? })
    }

    /// The rule as new trials of a studio start from it; nothing for a studio that is not among them.
    ///
    /// # Errors
    /// [`StudioError`] while there are too few golfers.
    pub fn for_studio(&self, name: &str, by: &str, day: Date) -> Result<Option<LearntRule>, StudioError> {
        let Some(place) = self.studios.iter().position(|studio| studio.name == name) else { return Ok(None) };
        let errors = self.all.errors_in(&self.pooled.studios_in[place])?;
        let golfers = u32::try_from(self.all.telling).unwrap_or(u32::MAX);
        Ok(Some(LearntRule { errors, golfers, by: by.to_owned(), day }))
    }
}

#[cfg(test)]
mod tests {
    use super::ChainRule;
    use jiff::civil::date;

    #[test]
    fn studios_without_a_trial_say_nothing_and_start_nothing() {
        let rule =
            ChainRule::learn(&[("north".to_owned(), Vec::new()), ("south".to_owned(), Vec::new())]).unwrap();
        assert!(!rule.all.may_speak());
        assert!(rule.for_studio("north", "O.", date(2026, 11, 28)).is_err());
        assert_eq!(rule.for_studio("west", "O.", date(2026, 11, 28)).unwrap(), None);
        let none = ChainRule::learn(&[]).unwrap();
        assert!(none.studios.is_empty() && none.pooled.studios_in.is_empty());
    }
}
