//! Devices: how a tablet comes in, which are let in, who is signed in, and the passphrase.

use crate::app::{App, Now};
use crate::door::{Door, Network, Visitor, drawn_passphrase};
use crate::error::PageError;
use crate::form::Form;
use crate::network::listen::Came;
use crate::pages::entry::with_secret;
use crate::parts::field::{Field, Width};
use crate::request::visitor;
use crate::shell::{Page, page};
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use sheet::code_of;

/// `GET /house/devices`
pub(crate) async fn show(State(app): State<App>) -> Result<Markup, PageError> {
    draw(&app, html! {}, None).await
}

async fn draw(app: &App, code: Markup, problem: Option<&str>) -> Result<Markup, PageError> {
    let house = app.house().await?.record;
    let now = app.now().in_words_of(&house);
    let visitor = visitor();
    let is_here = visitor.came == Came::Host;
    let content = html! {
        h1 { "Devices" }
        @if app.door.is_unwritten() {
            p class="problem" role="alert" { "The last change of who is let in could not be written to the disk. It holds until the studio is closed, and is written as soon as there is room again." }
        }
        @match app.door.network() {
            None => { (how_to_begin()) }
            Some(network) if is_here => { (letting_in(&app.door, network, &code)) }
            Some(_) => { p class="lead soft" { "A new device is let in from the laptop, and the passphrase is set there." } }
        }
        @if is_here && (app.door.network().is_some() || app.door.is_always_shut()) { (passphrase(&app.door, problem)) }
        (lists(&app.door, &visitor, &now))
    };
    Ok(page(
        app,
        &Page {
            title: "Devices, Lengthwise".to_owned(),
            search: "",
            main: content,
            follows: None,
            last: None,
            help: "devices",
        },
    ))
}

fn how_to_begin() -> Markup {
    html! {
        p class="lead" { "The studio is open on this machine only." }
        p { "For a tablet in the bay stop it, and start it with " code { "lengthwise serve --lan" } ". Tablets and phones of your own network can then open it, once you have let each in with a code and the passphrase." }
    }
}

/// The way in, as far as it goes yet: first the passphrase, then a code.
fn letting_in(door: &Door, network: &Network, code: &Markup) -> Markup {
    let has_passphrase = door.look(|register| register.passphrase().is_some());
    html! {
        section class="settings" {
            h2 { "Let a device in" }
            @if has_passphrase {
                (code)
                form method="post" action="/house/devices/code" class="stacked" data-plain {
                    @if code.0.is_empty() { button class="primary" { "Show a code" } } @else { button { "Show another code" } }
                }
                p class="soft below" {
                    @if code.0.is_empty() { "Devices open " b { (network.names().url()) } ". " }
                    "A code is good for ten minutes, for one device."
                }
                @if let Network::Tls(shown) = network && let Some(authority) = shown.authority() {
                    details {
                        summary { "When a device warns of the certificate" }
                        p { "The studio vouches for itself, so a device warns until it trusts the studio's own authority. Open " a href="/authority.crt" { "the authority's certificate" } " on it, and add it to those it trusts: on most under Settings, Security or General, Certificates. It can vouch for nothing outside your own network. Compare what the device shows with this:" }
                        p class="small" { b { (authority.name) } br; "SHA-256 " code class="digits" { (authority.fingerprint()) } }
                    }
                }
            } @else {
                p class="lead" { "First set a passphrase, below. Every device asks for it." }
            }
        }
    }
}

fn passphrase(door: &Door, problem: Option<&str>) -> Markup {
    let is_set = door.look(|register| register.passphrase().is_some());
    let (label, hint, value) = if is_set {
        ("The new one", "15 letters or more.", String::new())
    } else {
        (
            "Passphrase",
            "15 letters or more. These words were drawn by chance: take them, or write your own over them.",
            drawn_passphrase(),
        )
    };
    html! {
        section class="settings" id="passphrase" {
            h2 { "Passphrase" }
            p class="lead soft" { "Asked of every device but this one. Long beats odd: five words do well. Setting another ends every session." }
            form method="post" action="/house/devices/passphrase" class="stacked" data-plain {
                @if is_set {
                    div class="entry" {
                        label for="old" { "The one so far" }
                        input id="old" class="field name" type="password" name="old" autocomplete="current-password";
                    }
                }
                (Field {
                    name: "new",
                    label,
                    hint,
                    value: &value,
                    problem,
                    width: Width::Line,
                    options: &[],
                }.draw())
                button { @if is_set { "Change it" } @else { "Set it" } }
            }
        }
    }
}

