//! `reedmace schema`

use crate::{failure::Failure, output, tasks};
use clap::{Args, ValueEnum};
use std::process::ExitCode;

/// Print the JSON Schema of the design file or of a result.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  reedmace schema > reedmace.schema.json     for completion in an editor: put the line
                                             `#:schema reedmace.schema.json` first in the design
  reedmace schema result
  reedmace schema spread
  reedmace schema choose")]
pub(crate) struct Schema {
    /// Of what.
    #[arg(value_enum, default_value = "design")]
    of: Of,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Of {
    /// The design file.
    Design,
    /// What `check --json` prints.
    Result,
    /// What `spread --json` prints.
    Spread,
    /// What `choose --json` prints.
    Choose,
}

impl Schema {
    pub(crate) fn run(&self) -> Result<ExitCode, Failure> {
        output::json(&match self.of {
            Of::Design => tasks::design_schema(),
            Of::Result => tasks::answer_schema(),
            Of::Spread => tasks::spread_schema(),
            Of::Choose => tasks::choose_schema(),
        })?;
        Ok(ExitCode::SUCCESS)
    }
}
