//! A request while it is answered: its number, which an error page names and the log has, the device that asks, and what
//! the store told.

use crate::device::Device;
use crate::door::Visitor;
use axum::extract::{MatchedPath, Request};
use std::future::Future;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, OnceLock};
use std::time::Instant;
use store::StoreError;

tokio::task_local! {
    static UNDER_WAY: Arc<Answering>;
}

/// A request that is being answered.
#[derive(Debug)]
pub(crate) struct Answering {
    number: u64,
    method: String,
    /// The address as the table of addresses has it: no id, no word that was typed.
    route: String,
    begun: Instant,
    device: Device,
    visitor: Visitor,
    unsound: OnceLock<String>,
}

impl Answering {
    pub(crate) fn begin(request: &Request, visitor: Visitor) -> Arc<Self> {
        static LAST: AtomicU64 = AtomicU64::new(0);
        let route = request.extensions().get::<MatchedPath>().map_or("no such address", MatchedPath::as_str);
        Arc::new(Self {
            number: LAST.fetch_add(1, Ordering::Relaxed) + 1,
            method: request.method().as_str().to_owned(),
            route: route.to_owned(),
            begun: Instant::now(),
            device: Device::of(request.headers()),
            visitor,
            unsound: OnceLock::new(),
        })
    }

    /// Runs what answers the request, so that it finds its number.
    pub(crate) async fn scope<T>(self: Arc<Self>, answer: impl Future<Output = T>) -> T {
        UNDER_WAY.scope(self, answer).await
    }

    /// Writes the line of the log.
    pub(crate) fn log(&self, status: u16) {
        // style, script and streams are asked for all day and tell nothing
        if self.route.starts_with("/assets") || self.route == "/events" {
            return;
        }
        let ms = u64::try_from(self.begun.elapsed().as_millis()).unwrap_or(u64::MAX);
        let (method, route, session) = (self.method.as_str(), self.route.as_str(), self.visitor.session);
        tracing::info!(request = self.number, session, method, route, status, ms, "answered");
    }

    /// What the store found wrong with its file while answering.
    pub(crate) fn unsound(&self) -> Option<StoreError> {
        self.unsound.get().cloned().map(StoreError::Unsound)
    }
}

/// The number of the request under way.
pub(crate) fn number() -> Option<u64> {
    UNDER_WAY.try_with(|under_way| under_way.number).ok()
}

/// The device that asks.
pub(crate) fn device() -> Device {
    UNDER_WAY.try_with(|under_way| under_way.device).unwrap_or_default()
}

/// Who asks.
pub(crate) fn visitor() -> Visitor {
    UNDER_WAY.try_with(|under_way| under_way.visitor).unwrap_or_default()
}

/// Writes down what the store told; a file that is not sound is told to the one who can stop writing.
pub(crate) fn note(error: &StoreError) {
    let request = number();
    match error {
        StoreError::Refused(refusal) => tracing::info!(request, %refusal, "the store refused"),
        _ => tracing::error!(request, %error, "the store failed"),
    }
    if let StoreError::Unsound(why) = error {
        // outside a request there is nobody to tell
        drop(UNDER_WAY.try_with(|under_way| under_way.unsound.set(why.clone())));
    }
}
