//! `reedmace man`

use crate::{cli::Cli, failure::Failure, output};
use clap::{Args, CommandFactory};
use clap_mangen::Man as Page;
use std::{
    fs,
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
        let mut command = Cli::command();
        command.build();
        match &self.folder {
            None => output::write(Path::new("-"), &page(command)?)?,
            Some(folder) => {
                fs::create_dir_all(folder).map_err(|why| Failure::file(folder, why))?;
                for sub in command.get_subcommands().filter(|sub| sub.get_name() != "help") {
                    let name = format!("reedmace-{}", sub.get_name());
                    let sub = sub.clone().name(name.clone());
                    output::write(&folder.join(format!("{name}.1")), &page(sub)?)?;
                }
                output::write(&folder.join("reedmace.1"), &page(command)?)?;
            }
        }
        Ok(ExitCode::SUCCESS)
    }
}

fn page(command: clap::Command) -> Result<Vec<u8>, Failure> {
    let mut text = Vec::new();
    Page::new(command)
        .render(&mut text)
        .map_err(|why| Failure::File { path: "manual page".into(), why })?;
    Ok(text)
}
