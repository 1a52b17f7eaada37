"""Nanoseconds a point of this crate, of magpylib and of magba, in one run on the same points.

Run: python3 crates/fields/benches/compare/compare.py [number of points]
(needs numpy and magpylib from pip, and cargo; prints a Markdown table for BENCHMARKS.md)

Every figure is the best of several passes over the same points, one thread unless the column says
two. The points fill a cube of half edge 20 mm round sources of 5 to 10 mm.
"""

import json
import os
import platform
import subprocess
import sys
import tempfile
import time
from pathlib import Path

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")

import magpylib as magpy
import numpy as np

HERE = Path(__file__).resolve().parent
OBLIQUE, AXIAL, ACROSS = (0.3, -0.5, 1.1), (0, 0, 1.2), (1.2, 0, 0)


def cuboid(j):
    return [(1, magpy.magnet.Cuboid(dimension=(0.010, 0.006, 0.004), polarization=j))]


def cylinder(j):
    return [(1, magpy.magnet.Cylinder(dimension=(0.010, 0.020), polarization=j))]


def ring(j):  # outer cylinder less inner: the library's own ring segment is a hundred times slower
    size = ((1, 0.020), (-1, 0.010))
    return [(s, magpy.magnet.Cylinder(dimension=(d, 0.006), polarization=j)) for s, d in size]


THEIRS = {
    "cuboid, oblique": cuboid(OBLIQUE),
    "cuboid, along an axis": cuboid(AXIAL),
    "cylinder, axial": cylinder(AXIAL),
    "cylinder, diametral": cylinder(ACROSS),
    "ring, axial": ring(AXIAL),
    "ring, oblique": ring(OBLIQUE),
    "sphere": [(1, magpy.magnet.Sphere(diameter=0.010, polarization=OBLIQUE))],
    "loop": [(1, magpy.current.Circle(diameter=0.010, current=100))],
}


def numpy_ns(sources, points):
    best = float("inf")
    for _ in range(3):
        start = time.perf_counter()
        sum(sign * source.getB(points) for sign, source in sources)
        best = min(best, time.perf_counter() - start)
    return best * 1e9 / len(points)


def machine():
    cpu = platform.processor() or platform.machine()
    try:
        lines = Path("/proc/cpuinfo").read_text().splitlines()
        cpu = next(line.split(":")[1].strip() for line in lines if line.startswith("model name"))
        flags = next(line for line in lines if line.startswith("flags")).split()
        width = "AVX-512" if "avx512f" in flags else "AVX2" if "avx2" in flags else "baseline"
    except (OSError, StopIteration):
        width = "unknown vectors"
    return f"{cpu}, {os.cpu_count()} logical cores, {width}, {platform.system()}"


def target_dir():
    command = ["cargo", "metadata", "--format-version", "1", "--no-deps"]
    return Path(json.loads(subprocess.check_output(command, cwd=HERE))["target_directory"])


def main():
    n = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    points = np.random.default_rng(20261125).uniform(-0.02, 0.02, (n, 3))
    subprocess.run(["cargo", "build", "--release", "--quiet"], cwd=HERE, check=True)
    with tempfile.NamedTemporaryFile(suffix=".f64") as file:
        points.tofile(file.name)
        binary = target_dir() / "release" / "compare"
        rows = subprocess.check_output([binary, file.name], text=True).splitlines()
    print(f"{n:,} points, one thread, ns a point. {machine()}; {time.strftime('%Y-%m-%d')}.")
    print(f"magpylib {magpy.__version__} on numpy {np.__version__}; magba 0.7.3.\n")
    print("| source | ours | magpylib | ratio | magba | ratio | ours, two threads | ratio | gradient | ratio |")
    print("|---|--:|--:|--:|--:|--:|--:|--:|--:|--:|")
    for row in rows:
        name, ours, magba, two, gradient = row.split("\t")
        numpy = f"{numpy_ns(THEIRS[name], points):.0f}" if name in THEIRS else "-"

        def over(a, b):
            return "-" if "-" in (a, b) else f"{float(a) / float(b):.1f}"

        cells = [name, ours, numpy, over(numpy, ours), magba, over(magba, ours)]
        cells += [two, over(ours, two), gradient, over(gradient, ours)]
        print("| " + " | ".join(cells) + " |")


if __name__ == "__main__":
    main()
