//! What a device remembers of itself, in a cookie: whether it is light or dark, and which hand holds it.

use crate::head;
use axum::http::{HeaderMap, HeaderValue, header};

/// What a device has chosen; a word that is not known counts as none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Device {
    /// `light` or `dark`; as the system when not chosen.
    pub(crate) look: Option<&'static str>,
    /// `left` when the thumb of the left hand presses.
    pub(crate) thumb: Option<&'static str>,
}

/// The looks there are.
pub(crate) const LOOKS: [&str; 2] = ["light", "dark"];
/// The only thumb that is written down: the right one is usual.
pub(crate) const LEFT: &str = "left";
const COOKIE: &str = "lengthwise-device";
/// A year, seconds.
const LASTS: u32 = 365 * 24 * 3600;

impl Device {
    /// Reads it from a request.
    pub(crate) fn of(headers: &HeaderMap) -> Self {
        let cookies = headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
        head::cookie(cookies, COOKIE).map_or_else(Self::default, |value| {
            let (look, thumb) = value.split_once('.').unwrap_or((value, ""));
            Self::chosen(look, thumb)
        })
    }

    /// What was chosen, by its words.
    pub(crate) fn chosen(look: &str, thumb: &str) -> Self {
        Self { look: LOOKS.into_iter().find(|known| *known == look), thumb: (thumb == LEFT).then_some(LEFT) }
    }

    /// The header that has the device remember it.
    pub(crate) fn to_header(self) -> HeaderValue {
        let (look, thumb) = (self.look.unwrap_or("system"), self.thumb.unwrap_or("right"));
        let cookie = format!("{COOKIE}={look}.{thumb}; Path=/; Max-Age={LASTS}; SameSite=Strict; HttpOnly");
        // the words are our own
        HeaderValue::from_str(&cookie).unwrap_or(HeaderValue::from_static(""))
    }
}

#[cfg(test)]
mod tests {
    use super::Device;
    use axum::http::{HeaderMap, header};

    fn read(cookie: &str) -> Device {
        let mut headers = HeaderMap::new();
        headers.insert(header::COOKIE, cookie.parse().unwrap());
        Device::of(&headers)
    }

    #[test]
    fn what_is_remembered_comes_back_and_anything_else_is_nothing() {
        let device = Device::chosen("dark", "left");
        let header = device.to_header();
        let pair = header.to_str().unwrap().split(';').next().unwrap();
        assert_eq!(read(&format!("other=1; {pair}")), device);
        for odd in ["lengthwise-device=", "lengthwise-device=<b>.left.x", "lengthwise-device", "x=dark.left"]
        {
            assert_eq!(read(odd), Device::default(), "{odd}");
        }
    }
}
