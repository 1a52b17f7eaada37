//! Golden files: re-made by other software and compared, or written anew from our own.

use crate::{
    chore::{Done, cargo, output, program, root, run},
    python, source,
};
use std::path::PathBuf;

/// Run every script which makes a golden and fail if the committed one is not what it makes.
///
/// A script is called `make_NAME.py`, stands beside the golden it makes and, called with
/// `--check`, compares instead of writing.
pub fn remake() -> Done {
    python::provide()?;
    for script in scripts()? {
        run(program("python3", &[&script.to_string_lossy(), "--check"]))?;
    }
    Ok(())
}

/// Write the goldens of our own output anew and show what changed.
pub fn bless() -> Done {
    let mut tests = cargo(&["test", "--workspace", "--", "reg_"]);
    tests.env("REEDMACE_BLESS", "1");
    run(tests)?;
    print!("{}", output(program("git", &["status", "--short", "--", "*golden*"]))?);
    Ok(())
}

fn scripts() -> Result<Vec<PathBuf>, String> {
    let is_maker = |path: &PathBuf| {
        path.file_name().is_some_and(|name| name.to_string_lossy().starts_with("make_"))
    };
    Ok(source::files(&root(), &["py"])?.into_iter().filter(is_maker).collect())
}
