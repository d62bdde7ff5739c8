//! What stands before and after every page: the pace, the host list, the origin of writes, who may come in, the headers,
//! and a panic caught.
//!
//! On loopback there is no passphrase, so a page of another site must not reach in: a name re-pointed to this machine
//! is refused by the host list, a form posted from elsewhere by the origin check.

use crate::api::ApiError;
use crate::app::App;
use crate::door::{Turned, Visitor};
use crate::error::PageError;
use crate::head::{is_same_origin, is_this_machine};
use crate::heavy::{AGAIN_S, PATIENCE};
use crate::network::listen::Came;
use crate::request::Answering;
use crate::room;
use crate::route::{API, Demands, Writes, demands_of};
use axum::body::{Body, to_bytes};
use axum::extract::{MatchedPath, Request, State};
use axum::http::uri::PathAndQuery;
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use std::future::Future;
use std::sync::Arc;
use std::time::Duration;
use studio::Id;
use tokio::sync::Semaphore;

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
    let now_ms = app.now().ms;
    let came = request.extensions().get::<Came>().copied().unwrap_or_default();
    let visitor = app.door.visitor(came, request.headers(), now_ms);
    let answering = Answering::begin(&request, visitor);
    let answered = match turned_away(&app, &visitor, &request, now_ms) {
        Some(refused) => {
            tokio::spawn(answered(app, Arc::clone(&answering), async { refused.into_response() }))
        }
        None => {
            if let Some(session) = visitor.session {
                app.door.see(session, now_ms).await;
            }
            // in a task of its own: it runs to its end, with its line in the log, when the reader goes away
            let answer = in_its_turn(app.clone(), Arc::clone(&answering), request, next);
            tokio::spawn(answered(app, Arc::clone(&answering), answer))
        }
    };
    let mut response = answered.await.unwrap_or_else(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response());
    let headers = response.headers_mut();
    for (name, value) in HEADERS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    headers.append(header::VARY, HeaderValue::from_static("HX-Request"));
    response
}

/// Takes in what was sent and has it answered: what is heavy when its turn has come.
async fn in_its_turn(app: App, answering: Arc<Answering>, request: Request, next: Next) -> Response {
    let is_heavy = demands(&request).is_heavy;
    let is_api = is_of_the_api(&request);
    let request = match gathered(request).await {
        Ok(request) => request,
        Err(refused) => return refused.into_response(),
    };
    let act = act_of(request.headers());
    if !is_heavy {
        return naming(act, next.run(request).await);
    }
    app.heavy.run(answering.scope(next.run(request))).await.unwrap_or_else(|_| no_turn(is_api))
}

/// With what a page names the act of an entry that waits on the device, and the studio the one it has answered.
const ACT: HeaderName = HeaderName::from_static("lengthwise-act");

fn act_of(headers: &HeaderMap) -> Option<HeaderValue> {
    let act = text(headers, &ACT)?;
    Id::parse(act).is_ok().then(|| headers.get(&ACT).cloned())?
}

/// Names the act in the answer: only then may the page let go of the entry. What is merely on the way between them, or
/// turned it away before it was looked at, names none. A page that sent it by itself is not to be led on.
fn naming(act: Option<HeaderValue>, mut response: Response) -> Response {
    let Some(act) = act else { return response };
    if response.status().is_redirection() {
        response = StatusCode::NO_CONTENT.into_response();
    }
    response.headers_mut().insert(ACT, act);
    response
}

/// Says that the studio is too busy with others.
fn no_turn(is_api: bool) -> Response {
    let words = format!(
        "The studio is busy with other pages that take long, and this one's turn did not come within {} seconds. Nothing \
         was saved or lost by it; try again in a moment.",
        PATIENCE.as_secs()
    );
    let refusal = Refusal::of(is_api, PageError::Status(StatusCode::SERVICE_UNAVAILABLE, words));
    let mut response = refusal.into_response();
    response.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from(AGAIN_S));
    response
}

/// What the address of a request demands.
fn demands(request: &Request) -> Demands {
    demands_of(request.extensions().get::<MatchedPath>().map(MatchedPath::as_str))
}

fn is_of_the_api(request: &Request) -> bool {
    request.uri().path().starts_with(API)
}

fn is_write(method: &Method) -> bool {
    !matches!(*method, Method::GET | Method::HEAD | Method::OPTIONS)
}

