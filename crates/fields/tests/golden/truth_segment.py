"""High-precision flux densities of ring segments at awkward points: writes truth_segment.csv.

Run: python3 truth_segment.py [directory]        (mpmath; deterministic, some minutes)

All six faces' charges by 24-point Gauss rules over the angle in steps that shrink towards the field point,
each slice closed over height or radius, 32 digits: nothing in common with the Rust kernel but Coulomb's law.

Columns: group, inner and outer radius, half length, two angles, polarization, point, B.
"""

import random
import sys
from multiprocessing import Pool
from pathlib import Path

from mpmath import mp, mpf

from truth import direction, gauss, log_uniform

mp.dps = 32
RULE = gauss(24)


def wall(a, c, s, p, h):
    """Line of charge along z at radius a, direction (c, s): its field."""
    x, y = p[0] - a * c, p[1] - a * s
    d2 = x * x + y * y
    f = lambda u: u / (d2 * mp.sqrt(d2 + u * u))
    g = lambda u: -1 / mp.sqrt(d2 + u * u)
    up, down = p[2] + h, p[2] - h
    across = f(up) - f(down)
    return x * across, y * across, g(up) - g(down)


def cap(i, o, c, s, p, z):
    """Line of charge density rho along the radius at height z: its field."""
    u = p[2] - z
    b, r2 = p[0] * c + p[1] * s, p[0] ** 2 + p[1] ** 2 + u * u
    q2 = r2 - b * b

    def integrals(t):
        R = mp.sqrt(t * t - 2 * b * t + r2)
        one, first = (t - b) / (q2 * R), (b * t - r2) / (q2 * R)
        return first, mp.log(t - b + R) + 2 * b * first - r2 * one

    (f1, s1), (f0, s0) = integrals(o), integrals(i)
    first, second = f1 - f0, s1 - s0
    return p[0] * first - c * second, p[1] * first - s * second, u * first


def side(i, o, angle, p, h):
    """Flat side: charge 1 over radius and height; closed over height, graded over the radius."""
    c, s = mp.cos(angle), mp.sin(angle)
    foot, off = p[0] * c + p[1] * s, abs(p[1] * c - p[0] * s)
    total = [mpf(0)] * 3
    for low, high in graded(i, o, foot, off + mpf(10) ** -16):
        for x, w in RULE:
            rho = (low + high) / 2 + (high - low) / 2 * x
            total = [t + (high - low) / 2 * w * f for t, f in zip(total, wall(rho, c, s, p, h))]
    return total


def graded(low, high, near, least):
    """Panels of [low, high] no longer than their distance from near +- i least."""
    start = min(max(near, low), high)
    for sign, end in ((-1, low), (1, high)):
        at = start
        while (end - at) * sign > 0:
            step = mp.sqrt((at - near) ** 2 + least**2)
            to = at + sign * step
            to = end if (end - to) * sign < step / 4 else to
            yield min(at, to), max(at, to)
            at = to


def segment(row):
    i, o, h, a1, a2, *rest = map(mpf, row)
    j, p = rest[:3], rest[3:]
    rho = mp.sqrt(p[0] ** 2 + p[1] ** 2)
    phi = mp.atan2(p[1], p[0])
    away = min(abs(rho - i), abs(rho - o), abs(p[2] - h), abs(p[2] + h))
    least = min(away / max(rho, away), mpf(1) / 2) + mpf(10) ** -16
    # A point in the segment's own circle may be seen from either side.
    middle = (a1 + a2) / 2
    phi += 2 * mp.pi * mp.nint((middle - phi) / (2 * mp.pi))
    cuts = sorted({a1, a2} | {c for c in (phi - mp.pi, phi + mp.pi) if a1 < c < a2})
    total = [mpf(0)] * 3
    for low, high in zip(cuts, cuts[1:]):
        near = phi + 2 * mp.pi * mp.nint(((low + high) / 2 - phi) / (2 * mp.pi))
        for start, end in graded(low, high, near, least):
            for x, w in RULE:
                angle = (start + end) / 2 + (end - start) / 2 * x
                c, s = mp.cos(angle), mp.sin(angle)
                charge = j[0] * c + j[1] * s
                weight = (end - start) / 2 * w
                outer, inner = wall(o, c, s, p, h), wall(i, c, s, p, h)
                top, bottom = cap(i, o, c, s, p, h), cap(i, o, c, s, p, -h)
                for k in range(3):
                    total[k] += weight * (charge * (o * outer[k] - i * inner[k]) + j[2] * (top[k] - bottom[k]))
    for angle, sign in ((a1, -1), (a2, 1)):
        charge = sign * (j[1] * mp.cos(angle) - j[0] * mp.sin(angle))
        total = [t + charge * f for t, f in zip(total, side(i, o, angle, p, h))]
    inside = i < rho < o and abs(p[2]) < h and abs(phi - middle) < (a2 - a1) / 2
    return [float(t / (4 * mp.pi) + inside * m) for t, m in zip(total, j)]


