//! A job array of Slurm, and the job that merges after it.

use super::{Batch, Start, here, quoted};
use crate::{failure::Failure, tasks::Named};

/// The jobs, and the script that hands them in.
pub(super) fn jobs(batch: &Batch, folder: &str) -> Result<Start, Failure> {
    let file = |name: &str, text: String| Named { name: name.into(), bytes: text.into_bytes() };
    Ok(Start {
        files: vec![
            file("array.sbatch", array(batch)?),
            file("merge.sbatch", merge(batch)?),
            file("submit.sh", SUBMIT.into()),
        ],
        next: vec![
            format!("sh {}", quoted(&format!("{folder}/submit.sh"))?),
            "Options for the queue may follow, such as --partition or --time.".into(),
        ],
    })
}

const SUBMIT: &str = r#"#!/bin/sh
# Hands the study to the queue: its array of tasks, then the merge, which starts when all of them
# have ended well. What follows on the command line is handed to sbatch, such as --partition or
# --time. Nodes find the program by their PATH, or where REEDMACE says.
set -eu
cd -- "$(dirname -- "$0")"
array=$(sbatch --parsable "$@" array.sbatch)
array=${array%%;*}
merge=$(sbatch --parsable --dependency="afterok:$array" --kill-on-invalid-dep=yes "$@" merge.sbatch)
merge=${merge%%;*}
echo "array $array, merge $merge: the answer will be in answer.txt"
"#;

fn array(batch: &Batch) -> Result<String, Failure> {
    let Batch { cpus, memory, tasks, .. } = batch;
    let (label, last) = (batch.label(), tasks - 1);
    let words = shell(&batch.words())?;
    Ok(format!(
        r#"#!/bin/sh
#SBATCH --job-name={label}
#SBATCH --array=0-{last}
#SBATCH --cpus-per-task={cpus}
#SBATCH --mem={memory}M
#SBATCH --requeue
#SBATCH --open-mode=append
#SBATCH --output=part-%a.log

# A task evaluates its part of the study, whole blocks of 4096 units. What is done is written every
# minute and when the task is asked to stop, always as a whole file beside the old one and then put
# in its place. A task that starts again, requeued or handed in anew, goes on from there.
export RAYON_NUM_THREADS="${{SLURM_CPUS_PER_TASK:-{cpus}}}"
exec "${{REEDMACE:-reedmace}}" {words} \
    --part "$SLURM_ARRAY_TASK_ID/{tasks}" --output "part-$SLURM_ARRAY_TASK_ID.parquet"
"#
    ))
}

fn merge(batch: &Batch) -> Result<String, Failure> {
    let label = batch.label();
    let catalogue = shell(&batch.with_catalogue())?;
    let whole = quoted(&here(&batch.whole()))?;
    Ok(format!(
        r#"#!/bin/sh
#SBATCH --job-name={label}-merge
#SBATCH --cpus-per-task=1
#SBATCH --mem={memory}M
#SBATCH --requeue
#SBATCH --output=answer.txt

# The parts, in any order, are the same whole bit for bit; --whole refuses what has gaps. A study
# some of whose units miss a demand is no failed job.
"${{REEDMACE:-reedmace}}" spread merge part-*.parquet --whole --output {whole} {catalogue}|| [ $? -eq 1 ]
"#,
        memory = batch.memory,
        catalogue = if catalogue.is_empty() { String::new() } else { format!("{catalogue} ") },
    ))
}

/// Words as a shell reads them.
fn shell(words: &[String]) -> Result<String, Failure> {
    let words: Result<Vec<String>, Failure> = words.iter().map(|word| quoted(word)).collect();
    Ok(words?.join(" "))
}
