"""Quantiles and shares of beta distributions by another library: writes beta.csv.

Run: python3 beta.py [directory]        (scipy; deterministic)

Columns: both parameters, a tail, the quantile with that share below it; the share below another place, and the
log-odds of that place.
"""

import math
import sys
from pathlib import Path

from scipy.special import betainc
from scipy.stats import beta

SIZES = [0.3, 1, 2.5, 17, 400, 9000, 3e4, 1e6, 1e9]

if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parent)
    rows = ["a,b,tail,quantile,share,log_odds"]
    for a in SIZES:
        for b in SIZES:
            for tail in (0.025, 0.0005):
                quantile = float(beta.ppf(tail, a, b))
                if quantile < 1e-12 or quantile > 1 - 1e-6:
                    continue
                place = quantile * 0.99999 if min(a, b) > 1e4 else quantile * 0.9
                share = float(betainc(a, b, place))
                log_odds = math.log(place) - math.log1p(-place)
                if share > 1e-200 and max(a, b) < 1e8:
                    rows.append(",".join(repr(float(v)) for v in (a, b, tail, quantile, share, log_odds)))
    (folder / "beta.csv").write_text("\n".join(rows) + "\n")
