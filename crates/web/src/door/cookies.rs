//! The two cookies of the door: what a paired device keeps, and what a session keeps.
//!
//! `__Host-` ties them to this host alone, over TLS (RFC 6265bis, 4.1.3.2).

use crate::head;
use access::Secret;
use axum::http::{HeaderMap, HeaderValue, header};

/// The longest a browser keeps a cookie, seconds: 400 days (RFC 6265bis, 5.5).
const LONGEST_S: u32 = 400 * 24 * 3600;

/// What a browser keeps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Keeps {
    /// That its device is paired.
    Device,
    /// A session.
    Session,
}

/// The names of a studio's cookies.
#[derive(Debug)]
pub(super) struct Cookies {
    device: String,
    session: String,
}

impl Cookies {
    /// Those of a studio by itself, or of one of a chain: cookies do not know ports, and studios of a chain differ in
    /// nothing else.
    pub(super) fn of(studio: Option<&str>) -> Self {
        let of = studio.map(|studio| format!("-of-{studio}")).unwrap_or_default();
        Self { device: format!("__Host-lengthwise-paired{of}"), session: format!("__Host-lengthwise{of}") }
    }

    fn name(&self, what: Keeps) -> &str {
        match what {
            Keeps::Device => &self.device,
            Keeps::Session => &self.session,
        }
    }

    /// The header that has a browser keep a secret; a session's goes with the browser's own, and with thirty days.
    pub(super) fn kept(&self, what: Keeps, secret: &Secret) -> HeaderValue {
        let lasts = match what {
            Keeps::Device => LONGEST_S,
            Keeps::Session => u32::try_from(access::WHOLE_MS / 1000).unwrap_or(LONGEST_S),
        };
        header(&format!("{}={}; Max-Age={lasts}", self.name(what), secret.to_text()))
    }

    /// The header that has a browser drop one.
    pub(super) fn dropped(&self, what: Keeps) -> HeaderValue {
        header(&format!("{}=; Max-Age=0", self.name(what)))
    }

    /// What a request brings of one; nothing when it brings it twice, as no browser does.
    pub(super) fn read(&self, headers: &HeaderMap, what: Keeps) -> Option<String> {
        let all = headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
        head::cookie(all, self.name(what)).map(str::to_owned)
    }
}

fn header(pair: &str) -> HeaderValue {
    let cookie = format!("{pair}; Path=/; Secure; HttpOnly; SameSite=Strict");
    // names and digits of our own
    HeaderValue::from_str(&cookie).unwrap_or(HeaderValue::from_static(""))
}

#[cfg(test)]
mod tests {
    use super::{Cookies, Keeps};
    use access::Secret;
    use axum::http::{HeaderMap, header};

    #[test]
    fn a_cookie_comes_back_as_it_was_and_only_once() {
        let secret = Secret::of_chance([9; 32]);
        let cookies = Cookies::of(None);
        let set = cookies.kept(Keeps::Session, &secret);
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
        assert_eq!(cookies.read(&with(&format!("a=b; {pair}")), Keeps::Session), Some(secret.to_text()));
        assert_eq!(cookies.read(&with(pair), Keeps::Device), None);
        assert_eq!(cookies.read(&with(&format!("{pair}; {pair}")), Keeps::Session), None);
        // nor is it another studio's of the same chain
        for studio in ["north", "paired"] {
            assert_eq!(Cookies::of(Some(studio)).read(&with(pair), Keeps::Session), None);
        }
    }
}
