//! The shell of every page: head, one nav, one search, one main, a foot.

use crate::app::{App, Now, new_id};
use crate::assets;
use crate::request::{device, visitor};
use maud::{DOCTYPE, Markup, html};
use store::{ClockStands, LogLine, OnlyRead};
use studio::{Dossier, HouseSettings, Spine, StationName, StationState};

/// What a page is called and where it stands.
pub(crate) struct Page<'a> {
    pub(crate) title: String,
    pub(crate) search: &'a str,
    pub(crate) main: Markup,
    /// The golfer whose changes this page follows.
    pub(crate) follows: Option<&'a str>,
    /// The last act, to be undone.
    pub(crate) last: Option<Last>,
    /// The part of the help that is about this page.
    pub(crate) help: &'static str,
}

/// The last act of a golfer's timeline, as the foot shows it.
pub(crate) struct Last {
    pub(crate) id: String,
    pub(crate) sentence: String,
    pub(crate) when: String,
    pub(crate) back: String,
}

impl Last {
    /// The newest act that was not undone.
    pub(crate) fn of(log: &[LogLine], now: &Now, back: &str) -> Option<Self> {
        let line = log.iter().find(|line| !line.is_undone)?;
        Some(Self {
            id: line.id.to_string(),
            sentence: line.sentence.clone(),
            when: now.clock_time(line.at_ms),
            back: back.to_owned(),
        })
    }
}

/// Draws a page.
pub(crate) fn page(app: &App, page: &Page<'_>) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" data-look=[device().look] data-thumb=[device().thumb] {
            (head(&page.title, "pages.css"))
            body data-follows=[page.follows] {
                a class="skip" href="#main" { "To the content" }
                header class="bar" {
                    a class="mark" href="/" { "Lengthwise" @if let Some(studio) = app.store.address().studio() { " " span class="of" { (studio) } } }
                    (ways_on(page.help))
                    form class="find" role="search" method="get" action="/" {
                        label class="unseen" for="find" { "Find a golfer" }
                        input id="find" class="field" type="search" name="q" value=(page.search) autocomplete="off" spellcheck="false"
                            hx-get="/search" hx-trigger="input changed delay:120ms" hx-target="#hits" hx-sync="this:replace";
                        button { "Find" }
                    }
                    div id="hits" {}
                }
                (banners(app))
                main id="main" tabindex="-1" { (page.main) }
                footer class="foot" {
                    @if let Some(last) = &page.last { (undo(last)) }
                    @if visitor().session.is_some() {
                        form method="post" action="/sign-out" data-leaves { button class="quiet" { "Sign out" } }
                    }
                    p class="small soft" id="live" role="status" {}
                }
            }
        }
    }
}

/// What whoever works here has to know, whatever the page is about.
fn banners(app: &App) -> Markup {
    html! {
        @if let Some(why) = app.store.stopped() {
            aside class="banner care" aria-label="Nothing more is saved" {
                b { "Nothing more is saved. " }
                "The disk failed or the studio's file is damaged (" (why) "). What was saved before can be read: take it along from "
                a href="/house" { "House" } " to another drive, then stop the studio and run " code { "lengthwise check" } "."
            }
        }
        @if let Some(why) = app.store.only_read() {
            aside class="banner care" aria-label="Nothing is saved" {
                b { "Nothing is saved here: " (why) ". " }
                "Everything can be read, printed and taken along."
                @if why == OnlyRead::CannotBeWritten { " To work in it, copy its whole folder to a drive that can be written." }
            }
        }
        @if app.store.is_on_network_drive() {
            aside class="banner care" aria-label="On a network drive" {
                b { "The studio lies on a network drive. " }
                "No other program may open it, and a cut connection can cost what was saved last. Take a copy to a drive of this machine often."
            }
        }
        (clock_banner(app))
        @if let Some(left) = crate::room::warning(app.store.address()) {
            aside class="banner care" aria-label="The disk is nearly full" { b { "The disk is nearly full: " (left) } " Make room before it is full; what is saved stays safe." }
        }
        @if app.is_temporary {
            aside class="banner" aria-label="About this studio" { "An invented studio that goes away when it is stopped. Try anything." }
        }
    }
}

/// Asks whether the clock is right, where it may be wrong.
fn clock_banner(app: &App) -> Markup {
    let now = app.now();
    let stands = app.store.clock_stands(now.ms);
    let (ClockStands::Behind { last_ms } | ClockStands::Ahead { last_ms }) = stands else { return html! {} };
    html! {
        aside class="banner care" aria-label="Is the clock right?" {
            form method="post" action="/house/clock" {
                b { "Is the clock right? " }
                "This machine shows " (now.moment(now.ms)) "; the studio was last open " (now.moment(last_ms)) ". "
                @match stands {
                    ClockStands::Behind { .. } => "Set it, or say that it is right. ",
                    _ => "If nobody opened it since, say that it is right. ",
                }
                "Until then no old copy is removed. "
                button class="quiet" { "It is right" }
            }
        }
    }
}

