//! `reedmace report`

use crate::{
    cli::Shared,
    commands::spread::count,
    failure::{Failure, INTERRUPTED},
    input::{Beside, Source},
    output,
    tasks::{self, Sampling},
};
use clap::Args;
use reedmace_engine::answer::SpreadAnswer;
use serde_json::json;
use std::{fs, path::PathBuf, process::ExitCode};

/// Write the report of a design, and every figure and table of it as files.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  reedmace report lid.toml
  reedmace report lid.toml -o lid.html --figures figures/
  reedmace report lid.toml --units 1e6
  reedmace report lid.toml --study lid.spread.parquet")]
pub(crate) struct Report {
    /// The design; `-` is standard input.
    file: PathBuf,
    /// Where to write the report; `-` is standard output
    /// [default: NAME.report.html in the current directory].
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Tell in it what so many units do, by the model: shares, distributions, what drives them.
    #[arg(long, value_name = "COUNT", value_parser = count, conflicts_with = "study")]
    units: Option<u64>,
    /// Tell in it what the units of this study do, as `spread` has gathered it.
    #[arg(long, value_name = "FILE")]
    study: Option<PathBuf>,
    /// Write every figure as SVG and PNG, and its data as CSV, into this folder.
    #[arg(long, value_name = "DIR")]
    figures: Option<PathBuf>,
}

impl Report {
    pub(crate) fn run(&self, shared: &Shared) -> Result<ExitCode, Failure> {
        let source = Source::new(&self.file);
        let beside = Beside::new(&source);
        let design = tasks::read(&source, &beside, shared)?;
        let study = tasks::check(&design, None, None)?;
        let (spread, interrupted) = self.spread(&design, &beside)?;
        let named = || PathBuf::from(format!("{}.report.html", source.stem()));
        let page = self.output.clone().unwrap_or_else(named);
        output::write(&page, tasks::report(&design, &study, spread.as_ref())?.as_bytes())?;
        let mut written = vec![page.clone()];
        if let Some(folder) = &self.figures {
            fs::create_dir_all(folder).map_err(|why| Failure::file(folder, why))?;
            for figure in tasks::figures(&design, &study)? {
                let path = folder.join(figure.name);
                output::write(&path, &figure.bytes)?;
                written.push(path);
            }
        }
        if shared.json {
            output::json(&json!({ "written": written }))?;
        } else if page.as_os_str() != "-" {
            let lines: String =
                written.iter().map(|p| format!("Wrote {}\n", p.display())).collect();
            output::print(&lines)?;
        }
        Ok(if interrupted { ExitCode::from(INTERRUPTED) } else { ExitCode::SUCCESS })
    }

    /// What many units do, where that is asked for, and whether the user stopped it.
    fn spread(
        &self,
        design: &tasks::Loaded,
        beside: &Beside,
    ) -> Result<(Option<SpreadAnswer>, bool), Failure> {
        if let Some(file) = &self.study {
            return Ok((Some(tasks::kept_study(file, design)?), false));
        }
        let Some(units) = self.units else { return Ok((None, false)) };
        let range = 0..units;
        let sampling = Sampling { units, range, seed: 1, exact: false, file: None, worst: None };
        let told = tasks::spread(design, beside, &sampling)?;
        Ok((Some(told.answer), told.interrupted))
    }
}
