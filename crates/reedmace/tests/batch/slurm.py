"""A study as a job array of a real Slurm, one of its tasks taken away midway: still the same answer.

Run as root: python3 slurm.py PROGRAM DESIGN
(munged, slurmctld and slurmd from Debian's slurm-wlm and munge; nothing else)

A cluster of this one machine, on the loopback address and in a folder of its own: two processors, so that
the eight tasks take turns. One task is requeued while it samples. It must have been interrupted (its part
holds some of its units, and not all), must have started again and gone on from what its part held, and what
the merge job writes must be the answer of a single process, every digit of it. Whatever happens, the
daemons end with this script.
"""

import contextlib
import ctypes
import json
import os
import re
import signal
import socket
import subprocess
import sys
import tempfile
import time
from pathlib import Path

UNITS, TASKS = 8 * 20 * 4096, 8
PATIENCE = 240.0  # s, for anything that should happen

CONF = """\
ClusterName=tarnhollow
SlurmctldHost={host}(127.0.0.1)
SlurmctldPort={ports[0]}
SlurmdPort={ports[1]}
CommunicationParameters=NoCtldInAddrAny,NoInAddrAny
SlurmUser=root
SlurmdUser=root
AuthType=auth/munge
AuthInfo=socket={home}/munge.socket,cred_expire=5
CryptoType=crypto/munge
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
SelectType=select/cons_tres
SelectTypeParameters=CR_Core
SchedulerParameters=sched_interval=2,batch_sched_delay=0
AccountingStorageType=accounting_storage/none
JobAcctGatherType=jobacct_gather/none
JobCompType=jobcomp/filetxt
JobCompLoc={home}/jobs.txt
MpiDefault=none
ReturnToService=2
KillWait=10
StateSaveLocation={home}/state
SlurmdSpoolDir={home}/spool
SlurmctldPidFile={home}/slurmctld.pid
SlurmdPidFile={home}/slurmd.pid
SlurmdParameters=config_overrides
NodeName={host} NodeAddr=127.0.0.1 CPUs=2 RealMemory=4096 State=UNKNOWN
PartitionName=barn Nodes={host} Default=YES MaxTime=INFINITE State=UP
"""


def main(program, design):
    if os.geteuid() != 0:
        sys.exit("slurm.py: the daemons of a cluster want to be run as root")
    # Ended by a signal, we still clean up.
    signal.signal(signal.SIGTERM, lambda *_: sys.exit("slurm.py: terminated"))
    began = time.monotonic()
    with tempfile.TemporaryDirectory(prefix="reedmace-slurm-") as home, contextlib.ExitStack() as stack:
        cluster(Path(home), stack)
        study(Path(home), program, design)
    print(f"slurm: {TASKS} tasks, one of them requeued midway, merged to the answer of one process, bit for bit, "
          f"in {time.monotonic() - began:.0f} s")


def study(home, program, design):
    units = ["--units", str(UNITS), "--exact"]
    emit = ["--emit", "slurm", "--tasks", str(TASKS), "--out", home / "jobs"]
    pace = json.loads(run(program, "spread", design, *units, *emit, "--json").stdout)["seconds_per_task"]
    environment = os.environ | {"REEDMACE": str(program)}
    told = run("sh", home / "jobs" / "submit.sh", env=environment).stdout
    array, merge = re.fullmatch(r"array (\d+), merge (\d+): .*\n", told).groups()

    taken, restarts, kept = interrupt(program, array, home / "jobs", pace)
    on_its_way = ("PENDING", "RUNNING", "COMPLETING")
    until(f"the merge of {array}", lambda: job(merge)["JobState"] not in on_its_way, array, merge)
    ended = job(merge)["JobState"]
    check(ended == "COMPLETED", f"the merge ended as {ended}")
    for index in range(TASKS):
        task = job(f"{array}_{index}")
        check(task["JobState"] == "COMPLETED" and task["ExitCode"] == "0:0", f"task {index} ended as {task}")
        check(int(task["Restarts"]) == restarts[index], f"task {index}: {task['Restarts']} restarts")
    log = (home / "jobs" / f"part-{taken}.log").read_text()
    resumed = re.search(r"([\d  ]+) of them from the\s+file", log)
    check(resumed and int(re.sub(r"\D", "", resumed[1])) == kept, f"it did not go on from {kept} units:\n{log}")

    whole = home / "jobs" / (Path(design).stem + ".spread.parquet")
    merged = run(program, "spread", "merge", "--whole", "--json", whole, well=(0, 1)).stdout
    alone = run(program, "spread", design, *units, "--no-file", "--json", well=(0, 1)).stdout
    check(json.loads(merged)["units"] == UNITS, "the merged study has other units")
    check(merged == alone, "the merged answer is not that of one process")
    check("units, seed 1" in (home / "jobs" / "answer.txt").read_text(), "answer.txt has no answer")


