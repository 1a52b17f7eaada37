//! `reedmace serve`

use crate::{cli::Shared, failure::Failure, output, tasks};
use clap::Args;
use serde_json::json;
use std::{
    net::IpAddr,
    path::PathBuf,
    process::{Command, ExitCode, Stdio},
};

/// Open the workbench: a local page to work on designs, with the same answers as here.
#[derive(Debug, Args)]
#[command(after_help = "\
The address printed holds a secret, new at every start unless --token gives it. Whoever has it can
read and write the designs of the folder, and nothing outside it. Nobody else gets anything, also
on this machine; other machines are let in with --bind and --token only, over a line that is not
encrypted.

Edits are written to their file when they are saved. Until then they are kept in the user's state
folder, at most a second behind, and offered again after a crash.

Examples:
  reedmace serve lid.toml --open
  reedmace serve designs/
  reedmace serve designs/ --bind 192.168.7.20 --port 8700 --token field-office-1234567")]
pub(crate) struct Serve {
    /// A design to open at once, or the folder whose designs are offered.
    #[arg(default_value = ".")]
    path: PathBuf,
    /// The port; 0 takes any that is free.
    #[arg(long, value_name = "NUMBER", default_value_t = 0)]
    port: u16,
    /// The address to listen on. Beyond this machine it needs --token.
    #[arg(long, value_name = "ADDRESS", default_value = "127.0.0.1")]
    bind: IpAddr,
    /// The secret in the address: at least 16 letters, digits, `-` or `_` [default: a random one].
    #[arg(long, value_name = "TEXT")]
    token: Option<String>,
    /// Open the page in the browser.
    #[arg(long)]
    open: bool,
}

impl Serve {
    pub(crate) fn run(&self, shared: &Shared) -> Result<ExitCode, Failure> {
        let workbench = tasks::serve(reedmace_workbench::Options {
            path: self.path.clone(),
            bind: self.bind,
            port: self.port,
            token: self.token.clone(),
            catalogue: tasks::catalogue(shared)?,
            state: reedmace_workbench::usual_state(),
        })?;
        let url = workbench.url();
        if shared.json {
            output::json_line(&json!({ "url": url }))?;
        } else {
            output::print(&format!("The workbench is at {url}\nInterrupt (Ctrl-C) to end it.\n"))?;
        }
        if self.open {
            open(url)?;
        }
        workbench.wait();
        Ok(ExitCode::SUCCESS)
    }
}

/// Hands an address to whatever opens addresses here.
fn open(url: &str) -> Result<(), Failure> {
    let (program, words): (&str, &[&str]) = if cfg!(target_os = "macos") {
        ("open", &[])
    } else if cfg!(windows) {
        ("explorer", &[])
    } else {
        ("xdg-open", &[])
    };
    let mut command = Command::new(program);
    command.args(words).arg(url).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    match command.spawn() {
        Ok(_) => Ok(()),
        Err(why) => output::tell(&format!("No browser could be opened ({program}: {why}).\n")),
    }
}
