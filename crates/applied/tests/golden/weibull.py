"""Bounds of Weibull fits by the likelihood ratio: writes weibull.csv.

Run: python3 weibull.py [directory]        (scipy; deterministic)

Columns: data, quantity, two-sided confidence, value, lower bound, upper bound. Profiles are maximized over the other
parameter by scipy.optimize.minimize_scalar, and their crossings found by brentq.
"""

import sys
from math import log
from pathlib import Path

import numpy as np
from scipy.optimize import brentq, minimize_scalar
from scipy.stats import chi2

BEARINGS = [17.88, 28.92, 33.00, 41.52, 42.12, 45.60, 48.48, 51.84, 51.96, 54.12, 55.56, 67.80, 68.64, 68.64, 68.88,
            84.12, 93.12, 98.64, 105.12, 105.84, 127.92, 128.04, 173.40]
CENSORED = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386]
DATA = {
    "bearings": (np.array(BEARINGS), np.ones(23, bool)),
    "censored": (np.array(CENSORED + [500] * 10, float), np.array([True] * 10 + [False] * 10)),
}


def likelihood(t, failed, shape, scale):
    z = t / scale
    return np.sum(np.where(failed, np.log(shape / scale) + (shape - 1) * np.log(z), 0) - z**shape)


def profile(t, failed, quantity, value):
    """The greatest log likelihood with a quantity held."""
    if quantity == "shape":
        def cost(x):
            return -likelihood(t, failed, value, np.exp(x))
        bracket = (np.log(t.mean()) - 3, np.log(t.mean()) + 3)
    else:
        def cost(x):
            shape = np.exp(x)
            return -likelihood(t, failed, shape, value / (-log(0.9)) ** (1 / shape))
        bracket = (np.log(0.1), np.log(10))
    return -minimize_scalar(cost, bounds=bracket, method="bounded", options={"xatol": 1e-11}).fun


if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parent)
    rows = ["data,quantity,confidence,value,low,high"]
    for name, (t, failed) in DATA.items():
        def score(shape):
            w = t**shape
            return np.sum(w * np.log(t)) / np.sum(w) - 1 / shape - np.mean(np.log(t[failed]))
        shape = brentq(score, 0.1, 20, xtol=1e-14)
        scale = (np.sum(t**shape) / failed.sum()) ** (1 / shape)
        top = likelihood(t, failed, shape, scale)
        for quantity, value in [("shape", shape), ("b10", scale * (-log(0.9)) ** (1 / shape))]:
            for confidence in [0.9, 0.95]:
                def room(x):
                    return profile(t, failed, quantity, x) - top + chi2.ppf(confidence, 1) / 2
                low = brentq(room, value / 10, value, xtol=1e-12 * value)
                high = brentq(room, value, value * 5, xtol=1e-12 * value)
                rows.append(f"{name},{quantity},{confidence},{float(value)!r},{low!r},{high!r}")
    (folder / "weibull.csv").write_text("\n".join(rows) + "\n")