/// Answers a request; a panic ends only this answer.
async fn answered(
    app: App,
    answering: Arc<Answering>,
    answer: impl Future<Output = Response> + Send + 'static,
) -> Response {
    let page = tokio::spawn(Arc::clone(&answering).scope(answer)).await;
    let response = match page {
        Ok(response) => response,
        Err(_) => Arc::clone(&answering).scope(async { failed().into_response() }).await,
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

/// Why a request is not answered: the first of what is wrong with it.
fn turned_away(app: &App, visitor: &Visitor, request: &Request, now_ms: i64) -> Option<Refusal> {
    if !app.door.is_in_pace(visitor.came, now_ms) {
        let words = "This device asks faster than any page does. Wait a moment.";
        return Some(Refusal::Page(PageError::Status(StatusCode::TOO_MANY_REQUESTS, words.to_owned())));
    }
    if let Some(error) = refuse(app, visitor.came, request.method(), request.headers()) {
        return Some(Refusal::Page(error));
    }
    let (demands, is_api) = (demands(request), is_of_the_api(request));
    let Some(turned) = demands.need.turns_away(visitor) else {
        let is_written = is_write(request.method());
        let cannot = is_written.then(|| cannot_be_written(app, demands.writes)).flatten()?;
        return Some(Refusal::of(is_api, cannot));
    };
    let asks_for_a_page = *request.method() == Method::GET
        && text(request.headers(), &header::ACCEPT).is_some_and(|accept| accept.contains("text/html"))
        && !request.headers().contains_key("hx-request");
    Some(match turned {
        Turned::Elsewhere => Refusal::of(
            is_api,
            PageError::Status(
                StatusCode::FORBIDDEN,
                "Only the laptop the studio runs on does that.".to_owned(),
            ),
        ),
        turned if asks_for_a_page && !is_api => {
            let next = request.uri().path_and_query().map_or("/", PathAndQuery::as_str);
            let next: String = form_urlencoded::byte_serialize(next.as_bytes()).collect();
            Refusal::Way(Redirect::to(&match turned {
                Turned::NotPaired => "/join".to_owned(),
                Turned::NotFresh => format!("/confirm?next={next}"),
                Turned::NotSignedIn | Turned::Elsewhere => format!("/sign-in?next={next}"),
            }))
        }
        turned => {
            let words = match turned {
                Turned::NotPaired => "This device was not let in yet.",
                Turned::NotFresh => "The passphrase is asked for once more before that.",
                Turned::NotSignedIn | Turned::Elsewhere => "Signed out.",
            };
            Refusal::of(is_api, PageError::Status(StatusCode::UNAUTHORIZED, words.to_owned()))
        }
    })
}

/// Why what was sent cannot be written down now, known before it is looked at.
fn cannot_be_written(app: &App, writes: Writes) -> Option<PageError> {
    if writes == Writes::Nothing {
        return None;
    }
    let only_read = app.store.refuse_when_only_read().err().map(PageError::from);
    only_read.or_else(|| match writes {
        Writes::Records => room::for_a_record(app.store.address()).err(),
        Writes::Strikes | Writes::Nothing => None,
    })
}

/// How a request is turned away.
enum Refusal {
    /// With a page that says why.
    Page(PageError),
    /// With the same for a program.
    Program(ApiError),
    /// To where the way in is.
    Way(Redirect),
}

impl Refusal {
    fn of(is_api: bool, error: PageError) -> Self {
        if is_api { Self::Program(error.into()) } else { Self::Page(error) }
    }

    fn into_response(self) -> Response {
        match self {
            Self::Page(error) => {
                let mut response = error.into_response();
                if response.status() == StatusCode::TOO_MANY_REQUESTS {
                    response.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from_static("1"));
                }
                response
            }
            Self::Program(error) => error.into_response(),
            Self::Way(redirect) => redirect.into_response(),
        }
    }
}

/// How long what is sent may take to come in. House choice.
const BODY_TAKES: Duration = Duration::from_secs(15);
/// The same for files.
const FILE_TAKES: Duration = Duration::from_secs(60);
/// Files that come in at once: each is held whole. House choice.
const FILES_AT_ONCE: usize = 4;

/// Places for files that come in.
static FILES: Semaphore = Semaphore::const_new(FILES_AT_ONCE);

/// Takes in the whole of what was sent, so that a slow sender holds nothing but itself, and no more than the address
/// takes.
async fn gathered(request: Request) -> Result<Request, PageError> {
    if !is_write(request.method()) {
        return Ok(request);
    }
    let demands = demands(&request);
    let (most, takes) = (demands.most(), if demands.file > 0 { FILE_TAKES } else { BODY_TAKES });
    let (parts, body) = request.into_parts();
    let late = || {
        let words = format!("What was sent did not come within {} seconds. Send it again.", takes.as_secs());
        PageError::Status(StatusCode::REQUEST_TIMEOUT, words)
    };
    let come = async {
        // it is never closed
        let _place = if demands.file > 0 { FILES.acquire().await.ok() } else { None };
        // one byte more than may be read: the address then says itself what is too large
        to_bytes(body, most + 1).await
    };
    let bytes = tokio::time::timeout(takes, come).await.map_err(|_| late())?;
    let too_large = |_| {
        let words = format!("Expected at most {} kB, found more. Nothing was saved.", most / 1024);
        PageError::Status(StatusCode::PAYLOAD_TOO_LARGE, words)
    };
    Ok(Request::from_parts(parts, Body::from(bytes.map_err(too_large)?)))
}

fn refuse(app: &App, came: Came, method: &Method, headers: &HeaderMap) -> Option<PageError> {
    let host = text(headers, &header::HOST).unwrap_or_default();
    let (is_known, url) = match (came, app.door.network()) {
        (Came::Host, _) => (is_this_machine(host, app.address.port()), app.url()),
        (Came::Network(_), Some(network)) => {
            let names = network.names();
            (names.answers_to(host), names.url())
        }
        (Came::Network(_), None) => (false, app.url()),
        (Came::Unclear, _) => {
            let words = "The proxy has to send X-Forwarded-For, and X-Forwarded-Proto: https.";
            return Some(PageError::Status(StatusCode::MISDIRECTED_REQUEST, words.to_owned()));
        }
    };
    if !is_known {
        return Some(PageError::Status(
            StatusCode::MISDIRECTED_REQUEST,
            format!("Expected {url}, found another name. Open the studio under its own address."),
        ));
    }
    let scheme = if came == Came::Host { "http" } else { "https" };
    if is_write(method) && !is_from_our_pages(headers, scheme, host) {
        return Some(PageError::Status(
            StatusCode::FORBIDDEN,
            "This entry came from a page of another site and was not taken.".to_owned(),
        ));
    }
    None
}

/// Whether a write comes from a page of the studio.
fn is_from_our_pages(headers: &HeaderMap, scheme: &str, host: &str) -> bool {
    let site = text(headers, &HeaderName::from_static("sec-fetch-site"));
    is_same_origin(site, text(headers, &header::ORIGIN), scheme, host)
}

fn text<'h>(headers: &'h HeaderMap, name: &HeaderName) -> Option<&'h str> {
    headers.get(name)?.to_str().ok()
}

