//! What is taken away: the report, maps, tables, the region in space, the design itself.

use crate::{
    crew::Ended,
    desk::Session,
    live::{Good, REGION_PLACES, request},
};
use axum::{
    extract::{Path, Query, State},
    http::{HeaderValue, StatusCode, header},
    response::{IntoResponse, Response},
};
use reedmace_engine::{EngineError, MapRequest, Study, Surface};
use reedmace_report::{Sheet, csv, figures, png};
use schemars::JsonSchema;
use serde::Deserialize;
use std::{
    io,
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
};

/// Pixels of a bitmap per pixel of the page: sharp on paper and on fine screens.
const BITMAP_SCALE: f32 = 2.0;

/// Whose export, and of what.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct Wanted {
    /// The session, as `opened` named it.
    pub session: String,
    /// Index of the contact a table is of.
    #[serde(default)]
    pub contact: u16,
}

/// What may be taken away: name in the address, ending of its file, its type.
pub(crate) const EXPORTS: [(&str, &str, &str); 9] = [
    ("report", "report.html", "text/html; charset=utf-8"),
    ("map.svg", "map.svg", "image/svg+xml"),
    ("map.png", "map.png", "image/png"),
    ("map.csv", "map.csv", "text/csv; charset=utf-8"),
    ("trace.csv", "trace.csv", "text/csv; charset=utf-8"),
    ("calibration.csv", "calibration.csv", "text/csv; charset=utf-8"),
    ("region.stl", "region.stl", "model/stl"),
    ("design", "toml", "application/toml"),
    ("answer.json", "answer.json", "application/json"),
];

/// `GET /api/export/{what}`: of the session's newest text without faults.
pub(crate) async fn export(
    State(room): State<Arc<crate::room::Room>>,
    Path(what): Path<String>,
    Query(wanted): Query<Wanted>,
) -> Response {
    let Some((_, ending, kind)) = EXPORTS.iter().find(|(name, ..)| *name == what) else {
        return StatusCode::NOT_FOUND.into_response();
    };
    let Some(session) = room.session(&wanted.session) else {
        return StatusCode::NOT_FOUND.into_response();
    };
    let Some(good) = session.good() else {
        return refused("the design has faults; mend them first");
    };
    let contact = usize::from(wanted.contact);
    if contact >= good.design.contacts.len() {
        return refused("there is no such contact");
    }
    match made(&session, &good, &what, contact).await {
        Ok(bytes) => attached(&session.name(), ending, kind, bytes),
        Err(Unmade::Refused(why)) => refused(&why),
        Err(Unmade::Ended(Ended::Broken(why))) => {
            session.room.clear_bench();
            (StatusCode::INTERNAL_SERVER_ERROR, why).into_response()
        }
        Err(Unmade::Ended(Ended::Unwanted)) => StatusCode::NO_CONTENT.into_response(),
    }
}

/// Why there is no file.
enum Unmade {
    /// It cannot be.
    Refused(String),
    /// The work did not end.
    Ended(Ended),
}

impl From<Ended> for Unmade {
    fn from(why: Ended) -> Self {
        Self::Ended(why)
    }
}

async fn made(
    session: &Arc<Session>,
    good: &Arc<Good>,
    what: &str,
    contact: usize,
) -> Result<Vec<u8>, Unmade> {
    if what == "design" {
        return Ok(good.design.text.clone().into_bytes());
    }
    let bench = session.room.bench();
    let view = session.view().filter(|view| view.contact < good.design.contacts.len());
    let (design, what) = (good.design.clone(), what.to_owned());
    let study = match what.as_str() {
        "report" | "map.svg" | "map.png" | "trace.csv" | "calibration.csv" | "answer.json" => {
            Some(study(session, good).await?)
        }
        _ => None,
    };
    let made = at_leisure(session, move |step| {
        let region_bench = if design.steel.is_empty() { bench.clone() } else { bench.coarse() };
        let map = |request: &MapRequest| bench.map(&design, request, step);
        let seen = || view.as_ref().map(|view| request(view, &design));
        match (what.as_str(), &study) {
            ("report", Some(study)) => report(study, &map),
            ("map.svg" | "map.png", Some(study)) => {
                let request = seen().or_else(|| MapRequest::for_report(study));
                let request = request.ok_or_else(no_map)?;
                let (answer, drawing) = (&study.answer, &study.drawing);
                let svg = figures::map(answer, drawing, &map(&request)?, &today());
                if what == "map.svg" { Ok(svg.into_bytes()) } else { bitmap(&svg) }
            }
            ("map.csv", _) => {
                let request = seen().ok_or_else(no_map)?;
                Ok(csv::map(&map(&request)?).into_bytes())
            }
            ("trace.csv", Some(study)) => {
                let answer = &study.answer;
                Ok(csv::trace(answer, &answer.contacts[contact]).into_bytes())
            }
            ("calibration.csv", Some(study)) => csv::calibration(&study.answer)
                .map(String::into_bytes)
                .ok_or_else(|| Failed("only a level sweep has a calibration".into())),
            ("region.stl", _) => {
                let region = region_bench.region(&design, contact, REGION_PLACES, step)?;
                stl(&region.closes)
            }
            ("answer.json", Some(study)) => {
                serde_json::to_vec_pretty(&study.answer).map_err(|why| Failed(why.to_string()))
            }
            _ => Err(Failed("there is no such export".into())),
        }
    });
    made.await?.map_err(|Failed(why)| Unmade::Refused(why))
}

