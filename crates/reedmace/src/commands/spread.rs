//! `reedmace spread`

use crate::{
    cli::Shared,
    commands::emit::{Asked, Emit},
    failure::{Failure, INTERRUPTED},
    input::{Beside, Source},
    output,
    part::Part,
    tasks::{self, Sampling},
    terminal,
};
use clap::{Args, Subcommand};
use std::{
    path::{Path, PathBuf},
    process::ExitCode,
};

/// What a million built units do: shares, distributions, what drives them, what to tighten.
#[derive(Debug, Args)]
#[command(
    args_conflicts_with_subcommands = true,
    after_help = "\
Exit codes: 0 every unit met every demand, or the part asked for is done, 1 some unit
missed one, 2 the design has errors, 3 a file cannot be read or written, 130
interrupted: the file holds what was done.

Examples:
  reedmace spread lid.toml
  reedmace spread lid.toml --units 1e8 --exact -o lid.parquet
  reedmace spread lid.toml --units 1e8 --from 40960 --count 8192 -o part-5.parquet
  reedmace spread lid.toml --units 1e8 --part 0/3 -o part-0.parquet
  reedmace spread merge part-*.parquet -o lid.parquet
  reedmace spread lid.toml --units 1e10 --emit slurm --tasks 64
  reedmace spread lid.toml --units 1e10 --emit kubernetes --tasks 64 \
      --image registry.example/reedmace:1 --claim studies
  reedmace spread lid.toml --worst worst-lid.toml && reedmace check worst-lid.toml

The file is Parquet: a row for each bin of each histogram, and the whole tally in its
metadata. Run again with the same file, a study that was interrupted goes on where it
stopped. Parts of one study merge to the same answer, bit for bit, in any order.

By default a model tells where the events of each unit lie; it proves itself on a
thousand units or more, and the answer says how far it was off. Units it cannot decide
are evaluated exactly, as all are with --exact.

The worst unit is the one with the least margin of a demand, first of one that is missed;
without demands the one with an event furthest from the nominal unit's. Its design keeps
the comments, and has no tolerances left."
)]
pub(crate) struct Spread {
    #[command(subcommand)]
    merge: Option<Merging>,
    /// The design; `-` is standard input.
    #[arg(required = true)]
    file: Option<PathBuf>,
    /// Units of the whole study.
    #[arg(long, value_name = "COUNT", default_value = "1000000", value_parser = count)]
    units: u64,
    /// First unit to evaluate: a multiple of 4096.
    #[arg(long, value_name = "UNIT", default_value = "0", value_parser = count)]
    from: u64,
    /// How many units to evaluate, a multiple of 4096 [default: all that follow].
    #[arg(long, value_name = "COUNT", value_parser = count)]
    count: Option<u64>,
    /// Evaluate one of so many parts, whole blocks of 4096 units, counted from 0: 2/8.
    #[arg(long, value_name = "PART/PARTS", conflicts_with_all = ["from", "count"])]
    part: Option<Part>,
    /// Which units: the same seed gives the same ones.
    #[arg(long, value_name = "NUMBER", default_value = "1")]
    seed: u64,
    /// Find the events of every unit on its true drive, not by the model.
    #[arg(long)]
    exact: bool,
    /// Where to write what was gathered [default: NAME.spread.parquet in the current directory].
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Write no file.
    #[arg(long, conflicts_with = "output")]
    no_file: bool,
    #[command(flatten)]
    emit: Emit,
    /// Write the worst unit found as a design: its values in place of all tolerances.
    #[arg(long, value_name = "FILE", conflicts_with = "emit")]
    worst: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
enum Merging {
    /// Put the parts of one study together.
    Merge(Merge),
}

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  reedmace spread merge part-*.parquet -o lid.parquet
  reedmace spread merge part-*.parquet --json > lid.json")]
struct Merge {
    /// The parts, in any order.
    #[arg(required = true)]
    parts: Vec<PathBuf>,
    /// Refuse parts that are not the whole study together.
    #[arg(long)]
    whole: bool,
    /// Where to write the whole.
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Write the worst unit found as a design: its values in place of all tolerances.
    #[arg(long, value_name = "FILE")]
    worst: Option<PathBuf>,
}

impl Spread {
    pub(crate) fn run(&self, shared: &Shared) -> Result<ExitCode, Failure> {
        if let Some(Merging::Merge(merge)) = &self.merge {
            return merge.run(shared);
        }
        let source = Source::new(self.file.as_deref().unwrap_or(Path::new("-")));
        if let Some(scheduler) = self.emit.emit {
            let asked = Asked { units: self.units, seed: self.seed, exact: self.exact };
            return self.emit.run(scheduler, &source, asked, shared);
        }
        let named = || PathBuf::from(format!("{}.spread.parquet", source.stem()));
        let file = (!self.no_file).then(|| self.output.clone().unwrap_or_else(named));
        let beside = Beside::new(&source);
        let design = tasks::read(&source, &beside, shared)?;
        let range = match self.part {
            Some(part) => part.range(self.units)?,
            None => {
                let end = self.count.map_or(self.units, |count| self.from.saturating_add(count));
                self.from..end
            }
        };
        let sampling = Sampling {
            units: self.units,
            range: range.clone(),
            seed: self.seed,
            exact: self.exact,
            file: file.as_deref(),
            worst: self.worst.as_deref(),
        };
        let told = tasks::spread(&design, &beside, &sampling)?;
        let files = [file.as_deref(), self.worst.as_deref()];
        tell(&told, &files, range == (0..self.units), shared)
    }
}

impl Merge {
    fn run(&self, shared: &Shared) -> Result<ExitCode, Failure> {
        let (output, worst) = (self.output.as_deref(), self.worst.as_deref());
        let told = tasks::merge(&self.parts, output, worst, self.whole, shared)?;
        tell(&told, &[output, worst], true, shared)
    }
}

/// Tell the answer; `judged`: with an exit code that says whether all units meet the demands.
fn tell(
    told: &tasks::SpreadTold,
    files: &[Option<&Path>],
    judged: bool,
    shared: &Shared,
) -> Result<ExitCode, Failure> {
    if shared.json {
        output::json(&told.answer)?;
    } else {
        output::print(&terminal::spread(&told.answer, told.resumed, files))?;
    }
    let all_met = told.answer.demands.iter().all(|d| d.share.met == d.share.of);
    Ok(match (told.interrupted, all_met) {
        (true, _) => ExitCode::from(INTERRUPTED),
        // A part is done or not; the verdict is the whole study's.
        (false, false) if judged => ExitCode::from(1),
        (false, _) => ExitCode::SUCCESS,
    })
}

/// `1000000`, `1_000_000`, `1e6`.
pub(crate) fn count(text: &str) -> Result<u64, String> {
    let plain = text.replace(['_', ' '], "");
    let (digits, zeros) = plain.split_once(['e', 'E']).unwrap_or((&plain, "0"));
    let whole = || {
        let zeros: u32 = zeros.parse().ok()?;
        digits.parse::<u64>().ok()?.checked_mul(10u64.checked_pow(zeros)?)
    };
    whole().ok_or_else(|| "write a whole number, such as 1000000 or 1e6".into())
}

#[cfg(test)]
mod tests {
    use super::count;

    #[test]
    fn counts_are_whole_numbers() {
        for (text, number) in [("0", 0), ("1_000", 1000), ("1e6", 1_000_000), ("25e2", 2500)] {
            assert_eq!(count(text), Ok(number));
        }
        for text in ["", "1.5", "-3", "1e", "1e30", "many"] {
            assert!(count(text).is_err(), "{text}");
        }
    }
}
