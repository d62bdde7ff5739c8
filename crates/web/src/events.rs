//! Live updates: one stream a page, telling which golfer changed; the page then fetches what it shows anew.

use crate::app::App;
use crate::error::PageError;
use axum::extract::State;
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, header};
use axum::response::sse::{Event, Sse};
use axum::response::{IntoResponse, Response};
use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::Semaphore;
use tokio_stream::wrappers::ReceiverStream;

/// A slow reader's queue; when it is full the page is told to load anew.
const QUEUE: usize = 64;
/// How often the stream shows that it lives.
const HEARTBEAT: Duration = Duration::from_secs(15);
/// Changes further back than this are not replayed; the page loads anew.
const REPLAY: i64 = 1000;

/// Most streams at once: each holds a connection and asks the store at every change. House choice.
const MOST_STREAMS: usize = 64;

/// How many streams may still be opened.
#[derive(Debug, Clone)]
pub(crate) struct Streams(Arc<Semaphore>);

impl Default for Streams {
    fn default() -> Self {
        Self(Arc::new(Semaphore::new(MOST_STREAMS)))
    }
}

/// Opens a stream from where the page was.
pub(crate) async fn events(State(app): State<App>, headers: HeaderMap) -> Response {
    let Ok(place) = Arc::clone(&app.streams.0).try_acquire_owned() else {
        let words = format!(
            "{MOST_STREAMS} pages follow the studio already; this one does not. Close some, or load it anew to see changes."
        );
        return PageError::Status(StatusCode::SERVICE_UNAVAILABLE, words).into_response();
    };
    let seen = headers
        .get("last-event-id")
        .and_then(|value| value.to_str().ok())
        .and_then(|value| value.parse::<i64>().ok());
    let (sender, receiver) = tokio::sync::mpsc::channel::<Result<Event, Infallible>>(QUEUE);
    tokio::spawn(async move {
        let _place = place;
        let mut newest = app.store.watch();
        let mut at = *newest.borrow_and_update();
        if let Some(seen) = seen {
            if seen > at || at - seen > REPLAY {
                if sender
                    .send(Ok(Event::default().event("reload").id(at.to_string()).data("all")))
                    .await
                    .is_err()
                {
                    return;
                }
            } else {
                at = seen;
            }
        }
        loop {
            let lines = app.store.log_since(at, REPLAY).await.unwrap_or_default();
            for line in lines {
                at = line.seq;
                let golfer = line.golfer.map_or_else(|| "house".to_owned(), |golfer| golfer.to_string());
                let event = Event::default().event("change").id(at.to_string()).data(golfer);
                if sender.send(Ok(event)).await.is_err() {
                    return;
                }
            }
            tokio::select! {
                changed = newest.changed() => if changed.is_err() { return },
                () = tokio::time::sleep(HEARTBEAT) => {
                    if sender.send(Ok(Event::default().event("beat").data("1"))).await.is_err() {
                        return;
                    }
                }
                () = sender.closed() => return,
            }
        }
    });
    let mut response = Sse::new(ReceiverStream::new(receiver)).into_response();
    let headers = response.headers_mut();
    headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    headers.insert(HeaderName::from_static("x-accel-buffering"), HeaderValue::from_static("no"));
    response
}
