"""Quantiles of the standard normal distribution to 50 digits: writes normal.csv.

Run: python3 normal.py [directory]        (mpmath; deterministic)

Columns: a share; the deviate it lies below; the deviate it lies below where the distribution is cut off at three
sigma on both sides. The share is the exact double.
"""

import sys
from pathlib import Path

from mpmath import erfc, findroot, mp, mpf, sqrt
from statistics import NormalDist

mp.dps = 50

# Both sides of the seams at 0.075 and 1.4e-11, the ends of a Sobol point, and between.
SHARES = [2.0**-53, 1e-14, 1.3e-11, 1.4e-11, 1e-8, 1e-4, 0.00134, 0.02, 0.07, 0.0749, 0.0751, 0.1, 0.25, 0.4, 0.499999]
SHARES += [0.5, 0.5 + 2.0**-40] + [1.0 - share for share in SHARES]


def below(z):
    return erfc(-z / sqrt(mpf(2))) / 2


def quantile(share):
    # from the nearer end, so that nothing is lost
    if share > 0.5:
        return -quantile(1 - share)
    return findroot(lambda z: below(z) / share - 1, mpf(NormalDist().inv_cdf(float(share)))) if share != 0.5 else mpf(0)


if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parent)
    tail = below(mpf(-3))
    rows = ["share,deviate,within_three_sigma"]
    for share in SHARES:
        whole = quantile(mpf(share))
        within = quantile(tail + mpf(share) * (1 - 2 * tail))
        rows.append(f"{share!r},{float(whole)!r},{float(within)!r}")
    (folder / "normal.csv").write_text("\n".join(rows) + "\n")
