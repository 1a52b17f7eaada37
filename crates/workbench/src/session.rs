//! One page at the other end of a socket.

use crate::{
    desk::Desk,
    room::Room,
    wire::{FromPage, ToPage},
};
use axum::extract::ws::{Message, WebSocket};
use futures_util::{SinkExt, StreamExt};
use std::{
    path::PathBuf,
    sync::Arc,
    time::{Duration, Instant},
};
use tokio::sync::mpsc;

/// What waits to be sent, at most: a slow line slows the work down instead of filling memory.
const WAITING: usize = 4;
/// Messages a page may send at once after a rest, and each second for long.
const AT_ONCE: f64 = 1000.0;
const EACH_SECOND: f64 = 400.0;

/// Where messages to the page go.
#[derive(Debug, Clone)]
pub(crate) struct Out(mpsc::Sender<Message>);

impl Out {
    /// Says something; without effect when nobody listens any more.
    pub async fn say(&self, words: &ToPage) {
        self.text(self::words(words)).await;
    }

    /// Says something that is in words already.
    pub async fn text(&self, words: String) {
        let _ = self.0.send(Message::Text(words.into())).await;
    }

    /// Sends a binary frame.
    pub async fn frame(&self, bytes: Vec<u8>) {
        let _ = self.0.send(Message::Binary(bytes.into())).await;
    }

    /// Says why something cannot be done.
    pub async fn fault(&self, rev: Option<u64>, message: impl Into<String>) {
        self.say(&ToPage::Fault { rev, message: message.into() }).await;
    }
}

/// A message as it goes over the line.
pub(crate) fn words(message: &ToPage) -> String {
    serde_json::to_string(message).expect("messages are plain data")
}

/// Talks to a page until it goes.
pub(crate) async fn talk(socket: WebSocket, room: Arc<Room>) {
    let (mut line, mut heard) = socket.split();
    let (sender, mut outbox) = mpsc::channel(WAITING);
    let out = Out(sender);
    let writer = tokio::spawn(async move {
        while let Some(message) = outbox.recv().await {
            if line.send(message).await.is_err() {
                break;
            }
        }
        let _ = line.close().await;
    });
    let mut pace = Pace::new(Instant::now());
    let mut desk: Option<Desk> = None;
    loop {
        tokio::select! {
            message = heard.next() => {
                let text = match message {
                    Some(Ok(Message::Text(text))) => Some(text),
                    Some(Ok(Message::Binary(_))) => None,
                    Some(Ok(Message::Ping(_) | Message::Pong(_))) => continue,
                    _ => break,
                };
                if !pace.allows(Instant::now()) {
                    out.fault(None, "too many messages; the connection is closed").await;
                    break;
                }
                match text {
                    Some(text) => hear(&text, &mut desk, &room, &out).await,
                    None => out.fault(None, "not understood: messages are text").await,
                }
            }
            files = changed(&mut desk) => {
                if let Some(desk) = &mut desk {
                    desk.look_at(&files).await;
                }
            }
        }
    }
    if let Some(desk) = desk {
        desk.close().await;
    }
    drop(out);
    let _ = tokio::time::timeout(Duration::from_secs(1), writer).await;
}

async fn hear(text: &str, desk: &mut Option<Desk>, room: &Arc<Room>, out: &Out) {
    match (serde_json::from_str(text), &mut *desk) {
        (Ok(FromPage::Open(what)), old) => match Desk::open(room, out, &what, old).await {
            Ok(new) => *old = Some(new),
            Err(why) => out.fault(None, why).await,
        },
        (Ok(FromPage::Forget { unsaved }), _) => {
            // A design still open would be kept again.
            if let Some(open) = desk.take_if(|desk| desk.keeps(&unsaved)) {
                open.close().await;
            }
            room.journal.forget(&unsaved);
        }
        (Ok(said), Some(desk)) => desk.hear(said).await,
        (Ok(_), None) => out.fault(None, "open a design first").await,
        (Err(why), _) => out.fault(None, format!("not understood: {why}")).await,
    }
}

/// Files that others changed, of interest to the open design.
async fn changed(desk: &mut Option<Desk>) -> Vec<PathBuf> {
    match desk {
        Some(desk) => desk.changed().await,
        None => std::future::pending().await,
    }
}

/// How fast a page may talk: a bucket of messages that fills by so many a second.
struct Pace {
    left: f64,
    at: Instant,
}

impl Pace {
    fn new(at: Instant) -> Self {
        Self { left: AT_ONCE, at }
    }

    fn allows(&mut self, now: Instant) -> bool {
        let since = now.duration_since(self.at).as_secs_f64();
        self.left = (self.left + since * EACH_SECOND).min(AT_ONCE) - 1.0;
        self.at = now;
        self.left >= 0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_may_talk_fast_but_not_without_end() {
        let start = Instant::now();
        let steady = |each_second: f64| {
            let mut pace = Pace::new(start);
            let at = |k: u32| start + Duration::from_secs_f64(f64::from(k) / each_second);
            (0..20_000).all(|k| pace.allows(at(k)))
        };
        assert!(steady(EACH_SECOND));
        assert!(!steady(2.0 * EACH_SECOND));
    }
}
