//! Load circuits against a circuit simulator, live.

use crate::{
    chore::{Done, build, built, program, root, run, succeeds},
    python,
};
use std::path::Path;

/// Run the netlist of every kind of protection, and those that a design exports with each, and compare; fails beyond
/// the limit which the script states.
pub fn compare() -> Done {
    provide()?;
    build()?;
    let [example, program] = [built("examples/load_circuits")?, built("reedmace")?];
    let script = root().join("crates/applied/tests/live/against_ngspice.py");
    let folder = root().join("target").join("ngspice");
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
