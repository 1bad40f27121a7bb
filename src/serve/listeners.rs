//! The pages that listen for events.

use crate::serve::current_layout::lock;
use serde_json::Value;
use std::sync::Mutex;
use tokio::sync::mpsc::UnboundedReceiver;
use tokio::sync::mpsc::UnboundedSender;
use tokio::sync::mpsc::unbounded_channel;

/// One sender for each page.
#[derive(Debug, Default)]
pub(super) struct Listeners(Mutex<Vec<UnboundedSender<String>>>);

impl Listeners {
    /// Sends an event to every page that still listens.
    pub(super) fn send(&self, event: &Value) {
        lock(&self.0).retain(|page| page.send(event.to_string()).is_ok());
    }

    /// All events from now on, for one more page.
    pub(super) fn add(&self) -> UnboundedReceiver<String> {
        let (send, receive) = unbounded_channel();
        lock(&self.0).push(send);
        receive
    }
}
