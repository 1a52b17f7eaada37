//! The Python packages which the goldens of other software are made with.

use crate::chore::{Done, program, root, run, succeeds};
use std::fs;

/// Where the packages are listed, one `name==version` a line.
const LIST: &str = "tests/requirements.txt";

/// Install what is missing, and say so.
pub fn provide() -> Done {
    let Ok(list) = fs::read_to_string(root().join(LIST)) else { return Ok(()) };
    let missing: Vec<&str> = packages(&list).filter(|package| !installed(package)).collect();
    if missing.is_empty() {
        return Ok(());
    }
    eprintln!("installing {} with pip, for the goldens of other software", missing.join(", "));
    let mut words = vec!["-m", "pip", "install", "--quiet", "--disable-pip-version-check"];
    words.extend(missing);
    run(program("python3", &words))
}

fn packages(list: &str) -> impl Iterator<Item = &str> {
    list.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('#'))
}

fn installed(package: &str) -> bool {
    let question = format!(
        "import importlib.metadata as m, sys; n, _, v = {package:?}.partition('=='); \
         sys.exit(m.version(n) != (v or m.version(n)))"
    );
    succeeds(program("python3", &["-c", &question]))
}
