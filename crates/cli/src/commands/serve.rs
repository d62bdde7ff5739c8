//! `lengthwise serve`: the studio in the browser, on this machine, and on other devices with `--lan`.

use crate::clock::now;
use crate::output::print;
use crate::{Failure, Stop};
use std::net::{IpAddr, SocketAddr};
use std::path::PathBuf;
use store::{Address, Chain, Manner, Store};
use tokio::sync::watch;
use tokio::task::{JoinError, JoinSet};
use web::{Clock, Lan, Opening, ServeError, Server};

/// Arguments of `serve`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The studio: a file, made when it is not there, or a PostgreSQL URL; the platform's data folder when not given
    #[arg(long, value_name = "PATH|URL", env = "LENGTHWISE_DATA", hide_env_values = true)]
    data: Option<String>,
    /// Address to listen on; of this machine only
    #[arg(long, value_name = "ADDRESS:PORT", default_value_t = Server::USUAL)]
    listen: SocketAddr,
    /// Let paired devices of your own network in, over TLS and with a passphrase
    #[arg(long, value_name = "ADDRESS:PORT", num_args = 0..=1, default_missing_value = "0.0.0.0:7743")]
    lan: Option<SocketAddr>,
    /// A name devices open the studio under, besides the machine's own
    #[arg(long, value_name = "NAME", requires = "lan")]
    lan_name: Vec<String>,
    /// A certificate chain in PEM instead of the studio's own
    #[arg(long, value_name = "FILE", requires_all = ["lan", "tls_key"])]
    tls_cert: Option<PathBuf>,
    /// Its key in PEM
    #[arg(long, value_name = "FILE", requires_all = ["lan", "tls_cert"])]
    tls_key: Option<PathBuf>,
    /// Speak plainly to a proxy at this address, which speaks TLS to the devices
    #[arg(long, value_name = "ADDRESS", requires_all = ["lan", "lan_name"], conflicts_with = "tls_cert")]
    behind_proxy: Option<IpAddr>,
    /// When this machine's own pages ask for the passphrase too
    #[arg(long, value_name = "WHEN", value_enum, default_value_t = Asked::Elsewhere)]
    passphrase: Asked,
    /// Write nothing: the studio is opened to be read
    #[arg(long, conflicts_with = "allow_network_drive")]
    read_only: bool,
    /// Open a studio on a network drive all the same, for this one program
    #[arg(long)]
    allow_network_drive: bool,
}

/// When the passphrase is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Asked {
    /// On other devices alone
    Elsewhere,
    /// On this machine too: it has other accounts
    Always,
}

impl Arguments {
    fn manner(&self) -> Manner {
        match (self.read_only, self.allow_network_drive) {
            (true, _) => Manner::OnlyRead,
            (false, true) => Manner::OnNetworkDrive,
            (false, false) => Manner::Usual,
        }
    }

    fn lan(&self) -> Option<Lan> {
        Some(Lan {
            address: self.lan?,
            names: self.lan_name.clone(),
            certificate: self.tls_cert.clone().zip(self.tls_key.clone()),
            proxy: self.behind_proxy,
        })
    }
}

/// Opens the studio and serves it until it is stopped.
pub(crate) fn run(arguments: &Arguments) -> Result<(), Stop> {
    let address = address(arguments.data.as_deref())?;
    runtime()?.block_on(async {
        let studios = studios_at(&address).await?;
        if studios.len() > 1 && arguments.lan.is_some() {
            let names: Vec<&str> = studios.iter().filter_map(Address::studio).collect();
            return Err(Failure::bad_input(format!(
                "expected one studio to open to other devices, found {}",
                names.join(", ")
            ))
            .field("--lan")
            .hint(
                "Name it at the end of --data: ?studio=NAME. Each studio is opened by a program of its own.",
            )
            .into());
        }
        // before it is opened: an upgrade is told too
        crate::log::begin_for("serve", &address);
        let mut opened = Vec::new();
        for (place, studio) in studios.iter().enumerate() {
            let opening = Opening {
                lan: arguments.lan(),
                is_always_shut: arguments.passphrase == Asked::Always,
                ..here(beside(arguments.listen, place))
            };
            let store = Store::open_as(studio, arguments.manner()).await.map_err(Failure::from)?;
            opened.push((store, opening));
        }
        serve_all(opened).await
    })
}

/// The studios to open: of a chain, where none is named, each this login may enter.
async fn studios_at(address: &Address) -> Result<Vec<Address>, Failure> {
    if matches!(address, Address::File(_)) || address.studio().is_some() {
        return Ok(vec![address.clone()]);
    }
    let mut chain = Chain::at(address).await?;
    let studios = chain.studios().await?;
    chain.close().await?;
    let mine: Vec<Address> =
        studios.iter().filter(|studio| studio.may_enter).map(|studio| address.within(&studio.name)).collect();
    // none: a studio by itself, or one that is refused in the store's words
    Ok(if mine.is_empty() { vec![address.clone()] } else { mine })
}

