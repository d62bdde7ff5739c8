//! From bytes to text: UTF-8 with or without its mark, UTF-16 by its mark, nothing else.

use crate::{ExchangeError, is_workbook};

/// How the bytes of a table were read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Encoding {
    /// UTF-8.
    Utf8,
    /// UTF-16, low byte first.
    Utf16Le,
    /// UTF-16, high byte first.
    Utf16Be,
}

impl Encoding {
    /// Names it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Utf8 => "UTF-8",
            Self::Utf16Le => "UTF-16, low byte first",
            Self::Utf16Be => "UTF-16, high byte first",
        }
    }
}

/// Makes text of the bytes, without the mark.
pub(super) fn decode(bytes: &[u8]) -> Result<(Encoding, String), ExchangeError> {
    if is_workbook(bytes) {
        return Err(ExchangeError::Workbook);
    }
    let (encoding, text) = match bytes {
        [0xff, 0xfe, rest @ ..] => (Encoding::Utf16Le, utf16(rest, u16::from_le_bytes)?),
        [0xfe, 0xff, rest @ ..] => (Encoding::Utf16Be, utf16(rest, u16::from_be_bytes)?),
        _ => {
            let plain = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
            (Encoding::Utf8, std::str::from_utf8(plain).map_err(|_| ExchangeError::NotText)?.to_owned())
        }
    };
    // no text holds it; UTF-16 without its mark and UTF-32 do
    if text.contains('\0') {
        return Err(ExchangeError::NotText);
    }
    Ok((encoding, text))
}

fn utf16(bytes: &[u8], unit: fn([u8; 2]) -> u16) -> Result<String, ExchangeError> {
    let (pairs, rest) = bytes.as_chunks::<2>();
    if !rest.is_empty() {
        return Err(ExchangeError::NotText);
    }
    char::decode_utf16(pairs.iter().map(|pair| unit(*pair)))
        .collect::<Result<String, _>>()
        .map_err(|_| ExchangeError::NotText)
}
