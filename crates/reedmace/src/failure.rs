//! Why a command could not do what was asked, how that is told, and its exit code.

use crate::{
    cli::{Diagnostics, Shared},
    output,
    tasks::{self, Diagnostic},
};
use serde_json::json;
use std::{fmt, io, path::Path, process::ExitCode};

/// A design or request with errors.
pub(crate) const FAULTY: u8 = 2;
/// As a shell tells of a program that was interrupted.
pub(crate) const INTERRUPTED: u8 = 130;
/// A file which cannot be read or written.
pub(crate) const NO_FILE: u8 = 3;

/// Why a command ends early.
#[derive(Debug)]
pub(crate) enum Failure {
    /// The design has faults; where they point into.
    Design { faults: Vec<Diagnostic>, name: String, text: String },
    /// The engine or a figure refuses, or what was asked makes no sense.
    Refused(String),
    /// A file cannot be read or written.
    File { path: String, why: io::Error },
    /// Whoever read our output has gone; nothing is left to say.
    NobodyListens,
}

impl Failure {
    /// A file and what happened to it.
    pub(crate) fn file(path: &Path, why: io::Error) -> Self {
        Self::File { path: path.display().to_string(), why }
    }

    /// Tell it on standard error (with `--json` on standard output too) and give the exit code.
    pub(crate) fn say(&self, shared: &Shared) -> ExitCode {
        let told = match self {
            Self::NobodyListens => return ExitCode::SUCCESS,
            Self::Design { faults, name, text } => {
                tell_diagnostics(faults, name, text, shared.diagnostics)
            }
            other => output::tell(&format!("{}\n", red_error(&other.to_string()))),
        };
        let shown = if shared.json { output::json(&self.as_json()) } else { Ok(()) };
        // There is no better place left to tell that telling failed.
        let _ = told.and(shown);
        ExitCode::from(match self {
            Self::File { .. } => NO_FILE,
            _ => FAULTY,
        })
    }

    /// As a machine reads it.
    pub(crate) fn as_json(&self) -> serde_json::Value {
        match self {
            Self::Design { faults, name, text } => {
                json!({ "diagnostics": tasks::diagnostics_json(faults, name, text) })
            }
            other => json!({ "error": other.to_string() }),
        }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Design { faults, name, .. } => write!(f, "{name} has {} faults", faults.len()),
            Self::Refused(why) => f.write_str(why),
            Self::File { path, why } => write!(f, "{path}: {why}"),
            Self::NobodyListens => f.write_str("nobody listens"),
        }
    }
}

/// Diagnostics in the form asked for, on standard error.
pub(crate) fn tell_diagnostics(
    diagnostics: &[Diagnostic],
    name: &str,
    text: &str,
    form: Diagnostics,
) -> Result<(), Failure> {
    if diagnostics.is_empty() {
        return Ok(());
    }
    output::tell(&match form {
        Diagnostics::Text => tasks::render_text(diagnostics, name, text),
        Diagnostics::Short => tasks::render_short(diagnostics, name, text),
        Diagnostics::Json => format!("{:#}\n", tasks::diagnostics_json(diagnostics, name, text)),
    })
}

fn red_error(message: &str) -> String {
    let red = anstyle::AnsiColor::Red.on_default().bold();
    format!("{red}error{red:#}: {message}")
}

/// A panic is a fault of ours, never of the design: say so.
pub(crate) fn explain_panics() {
    let usual = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        eprintln!("reedmace has met a fault of its own; your design is not to blame.");
        eprintln!("Please report it with the design and the lines below.");
        usual(info);
    }));
}
