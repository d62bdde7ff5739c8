//! What stands before and after every page: the host list, the origin of writes, the headers, and a panic caught.
//!
//! On loopback there is no passphrase, so a page of another site must not reach in: a name re-pointed to this machine
//! is refused by the host list, a form posted from elsewhere by the origin check.

use crate::app::App;
use crate::error::PageError;
use crate::request::Answering;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::sync::Arc;

const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; font-src 'self'; \
                      connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Headers of every answer.
const HEADERS: [(HeaderName, &str); 6] = [
    (header::CONTENT_SECURITY_POLICY, POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "same-origin"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    (
        HeaderName::from_static("permissions-policy"),
        "camera=(self), microphone=(), geolocation=(), payment=(), usb=(), interest-cohort=()",
    ),
];

/// Lets a request through when it may come in, and dresses the answer.
pub(crate) async fn guard(State(app): State<App>, request: Request, next: Next) -> Response {
    let answering = Answering::begin(&request);
    let refused = refuse(&app, request.method(), request.headers());
    // in a task of its own: it runs to its end, with its line in the log, when the reader goes away
    let answered = tokio::spawn(answered(app, Arc::clone(&answering), refused, request, next));
    let mut response = answered.await.unwrap_or_else(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response());
    let headers = response.headers_mut();
    for (name, value) in HEADERS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    headers.append(header::VARY, HeaderValue::from_static("HX-Request"));
    response
}

/// Answers a request; a panic ends only this answer.
async fn answered(
    app: App,
    answering: Arc<Answering>,
    refused: Option<PageError>,
    request: Request,
    next: Next,
) -> Response {
    let response = match refused {
        Some(error) => Arc::clone(&answering).scope(async { error.into_response() }).await,
        None => {
            let page = tokio::spawn(Arc::clone(&answering).scope(next.run(request))).await;
            match page {
                Ok(response) => response,
                Err(_) => Arc::clone(&answering).scope(async { failed().into_response() }).await,
            }
        }
    };
    if let Some(error) = answering.unsound() {
        app.store.heed(&error);
    }
    answering.log(response.status().as_u16());
    response
}

fn failed() -> PageError {
    PageError::Status(
        StatusCode::INTERNAL_SERVER_ERROR,
        "This page failed, which is our fault. What was saved is safe; go back and save again.".to_owned(),
    )
}

fn refuse(app: &App, method: &Method, headers: &HeaderMap) -> Option<PageError> {
    let host = text(headers, &header::HOST);
    if !host.is_some_and(|host| is_ours(host, app.address.port())) {
        return Some(PageError::Status(
            StatusCode::MISDIRECTED_REQUEST,
            format!("Expected {}, found another name. Open the studio under its own address.", app.url()),
        ));
    }
    let is_write = !matches!(*method, Method::GET | Method::HEAD | Method::OPTIONS);
    if is_write && !is_same_origin(headers, host.unwrap_or_default()) {
        return Some(PageError::Status(
            StatusCode::FORBIDDEN,
            "This entry came from a page of another site and was not taken.".to_owned(),
        ));
    }
    None
}

/// The names of this machine to itself, with the right port.
fn is_ours(host: &str, port: u16) -> bool {
    let names = ["localhost", "127.0.0.1", "[::1]"];
    names.iter().any(|name| {
        host.strip_prefix(name)
            .is_some_and(|rest| rest == format!(":{port}") || (rest.is_empty() && port == 80))
    })
}

/// The browser's own word on where a request comes from, else its origin held against the host; a program that sends
/// neither is no browser and is not led by a page of another site.
fn is_same_origin(headers: &HeaderMap, host: &str) -> bool {
    if let Some(site) = text(headers, &HeaderName::from_static("sec-fetch-site")) {
        return matches!(site, "same-origin" | "none");
    }
    match text(headers, &header::ORIGIN) {
        Some(origin) => origin.strip_prefix("http://") == Some(host),
        None => true,
    }
}

fn text<'h>(headers: &'h HeaderMap, name: &HeaderName) -> Option<&'h str> {
    headers.get(name)?.to_str().ok()
}

#[cfg(test)]
mod tests {
    use super::{is_ours, is_same_origin};
    use axum::http::HeaderMap;

    #[test]
    fn only_this_machines_own_names_are_hosts() {
        for host in ["localhost:7700", "127.0.0.1:7700", "[::1]:7700"] {
            assert!(is_ours(host, 7700), "{host}");
        }
        for host in [
            "evil.example:7700",
            "localhost:7701",
            "localhost",
            "127.0.0.1.evil.example:7700",
            "",
            "localhost:7700:1",
        ] {
            assert!(!is_ours(host, 7700), "{host}");
        }
    }

    #[test]
    fn a_write_from_another_site_is_known() {
        let with = |pairs: &[(&'static str, &'static str)]| {
            let mut headers = HeaderMap::new();
            for (name, value) in pairs {
                headers.insert(*name, value.parse().unwrap());
            }
            is_same_origin(&headers, "127.0.0.1:7700")
        };
        assert!(with(&[("sec-fetch-site", "same-origin")]));
        assert!(with(&[("origin", "http://127.0.0.1:7700")]));
        assert!(with(&[]));
        assert!(!with(&[("sec-fetch-site", "cross-site"), ("origin", "http://127.0.0.1:7700")]));
        assert!(!with(&[("sec-fetch-site", "same-site")]));
        assert!(!with(&[("origin", "http://evil.example")]));
        assert!(!with(&[("origin", "null")]));
    }
}