/// Why a file cannot be made.
struct Failed(String);

impl From<EngineError> for Failed {
    fn from(why: EngineError) -> Self {
        Self(why.to_string())
    }
}

fn no_map() -> Failed {
    Failed("look at a plane first, so that there is a map to take away".into())
}

/// The whole answer of a text: the one there is, the one being computed, or a new one.
async fn study(session: &Arc<Session>, good: &Arc<Good>) -> Result<Arc<Study>, Unmade> {
    let computed = good.study.get_or_try_init(|| async {
        let (design, name, bench) = (good.design.clone(), session.name(), session.room.bench());
        let job = move |step: &(dyn Fn(u64, u64) + Sync)| {
            bench.check(&design, &name, &reedmace_engine::Options::default(), step)
        };
        match at_leisure(session, job).await {
            Ok(Ok(study)) => Ok(Arc::new(study)),
            Ok(Err(why)) => Err(Unmade::Refused(why.to_string())),
            Err(why) => Err(Unmade::Ended(why)),
        }
    });
    computed.await.cloned()
}

/// Work for somebody who waits; it is given up when he goes.
pub(crate) async fn at_leisure<T: Send + 'static>(
    session: &Session,
    work: impl FnOnce(&(dyn Fn(u64, u64) + Sync)) -> T + Send + 'static,
) -> Result<T, Ended> {
    let here = Here(Arc::new(AtomicBool::new(true)));
    let still = here.0.clone();
    let wanted = move || still.load(Ordering::Relaxed);
    session.room.crew.steady(wanted, move |pause| work(&|_, _| pause())).await
}

/// Somebody who waits for an answer.
pub(crate) struct Here(pub(crate) Arc<AtomicBool>);

impl Drop for Here {
    fn drop(&mut self) {
        self.0.store(false, Ordering::Relaxed);
    }
}

type MapOf<'m> = dyn Fn(&MapRequest) -> Result<reedmace_engine::Map, EngineError> + 'm;

fn report(study: &Study, map: &MapOf<'_>) -> Result<Vec<u8>, Failed> {
    let map = MapRequest::for_report(study).map(|request| map(&request)).transpose()?;
    let page = reedmace_report::html(&Sheet {
        answer: &study.answer,
        drawing: &study.drawing,
        design_text: &study.design_text,
        map: map.as_ref(),
        spread: None,
        date: &today(),
    });
    Ok(page.into_bytes())
}

fn today() -> String {
    jiff::ZonedDateTime::now().date().to_string()
}

fn bitmap(svg: &str) -> Result<Vec<u8>, Failed> {
    png(svg, BITMAP_SCALE).map_err(|why| Failed(why.to_string()))
}

/// A surface as binary STL, mm.
fn stl(surface: &Surface) -> Result<Vec<u8>, Failed> {
    let corner = |k: u32| {
        let point = surface.points[k as usize];
        stl_io::Vertex::new(point.map(|v| v as f32))
    };
    let triangles: Vec<stl_io::Triangle> = surface
        .triangles
        .iter()
        .map(|corners| {
            let [a, b, c] = corners.map(|k| surface.points[k as usize]);
            let (u, v): ([f64; 3], [f64; 3]) =
                (std::array::from_fn(|i| b[i] - a[i]), std::array::from_fn(|i| c[i] - a[i]));
            let n =
                [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
            let size = n.iter().map(|x| x * x).sum::<f64>().sqrt().max(f64::MIN_POSITIVE);
            stl_io::Triangle {
                normal: stl_io::Normal::new(n.map(|x| (x / size) as f32)),
                vertices: corners.map(corner),
            }
        })
        .collect();
    let mut bytes = io::Cursor::new(Vec::new());
    stl_io::write_stl(&mut bytes, triangles.iter()).map_err(|why| Failed(why.to_string()))?;
    Ok(bytes.into_inner())
}

/// A file to be saved under the design's name.
fn attached(name: &str, ending: &str, kind: &'static str, bytes: Vec<u8>) -> Response {
    let stem = name.strip_suffix(".toml").unwrap_or(name);
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.');
    let ascii: String = stem.chars().map(|c| if plain(c) { c } else { '_' }).collect();
    let whole: String = stem
        .bytes()
        .map(|b| if plain(b.into()) { char::from(b).to_string() } else { format!("%{b:02X}") })
        .collect();
    let disposition =
        format!("attachment; filename=\"{ascii}.{ending}\"; filename*=UTF-8''{whole}.{ending}");
    let mut response = (
        [
            (header::CONTENT_TYPE, HeaderValue::from_static(kind)),
            (header::CONTENT_SECURITY_POLICY, HeaderValue::from_static(FILE_POLICY)),
        ],
        bytes,
    )
        .into_response();
    if let Ok(disposition) = disposition.parse() {
        response.headers_mut().insert(header::CONTENT_DISPOSITION, disposition);
    }
    response
}

/// What a file that is looked at all the same may do: show its own style, fonts and pictures.
pub(crate) const FILE_POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; \
     img-src data:; font-src data:; frame-ancestors 'none'; sandbox";

/// What cannot be made, with the reason.
pub(crate) fn refused(why: &str) -> Response {
    let reason = serde_json::json!({ "error": why });
    (StatusCode::UNPROCESSABLE_ENTITY, axum::Json(reason)).into_response()
}
