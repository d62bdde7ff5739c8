//! Refusals as JSON, and bodies that are read strictly.

use crate::error::PageError;
use axum::Json;
use axum::body::Bytes;
use axum::extract::{FromRequest, Request};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use schemars::JsonSchema;
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use store::StoreError;
use studio::StudioError;

/// A refusal.
#[derive(Debug)]
pub(crate) struct ApiError {
    status: StatusCode,
    told: Told,
}

/// What a refusal says.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Told {
    error: What,
}

#[derive(Debug, Serialize, JsonSchema)]
struct What {
    /// `bad_input`, `not_found`, `not_let_in`, `conflict`, `not_allowed`, `too_large`, `full`, `busy` or `our_fault`.
    kind: &'static str,
    message: String,
    hint: String,
    /// On a conflict: the record as it is now.
    #[serde(skip_serializing_if = "Option::is_none")]
    theirs: Option<Value>,
    /// On a conflict: its revision.
    #[serde(skip_serializing_if = "Option::is_none")]
    revision: Option<i64>,
}

impl ApiError {
    pub(crate) fn bad(message: impl Into<String>, hint: impl Into<String>) -> Self {
        PageError::bad(message, hint).into()
    }

    /// The address is there, not with this method.
    pub(crate) fn not_allowed() -> Self {
        PageError::Status(
            StatusCode::METHOD_NOT_ALLOWED,
            "This address does not take this method.".to_owned(),
        )
        .into()
    }
}

impl From<PageError> for ApiError {
    fn from(error: PageError) -> Self {
        let status = error.status();
        let (message, hint) = error.words();
        let kind = match status {
            StatusCode::NOT_FOUND => "not_found",
            StatusCode::UNAUTHORIZED | StatusCode::FORBIDDEN => "not_let_in",
            StatusCode::CONFLICT => "conflict",
            StatusCode::METHOD_NOT_ALLOWED => "not_allowed",
            StatusCode::PAYLOAD_TOO_LARGE => "too_large",
            StatusCode::INSUFFICIENT_STORAGE => "full",
            StatusCode::SERVICE_UNAVAILABLE => "busy",
            status if status.is_server_error() => "our_fault",
            _ => "bad_input",
        };
        if let PageError::Store(error) = &error {
            crate::request::note(error);
        }
        let (theirs, revision) = match error {
            PageError::Conflict { theirs, revision, .. } => {
                (theirs.and_then(|record| serde_json::to_value(record).ok()), Some(revision))
            }
            _ => (None, None),
        };
        Self { status, told: Told { error: What { kind, message, hint, theirs, revision } } }
    }
}

impl From<StoreError> for ApiError {
    fn from(error: StoreError) -> Self {
        PageError::from(error).into()
    }
}

impl From<StudioError> for ApiError {
    fn from(error: StudioError) -> Self {
        PageError::from(error).into()
    }
}

impl IntoResponse for ApiError {
    fn into_response(self) -> Response {
        (self.status, Json(self.told)).into_response()
    }
}

/// A JSON body, read strictly.
pub(crate) struct Body<T>(pub(crate) T);

impl<S: Send + Sync, T: DeserializeOwned> FromRequest<S> for Body<T> {
    type Rejection = ApiError;

    async fn from_request(request: Request, state: &S) -> Result<Self, ApiError> {
        let kind = request
            .headers()
            .get(header::CONTENT_TYPE)
            .and_then(|kind| kind.to_str().ok())
            .unwrap_or_default();
        if kind.split(';').next().is_none_or(|kind| kind.trim() != "application/json") {
            let words = "Expected application/json, found another kind of content.".to_owned();
            return Err(PageError::Status(StatusCode::UNSUPPORTED_MEDIA_TYPE, words).into());
        }
        let body = Bytes::from_request(request, state).await.map_err(|_| {
            PageError::Status(
                StatusCode::PAYLOAD_TOO_LARGE,
                "Expected at most 256 kB, found more.".to_owned(),
            )
        })?;
        let mut reader = serde_json::Deserializer::from_slice(&body);
        let value = serde_path_to_error::deserialize(&mut reader).map_err(|error| {
            let path = error.path().to_string();
            let place = if path == "." { String::new() } else { format!("{path}: ") };
            ApiError::bad(format!("{place}{}", error.into_inner()), "See /api/v1/openapi.json.")
        })?;
        reader.end().map_err(|error| ApiError::bad(error.to_string(), "Send one JSON object."))?;
        Ok(Self(value))
    }
}
