//! What the head of a request says, read as text alone: its cookies, the host it names, the page it comes from, the device
//! a proxy speaks for, how far a page has followed the changes, and the page that comes next.
//!
//! Nothing here knows of requests, so that any text at all can be tried on it (`fuzz/targets/head.rs`).

use std::net::IpAddr;

/// What a request brings of a cookie; nothing when it brings it twice, as no browser does.
pub(crate) fn cookie<'h>(headers: impl Iterator<Item = &'h str>, name: &str) -> Option<&'h str> {
    let mut ours = headers
        .flat_map(|cookies| cookies.split(';'))
        .filter_map(|cookie| cookie.trim().strip_prefix(name)?.strip_prefix('='));
    let first = ours.next()?;
    ours.next().is_none().then_some(first)
}

/// Tells whether a host is this name with this port; the scheme's usual port may be left out.
pub(crate) fn is_host(host: &str, name: &str, port: u16, usual: u16) -> bool {
    host.strip_prefix(name)
        .is_some_and(|rest| rest == format!(":{port}") || (rest.is_empty() && port == usual))
}

/// Tells whether a host is one of the names of this machine to itself, with the right port.
pub(crate) fn is_this_machine(host: &str, port: u16) -> bool {
    ["localhost", "127.0.0.1", "[::1]"].iter().any(|name| is_host(host, name, port, 80))
}

/// The browser's own word on where a request comes from, else its origin held against the host; a program that sends
/// neither is no browser and is not led by a page of another site.
pub(crate) fn is_same_origin(site: Option<&str>, origin: Option<&str>, scheme: &str, host: &str) -> bool {
    match (site, origin) {
        (Some(site), _) => matches!(site, "same-origin" | "none"),
        (None, Some(origin)) => origin.split_once("://") == Some((scheme, host)),
        (None, None) => true,
    }
}

/// The device behind a proxy, by the last value of `X-Forwarded-Proto` and of `X-Forwarded-For`: the last item of each is
/// the proxy's own word. Only over HTTPS.
pub(crate) fn forwarded(scheme: Option<&str>, from: Option<&str>) -> Option<IpAddr> {
    let last = |list: Option<&'_ str>| Some(list?.rsplit(',').next()?.trim().to_owned());
    let is_safe = last(scheme)? == "https";
    let address: IpAddr = last(from)?.parse().ok()?;
    is_safe.then(|| address.to_canonical())
}

/// From where a page is told of changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Follows {
    /// From now on.
    FromNow,
    /// From after this change on.
    After(i64),
    /// It has been away too long, or was with another studio: it loads anew.
    LoadsAnew,
}

/// Where a page's stream goes on, by its `Last-Event-ID`: changes further back than `most` are not replayed.
pub(crate) fn follows(seen: Option<&str>, now: i64, most: i64) -> Follows {
    match seen.and_then(|seen| seen.parse::<i64>().ok()) {
        None => Follows::FromNow,
        Some(seen) if seen > now || now.saturating_sub(seen) > most => Follows::LoadsAnew,
        Some(seen) => Follows::After(seen),
    }
}

/// The page a form asks to be led to: one of this studio, by its path, and else the first.
///
/// An address as it stands in a request has visible signs of ASCII alone. Others would be left out by a browser, so that
/// `/`, a tab and `/` lead to another host.
pub(crate) fn way_on(next: &str) -> &str {
    let is_ours = next.starts_with('/')
        && !next.starts_with("//")
        && next.bytes().all(|sign| sign.is_ascii_graphic() && sign != b'\\');
    if is_ours { next } else { "/" }
}

#[cfg(test)]
mod tests {
    use super::{Follows, follows, is_same_origin, is_this_machine, way_on};

    #[test]
    fn only_this_machines_own_names_are_hosts() {
        for host in ["localhost:7700", "127.0.0.1:7700", "[::1]:7700"] {
            assert!(is_this_machine(host, 7700), "{host}");
        }
        for host in [
            "evil.example:7700",
            "localhost:7701",
            "localhost",
            "127.0.0.1.evil.example:7700",
            "",
            "localhost:7700:1",
        ] {
            assert!(!is_this_machine(host, 7700), "{host}");
        }
    }

    #[test]
    fn a_write_from_another_site_is_known() {
        let is_ours = |site, origin| is_same_origin(site, origin, "http", "127.0.0.1:7700");
        assert!(is_ours(Some("same-origin"), None));
        assert!(is_ours(None, Some("http://127.0.0.1:7700")));
        assert!(is_ours(None, None));
        assert!(!is_ours(Some("cross-site"), Some("http://127.0.0.1:7700")));
        assert!(!is_ours(Some("same-site"), None));
        assert!(!is_ours(None, Some("http://evil.example")));
        assert!(!is_ours(None, Some("null")));
        assert!(!is_ours(None, Some("https://127.0.0.1:7700")), "not over what it was sent over");
    }

    #[test]
    fn a_page_goes_on_where_it_was_unless_that_is_too_far_back() {
        assert_eq!(follows(None, 5000, 1000), Follows::FromNow);
        assert_eq!(follows(Some("no number"), 5000, 1000), Follows::FromNow);
        assert_eq!(follows(Some("4000"), 5000, 1000), Follows::After(4000));
        assert_eq!(follows(Some("3999"), 5000, 1000), Follows::LoadsAnew);
        assert_eq!(follows(Some("5001"), 5000, 1000), Follows::LoadsAnew);
        assert_eq!(follows(Some("-9223372036854775808"), 5000, 1000), Follows::LoadsAnew);
    }

    #[test]
    fn the_way_on_leads_nowhere_else() {
        assert_eq!(way_on("/golfers/x?y=1"), "/golfers/x?y=1");
        for odd in [
            "",
            "//evil.example",
            "https://evil.example",
            "/\\evil.example",
            "golfers",
            "/a\r\nSet-Cookie: x=1",
            "/\t/evil.example",
            "/\u{e9}",
        ] {
            assert_eq!(way_on(odd), "/", "{odd:?}");
        }
    }
}
