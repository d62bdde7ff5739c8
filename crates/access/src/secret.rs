//! A secret that a device carries: 256 bits of chance, kept here as a digest.

use sha2::{Digest, Sha256};
use std::fmt::Write as _;

/// A secret as it goes out to a device, once.
#[derive(Clone, PartialEq, Eq)]
pub struct Secret([u8; 32]);

impl Secret {
    /// Makes a secret of 256 bits of chance.
    #[must_use]
    pub const fn of_chance(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// Reads what a device sent; nothing when it is no secret.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let digits: Option<Vec<u8>> =
            text.chars().map(|sign| sign.to_digit(16).and_then(|digit| u8::try_from(digit).ok())).collect();
        let bytes: Vec<u8> =
            digits?.chunks(2).map(|pair| pair.iter().fold(0, |byte, digit| byte << 4 | digit)).collect();
        (text.len() == 64).then(|| bytes.try_into().ok().map(Self)).flatten()
    }

    /// Writes it for the device: 64 hexadecimal digits.
    #[must_use]
    pub fn to_text(&self) -> String {
        hex(&self.0)
    }

    /// What is kept of it: SHA-256 in hexadecimal digits. A secret of 256 bits needs no slow hash.
    #[must_use]
    pub fn digest(&self) -> String {
        hex(&Sha256::digest(self.0))
    }
}

impl std::fmt::Debug for Secret {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Secret")
    }
}

/// Bytes in hexadecimal digits.
pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::with_capacity(2 * bytes.len()), |mut text, byte| {
        // writing into a String does not fail
        let _ = write!(text, "{byte:02x}");
        text
    })
}

#[cfg(test)]
mod tests {
    use super::Secret;

    #[test]
    fn a_secret_comes_back_and_anything_else_is_none() {
        let secret = Secret::of_chance([0xa7; 32]);
        assert_eq!(Secret::parse(&secret.to_text()), Some(secret.clone()));
        for odd in ["", "a7", &"g".repeat(64), &"a".repeat(63), &"a".repeat(66), &"é".repeat(32)] {
            assert_eq!(Secret::parse(odd), None, "{odd}");
        }
        assert_eq!(format!("{secret:?}"), "Secret");
    }

    /// FIPS 180-4's hash of 32 zero bytes, as any SHA-256 tool prints it.
    #[test]
    fn what_is_kept_is_sha_256() {
        assert_eq!(
            Secret::of_chance([0; 32]).digest(),
            "66687aadf862bd776c8fc18b8e9f8e20089714856ee233b3902a591d0d5f2925"
        );
    }
}
