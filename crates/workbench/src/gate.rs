//! Who gets in: the token in the path, the Host and Origin of every request, and what a browser may
//! do with what it gets.

use crate::{Options, ServeError};
use axum::{
    Router,
    extract::Request,
    http::{HeaderMap, HeaderName, HeaderValue, StatusCode, header},
    middleware::{self, Next},
    response::{IntoResponse, Response},
};
use std::{
    net::{IpAddr, SocketAddr},
    sync::Arc,
};

/// The largest body of a request; nothing here takes any.
const BODY: usize = 4 * 1024;

/// The secret: the user's own, or 32 random hexadecimal digits.
pub(crate) fn token(options: &Options) -> Result<String, ServeError> {
    let allowed = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    match &options.token {
        Some(own) if own.len() >= 16 && own.chars().all(allowed) => Ok(own.clone()),
        Some(_) => Err(ServeError::Token),
        None if !options.bind.is_loopback() => Err(ServeError::Exposed(options.bind)),
        None => random_hex().map_err(|why| ServeError::Machine(why.to_string())),
    }
}

/// 32 hexadecimal digits from the system's source of randomness.
pub(crate) fn random_hex() -> Result<String, getrandom::Error> {
    let mut bytes = [0; 16];
    getrandom::fill(&mut bytes)?;
    Ok(bytes.iter().map(|b| format!("{b:02x}")).collect())
}

/// What to call an address in a browser.
pub(crate) fn named(address: SocketAddr) -> String {
    if address.ip().is_unspecified() {
        return format!("localhost:{}", address.port());
    }
    address.to_string()
}

/// The router behind the gate.
pub(crate) fn guarded(router: Router, token: &str, address: SocketAddr) -> Router {
    let gate = Arc::new(Gate { token: token.to_owned(), address });
    router
        .layer(axum::extract::DefaultBodyLimit::max(BODY))
        .layer(middleware::from_fn(move |request, next| pass(gate.clone(), request, next)))
}

struct Gate {
    token: String,
    address: SocketAddr,
}

async fn pass(gate: Arc<Gate>, request: Request, next: Next) -> Response {
    let mut response = match gate.refusal(&request) {
        Some(status) => status.into_response(),
        None => next.run(request).await,
    };
    for (name, value) in HEADERS {
        response.headers_mut().entry(name).or_insert(HeaderValue::from_static(value));
    }
    response
}

/// What every answer carries; the page's own policy, which names its scripts, stands instead of the
/// strict one here.
const HEADERS: [(HeaderName, &str); 7] = [
    (header::CONTENT_SECURITY_POLICY, "default-src 'none'; frame-ancestors 'none'; sandbox"),
    (header::REFERRER_POLICY, "no-referrer"),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::X_FRAME_OPTIONS, "DENY"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    (header::CACHE_CONTROL, "no-store"),
];

impl Gate {
    /// Why a request goes no further.
    fn refusal(&self, request: &Request) -> Option<StatusCode> {
        let headers = request.headers();
        let Some(host) = self.host(headers) else { return Some(StatusCode::MISDIRECTED_REQUEST) };
        let path = request.uri().path().strip_prefix('/').unwrap_or_default().as_bytes();
        let (secret, rest) = path.split_at_checked(self.token.len()).unwrap_or_default();
        if !same(secret, self.token.as_bytes()) || rest.first() != Some(&b'/') {
            return Some(StatusCode::NOT_FOUND);
        }
        let socket = headers.contains_key(header::UPGRADE);
        let home = |origin: &HeaderValue| origin.as_bytes() == format!("http://{host}").as_bytes();
        match headers.get(header::ORIGIN) {
            Some(origin) => (!home(origin)).then_some(StatusCode::FORBIDDEN),
            None => socket.then_some(StatusCode::FORBIDDEN),
        }
    }

    /// The Host, if it is one of ours: an address, which no foreign name can be made to mean, or
    /// `localhost`, with our port.
    fn host<'h>(&self, headers: &'h HeaderMap) -> Option<&'h str> {
        let host = headers.get(header::HOST)?.to_str().ok()?;
        let (name, port) = host.rsplit_once(':')?;
        if port.parse() != Ok(self.address.port()) {
            return None;
        }
        let address = name.trim_start_matches('[').trim_end_matches(']').parse::<IpAddr>();
        let ours = match address {
            Ok(ip) if self.address.ip().is_loopback() => ip.is_loopback(),
            Ok(_) => true,
            Err(_) => name == "localhost",
        };
        ours.then_some(host)
    }
}

/// Equal, in a time that does not tell where they differ.
fn same(a: &[u8], b: &[u8]) -> bool {
    a.len() == b.len() && a.iter().zip(b).fold(0, |seen, (x, y)| seen | (x ^ y)) == 0
}
