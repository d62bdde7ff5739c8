//! `lengthwise serve`: the studio in the browser, on this machine only.

use crate::clock::now;
use crate::output::print;
use crate::{Failure, Stop};
use std::net::SocketAddr;
use store::{Address, Store};
use web::{Clock, Server};

/// Arguments of `serve`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The studio: a file, made when it is not there, or a PostgreSQL URL; the platform's data folder when not given
    #[arg(long, value_name = "PATH|URL", env = "LENGTHWISE_DATA", hide_env_values = true)]
    data: Option<String>,
    /// Address to listen on; of this machine only
    #[arg(long, value_name = "ADDRESS:PORT", default_value_t = Server::USUAL)]
    listen: SocketAddr,
}

/// Opens the studio and serves it until it is stopped.
pub(crate) fn run(arguments: &Arguments) -> Result<(), Stop> {
    let address = address(arguments.data.as_deref())?;
    runtime()?.block_on(async {
        let store = Store::open(&address).await.map_err(Failure::from)?;
        serve(store, arguments.listen, false).await
    })
}

/// The studio's address: as given, or the usual one.
pub(crate) fn address(data: Option<&str>) -> Result<Address, Failure> {
    match data {
        Some(data) => Ok(Address::parse(data)),
        None => Ok(Address::usual(|name| std::env::var(name).ok())?),
    }
}

/// Serves a store until the program is told to stop.
pub(crate) async fn serve(store: Store, listen: SocketAddr, is_temporary: bool) -> Result<(), Stop> {
    let place = store.address().to_string();
    crate::log::begin(store.address());
    let server = Server::new(store, listen, Clock::new(now), is_temporary, std::env::current_exe().ok())
        .await
        .map_err(Failure::from)?;
    print(&format!("The studio is open at {}\nIt lies in {place}. Stop it with Ctrl+C.\n", server.url()))?;
    server.serve(told_to_stop()).await.map_err(Failure::from)?;
    Ok(())
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
