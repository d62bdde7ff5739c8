//! What is looked after while the studio is open: copies, the file itself, and what other programs change.

use crate::app::{App, Clock};
use crate::door::Network;
use crate::network::names::Names;
use std::net::SocketAddr;
use std::time::Duration;
use store::Store;

/// How often changes of other programs are looked for.
const POLL: Duration = Duration::from_secs(1);
/// How soon after the start the day's copy is made, and how often it is looked whether another is due.
const FIRST_COPY: Duration = Duration::from_secs(20);
/// How often it is looked whether the machine is reached elsewhere: it may have joined another network.
const NAMES: Duration = Duration::from_secs(30);
const HOUR: Duration = Duration::from_secs(3600);

/// Notes what the clock shows, and tells those who watch of changes other programs made.
pub(crate) async fn watch_others(store: Store, clock: Clock) {
    loop {
        let (noting, now_ms) = (store.clone(), clock.now().timestamp().as_millisecond());
        // it may write; that it could not stands in the log
        drop(tokio::task::spawn_blocking(move || noting.note_instant(now_ms)).await);
        tokio::time::sleep(POLL).await;
        if let Err(error) = store.note_newest().await {
            tracing::warn!(%error, "changes of other programs could not be looked for");
            store.heed(&error);
        }
    }
}

/// Makes the certificate anew where the machine is reached elsewhere than before, or where it is nearly over.
pub(crate) async fn renew_certificate(app: App, listener: SocketAddr, given: Vec<String>) {
    let Some(Network::Tls(shown)) = app.door.network() else { return };
    loop {
        tokio::time::sleep(NAMES).await;
        match shown.renew(Names::of(listener, &given), app.now().day) {
            Ok(true) => tracing::info!("the certificate was made anew"),
            Ok(false) => {}
            Err(error) => tracing::error!(%error, "no new certificate could be made"),
        }
    }
}

/// Makes the studio's copies, one a day and one an hour while something is written, and looks through the file once a
/// day.
pub(crate) async fn look_after(store: Store, clock: Clock) {
    if store.only_read().is_some() {
        return;
    }
    let mut seen = *store.watch().borrow();
    // a file is looked through when it is opened
    let mut looked = clock.now().date();
    tokio::time::sleep(FIRST_COPY).await;
    loop {
        let newest = *store.watch().borrow();
        let now = clock.now().datetime();
        if now.date() != looked {
            store.check_quickly().await;
            looked = now.date();
        }
        match store.backup_when_due(now, newest > seen).await {
            Ok(Some(backup)) => {
                tracing::info!(counts = ?backup.counts, photos = backup.photos, "a copy was made");
                seen = newest;
            }
            Ok(None) => {}
            Err(error) => {
                tracing::error!(%error, "no copy of the studio could be made");
                store.heed(&error);
            }
        }
        store.look_at_journal().await;
        tokio::time::sleep(HOUR).await;
    }
}
