//! `reedmace report`

use crate::{
    cli::Shared,
    failure::Failure,
    input::{Beside, Source},
    output, tasks,
};
use clap::Args;
use serde_json::json;
use std::{fs, path::PathBuf, process::ExitCode};

/// Write the report of a design, and every figure and table of it as files.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  reedmace report lid.toml
  reedmace report lid.toml -o lid.html --figures figures/")]
pub(crate) struct Report {
    /// The design; `-` is standard input.
    file: PathBuf,
    /// Where to write the report; `-` is standard output
    /// [default: NAME.report.html in the current directory].
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Write every figure as SVG and PNG, and its data as CSV, into this folder.
    #[arg(long, value_name = "DIR")]
    figures: Option<PathBuf>,
}

impl Report {
    pub(crate) fn run(&self, shared: &Shared) -> Result<ExitCode, Failure> {
        let source = Source::new(&self.file);
        let design = tasks::read(&source, &Beside::new(&source), shared)?;
        let study = tasks::check(&design, None, None)?;
        let named = || PathBuf::from(format!("{}.report.html", source.stem()));
        let page = self.output.clone().unwrap_or_else(named);
        output::write(&page, tasks::report(&design, &study)?.as_bytes())?;
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
        Ok(ExitCode::SUCCESS)
    }
}
