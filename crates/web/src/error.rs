//! What a page says when it cannot do what was asked: what is safe, what to do, and the way back.

use crate::form::Form;
use crate::shell::bare;
use crate::shut_away::is_shut;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use serde_json::Value;
use store::{Refusal, StoreError};
use studio::{Record, StudioError};

/// Why a request was not answered as asked.
#[derive(Debug)]
pub(crate) enum PageError {
    /// There is no such page or record.
    NotFound(&'static str),
    /// What was sent cannot be taken.
    Bad { message: String, hint: Option<String> },
    /// A record was changed elsewhere; with the form that was sent and where.
    Conflict {
        theirs: Option<Box<Record>>,
        yours: Option<Box<Record>>,
        again: Option<(String, Form)>,
        revision: i64,
    },
    /// The store refused or failed.
    Store(StoreError),
    /// A status with a sentence.
    Status(StatusCode, String),
}

impl PageError {
    pub(crate) fn bad(message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self::Bad { message: message.into(), hint: Some(hint.into()) }
    }

    /// What asks for a target while there is none to be had.
    pub(crate) fn not_measured(message: &str) -> Self {
        Self::bad(message, "Take the knuckle height first.")
    }

    /// A form that was not drawn by this studio as it is now.
    pub(crate) fn out_of_date() -> Self {
        Self::bad("This page is out of date.", "Open it again and do it once more.")
    }

    /// Gives a conflict what it needs to be settled: what was to be saved, and the form to send again.
    pub(crate) fn with_form(self, path: &str, form: &Form, record: Record) -> Self {
        match self {
            Self::Conflict { theirs, revision, .. } => Self::Conflict {
                theirs,
                yours: Some(Box::new(record)),
                again: Some((path.to_owned(), form.clone())),
                revision,
            },
            other => other,
        }
    }

    pub(crate) fn status(&self) -> StatusCode {
        match self {
            Self::NotFound(_) => StatusCode::NOT_FOUND,
            Self::Bad { .. } => StatusCode::UNPROCESSABLE_ENTITY,
            Self::Conflict { .. } => StatusCode::CONFLICT,
            Self::Store(StoreError::Refused(Refusal::NotThere)) => StatusCode::NOT_FOUND,
            Self::Store(StoreError::Refused(_)) => StatusCode::CONFLICT,
            Self::Store(StoreError::DiskFull) => StatusCode::INSUFFICIENT_STORAGE,
            Self::Store(StoreError::Unsound(_) | StoreError::Busy(_) | StoreError::OnlyRead(_)) => {
                StatusCode::SERVICE_UNAVAILABLE
            }
            Self::Store(_) => StatusCode::INTERNAL_SERVER_ERROR,
            Self::Status(status, _) => *status,
        }
    }

    /// Says it in a sentence and what to do.
    pub(crate) fn words(&self) -> (String, String) {
        match self {
            Self::NotFound(what) => (
                format!("There is no such {what}."),
                "It may have been put away, or the address was cut short. Nothing was changed.".to_owned(),
            ),
            Self::Bad { message, hint } => (message.clone(), hint.clone().unwrap_or_default()),
            Self::Conflict { .. } => (
                "Someone changed this since the page was opened.".to_owned(),
                "Nothing of yours was saved yet. Look at both and say which one stays.".to_owned(),
            ),
            Self::Store(StoreError::Failed(_)) => (
                "The studio could not save or read this.".to_owned(),
                "What was saved before is safe. Go back, your entry is still on the page, and save again: the same entry \
                 counts once."
                    .to_owned(),
            ),
            Self::Store(error) => (sentence(&error.to_string()), error.hint()),
            // the first sentence says what is wrong, the others what to do
            Self::Status(_, words) => match words.split_once(". ") {
                Some((first, rest)) => (format!("{first}."), rest.to_owned()),
                None => (words.clone(), String::new()),
            },
        }
    }
}

fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect::<String>() + ".")
        .unwrap_or_default()
}

impl From<StoreError> for PageError {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::Refused(Refusal::ChangedElsewhere { theirs, revision }) => {
                let theirs = theirs.filter(|record| !is_shut(record));
                Self::Conflict { theirs, yours: None, again: None, revision }
            }
            other => Self::Store(other),
        }
    }
}

impl From<StudioError> for PageError {
    fn from(error: StudioError) -> Self {
        Self::Bad { message: sentence(&error.to_string()), hint: error.hint() }
    }
}

impl IntoResponse for PageError {
    fn into_response(self) -> Response {
        let status = self.status();
        let (message, hint) = self.words();
        if let Self::Store(error) = &self {
            // what the store says is for the log; the page says what to do
            crate::request::note(error);
        }
        let both = match &self {
            Self::Conflict { theirs, yours, again, revision } => {
                both_sides(theirs.as_deref(), yours.as_deref(), again.as_ref(), *revision)
            }
            _ => html! {},
        };
        let page = bare(
            &format!("Error: {}", message.trim_end_matches('.')),
            &html! {
                p class="soft" { (status.as_u16()) }
                h1 { (message) }
                p class="lead" { (hint) }
                @if status.is_server_error() && let Some(number) = crate::request::number() {
                    p class="small soft" { "Request " (number) " in the log." }
                }
                (both)
                p class="below" { a class="button" href="/" { "To the studio" } }
            },
        );
        (status, page).into_response()
    }
}

/// Both versions side by side, and a choice.
fn both_sides(
    theirs: Option<&Record>,
    yours: Option<&Record>,
    again: Option<&(String, Form)>,
    revision: i64,
) -> Markup {
    let fields = |record: Option<&Record>| -> Vec<(String, String)> {
        let value = record.and_then(|record| serde_json::to_value(record).ok());
        let Some(Value::Object(fields)) = value else { return Vec::new() };
        fields
            .into_iter()
            .filter(|(name, _)| name != "id" && name != "kind")
            .map(|(name, value)| (name, plain(&value)))
            .collect()
    };
    let (theirs, yours) = (fields(theirs), fields(yours));
    html! {
        @if !theirs.is_empty() && !yours.is_empty() {
            table class="below" {
                thead { tr { th class="text" { "What" } th class="text" { "There now" } th class="text" { "Yours" } } }
                tbody {
                    @for (name, there) in &theirs {
                        @let mine = yours.iter().find(|(known, _)| known == name).map_or("", |(_, value)| value.as_str());
                        @if there != mine {
                            tr { td { (name.replace('_', " ")) } td class="text" { (there) } td class="text" { b { (mine) } } }
                        }
                    }
                }
            }
        }
        @if let Some((path, form)) = again {
            form method="post" action=(path) class="below" {
                @for (name, value) in form.all().filter(|(name, _)| *name != "act" && *name != "seen") {
                    input type="hidden" name=(name) value=(value);
                }
                input type="hidden" name="act" value=(crate::app::new_id());
                input type="hidden" name="seen" value=(revision);
                button class="primary" { "Save mine" }
                " "
                a class="button" href=(path) { "Keep what is there" }
            }
        }
    }
}

fn plain(value: &Value) -> String {
    match value {
        Value::Null => "nothing".to_owned(),
        Value::String(text) => text.clone(),
        Value::Bool(flag) => if *flag { "yes" } else { "no" }.to_owned(),
        other => other.to_string(),
    }
}
