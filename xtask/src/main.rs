//! Chores of this repository, run as `cargo xtask NAME`.

mod batch;
mod browser;
mod chore;
mod ci;
mod goldens;
mod layers;
mod magpylib;
mod ngspice;
mod openapi;
mod python;
mod refs;
mod source;
mod test;
mod types;
mod validation;

use std::process::ExitCode;

const HELP: &str = "\
cargo xtask NAME

  ci                  everything a change must pass: format, lints, docs, layers, refs, tests,
                      goldens re-made, magpylib, ngspice, openapi, slurm, kubernetes, the
                      validation page up to date
  test                all tests in parallel, the examples in the docs, then browser
  browser             the types of the workbench's page, and the page in a real browser
  lint                the part of ci that runs no test: format, lints, docs, layers, refs,
                      the page's types
  layers              no crate depends on one above or beside it
  types               write the page's types of what goes over the wire from its schema
  refs                every citation has its entry in REFERENCES.md, and every entry is cited
  goldens             re-make the goldens that come from other software and compare
  magpylib            compare the fields with a public library at 100,000 points per shape
  ngspice             run load circuits of every protection in a circuit simulator and compare
  openapi             ask the workbench's server what its description allows, and more
  slurm               run a study as a job array on a real Slurm, one task taken away midway
  kubernetes          hold a study's Jobs against the published schemas and run their commands
  bless               write the golden files anew from what the code says now
  validation          run the validation tests and magpylib, write their tables into VALIDATION.md
  validation --check  the same, but only say whether VALIDATION.md is up to date
  validation --compare
                      as --check, by the tables of the last runs of test and magpylib
";

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let done = match words.as_slice() {
        ["ci"] => ci::ci(),
        ["test"] => test::test(),
        ["browser"] => browser::browser(),
        ["lint"] => ci::lint(),
        ["layers"] => layers::check(),
        ["types"] => types::write(),
        ["refs"] => refs::check(),
        ["goldens"] => goldens::remake(),
        ["magpylib"] => magpylib::compare(),
        ["ngspice"] => ngspice::compare(),
        ["openapi"] => openapi::openapi(),
        ["slurm"] => batch::slurm(),
        ["kubernetes"] => batch::kubernetes(),
        ["bless"] => goldens::bless(),
        ["validation"] => validation::write(),
        ["validation", "--check"] => validation::check(),
        ["validation", "--compare"] => validation::compare(),
        [] | ["help" | "-h" | "--help"] => {
            print!("{HELP}");
            return ExitCode::SUCCESS;
        }
        _ => Err(format!("no such chore: {}\n\n{HELP}", words.join(" "))),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("xtask: {why}");
            ExitCode::FAILURE
        }
    }
}
