//! `reedmace spread --emit`: the study as jobs of a cluster.

use crate::{
    batch::{Batch, On, Scheduler, apart},
    cli::Shared,
    failure::Failure,
    input::{Beside, Source},
    output,
    part::Part,
    tasks::{self, Named, Sampling},
};
use clap::Args;
use serde_json::json;
use std::{
    collections::HashSet,
    fs,
    path::{Path, PathBuf},
    process::ExitCode,
    time::Duration,
};

/// Tasks of a study that is large enough.
const TASKS: u64 = 8;
const MEMORY: u32 = 512;

#[derive(Debug, Args)]
#[command(next_help_heading = "As jobs of a cluster")]
pub(crate) struct Emit {
    /// Run nothing; write a folder with the design, an array of tasks that each evaluate a part, and
    /// the merge of the parts.
    #[arg(
        long,
        value_enum,
        value_name = "SCHEDULER",
        conflicts_with_all = ["from", "count", "part", "output", "no_file"]
    )]
    pub(crate) emit: Option<Scheduler>,
    /// The folder to make [default: NAME.slurm or NAME.kubernetes in the current directory].
    #[arg(long, value_name = "DIR", requires = "emit")]
    out: Option<PathBuf>,
    /// Tasks of the array [default: 8, or one a block where there are fewer].
    #[arg(long, value_name = "COUNT", requires = "emit")]
    tasks: Option<u64>,
    /// Processors of a task [default: 1].
    #[arg(long, value_name = "COUNT", requires = "emit", value_parser = clap::value_parser!(u32).range(1..))]
    cpus: Option<u32>,
    /// Memory of a task, MiB [default: 512].
    #[arg(long, value_name = "MIB", requires = "emit", value_parser = clap::value_parser!(u32).range(64..))]
    memory: Option<u32>,
    /// Kubernetes: an image with `reedmace` and `sh` on its PATH.
    #[arg(long, value_name = "IMAGE", requires = "emit", required_if_eq("emit", "kubernetes"))]
    image: Option<String>,
    /// Kubernetes: the PersistentVolumeClaim of a volume that all nodes can write to.
    #[arg(long, value_name = "NAME", requires = "emit", required_if_eq("emit", "kubernetes"))]
    claim: Option<String>,
}

/// Which units, and how.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Asked {
    pub(crate) units: u64,
    pub(crate) seed: u64,
    pub(crate) exact: bool,
}

impl Emit {
    pub(crate) fn run(
        &self,
        scheduler: Scheduler,
        source: &Source,
        asked: Asked,
        shared: &Shared,
    ) -> Result<ExitCode, Failure> {
        let Asked { units, seed, exact } = asked;
        let tasks = match self.tasks {
            Some(0) => return Err(Failure::Refused("no task does nothing: --tasks 1".into())),
            Some(tasks) => tasks,
            None => TASKS.min(units.div_ceil(reedmace_engine::BLOCK)).max(1),
        };
        let first = Part { index: 0, of: tasks }.range(units)?;
        let beside = Beside::new(source);
        let design = tasks::read(source, &beside, shared)?;
        let mut files = copies(source, &beside, &design, shared)?;
        let sampling =
            Sampling { units, range: first.clone(), seed, exact, file: None, worst: None };
        let pace = tasks::pace(&design, &sampling)?;

        let stem = source.stem();
        let catalogue = shared.catalogue.is_some().then(|| files[1].name.clone());
        let (design, on) = (files[0].name.clone(), self.on(scheduler)?);
        let (cpus, memory) = (self.cpus.unwrap_or(1), self.memory.unwrap_or(MEMORY));
        let batch = Batch { stem, design, catalogue, units, seed, exact, tasks, cpus, memory, on };
        let kind = if scheduler == Scheduler::Slurm { "slurm" } else { "kubernetes" };
        let named = || PathBuf::from(format!("{}.{kind}", batch.stem));
        let folder = self.out.clone().unwrap_or_else(named);
        let jobs = batch.jobs(&folder.to_string_lossy())?;
        files.extend(jobs.files);
        apart(&files)?;
        output::write_folder(&folder, &files)?;

        let seconds = pace.of(first.end - first.start, cpus).as_secs_f64();
        if shared.json {
            let names: Vec<PathBuf> = files.iter().map(|f| folder.join(&f.name)).collect();
            output::json(
                &json!({ "written": names, "tasks": tasks, "seconds_per_task": seconds }),
            )?;
        } else {
            output::print(&told(&folder, &files, &jobs.next, tasks, seconds))?;
        }
        Ok(ExitCode::SUCCESS)
    }

    fn on(&self, scheduler: Scheduler) -> Result<On, Failure> {
        match (scheduler, &self.image, &self.claim) {
            (Scheduler::Slurm, None, None) => Ok(On::Slurm),
            (Scheduler::Kubernetes, Some(image), Some(claim)) => {
                Ok(On::Kubernetes { image: image.clone(), claim: claim.clone() })
            }
            _ => Err(Failure::Refused("--image and --claim go with --emit kubernetes".into())),
        }
    }
}

/// The design, the user's catalogue if there is one, and the files the design names, in this order.
fn copies(
    source: &Source,
    beside: &Beside,
    design: &tasks::Loaded,
    shared: &Shared,
) -> Result<Vec<Named>, Failure> {
    let name = match source {
        Source::StandardInput => "design.toml".into(),
        Source::File(path) => file_name(path)?,
    };
    let mut files = vec![Named { name, bytes: design.text().as_bytes().to_vec() }];
    if let Some(path) = &shared.catalogue {
        let bytes = fs::read(path).map_err(|why| Failure::file(path, why))?;
        files.push(Named { name: file_name(path)?, bytes });
    }
    let mut seen = HashSet::new();
    for (name, path) in beside.named() {
        if !seen.insert(name.clone()) {
            continue;
        }
        let below =
            Path::new(&name).components().all(|c| matches!(c, std::path::Component::Normal(_)));
        if !below {
            return Err(Failure::Refused(format!(
                "the design names {name}, which is not in its folder, so that no copy of both would do"
            )));
        }
        let bytes = fs::read(&path).map_err(|why| Failure::file(&path, why))?;
        files.push(Named { name, bytes });
    }
    Ok(files)
}

fn file_name(path: &Path) -> Result<String, Failure> {
    let name = path.file_name().and_then(|name| name.to_str());
    let why = || Failure::Refused(format!("{} has no name that a job can hold", path.display()));
    name.map(Into::into).ok_or_else(why)
}

fn told(folder: &Path, files: &[Named], next: &[String], tasks: u64, seconds: f64) -> String {
    let list: Vec<&str> = files.iter().map(|file| file.name.as_str()).collect();
    let length = match Duration::from_secs_f64(seconds.ceil()).as_secs() {
        s if s < 120 => format!("{s} s"),
        s if s < 7200 => format!("{} min", s.div_ceil(60)),
        s => format!("{} h", s.div_ceil(3600)),
    };
    let steps: String = next.iter().map(|step| format!("  {step}\n")).collect();
    format!(
        "Wrote {}: {}\n\n{tasks} tasks, each of about {length} by the pace of this machine.\n\nNext:\n{steps}",
        folder.display(),
        list.join(", "),
    )
}
