//! One page with one design open: its socket, and what it says.

use crate::{
    live::{self, Good, Wish},
    room::Room,
    wire::{FromPage, ToPage},
};
use axum::extract::ws::{Message, WebSocket};
use futures_util::{SinkExt, StreamExt};
use rust_embed::RustEmbed;
use std::sync::{Arc, Mutex};
use tokio::{
    sync::{mpsc, watch},
    task::JoinSet,
};

/// What waits to be sent, at most: a slow line slows the work down instead of filling memory.
const WAITING: usize = 4;

/// The worked examples.
#[derive(RustEmbed)]
#[folder = "../../designs"]
#[include = "*.toml"]
#[exclude = "broken/*"]
pub(crate) struct Examples;

/// A design open in a page.
#[derive(Debug)]
pub(crate) struct Session {
    /// Its name in addresses.
    pub id: String,
    /// What answers call the design.
    pub name: String,
    /// The file, once there is one.
    pub file: Option<String>,
    /// The newest text without faults.
    pub good: Mutex<Option<Arc<Good>>>,
    /// What is shared with other sessions.
    pub room: Arc<Room>,
}

/// Where messages to the page go.
#[derive(Debug, Clone)]
pub(crate) struct Out(mpsc::Sender<Message>);

impl Out {
    /// Says something; without effect when nobody listens any more.
    pub async fn say(&self, words: &ToPage) {
        let text = serde_json::to_string(words).expect("messages are plain data");
        let _ = self.0.send(Message::Text(text.into())).await;
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
    });
    let mut desk: Option<Desk> = None;
    while let Some(Ok(message)) = heard.next().await {
        let text = match message {
            Message::Text(text) => text,
            Message::Close(_) => break,
            _ => continue,
        };
        match serde_json::from_str(&text) {
            Ok(FromPage::Open { file, template, example, unsaved: _ }) => {
                match Desk::open(&room, &out, file, template, example).await {
                    Ok(new) => desk = Some(new),
                    Err(why) => out.fault(None, why).await,
                }
            }
            Ok(said) => match &mut desk {
                Some(desk) => desk.hear(said).await,
                None => out.fault(None, "open a design first").await,
            },
            Err(why) => out.fault(None, format!("not understood: {why}")).await,
        }
    }
    drop(desk);
    writer.abort();
}

/// A session with what works for it; the work ends when it is dropped.
struct Desk {
    session: Arc<Session>,
    wishes: watch::Sender<Wish>,
    out: Out,
    _work: JoinSet<()>,
}

impl Desk {
    async fn open(
        room: &Arc<Room>,
        out: &Out,
        file: Option<String>,
        template: Option<String>,
        example: Option<String>,
    ) -> Result<Self, String> {
        let (name, text) = match (&file, &template, &example) {
            (Some(name), None, None) => {
                let text = room.folder.read_text(name).map_err(|why| format!("{name}: {why}"))?;
                (called(name), text)
            }
            (None, Some(name), None) => {
                let text = reedmace_design::template(name);
                (format!("{name}.toml"), text.ok_or(format!("no template `{name}`"))?.to_owned())
            }
            (None, None, Some(name)) => {
                let text = example_text(name).ok_or(format!("no example `{name}`"))?;
                (format!("{name}.toml"), text)
            }
            _ => return Err("open one file, template or example".into()),
        };
        let session = Arc::new(Session {
            id: crate::gate::random_hex().map_err(|why| why.to_string())?,
            name: name.clone(),
            file: file.clone(),
            good: Mutex::default(),
            room: room.clone(),
        });
        room.enter(&session);
        let opened = ToPage::Opened {
            session: session.id.clone(),
            file,
            name,
            text: text.clone(),
            saved: None,
            recovered: false,
        };
        out.say(&opened).await;
        let (wishes, wanted) = watch::channel(Wish::of(0, text));
        let mut work = JoinSet::new();
        live::begin(&mut work, &session, wanted, out);
        Ok(Self { session, wishes, out: out.clone(), _work: work })
    }

    async fn hear(&mut self, said: FromPage) {
        match said {
            FromPage::Text { rev, text } => self.wishes.send_modify(|wish| wish.read(rev, text)),
            FromPage::View(view) => match live::within(&view) {
                Ok(()) => self.wishes.send_modify(|wish| wish.view = Some(view)),
                Err(why) => self.out.fault(None, why).await,
            },
            _ => self.out.fault(None, format!("not yet, {}", self.session.name)).await,
        }
    }
}

/// The text of an example.
pub(crate) fn example_text(name: &str) -> Option<String> {
    let file = Examples::get(&format!("{name}.toml"))?;
    String::from_utf8(file.data.into_owned()).ok()
}

/// What an answer calls a file: its name without folders, as on the command line.
fn called(file: &str) -> String {
    file.rsplit('/').next().unwrap_or(file).to_owned()
}
