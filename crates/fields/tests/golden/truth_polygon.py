"""High-precision fields and potentials of evenly charged polygons: writes truth_polygon.csv.

Run: python3 truth_polygon.py [directory]        (mpmath; deterministic)

The textbook sums with 50 digits at exactly the f64 coordinates written: one logarithm of each edge, and
the solid angle triangle by triangle from the first corner. Triangles lie anyhow in space; other polygons
lie exactly in a coordinate plane, so that every polygon is exactly flat.

Columns: group, number of corners, corners, point, field and potential for a charge of 4 pi.
"""

import random
import sys
from pathlib import Path

from mpmath import mp, mpf

mp.dps = 50

dot = lambda a, b: sum(p * q for p, q in zip(a, b))
minus = lambda a, b: [p - q for p, q in zip(a, b)]
cross = lambda a, b: [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
length = lambda a: mp.sqrt(dot(a, a))


def polygon(corners, point):
    v = [[mpf(c) for c in corner] for corner in corners]
    p = [mpf(c) for c in point]
    n = cross(minus(v[1], v[0]), minus(v[2], v[0]))
    n = [c / length(n) for c in n]
    h = dot(n, minus(p, v[0]))
    field, potential = [mpf(0)] * 3, mpf(0)
    for a, b in zip(v, v[1:] + v[:1]):
        t = [c / length(minus(b, a)) for c in minus(b, a)]
        m = cross(t, n)
        r0, r1 = length(minus(p, a)), length(minus(p, b))
        l0, l1 = dot(t, minus(a, p)), dot(t, minus(b, p))
        # r + l loses nothing that 50 digits cannot spare, except exactly on the edge's own line.
        log = mp.log((r1 + l1) / (r0 + l0)) if l0 + r0 != 0 and l1 > 0 else mp.log((r0 - l0) / (r1 - l1))
        potential += dot(m, minus(a, p)) * log
        field = [f + c * log for f, c in zip(field, m)]
    if h != 0:
        angle = mpf(0)
        for b, c in zip(v[1:], v[2:]):
            A, B, C = minus(v[0], p), minus(b, p), minus(c, p)
            a_, b_, c_ = length(A), length(B), length(C)
            den = a_ * b_ * c_ + dot(A, B) * c_ + dot(B, C) * a_ + dot(C, A) * b_
            angle += 2 * mp.atan2(-dot(A, cross(B, C)), den)
        potential -= h * angle
        field = [f + angle * c for f, c in zip(field, n)]
    return field, potential


def direction(rng):
    v = [rng.gauss(0, 1) for _ in range(3)]
    n = sum(c * c for c in v) ** 0.5
    return [c / n for c in v]


def corners_of(rng, group):
    kind = rng.choice(["triangle", "triangle", "rectangle", "rectangle", "sliver", "hexagon"])
    if group == "plane" and kind == "triangle":  # no f64 point lies in its plane
        kind = "hexagon"
    if kind == "triangle":
        return [[rng.uniform(-5e-3, 5e-3) for _ in range(3)] for _ in range(3)]
    if kind in ("rectangle", "sliver"):
        a, b = rng.uniform(1e-3, 5e-3), rng.uniform(1e-3, 5e-3)
        b *= 1 if kind == "rectangle" else 0.01
        flat = [(-a, -b), (a, -b), (a, b), (-a, b)]
    else:
        turns = sorted(rng.uniform(0, 1) + k for k in range(6))
        flat = [(3e-3 * float(mp.cos(mp.pi * t / 3)), 3e-3 * float(mp.sin(mp.pi * t / 3))) for t in turns]
    z, axis = rng.uniform(-5e-3, 5e-3), rng.randrange(3)
    return [[(x, y, z)[(k + axis) % 3] for k in range(3)] for x, y in flat]


GROUPS = ["near", "face", "plane", "extension", "edge", "seam", "far", "remote"]


def point_of(group, corners, rng):
    n = len(corners)
    share = [rng.random() for _ in range(n)]
    centre = [sum(c) / n for c in zip(*corners)]
    within = [sum(s * c for s, c in zip(share, axis)) / sum(share) for axis in zip(*corners)]
    radius = max(sum((a - b) ** 2 for a, b in zip(c, centre)) ** 0.5 for c in corners)
    step = lambda size: [size * radius * c for c in direction(rng)]
    tiny = lambda low, high: low * (high / low) ** rng.random()
    plus = lambda a, b: [p + q for p, q in zip(a, b)]
    k = rng.randrange(n)
    a, b = corners[k], corners[(k + 1) % n]
    on_line = lambda t: [p + t * (q - p) for p, q in zip(a, b)]
    if group == "near":
        return plus(within, step(rng.uniform(0, 2)))
    if group == "face":
        return plus(within, step(tiny(1e-9, 1e-2)))
    if group == "plane":  # exactly in the plane, on the face or beyond
        t = rng.uniform(-2, 3)
        return [c + t * (w - c) for c, w in zip(centre, within)]
    if group == "extension":  # near an edge's line beyond its ends
        return plus(on_line(rng.choice([-1, 1]) * rng.uniform(1.1, 50)), step(tiny(1e-9, 1e-2)))
    if group == "edge":
        return plus(on_line(rng.random()), step(tiny(1e-6, 1e-4)))
    if group == "seam":  # both sides of where the angle changes form
        return plus(centre, step(1.5 * (1 + rng.choice([-1, 1]) * 1e-9)))
    return plus(centre, step(tiny(2, 1000) if group == "far" else tiny(1e3, 1e6)))


if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parent)
    rng = random.Random("20261125 polygon")
    lines = ["group,corners,then corners and point,hx,hy,hz,potential"]
    for group in GROUPS:
        for _ in range(100):
            corners = corners_of(rng, group)
            point = point_of(group, corners, rng)
            field, potential = polygon(corners, point)
            numbers = [c for corner in corners for c in corner] + point
            numbers += [float(c) for c in field] + [float(potential)]
            lines.append(",".join([group, str(len(corners))] + [repr(float(c)) for c in numbers]))
    (folder / "truth_polygon.csv").write_text("\n".join(lines) + "\n")
