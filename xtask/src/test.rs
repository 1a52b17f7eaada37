//! All tests, those of Rust in parallel, reported the way `cargo test` does.

use crate::{
    browser::browser,
    chore::{Done, cargo, run, succeeds},
    validation,
};
use std::{
    io::{BufRead, BufReader},
    process::{Command, Stdio},
};

/// Every test, the examples in the docs, then the workbench's page in a real browser.
///
/// Test binaries run side by side where `cargo nextest` is installed, else one after the other.
pub fn test() -> Done {
    validation::forget_tables()?;
    if !succeeds(cargo(&["nextest", "--version"])) {
        run(cargo(&["test", "--workspace"]))?;
        return browser();
    }
    nextest()?;
    run(cargo(&["test", "--workspace", "--doc"]))?;
    browser()
}

/// Run `cargo nextest` over the workspace, its lines said in the words of `cargo test`.
fn nextest() -> Done {
    let mut command = cargo(&["nextest", "run", "--workspace", "--no-fail-fast"]);
    command.args(["--color", "never", "--status-level", "all", "--final-status-level", "fail"]);
    let mut tally = Tally::default();
    let succeeded = tee(command, |line| tally.say(line))?;
    println!("\n{}", tally.summary());
    if succeeded { Ok(()) } else { Err("tests failed".into()) }
}

fn tee(mut command: Command, mut say: impl FnMut(&str) -> String) -> Result<bool, String> {
    let mut child = command
        .stdout(Stdio::inherit())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|why| format!("cargo nextest: {why}"))?;
    if let Some(lines) = child.stderr.take() {
        for line in BufReader::new(lines).lines() {
            println!("{}", say(&line.map_err(|why| why.to_string())?));
        }
    }
    child.wait().map(|status| status.success()).map_err(|why| why.to_string())
}

/// How many tests ended how.
#[derive(Default)]
struct Tally {
    passed: usize,
    failed: usize,
    ignored: usize,
    ended: bool,
}

impl Tally {
    /// A line of nextest, as `cargo test` would have it.
    fn say(&mut self, line: &str) -> String {
        let status = line.split_whitespace().next().unwrap_or_default();
        // What comes after the summary names the failed tests a second time.
        self.ended |= status == "Summary";
        let (count, verdict) = match status {
            "PASS" => (&mut self.passed, "ok"),
            "SKIP" => (&mut self.ignored, "ignored"),
            "FAIL" | "ABORT" | "SIGABRT" | "SIGSEGV" | "TIMEOUT" => (&mut self.failed, "FAILED"),
            _ => return line.to_owned(),
        };
        match name(line) {
            Some(name) if !self.ended => {
                *count += 1;
                format!("test {name} ... {verdict}")
            }
            _ => line.to_owned(),
        }
    }

    fn summary(&self) -> String {
        let Self { passed, failed, ignored, .. } = self;
        let word = if *failed == 0 { "ok" } else { "FAILED" };
        format!("test result: {word}. {passed} passed; {failed} failed; {ignored} ignored")
    }
}

/// The test a line is about: what follows the time in brackets and the count in parentheses.
fn name(line: &str) -> Option<String> {
    let (_, rest) = line.split_once(']')?;
    let rest = rest.trim_start();
    let rest = if rest.starts_with('(') { rest.split_once(')')?.1 } else { rest };
    Some(rest.split_whitespace().collect::<Vec<_>>().join(" "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_of_nextest_read_like_cargo_test() {
        let mut tally = Tally::default();
        let lines = [
            "        PASS [   0.003s] (1/3) xtask layers::tests::arrow",
            "        FAIL [   0.003s] (2/3) reedmace::cli stdin",
            "     Summary [   0.012s] 2 tests run: 1 passed, 1 failed, 0 skipped",
            "        FAIL [   0.003s] (2/3) reedmace::cli stdin",
        ];
        let said: Vec<String> = lines.iter().map(|line| tally.say(line)).collect();
        assert_eq!(said[0], "test xtask layers::tests::arrow ... ok");
        assert_eq!(said[1], "test reedmace::cli stdin ... FAILED");
        assert_eq!(tally.summary(), "test result: FAILED. 1 passed; 1 failed; 0 ignored");
    }
}
