//! The two cookies of the door: what a paired device keeps, and what a session keeps.
//!
//! `__Host-` ties them to this host alone, over TLS (RFC 6265bis, 4.1.3.2).

use crate::head;
use access::Secret;
use axum::http::{HeaderMap, HeaderValue, header};

/// What a paired device keeps.
pub(crate) const DEVICE: &str = "__Host-lengthwise-paired";
/// What a session keeps.
pub(crate) const SESSION: &str = "__Host-lengthwise";
/// The longest a browser keeps a cookie, seconds: 400 days (RFC 6265bis, 5.5).
const LONGEST_S: u32 = 400 * 24 * 3600;

/// The header that has a browser keep a secret; a session's goes with the browser's own, and with thirty days.
pub(crate) fn kept(name: &str, secret: &Secret) -> HeaderValue {
    let lasts = if name == DEVICE { LONGEST_S } else { session_s() };
    header(&format!("{name}={}; Max-Age={lasts}", secret.to_text()))
}

/// The header that has a browser drop one.
pub(crate) fn dropped(name: &str) -> HeaderValue {
    header(&format!("{name}=; Max-Age=0"))
}

fn session_s() -> u32 {
    u32::try_from(access::WHOLE_MS / 1000).unwrap_or(LONGEST_S)
}

fn header(pair: &str) -> HeaderValue {
    let cookie = format!("{pair}; Path=/; Secure; HttpOnly; SameSite=Strict");
    // names and digits of our own
    HeaderValue::from_str(&cookie).unwrap_or(HeaderValue::from_static(""))
}

/// What a request brings of a cookie; nothing when it brings it twice, as no browser does.
pub(crate) fn read(headers: &HeaderMap, name: &str) -> Option<String> {
    let all = headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
    head::cookie(all, name).map(str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::{DEVICE, SESSION, kept, read};
    use access::Secret;
    use axum::http::{HeaderMap, header};

    #[test]
    fn a_cookie_comes_back_as_it_was_and_only_once() {
        let secret = Secret::of_chance([9; 32]);
        let set = kept(SESSION, &secret);
        let set = set.to_str().unwrap();
        for part in ["__Host-lengthwise=", "; Path=/", "; Secure", "; HttpOnly", "; SameSite=Strict"] {
            assert!(set.contains(part), "{part} in {set}");
        }
        assert!(!set.contains("Domain"));
        let with = |cookie: &str| {
            let mut headers = HeaderMap::new();
            headers.insert(header::COOKIE, cookie.parse().unwrap());
            headers
        };
        let pair = set.split(';').next().unwrap();
        assert_eq!(read(&with(&format!("a=b; {pair}")), SESSION), Some(secret.to_text()));
        assert_eq!(read(&with(pair), DEVICE), None);
        assert_eq!(read(&with(&format!("{pair}; {pair}")), SESSION), None);
    }
}
