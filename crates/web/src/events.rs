//! Live updates: one stream a page, telling which golfer changed; the page then fetches what it shows anew.

use crate::app::App;
use crate::error::PageError;
use crate::head::{Follows, follows};
use crate::request::visitor;
use axum::extract::State;
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, header};
use axum::response::sse::{Event, Sse};
use axum::response::{IntoResponse, Response};
use std::collections::BTreeMap;
use std::convert::Infallible;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use store::LogLine;
use tokio::sync::mpsc;
use tokio::sync::mpsc::error::TrySendError;
use tokio_stream::wrappers::ReceiverStream;

/// A slow reader's queue; when it is full the page is told to load anew.
const QUEUE: usize = 64;
/// How often the stream shows that it lives.
const HEARTBEAT: Duration = Duration::from_secs(15);
/// Changes further back than this are not replayed; the page loads anew.
const REPLAY: i64 = 1000;

/// How long a reader may take nothing; it then gives its place to others. House choice.
const STUCK: Duration = Duration::from_secs(60);
/// How soon a reader that lost its stream asks again.
const AGAIN: Duration = Duration::from_secs(2);
/// Most streams at once: each holds a connection and asks the store at every change. House choice.
const MOST_STREAMS: usize = 64;
/// Most streams of one session: a tablet left signed in must not take the others' places. House choice.
const MOST_OF_A_SESSION: usize = 8;

/// The streams that are open, counted by session; this machine's own pages without a session stand under none.
#[derive(Debug, Clone, Default)]
pub(crate) struct Streams(Arc<Mutex<BTreeMap<Option<u32>, usize>>>);

/// A place among the streams, given back when it is dropped.
#[derive(Debug)]
struct Place {
    streams: Streams,
    session: Option<u32>,
}

/// There is no place for one more; how many there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum NoPlace {
    InAll,
    OfTheSession,
}

impl Streams {
    fn take_place(&self, session: Option<u32>) -> Result<Place, NoPlace> {
        let mut open = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if open.values().sum::<usize>() >= MOST_STREAMS {
            return Err(NoPlace::InAll);
        }
        let of_it = open.entry(session).or_default();
        if session.is_some() && *of_it >= MOST_OF_A_SESSION {
            return Err(NoPlace::OfTheSession);
        }
        *of_it += 1;
        Ok(Place { streams: self.clone(), session })
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let mut open = self.streams.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(of_it) = open.get_mut(&self.session) {
            *of_it -= 1;
            if *of_it == 0 {
                open.remove(&self.session);
            }
        }
    }
}

impl NoPlace {
    fn words(self) -> String {
        let who = match self {
            Self::InAll => format!("{MOST_STREAMS} pages follow the studio already"),
            Self::OfTheSession => {
                format!("{MOST_OF_A_SESSION} pages of this device follow the studio already")
            }
        };
        format!("{who}; this one does not. Close some, or load it anew to see changes.")
    }
}

/// Opens a stream from where the page was.
pub(crate) async fn events(State(app): State<App>, headers: HeaderMap) -> Response {
    let session = visitor().session;
    let place = match app.streams.take_place(session) {
        Ok(place) => place,
        Err(none) => {
            return PageError::Status(StatusCode::SERVICE_UNAVAILABLE, none.words()).into_response();
        }
    };
    let seen = headers.get("last-event-id").and_then(|value| value.to_str().ok()).map(str::to_owned);
    let (sender, receiver) = mpsc::channel::<Result<Event, Infallible>>(QUEUE);
    tokio::spawn(async move {
        let _place = place;
        // it ends when the reader has gone
        let _ = tell(&app, seen.as_deref(), session, &sender).await;
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
    seen: Option<&str>,
    session: Option<u32>,
    sender: &Sender,
) -> Result<Infallible, Gone> {
    let mut newest = app.store.watch();
    let now = *newest.borrow_and_update();
    send(sender, beat().retry(AGAIN)).await?;
    let mut at = match follows(seen, now, REPLAY) {
        Follows::LoadsAnew => {
            send(sender, reload(now)).await?;
            now
        }
        // what was missed is told one by one, however long the reader takes
        Follows::After(seen) => {
            let missed = changes(app, seen).await;
            let last = missed.last().map_or(seen, |line| line.seq);
            for line in missed {
                send(sender, change(line)).await?;
            }
            last
        }
        Follows::FromNow => now,
    };
    let mut beats = tokio::time::interval_at(tokio::time::Instant::now() + HEARTBEAT, HEARTBEAT);
    loop {
        // a session that was ended elsewhere hears nothing more
        if session.is_some_and(|session| !app.door.is_running(session, app.now().ms)) {
            return Err(Gone);
        }
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
            _ = beats.tick() => send(sender, beat()).await?,
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
    let sent = tokio::time::timeout(STUCK, sender.send(Ok(event))).await;
    sent.map_err(|_| Gone)?.map_err(|_| Gone)
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

#[cfg(test)]
mod tests {
    use super::{MOST_OF_A_SESSION, MOST_STREAMS, NoPlace, Streams};

    #[test]
    fn a_session_takes_eight_places_and_gives_them_back() {
        let streams = Streams::default();
        let mut places: Vec<_> =
            (0..MOST_OF_A_SESSION).map(|_| streams.take_place(Some(1)).unwrap()).collect();
        assert_eq!(streams.take_place(Some(1)).unwrap_err(), NoPlace::OfTheSession);
        let other = streams.take_place(Some(2)).unwrap();
        places.pop();
        places.push(streams.take_place(Some(1)).unwrap());
        assert_eq!(streams.take_place(Some(1)).unwrap_err(), NoPlace::OfTheSession);
        drop((places, other));
        assert!(streams.0.lock().unwrap().is_empty(), "nothing is kept of a session that is gone");
    }

    #[test]
    fn without_a_session_all_places_may_be_taken_and_no_more() {
        let streams = Streams::default();
        let _one = streams.take_place(Some(1)).unwrap();
        let places: Vec<_> = (1..MOST_STREAMS).map(|_| streams.take_place(None).unwrap()).collect();
        assert_eq!(streams.take_place(None).unwrap_err(), NoPlace::InAll);
        assert_eq!(streams.take_place(Some(1)).unwrap_err(), NoPlace::InAll);
        drop(places);
        assert!(streams.take_place(None).is_ok());
    }
}
