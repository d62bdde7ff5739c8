//! Strikes on the face, and the days they were made on.
//!
//! Units are those of a strike file, because the model works in them: offsets of length in inches from the rule's
//! length, longer positive; places on the face in millimetres from the sweet spot, toe and high positive, for either
//! hand.

use crate::TrialError;
use crate::line::{AxisDay, along};

/// One ball that was hit and read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strike {
    /// Which session it belongs to; balls of one label are one day.
    pub session: u32,
    /// Its place in the session, from 1.
    pub order: u32,
    /// How much longer than the rule's length the club was, in.
    pub offset_in: f64,
    /// Toward the toe from the sweet spot, mm.
    pub x_mm: f64,
    /// Above the sweet spot, mm.
    pub y_mm: f64,
}

/// The two directions on the face.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Axis {
    /// Heel to toe.
    Toe,
    /// Low to high.
    High,
}

impl Axis {
    /// Both, in the order results give them.
    pub const BOTH: [Self; 2] = [Self::Toe, Self::High];
}

impl Strike {
    /// Refuses a ball that cannot be meant.
    ///
    /// # Errors
    /// [`TrialError::OutOfRange`] for a length or a place no club and no face has.
    pub fn check(&self) -> Result<(), TrialError> {
        let numbers = [
            ("offset", self.offset_in, FARTHEST_OFFSET_IN, "in"),
            ("x", self.x_mm, FARTHEST_MARK_MM, "mm"),
            ("y", self.y_mm, FARTHEST_MARK_MM, "mm"),
        ];
        // a number that is none lies in no range
        match numbers.into_iter().find(|(_, found, most, _)| !(-most..=*most).contains(found)) {
            Some((column, found, most, unit)) => Err(TrialError::OutOfRange {
                session: self.session,
                order: self.order,
                column,
                found,
                most,
                unit,
            }),
            None => Ok(()),
        }
    }

    pub(crate) fn along(&self, axis: Axis) -> f64 {
        match axis {
            Axis::Toe => self.x_mm,
            Axis::High => self.y_mm,
        }
    }
}

/// The balls of one day, in the order they were hit.
#[derive(Debug, Clone, PartialEq)]
pub struct Day {
    /// The label of the session.
    pub session: u32,
    /// The balls.
    pub strikes: Vec<Strike>,
}

impl Day {
    /// How far the lengths of this day lie apart: the sum of squares about their mean, in².
    #[must_use]
    pub fn spread_of_lengths(&self) -> f64 {
        let mean = self.strikes.iter().map(|strike| strike.offset_in).sum::<f64>() / self.count();
        self.strikes.iter().map(|strike| (strike.offset_in - mean).powi(2)).sum()
    }

    /// Whether this day tells anything about length: ten balls and lengths far enough apart.
    ///
    /// Assumption of the method: a session of a few balls, or of one length, is no second day.
    #[must_use]
    pub fn counts(&self) -> bool {
        self.strikes.len() >= 10 && self.spread_of_lengths() >= 0.3 - 1e-9
    }

    pub(crate) fn count(&self) -> f64 {
        count(self.strikes.len())
    }
}

/// A count as a number to work with.
pub(crate) fn count(items: usize) -> f64 {
    f64::from(u32::try_from(items).unwrap_or(u32::MAX))
}

/// The strikes of a trial, checked, and sorted so that the order of rows changes nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct Strikes {
    days: Vec<Day>,
    offsets_in: Vec<f64>,
}

/// Most balls of one trial. A season of lessons is some hundreds.
pub const MOST_BALLS: usize = 5_000;
/// Farthest a tested length lies from the rule's, in. Beyond it the numbers are in another unit.
pub const FARTHEST_OFFSET_IN: f64 = 1.5;
/// Farthest a mark lies from the sweet spot, mm: beyond any face.
pub const FARTHEST_MARK_MM: f64 = 80.0;
/// Within-day scatter of a person, mm, either axis, at the least and the most.
///
/// Trade practice, no source: 4 to 10 mm; outside 2.5 to 25 the numbers are in another unit or no strikes.
pub const SCATTER_MM: (f64, f64) = (2.5, 25.0);
/// Standard normal deviate of one in a hundred: a scatter is refused when that few balls of a person at the limit would
/// show it. Definition.
const ONE_IN_A_HUNDRED: f64 = 2.326;

impl Strikes {
    /// Takes the balls of a trial.
    ///
    /// # Errors
    /// [`TrialError`] for numbers that cannot be meant, a ball twice at one place of a session, two sessions with the
    /// same rows, too many balls, offsets that are plainly centimetres, and a scatter no person has.
    pub fn new(mut strikes: Vec<Strike>) -> Result<Self, TrialError> {
        if strikes.len() > MOST_BALLS {
            return Err(TrialError::TooManyBalls { found: strikes.len(), most: MOST_BALLS });
        }
        for strike in &mut strikes {
            strike.check()?;
            // a zero may carry a sign in a file; it means nothing
            strike.offset_in += 0.0;
            strike.x_mm += 0.0;
            strike.y_mm += 0.0;
        }
        strikes.sort_by(|one, other| {
            (one.session, one.order)
                .cmp(&(other.session, other.order))
                .then(one.offset_in.total_cmp(&other.offset_in))
        });
        if let Some(pair) = strikes
            .windows(2)
            .find(|pair| (pair[0].session, pair[0].order) == (pair[1].session, pair[1].order))
        {
            return Err(TrialError::BallTwice { session: pair[0].session, order: pair[0].order });
        }
        let mut days: Vec<Day> = Vec::new();
        let mut offsets_in: Vec<f64> = Vec::new();
        for strike in strikes {
            if !offsets_in.iter().any(|known| is_same_length(*known, strike.offset_in)) {
                offsets_in.push(strike.offset_in);
            }
            match days.last_mut() {
                Some(day) if day.session == strike.session => day.strikes.push(strike),
                _ => days.push(Day { session: strike.session, strikes: vec![strike] }),
            }
        }
        offsets_in.sort_by(f64::total_cmp);
        let strikes = Self { days, offsets_in };
        strikes.refuse_centimetres()?;
        // first: marks that are all alike would be called a session entered twice
        strikes.refuse_a_scatter_no_person_has()?;
        strikes.refuse_a_session_twice()?;
        Ok(strikes)
    }

