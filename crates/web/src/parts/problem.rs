//! The summary of what is wrong, the same words as at the fields.

use crate::parts::field::id_of;
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

    /// Finds the words at a field.
    pub(crate) fn at<'p>(problems: &'p [Self], field: &str) -> Option<&'p str> {
        problems.iter().find(|problem| problem.field == field).map(|problem| problem.words.as_str())
    }
}

/// Draws the summary of a page on which nothing was saved; nothing when all is well.
pub(crate) fn summary(problems: &[Problem]) -> Markup {
    summary_saying("Nothing was saved. What you typed is still on the page.", problems)
}

/// The same for a page whose good rows were saved.
pub(crate) fn summary_of_rows(problems: &[Problem]) -> Markup {
    summary_saying("What could be read was saved. What is left is still on the page.", problems)
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
