//! Listening on this machine, and stopping gracefully.

use crate::app::{App, Clock};
use crate::events::Streams;
use crate::maps::Maps;
use crate::rounds;
use crate::route::router;
use crate::uploads::Uploads;
use axum::serve::ListenerExt;
use std::future::{Future, IntoFuture};
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::time::Duration;
use store::{Photos, ServerLock, Store, StoreError};
use tokio::net::TcpListener;

/// Why the studio is not served.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// An address other machines could reach.
    #[error(
        "expected an address of this machine itself, such as 127.0.0.1:7700, found {0}: other machines could read every \
         golfer's file there, and this version has no passphrase yet"
    )]
    NotLoopback(SocketAddr),
    /// The address cannot be had.
    #[error("cannot listen on {address}: {error}")]
    CannotListen {
        /// The address.
        address: SocketAddr,
        /// Why.
        error: std::io::Error,
    },
    /// The store cannot be had.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// Serving ended with a fault.
    #[error("the server stopped: {0}")]
    Stopped(std::io::Error),
}

/// How long open streams may take to end when the server stops.
const PATIENCE: Duration = Duration::from_secs(2);
/// A server that listens and is ready to serve.
#[derive(Debug)]
pub struct Server {
    app: App,
    listener: TcpListener,
    lock: Option<ServerLock>,
}

impl Server {
    /// The usual address.
    pub const USUAL: SocketAddr = SocketAddr::new(IpAddr::V4(Ipv4Addr::LOCALHOST), 7700);

    /// Takes the studio's lock and listens; `photo_program` makes photos small when started with `shrink-photo`.
    ///
    /// # Errors
    /// [`ServeError`], with what was found.
    pub async fn new(
        store: Store,
        address: SocketAddr,
        clock: Clock,
        is_temporary: bool,
        photo_program: Option<PathBuf>,
    ) -> Result<Self, ServeError> {
        if !address.ip().is_loopback() {
            return Err(ServeError::NotLoopback(address));
        }
        let mut lock = ServerLock::take(store.address())?;
        let photos = Photos::of(store.address());
        let cannot = |error| ServeError::CannotListen { address, error };
        let listener = TcpListener::bind(address).await.map_err(cannot)?;
        let address = listener.local_addr().map_err(cannot)?;
        if let Some(lock) = &mut lock {
            lock.sign(&format!("http://{address}, process {}", std::process::id())).map_err(cannot)?;
        }
        Ok(Self {
            app: App {
                store,
                clock,
                address,
                uploads: Uploads::default(),
                maps: Maps::default(),
                streams: Streams::default(),
                photos,
                photo_program,
                is_temporary,
            },
            listener,
            lock,
        })
    }

    /// The address it is opened under.
    #[must_use]
    pub fn url(&self) -> String {
        self.app.url()
    }

    /// Serves until `stop` is done; requests under way are answered, streams are ended.
    ///
    /// # Errors
    /// When listening fails.
    pub async fn serve(self, stop: impl Future<Output = ()> + Send + 'static) -> Result<(), ServeError> {
        let Self { app, listener, lock } = self;
        let store = app.store.clone();
        let poll = tokio::spawn(rounds::watch_others(store.clone()));
        let rounds = tokio::spawn(rounds::look_after(store.clone(), app.clock.clone()));
        let (stopping, mut stopped) = tokio::sync::watch::channel(false);
        // an answer in two pieces must not wait for the reader's acknowledgement of the first
        let listener = listener.tap_io(|connection| {
            // a connection that is gone already is found out by writing to it
            drop(connection.set_nodelay(true));
        });
        let serving = axum::serve(listener, router(app)).with_graceful_shutdown(async move {
            stop.await;
            // the receiver below lives as long as this task
            let _ = stopping.send(true);
        });
        let serving = serving.into_future();
        tokio::pin!(serving);
        let ended = tokio::select! {
            ended = &mut serving => ended,
            _ = stopped.changed() => tokio::time::timeout(PATIENCE, &mut serving).await.unwrap_or(Ok(())),
        };
        poll.abort();
        rounds.abort();
        store.close().await;
        drop(lock);
        ended.map_err(ServeError::Stopped)
    }
}
