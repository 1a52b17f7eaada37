//! What the server answers over HTTP.

use crate::{
    assets,
    desk::{Examples, example_text},
    room::Room,
    session,
};
use axum::{
    Json, Router,
    extract::{State, WebSocketUpgrade},
    http::StatusCode,
    response::Response,
    routing::{any, get},
};
use schemars::JsonSchema;
use serde::Serialize;
use std::{sync::Arc, time::SystemTime};

/// The longest message a page may send.
const MESSAGE: usize = 1 << 20;

/// Everything that is served, below `/TOKEN`.
pub(crate) fn router(room: Arc<Room>, token: &str) -> Router {
    let at = |path: &str| format!("/{token}{path}");
    Router::new()
        .route(&at("/"), get(assets::index))
        .route(&at("/page/{*path}"), get(assets::file))
        .route(&at("/api/start"), get(start))
        .route(&at("/api/schema"), get(async || Json(reedmace_design::json_schema())))
        .route(&at("/api/live"), any(live))
        .fallback(async || StatusCode::NOT_FOUND)
        .with_state(room)
}

async fn live(upgrade: WebSocketUpgrade, State(room): State<Arc<Room>>) -> Response {
    upgrade
        .max_message_size(MESSAGE)
        .max_frame_size(MESSAGE)
        .on_upgrade(move |socket| session::talk(socket, room))
}

/// What the start page offers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Start {
    /// The folder's own name.
    pub folder: String,
    /// The design to open at once, if the command line named one.
    pub open: Option<String>,
    /// Every design of the folder, by name.
    pub files: Vec<File>,
    /// Designs to begin with.
    pub templates: Vec<Sample>,
    /// Worked examples.
    pub examples: Vec<Sample>,
}

/// A design of the folder.
#[derive(Debug, Serialize, JsonSchema)]
pub struct File {
    /// Its name.
    pub name: String,
    /// Its title, as far as it can be read.
    pub title: Option<String>,
    /// What is wrong with it, if something is.
    pub problem: Option<String>,
    /// When it was last written, seconds since 1970.
    pub modified: Option<u64>,
}

/// A template or an example.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Sample {
    /// What to open it by.
    pub name: String,
    /// Its title.
    pub title: String,
    /// What it is about, a sentence.
    pub summary: String,
}

async fn start(State(room): State<Arc<Room>>) -> Result<Json<Start>, StatusCode> {
    let gathered = tokio::task::spawn_blocking(move || gather(&room)).await;
    gathered.ok().flatten().map(Json).ok_or(StatusCode::NOT_FOUND)
}

fn gather(room: &Room) -> Option<Start> {
    let folder = room.folder.root().file_name().unwrap_or_default().to_string_lossy().into_owned();
    let files = room.folder.list().ok()?.into_iter().map(|listed| {
        let parsed = room.folder.read_text(&listed.name).map(|text| room.parse(&text).result);
        let (title, problem) = match parsed {
            Ok(Ok((design, _))) => (Some(design.title), None),
            Ok(Err(faults)) => (None, faults.first().map(|fault| fault.message.clone())),
            Err(why) => (None, Some(why.to_string())),
        };
        let since = |at: SystemTime| at.duration_since(SystemTime::UNIX_EPOCH).ok();
        let modified = listed.modified.and_then(since).map(|t| t.as_secs());
        File { name: listed.name, title, problem, modified }
    });
    let files = files.collect();
    let templates = reedmace_design::TEMPLATES.iter().map(|(name, text)| sample(name, text));
    let mut examples: Vec<Sample> = Examples::iter()
        .filter_map(|file| {
            let name = file.strip_suffix(".toml")?;
            Some(sample(name, &example_text(name)?))
        })
        .collect();
    examples.sort_by(|a, b| a.name.cmp(&b.name));
    Some(Start {
        folder,
        open: room.folder.first().map(Into::into),
        files,
        templates: templates.collect(),
        examples,
    })
}

/// A sample by its text, whose first comment says what it is about.
fn sample(name: &str, text: &str) -> Sample {
    let nothing = |_: &str| Err(std::io::ErrorKind::NotFound.into());
    let title = reedmace_design::parse(text, &nothing).map(|(design, _)| design.title);
    let first = text.lines().next().unwrap_or_default();
    Sample {
        name: name.into(),
        title: title.unwrap_or_else(|_| name.into()),
        summary: first.trim_start_matches("# ").into(),
    }
}
