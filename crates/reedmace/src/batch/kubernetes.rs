//! An Indexed Job of Kubernetes, and the Job that merges after it.

use super::{Batch, Start, here, quoted};
use crate::{failure::Failure, tasks::Named};

/// How often a part that fails by itself is tried again; nodes that go away do not count.
const TRIES: u32 = 6;

/// The two Jobs.
pub(super) fn jobs(
    batch: &Batch,
    folder: &str,
    image: &str,
    claim: &str,
) -> Result<Start, Failure> {
    let file = |name: &str, text: String| Named { name: name.into(), bytes: text.into_bytes() };
    let label = batch.label();
    let [first, second] = ["parts", "merge"].map(|job| quoted(&format!("{folder}/{job}.yaml")));
    let wait = "kubectl wait --for=condition=complete --timeout=-1s";
    Ok(Start {
        files: vec![
            file("parts.yaml", parts(batch, image, claim)),
            file("merge.yaml", merge(batch, image, claim)),
        ],
        next: vec![
            format!("Copy what is in {folder} to the volume of {claim}, into its folder {label}."),
            format!("kubectl apply -f {}", first?),
            format!("{wait} job/{label}-parts"),
            format!("kubectl apply -f {}", second?),
            format!("{wait} job/{label}-merge"),
            format!("kubectl logs job/{label}-merge"),
        ],
    })
}

fn parts(batch: &Batch, image: &str, claim: &str) -> String {
    let tasks = batch.tasks;
    let mut command = vec!["reedmace".into()];
    command.extend(batch.words().iter().map(|word| as_it_is(word)));
    command.extend(["--part".into(), format!("$(JOB_COMPLETION_INDEX)/{tasks}")]);
    command.extend(["--output".into(), "part-$(JOB_COMPLETION_INDEX).parquet".into()]);
    let head = "\
# Parts of a study, one an index: whole blocks of 4096 units each. What is done is written every
# minute and when a pod is asked to stop, always as a whole file beside the old one and then put in
# its place; the next pod of the index goes on from there. The volume holds, in the folder that
# subPath names, the design and the files beside it.
";
    let spec = format!(
        "  completionMode: Indexed
  completions: {tasks}
  parallelism: {tasks}
  backoffLimitPerIndex: {TRIES}
  podFailurePolicy:
    rules:
      # Pods that had to make way are started again, and not counted.
      - action: Ignore
        onPodConditions:
          - type: DisruptionTarget
            status: \"True\"
      # A design with errors stays one.
      - action: FailIndex
        onExitCodes:
          containerName: reedmace
          operator: In
          values: [2]
"
    );
    head.to_owned() + &job(batch, "parts", &spec, &pod(batch, image, claim, &command))
}

fn merge(batch: &Batch, image: &str, claim: &str) -> String {
    let mut words: Vec<String> = vec!["spread".into(), "merge".into()];
    words.extend(["--whole".into(), "--output".into(), here(&batch.whole())]);
    words.extend(batch.with_catalogue());
    // The words are the script's arguments, so that no shell reads them a second time.
    let script = r#"reedmace "$@" part-*.parquet || [ $? -eq 1 ]"#;
    let mut command: Vec<String> = ["sh", "-c", script, "merge"].map(Into::into).to_vec();
    command.extend(words.iter().map(|word| as_it_is(word)));
    let head = "\
# The merge, when all parts are complete: the parts, in any order, are the same whole bit for bit;
# --whole refuses what has gaps. The answer is the pod's log, and the study a file beside the parts.
# A study some of whose units miss a demand is no failed Job.
";
    let spec = "  backoffLimit: 3\n";
    head.to_owned() + &job(batch, "merge", spec, &pod(batch, image, claim, &command))
}

fn job(batch: &Batch, what: &str, spec: &str, pod: &str) -> String {
    let label = batch.label();
    format!(
        "\
apiVersion: batch/v1
kind: Job
metadata:
  name: {label}-{what}
  labels:
    app.kubernetes.io/name: reedmace
    app.kubernetes.io/component: {what}
spec:
{spec}  template:
    metadata:
      labels:
        app.kubernetes.io/name: reedmace
        app.kubernetes.io/component: {what}
    spec:
{pod}"
    )
}

fn pod(batch: &Batch, image: &str, claim: &str, command: &[String]) -> String {
    let Batch { cpus, memory, .. } = batch;
    let words: String =
        command.iter().map(|word| format!("            - {}\n", text(word))).collect();
    let (image, claim, label) = (text(image), text(claim), text(&batch.label()));
    format!(
        "      restartPolicy: Never
      automountServiceAccountToken: false
      containers:
        - name: reedmace
          image: {image}
          workingDir: /study
          command:
{words}          env:
            - name: RAYON_NUM_THREADS
              value: \"{cpus}\"
          resources:
            requests:
              cpu: \"{cpus}\"
              memory: {memory}Mi
            limits:
              cpu: \"{cpus}\"
              memory: {memory}Mi
          volumeMounts:
            - name: study
              mountPath: /study
              subPath: {label}
      volumes:
        - name: study
          persistentVolumeClaim:
            claimName: {claim}
"
    )
}

/// A word in which no variable is put.
fn as_it_is(word: &str) -> String {
    word.replace('$', "$$")
}

/// A quoted scalar: YAML reads strings as JSON writes them.
fn text(word: &str) -> String {
    serde_json::Value::from(word).to_string()
}
