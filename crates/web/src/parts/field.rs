//! Fields a person types into: label above, example and message beneath.

use maud::{Markup, html};

/// A text field.
pub(crate) struct Field<'a> {
    pub(crate) name: &'a str,
    pub(crate) label: &'a str,
    pub(crate) hint: &'a str,
    pub(crate) value: &'a str,
    pub(crate) problem: Option<&'a str>,
    /// How many letters wide the answer is.
    pub(crate) width: Width,
    /// The words it can have; empty where anything can be typed.
    pub(crate) options: &'a [&'a str],
}

/// How wide an answer is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Width {
    Number,
    Name,
    Line,
}

impl Width {
    fn class(self) -> &'static str {
        match self {
            Self::Number => "field number",
            Self::Name => "field name",
            Self::Line => "field line",
        }
    }
}

/// Turns a field's name into an id the page can point at.
pub(crate) fn id_of(name: &str) -> String {
    name.chars().map(|sign| if sign.is_ascii_alphanumeric() { sign } else { '-' }).collect()
}

impl Field<'_> {
    pub(crate) fn draw(&self) -> Markup {
        let id = id_of(self.name);
        let (hint_id, problem_id) = (format!("{id}-hint"), format!("{id}-problem"));
        let described = match (self.hint.is_empty(), self.problem) {
            (true, None) => None,
            (false, None) => Some(hint_id.clone()),
            (true, Some(_)) => Some(problem_id.clone()),
            (false, Some(_)) => Some(format!("{hint_id} {problem_id}")),
        };
        html! {
            div class="entry" {
                label for=(id) { (self.label) }
                @if !self.hint.is_empty() { p class="hint" id=(hint_id) { (self.hint) } }
                @if let Some(problem) = self.problem { p class="problem" id=(problem_id) { (problem) } }
                @if self.options.is_empty() {
                    input id=(id) class=(self.width.class()) type="text" name=(self.name) value=(self.value) autocomplete="off" spellcheck="false"
                        aria-describedby=[described] aria-invalid=[self.problem.map(|_| "true")];
                } @else {
                    select id=(id) class="field" name=(self.name) aria-describedby=[described] aria-invalid=[self.problem.map(|_| "true")] {
                        // what was typed on a card in other words stays
                        @if !self.options.contains(&self.value) { option value=(self.value) selected { (self.value) } }
                        @for option in self.options { option value=(option) selected[*option == self.value] { (option) } }
                    }
                }
            }
        }
    }
}

/// A choice of few words, as radio buttons.
pub(crate) fn choice(name: &str, label: &str, options: &[(&str, &str)], chosen: &str) -> Markup {
    html! {
        fieldset class="choice" {
            legend { (label) }
            @for (value, words) in options {
                label { input type="radio" name=(name) value=(value) checked[*value == chosen]; " " (words) }
            }
        }
    }
}

/// A longer text.
pub(crate) fn text_area(name: &str, label: &str, hint: &str, value: &str, problem: Option<&str>) -> Markup {
    let id = id_of(name);
    let described = match problem {
        Some(_) => format!("{id}-problem {id}-hint"),
        None => format!("{id}-hint"),
    };
    html! {
        div class="entry" {
            label for=(id) { (label) }
            p class="hint" id=(format!("{id}-hint")) { (hint) }
            @if let Some(problem) = problem { p class="problem" id=(format!("{id}-problem")) { (problem) } }
            textarea id=(id) class="field line" name=(name) rows="3" aria-describedby=(described) aria-invalid=[problem.map(|_| "true")] { (value) }
        }
    }
}