/// The address of a chain's next studio: the port after.
fn beside(first: SocketAddr, place: usize) -> SocketAddr {
    let place = u16::try_from(place).unwrap_or(u16::MAX);
    let port = if first.port() == 0 { 0 } else { first.port().saturating_add(place) };
    SocketAddr::new(first.ip(), port)
}

/// The studio's address: as given, or the usual one.
pub(crate) fn address(data: Option<&str>) -> Result<Address, Failure> {
    let Some(data) = data else { return Ok(Address::usual(|name| std::env::var(name).ok())?) };
    let address = Address::parse(data);
    // what stands in the environment is its owner's alone to read
    let is_on_the_command_line = std::env::var("LENGTHWISE_DATA").ok().as_deref() != Some(data);
    if is_on_the_command_line && address.has_password() {
        return Err(Failure::bad_input(
            "expected an address without a password, found one: everybody on this machine can read a command line",
        )
        .field("--data")
        .hint("Put the address into the environment as LENGTHWISE_DATA, or the password as PGPASSWORD or into PGPASSFILE."));
    }
    Ok(address)
}

/// Opened on this machine alone.
pub(crate) fn here(address: SocketAddr) -> Opening {
    Opening {
        address,
        clock: Clock::new(now),
        is_temporary: false,
        program: std::env::current_exe().ok(),
        lan: None,
        is_always_shut: false,
    }
}

/// Serves a store until the program is told to stop.
pub(crate) async fn serve(store: Store, opening: Opening) -> Result<(), Stop> {
    serve_all(vec![(store, opening)]).await
}

/// Serves the studios of a chain, each under its own address, or one studio by itself.
async fn serve_all(opened: Vec<(Store, Opening)>) -> Result<(), Stop> {
    if let Some((first, _)) = opened.first() {
        crate::log::begin(first.address());
    }
    let mut servers = Vec::new();
    for (store, opening) in opened {
        servers.push(Server::new(store, opening).await.map_err(Failure::from)?);
    }
    if servers.len() > 1 {
        Server::beside(&mut servers);
    }
    print(&servers.iter().map(told).collect::<String>())?;
    let (stop, stopped) = watch::channel(false);
    let mut serving = JoinSet::new();
    for server in servers {
        let mut stopped = stopped.clone();
        serving.spawn(server.serve(async move {
            // a sender that is gone stops as well
            drop(stopped.wait_for(|is_told| *is_told).await);
        }));
    }
    tokio::select! {
        () = told_to_stop() => {}
        // one that ended by itself ends all
        Some(ended) = serving.join_next() => done(ended)?,
    }
    // those that serve hold receivers
    let _ = stop.send(true);
    while let Some(ended) = serving.join_next().await {
        done(ended)?;
    }
    Ok(())
}

fn done(ended: Result<Result<(), ServeError>, JoinError>) -> Result<(), Failure> {
    match ended {
        Ok(served) => Ok(served?),
        Err(error) => Err(Failure::our_fault(format!("a studio stopped: {error}"))),
    }
}

/// Says where a studio is open.
fn told(server: &Server) -> String {
    let mut text = format!("The studio is open at {}\n", server.url());
    if let Some((url, fingerprint)) = server.url_on_the_network() {
        text += &format!("Other devices open {url}; let each in on the page House, Devices.\n");
        if let Some(fingerprint) = fingerprint {
            text += &format!("Its certificate authority has SHA-256 {fingerprint}\n");
        }
    }
    if let Some(why) = server.only_read() {
        text += &format!("It is only read: {why}.\n");
    }
    text + &format!("It lies in {}. Stop it with Ctrl+C.\n", server.place())
}

/// Ends when the user or the system asks the program to stop.
async fn told_to_stop() {
    let interrupted = async {
        // without the signal there is no way to be asked
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    #[cfg(unix)]
    let terminated = async {
        match tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate()) {
            Ok(mut signal) => {
                signal.recv().await;
            }
            Err(_) => std::future::pending().await,
        }
    };
    #[cfg(not(unix))]
    let terminated = std::future::pending::<()>();
    tokio::select! {
        () = interrupted => {}
        () = terminated => {}
    }
}

/// The engine everything that waits runs on.
pub(crate) fn runtime() -> Result<tokio::runtime::Runtime, Failure> {
    tokio::runtime::Runtime::new()
        .map_err(|error| Failure::our_fault(format!("the program cannot start its engine: {error}")))
}
