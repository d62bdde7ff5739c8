//! The way in for another device: the code once, the passphrase at each sign-in, and again before what is dangerous.

use crate::app::App;
use crate::door::{Keeps, Network, Refused};
use crate::error::PageError;
use crate::form::{Asked, Form};
use crate::head::way_on;
use crate::request::visitor;
use crate::shell::doorway;
use access::Secret;
use axum::extract::State;
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};

/// What is said when a code or passphrase is not right: alike, whatever was wrong.
const WRONG: &str = "That is not right.";

/// `GET /join`: where a new device types the code the laptop shows.
pub(crate) async fn join(State(app): State<App>) -> Markup {
    join_page(&app, None)
}

fn join_page(app: &App, problem: Option<&str>) -> Markup {
    let has_passphrase = app.door.look(|register| register.passphrase().is_some());
    doorway(
        "Let this device in",
        &html! {
            @if has_passphrase {
                p class="lead" { "On the laptop: House, then Devices, then Show a code. Type its eight digits here; the next page asks for the passphrase." }
                form method="post" action="/join" class="stacked" {
                    (line("code", "Code", "Eight digits", "text", "one-time-code", problem))
                    (line("name", "What this device is called", "As it stands in the list of devices, such as bay tablet", "text", "off", None))
                    button class="primary" { "Let it in" }
                }
            } @else {
                p class="lead" { "No passphrase is set yet, so nobody is let in. Set one on the laptop: House, then Devices." }
            }
        },
    )
}

/// `POST /join`
pub(crate) async fn pair(State(app): State<App>, form: Form) -> Response {
    let typed = |name: &str| form.get(name).unwrap_or_default().to_owned();
    let came = visitor().came;
    match app.door.pair(came, typed("code"), typed("name"), app.now().ms).await {
        Ok(secret) => with_cookies([app.door.keeps(Keeps::Device, &secret)], Redirect::to("/sign-in")),
        Err(refused) => refusal(refused, |problem| join_page(&app, Some(problem))),
    }
}

/// `GET /sign-in`
pub(crate) async fn sign_in_page(asked: Asked) -> Markup {
    sign_in_form("Sign in", "/sign-in", &next_of(&asked.0), None)
}

/// `POST /sign-in`
pub(crate) async fn sign_in(State(app): State<App>, form: Form) -> Response {
    let visitor = visitor();
    let next = next_of(&form);
    let typed = form.get("passphrase").unwrap_or_default().to_owned();
    match app.door.sign_in(&visitor, typed, app.now().ms).await {
        Ok(secret) => with_cookies([app.door.keeps(Keeps::Session, &secret)], Redirect::to(&next)),
        Err(refused) => refusal(refused, |problem| sign_in_form("Sign in", "/sign-in", &next, Some(problem))),
    }
}

/// `GET /confirm`: the passphrase once more.
pub(crate) async fn confirm_page(asked: Asked) -> Markup {
    sign_in_form("The passphrase once more", "/confirm", &next_of(&asked.0), None)
}

/// `POST /confirm`
pub(crate) async fn confirm(State(app): State<App>, form: Form) -> Response {
    let next = next_of(&form);
    let typed = form.get("passphrase").unwrap_or_default().to_owned();
    match app.door.prove(&visitor(), typed, app.now().ms).await {
        Ok(secret) => with_secret(&app, secret, Redirect::to(&next)),
        Err(refused) => refusal(refused, |problem| {
            sign_in_form("The passphrase once more", "/confirm", &next, Some(problem))
        }),
    }
}

/// `POST /sign-out`
pub(crate) async fn sign_out(State(app): State<App>) -> Response {
    if let Some(session) = visitor().session {
        app.door.change(move |register| register.end_session(session)).await;
        tracing::info!(session, "signed out");
    }
    with_cookies([app.door.drops(Keeps::Session)], Redirect::to("/sign-in"))
}

/// `GET /authority.crt`: the studio's own authority, for a device that shall trust it.
pub(crate) async fn authority(State(app): State<App>) -> Result<Response, PageError> {
    let Some(Network::Tls(shown)) = app.door.network() else { return Err(PageError::NotFound("authority")) };
    let authority = shown.authority().ok_or(PageError::NotFound("authority"))?;
    let headers = [
        (header::CONTENT_TYPE, "application/x-x509-ca-cert"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"lengthwise-authority.crt\""),
    ];
    Ok((headers, authority.certificate_pem.clone()).into_response())
}

fn sign_in_form(title: &str, path: &str, next: &str, problem: Option<&str>) -> Markup {
    let (lead, button) = if path == "/confirm" {
        ("What comes next shows or changes what is shut away.", "Go on")
    } else {
        ("The passphrase of the studio.", "Sign in")
    };
    doorway(
        title,
        &html! {
            p class="lead" { (lead) }
            form method="post" action=(path) class="stacked" {
                input type="hidden" name="next" value=(next);
                (line("passphrase", "Passphrase", "", "password", "current-password", problem))
                button class="primary" { (button) }
            }
            p class="small soft below" { "Forgotten? On the laptop: " code { "lengthwise passphrase" } " sets another." }
        },
    )
}

/// A field of the doorway.
fn line(
    name: &str,
    label: &str,
    hint: &str,
    kind: &str,
    autocomplete: &str,
    problem: Option<&str>,
) -> Markup {
    let (hint_id, problem_id) = (format!("{name}-hint"), format!("{name}-problem"));
    let numeric = (name == "code").then_some("numeric");
    html! {
        div class="entry" {
            label for=(name) { (label) }
            @if !hint.is_empty() { p class="hint" id=(hint_id) { (hint) } }
            @if let Some(problem) = problem { p class="problem" id=(problem_id) role="alert" { (problem) } }
            input id=(name) class="field name" type=(kind) name=(name) autocomplete=(autocomplete) inputmode=[numeric] spellcheck="false"
                aria-describedby=[problem.map(|_| problem_id.as_str()).or((!hint.is_empty()).then_some(hint_id.as_str()))] aria-invalid=[problem.map(|_| "true")];
        }
    }
}

/// Where to go afterwards: a page of this studio and nothing else.
fn next_of(form: &Form) -> String {
    way_on(form.get("next").unwrap_or_default()).to_owned()
}

fn refusal(refused: Refused, draw: impl Fn(&str) -> Markup) -> Response {
    match refused {
        Refused::NotPaired => Redirect::to("/join").into_response(),
        Refused::Wrong => (StatusCode::UNPROCESSABLE_ENTITY, draw(WRONG)).into_response(),
        Refused::TooMany(too_many) => {
            let words = format!("Too many tries. Wait {} and try again.", waiting(too_many.wait_s));
            let mut response = (StatusCode::TOO_MANY_REQUESTS, draw(&words)).into_response();
            response.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from(too_many.wait_s));
            response
        }
    }
}

fn waiting(seconds: u64) -> String {
    match seconds {
        0..=90 => format!("{seconds} seconds"),
        91..=5400 => format!("{} minutes", seconds.div_ceil(60)),
        _ => format!("{} hours", seconds.div_ceil(3600)),
    }
}

/// An answer that has the browser keep a session's other secret.
pub(crate) fn with_secret(app: &App, secret: Option<Secret>, answer: impl IntoResponse) -> Response {
    with_cookies(secret.map(|secret| app.door.keeps(Keeps::Session, &secret)), answer)
}

fn with_cookies(cookies: impl IntoIterator<Item = HeaderValue>, response: impl IntoResponse) -> Response {
    let headers: HeaderMap = cookies.into_iter().map(|cookie| (header::SET_COOKIE, cookie)).collect();
    (headers, response).into_response()
}
