//! Opening the studio on this machine, and to other devices where that is wished; and stopping gracefully.

use crate::apart::Apart;
use crate::app::{App, Branch, Clock};
use crate::door::{Door, Network, register_of};
use crate::events::Streams;
use crate::heavy::Heavy;
use crate::maps::Maps;
use crate::network::listen::{Speech, listen};
use crate::network::names::Names;
use crate::network::tls::{Authority, Certificates, Shown, TlsError, config};
use crate::rounds;
use crate::route::router;
use crate::uploads::Uploads;
use std::future::Future;
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::sync::Arc;
use store::{HostFile, Photos, ServerLock, Store, StoreError};
use tokio::net::TcpListener;
use tokio_rustls::TlsAcceptor;

/// Why the studio is not served.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// An address other machines could reach.
    #[error(
        "expected an address of this machine itself, such as 127.0.0.1:7700, found {0}: other machines could read every \
         golfer's file there"
    )]
    NotLoopback(SocketAddr),
    /// A proxy without the names it answers to.
    #[error("expected the name devices open the studio under, with --lan-name, found none")]
    NoName,
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
    /// There is no TLS for other devices.
    #[error(transparent)]
    Tls(#[from] TlsError),
    /// Serving ended with a fault.
    #[error("the server stopped: {0}")]
    Stopped(std::io::Error),
}

/// How the studio is opened.
#[derive(Debug)]
pub struct Opening {
    /// Where this machine opens it; a loopback address.
    pub address: SocketAddr,
    /// The time.
    pub clock: Clock,
    /// Whether it goes away when it is stopped, as the demo's.
    pub is_temporary: bool,
    /// Our own program, which reads photos and workbooks in a process apart.
    pub program: Option<PathBuf>,
    /// How other devices open it, where they may.
    pub lan: Option<Lan>,
    /// Whether this machine's own pages need the passphrase too.
    pub is_always_shut: bool,
}

/// How other devices open the studio.
#[derive(Debug)]
pub struct Lan {
    /// The address to listen on.
    pub address: SocketAddr,
    /// Names devices may open it under, besides the machine's own.
    pub names: Vec<String>,
    /// A certificate chain and its key in PEM, instead of the studio's own authority.
    pub certificate: Option<(PathBuf, PathBuf)>,
    /// The only address connections are taken from: a proxy, which speaks TLS to the devices.
    pub proxy: Option<IpAddr>,
}

/// A server that listens and is ready to serve.
#[derive(Debug)]
pub struct Server {
    app: App,
    listener: TcpListener,
    lan: Option<(TcpListener, Lan)>,
    lock: Option<ServerLock>,
}

impl Server {
    /// The usual address.
    pub const USUAL: SocketAddr = SocketAddr::new(IpAddr::V4(Ipv4Addr::LOCALHOST), 7700);
    /// The usual address for other devices: every one of this machine.
    pub const USUAL_LAN: SocketAddr = SocketAddr::new(IpAddr::V4(Ipv4Addr::UNSPECIFIED), 7743);

    /// Takes the studio's lock and listens.
    ///
    /// # Errors
    /// [`ServeError`], with what was found.
    pub async fn new(store: Store, opening: Opening) -> Result<Self, ServeError> {
        let Opening { address, clock, is_temporary, program, lan, is_always_shut } = opening;
        if !address.ip().is_loopback() {
            return Err(ServeError::NotLoopback(address));
        }
        // who only reads is in nobody's way, and may have no place for a lock
        let mut lock = if store.only_read().is_some() { None } else { ServerLock::take(store.address())? };
        let photos = Photos::of(store.address());
        let (listener, address) = bound(address).await?;
        if let Some(lock) = &mut lock {
            lock.sign(&format!("http://{address}, process {}", std::process::id()))
                .map_err(|error| ServeError::CannotListen { address, error })?;
        }
        let lan = match lan {
            Some(lan) => {
                let (listener, address) = bound(lan.address).await?;
                Some((listener, Lan { address, ..lan }))
            }
            None => None,
        };
        let network = match &lan {
            Some((_, lan)) => {
                let authority = HostFile::of(store.address(), "authority", |name| std::env::var(name).ok())?;
                Some(network_of(lan, &authority, &clock)?)
            }
            None => None,
        };
        let door =
            Door::new(register_of(store.address())?, store.address().studio(), is_always_shut, network);
        Ok(Self {
            app: App {
                store,
                clock,
                address,
                door,
                uploads: Uploads::default(),
                maps: Maps::default(),
                heavy: Heavy::default(),
                streams: Streams::default(),
                photos,
                apart: program.map(Apart::of),
                chain: Arc::new([]),
                is_temporary,
            },
            listener,
            lan,
            lock,
        })
    }

