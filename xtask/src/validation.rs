//! VALIDATION.md: the error tables of the validation tests, as the last run measured them.
//!
//! Each test that measures against the outside writes its table to `target/validation/NAME.md`;
//! the page is their concatenation in the order of their names.

use crate::chore::{Done, cargo, root, run};
use crate::{magpylib, source};
use std::{
    fs,
    path::{Path, PathBuf},
};

const HEAD: &str = "\
# Validation

What Reedmace computes against what others published, measured or computed by another method.
`val_` tests compare with published or measured values, `cross_` tests with an independent method
or library. Every figure below was measured by a test that fails if it gets worse than the limit
beside it; `cargo xtask validation` runs them and writes this page anew.
";

/// Run the validation tests and write the page.
pub fn write() -> Done {
    measure()?;
    let page = page(&tables())?;
    fs::write(path(), page).map_err(|why| format!("VALIDATION.md: {why}"))
}

/// Run the validation tests and say whether the page is up to date.
pub fn check() -> Done {
    measure()?;
    compare()
}

/// Say whether the page tells what the last test run measured.
pub fn compare() -> Done {
    let page = page(&tables())?;
    let kept = fs::read_to_string(path()).map_err(|why| format!("VALIDATION.md: {why}"))?;
    match first_difference(&kept, &page) {
        None => {
            eprintln!("validation: VALIDATION.md is up to date");
            Ok(())
        }
        Some(line) => Err(format!(
            "VALIDATION.md is stale from line {line} on; `cargo xtask validation` writes it anew"
        )),
    }
}

/// Throw away the tables of earlier runs, so that a test which is gone leaves none behind.
pub fn forget_tables() -> Done {
    let tables = tables();
    if tables.exists() {
        fs::remove_dir_all(&tables).map_err(|why| format!("{}: {why}", tables.display()))?;
    }
    Ok(())
}

fn measure() -> Done {
    forget_tables()?;
    run(cargo(&["test", "--workspace", "--tests", "--", "val_", "cross_"]))?;
    magpylib::compare()
}

/// Where each test and chore that measures leaves its table.
pub fn tables() -> PathBuf {
    root().join("target").join("validation")
}

fn path() -> PathBuf {
    root().join("VALIDATION.md")
}

fn page(tables: &Path) -> Result<String, String> {
    let files = if tables.exists() { source::files(tables, &["md"])? } else { Vec::new() };
    if files.is_empty() {
        return Err("no validation test has written its table yet".into());
    }
    let mut page = String::from(HEAD);
    for file in files {
        let table =
            fs::read_to_string(&file).map_err(|why| format!("{}: {why}", file.display()))?;
        page.push('\n');
        page.push_str(table.trim());
        page.push('\n');
    }
    Ok(page)
}

fn first_difference(kept: &str, new: &str) -> Option<usize> {
    let (kept, new): (Vec<_>, Vec<_>) = (kept.lines().collect(), new.lines().collect());
    let same = kept.iter().zip(&new).take_while(|(a, b)| same_line(a, b)).count();
    (same < kept.len().max(new.len())).then_some(same + 1)
}

/// True for the same words, a figure marked `~` taken for the same within a factor of ten: it is the rounding
/// of other software, which no two machines have alike.
fn same_line(kept: &str, new: &str) -> bool {
    let (kept, new): (Vec<_>, Vec<_>) = (kept.split(' ').collect(), new.split(' ').collect());
    kept.len() == new.len() && kept.iter().zip(&new).all(|(a, b)| a == b || nearly(a, b))
}

fn nearly(kept: &str, new: &str) -> bool {
    let figure = |word: &str| word.strip_prefix('~')?.parse::<f64>().ok();
    match (figure(kept), figure(new)) {
        (Some(a), Some(b)) => a.max(b) <= 10.0 * a.min(b),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_is_its_tables_in_order() {
        let tables = tempfile::tempdir().unwrap();
        fs::write(tables.path().join("b.md"), "## B\n").unwrap();
        fs::write(tables.path().join("a.md"), "\n## A\n\n").unwrap();
        assert_eq!(page(tables.path()).unwrap(), format!("{HEAD}\n## A\n\n## B\n"));
    }

    #[test]
    fn no_table_is_an_error() {
        let tables = tempfile::tempdir().unwrap();
        assert!(page(tables.path()).is_err());
    }

    #[test]
    fn a_stale_page_is_caught_at_its_first_line() {
        assert_eq!(first_difference("a\nb\n", "a\nb\n"), None);
        assert_eq!(first_difference("a\nb\n", "a\nc\n"), Some(2));
        assert_eq!(first_difference("| ~2e-9 | x |", "| ~5e-10 | x |"), None);
        assert_eq!(first_difference("| ~2e-9 | x |", "| ~1e-10 | x |"), Some(1));
        assert_eq!(first_difference("| ~2e-9 | x |", "| ~3e-9 | y |"), Some(1));
        assert_eq!(first_difference("| 2e-9 | x |", "| 3e-9 | x |"), Some(1));
        assert_eq!(first_difference("a\n", "a\nb\n"), Some(2));
    }
}
