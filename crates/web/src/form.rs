//! Forms as they are posted: small, flat, each field once.

use crate::error::PageError;
use crate::fields::{self, FieldsProblem};
use axum::body::Bytes;
use axum::extract::{FromRequest, FromRequestParts, Request};
use axum::http::request::Parts;
use axum::http::{HeaderMap, StatusCode, header};
use std::collections::BTreeMap;

/// Largest form, bytes. A set of forty clubs with every field is under 64 kB.
pub(crate) const LARGEST: usize = 256 * 1024;

/// A posted form.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Form(BTreeMap<String, String>);

/// The form of a page nothing was typed on yet.
pub(crate) static BLANK: Form = Form(BTreeMap::new());

impl Form {
    /// Reads a form's body.
    pub(crate) fn parse(body: &[u8]) -> Result<Self, PageError> {
        fields::read(body).map(Self).map_err(refused)
    }

    /// Takes the fields that were sent beside a file.
    pub(crate) fn of_parts(parts: Vec<(String, String)>) -> Result<Self, PageError> {
        fields::once_each(parts).map(Self).map_err(refused)
    }

    /// Makes a form of these fields.
    pub(crate) fn of<'f>(fields: impl Iterator<Item = (&'f str, &'f str)>) -> Self {
        Self(fields.map(|(name, value)| (name.to_owned(), value.to_owned())).collect())
    }

    /// Writes the whole form down, to tell whether another is the same.
    pub(crate) fn to_text(&self) -> String {
        fields::to_text(&self.0)
    }

    /// Returns a field; an empty one counts as one that is there.
    pub(crate) fn get(&self, name: &str) -> Option<&str> {
        self.0.get(name).map(String::as_str)
    }

    /// Returns a field with something in it.
    pub(crate) fn filled(&self, name: &str) -> Option<&str> {
        self.get(name).map(str::trim).filter(|value| !value.is_empty())
    }

    /// The revision of the record the page was drawn with; a form that carries none means the one that is there.
    pub(crate) fn seen_or(&self, revision: i64) -> i64 {
        self.get("seen").and_then(|seen| seen.parse().ok()).unwrap_or(revision)
    }

    /// Every field, to send the form again.
    pub(crate) fn all(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0.iter().map(|(name, value)| (name.as_str(), value.as_str()))
    }
}

impl<S: Send + Sync> FromRequest<S> for Form {
    type Rejection = PageError;

    async fn from_request(request: Request, state: &S) -> Result<Self, PageError> {
        if !is_form(request.headers()) {
            return Err(PageError::Status(
                StatusCode::UNSUPPORTED_MEDIA_TYPE,
                "Expected a form, found something else.".to_owned(),
            ));
        }
        let body = Bytes::from_request(request, state).await.map_err(|_| {
            PageError::Status(
                StatusCode::PAYLOAD_TOO_LARGE,
                format!("Expected a form of at most {} kB, found more. Nothing was saved.", LARGEST / 1024),
            )
        })?;
        Self::parse(&body)
    }
}

/// What is asked behind the question mark of an address, read as strictly as a form.
pub(crate) struct Asked(pub(crate) Form);

impl<S: Send + Sync> FromRequestParts<S> for Asked {
    type Rejection = PageError;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, PageError> {
        Form::parse(parts.uri.query().unwrap_or_default().as_bytes()).map(Self)
    }
}

fn refused(problem: FieldsProblem) -> PageError {
    let words = match problem {
        FieldsProblem::TooMany => "The form has more fields than any page sends.".to_owned(),
        FieldsProblem::Twice(name) => {
            let name: String = name.chars().take(40).collect();
            format!("The field {name} was sent twice.")
        }
    };
    PageError::bad(words, "Open the page again.")
}

fn is_form(headers: &HeaderMap) -> bool {
    let kind = headers.get(header::CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or_default();
    kind.split(';').next().is_some_and(|kind| kind.trim() == "application/x-www-form-urlencoded")
}

#[cfg(test)]
mod tests {
    use super::Form;

    #[test]
    fn a_form_is_flat_and_each_field_stands_once() {
        let form = Form::parse(b"a=1+2&b=%C5%82&c.x=&c.y=5").unwrap();
        assert_eq!(form.get("a"), Some("1 2"));
        assert_eq!(form.get("b"), Some("\u{142}"));
        assert_eq!(form.filled("c.x"), None);
        assert_eq!(form.filled("c.y"), Some("5"));
        assert!(Form::parse(b"a=1&a=2").is_err());
        assert!(Form::parse("x=1&".repeat(3000).as_bytes()).is_err());
    }
}
