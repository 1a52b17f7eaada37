//! The commands, one a file.

pub(crate) mod calibrate;
pub(crate) mod catalogue;
pub(crate) mod check;
pub(crate) mod choose;
pub(crate) mod completions;
pub(crate) mod convert;
pub(crate) mod emit;
pub(crate) mod man;
pub(crate) mod map;
pub(crate) mod netlist;
pub(crate) mod new;
pub(crate) mod report;
pub(crate) mod schema;
pub(crate) mod serve;
pub(crate) mod spread;

use crate::{
    cli::{Cli, Command},
    failure::Failure,
};
use std::process::ExitCode;

/// Do what was asked.
pub(crate) fn run(cli: &Cli) -> Result<ExitCode, Failure> {
    let shared = &cli.shared;
    match &cli.command {
        Command::New(new) => new.run(shared),
        Command::Check(check) => check.run(shared),
        Command::Map(map) => map.run(shared),
        Command::Calibrate(calibrate) => calibrate.run(shared),
        Command::Netlist(netlist) => netlist.run(shared),
        Command::Spread(spread) => spread.run(shared),
        Command::Choose(choose) => choose.run(shared),
        Command::Convert(convert) => convert.run(shared),
        Command::Report(report) => report.run(shared),
        Command::Catalogue(catalogue) => catalogue.run(shared),
        Command::Schema(schema) => schema.run(),
        Command::Serve(serve) => serve.run(shared),
        Command::Completions(completions) => completions.run(),
        Command::Man(man) => man.run(),
    }
}
