//! The text files of the repository.

use std::{
    fs,
    path::{Path, PathBuf},
};

/// Every file under `top` with one of these extensions, in a fixed order; build output, hidden
/// folders and vendored code are passed over.
pub fn files(top: &Path, extensions: &[&str]) -> Result<Vec<PathBuf>, String> {
    let mut found = Vec::new();
    walk(top, extensions, &mut found)?;
    found.sort();
    Ok(found)
}

fn walk(folder: &Path, extensions: &[&str], found: &mut Vec<PathBuf>) -> Result<(), String> {
    let said = |why: std::io::Error| format!("{}: {why}", folder.display());
    for entry in fs::read_dir(folder).map_err(said)? {
        let path = entry.map_err(said)?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        if path.is_dir() {
            if !name.starts_with('.') && !["target", "vendor", "node_modules"].contains(&&*name) {
                walk(&path, extensions, found)?;
            }
        } else if path.extension().is_some_and(|e| extensions.iter().any(|x| e == *x)) {
            found.push(path);
        }
    }
    Ok(())
}