/// The links every page has in the same place; help opens at the part about this page.
fn ways_on(help: &str) -> Markup {
    let about_this = if help.is_empty() { "/help".to_owned() } else { format!("/help#{help}") };
    html! {
        nav aria-label="Studio" {
            a href="/" { "Studio" }
            a href="/shelf" { "Shelf" }
            a href="/house" { "House" }
            a href=(about_this) { "Help" }
        }
    }
}

fn undo(last: &Last) -> Markup {
    html! {
        form class="undo" method="post" action="/undo" {
            input type="hidden" name="act" value=(new_id());
            input type="hidden" name="of" value=(last.id);
            input type="hidden" name="back" value=(last.back);
            span { "Saved " (last.when) ": " (last.sentence) }
            button class="quiet" { "Undo" }
        }
    }
}

/// A page that stands alone, without the studio's head: an error.
pub(crate) fn bare(title: &str, main: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" data-look=[device().look] data-thumb=[device().thumb] {
            (head(&format!("{title}, Lengthwise"), "pages.css"))
            body {
                header class="bar" {
                    a class="mark" href="/" { "Lengthwise" }
                    (ways_on("no-answer"))
                }
                main id="main" { (main) }
            }
        }
    }
}

/// A page before anyone is in: nothing of the studio is on it.
pub(crate) fn doorway(title: &str, main: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" data-look=[device().look] data-thumb=[device().thumb] {
            (head(&format!("{title}, Lengthwise"), "pages.css"))
            body class="doorway" {
                header class="bar" { span class="mark" { "Lengthwise" } }
                main id="main" { h1 { (title) } (main) p class="small soft" id="live" role="status" {} }
            }
        }
    }
}

/// A sheet on paper: its own style, no script.
pub(crate) fn paper(title: &str, tools: &Markup, content: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" data-look=[device().look] data-thumb=[device().thumb] {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) ", Lengthwise" }
                link rel="stylesheet" href=(assets::path("paper.css"));
                link rel="icon" type="image/svg+xml" href=(assets::path("mark.svg"));
                script src=(assets::path("studio.js")) defer {}
            }
            body {
                nav class="tools" aria-label="Sheet" { (tools) }
                main { (content) }
            }
        }
    }
}

fn head(title: &str, style: &str) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1, viewport-fit=cover";
            meta name="htmx-config" content="{\"includeIndicatorCSS\":false,\"history\":false,\"defaultTimeout\":10000,\"noSwap\":[204,304,401,403,404,409,413,415,421,422,500,503,507]}";
            title { (title) }
            link rel="preload" href=(assets::path("public-sans.woff2")) as="font" type="font/woff2" crossorigin;
            link rel="stylesheet" href=(assets::path(style));
            link rel="icon" type="image/svg+xml" href=(assets::path("mark.svg"));
            script src=(assets::path("htmx.js")) defer {}
            // what it dresses is shown dressed from the first, so that nothing moves afterwards
            script src=(assets::path("studio.js")) defer blocking="render" {}
        }
    }
}

/// Draws who the page is about, and the spine.
pub(crate) fn golfer_head(
    dossier: &Dossier,
    spine: &Spine,
    here: Option<StationName>,
    title: &str,
) -> Markup {
    html! {
        (who(dossier, title))
        (spine_of(dossier, spine, here))
    }
}

/// Draws who the page is about.
pub(crate) fn who(dossier: &Dossier, title: &str) -> Markup {
    let golfer = &dossier.golfer.record;
    html! {
        div class="who" {
            h1 { (title) }
            p class="soft" { a href=(golfer_path(dossier)) { (golfer.name) } ", plays " (golfer.plays.words()) }
        }
    }
}

/// The address of a golfer's page.
pub(crate) fn golfer_path(dossier: &Dossier) -> String {
    format!("/golfers/{}", dossier.golfer.record.id)
}

/// Draws the spine: one line, a tick for each station, the number it produced.
pub(crate) fn spine_of(dossier: &Dossier, spine: &Spine, here: Option<StationName>) -> Markup {
    let base = golfer_path(dossier);
    html! {
        nav aria-label="Stations" {
            ol class="spine" {
                @for station in &spine.stations {
                    @let is_here = here == Some(station.name);
                    li class=[state_class(station.state)] {
                        a href=(format!("{base}/{}", station.name.path())) aria-current=[is_here.then_some("step")] {
                            span class="name" { (station.name.words()) }
                            b { (sheet::words::rich(&station.number)) }
                            span class="small soft" { (sheet::words::rich(&station.basis)) }
                            @if station.state == StationState::LookAgain { span class="small look" { "needs another look" } }
                            span class="unseen" { ", " (station.state.words()) }
                        }
                    }
                }
            }
        }
    }
}

fn state_class(state: StationState) -> Option<&'static str> {
    match state {
        StationState::NotStarted => Some("todo"),
        StationState::InHand => Some("hand"),
        StationState::Done => None,
        StationState::LookAgain => Some("again"),
    }
}

/// The units a form's bare numbers are in.
pub(crate) fn units_field(house: &HouseSettings) -> Markup {
    html! { input type="hidden" name="units" value=(house.units().word()); }
}

/// The hidden id of a form's act.
pub(crate) fn act_id() -> Markup {
    html! { input type="hidden" name="act" value=(new_id()); }
}
