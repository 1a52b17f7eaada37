//! A study as jobs of a cluster: what its folder holds.
//!
//! Everything lies side by side in one folder: the design and the files it names, the jobs, and in time
//! the parts and what they merge to. Commands name files relative to it, so it can be moved as a whole.

mod kubernetes;
mod slurm;

use crate::{failure::Failure, tasks::Named};
use clap::ValueEnum;
use std::collections::HashSet;

/// What runs the jobs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Scheduler {
    /// A job array and a job that merges.
    Slurm,
    /// An Indexed Job and a Job that merges.
    Kubernetes,
}

/// A study to be run in parts.
#[derive(Debug)]
pub(crate) struct Batch {
    /// What the study is called: the design's name without its ending.
    pub(crate) stem: String,
    /// File of the design.
    pub(crate) design: String,
    /// File of the user's catalogue.
    pub(crate) catalogue: Option<String>,
    /// Units of the whole study.
    pub(crate) units: u64,
    pub(crate) seed: u64,
    pub(crate) exact: bool,
    /// Parts it is cut into.
    pub(crate) tasks: u64,
    /// Processors of a task.
    pub(crate) cpus: u32,
    /// Memory of a task, MiB.
    pub(crate) memory: u32,
    pub(crate) on: On,
}

/// What only one kind of cluster asks.
#[derive(Debug)]
pub(crate) enum On {
    Slurm,
    /// The image that holds the program, and the claim of the volume that holds the folder.
    Kubernetes {
        image: String,
        claim: String,
    },
}

/// How to start what was written.
pub(crate) struct Start {
    /// The files, but for those copied.
    pub(crate) files: Vec<Named>,
    /// What to do next, a line each.
    pub(crate) next: Vec<String>,
}

impl Batch {
    /// The jobs.
    pub(crate) fn jobs(&self, folder: &str) -> Result<Start, Failure> {
        match &self.on {
            On::Slurm => slurm::jobs(self, folder),
            On::Kubernetes { image, claim } => kubernetes::jobs(self, folder, image, claim),
        }
    }

    /// What the whole study is written to.
    fn whole(&self) -> String {
        format!("{}.spread.parquet", self.stem)
    }

    /// What a task is asked, but for which part; the words of `spread`.
    fn words(&self) -> Vec<String> {
        let mut words = vec!["spread".into(), here(&self.design)];
        words.extend(["--units".into(), self.units.to_string()]);
        words.extend(["--seed".into(), self.seed.to_string()]);
        words.extend(self.exact.then(|| "--exact".into()));
        words.extend(self.with_catalogue());
        words
    }

    fn with_catalogue(&self) -> Vec<String> {
        let file = self.catalogue.iter();
        file.flat_map(|file| ["--catalogue".into(), here(file)]).collect()
    }

    /// A name for jobs, of small letters, digits and hyphens, short enough to be part of a host's.
    fn label(&self) -> String {
        let plain = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
        let name: String = self.stem.chars().map(plain).take(40).collect();
        let name = name.trim_matches('-');
        match name.chars().next() {
            Some(first) if first.is_ascii_alphabetic() => name.to_owned(),
            Some(_) => format!("study-{name}"),
            None => "study".into(),
        }
    }
}

/// A file of the folder, so that no name is taken for an option.
fn here(file: &str) -> String {
    format!("./{file}")
}

/// A word as a shell reads it.
fn quoted(word: &str) -> Result<String, Failure> {
    let quoted = shlex::try_quote(word);
    quoted.map(Into::into).map_err(|why| Failure::Refused(format!("{word:?}: {why}")))
}

/// Refuse files of one name.
pub(crate) fn apart(files: &[Named]) -> Result<(), Failure> {
    let mut seen = HashSet::new();
    match files.iter().find(|file| !seen.insert(file.name.to_lowercase())) {
        None => Ok(()),
        Some(twice) => Err(Failure::Refused(format!(
            "two files of the study would be called {}; rename the design or its catalogue",
            twice.name
        ))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    pub(super) fn of(stem: &str) -> Batch {
        Batch {
            stem: stem.into(),
            design: format!("{stem}.toml"),
            catalogue: None,
            units: 40_960,
            seed: 1,
            exact: false,
            tasks: 4,
            cpus: 1,
            memory: 512,
            on: On::Slurm,
        }
    }

    #[test]
    fn jobs_are_named_as_hosts_may_be() {
        for (stem, label) in [
            ("hopper-lid", "hopper-lid"),
            ("Hopper lid (2)", "hopper-lid--2"),
            ("2nd", "study-2nd"),
            ("Füllstand", "f-llstand"),
            ("...", "study"),
        ] {
            assert_eq!(of(stem).label(), label);
        }
        assert!(of(&"long-".repeat(50)).label().len() <= 40);
    }

    #[test]
    fn two_files_of_one_name_are_refused() {
        let file = |name: &str| Named { name: name.into(), bytes: Vec::new() };
        assert!(apart(&[file("a"), file("b")]).is_ok());
        let why = apart(&[file("submit.sh"), file("b"), file("Submit.sh")]).unwrap_err();
        assert!(why.to_string().contains("would be called Submit.sh"), "{why}");
    }
}
