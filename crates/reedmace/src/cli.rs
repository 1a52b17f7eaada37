//! What may be asked on the command line.

use crate::commands;
use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

const EXIT_CODES: &str = "\
Exit codes:
  0  done; for `check`: all demands are met, for `spread`: by every unit, for
     `choose`: by some arrangement
  1  `check`: some demand is missed or at risk; `spread`: some unit misses one;
     `choose`: no arrangement meets them all
  2  the design or the command line has errors
  3  a file cannot be read or written
  130  interrupted; what was done is kept

Start with:
  reedmace new approach
  reedmace check approach.toml";

/// Where a reed contact operates and releases, with every tolerance, from one text file.
#[derive(Debug, Parser)]
#[command(version, after_help = EXIT_CODES, max_term_width = 100)]
pub(crate) struct Cli {
    #[command(subcommand)]
    pub(crate) command: Command,
    #[command(flatten)]
    pub(crate) shared: Shared,
}

/// What every command takes.
#[derive(Debug, Clone, Args)]
#[command(next_help_heading = "Everywhere")]
pub(crate) struct Shared {
    /// Print the result as JSON on standard output.
    #[arg(long, global = true)]
    pub(crate) json: bool,
    /// How faults of a design are told, on standard error.
    #[arg(long, global = true, value_enum, value_name = "FORM", default_value = "text")]
    pub(crate) diagnostics: Diagnostics,
    /// Families and magnets of your own, beside those that come with the program.
    #[arg(long, global = true, value_name = "FILE")]
    pub(crate) catalogue: Option<PathBuf>,
    /// When to use colour; NO_COLOR is respected.
    #[arg(long, global = true, value_enum, value_name = "WHEN", default_value = "auto")]
    pub(crate) color: Color,
}

/// How faults of a design are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Diagnostics {
    /// The marked text, with help.
    Text,
    /// A line each: file:line:column.
    Short,
    /// A JSON list.
    Json,
}

/// When to use colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Color {
    /// On a terminal that has it.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

impl Color {
    /// Let every stream of this process follow it.
    pub(crate) fn write_global(self) {
        let choice = match self {
            Self::Auto => anstream::ColorChoice::Auto,
            Self::Always => anstream::ColorChoice::Always,
            Self::Never => anstream::ColorChoice::Never,
        };
        choice.write_global();
    }
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    New(commands::new::New),
    Check(commands::check::Check),
    Map(commands::map::Map),
    Calibrate(commands::calibrate::Calibrate),
    Netlist(commands::netlist::Netlist),
    Spread(commands::spread::Spread),
    Choose(commands::choose::Choose),
    Convert(commands::convert::Convert),
    Report(commands::report::Report),
    Serve(commands::serve::Serve),
    Catalogue(commands::catalogue::Catalogue),
    Schema(commands::schema::Schema),
    Completions(commands::completions::Completions),
    Man(commands::man::Man),
}
