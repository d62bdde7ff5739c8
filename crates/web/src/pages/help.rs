//! Help: how a thing is done, in the same place on every page. A station's page opens the part about that station.

mod words;

use crate::app::App;
use crate::shell::{Page, page};
use axum::extract::State;
use bench::WayKind;
use maud::{Markup, html};
use studio::{Field, StationName};
use words::{PARTS, Part};

/// Names the part about a station, or about all of them.
pub(crate) fn about(station: Option<StationName>) -> &'static str {
    match station {
        Some(
            station @ (StationName::Measure
            | StationName::Clubs
            | StationName::Target
            | StationName::Trial
            | StationName::Job),
        ) => station.path(),
        Some(StationName::FollowUp) | None => "stations",
    }
}

/// `GET /help`
pub(crate) async fn show(State(app): State<App>) -> Markup {
    page(
        &app,
        &Page {
            title: "Help, Lengthwise".to_owned(),
            search: "",
            main: content(),
            follows: None,
            last: None,
            help: "",
        },
    )
}

fn content() -> Markup {
    html! {
        div class="help" {
            h1 { "Help" }
            ul class="contents" {
                @for part in &PARTS { li { a href=(format!("#{}", part.id)) { (part.heading) } } }
            }
            @for part in &PARTS { (drawn(part)) }
            p class="below" { a class="button" href="#main" { "Back to the top" } }
        }
    }
}

fn drawn(part: &Part) -> Markup {
    html! {
        section class="settings" id=(part.id) {
            h2 { (part.heading) }
            @for said in part.before { p class="lead" { (as_typed(said)) } }
            (terms(part.terms))
            @match part.id {
                "measure" => (readings()),
                "target" => { h3 { "The ways" } (terms(&WayKind::ALL.map(|kind| (kind.heading(), meaning(kind))))) }
                _ => {}
            }
            @for said in part.after { p class="lead" { (as_typed(said)) } }
        }
    }
}

/// Words and what they mean, one under another.
fn terms(rows: &[(&str, &str)]) -> Markup {
    html! {
        @if !rows.is_empty() {
            dl class="terms" { @for (term, meaning) in rows { dt { (as_typed(term)) } dd { (as_typed(meaning)) } } }
        }
    }
}

/// Sets what stands between backquotes apart, as it is typed.
fn as_typed(text: &str) -> Markup {
    html! {
        @for (place, piece) in text.split('`').enumerate() {
            @if place % 2 == 1 { code { (piece) } } @else { (piece) }
        }
    }
}

/// How each reading is taken, in the words that stand at its field.
fn readings() -> Markup {
    let rows: Vec<(&str, &str)> = Field::ALL
        .iter()
        .filter(|field| !field.how().is_empty())
        .map(|field| (field.label(), field.how()))
        .collect();
    terms(&rows)
}

fn meaning(way: WayKind) -> &'static str {
    match way {
        WayKind::Leave => "It stays as it is.",
        WayKind::GripDown => "It is held lower on the grip; nothing is built.",
        WayKind::Regrip => "A grip of another mass is put on.",
        WayKind::Cut => "The grip end is made shorter. What is cut cannot be put back.",
        WayKind::Extend => "A piece is glued into the grip end and has to cure.",
        WayKind::OtherShaft => "Another shaft is fitted.",
    }
}

#[cfg(test)]
mod tests {
    use super::{about, content};
    use studio::StationName;

    #[test]
    fn help_opens_at_a_part_that_is_there() {
        let drawn = content().into_string();
        for station in StationName::ALL.map(Some).into_iter().chain([None]) {
            let id = format!("<section class=\"settings\" id=\"{}\">", about(station));
            assert_eq!(drawn.matches(&id).count(), 1, "{id}");
        }
        // an error's page leads there
        assert!(drawn.contains("id=\"no-answer\""));
    }

    #[test]
    fn every_backquote_has_its_other() {
        for part in &super::PARTS {
            let said = part.before.iter().chain(part.after).copied();
            let terms = part.terms.iter().flat_map(|(term, meaning)| [*term, *meaning]);
            for text in said.chain(terms) {
                assert_eq!(text.matches('`').count() % 2, 0, "{text}");
            }
        }
    }
}
