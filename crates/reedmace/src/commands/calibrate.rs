//! `reedmace calibrate`

use crate::{
    cli::Shared,
    failure::Failure,
    input::{Beside, Source},
    output, tasks,
};
use clap::Args;
use std::{path::PathBuf, process::ExitCode};

/// Write what a level stem reads at each level, as the level rises and as it falls.
#[derive(Debug, Args)]
#[command(after_help = "\
A row for each level at which the reading changes, either way, lowest first: the level with
its limits over the tolerances, the volume below it, what changes there, and what is read from
there up to the next row, rising and falling. With --json the level of the answer is printed.

Examples:
  reedmace calibrate tank.toml                 writes tank.calibration.csv
  reedmace calibrate tank.toml -o table.csv
  reedmace calibrate tank.toml -o - | head")]
pub(crate) struct Calibrate {
    /// The design, with a level sweep; `-` is standard input.
    file: PathBuf,
    /// Where to write the table; `-` is standard output
    /// [default: NAME.calibration.csv in the current directory].
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
}

impl Calibrate {
    pub(crate) fn run(&self, shared: &Shared) -> Result<ExitCode, Failure> {
        let source = Source::new(&self.file);
        let design = tasks::read(&source, &Beside::new(&source), shared)?;
        let study = tasks::check(&design, Some(0), None)?;
        let table = tasks::calibration(&study)?;
        if shared.json {
            output::json(&study.answer.level)?;
        }
        let named = || PathBuf::from(format!("{}.calibration.csv", source.stem()));
        let path = match (&self.output, shared.json) {
            (None, true) => return Ok(ExitCode::SUCCESS),
            (given, _) => given.clone().unwrap_or_else(named),
        };
        output::write(&path, table.as_bytes())?;
        if path.as_os_str() != "-" && !shared.json {
            output::print(&format!("Wrote {}\n", path.display()))?;
        }
        Ok(ExitCode::SUCCESS)
    }
}
