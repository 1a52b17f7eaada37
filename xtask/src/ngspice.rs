//! Load circuits against a circuit simulator, live.

use crate::{
    chore::{Done, cargo, program, root, run, succeeds},
    python,
};
use std::path::Path;

/// Run the netlist of every kind of protection, and those that a design exports with each, and compare; fails beyond
/// the limit which the script states.
pub fn compare() -> Done {
    provide()?;
    // Of the whole workspace: what the tests were built of serves again.
    run(cargo(&["build", "--workspace", "--example", "load_circuits", "--bin", "reedmace"]))?;
    // We were built into the same folder.
    let ours = std::env::current_exe().map_err(|why| format!("where xtask is: {why}"))?;
    let example = ours
        .with_file_name("examples")
        .join("load_circuits")
        .with_extension(std::env::consts::EXE_EXTENSION);
    let script = root().join("crates/applied/tests/live/against_ngspice.py");
    let folder = root().join("target").join("ngspice");
    let program = ours.with_file_name("reedmace").with_extension(std::env::consts::EXE_EXTENSION);
    let design = root().join("designs/pump-relay.toml");
    let words = [&script, &example, &folder, &program, &design].map(|path| path.to_string_lossy());
    python::run_with(Path::new("python3"), &words.each_ref().map(|word| &**word))
}

/// The simulator, from Debian's package unless it is there.
fn provide() -> Done {
    if succeeds(program("ngspice", &["--version"])) {
        return Ok(());
    }
    eprintln!("no ngspice here: installing it with apt-get");
    if !succeeds(program("apt-get", &["update", "-q"])) {
        eprintln!("apt-get update failed; trying with what it knows");
    }
    run(program("apt-get", &["install", "-qy", "--no-install-recommends", "ngspice"]))
}
