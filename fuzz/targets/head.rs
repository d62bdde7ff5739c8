//! Any text in the head of a request: a cookie comes back as it was set, no host, origin or way on leads elsewhere by the
//! reading of browsers, a proxy's word is the last one, and a stream goes on within its limits.
#![no_main]

#[path = "../../crates/web/src/head.rs"]
mod head;

use access::Secret;
use head::Follows;
use libfuzzer_sys::fuzz_target;
use url::Url;

const COOKIE: &str = "__Host-lengthwise";
const PORT: u16 = 7743;
const MOST: i64 = 1000;

fuzz_target!(|input: (&str, &str, i64, [u8; 32])| {
    let (one, other, now, chance) = input;
    cookies(one, other, chance);
    hosts(one);
    origins(one, other);
    proxies(one, other);
    streams(one, now.unsigned_abs().cast_signed().max(0));
    ways_on(one);
});

fn cookies(before: &str, after: &str, chance: [u8; 32]) {
    let secret = Secret::of_chance(chance);
    let ours = format!("{COOKIE}={}", secret.to_text());
    let named = format!("{COOKIE}=");
    let sent = [format!("{before}; {ours}"), after.to_owned()];
    let read = head::cookie(sent.iter().map(String::as_str), COOKIE);
    let others = [before, after].iter().any(|text| text.contains(&named));
    match read {
        Some(read) => assert_eq!(Secret::parse(read).map(|secret| secret.digest()), Some(secret.digest())),
        None => assert!(others, "it stands there once"),
    }
    if let Some(secret) = Secret::parse(before) {
        assert!(secret.to_text().eq_ignore_ascii_case(before));
    }
}

fn hosts(host: &str) {
    let is_ours = head::is_this_machine(host, PORT);
    if is_ours {
        let url = Url::parse(&format!("http://{host}/")).expect("our own address is one");
        assert!(matches!(url.host_str(), Some("localhost" | "127.0.0.1" | "[::1]")), "{host:?}");
        assert_eq!(url.port(), Some(PORT));
    }
    assert!(!head::is_host(host, "bench.local", PORT, 443) || host == "bench.local:7743");
}

fn origins(site: &str, origin: &str) {
    let host = "127.0.0.1:7743";
    if head::is_same_origin(None, Some(origin), "https", host) {
        assert_eq!(origin, "https://127.0.0.1:7743");
    }
    if head::is_same_origin(Some(site), Some(origin), "https", host) {
        assert!(matches!(site, "same-origin" | "none"));
    }
}

/// Whatever a device claims of itself stands before what the proxy adds.
fn proxies(claimed: &str, scheme: &str) {
    let added = |claim: &str, word: &str| format!("{claim}, {word}");
    let told = head::forwarded(Some(&added(scheme, "https")), Some(&added(claimed, "192.168.1.7")));
    assert_eq!(told, Some([192, 168, 1, 7].into()));
    assert_eq!(head::forwarded(Some(&added(scheme, "http")), Some("192.168.1.7")), None);
    if let Some(address) = head::forwarded(Some(scheme), Some(claimed)) {
        assert_eq!(address, address.to_canonical());
    }
}

fn streams(seen: &str, now: i64) {
    match head::follows(Some(seen), now, MOST) {
        Follows::After(seen) => assert!(seen <= now && now - seen <= MOST),
        Follows::FromNow => assert!(seen.parse::<i64>().is_err()),
        Follows::LoadsAnew => assert!(seen.parse::<i64>().is_ok()),
    }
}

/// What a browser makes of the way on. Standard: the WHATWG's URL, as the crate `url` reads it.
fn ways_on(next: &str) {
    let here = Url::parse("https://127.0.0.1:7743/sign-in").expect("an address");
    let there = here.join(head::way_on(next)).expect("a way on is an address");
    assert_eq!(there.origin(), here.origin(), "{next:?}");
}