def point_of(group, s, rng):
    i, o, h, a1, a2 = s
    sign = rng.choice([-1, 1])
    near = lambda: log_uniform(rng, 1e-9, 1e-2) * o * rng.choice([-1, 1])
    rho, angle, z = rng.uniform(i, o), rng.uniform(a1, a2), rng.uniform(-0.9, 0.9) * h
    if group == "near":
        rho, angle, z = rng.uniform(0, 2.5) * o, rng.uniform(-4, 4), rng.uniform(-1, 1) * (h + 2 * o)
    elif group == "wall":
        rho = rng.choice([i, o]) + near()
    elif group == "end":
        z = sign * h + near()
    elif group == "side":
        off, at = near(), rng.choice([a1, a2])
        return [rho * float(mp.cos(at)) - off * float(mp.sin(at)), rho * float(mp.sin(at)) + off * float(mp.cos(at)), z]
    elif group == "tube":  # in the missing part of the tube, and right across it
        angle = a2 + rng.uniform(0.1, 0.9) * (6.28 - (a2 - a1))
        rho += rng.choice([0, near()])
    elif group == "axis":
        rho, z = log_uniform(rng, 1e-12, 0.3) * o, rng.uniform(-2, 2) * (h + o)
    elif group == "seam":
        rho = rng.choice([i / 2, i * 2, o / 2, o * 2]) * (1 + rng.choice([-1, 1]) * 1e-9)
        z = rng.uniform(-1.5, 1.5) * h
    elif group == "edge":
        d = lambda: log_uniform(rng, 1e-6, 1e-4) * o * rng.choice([-1, 1])
        rho, z = rng.choice([i, o]) + d(), sign * h + d()
    else:
        r = (o * o + h * h) ** 0.5 * (log_uniform(rng, 3, 19) if group == "middle" else log_uniform(rng, 19, 5000))
        return [r * c for c in direction(rng)]
    return [rho * float(mp.cos(angle)), rho * float(mp.sin(angle)), z]


GROUPS = ["near", "wall", "end", "side", "tube", "axis", "seam", "edge", "middle", "far"]


def cases():
    rng = random.Random("20261125 segment")
    for group in GROUPS:
        for _ in range(24):
            o = rng.uniform(1, 10) * 1e-3
            i = o * (1 - rng.choice([0.5, 0.3, 0.8, 0.1]))
            h = o * rng.choice([1, 0.3, 3, 0.1]) * rng.uniform(0.5, 1)
            a1 = rng.uniform(-3, 3)
            a2 = a1 + rng.choice([rng.uniform(0.2, 1.5), rng.uniform(1, 3), rng.uniform(3, 6)])
            j = [1.2 * c * w for c, w in zip(direction(rng), rng.choice([(1, 1, 1), (0, 0, 1), (1, 1, 0)]))]
            s = [i, o, h, a1, a2]
            yield group, [float(c) for c in s + j + point_of(group, s, rng)]


def row(case):
    group, numbers = case
    return ",".join([group] + [repr(c) for c in numbers + segment(numbers)])


if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parent)
    with Pool() as pool:
        rows = pool.map(row, list(cases()), chunksize=2)
    header = "group,inner,outer,half,from,to,jx,jy,jz,x,y,z,bx,by,bz"
    (folder / "truth_segment.csv").write_text("\n".join([header] + rows) + "\n")