    /// Opens studios of a chain beside each other: each has an address of its own, and a page that leads to the others.
    pub fn beside(servers: &mut [Self]) {
        let chain: Arc<[Branch]> = servers
            .iter()
            .map(|Self { app, .. }| Branch {
                name: app.store.address().studio().unwrap_or_default().to_owned(),
                url: app.url(),
                store: app.store.clone(),
            })
            .collect();
        for server in servers {
            server.app.chain = Arc::clone(&chain);
        }
    }

    /// What its pages are drawn from, for a test that asks them without a listener.
    #[cfg(test)]
    pub(crate) fn into_app(self) -> App {
        self.app
    }

    /// The address it is opened under on this machine.
    #[must_use]
    pub fn url(&self) -> String {
        self.app.url()
    }

    /// Where its records lie.
    #[must_use]
    pub fn place(&self) -> String {
        self.app.store.address().to_string()
    }

    /// Why nothing is written, in a studio that is only read.
    #[must_use]
    pub fn only_read(&self) -> Option<store::OnlyRead> {
        self.app.store.only_read()
    }

    /// The address other devices open it under, and the fingerprint of the studio's own authority where it has one.
    #[must_use]
    pub fn url_on_the_network(&self) -> Option<(String, Option<String>)> {
        let network = self.app.door.network()?;
        let fingerprint = match network {
            Network::Tls(shown) => shown.authority().map(Authority::fingerprint),
            Network::Proxy(_) => None,
        };
        Some((network.names().url(), fingerprint))
    }

    /// Serves until `stop` is done; requests under way are answered, streams are ended.
    ///
    /// # Errors
    /// When TLS cannot be set up.
    pub async fn serve(self, stop: impl Future<Output = ()> + Send + 'static) -> Result<(), ServeError> {
        let Self { app, listener, lan, lock } = self;
        let store = app.store.clone();
        let poll = tokio::spawn(rounds::watch_others(store.clone(), app.clock.clone()));
        let rounds = tokio::spawn(rounds::look_after(store.clone(), app.clock.clone()));
        let (stopping, stopped) = tokio::sync::watch::channel(false);
        let router = router(app.clone());
        let elsewhere = match lan {
            Some((listener, lan)) => {
                let speech = speech_of(&lan, app.door.network())?;
                let renewed = tokio::spawn(rounds::renew_certificate(app.clone(), lan.address, lan.names));
                let listening = tokio::spawn(listen(listener, speech, router.clone(), stopped.clone()));
                Some((listening, renewed))
            }
            None => None,
        };
        let here = tokio::spawn(listen(listener, Speech::Plain, router, stopped));
        stop.await;
        // the listeners hold receivers
        let _ = stopping.send(true);
        let ended = here.await;
        if let Some((listening, renewed)) = elsewhere {
            renewed.abort();
            // what happened to it stands in the log
            drop(listening.await);
        }
        poll.abort();
        rounds.abort();
        store.close().await;
        drop(lock);
        ended.map_err(|error| ServeError::Stopped(std::io::Error::other(error)))
    }
}

async fn bound(address: SocketAddr) -> Result<(TcpListener, SocketAddr), ServeError> {
    let cannot = |error| ServeError::CannotListen { address, error };
    let listener = TcpListener::bind(address).await.map_err(cannot)?;
    let address = listener.local_addr().map_err(cannot)?;
    Ok((listener, address))
}

fn network_of(lan: &Lan, authority: &HostFile, clock: &Clock) -> Result<Network, ServeError> {
    if lan.proxy.is_some() {
        if lan.names.is_empty() {
            return Err(ServeError::NoName);
        }
        let names = lan.names.iter().map(|name| name.to_lowercase()).collect();
        // the port devices see is the proxy's
        return Ok(Network::Proxy(Names { names, addresses: Vec::new(), port: 443 }));
    }
    let names = Names::of(lan.address, &lan.names);
    let today = clock.now().date();
    let certificates = match &lan.certificate {
        Some((certificate, key)) => Certificates::given(certificate, key)?,
        None => Certificates::Own(Authority::of(authority, names.names.first().map(String::as_str), today)?),
    };
    Ok(Network::Tls(Arc::new(Shown::new(certificates, names, today)?)))
}

fn speech_of(lan: &Lan, network: Option<&Network>) -> Result<Speech, ServeError> {
    Ok(match (lan.proxy, network) {
        (Some(proxy), _) => Speech::Proxy(proxy),
        (None, Some(Network::Tls(shown))) => Speech::Tls(TlsAcceptor::from(Arc::new(config(shown)?))),
        (None, _) => return Err(ServeError::NoName),
    })
}
