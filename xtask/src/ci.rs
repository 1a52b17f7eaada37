//! Everything a change must pass.

use crate::{
    batch,
    chore::{Done, cargo, run},
    goldens, layers, magpylib, ngspice, openapi, refs, test, types, validation,
};

/// The whole of it, cheapest first.
pub fn ci() -> Done {
    lint()?;
    test::test()?;
    goldens::remake()?;
    magpylib::compare()?;
    ngspice::compare()?;
    openapi::openapi()?;
    batch::kubernetes()?;
    batch::slurm()?;
    validation::compare()
}

/// What needs no test run.
pub fn lint() -> Done {
    run(cargo(&["fmt", "--all", "--check"]))?;
    layers::check()?;
    refs::check()?;
    types::check()?;
    run(cargo(&["clippy", "--workspace", "--all-targets", "--", "-D", "warnings"]))?;
    let mut docs = cargo(&["doc", "--workspace", "--no-deps", "--document-private-items"]);
    docs.env("RUSTDOCFLAGS", "-D warnings");
    run(docs)
}
