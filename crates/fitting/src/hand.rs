//! Grip size by the hand: a starting value from hand length and middle finger.
//!
//! The hand on the club decides: the fingertips of the lead hand should just meet the pad, and comfort
//! with the least squeeze beats the table. Kind of every row: from memory and common practice, no source.

use quantity::Length;

/// A size of grip, thinnest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum HandSize {
    /// For a child's hand.
    Junior,
    /// Under a man's usual size; a woman's usual size.
    Under,
    /// A man's usual size, about 0.900 in across at 2 in down.
    Standard,
    /// About 1/16 in over.
    Midsize,
    /// About 1/8 in over.
    Jumbo,
}

impl HandSize {
    /// Names the size.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Junior => "junior",
            Self::Under => "under standard",
            Self::Standard => "standard",
            Self::Midsize => "midsize",
            Self::Jumbo => "jumbo",
        }
    }

    /// Returns how much thicker than a man's usual grip it is, 2 in down.
    #[must_use]
    pub fn over_standard(self) -> Length {
        Length::inches(match self {
            Self::Junior => -0.100,
            Self::Under => -0.050,
            Self::Standard => 0.0,
            Self::Midsize => 1.0 / 16.0,
            Self::Jumbo => 1.0 / 8.0,
        })
    }
}

/// What the middle finger adds to the size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FingerSays {
    /// Under 3 in: 1/64 in under.
    Thinner,
    /// 3 to 4 in: no change.
    NoChange,
    /// Over 4 in: 1/64 to 1/32 in over.
    Thicker,
}

/// A starting value for the grip.
#[derive(Debug, Clone, PartialEq)]
pub struct GripAdvice {
    /// The sizes whose hand lengths hold this one, thinnest first; where charts overlap there are two.
    pub sizes: Vec<HandSize>,
    /// What the middle finger adds, if it was measured.
    pub finger: Option<FingerSays>,
}

/// Hand lengths, wrist crease to fingertip, for each size, inches.
const SIZES: [(HandSize, f64, f64); 5] = [
    (HandSize::Junior, 0.0, 5.75),
    (HandSize::Under, 5.75, 7.0),
    (HandSize::Standard, 7.0, 8.75),
    (HandSize::Midsize, 8.25, 9.25),
    (HandSize::Jumbo, 9.25, 99.0),
];

impl GripAdvice {
    /// Looks the hand up.
    #[must_use]
    pub fn of(hand_length: Length, middle_finger: Option<Length>) -> Self {
        let hand = hand_length.as_inches();
        let holds = |(_, from, to): &&(HandSize, f64, f64)| *from <= hand && hand <= *to;
        Self {
            sizes: SIZES.iter().filter(holds).map(|(size, ..)| *size).collect(),
            finger: middle_finger.map(|finger| match finger.as_inches() {
                short if short < 3.0 => FingerSays::Thinner,
                long if long > 4.0 => FingerSays::Thicker,
                _ => FingerSays::NoChange,
            }),
        }
    }

    /// Returns how much thicker (thinner: negative) than `over_standard` the grip should be by the hand; of
    /// two sizes the nearer counts.
    #[must_use]
    pub fn thicker_by(&self, over_standard: Length) -> Option<Length> {
        let missing = self.sizes.iter().map(|size| size.over_standard() - over_standard);
        missing.min_by(|a, b| a.abs().compare(&b.abs()))
    }

    /// Says it in a sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        let sizes: Vec<&str> = self.sizes.iter().map(|size| size.words()).collect();
        let finger = match self.finger {
            Some(FingerSays::Thinner) => ", 1/64 in thinner for a short middle finger",
            Some(FingerSays::Thicker) => ", 1/64 to 1/32 in thicker for a long middle finger",
            Some(FingerSays::NoChange) | None => "",
        };
        format!(
            "Grip size by the hand: {}{finger}. The fingertips of the lead hand should just meet the pad; comfort \
             decides.",
            sizes.join(" or ")
        )
    }
}

#[cfg(test)]
mod tests {
    use super::{FingerSays, GripAdvice, HandSize};
    use quantity::Length;

    #[test]
    fn a_hand_in_two_charts_gets_two_sizes() {
        let advice = |inches| GripAdvice::of(Length::inches(inches), None).sizes;
        assert_eq!(advice(7.5), [HandSize::Standard]);
        assert_eq!(advice(8.5), [HandSize::Standard, HandSize::Midsize]);
        assert_eq!(advice(9.5), [HandSize::Jumbo]);
        assert_eq!(advice(5.0), [HandSize::Junior]);
    }

    #[test]
    fn a_long_finger_asks_for_more() {
        let advice = GripAdvice::of(Length::inches(7.5), Some(Length::inches(4.25)));
        assert_eq!(advice.finger, Some(FingerSays::Thicker));
        assert!(advice.sentence().starts_with("Grip size by the hand: standard, 1/64 to 1/32 in thicker"));
    }
}
