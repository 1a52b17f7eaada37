//! The `reedmace` command: reads what was asked, calls the engine, prints what it answers.

mod batch;
mod cli;
mod commands;
mod failure;
mod input;
mod output;
mod part;
mod progress;
mod tasks;
mod terminal;
mod watch;

use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    failure::explain_panics();
    let cli = cli::Cli::parse();
    cli.shared.color.write_global();
    match commands::run(&cli) {
        Ok(code) => code,
        Err(failure) => failure.say(&cli.shared),
    }
}
