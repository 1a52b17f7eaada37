//! `reedmace completions`

use crate::{cli::Cli, failure::Failure, output};
use clap::{Args, CommandFactory};
use clap_complete::Shell;
use std::{path::Path, process::ExitCode};

/// Print the completions for a shell.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  reedmace completions bash > ~/.local/share/bash-completion/completions/reedmace
  reedmace completions fish > ~/.config/fish/completions/reedmace.fish")]
pub(crate) struct Completions {
    /// Which shell.
    #[arg(value_enum)]
    shell: Shell,
}

impl Completions {
    pub(crate) fn run(&self) -> Result<ExitCode, Failure> {
        let mut text = Vec::new();
        clap_complete::generate(self.shell, &mut Cli::command(), "reedmace", &mut text);
        output::write(Path::new("-"), &text)?;
        Ok(ExitCode::SUCCESS)
    }
}
