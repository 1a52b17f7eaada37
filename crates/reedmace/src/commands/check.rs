//! `reedmace check`

use crate::{
    cli::Shared,
    failure::Failure,
    input::{Beside, Source},
    output, tasks, terminal,
    watch::{self, State},
};
use clap::Args;
use reedmace_engine::{Answer, Study, answer::Verdict};
use serde::Serialize;
use std::{
    path::{Path, PathBuf},
    process::ExitCode,
};

/// Find every operate and release with its band, judge the demands, write the report.
#[derive(Debug, Args)]
#[command(after_help = "\
Exit codes: 0 all demands met, 1 some missed or at risk, 2 the design has errors,
3 a file cannot be read or written.

Examples:
  reedmace check lid.toml
  reedmace check lid.toml --report out/lid.html
  reedmace check lid.toml --watch
  reedmace check lid.toml --json --no-report > lid.json
  reedmace check lid.toml --diagnostics short
  reedmace new approach -o - | reedmace check -

With --json standard output holds one document: the answer (`reedmace schema result`), or
{\"diagnostics\": [...]} or {\"error\": \"...\"}. With --watch it is one line a change:
{\"state\": \"computing\" | \"ok\" | \"stale\" | \"failed\", ...}; `stale` means the text has a
fault and the last good answer and report still stand, `failed` that there is none yet.")]
pub(crate) struct Check {
    /// The design; `-` is standard input.
    file: PathBuf,
    /// Where to write the report [default: NAME.report.html in the current directory].
    #[arg(short, long, value_name = "FILE")]
    report: Option<PathBuf>,
    /// Write no report.
    #[arg(long, conflicts_with = "report")]
    no_report: bool,
    /// How many units to sample for the share that meets each demand.
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u64).range(1..))]
    units: Option<u64>,
    /// Which sample: the same seed gives the same units.
    #[arg(long, value_name = "NUMBER")]
    seed: Option<u64>,
    /// Check again whenever the design, or a file it names, is saved.
    #[arg(long)]
    watch: bool,
}

impl Check {
    pub(crate) fn run(&self, shared: &Shared) -> Result<ExitCode, Failure> {
        let source = Source::new(&self.file);
        let report = self.report_path(&source);
        if self.watch {
            return self.run_watching(&source, report.as_deref(), shared);
        }
        let study = self.check(&source, &Beside::new(&source), report.as_deref(), shared)?;
        if shared.json {
            output::json(&study.answer)?;
        } else {
            output::print(&terminal::check(&study.answer, report.as_deref()))?;
        }
        Ok(exit_code(&study.answer))
    }

    fn report_path(&self, source: &Source) -> Option<PathBuf> {
        let named = || PathBuf::from(format!("{}.report.html", source.stem()));
        (!self.no_report).then(|| self.report.clone().unwrap_or_else(named))
    }

    fn run_watching(
        &self,
        source: &Source,
        report: Option<&Path>,
        shared: &Shared,
    ) -> Result<ExitCode, Failure> {
        let Source::File(file) = source else {
            return Err(Failure::Refused("standard input cannot be watched".into()));
        };
        let mut had_answer = false;
        watch::files(file, || {
            tell_state(State::Computing, None, None, shared)?;
            let beside = Beside::new(source);
            match self.check(source, &beside, report, shared) {
                Ok(study) => {
                    had_answer = true;
                    if !shared.json {
                        output::print(&terminal::check(&study.answer, report))?;
                    }
                    tell_state(State::Ok, Some(&study.answer), None, shared)?;
                }
                Err(Failure::NobodyListens) => return Err(Failure::NobodyListens),
                Err(failure) => {
                    let state = if had_answer { State::Stale } else { State::Failed };
                    if !shared.json {
                        failure.say(shared);
                    }
                    tell_state(state, None, Some(&failure), shared)?;
                }
            }
            Ok(beside.paths())
        })
    }

    /// Read, check, and write the report.
    fn check(
        &self,
        source: &Source,
        beside: &Beside,
        report: Option<&Path>,
        shared: &Shared,
    ) -> Result<Study, Failure> {
        let design = tasks::read(source, beside, shared)?;
        let study = tasks::check(&design, self.units, self.seed)?;
        if let Some(path) = report {
            output::write(path, tasks::report(&design, &study, None)?.as_bytes())?;
        }
        Ok(study)
    }
}

fn exit_code(answer: &Answer) -> ExitCode {
    match answer.verdict {
        None | Some(Verdict::Met) => ExitCode::SUCCESS,
        Some(Verdict::AtRisk | Verdict::Missed) => ExitCode::from(1),
    }
}

#[derive(Serialize)]
struct Line<'a> {
    state: State,
    #[serde(skip_serializing_if = "Option::is_none")]
    answer: Option<&'a Answer>,
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    failure: Option<serde_json::Value>,
}

fn tell_state(
    state: State,
    answer: Option<&Answer>,
    failure: Option<&Failure>,
    shared: &Shared,
) -> Result<(), Failure> {
    if shared.json {
        return output::json_line(&Line { state, answer, failure: failure.map(Failure::as_json) });
    }
    output::tell(&format!("{}\n", state.in_words()))
}
