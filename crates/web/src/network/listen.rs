//! One listener: connections come in, are made safe where they come from another device, and are answered.
//!
//! Limits of a connection: headers of 16 KiB, 15 s to send them, 10 s for TLS, so many connections at once and of one
//! address, none that is not used ([`super::places`]).

use super::places::{Places, Uses};
use crate::head;
use axum::Router;
use axum::body::Body;
use axum::http::{HeaderMap, HeaderName, HeaderValue, Request, header};
use http_body_util::BodyExt;
use hyper::body::Incoming;
use hyper_util::rt::{TokioExecutor, TokioIo, TokioTimer};
use hyper_util::server::conn::auto::Builder;
use hyper_util::server::graceful::GracefulShutdown;
use std::convert::Infallible;
use std::fmt;
use std::net::{IpAddr, SocketAddr};
use std::time::Duration;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::watch;
use tokio_rustls::TlsAcceptor;
use tower::ServiceExt;

/// Largest head of a request, bytes. House choice.
const MOST_HEAD: usize = 16 * 1024;
/// How long a head may take. House choice.
const HEAD_TAKES: Duration = Duration::from_secs(15);
/// How long TLS may take to be agreed. House choice.
const TLS_TAKES: Duration = Duration::from_secs(10);
/// How long open streams may take to end when the server stops.
const PATIENCE: Duration = Duration::from_secs(2);

/// Where a request comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Came {
    /// This machine itself.
    #[default]
    Host,
    /// Another device, or one that is treated so.
    Network(IpAddr),
    /// Through the proxy, but not as a proxy should send it on.
    Unclear,
}

/// As the log names it.
impl fmt::Display for Came {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Host => f.write_str("this machine"),
            Self::Network(address) => address.fmt(f),
            Self::Unclear => f.write_str("unclear"),
        }
    }
}

/// How a listener is spoken to.
#[derive(Clone)]
pub(crate) enum Speech {
    /// This machine to itself.
    Plain,
    /// Other devices.
    Tls(TlsAcceptor),
    /// A proxy at this address, which speaks TLS to the devices.
    Proxy(IpAddr),
}

/// Answers what comes in at a listener until `stop` says so, then lets what is under way end.
pub(crate) async fn listen(
    listener: TcpListener,
    speech: Speech,
    router: Router,
    mut stop: watch::Receiver<bool>,
) {
    let places = Places::default();
    let tells_apart = matches!(speech, Speech::Tls(_));
    let graceful = GracefulShutdown::new();
    loop {
        let (stream, from) = tokio::select! {
            accepted = listener.accept() => match accepted {
                Ok(accepted) => accepted,
                Err(error) => {
                    // of one connection, or no more handles for now: the next may be well
                    tracing::warn!(%error, "a connection could not be taken");
                    tokio::time::sleep(Duration::from_millis(50)).await;
                    continue;
                }
            },
            _ = stop.changed() => break,
        };
        // a connection too many, or one that is not the proxy's, is closed without a word
        let Some(place) = places.take(from.ip(), tells_apart) else { continue };
        if matches!(speech, Speech::Proxy(proxy) if from.ip() != proxy) {
            continue;
        }
        let (speech, router, watcher) = (speech.clone(), router.clone(), graceful.watcher());
        tokio::spawn(async move {
            let _place = place;
            // an answer in two pieces must not wait for the reader's acknowledgement of the first; a connection that is
            // gone already is found out by writing to it
            drop(stream.set_nodelay(true));
            if let Some(stream) = safely(stream, &speech).await {
                answer(stream, from, speech, router, watcher).await;
            }
        });
    }
    drop(listener);
    // who does not end in time is cut off
    let _ = tokio::time::timeout(PATIENCE, graceful.shutdown()).await;
}

trait Stream: AsyncRead + AsyncWrite + Unpin + Send {}
impl<T: AsyncRead + AsyncWrite + Unpin + Send> Stream for T {}

