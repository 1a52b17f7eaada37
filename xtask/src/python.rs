//! The Python which other software runs in: an environment of its own, with pinned packages.

use crate::chore::{Done, program, root, run, succeeds};
use std::{
    fs,
    path::{Path, PathBuf},
};

/// A Python that has what the `requirements.txt` of a folder lists, one `name==version` a line.
///
/// It lives in `target/python` and is made, and filled through pip, as far as it is not there yet. What the
/// machine's own Python has need not be fetched again.
pub fn provide(folder: &Path) -> Result<PathBuf, String> {
    let home = root().join("target").join("python");
    let python = home.join(if cfg!(windows) { "Scripts/python.exe" } else { "bin/python3" });
    if !runs(&python, &["-m", "pip", "--version"]) {
        eprintln!("making a Python environment in target/python");
        let home = home.to_string_lossy();
        run(program("python3", &["-m", "venv", "--clear", "--system-site-packages", &home]))?;
    }
    let Ok(list) = fs::read_to_string(folder.join("requirements.txt")) else { return Ok(python) };
    let missing: Vec<&str> =
        packages(&list).filter(|package| !runs(&python, &["-c", &question(package)])).collect();
    if !missing.is_empty() {
        eprintln!("installing {} with pip into target/python", missing.join(", "));
        let mut words = vec!["-m", "pip", "install", "--quiet", "--disable-pip-version-check"];
        words.extend(missing);
        run_with(&python, &words)?;
    }
    Ok(python)
}

/// Say what Python is to run, run it, and fail if it fails.
pub fn run_with(python: &Path, words: &[&str]) -> Done {
    run(program(&python.to_string_lossy(), words))
}

fn runs(python: &Path, words: &[&str]) -> bool {
    succeeds(program(&python.to_string_lossy(), words))
}

fn packages(list: &str) -> impl Iterator<Item = &str> {
    list.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('#'))
}

/// A program that succeeds where the package is installed in the version asked for.
fn question(package: &str) -> String {
    format!(
        "import importlib.metadata as m, sys; n, _, v = {package:?}.partition('=='); \
         sys.exit(m.version(n) != (v or m.version(n)))"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_and_blank_lines_are_no_packages() {
        let list = "# for the cross-check\n\nnumpy==2.0\n mpmath\n";
        assert_eq!(packages(list).collect::<Vec<_>>(), ["numpy==2.0", "mpmath"]);
    }
}
