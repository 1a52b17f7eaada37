//! The workbench: one local page that shows a design, its arrangement and its answers while it is
//! worked on.
//!
//! [`start`] listens on an address whose path begins with a secret token and serves the page, the
//! folder's designs and one WebSocket for each open design. Every number comes from
//! [`reedmace_engine`], so that the page and the command line cannot disagree.
//!
//! What may be asked and what is answered is in [`wire`].

mod api;
mod assets;
mod crew;
mod desk;
mod edits;
mod export;
mod folder;
mod form;
mod gate;
mod journal;
mod live;
pub mod openapi;
mod outside;
mod paper;
mod recent;
mod room;
mod said;
mod session;
mod settled;
mod turns;
pub mod wire;

pub use settled::settled;

use axum::serve::ListenerExt;
use reedmace_design::Catalogue;
use std::{io, net::IpAddr, net::SocketAddr, path::PathBuf, sync::Arc};
use tokio::{net::TcpListener, runtime::Runtime, sync::oneshot};

/// What to serve, and to whom.
#[derive(Debug, Clone)]
pub struct Options {
    /// A design to open at once, or the folder whose designs are offered.
    pub path: PathBuf,
    /// The address to listen on.
    pub bind: IpAddr,
    /// The port; 0 takes any that is free.
    pub port: u16,
    /// The secret in the address; `None` draws one.
    pub token: Option<String>,
    /// Families and magnets a design may name.
    pub catalogue: Catalogue,
    /// Where edits that are not saved yet are kept; `None` keeps none.
    pub state: Option<PathBuf>,
}

/// Where this user's programs keep what they remember: the usual place for [`Options::state`].
pub fn usual_state() -> Option<PathBuf> {
    dirs::state_dir().or_else(dirs::data_local_dir).map(|folder| folder.join("reedmace"))
}

/// Why nothing is served.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The folder or file cannot be read.
    #[error("{path}: {why}", path = path.display())]
    Path {
        /// Which.
        path: PathBuf,
        /// Why.
        why: io::Error,
    },
    /// The address cannot be listened on.
    #[error("cannot listen on {at}: {why}")]
    Listen {
        /// Where.
        at: SocketAddr,
        /// Why.
        why: io::Error,
    },
    /// Other machines could reach it, and nobody chose the token.
    #[error(
        "{0} can be reached by other machines, and the address is sent to them unencrypted: choose \
         the secret yourself with --token, or leave --bind out to serve this machine only"
    )]
    Exposed(IpAddr),
    /// A token that is too easily guessed or cannot stand in an address.
    #[error("a token has at least 16 letters, digits, `-` or `_`")]
    Token,
    /// The machine gives no threads or random numbers.
    #[error("{0}")]
    Machine(String),
}

/// A workbench being served; it stops when dropped.
#[derive(Debug)]
pub struct Workbench {
    url: String,
    stop: Option<oneshot::Sender<()>>,
    ended: Option<oneshot::Receiver<()>>,
    runtime: Option<Runtime>,
}

/// Starts serving and returns at once.
///
/// # Errors
/// [`ServeError`]: a path that cannot be read, an address that cannot be listened on or would be open to
/// others, a token that is no secret.
pub fn start(options: Options) -> Result<Workbench, ServeError> {
    let token = gate::token(&options)?;
    let folder = folder::Folder::open(&options.path)?;
    let machine = |why: &dyn std::fmt::Display| ServeError::Machine(why.to_string());
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .thread_name("workbench")
        .build()
        .map_err(|why| machine(&why))?;
    let at = SocketAddr::new(options.bind, options.port);
    let listen = |why| ServeError::Listen { at, why };
    let listener = runtime.block_on(TcpListener::bind(at)).map_err(listen)?;
    let address = listener.local_addr().map_err(listen)?;
    let url = format!("http://{}/{token}/", gate::named(address));
    let room = Arc::new(room::Room::new(folder, options.catalogue, options.state)?);
    let router = gate::guarded(api::router(room, &token), &token, address);
    // A small message after another must not wait until the first is acknowledged.
    let listener = listener.tap_io(|line| {
        let _ = line.set_nodelay(true);
    });
    let (stop, stopped) = oneshot::channel();
    let (end, ended) = oneshot::channel();
    runtime.spawn(async move {
        tokio::select! {
            served = axum::serve(listener, router).into_future() => drop(served),
            _ = stopped => (),
        }
        let _ = end.send(());
    });
    Ok(Workbench { url, stop: Some(stop), ended: Some(ended), runtime: Some(runtime) })
}

use std::future::IntoFuture;

impl Workbench {
    /// The address to open in a browser, with its secret.
    pub fn url(&self) -> &str {
        &self.url
    }

    /// Serves until the process is told to stop (interrupt or terminate).
    pub fn wait(mut self) {
        let Some(ended) = self.ended.take() else { return };
        if let Some(runtime) = &self.runtime {
            runtime.block_on(async {
                tokio::select! {
                    _ = ended => (),
                    () = told_to_stop() => (),
                }
            });
        }
    }
}

impl Drop for Workbench {
    fn drop(&mut self) {
        if let Some(stop) = self.stop.take() {
            let _ = stop.send(());
        }
        if let Some(runtime) = self.runtime.take() {
            runtime.shutdown_background();
        }
    }
}

/// Resolves when the user or the system wants the process to end.
async fn told_to_stop() {
    let interrupt = tokio::signal::ctrl_c();
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut terminate) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = interrupt => (),
                _ = terminate.recv() => (),
            }
            return;
        }
    }
    let _ = interrupt.await;
}
