//! `reedmace man`

use crate::{cli::Cli, failure::Failure, output};
use clap::{Args, CommandFactory};
use clap_mangen::Man as Page;
use std::{
    fs, io,
    path::{Path, PathBuf},
    process::ExitCode,
};

/// Print the manual page, or write one for every command into a folder.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  reedmace man | man -l -
  reedmace man ~/.local/share/man/man1")]
pub(crate) struct Man {
    /// Where to write the pages; without it the main one is printed.
    folder: Option<PathBuf>,
}

impl Man {
    pub(crate) fn run(&self) -> Result<ExitCode, Failure> {
        match &self.folder {
            None => {
                let mut text = Vec::new();
                let page = Page::new(Cli::command());
                written(Path::new("manual page"), page.render(&mut text))?;
                output::write(Path::new("-"), &text)?;
            }
            Some(folder) => {
                written(folder, fs::create_dir_all(folder))?;
                let command = Cli::command().disable_help_subcommand(true);
                written(folder, clap_mangen::generate_to(command, folder))?;
            }
        }
        Ok(ExitCode::SUCCESS)
    }
}

fn written(path: &Path, done: io::Result<()>) -> Result<(), Failure> {
    done.map_err(|why| Failure::file(path, why))
}
