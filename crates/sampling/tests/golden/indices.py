"""Indices by another library, of values that it is given: writes indices.csv.

Run: python3 indices.py [directory]        (SALib; seeded, seconds)

First 512 rows: the Ishigami function, shifted by 100, at independent random points A, B and AB_1 to AB_3. Then,
for each of the three inputs, first-order index, its standard error by bootstrap, total index and its error.
"""

import sys
from pathlib import Path

import numpy as np
from SALib.analyze import sobol

ROWS, D = 512, 3


def ishigami(x):
    return 100 + np.sin(x[:, 0]) * (1 + 0.1 * x[:, 2] ** 4) + 7 * np.sin(x[:, 1]) ** 2


if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parent)
    rng = np.random.Generator(np.random.PCG64(20261126))
    a, b = rng.uniform(-np.pi, np.pi, (2, ROWS, D))
    points = [a, b]
    for i in range(D):
        mixed = a.copy()
        mixed[:, i] = b[:, i]
        points.append(mixed)
    y = np.column_stack([ishigami(p) for p in points])
    # The library wants A, AB_1, ..., AB_D, B for each row.
    flat = np.column_stack([y[:, :1], y[:, 2:], y[:, 1:2]]).ravel()
    problem = {"num_vars": D, "names": ["x1", "x2", "x3"], "bounds": [[-np.pi, np.pi]] * D}
    s = sobol.analyze(problem, flat, calc_second_order=False, num_resamples=2000, conf_level=0.6826894921, seed=1)
    lines = ["a,b,ab1,ab2,ab3 in 512 rows; then first,error,total,error"]
    lines += [",".join(repr(float(v)) for v in row) for row in y]
    lines += [
        ",".join(repr(float(v)) for v in row)
        for row in zip(s["S1"], s["S1_conf"], s["ST"], s["ST_conf"])
    ]
    (folder / "indices.csv").write_text("\n".join(lines) + "\n")
