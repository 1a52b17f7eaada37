//! A folder to work in and the command to run there.

use std::{
    io::Write,
    path::{Path, PathBuf},
    process::{Child, Command, Output, Stdio},
};

/// A contact, a magnet which comes straight at it from 50 mm to 5 mm, and no demand.
pub const APPROACH: &str = r#"format = 1
title = "Sheep dip float at Tarn Hollow"

[[contact]]
name = "dip"
family = "sedge"

[[magnet]]
name = "slug"
shape = "cuboid"
size = ["10 mm", "5 mm", "5 mm"]
remanence = "1.2 T"
direction = [1, 0, 0]

[sweep]
kind = "line"
moves = "slug"
from = ["0 mm", "0 mm", "50 mm"]
to = ["0 mm", "0 mm", "5 mm"]
"#;

/// The same with a demand every unit meets.
pub fn met() -> String {
    demanding("closed = \"<= 12 mm\"")
}

/// The same with a demand no unit meets.
pub fn missed() -> String {
    demanding("open = \"<= 6 mm\"")
}

/// The same with another demand.
pub fn demanding(what: &str) -> String {
    format!("{APPROACH}\n[[demand]]\ncontact = \"dip\"\n{what}\n")
}

/// The same with a unit mistaken.
pub fn faulty() -> String {
    APPROACH.replace("\"10 mm\"", "\"10 mT\"")
}

/// An empty folder of our own.
pub struct Bench {
    folder: tempfile::TempDir,
}

impl Bench {
    pub fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    /// With one file in it.
    pub fn with(name: &str, text: &str) -> Self {
        let bench = Self::new();
        bench.save(name, text);
        bench
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn save(&self, name: &str, text: &str) {
        std::fs::write(self.path(name), text).unwrap();
    }

    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }

    /// Names of all files, sorted.
    pub fn files(&self) -> Vec<String> {
        let name = |entry: std::fs::DirEntry| entry.file_name().to_string_lossy().into_owned();
        let mut names: Vec<_> =
            std::fs::read_dir(self.folder.path()).unwrap().map(|e| name(e.unwrap())).collect();
        names.sort();
        names
    }

    /// The command, here.
    pub fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(Path::new(env!("CARGO_BIN_EXE_reedmace")));
        command.args(words).current_dir(self.folder.path());
        command.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").env_remove("CLICOLOR");
        command
    }

    /// Run it.
    pub fn run(&self, words: &[&str]) -> Outcome {
        self.command(words).stdin(Stdio::null()).output().unwrap().into()
    }

    /// Run it with this on standard input.
    pub fn run_on(&self, input: &str, words: &[&str]) -> Outcome {
        let mut child = self.start(words);
        child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
        child.wait_with_output().unwrap().into()
    }

    /// Start it with all its streams in our hands.
    pub fn start(&self, words: &[&str]) -> Child {
        self.command(words)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
    }
}

/// How a run ended.
#[derive(Debug)]
pub struct Outcome {
    pub code: Option<i32>,
    pub out: String,
    pub err: String,
}

impl From<Output> for Outcome {
    fn from(output: Output) -> Self {
        Self {
            code: output.status.code(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

impl Outcome {
    /// It did what was asked.
    pub fn fine(self) -> Self {
        assert_eq!(self.code, Some(0), "{self:?}");
        self
    }

    /// What it printed, as JSON.
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out).unwrap_or_else(|why| panic!("{why}: {self:?}"))
    }
}