    /// The days, in the order of their labels.
    #[must_use]
    pub fn days(&self) -> &[Day] {
        &self.days
    }

    /// The lengths tried, as offsets from the rule's, rising, in.
    #[must_use]
    pub fn offsets_in(&self) -> &[f64] {
        &self.offsets_in
    }

    /// How many balls there are.
    #[must_use]
    pub fn balls(&self) -> usize {
        self.days.iter().map(|day| day.strikes.len()).sum()
    }

    /// How many days tell anything about length.
    #[must_use]
    pub fn counted_days(&self) -> usize {
        self.days.iter().filter(|day| day.counts()).count()
    }

    /// The same trial with the first `days` days only.
    #[must_use]
    pub fn first_days(&self, days: usize) -> Self {
        let days: Vec<Day> = self.days.iter().take(days).cloned().collect();
        let mut offsets_in: Vec<f64> = Vec::new();
        for strike in days.iter().flat_map(|day| &day.strikes) {
            if !offsets_in.iter().any(|known| is_same_length(*known, strike.offset_in)) {
                offsets_in.push(strike.offset_in);
            }
        }
        offsets_in.sort_by(f64::total_cmp);
        Self { days, offsets_in }
    }

    fn refuse_a_session_twice(&self) -> Result<(), TrialError> {
        let rows = |day: &Day| {
            let mut rows: Vec<[u64; 3]> = day
                .strikes
                .iter()
                .map(|strike| [strike.offset_in.to_bits(), strike.x_mm.to_bits(), strike.y_mm.to_bits()])
                .collect();
            rows.sort_unstable();
            rows
        };
        let mut seen: Vec<(u32, Vec<[u64; 3]>)> = Vec::new();
        for day in self.days.iter().filter(|day| day.strikes.len() >= 4) {
            let rows = rows(day);
            if let Some((first, _)) = seen.iter().find(|(_, other)| *other == rows) {
                return Err(TrialError::SessionTwice { first: *first, second: day.session });
            }
            seen.push((day.session, rows));
        }
        Ok(())
    }

    /// Half an inch is 1.27 cm, which could be an offset in inches too; but lengths that all lie on eighths of an inch
    /// when read as centimetres, and not on sixteenths when read as inches, were typed in centimetres.
    fn refuse_centimetres(&self) -> Result<(), TrialError> {
        /// Half of the last digit of hundredths of a centimetre, in inches, and rounding.
        const HALF_DIGIT_IN: f64 = 0.0021;
        let off = |value: f64, step: f64| (value - (value / step).round() * step).abs();
        let is_eighth_in_cm = |offset: &f64| off(offset / 2.54, 0.125) <= HALF_DIGIT_IN;
        let is_sixteenth = |offset: &f64| off(*offset, 0.0625) <= 0.0055;
        if self.offsets_in.iter().all(is_eighth_in_cm) && !self.offsets_in.iter().all(is_sixteenth) {
            let found = self
                .offsets_in
                .iter()
                .copied()
                .fold(0.0, |most: f64, offset| if offset.abs() > most.abs() { offset } else { most });
            return Err(TrialError::OffsetsInCentimetres { found });
        }
        Ok(())
    }

    /// Scatter is taken about each day's own line, so that a few balls of many lengths are judged too. A small number
    /// of balls shows a scatter of its own accord wider or narrower than the true one; the limits allow for that, by
    /// Wilson's and Hilferty's cube root of a chi-square (published: Wilson and Hilferty, 1931, Proceedings of the
    /// National Academy of Sciences 17, 684-688; from memory).
    fn refuse_a_scatter_no_person_has(&self) -> Result<(), TrialError> {
        for axis in Axis::BOTH {
            let (squares, freedom) = along(self, axis).iter().map(AxisDay::residuals).fold(
                (0.0, 0.0),
                |(squares, freedom), (left, free)| {
                    (squares + left.iter().map(|value| value * value).sum::<f64>(), freedom + free)
                },
            );
            if freedom < 8.0 {
                continue;
            }
            let sd_mm = (squares / freedom).sqrt();
            let one = 2.0 / (9.0 * freedom);
            let shown = |deviate: f64| {
                let root = 1.0 - one + deviate * one.sqrt();
                (root * root * root).sqrt()
            };
            let (least, most) =
                (SCATTER_MM.0 * shown(-ONE_IN_A_HUNDRED), SCATTER_MM.1 * shown(ONE_IN_A_HUNDRED));
            if !(least..=most).contains(&sd_mm) {
                return Err(TrialError::Scatter { axis, sd_mm });
            }
        }
        Ok(())
    }
}

/// Whether two offsets are one length: closer than a sixty-fourth of an inch.
#[must_use]
pub fn is_same_length(one_in: f64, other_in: f64) -> bool {
    (one_in - other_in).abs() < 1.0 / 64.0
}
