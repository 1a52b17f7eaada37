//! `reedmace catalogue`

use crate::{cli::Shared, failure::Failure, output, tasks, terminal};
use clap::Args;
use std::process::ExitCode;

/// List the contact families and magnets which a design may name.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  reedmace catalogue
  reedmace catalogue --catalogue ours.toml     with entries of your own")]
pub(crate) struct Catalogue {}

impl Catalogue {
    pub(crate) fn run(&self, shared: &Shared) -> Result<ExitCode, Failure> {
        let shelf = tasks::shelf(shared)?;
        if shared.json {
            output::json(&shelf)?;
            return Ok(ExitCode::SUCCESS);
        }
        let mut text = String::new();
        for (heading, entries) in [("Families", &shelf.families), ("Magnets", &shelf.magnets)] {
            text.push_str(&format!("{heading}:\n"));
            for entry in entries {
                text.push_str(&terminal::wrap(&format!("  {:<12}", entry.name), &entry.about));
            }
        }
        output::print(&text)?;
        Ok(ExitCode::SUCCESS)
    }
}
