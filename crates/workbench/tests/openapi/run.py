"""Asks a workbench whatever its own description allows, and much that it does not.

    python3 run.py path/to/reedmace

Serves a copy of the worked examples, keeps a session open, and lets schemathesis find requests whose
answers are not described, or are faults of the server.
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
import threading
from pathlib import Path
from urllib.parse import urlsplit
from urllib.request import urlopen

from websockets.sync.client import connect

HERE = Path(__file__).resolve().parent
DESIGNS = HERE.parents[3] / "designs"
# Requests for each operation and kind, and seconds in all: less than a minute.
EXAMPLES = 40
SECONDS = 40


def keep_open(line):
    """Hears whatever comes, so that the server never waits for us."""
    for _ in line:
        pass


def described(url, session):
    """The server's own description, with what there is for strings that would otherwise name nothing."""
    with urlopen(f"{url}api/openapi.json") as answer:
        document = json.load(answer)
    there = {
        "session": [session],
        "file": [design.name for design in DESIGNS.glob("*.toml")],
        "template": ["approach", "hinge"],
        "example": ["paddle-wheel"],
        "into": ["uniform", "AT 25 mm x 9.25 mm", "mT 30 mm x 5 mm", "magnet slug", "magnet nobody"],
    }
    for path in document["paths"].values():
        for parameter in path["get"].get("parameters", []):
            if parameter["name"] in there:
                parameter["schema"] = {"type": "string", "enum": there[parameter["name"]]}
    return document


def main(reedmace):
    with tempfile.TemporaryDirectory() as folder:
        for design in DESIGNS.glob("*.toml"):
            shutil.copy(design, folder)
        home = {**os.environ, "XDG_STATE_HOME": f"{folder}/.state", "XDG_DATA_HOME": f"{folder}/.data"}
        server = subprocess.Popen([reedmace, "serve", folder, "--json"], stdout=subprocess.PIPE, env=home)
        try:
            url = json.loads(server.stdout.readline())["url"]
            at = urlsplit(url)
            with connect(f"ws://{at.netloc}{at.path}api/live", origin=f"http://{at.netloc}", max_size=None) as line:
                line.send(json.dumps({"say": "open", "file": "hopper-lid.toml"}))
                session = json.loads(line.recv())["session"]
                line.send(json.dumps({"say": "view", "plane": "xz", "offset": 0, "extent": None,
                                      "cells": [60, 40], "contact": 0, "map": True}))
                threading.Thread(target=keep_open, args=(line,), daemon=True).start()
                description = Path(folder) / "openapi.json"
                description.write_text(json.dumps(described(url, session)))
                # The socket is no plain request: it has a test of its own.
                asked = subprocess.run(
                    [Path(sys.executable).with_name("schemathesis"),
                     "--config-file", HERE / "schemathesis.toml", "run", description,
                     "--url", url.rstrip("/"), "--exclude-path", "/api/live",
                     "--phases", "examples,coverage,fuzzing", "--checks", "all", "--workers", "2",
                     "--max-examples", str(EXAMPLES), "--max-time", str(SECONDS), "--seed", "1",
                     "--request-timeout", "60", "--continue-on-failure", "--no-color"],
                    cwd=folder, check=False)
            if server.poll() is not None:
                sys.exit(f"the server ended by itself ({server.returncode})")
            sys.exit(asked.returncode)
        finally:
            server.kill()
            server.wait()


main(sys.argv[1])