#[cfg(test)]
mod tests {
    use super::guard;
    use crate::app::{App, Clock};
    use crate::server::{Opening, Server};
    use axum::Router;
    use axum::body::{Body, to_bytes};
    use axum::http::{Request, header};
    use axum::middleware::from_fn_with_state;
    use axum::routing::get;
    use store::{Address, Store};
    use tower::ServiceExt;

    async fn studio(folder: &std::path::Path) -> App {
        let store = Store::open(&Address::File(folder.join("studio.db"))).await.unwrap();
        let opening = Opening {
            address: "127.0.0.1:0".parse().unwrap(),
            clock: Clock::new(|| jiff::Timestamp::UNIX_EPOCH.to_zoned_datetime(jiff::tz::TimeZone::UTC)),
            is_temporary: true,
            program: None,
            lan: None,
            is_always_shut: false,
        };
        Server::new(store, opening).await.unwrap().into_app()
    }

    /// A fault in one page is that page's alone, and nothing of it is told but that it is ours.
    #[tokio::test]
    async fn a_panic_is_a_500_in_words_and_the_next_page_is_answered() {
        async fn boom() -> String {
            panic!("Quokka typed this")
        }
        let folder = tempfile::tempdir().unwrap();
        let app = studio(folder.path()).await;
        let router: Router = Router::new()
            .route("/boom", get(boom))
            .route("/well", get(|| async { "well" }))
            .layer(from_fn_with_state(app.clone(), guard))
            .with_state(app.clone());
        let ask = async |path: &str| {
            let host = app.address.to_string();
            let request = Request::get(path).header(header::HOST, host).body(Body::empty()).unwrap();
            let answer = router.clone().oneshot(request).await.unwrap();
            let (status, headers) = (answer.status().as_u16(), answer.headers().clone());
            let text = to_bytes(answer.into_body(), 100_000).await.unwrap();
            (status, headers, String::from_utf8(text.to_vec()).unwrap())
        };
        let (status, headers, text) = ask("/boom").await;
        assert_eq!(status, 500);
        assert!(text.contains("which is our fault") && text.contains("Request "), "{text}");
        assert!(!text.contains("Quokka") && !text.contains("guard.rs"), "{text}");
        assert!(headers.contains_key(header::CONTENT_SECURITY_POLICY));
        let (status, _, text) = ask("/well").await;
        assert_eq!((status, text.as_str()), (200, "well"));
    }
}
