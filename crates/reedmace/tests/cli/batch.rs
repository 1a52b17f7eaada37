//! `reedmace spread --emit`: studies as jobs of a cluster.

use crate::bench::{APPROACH, Bench};
use std::{
    fs,
    path::Path,
    process::{Command, Output},
};

/// Units that differ, and a demand that some of them miss.
fn playing() -> String {
    let demand = "\n[[demand]]\ncontact = \"dip\"\nclosed = \"<= 29 mm\"\n";
    APPROACH.replace("from = [\"0 mm\", \"0 mm\"", "from = [\"0 ± 3 mm\", \"0 ± 3 mm\"") + demand
}

const NAME: &str = "Tarn Hollow's $(dip) 'float'.toml";

/// A task of a job array in a folder.
#[cfg(unix)]
fn task(folder: &Path, script: &str, index: &str) -> Output {
    let mut command = Command::new("sh");
    command.arg(script).current_dir(folder).env("REEDMACE", env!("CARGO_BIN_EXE_reedmace"));
    command.env("SLURM_ARRAY_TASK_ID", index).env("SLURM_CPUS_PER_TASK", "2");
    command.output().unwrap()
}

#[cfg(unix)]
#[test]
fn tasks_of_an_array_merge_to_the_study_of_one_machine() {
    let bench = Bench::with(NAME, &playing());
    let units = ["--units", "2e4", "--seed", "3"];
    let emit = ["spread", NAME, "--emit", "slurm", "--out", "jobs", "--tasks", "3"];
    let told = bench.run(&[&emit[..], &units[..]].concat()).fine();
    assert!(told.out.contains("3 tasks") && told.out.contains("sh jobs/submit.sh"), "{}", told.out);
    let folder = bench.path("jobs");
    assert_eq!(fs::read_to_string(folder.join(NAME)).unwrap(), playing());
    let done = |script: &str, index: &str| task(&folder, script, index).status.success();
    assert!(done("array.sbatch", "2") && done("array.sbatch", "0"));
    // Nothing is merged before all parts are there.
    let early = task(&folder, "merge.sbatch", "");
    let says = String::from_utf8_lossy(&early.stderr);
    assert!(!early.status.success() && says.contains("missing are 4096..12288"), "{says}");
    assert!(done("array.sbatch", "1") && done("merge.sbatch", ""));
    let whole = "jobs/Tarn Hollow's $(dip) 'float'.spread.parquet";
    let merged = bench.run(&["spread", "merge", "--json", "--whole", whole]);
    let alone = bench.run(&[&["spread", NAME, "--no-file", "--json"], &units[..]].concat());
    assert_eq!((merged.code, alone.code), (Some(1), Some(1)));
    assert_eq!(merged.json(), alone.json());
}

#[test]
fn a_folder_holds_all_that_the_study_needs() {
    let bench = Bench::with("float.toml", &playing());
    bench.save("mine.toml", "");
    let emit = ["spread", "float.toml", "--catalogue", "mine.toml", "--units", "4096", "--json"];
    let on = ["--emit", "kubernetes", "--image", "farm/reedmace:1", "--claim", "studies"];
    let told = bench.run(&[&emit[..], &on[..]].concat()).fine().json();
    assert_eq!(told["tasks"], 1);
    let folder = bench.path("float.kubernetes");
    let mut names: Vec<String> = fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(names, ["float.toml", "merge.yaml", "mine.toml", "parts.yaml"]);
    let jobs = fs::read_to_string(folder.join("parts.yaml")).unwrap();
    for words in ["completionMode: Indexed", "image: \"farm/reedmace:1\"", "claimName: \"studies\""]
    {
        assert!(jobs.contains(words), "{jobs}");
    }
    // A folder with something in it is left as it is.
    let again = bench.run(&[&emit[..], &on[..]].concat());
    assert!(again.code == Some(2) && again.err.contains("is there already"), "{}", again.err);
    assert_eq!(bench.files(), ["float.kubernetes", "float.toml", "mine.toml"]);
}

#[test]
fn what_cannot_be_cut_into_tasks_says_why() {
    let bench = Bench::with("float.toml", &playing());
    bench.save(
        "lean.toml",
        &APPROACH.replace("sedge\"", "sedge\"\noperate = \"20 AT\"\nrelease = \"10 AT\""),
    );
    bench.save("submit.sh", &playing());
    for (words, says) in [
        (&["float.toml", "--units", "1e4", "--tasks", "9"][..], "3 blocks of 4096, too few for 9"),
        (&["float.toml", "--tasks", "0"], "no task does nothing"),
        (&["float.toml", "--image", "farm/reedmace:1"], "go with --emit kubernetes"),
        (&["float.toml", "--from", "4096"], "cannot be used with"),
        (&["lean.toml"], "carries a tolerance"),
        (&["submit.sh"], "would be called submit.sh"),
    ] {
        let told = bench.run(&[&["spread", "--emit", "slurm"], words].concat());
        assert!(told.code == Some(2) && told.err.contains(says), "{words:?}: {}", told.err);
    }
    assert_eq!(bench.files(), ["float.toml", "lean.toml", "submit.sh"]);
    let told = bench.run(&["spread", "float.toml", "--emit", "kubernetes"]);
    assert!(told.code == Some(2) && told.err.contains("--image"), "{}", told.err);
}
