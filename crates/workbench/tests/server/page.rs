//! A page without a picture: says things and hears them.

use crate::served::{Served, TOKEN};
use serde_json::{Value, json};
use std::{
    net::TcpStream,
    sync::LazyLock,
    time::{Duration, Instant},
};
use tungstenite::{ClientRequestBuilder, Error, Message, WebSocket, http::Uri};

/// Longest wait for anything.
const PATIENCE: Duration = Duration::from_secs(180);

static SCHEMA: LazyLock<Value> = LazyLock::new(reedmace_workbench::wire::schema);

/// Whether a message is what the schema says of it.
fn check(kind: &str, message: &Value) {
    let mut schema = SCHEMA.clone();
    schema["$ref"] = json!(format!("#/$defs/{kind}"));
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    if let Err(why) = validator.validate(message) {
        panic!("not what the schema says: {why}\n{message:#}");
    }
}

/// The head of a map or region and what follows it.
pub struct Frame {
    pub head: Value,
    pub numbers: Vec<f32>,
}

/// What came over the line.
pub enum Heard {
    Said(Value),
    Frame(Frame),
    Closed,
}

pub struct Page {
    line: WebSocket<TcpStream>,
    /// The text of messages as they came, for those who compare every digit.
    pub last_text: String,
}

impl Page {
    /// A page that has opened nothing yet.
    pub fn new(served: &Served) -> Self {
        Self::with_origin(served, Some(&format!("http://{}", served.host()))).expect("a socket")
    }

    pub fn with_origin(served: &Served, origin: Option<&str>) -> Result<Self, u16> {
        let address = format!("ws://{}/{TOKEN}/api/live", served.host());
        let mut request = ClientRequestBuilder::new(address.parse::<Uri>().unwrap());
        if let Some(origin) = origin {
            request = request.with_header("Origin", origin);
        }
        let stream = TcpStream::connect(("127.0.0.1", served.port)).unwrap();
        match tungstenite::client(request, stream) {
            Ok((line, _)) => {
                line.get_ref().set_read_timeout(Some(Duration::from_millis(100))).unwrap();
                Ok(Self { line, last_text: String::new() })
            }
            Err(tungstenite::HandshakeError::Failure(Error::Http(answer))) => {
                Err(answer.status().as_u16())
            }
            Err(why) => panic!("{why}"),
        }
    }

    /// A page with a file of the folder open.
    pub fn with_file(served: &Served, file: &str) -> (Self, Value) {
        let mut page = Self::new(served);
        page.say(json!({ "say": "open", "file": file }));
        let opened = page.hear("opened");
        (page, opened)
    }

    pub fn say(&mut self, message: Value) {
        check("FromPage", &message);
        self.send(&message.to_string());
    }

    pub fn send(&mut self, text: &str) {
        self.line.send(Message::text(text)).expect("the server listens");
    }

    pub fn send_bytes(&mut self, bytes: Vec<u8>) {
        self.line.send(Message::binary(bytes)).expect("the server listens");
    }

    pub fn try_send(&mut self, text: &str) -> bool {
        self.line.send(Message::text(text)).is_ok()
    }

    pub fn text(&mut self, rev: u64, text: &str) {
        self.say(json!({ "say": "text", "rev": rev, "text": text }));
    }

    /// The next thing that comes within the time.
    pub fn next(&mut self, within: Duration) -> Option<Heard> {
        let end = Instant::now() + within;
        loop {
            match self.line.read() {
                Ok(Message::Text(text)) => {
                    let said: Value = serde_json::from_str(&text).expect("JSON");
                    check("ToPage", &said);
                    self.last_text = text.to_string();
                    return Some(Heard::Said(said));
                }
                Ok(Message::Binary(bytes)) => return Some(Heard::Frame(frame(&bytes))),
                Ok(Message::Close(_)) | Err(Error::ConnectionClosed | Error::AlreadyClosed) => {
                    return Some(Heard::Closed);
                }
                Err(Error::Protocol(_)) => return Some(Heard::Closed),
                Ok(_) => (),
                Err(Error::Io(why)) if why.kind() == std::io::ErrorKind::WouldBlock => {
                    if Instant::now() > end {
                        return None;
                    }
                }
                Err(Error::Io(_)) => return Some(Heard::Closed),
                Err(why) => panic!("{why}"),
            }
        }
    }

    /// The next message that `wanted` accepts; others are passed over, faults are not.
    pub fn until(&mut self, wanted: impl Fn(&Value) -> bool) -> Value {
        let end = Instant::now() + PATIENCE;
        while Instant::now() < end {
            match self.next(PATIENCE) {
                Some(Heard::Said(said)) if wanted(&said) => return said,
                Some(Heard::Said(said)) => assert_ne!(said["say"], "fault", "{said}"),
                Some(Heard::Frame(_)) => (),
                Some(Heard::Closed) => panic!("the server hung up"),
                None => break,
            }
        }
        panic!("not heard in time");
    }

    /// The next message of that kind.
    pub fn hear(&mut self, kind: &str) -> Value {
        self.until(|said| said["say"] == kind)
    }

    /// The next message of that kind about a text.
    pub fn hear_of(&mut self, kind: &str, rev: u64) -> Value {
        self.until(|said| said["say"] == kind && said["rev"] == rev)
    }

    /// The next frame that `wanted` accepts.
    pub fn frame(&mut self, wanted: impl Fn(&Value) -> bool) -> Frame {
        let end = Instant::now() + PATIENCE;
        while Instant::now() < end {
            match self.next(PATIENCE) {
                Some(Heard::Frame(frame)) if wanted(&frame.head) => return frame,
                Some(Heard::Closed) => panic!("the server hung up"),
                Some(_) => (),
                None => break,
            }
        }
        panic!("no frame in time");
    }
}

fn frame(bytes: &[u8]) -> Frame {
    let length = u32::from_le_bytes(bytes[..4].try_into().unwrap()) as usize;
    let head: Value = serde_json::from_slice(&bytes[4..4 + length]).expect("JSON");
    check(if head["say"] == "map" { "MapHeader" } else { "RegionHeader" }, &head);
    let body = &bytes[(4 + length).next_multiple_of(8)..];
    let number = |four: &[u8]| f32::from_le_bytes(four.try_into().unwrap());
    Frame { head, numbers: body.chunks_exact(4).map(number).collect() }
}

/// A text with a patch made, places counted in UTF-16 as an editor does.
pub fn patched(text: &str, patch: &Value) -> String {
    let units: Vec<u16> = text.encode_utf16().collect();
    let mut new: Vec<u16> = Vec::new();
    let mut at = 0;
    for change in patch["changes"].as_array().expect("changes") {
        let place = |key: &str| change[key].as_u64().expect("a place") as usize;
        new.extend(&units[at..place("from")]);
        new.extend(change["insert"].as_str().expect("a text").encode_utf16());
        at = place("to");
    }
    new.extend(&units[at..]);
    String::from_utf16(&new).expect("text")
}
