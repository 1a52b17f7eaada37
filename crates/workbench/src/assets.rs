//! The page's files, carried by the program.

use axum::{
    body::Body,
    extract::Path,
    http::{HeaderMap, StatusCode, header},
    response::{IntoResponse, Response},
};
use base64::{Engine, engine::general_purpose::STANDARD};
use rust_embed::RustEmbed;
use sha2::{Digest, Sha256};
use std::borrow::Cow;

/// A release build carries them. A debug build reads them at every request from the source tree, or from
/// the folder that the environment variable `REEDMACE_PAGE` names.
#[derive(RustEmbed)]
#[folder = "page"]
#[exclude = "node_modules/*"]
#[exclude = "types/*"]
#[exclude = "package*.json"]
#[exclude = "tsconfig.json"]
struct Page;

/// A file of the page, or one of the report's fonts as `fonts/...`, and a mark of its content.
struct Held {
    data: Cow<'static, [u8]>,
    tag: String,
}

fn held(path: &str) -> Option<Held> {
    if let Some(name) = path.strip_prefix("fonts/") {
        let face = reedmace_report::fonts::FACES.iter().find(|face| face.file == name)?;
        return Some(Held { tag: tag(&Sha256::digest(face.data)), data: face.data.into() });
    }
    if cfg!(debug_assertions)
        && let Some(folder) = std::env::var_os("REEDMACE_PAGE")
    {
        let plain = path.split('/').all(|part| !part.is_empty() && !part.starts_with('.'));
        let data =
            plain.then(|| std::fs::read(std::path::Path::new(&folder).join(path)).ok())??;
        return Some(Held { tag: tag(&Sha256::digest(&data)), data: data.into() });
    }
    let file = Page::get(path)?;
    Some(Held { tag: tag(&file.metadata.sha256_hash()), data: file.data })
}

fn tag(hash: &[u8]) -> String {
    let digits: String = hash[..16].iter().map(|b| format!("{b:02x}")).collect();
    format!("\"{digits}\"")
}

/// In the page, stands where the number used once for its style elements goes.
const NONCE: &str = "@NONCE@";

/// `GET /`: the page, with a policy that lets in its own import map and nothing else written inline.
pub(crate) async fn index(headers: HeaderMap) -> Response {
    let (Some(file), Ok(nonce)) = (held("index.html"), crate::gate::random_hex()) else {
        return StatusCode::NOT_FOUND.into_response();
    };
    let text = String::from_utf8_lossy(&file.data).replace(NONCE, &nonce);
    let host = headers.get(header::HOST).and_then(|h| h.to_str().ok()).unwrap_or_default();
    let policy = policy(import_map(&text), host, &nonce);
    let headers = [
        (header::CONTENT_TYPE, "text/html; charset=utf-8".to_owned()),
        (header::CONTENT_SECURITY_POLICY, policy),
        (header::CACHE_CONTROL, "no-store".to_owned()),
    ];
    (headers, text).into_response()
}

/// `GET /page/...`
pub(crate) async fn file(Path(path): Path<String>, headers: HeaderMap) -> Response {
    let Some(file) = held(&path) else { return StatusCode::NOT_FOUND.into_response() };
    let tag = file.tag;
    let known =
        headers.get(header::IF_NONE_MATCH).is_some_and(|held| held.as_bytes() == tag.as_bytes());
    let head = [
        (header::ETAG, tag),
        (header::CACHE_CONTROL, "no-cache".to_owned()),
        (header::CONTENT_TYPE, content_type(&path).to_owned()),
    ];
    if known {
        return (StatusCode::NOT_MODIFIED, head).into_response();
    }
    (head, Body::from(file.data.into_owned())).into_response()
}

fn content_type(path: &str) -> &'static str {
    match path.rsplit_once('.').map_or("", |(_, ending)| ending) {
        "html" => "text/html; charset=utf-8",
        "js" | "mjs" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "json" => "application/json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "woff2" => "font/woff2",
        "txt" | "md" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

/// What stands between the tags of the import map.
fn import_map(page: &str) -> Option<&str> {
    let (_, from) = page.split_once("<script type=\"importmap\">")?;
    from.split_once("</script>").map(|(map, _)| map)
}

fn policy(import_map: Option<&str>, host: &str, nonce: &str) -> String {
    let map = import_map.map_or(String::new(), |map| {
        format!(" 'sha256-{}'", STANDARD.encode(Sha256::digest(map.as_bytes())))
    });
    format!(
        "default-src 'none'; script-src 'self'{map}; style-src 'self' 'nonce-{nonce}'; \
         img-src 'self' data: blob:; font-src 'self'; worker-src 'self'; \
         connect-src 'self' ws://{host}; base-uri 'none'; form-action 'none'; \
         frame-ancestors 'none'"
    )
}
