//! The Python packages which the goldens of other software are made with.

use crate::chore::{Done, program, run, succeeds};
use std::{fs, path::Path};

/// Install what the `requirements.txt` of a folder lists, one `name==version` a line, and is
/// missing; and say so.
pub fn provide(folder: &Path) -> Done {
    let Ok(list) = fs::read_to_string(folder.join("requirements.txt")) else { return Ok(()) };
    let missing: Vec<&str> = packages(&list).filter(|package| !installed(package)).collect();
    if missing.is_empty() {
        return Ok(());
    }
    eprintln!("installing {} with pip, to re-make goldens", missing.join(", "));
    let mut words = vec!["-m", "pip", "install", "--quiet", "--disable-pip-version-check"];
    words.extend(missing);
    let mut pip = program("python3", &words);
    // On a machine whose system looks after its own Python we still install for it: it is a
    // test machine, and the packages are pinned.
    pip.env("PIP_BREAK_SYSTEM_PACKAGES", "1");
    run(pip)
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_and_blank_lines_are_no_packages() {
        let list = "# for the cross-check\n\nnumpy==2.0\n mpmath\n";
        assert_eq!(packages(list).collect::<Vec<_>>(), ["numpy==2.0", "mpmath"]);
    }
}