/// Agrees on TLS where the listener speaks it.
async fn safely(stream: TcpStream, speech: &Speech) -> Option<Box<dyn Stream>> {
    let Speech::Tls(acceptor) = speech else { return Some(Box::new(stream)) };
    let agreed = tokio::time::timeout(TLS_TAKES, acceptor.accept(stream)).await.ok()?;
    // a device that does not trust the certificate yet ends it here, which is no fault
    agreed.ok().map(|stream| Box::new(stream) as Box<dyn Stream>)
}

async fn answer(
    stream: Box<dyn Stream>,
    from: SocketAddr,
    speech: Speech,
    router: Router,
    watcher: hyper_util::server::graceful::Watcher,
) {
    let uses = Uses::new();
    let used = uses.clone();
    let service = hyper::service::service_fn(move |request: Request<Incoming>| {
        let under_way = used.begin();
        let came = came(&speech, from, request.headers());
        let mut request = request.map(Body::new);
        name_the_host(&mut request);
        request.extensions_mut().insert(came);
        let answer = router.clone().oneshot(request);
        async move {
            let answer = answer.await?;
            // an answer is under way as long as its body is: a stream for hours
            Ok::<_, Infallible>(answer.map(|body| {
                body.map_frame(move |frame| {
                    let _ = &under_way;
                    frame
                })
            }))
        }
    });
    let mut builder = Builder::new(TokioExecutor::new());
    builder.http1().timer(TokioTimer::new()).header_read_timeout(HEAD_TAKES).max_buf_size(MOST_HEAD);
    builder.http2().timer(TokioTimer::new()).max_header_list_size(16 * 1024).max_concurrent_streams(64);
    let connection = builder.serve_connection(TokioIo::new(stream), service).into_owned();
    tokio::select! {
        ended = watcher.watch(connection) => if let Err(error) = ended {
            tracing::debug!(%error, "a connection ended early");
        },
        () = uses.rested() => tracing::debug!("a connection that asked nothing was ended"),
    }
}

/// The host stands in the address in HTTP/2, and there it counts in HTTP/1.1 too (RFC 9112, 3.2.2): what comes after reads
/// one place.
fn name_the_host(request: &mut Request<Body>) {
    let named =
        request.uri().authority().and_then(|authority| HeaderValue::from_str(authority.as_str()).ok());
    if let Some(host) = named {
        request.headers_mut().insert(header::HOST, host);
    }
}

fn came(speech: &Speech, from: SocketAddr, headers: &HeaderMap) -> Came {
    match speech {
        Speech::Plain => Came::Host,
        Speech::Tls(_) => Came::Network(from.ip().to_canonical()),
        Speech::Proxy(_) => forwarded(headers).map_or(Came::Unclear, Came::Network),
    }
}

/// The device behind the proxy, by the last header of each kind.
fn forwarded(headers: &HeaderMap) -> Option<IpAddr> {
    let last = |name: &'static str| {
        let values = headers.get_all(HeaderName::from_static(name));
        values.iter().next_back()?.to_str().ok()
    };
    head::forwarded(last("x-forwarded-proto"), last("x-forwarded-for"))
}

#[cfg(test)]
mod tests {
    use super::{Came, Speech, came};
    use axum::http::{HeaderMap, HeaderName};

    #[test]
    fn a_proxys_word_counts_only_where_there_is_one() {
        let mut headers = HeaderMap::new();
        let from = "127.0.0.1:50000".parse().unwrap();
        let proxy = Speech::Proxy([127, 0, 0, 1].into());
        assert_eq!(came(&proxy, from, &headers), Came::Unclear);
        let mut set = |name: &'static str, value: &str| {
            headers.insert(HeaderName::from_static(name), value.parse().unwrap());
            headers.clone()
        };
        // what the device claims itself stands before what the proxy adds
        let only_for = set("x-forwarded-for", "10.0.0.9, 192.168.1.7");
        assert_eq!(came(&proxy, from, &only_for), Came::Unclear, "not over HTTPS");
        let both = set("x-forwarded-proto", "https");
        assert_eq!(came(&proxy, from, &both), Came::Network([192, 168, 1, 7].into()));
        assert_eq!(came(&Speech::Plain, from, &both), Came::Host);
        assert_eq!(came(&proxy, from, &set("x-forwarded-for", "127.0.0.1, evil")), Came::Unclear);
    }
}
