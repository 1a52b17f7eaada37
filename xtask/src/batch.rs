//! Studies as jobs of a cluster: on a real Slurm, and against the published schemas of Kubernetes.

use crate::{
    chore::{Done, build, built, program, root, run, succeeds},
    python,
};
use std::path::{Path, PathBuf};

/// What a cluster of one machine takes, by Debian's names.
const PACKAGES: [&str; 2] = ["slurm-wlm", "munge"];
const DAEMONS: [&str; 3] = ["munged", "slurmctld", "slurmd"];

/// Run a study as a job array with one task taken away midway, and compare with one process.
pub fn slurm() -> Done {
    provide_slurm()?;
    tried("slurm.py", Path::new("python3"))
}

/// Check both Jobs of a study and run their commands, and compare with one process.
pub fn kubernetes() -> Done {
    tried("kubernetes.py", &python::provide(&folder())?)
}

fn folder() -> PathBuf {
    root().join("crates").join("reedmace").join("tests").join("batch")
}

fn tried(script: &str, python: &Path) -> Done {
    build()?;
    let words = [folder().join(script), built("reedmace")?, root().join("designs/hopper-lid.toml")];
    let words = words.each_ref().map(|path| path.to_string_lossy());
    python::run_with(python, &words.each_ref().map(|word| &**word))
}

/// The daemons, from Debian's packages unless they are there.
fn provide_slurm() -> Done {
    if DAEMONS.iter().all(|name| succeeds(program(name, &["-V"]))) {
        return Ok(());
    }
    eprintln!("no {} here: installing {} with apt-get", DAEMONS.join(", "), PACKAGES.join(" and "));
    if !succeeds(program("apt-get", &["update", "-q"])) {
        eprintln!("apt-get update failed; trying with what it knows");
    }
    let words = [&["install", "-qy", "--no-install-recommends"], &PACKAGES[..]].concat();
    run(program("apt-get", &words))
}
