"""Inductance of air-cored coils of rectangular section: writes coils.csv.

Run: python3 coils.py [directory]        (scipy; deterministic)

Columns: inner radius, outer radius, length, m; inductance of one turn spread over the section, H.

L = 2 pi mu0 /(h^2 c^2) * integral over k of S(k)^2 (k h - 1 + exp(-k h))/k^2, S(k) the integral of r J1(k r) from
the inner to the outer radius: pi/(2 k^2) * [x (J1(x) H0(x) - J0(x) H1(x))], x = k r.
"""

import sys
from math import exp, pi
from pathlib import Path

import numpy as np
from scipy.special import j0, j1, struve

MU_0 = 1.25663706127e-6


def inductance(inner, outer, h):
    """Gauss-Legendre over pieces of half an oscillation, then the mean of the tail."""
    x, w = np.polynomial.legendre.leggauss(24)

    def moment(k):
        def f(r):
            z = k * r
            return z * (j1(z) * struve(0, z) - j0(z) * struve(1, z))

        # Below, the difference of the closed form loses its digits: sum the integrand.
        closed = pi / (2 * k**2) * (f(outer) - f(inner))
        r = 0.5 * (outer - inner) * x[:, None] + 0.5 * (outer + inner)
        summed = 0.5 * (outer - inner) * np.sum(w[:, None] * r * j1(k * r), axis=0)
        return np.where(k * outer < 8, summed, closed)

    def part(low, high):
        k = 0.5 * (high - low) * x + 0.5 * (high + low)
        kh = k * h
        series = kh**2 / 2 - kh**3 / 6 + kh**4 / 24 - kh**5 / 120
        lengthwise = np.where(kh < 1e-3, series, kh - 1 + np.exp(-kh))
        return 0.5 * (high - low) * np.sum(w * moment(k) ** 2 * lengthwise / k**2)

    # The integrand bends where k is about one over each length.
    edges = np.concatenate(([0.0], np.geomspace(1e-4 / max(outer, h), pi / outer, 40)))
    edges = np.concatenate((edges, np.arange(2, 8001) * pi / outer))
    total = sum(part(a, b) for a, b in zip(edges[:-1], edges[1:]))
    # Beyond, S^2 is on the average (inner + outer)/(pi k^3), and the rest of it h/k.
    top = edges[-1]
    total += h * (inner + outer) / (pi * 3 * top**3)
    return 2 * pi * MU_0 / (h * (outer - inner)) ** 2 * total


if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parent)
    rows = ["inner_m,outer_m,length_m,inductance_h"]
    shapes = [(1.5, 2.5, 10), (1.5, 1.53, 10), (1.5, 4.5, 3), (2, 4, 2), (1, 51, 1), (1, 1.02, 0.02), (1, 2, 50), (1, 6, 0.1)]
    for inner, outer, h in shapes:
        inner, outer, h = inner * 1e-3, outer * 1e-3, h * 1e-3
        rows.append(f"{inner!r},{outer!r},{h!r},{float(inductance(inner, outer, h))!r}")
    (folder / "coils.csv").write_text("\n".join(rows) + "\n")
