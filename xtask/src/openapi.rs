//! The workbench's HTTP interface against its own description, by a tool that makes up requests.

use crate::{
    chore::{Done, build, built, root},
    python,
};

/// Ask a fresh build whatever its description allows, and more; fails on an answer that is not described.
pub fn openapi() -> Done {
    let folder = root().join("crates").join("workbench").join("tests").join("openapi");
    let python = python::provide(&folder)?;
    build()?;
    let (script, program) = (folder.join("run.py"), built("reedmace")?);
    python::run_with(&python, &[&script.to_string_lossy(), &program.to_string_lossy()])
}