def interrupt(program, array, folder, pace):
    """Requeue a task while it samples: which, how often each was, and the units its part then holds."""
    wait, share, restarts, index = 0.4 * pace, UNITS // TASKS, [0] * TASKS, 0
    while index < TASKS:
        task, part = f"{array}_{index}", folder / f"part-{index}.parquet"
        until(f"{task} runs", lambda: job(task)["JobState"] in ("RUNNING", "COMPLETED"), task)
        if job(task)["JobState"] == "COMPLETED":
            index += 1
            continue
        time.sleep(wait)
        if job(task)["JobState"] == "COMPLETED" or run("scontrol", "requeue", task, well=None).returncode:
            index, wait = index + 1, 0.7 * wait
            continue
        restarts[index] += 1
        until(f"{task} waits again", lambda: job(task)["JobState"] == "PENDING", task)
        if not part.exists():
            # It was still solving what comes before the first unit.
            wait *= 1.4
            continue
        held = json.loads(run(program, "spread", "merge", "--json", part, well=(0, 1)).stdout)["units"]
        if held == share:
            # It was already telling its answer.
            index, wait = index + 1, 0.7 * wait
            continue
        check(0 < held < share, f"{task} held {held} of {share} units when it was interrupted")
        print(f"slurm: {task} was interrupted with {held} of {share} units, after {wait:.1f} s of its run")
        return index, restarts, held
    raise SystemExit("slurm.py: no task could be interrupted while it sampled")


def cluster(home, stack):
    """Start the daemons; they end with the stack, or at the latest with us."""
    ports = free_ports(2)
    host = socket.gethostname().split(".")[0]
    conf = home / "slurm.conf"
    conf.write_text(CONF.format(home=home, host=host, ports=ports))
    for folder in ("state", "spool"):
        (home / folder).mkdir()
    key = home / "munge.key"
    key.write_bytes(os.urandom(128))
    key.chmod(0o400)
    os.environ["SLURM_CONF"] = str(conf)

    munged = ["munged", "--foreground", "--force", f"--key-file={key}"]
    munged += [f"--{what}-file={home}/munge.{what}" for what in ("pid", "seed", "log")]
    daemon(stack, home, "munged", munged + [f"--socket={home}/munge.socket"])
    until("munge", lambda: (home / "munge.socket").exists())
    daemon(stack, home, "slurmctld", ["slurmctld", "-D", "-f", conf])
    daemon(stack, home, "slurmd", ["slurmd", "-D", "-f", conf])
    # The first to be called: nothing runs on when the daemons end.
    stack.callback(end_jobs)
    try:
        until("the node", lambda: "idle" in run("sinfo", "-h", "-o", "%T", well=None).stdout)
    except SystemExit as why:
        logs = [f"== {log.name}\n{log.read_text()[-3000:]}" for log in home.glob("*.out")]
        raise SystemExit("\n".join([str(why), *logs])) from None


def daemon(stack, home, name, words):
    log = stack.enter_context(open(home / f"{name}.out", "w"))
    libc = ctypes.CDLL(None)
    with_us = lambda: libc.prctl(1, signal.SIGKILL)  # PR_SET_PDEATHSIG
    process = subprocess.Popen(words, stdout=log, stderr=log, stdin=subprocess.DEVNULL, preexec_fn=with_us)
    stack.callback(end, process)


def end(process):
    process.terminate()
    try:
        process.wait(10)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()


def end_jobs():
    run("scancel", "--user=root", well=None)
    with contextlib.suppress(SystemExit):
        until("an empty queue", lambda: not run("squeue", "-h", "-t", "running,completing", well=None).stdout, patience=20)


def free_ports(count):
    sockets = [socket.create_server(("127.0.0.1", 0)) for _ in range(count)]
    ports = [s.getsockname()[1] for s in sockets]
    for s in sockets:
        s.close()
    return ports


def job(name):
    """What is known of a job."""
    line = run("scontrol", "show", "job", "-o", name).stdout
    return dict(pair.split("=", 1) for pair in line.split() if "=" in pair)


def until(what, true, *jobs, patience=PATIENCE):
    end = time.monotonic() + patience
    while not true():
        if time.monotonic() > end:
            states = [run("scontrol", "show", "job", name, well=None).stdout for name in jobs]
            raise SystemExit("\n".join([f"slurm.py: waited {patience:.0f} s in vain for {what}", *states]))
        time.sleep(0.2)


def run(*words, env=None, well=(0,)):
    words = [str(word) for word in words]
    done = subprocess.run(words, capture_output=True, text=True, env=env, timeout=PATIENCE)
    check(well is None or done.returncode in well, f"{' '.join(words)}: {done.returncode}\n{done.stdout}{done.stderr}")
    return done


def check(true, why):
    if not true:
        raise SystemExit(f"slurm.py: {why}")


if __name__ == "__main__":
    main(Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve())
