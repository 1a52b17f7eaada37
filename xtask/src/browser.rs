//! The workbench's page: its types checked, and itself tried in a real browser.

use crate::chore::{Done, build, built, output, program, root, run, succeeds};
use std::{
    fs,
    path::{Path, PathBuf},
    process::Command,
};

/// The page, with its development tools in `node_modules`.
const PAGE: &str = "crates/workbench/page";
const TESTS: &str = "crates/workbench/tests/browser";
/// Where a browser usually is.
const BROWSERS: [&str; 3] =
    ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];

/// Check the page's types, then run every browser test against a fresh build.
pub fn browser() -> Done {
    types()?;
    let browser = chromium()?;
    build()?;
    // Half of their time they wait for what comes; by itself node would leave a core idle.
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let mut words = vec![
        "--test".into(),
        format!("--test-concurrency={cores}"),
        format!("--test-reporter=./{TESTS}/reporter.mjs"),
    ];
    words.extend(test_files()?);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let mut tests = program("node", &words);
    tests.env("CHROMIUM", browser).env("REEDMACE", built("reedmace")?);
    run(tests)
}

/// Check the types of the page's modules.
pub fn types() -> Done {
    tools()?;
    run(npm(&["run", "--silent", "check"]))
}

/// The page's development tools, fetched through npm unless those of the lock file are there.
fn tools() -> Done {
    let node = output(program("node", &["--version"]))
        .map_err(|why| format!("the page's tests need Node.js, 20 or later: {why}"))?;
    let major = node.trim().trim_start_matches('v').split('.').next().and_then(|n| n.parse().ok());
    if major.is_none_or(|major: u32| major < 20) {
        return Err(format!("the page's tests need Node.js 20 or later, not {}", node.trim()));
    }
    // npm leaves a copy of the lock file beside what it installed from it.
    let here = |name: &str| fs::metadata(root().join(PAGE).join(name)).and_then(|f| f.modified());
    let lock = here("package-lock.json").map_err(|why| format!("package-lock.json: {why}"))?;
    if here("node_modules/.package-lock.json").is_ok_and(|installed| installed >= lock) {
        return Ok(());
    }
    run(npm(&["ci", "--no-audit", "--no-fund"]))
}

/// A browser: the one CHROMIUM names, one that is there, or Debian's, installed if we may.
fn chromium() -> Result<PathBuf, String> {
    let named = std::env::var_os("CHROMIUM").map(PathBuf::from);
    let there = || BROWSERS.iter().map(PathBuf::from).find(|path| path.exists());
    if let Some(path) = named.or_else(there) {
        return if path.exists() { Ok(path) } else { Err(format!("no {}", path.display())) };
    }
    eprintln!("no browser here: installing chromium with apt-get");
    if !succeeds(program("apt-get", &["update", "-q"])) {
        eprintln!("apt-get update failed; trying with what it knows");
    }
    run(program("apt-get", &["install", "-qy", "--no-install-recommends", "chromium"]))
        .map_err(|why| format!("the page's tests need Chromium; CHROMIUM may name one: {why}"))?;
    there().ok_or_else(|| "chromium was installed, but is not where it should be".into())
}

fn npm(words: &[&str]) -> Command {
    let mut command = program("npm", words);
    command.current_dir(root().join(PAGE));
    command
}

fn test_files() -> Result<Vec<String>, String> {
    let folder = root().join(TESTS);
    let names = fs::read_dir(&folder).map_err(|why| format!("{}: {why}", folder.display()))?;
    let mut files: Vec<String> = names
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| name.ends_with(".test.mjs"))
        .map(|name| Path::new(TESTS).join(name).to_string_lossy().into_owned())
        .collect();
    files.sort();
    if files.is_empty() { Err(format!("no test in {TESTS}")) } else { Ok(files) }
}
