//! The code that lets a new device in: eight digits shown on the host, good once, for ten minutes, for five tries.

use crate::secret::hex;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// How long a code is good. House choice: time to walk to the bay and type it (ASVS 5.0 V6.5.5 allows ten minutes).
pub const CODE_LASTS_MS: i64 = 10 * 60 * 1000;
/// How many wrong tries end it. House choice: one in twenty million guesses then hits.
const MOST_TRIES: u32 = 5;

/// A code while it is good.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PairingCode {
    digest: String,
    made_ms: i64,
    tries_left: u32,
}

/// Why a code does not let a device in. The words are alike, whatever was wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("expected the eight digits the laptop shows now, found others or a code that is over")]
pub struct CodeRefused;

impl PairingCode {
    /// Makes a code of chance: its eight digits to be shown, and what is kept.
    #[must_use]
    pub fn of_chance(bytes: [u8; 8], now_ms: i64) -> (String, Self) {
        // 2^64 is so much larger than 10^8 that no digit is likelier by more than one in 10^11
        let digits = format!("{:08}", u64::from_le_bytes(bytes) % 100_000_000);
        let code = Self { digest: digest(&digits), made_ms: now_ms, tries_left: MOST_TRIES };
        (digits, code)
    }

    /// Tells whether it may still be tried.
    #[must_use]
    pub fn is_good(&self, now_ms: i64) -> bool {
        // a clock that was put back by more than it lasts ends it too
        self.tries_left > 0 && (now_ms - self.made_ms).abs() <= CODE_LASTS_MS
    }

    /// Tries what was typed; digits may be grouped.
    pub(crate) fn is(&mut self, typed: &str, now_ms: i64) -> bool {
        let digits: String = typed.chars().filter(|sign| !sign.is_whitespace() && *sign != '-').collect();
        let is_right = self.is_good(now_ms) && self.digest == digest(&digits);
        if !is_right {
            self.tries_left = self.tries_left.saturating_sub(1);
        }
        is_right
    }
}

fn digest(digits: &str) -> String {
    hex(&Sha256::digest(digits.as_bytes()))
}

#[cfg(test)]
mod tests {
    use super::{CODE_LASTS_MS, PairingCode};

    #[test]
    fn five_wrong_tries_end_a_code() {
        let (digits, mut code) = PairingCode::of_chance(7_u64.to_le_bytes(), 0);
        assert_eq!(digits, "00000007");
        for _ in 0..4 {
            assert!(!code.is("00000008", 1));
        }
        assert!(code.is_good(1));
        assert!(!code.is("", 1));
        assert!(!code.is(&digits, 1), "the fifth wrong try ended it");
    }

    #[test]
    fn it_lasts_ten_minutes_by_whatever_clock_and_may_be_typed_in_groups() {
        let (_, code) = PairingCode::of_chance(12_345_678_u64.to_le_bytes(), 0);
        for typed in ["12345678", " 1234 5678", "1234-5678"] {
            assert!(code.clone().is(typed, CODE_LASTS_MS), "{typed}");
        }
        assert!(!code.clone().is("12345678", CODE_LASTS_MS + 1));
        assert!(!code.clone().is("12345678", -CODE_LASTS_MS - 1));
    }
}
