//! The summary of what is wrong, the same words as at the fields.

use crate::form::{BLANK, Form};
use crate::parts::field::id_of;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use studio::StudioError;

/// Something wrong with one field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Problem {
    /// The field's name.
    pub(crate) field: String,
    /// What was expected, found, and what to do.
    pub(crate) words: String,
}

impl Problem {
    pub(crate) fn of(field: &str, label: &str, error: &StudioError) -> Self {
        let hint = error.hint().map(|hint| format!(" {hint}")).unwrap_or_default();
        Self { field: field.to_owned(), words: format!("{label}: {error}.{hint}") }
    }

    /// What was typed meets a change of somebody else: both are named, and saving again keeps the own.
    pub(crate) fn changed_elsewhere(field: &str, what: &str, there: &str, typed: &str) -> Self {
        let shown = |text: &str| if text.is_empty() { "nothing" } else { text }.to_owned();
        Self {
            field: field.to_owned(),
            words: format!(
                "{what}: changed elsewhere to {}; you typed {}. Save again to keep yours.",
                shown(there),
                shown(typed)
            ),
        }
    }

    /// Finds the words at a field.
    pub(crate) fn at<'p>(problems: &'p [Self], field: &str) -> Option<&'p str> {
        problems.iter().find(|problem| problem.field == field).map(|problem| problem.words.as_str())
    }
}

/// What was typed on a page that is drawn once more, and what was wrong with it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Refused<'a> {
    form: &'a Form,
    pub(crate) problems: &'a [Problem],
}

impl<'a> Refused<'a> {
    /// A page nothing was typed on yet.
    pub(crate) fn nothing() -> Self {
        Self { form: &BLANK, problems: &[] }
    }

    pub(crate) fn of(form: &'a Form, problems: &'a [Problem]) -> Self {
        Self { form, problems }
    }

    /// What stands in a field: as it was typed, or as it is kept.
    pub(crate) fn value(self, name: &str, kept: &'a str) -> &'a str {
        self.form.get(name).unwrap_or(kept)
    }

    /// What is wrong with a field.
    pub(crate) fn at(self, name: &str) -> Option<&'a str> {
        Problem::at(self.problems, name)
    }

    /// A page's title, which says first that something was refused.
    pub(crate) fn title(self, title: &str) -> String {
        format!("{}{title}, Lengthwise", if self.problems.is_empty() { "" } else { "Error: " })
    }
}

/// Answers a form with its page, drawn once more with what was wrong.
pub(crate) fn drawn_again(page: Markup) -> Response {
    (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
}

/// Draws the summary of a page on which nothing was saved; nothing when all is well.
pub(crate) fn summary(refused: Refused<'_>) -> Markup {
    summary_saying("Nothing was saved. What you typed is still on the page.", refused.problems)
}

/// The same for a page whose good rows were saved.
pub(crate) fn summary_of_rows(refused: Refused<'_>) -> Markup {
    summary_saying("What could be read was saved. What is left is still on the page.", refused.problems)
}

fn summary_saying(what_is_safe: &str, problems: &[Problem]) -> Markup {
    html! {
        @if !problems.is_empty() {
            section class="summary" role="alert" tabindex="-1" aria-labelledby="problems" {
                h2 id="problems" { "There is a problem" }
                p { (what_is_safe) }
                ul class="plain" {
                    @for problem in problems { li { a href=(format!("#{}", id_of(&problem.field))) { (problem.words) } } }
                }
            }
        }
    }
}
