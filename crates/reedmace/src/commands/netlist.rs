//! `reedmace netlist`

use crate::{
    cli::Shared,
    failure::Failure,
    input::{Beside, Source},
    output, tasks,
};
use clap::{Args, ValueEnum};
use std::{
    path::{Path, PathBuf},
    process::ExitCode,
};

/// Write the circuit of a load as a netlist for a circuit simulator.
///
/// The contact is a switch that moves once, every quantity of the load at its hardest, as the answer has it. Arcs
/// are left out.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  reedmace netlist pump.toml                  writes pump.opens.cir and pump.closes.cir
  reedmace netlist pump.toml --moves opens -o pump.cir
  reedmace netlist pump.toml --load pump --bare --moves opens -o -")]
pub(crate) struct Netlist {
    /// The design; `-` is standard input.
    file: PathBuf,
    /// Which load, by name [default: the first].
    #[arg(long, value_name = "NAME")]
    load: Option<String>,
    /// Which movement of the contact [default: both, each in a file].
    #[arg(long, value_enum)]
    moves: Option<Moves>,
    /// Without the protection that the design states.
    #[arg(long)]
    bare: bool,
    /// Where to write one movement; `-` is standard output [default: NAME.MOVES.cir].
    #[arg(short, long, value_name = "FILE", requires = "moves")]
    output: Option<PathBuf>,
}

/// How a contact moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Moves {
    /// It opens
    Opens,
    /// It closes
    Closes,
}

impl Netlist {
    pub(crate) fn run(&self, shared: &Shared) -> Result<ExitCode, Failure> {
        let source = Source::new(&self.file);
        let design = tasks::read(&source, &Beside::new(&source), shared)?;
        let mut lists = tasks::netlists(&design, self.load.as_deref(), !self.bare)?;
        lists.retain(|list| match self.moves {
            None => true,
            Some(Moves::Opens) => list.moves == "opens",
            Some(Moves::Closes) => list.moves == "closes",
        });
        let mut written = String::new();
        for list in lists.iter().filter(|_| !shared.json || self.output.is_some()) {
            let own = || PathBuf::from(format!("{}.{}.cir", source.stem(), list.moves));
            let path = self.output.clone().unwrap_or_else(own);
            output::write(&path, list.text.as_bytes())?;
            if path != Path::new("-") {
                written.push_str(&format!("Wrote {}\n", path.display()));
            }
        }
        match shared.json {
            true => output::json(&lists)?,
            false => output::print(&written)?,
        }
        Ok(ExitCode::SUCCESS)
    }
}
