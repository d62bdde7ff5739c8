//! A set's frequency line: shorter clubs read higher, evenly.
//!
//! A slope is + when frequencies rise as clubs get shorter, cycles a minute for each inch.

use crate::ClubError;
use crate::StraightLine;
use crate::range::{club_length, frequency};
use quantity::{Frequency, Length};

/// A club's length and the frequency read of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClubOnLine {
    /// Playing length.
    pub length: Length,
    /// As read, every club at the same clamp.
    pub frequency: Frequency,
}

/// A straight line of frequency against length, and where each club stands to it.
#[derive(Debug, Clone, PartialEq)]
pub struct FrequencyLine {
    /// Rise for each inch shorter.
    pub slope_cpm_per_in_shorter: f64,
    /// A club on the line.
    pub through: ClubOnLine,
    /// How far each club reads above the line, in the order given.
    pub above: Vec<Frequency>,
}

impl FrequencyLine {
    fn of(clubs: &[ClubOnLine], through: ClubOnLine, slope_cpm_per_in_shorter: f64) -> Self {
        let mut line = Self { slope_cpm_per_in_shorter, through, above: Vec::new() };
        line.above = clubs.iter().map(|club| club.frequency - line.at(club.length)).collect();
        line
    }

    /// Returns the line's frequency at a length.
    #[must_use]
    pub fn at(&self, length: Length) -> Frequency {
        let shorter_in = (self.through.length - length).as_inches();
        self.through.frequency + Frequency::cpm(self.slope_cpm_per_in_shorter * shorter_in)
    }
}

/// Returns the line of least squares through a set.
///
/// # Errors
/// [`ClubError::NoLine`] with fewer than two lengths, [`ClubError::OutOfRange`] for a club that cannot be.
pub fn set_line(clubs: &[ClubOnLine]) -> Result<FrequencyLine, ClubError> {
    checked(clubs)?;
    let mut lengths: Vec<Length> = clubs.iter().map(|club| club.length).collect();
    lengths.sort_by(Length::compare);
    lengths.dedup_by(|a, b| (*a - *b).abs() < Length::mm(0.1));
    if lengths.len() < 2 {
        return Err(ClubError::NoLine { found: lengths.len() });
    }
    let points: Vec<(f64, f64)> =
        clubs.iter().map(|club| (club.length.as_inches(), club.frequency.as_cpm())).collect();
    let line = StraightLine::through(&points).ok_or(ClubError::NoLine { found: 0 })?;
    let (length, frequency) = (Length::inches(line.middle.0), Frequency::cpm(line.middle.1));
    Ok(FrequencyLine::of(clubs, ClubOnLine { length, frequency }, -line.slope))
}

/// Returns the line of a stated slope through one club of the set.
///
/// # Errors
/// [`ClubError::OutOfRange`] for a club or slope that cannot be.
pub fn line_through(
    clubs: &[ClubOnLine],
    through: ClubOnLine,
    slope_cpm_per_in_shorter: f64,
) -> Result<FrequencyLine, ClubError> {
    checked(clubs)?;
    checked(&[through])?;
    super::profile::within("slope", slope_cpm_per_in_shorter, (-50.0, 50.0), "cpm an inch")?;
    Ok(FrequencyLine::of(clubs, through, slope_cpm_per_in_shorter))
}

fn checked(clubs: &[ClubOnLine]) -> Result<(), ClubError> {
    for club in clubs {
        club_length(club.length)?;
        frequency(club.frequency)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::{ClubOnLine, line_through, set_line};
    use quantity::{Frequency, Length};

    fn club(length_in: f64, cpm: f64) -> ClubOnLine {
        ClubOnLine { length: Length::inches(length_in), frequency: Frequency::cpm(cpm) }
    }

    #[test]
    fn least_squares_by_hand() {
        // lengths 38, 37, 36 read 300, 312, 318: the slope is (318 - 300) / 2 = 9, the mean 310 at 37 in
        let set = [club(38.0, 300.0), club(37.0, 312.0), club(36.0, 318.0)];
        let line = set_line(&set).unwrap();
        assert!((line.slope_cpm_per_in_shorter - 9.0).abs() < 1e-9);
        for (above, worked) in line.above.iter().zip([-1.0, 2.0, -1.0]) {
            assert!((above.as_cpm() - worked).abs() < 1e-9);
        }
        // 8.6 an inch through the 38 in club: 308.6 and 317.2
        let stated = line_through(&set, set[0], 8.6).unwrap();
        for (above, worked) in stated.above.iter().zip([0.0, 3.4, 0.8]) {
            assert!((above.as_cpm() - worked).abs() < 1e-9);
        }
    }

    #[test]
    fn one_length_gives_no_line() {
        let error = set_line(&[club(37.0, 300.0), club(37.0, 302.0)]).unwrap_err();
        assert!(error.to_string().contains("two lengths"), "{error}");
        assert!(set_line(&[club(37.0, f64::NAN), club(36.0, 302.0)]).is_err());
        assert!(line_through(&[], club(37.0, 300.0), f64::NAN).is_err());
    }
}
