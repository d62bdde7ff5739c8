//! Live updates: one stream a page, telling which golfer changed; the page then fetches what it shows anew.

use crate::app::App;
use crate::error::PageError;
use crate::request::visitor;
use axum::extract::State;
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, header};
use axum::response::sse::{Event, Sse};
use axum::response::{IntoResponse, Response};
use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;
use store::LogLine;
use tokio::sync::mpsc::error::TrySendError;
use tokio::sync::{Semaphore, mpsc};
use tokio_stream::wrappers::ReceiverStream;

/// A slow reader's queue; when it is full the page is told to load anew.
const QUEUE: usize = 64;
/// How often the stream shows that it lives.
const HEARTBEAT: Duration = Duration::from_secs(15);
/// Changes further back than this are not replayed; the page loads anew.
const REPLAY: i64 = 1000;

/// How soon a reader that lost its stream asks again.
const AGAIN: Duration = Duration::from_secs(2);
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
    let session = visitor().session;
    let (sender, receiver) = mpsc::channel::<Result<Event, Infallible>>(QUEUE);
    tokio::spawn(async move {
        let _place = place;
        // it ends when the reader has gone
        let _ = tell(&app, seen, session, &sender).await;
    });
    let mut response = Sse::new(ReceiverStream::new(receiver)).into_response();
    let headers = response.headers_mut();
    headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    headers.insert(HeaderName::from_static("x-accel-buffering"), HeaderValue::from_static("no"));
    response
}

/// The reader of a stream has gone.
#[derive(Debug)]
struct Gone;

type Sender = mpsc::Sender<Result<Event, Infallible>>;

/// Tells a reader of every change, from where they were.
async fn tell(
    app: &App,
    seen: Option<i64>,
    session: Option<u32>,
    sender: &Sender,
) -> Result<Infallible, Gone> {
    let mut newest = app.store.watch();
    let now = *newest.borrow_and_update();
    send(sender, beat().retry(AGAIN)).await?;
    let mut at = match seen {
        Some(seen) if seen > now || now - seen > REPLAY => {
            send(sender, reload(now)).await?;
            now
        }
        // what was missed is told one by one, however long the reader takes
        Some(seen) => {
            let missed = changes(app, seen).await;
            let last = missed.last().map_or(seen, |line| line.seq);
            for line in missed {
                send(sender, change(line)).await?;
            }
            last
        }
        None => now,
    };
    loop {
        let lines = changes(app, at).await;
        at = lines.last().map_or(at, |line| line.seq);
        for line in lines {
            match sender.try_send(Ok(change(line))) {
                Ok(()) => {}
                Err(TrySendError::Closed(_)) => return Err(Gone),
                Err(TrySendError::Full(_)) => {
                    // too slow to be told one by one: the page loads anew, once it reads again
                    send(sender, reload(at)).await?;
                    break;
                }
            }
        }
        tokio::select! {
            changed = newest.changed() => changed.map_err(|_| Gone)?,
            () = tokio::time::sleep(HEARTBEAT) => {
                // a session that was ended elsewhere hears nothing more
                if session.is_some_and(|session| !app.door.is_running(session, app.now().ms)) {
                    return Err(Gone);
                }
                send(sender, beat()).await?;
            }
            () = sender.closed() => return Err(Gone),
        }
    }
}

async fn changes(app: &App, after: i64) -> Vec<LogLine> {
    app.store.log_since(after, REPLAY).await.unwrap_or_else(|error| {
        crate::request::note(&error);
        app.store.heed(&error);
        Vec::new()
    })
}

async fn send(sender: &Sender, event: Event) -> Result<(), Gone> {
    sender.send(Ok(event)).await.map_err(|_| Gone)
}

fn beat() -> Event {
    Event::default().event("beat").data("1")
}

fn reload(at: i64) -> Event {
    Event::default().event("reload").id(at.to_string()).data("all")
}

fn change(line: LogLine) -> Event {
    let golfer = line.golfer.map_or_else(|| "house".to_owned(), |golfer| golfer.to_string());
    Event::default().event("change").id(line.seq.to_string()).data(golfer)
}
