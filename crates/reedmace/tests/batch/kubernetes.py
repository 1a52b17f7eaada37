"""A study as an Indexed Job: as its published schema wants it, and each index's command run here.

Run: python3 kubernetes.py PROGRAM DESIGN
(kubernetes-validate, which carries the published schemas; PyYAML)

Both Jobs are held against the schema of several versions, strictly: a key that the schema does not know is a
fault. Then the command of every index is run as a pod would run it, in the folder that would be the volume,
with JOB_COMPLETION_INDEX set and put in as the kubelet does; one of them is interrupted and run again. What
the merge's command then writes must be the answer of a single process, every digit of it. The design's name
is one that a shell or a template would stumble over.
"""

import json
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import kubernetes_validate
import yaml

# backoffLimitPerIndex came, as beta, with 1.29.
VERSIONS = ["1.29", "1.31", "1.33", "1.37"]
UNITS, TASKS = 40_000, 3
NAME = "Tarn Hollow's $(JOB_COMPLETION_INDEX) 'lid' #1: $x $$"


def main(program, design):
    with tempfile.TemporaryDirectory(prefix="reedmace-kubernetes-") as home:
        home = Path(home)
        shutil.copy(design, home / f"{NAME}.toml")
        study = ["spread", home / f"{NAME}.toml", "--units", UNITS, "--seed", 5]
        on = ["--emit", "kubernetes", "--image", "farm.example/reedmace:1", "--claim", "studies"]
        run([program, *study, *on, "--tasks", TASKS, "--out", home / "jobs"])
        jobs = {}
        for what in ("parts", "merge"):
            jobs[what] = yaml.safe_load((home / "jobs" / f"{what}.yaml").read_text())
            for version in VERSIONS:
                kubernetes_validate.validate(jobs[what], version, strict=True)
        spec = jobs["parts"]["spec"]
        check((spec["completionMode"], spec["completions"]) == ("Indexed", TASKS), f"{spec}")
        check(spec["backoffLimitPerIndex"] > 0, "no index is tried again")

        path = {"PATH": f"{program.parent}:{os.environ['PATH']}"}
        for index in reversed(range(TASKS)):
            pod(jobs["parts"], home / "jobs", path | {"JOB_COMPLETION_INDEX": str(index)}, interrupted=index == 1)
        answer = pod(jobs["merge"], home / "jobs", path)
        check("seed 5" in answer, f"the merge told no answer:\n{answer}")
        whole = home / "jobs" / f"{NAME}.spread.parquet"
        merged = run([program, "spread", "merge", "--whole", "--json", whole], well=(0, 1))
        alone = run([program, *study, "--no-file", "--json"], well=(0, 1))
        check(json.loads(merged)["units"] == UNITS and merged == alone, "the merged answer is not that of one process")
    print(f"kubernetes: both Jobs fit the schemas of {', '.join(VERSIONS)}; {TASKS} indices, one of them "
          "interrupted and run again, merged to the answer of one process, bit for bit")


def pod(job, volume, environment, interrupted=False):
    """What a pod of the job prints: its command, run in the folder mounted as its volume."""
    container = job["spec"]["template"]["spec"]["containers"][0]
    check(container["workingDir"] == container["volumeMounts"][0]["mountPath"], "it does not run in its volume")
    environment = os.environ | environment | {v["name"]: v["value"] for v in container["env"]}
    command = [expanded(word, environment) for word in container["command"]]
    if interrupted:
        interrupt(command, volume, environment)
    return run(command, cwd=volume, env=environment)


def interrupt(command, volume, environment):
    """Starts the command and takes it away while it works, however fast the machine is."""
    part = volume / command[command.index("--output") + 1]
    moment, ended = 0.5, []
    while 130 not in ended:
        check(len(ended) < 20, f"never interrupted at work, it ended with {ended}")
        process = subprocess.Popen(command, cwd=volume, env=environment, stdout=subprocess.DEVNULL)
        time.sleep(moment)
        process.send_signal(signal.SIGTERM)
        ended.append(process.wait(60))
        check(ended[-1] in (0, 130, -signal.SIGTERM), f"interrupted, it ended with {ended[-1]}")
        if ended[-1] == 0:
            # It was done already.
            part.unlink()
            moment *= 0.6
        elif ended[-1] < 0:
            # It did not listen yet.
            moment *= 1.5


def expanded(word, environment):
    """`$(NAME)` replaced and `$$` halved, as in a pod's command; an unknown NAME is left."""
    def value(found):
        return "$" if found[0] == "$$" else environment.get(found[1], found[0])
    return re.sub(r"\$\$|\$\((\w+)\)", value, word)


def run(words, well=(0,), **options):
    words = [str(word) for word in words]
    done = subprocess.run(words, capture_output=True, text=True, timeout=300, **options)
    check(done.returncode in well, f"{' '.join(words)}: {done.returncode}\n{done.stdout}{done.stderr}")
    return done.stdout


def check(true, why):
    if not true:
        raise SystemExit(f"kubernetes.py: {why}")


if __name__ == "__main__":
    main(Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve())
