//! `reedmace choose`

use crate::{
    cli::Shared,
    failure::Failure,
    input::{Beside, Source},
    output,
    tasks::{self, ChooseTold, Plot},
    terminal,
};
use clap::Args;
use reedmace_engine::ChooseOptions;
use std::{
    path::{Path, PathBuf},
    process::ExitCode,
};

/// As a shell tells of a program that was interrupted.
const INTERRUPTED: u8 = 130;

/// Find the cheapest arrangement that meets every demand over its tolerances.
#[derive(Debug, Args)]
#[command(after_help = "\
Exit codes: 0 some arrangement meets all demands, 1 none does, 2 the design has errors,
3 a file cannot be read or written, 130 interrupted: what was found is told.

Examples:
  reedmace choose vent.toml
  reedmace choose vent.toml --save 1 vent-chosen.toml
  reedmace choose vent.toml --plot vent.svg --plot vent.csv
  reedmace choose vent.toml --catalogue ours.toml --json > vent.json

What may be chosen stands in the design itself, which stays a design like any other:

  [choose]
  cost = \"price\"               # or \"mass\", \"volume\" of the magnets
  yield = \"99.9 %\"             # without it, every unit within tolerance
  [choose.free]
  \"contact[lid].family\" = \"any\"
  \"magnet[slug].size[0]\" = { from = \"8 mm\", to = \"14 mm\", step = \"1 mm\" }
  \"contact[lid].at[2]\" = { from = \"-5 mm\", to = \"0 mm\" }

Names and steps are gone through from the cheapest up; what lies in a range without step
costs nothing and is put where it leaves the most room. Every arrangement told is checked
as `reedmace check` does.")]
pub(crate) struct Choose {
    /// The design; `-` is standard input.
    file: PathBuf,
    /// How many arrangements to tell.
    #[arg(long, value_name = "COUNT", default_value = "20", value_parser = clap::value_parser!(u32).range(1..=1000))]
    best: u32,
    /// Try dearer ones too: the whole front of cost against room.
    #[arg(long)]
    all: bool,
    /// Save the design of an arrangement, by its number or `nearest`, with all comments.
    #[arg(long, num_args = 2, value_names = ["N", "FILE"])]
    save: Vec<String>,
    /// Draw cost against room, as .svg, .png or .csv; may be given several times.
    #[arg(long, value_name = "FILE")]
    plot: Vec<PathBuf>,
    /// Seed of the search: the same seed gives the same answer.
    #[arg(long, value_name = "NUMBER", default_value = "1")]
    seed: u64,
}

impl Choose {
    pub(crate) fn run(&self, shared: &Shared) -> Result<ExitCode, Failure> {
        let source = Source::new(&self.file);
        let save = self.saved()?;
        let plots = self.plots()?;
        let beside = Beside::new(&source);
        let design = tasks::read(&source, &beside, shared)?;
        let options = ChooseOptions { best: self.best as usize, seed: self.seed, prune: !self.all };
        let told = tasks::choose(&design, &options, &beside, shared)?;
        if shared.json {
            output::json(told.answer())?;
        } else {
            output::print(&terminal::choose(told.answer()))?;
        }
        let written = Self::write(&told, save, &plots)?;
        if !shared.json {
            let lines = written.iter().map(|path| format!("Wrote {}\n", path.display()));
            output::print(&lines.collect::<String>())?;
        }
        let answer = told.answer();
        Ok(match (answer.interrupted, answer.candidates.is_empty()) {
            (true, _) => ExitCode::from(INTERRUPTED),
            (false, false) => ExitCode::SUCCESS,
            (false, true) => ExitCode::from(1),
        })
    }

    fn write<'a>(
        told: &ChooseTold,
        save: Option<(Option<usize>, &'a Path)>,
        plots: &[(&'a Path, Plot)],
    ) -> Result<Vec<&'a Path>, Failure> {
        let mut written = Vec::new();
        for (path, form) in plots {
            output::write(path, &told.plot(*form)?)?;
            written.push(*path);
        }
        if let Some((which, path)) = save {
            output::write(path, told.text(which)?.as_bytes())?;
            written.push(path);
        }
        Ok(written)
    }

    /// Which arrangement to save where; no number for the nearest.
    fn saved(&self) -> Result<Option<(Option<usize>, &Path)>, Failure> {
        let [which, path] = &self.save[..] else { return Ok(None) };
        let number = which.parse().ok().filter(|n| *n > 0);
        if number.is_none() && which != "nearest" {
            let what = "give a number from 1, or `nearest`, and then a file";
            return Err(Failure::Refused(format!("--save: `{which}` is no arrangement: {what}")));
        }
        Ok(Some((number, Path::new(path))))
    }

    fn plots(&self) -> Result<Vec<(&Path, Plot)>, Failure> {
        let form = |path: &PathBuf| {
            let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
            match ending.as_deref() {
                Some("svg") => Ok(Plot::Svg),
                Some("png") => Ok(Plot::Png),
                Some("csv") => Ok(Plot::Csv),
                _ => Err(Failure::Refused(format!(
                    "{}: a plot is written as .svg, .png or .csv",
                    path.display()
                ))),
            }
        };
        self.plot.iter().map(|path| Ok((path.as_path(), form(path)?))).collect()
    }
}
