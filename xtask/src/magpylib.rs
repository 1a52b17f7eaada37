//! The fields against a public library, live: more points than a repository can hold.

use crate::{
    chore::{Done, build, built, root},
    python, validation,
};

/// Compare at 100,000 points per shape and write the table of the validation page; fails beyond the limits
/// which the script states.
pub fn compare() -> Done {
    let fields = root().join("crates").join("fields");
    let python = python::provide(&fields.join("tests").join("golden"))?;
    build()?;
    let example = built("examples/field")?;
    let script = fields.join("tests").join("live").join("against_magpylib.py");
    let table = validation::tables().join("fields_magpylib.md");
    let words = [&script, &example, &table].map(|path| path.to_string_lossy());
    python::run_with(&python, &words.each_ref().map(|word| &**word))
}
