//! What the server answers over HTTP.

use crate::{
    assets, export, openapi,
    paper::{self, Examples, example_text},
    room::Room,
    said, session,
    wire::Open,
};
use axum::{
    Json, Router,
    extract::{Query, Request, State, WebSocketUpgrade},
    http::{StatusCode, header},
    middleware::{self, Next},
    response::{IntoResponse, Response},
    routing::get,
};
use reedmace_report::figures;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::{
    sync::{Arc, atomic::AtomicBool, atomic::Ordering},
    time::SystemTime,
};

/// The longest message a page may send.
const MESSAGE: usize = 1 << 20;
/// The longest address that is read.
const ADDRESS: usize = 2048;

/// Everything that is served, below `/TOKEN`.
pub(crate) fn router(room: Arc<Room>, token: &str) -> Router {
    let at = |path: &str| format!("/{token}{path}");
    let worked = Router::new()
        .route(&at("/api/start"), get(start))
        .route(&at("/api/thumbnail"), get(thumbnail))
        .route(&at("/api/export/{what}"), get(export::export))
        .route(&at("/api/convert"), get(said::convert))
        .layer(middleware::from_fn_with_state(room.clone(), a_few_at_a_time));
    Router::new()
        .route(&at("/"), get(assets::index))
        .route(&at("/page/{*path}"), get(assets::file))
        .route(&at("/api/schema"), get(async || Json(reedmace_design::json_schema())))
        .route(&at("/api/openapi.json"), get(async || Json(openapi::document())))
        .route(&at("/api/live"), get(live))
        .merge(worked)
        .fallback(async || StatusCode::NOT_FOUND)
        .layer(middleware::from_fn(no_endless_address))
        .with_state(room)
}

async fn no_endless_address(request: Request, next: Next) -> Response {
    let uri = request.uri();
    let length = uri.path().len() + uri.query().map_or(0, str::len);
    if length > ADDRESS {
        StatusCode::URI_TOO_LONG.into_response()
    } else {
        next.run(request).await
    }
}

/// Lets some requests that take work wait, and turns further ones away.
async fn a_few_at_a_time(State(room): State<Arc<Room>>, request: Request, next: Next) -> Response {
    let Some(turn) = room.turns.wait().await else {
        let wait = [(header::RETRY_AFTER, "1")];
        return (StatusCode::TOO_MANY_REQUESTS, wait).into_response();
    };
    let response = next.run(request).await;
    drop(turn);
    response
}

async fn live(upgrade: WebSocketUpgrade, State(room): State<Arc<Room>>) -> Response {
    let Ok(seat) = room.seats.clone().try_acquire_owned() else {
        return StatusCode::SERVICE_UNAVAILABLE.into_response();
    };
    upgrade.max_message_size(MESSAGE).max_frame_size(MESSAGE).on_upgrade(async move |socket| {
        session::talk(socket, room).await;
        drop(seat);
    })
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
    /// Names of those opened last, the last one first.
    pub recent: Vec<String>,
    /// Edits of designs that have no file yet, the newest first.
    pub unsaved: Vec<Unsaved>,
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
    /// True when there are edits of it that were never saved.
    pub edited: bool,
}

/// Edits that were never saved.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Unsaved {
    /// What to open them by.
    pub key: String,
    /// What the design would be called.
    pub name: String,
    /// When they were made, seconds since 1970.
    pub modified: u64,
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

async fn start(State(room): State<Arc<Room>>) -> Response {
    match tokio::task::spawn_blocking(move || gather(&room)).await {
        Ok(Ok(start)) => Json(start).into_response(),
        Ok(Err(why)) => export::refused(&why.to_string()),
        Err(why) => (StatusCode::INTERNAL_SERVER_ERROR, why.to_string()).into_response(),
    }
}

fn gather(room: &Room) -> std::io::Result<Start> {
    let folder = room.folder.root().file_name().unwrap_or_default().to_string_lossy().into_owned();
    let kept = room.journal.list();
    let files = room.folder.list()?.into_iter().map(|listed| {
        let parsed = room.folder.read_text(&listed.name).map(|text| room.parse(&text).result);
        let (title, problem) = match parsed {
            Ok(Ok((design, _))) => (Some(design.title), None),
            Ok(Err(faults)) => (None, faults.first().map(|fault| fault.message.clone())),
            Err(why) => (None, Some(why.to_string())),
        };
        let since = |at: SystemTime| at.duration_since(SystemTime::UNIX_EPOCH).ok();
        let modified = listed.modified.and_then(since).map(|t| t.as_secs());
        let edited = kept.iter().any(|(_, entry)| entry.file.as_ref() == Some(&listed.name));
        File { name: listed.name, title, problem, modified, edited }
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
    let unsaved = kept.iter().filter(|(_, entry)| entry.file.is_none()).map(|(key, entry)| {
        Unsaved { key: key.clone(), name: entry.name.clone(), modified: entry.at }
    });
    Ok(Start {
        folder,
        open: room.folder.first().map(Into::into),
        files,
        recent: room.recent.list(),
        unsaved: unsaved.collect(),
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

/// Of which design a small picture is wanted: exactly one of the four.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct Pictured {
    /// A file of the folder.
    pub file: Option<String>,
    /// A template's name.
    pub template: Option<String>,
    /// An example's name.
    pub example: Option<String>,
    /// The key of edits that were never saved.
    pub unsaved: Option<String>,
    /// True for a dark page.
    #[serde(default)]
    pub dark: bool,
}

async fn thumbnail(State(room): State<Arc<Room>>, Query(of): Query<Pictured>) -> Response {
    let Pictured { file, template, example, unsaved, dark } = of;
    let open = Open { file, template, example, unsaved };
    let here = export::Here(Arc::new(AtomicBool::new(true)));
    let still = here.0.clone();
    let painting = room.clone();
    let job = move |pause: &(dyn Fn() + Sync)| {
        // Edits forgotten while their picture was asked for are no fault of whoever asked.
        if paper::is_forgotten(&painting, &open) {
            return Ok(None);
        }
        let text = paper::text_of(&painting, &open)?;
        let (design, _) = painting.parse(&text).result.map_err(|_| "the design has faults")?;
        pause();
        let drawing = painting.bench().coarse().drawing(&design).map_err(|why| why.to_string())?;
        Ok::<_, String>(Some(figures::thumbnail(&drawing, dark)))
    };
    match room.crew.steady(move || still.load(Ordering::Relaxed), job).await {
        Ok(Ok(None)) => StatusCode::NO_CONTENT.into_response(),
        Ok(Ok(Some(svg))) => {
            let head = [
                (header::CONTENT_TYPE, "image/svg+xml"),
                (header::CONTENT_SECURITY_POLICY, export::FILE_POLICY),
            ];
            (head, svg).into_response()
        }
        Ok(Err(why)) => export::refused(&why),
        Err(_) => StatusCode::INTERNAL_SERVER_ERROR.into_response(),
    }
}