fn lists(door: &Door, visitor: &Visitor, now: &Now) -> Markup {
    let (devices, sessions) = door.look(|register| {
        (
            register.devices().cloned().collect::<Vec<_>>(),
            register.sessions(now.ms).cloned().collect::<Vec<_>>(),
        )
    });
    let name_of = |number: Option<u32>| {
        let device = devices.iter().find(|device| Some(device.number) == number);
        device.map_or("this laptop", |device| device.name.as_str())
    };
    let since = |ms: i64| format!("since {}", now.clock_time(ms));
    html! {
        @if !devices.is_empty() {
            section class="settings" {
                h2 { "Let in" }
                ul class="people" {
                    @for device in &devices {
                        (entry(&Entry {
                            action: format!("/house/devices/{}/forget", device.number),
                            name: &device.name,
                            since: since(device.paired_ms),
                            is_this_one: visitor.device == Some(device.number),
                            ends: "Shut out",
                        }))
                    }
                }
            }
        }
        @if !sessions.is_empty() {
            section class="settings" {
                h2 { "Signed in" }
                ul class="people" {
                    @for session in &sessions {
                        (entry(&Entry {
                            action: format!("/house/sessions/{}/end", session.number),
                            name: name_of(session.device),
                            since: format!("{}, last seen {}", since(session.began_ms), now.clock_time(session.seen_ms)),
                            is_this_one: visitor.session == Some(session.number),
                            ends: "Sign out",
                        }))
                    }
                }
            }
        }
    }
}

/// A device that is let in, or someone who is signed in, and what ends it.
struct Entry<'a> {
    action: String,
    name: &'a str,
    since: String,
    is_this_one: bool,
    ends: &'a str,
}

fn entry(entry: &Entry<'_>) -> Markup {
    html! {
        li {
            form method="post" action=(entry.action) class="answers" {
                span { b { (entry.name) } span class="soft" { ", " (entry.since) } @if entry.is_this_one { ", this one" } }
                button class="quiet" aria-label=(format!("{}: {}", entry.ends, entry.name)) { (entry.ends) }
            }
        }
    }
}

/// `POST /house/devices/code`: the code is shown once, on this page; only its digest is kept.
pub(crate) async fn new_code(State(app): State<App>) -> Result<Markup, PageError> {
    let Some(network) = app.door.network() else { return Err(PageError::NotFound("page")) };
    let digits = app.door.new_code(app.now().ms).await;
    let address = format!("{}/join#code={digits}", network.names().url());
    let (first, last) = digits.split_at(digits.len() / 2);
    let shown = html! {
        div class="joining" {
            p class="big" { (first) " " (last) }
            @if let Some(code) = code_of(&address, "Opens the studio on a device that reads this code") { (code) }
            p { "Read the code with the tablet's camera, or open " b { (network.names().url()) } " there and type the digits." }
        }
    };
    draw(&app, shown, None).await
}

/// `POST /house/devices/passphrase`
pub(crate) async fn set_passphrase(State(app): State<App>, form: Form) -> Result<Response, PageError> {
    let visitor = visitor();
    let is_set = app.door.look(|register| register.passphrase().is_some());
    let old = form.get("old").unwrap_or_default().to_owned();
    let refused = |words: String| (StatusCode::UNPROCESSABLE_ENTITY, words);
    let proved = if is_set { app.door.prove(&visitor, old, app.now().ms).await } else { Ok(None) };
    let Ok(secret) = proved else {
        let (status, words) = refused("The one so far is not right.".to_owned());
        return Ok((status, draw(&app, html! {}, Some(&words)).await?).into_response());
    };
    let problem = {
        let studio = app.house().await?.record.value("name").to_owned();
        let typed = form.get("new").unwrap_or_default().to_owned();
        let set = app.door.set_passphrase(typed, &studio, visitor.session).await;
        set.err().map(|problem| {
            refused(format!("{}. Five words drawn by chance do well.", sentence(&problem.to_string())))
        })
    };
    match problem {
        Some((status, words)) => {
            Ok(with_secret(&app, secret, (status, draw(&app, html! {}, Some(&words)).await?)))
        }
        None => Ok(with_secret(&app, secret, Redirect::to("/house/devices"))),
    }
}

fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// `POST /house/devices/{number}/forget`
pub(crate) async fn forget(State(app): State<App>, Path(number): Path<u32>) -> Result<Redirect, PageError> {
    let is_gone = app.door.change(move |register| register.forget_device(number)).await;
    tracing::info!(device = number, is_gone, "a device was shut out");
    Ok(Redirect::to("/house/devices"))
}

/// `POST /house/sessions/{number}/end`
pub(crate) async fn end_session(
    State(app): State<App>,
    Path(number): Path<u32>,
) -> Result<Redirect, PageError> {
    let is_gone = app.door.change(move |register| register.end_session(number)).await;
    tracing::info!(session = number, is_gone, "a session was ended");
    Ok(Redirect::to("/house/devices"))
}
