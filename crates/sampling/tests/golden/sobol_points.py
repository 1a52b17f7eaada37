"""Plain Sobol points of another library: writes sobol_points.csv.

Run: python3 sobol_points.py [directory]        (scipy; deterministic, seconds)

Columns: index, then the coordinates of 40 dimensions spread over the first 1000, as multiples of 2^-32.
"""

import sys
from pathlib import Path

from scipy.stats import qmc

DIMENSIONS = list(range(1, 21)) + list(range(50, 1001, 50))
INDICES = list(range(64)) + [2**k + 3 * k for k in range(7, 21)]

if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parent)
    rows = ["index," + ",".join(f"d{d}" for d in DIMENSIONS)]
    points = qmc.Sobol(d=1000, scramble=False, bits=32)
    for index in INDICES:
        if index > points.num_generated:
            points.fast_forward(index - points.num_generated)
        point = points.random(1)[0]
        rows.append(",".join([str(index)] + [str(int(point[d - 1] * 2**32)) for d in DIMENSIONS]))
    (folder / "sobol_points.csv").write_text("\n".join(rows) + "\n")
