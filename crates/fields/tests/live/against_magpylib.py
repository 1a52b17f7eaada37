"""100,000 random points per shape against a public library, and who is right where they differ.

Run: python3 against_magpylib.py PROGRAM TABLE [case ...]
(PROGRAM is the built example `field`, TABLE the Markdown file to write; numpy, magpylib, mpmath)

Every shape is drawn in 20 sizes, plates, needles and thin rings among them, each polarized its own way, and
every size gets as many points in every region. Regions and sizes are those of the high-precision goldens
(`../golden/truth*.py`): on axes, in the planes of faces and on the lines of edges, just off surfaces, where
our kernels change form, near and far. Seeded: the same points each run.

Both compute every point; nine of ten must agree to a limit that each region has. The library loses digits
by cancellation far away, beside edges and near axes, and these limits tell how many; where it has none left
there is no limit. Who is right is then decided by high-precision closed forms, at 20 points of every region
taken at random and at 20 of those further apart than our own limit, ten of them the furthest, ten spread over
all ranks; at 100 and 100 where the library has no limit. There our own error must be within our own limit:
1e-12, 1e-9 within 1e-4 sizes of an edge, and what `OURS` says.
"""

import math
import random
import subprocess
import sys
import warnings
from multiprocessing import Pool
from pathlib import Path

import magpylib as magpy
import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "golden"))
import truth  # noqa: E402
import truth_polygon  # noqa: E402
import truth_segment  # noqa: E402
from mpmath import mp, mpf  # noqa: E402
from truth import direction, log_uniform  # noqa: E402

POINTS, BODIES = 100_000, 20
OBLIQUE, AXIAL, ACROSS = (1, 1, 1), (0, 0, 1), (1, 1, 0)
MU_0 = 1.25663706127e-6


# Bodies: sizes, and polarization, current or moment.

TETRAHEDRON = [(0, 0, 0), (1, 0, 0), (0, 1, 0), (0, 0, 1)]
L_OUTLINE = [(0, 0), (2, 0), (2, 1), (1, 1), (1, 3), (0, 3)]


def prism(outline, top):
    """Triangles of a prism over a polygon all of whose corners the first one sees, outward."""
    n, faces = len(outline), []
    at = lambda k, z: (*outline[k % n], z)
    for k in range(n):
        if 0 < k < n - 1:
            faces += [(at(0, top), at(k, top), at(k + 1, top)), (at(0, 0), at(k + 1, 0), at(k, 0))]
        faces += [(at(k, 0), at(k + 1, 0), at(k + 1, top)), (at(k, 0), at(k + 1, top), at(k, top))]
    return faces


def sizes_of(shape, rng):
    if shape in ("tetrahedron", "L"):
        return [rng.uniform(1, 10) * 1e-3 * rng.choice([1, 1, 1, 0.05]) for _ in range(3)]
    if shape == "segment":
        o = rng.uniform(1, 10) * 1e-3
        i = o * (1 - rng.choice([0.5, 0.3, 0.8, 0.1]))
        h = o * rng.choice([1, 0.3, 3, 0.1]) * rng.uniform(0.5, 1)
        start = rng.randint(-170, 0)
        span = rng.choice([rng.randint(12, 90), rng.randint(60, 170), rng.randint(170, 340)])
        return [i, o, h, start, start + span]
    return [] if shape == "dipole" else truth.sizes_of(shape, rng)


def triangles_of(shape, s):
    """Corners of every face, outward: a corner of a block, and an L of two blocks."""
    if shape == "tetrahedron":
        a, b, c, d = TETRAHEDRON
        faces = [(a, c, b), (a, b, d), (a, d, c), (b, c, d)]
    else:
        faces = prism(L_OUTLINE, 1)
    return [[[float(x * h) for x, h in zip(corner, s)] for corner in face] for face in faces]


def strength_of(shape, axes, rng):
    if shape == "loop":
        return [rng.uniform(1, 200)]
    return [1.2 * c * w for c, w in zip(direction(rng), axes)]


# Ours, theirs, and the truth.

def words_of(shape, s, j):
    if shape == "segment":
        return ["segment", *s[:3], *np.deg2rad(s[3:]), *j]
    if shape in ("tetrahedron", "L"):
        return ["mesh", *np.ravel(triangles_of(shape, s)), *j]
    return [shape, *s, *j]


def ours(program, shape, s, j, points):
    words = [repr(float(w)) if not isinstance(w, str) else w for w in words_of(shape, s, j)]
    points = points.astype("<f8").tobytes()
    done = subprocess.run([program, *words], input=points, stdout=subprocess.PIPE, check=True)
    return np.frombuffer(done.stdout, "<f8").reshape(-1, 3)


def theirs(shape, s, j, points):
    magnet = magpy.magnet
    cylinder = lambda a, h: magnet.Cylinder(dimension=(2 * a, 2 * h), polarization=j).getB(points)
    if shape == "ring":  # outer cylinder less inner: the library's own ring is slow and less exact
        return cylinder(s[1], s[2]) - cylinder(s[0], s[2])
    if shape == "cylinder":
        return cylinder(*s)
    if shape in ("tetrahedron", "L"):  # it takes points as inside that are a nanometre outside: H, not B
        if shape == "tetrahedron":
            corners = [[c * h for c, h in zip(corner, s)] for corner in TETRAHEDRON]
            source = magnet.Tetrahedron(vertices=corners, polarization=j)
        else:
            source = magnet.TriangularMesh.from_mesh(mesh=triangles_of(shape, s), polarization=j)
        within = [[float(inside(shape, s, p)) * c for c in j] for p in points]
        return MU_0 * source.getH(points) + np.array(within)
    source = {
        "cuboid": lambda: magnet.Cuboid(dimension=[2 * h for h in s], polarization=j),
        "segment": lambda: magnet.CylinderSegment(dimension=(*s[:2], 2 * s[2], *s[3:]), polarization=j),
        "sphere": lambda: magnet.Sphere(diameter=2 * s[0], polarization=j),
        "loop": lambda: magpy.current.Circle(diameter=2 * s[0], current=j[0]),
        "dipole": lambda: magpy.misc.Dipole(moment=j),
    }[shape]()
    return source.getB(points)


def exact(case):
    shape, s, j, p = case
    mp.dps = 50
    if shape == "segment":
        mp.dps = 32
        return truth_segment.segment([*s[:3], *map(float, np.deg2rad(s[3:])), *j, *p])
    if shape in ("tetrahedron", "L"):
        field, angle = [mpf(0)] * 3, mpf(0)
        for face in triangles_of(shape, s):
            first, *others = [list(map(mpf, corner)) for corner in face]
            n = truth_polygon.cross(*[truth_polygon.minus(corner, first) for corner in others])
            charge = truth_polygon.dot(n, list(map(mpf, j))) / truth_polygon.length(n)
            h = truth_polygon.polygon(face, p)[0]
            field = [f + charge * c for f, c in zip(field, h)]
        return [float(f / (4 * mp.pi) + inside(shape, s, p) * mpf(c)) for f, c in zip(field, j)]
    if shape == "dipole":
        m, r = list(map(mpf, j)), list(map(mpf, p))
        r2, along = sum(c * c for c in r), sum(a * b for a, b in zip(m, r))
        return [float(mpf(MU_0) / (4 * mp.pi) * (3 * c * along / r2 - a) / r2 ** mpf(1.5)) for a, c in zip(m, r)]
    return [float(c) for c in truth.SHAPES[shape](s, j, p)]


def inside(shape, s, p):
    """1 inside, 1/2 on a face, 0 outside; exact but for the slanting face."""
    x, y, z = p
    if shape == "tetrahedron":
        least = min(x, y, z, 1 - x / s[0] - y / s[1] - z / s[2])
    else:
        block = lambda a, b: min(x, a * s[0] - x, y, b * s[1] - y, z, s[2] - z)
        least = max(block(2, 1), block(1, 3))
    return (1 + np.sign(least)) / 2


# Points.

def reach_of(shape, s):
    """Radius of the smallest sphere round the origin that holds the body."""
    if shape == "dipole":
        return 1e-3
    if shape in ("tetrahedron", "L"):
        return max(math.hypot(*corner) for face in triangles_of(shape, s) for corner in face)
    return math.hypot(s[1], s[2]) if shape == "segment" else truth.extent(shape, s)


def point_of(shape, region, s, rng):
    if shape in ("tetrahedron", "L"):
        faces = triangles_of(shape, s)
        # No f64 point lies in the plane of the slanting face.
        faces = faces[:-1] if shape == "tetrahedron" and region == "plane" else faces
        return truth_polygon.point_of(region, rng.choice(faces), rng)
    reach = reach_of(shape, s)
    if region in ("far", "remote"):
        low, high = (3, 20) if region == "far" else (20, 2000)
        r = reach * log_uniform(rng, low, high)
        return [r * c for c in direction(rng)]
    if shape == "dipole":
        r = reach * log_uniform(rng, 1e-3, 3)
        return [r * c for c in direction(rng)]
    if shape == "segment":
        return truth_segment.point_of(region, [*s[:3], *map(float, np.deg2rad(s[3:]))], rng)
    if shape == "cuboid" and region == "seam":
        r = 2 * reach * (1 + rng.choice([-1, 1]) * 1e-12)
        return [r * c for c in direction(rng)]
    if shape == "cuboid":
        return truth.cuboid_point(region, s, rng)
    return truth.round_point(region, shape, s, rng)


# What is compared: name, shape, axes of the polarization, and to what nine of ten points of each region must
# agree, None where the library has no digits.

CASES = [
    ("cuboid", "cuboid", OBLIQUE, dict(
        near=3e-13, face=1e-12, plane=3e-12, extension=1e-8, axis=1e-12, seam=3e-12, edge=3e-7, far=3e-10,
        remote=1e-4
    )),
    ("cylinder, axial", "cylinder", AXIAL, dict(
        near=3e-14, axis=1e-14, mantle=3e-14, face=1e-14, wall=1e-14, seam=3e-14, edge=3e-11, far=1e-13,
        remote=3e-10, thin=1e-11
    )),
    ("cylinder, diametral", "cylinder", ACROSS, dict(
        near=1e-11, axis=1e-14, mantle=1e-10, face=3e-11, wall=1e-11, seam=1e-10, edge=1e-10, far=3e-9,
        remote=1e-4, thin=1e-9
    )),
    ("cylinder, oblique", "cylinder", OBLIQUE, dict(
        near=3e-11, axis=1e-14, mantle=3e-10, face=3e-11, wall=1e-11, seam=3e-10, edge=3e-10, far=1e-8,
        remote=1e-3, thin=1e-9
    )),
    ("ring, axial", "ring", AXIAL, dict(
        near=3e-13, axis=3e-12, mantle=3e-13, face=1e-13, wall=3e-14, seam=3e-13, edge=1e-10, far=1e-12,
        remote=3e-9, thin=3e-11
    )),
    ("ring, oblique", "ring", OBLIQUE, dict(
        near=3e-10, axis=1e-10, mantle=3e-9, face=3e-9, wall=3e-8, seam=1e-7, edge=1e-9, far=3e-8,
        remote=3e-3, thin=3e-9
    )),
    ("ring segment", "segment", OBLIQUE, dict(
        near=3e-8, wall=3e-10, end=None, side=3e-10, tube=1e-8, axis=None, seam=1e-9, edge=1e-5, far=3e-8,
        remote=3e-5
    )),
    ("sphere", "sphere", OBLIQUE, dict(
        near=1e-14, far=1e-14, remote=1e-14
    )),
    ("loop", "loop", OBLIQUE, dict(
        near=1e-14, axis=1e-14, mantle=1e-14, face=1e-14, edge=3e-10, far=1e-14, remote=1e-14
    )),
    ("dipole", "dipole", OBLIQUE, dict(
        near=1e-14, far=1e-14, remote=1e-14
    )),
    ("tetrahedron", "tetrahedron", OBLIQUE, dict(
        near=3e-13, face=3e-13, plane=3e-13, extension=None, edge=None, far=1e-6, remote=None, thin=None
    )),
    ("L of triangles", "L", OBLIQUE, dict(
        near=3e-13, face=3e-13, plane=None, extension=None, edge=None, far=1e-6, remote=None, thin=None
    )),
]

# Our own limits where they are not 1e-12.
OURS = {
    ("cylinder, axial", "thin"): 3e-12,
    ("ring, axial", "thin"): 1e-10,
    ("ring, oblique", "seam"): 1e-11,
    ("ring, oblique", "thin"): 1e-10,
    ("ring segment", "side"): 3e-12,
    ("tetrahedron", "extension"): 3e-12,
    ("tetrahedron", "far"): 3e-11,
    ("tetrahedron", "remote"): 3e-11,
    ("tetrahedron", "thin"): 1e-9,
    ("L of triangles", "far"): 1e-11,
    ("L of triangles", "remote"): 1e-11,
    ("L of triangles", "thin"): 1e-9,
}


def limit_of(name, region):
    return OURS.get((name, region), 1e-9 if region == "edge" else 1e-12)


def is_thin(shape, s):
    """A ring that is the small difference of two cylinders (as in `../truth.rs`); a disc or mesh like a sheet."""
    if shape == "cylinder":
        return s[1] < 0.05 * s[0]
    if shape == "ring":
        wall = (s[1] - s[0]) / s[1]
        return wall < 0.05 or wall * s[2] < 5e-3 * s[1]
    return shape in ("tetrahedron", "L") and min(s) < 0.1 * max(s)


def volume(shape, s):
    return {
        "cuboid": lambda: 8 * s[0] * s[1] * s[2],
        "cylinder": lambda: 2 * math.pi * s[0] ** 2 * s[1],
        "ring": lambda: 2 * math.pi * (s[1] ** 2 - s[0] ** 2) * s[2],
        "segment": lambda: (s[1] ** 2 - s[0] ** 2) * s[2] * math.radians(s[4] - s[3]),
        "sphere": lambda: 4 / 3 * math.pi * s[0] ** 3,
        "tetrahedron": lambda: s[0] * s[1] * s[2] / 6,
        "L": lambda: 4 * s[0] * s[1] * s[2],
    }[shape]()


def scale(shape, s, j, p, b):
    """|B|, or where it passes through zero a tenth of the dipole's field at that distance."""
    size, least = np.linalg.norm(b), 0.0
    if shape not in ("loop", "dipole"):
        r = max(np.linalg.norm(p), reach_of(shape, s))
        least = 0.1 * np.linalg.norm(j) * volume(shape, s) / (4 * math.pi * r**3)
    return max(size, least)


def drawn(name, shape, axes, regions):
    """Every point of a case: region, sizes, strength, point."""
    rng = random.Random(f"20261125 {name}")
    regions = [r for r in regions if r != "thin"]
    for _ in range(BODIES):
        s = sizes_of(shape, rng)
        j = strength_of(shape, axes, rng)
        for region in regions:
            for _ in range(-(-POINTS // (BODIES * len(regions)))):
                yield "thin" if is_thin(shape, s) else region, s, j, point_of(shape, region, s, rng)


def computed(program, case):
    """Region to rows of sizes, strength, point, our B and how far theirs is off, over |B|."""
    name, shape, axes, regions = case
    rows, done, bodies = list(drawn(*case)), {region: [] for region in regions}, []
    for row in rows:  # a body's points follow each other
        if not bodies or bodies[-1][0][1] is not row[1]:
            bodies.append([])
        bodies[-1].append(row)
    for body in bodies:
        _, s, j, _ = body[0]
        points = np.array([p for *_, p in body])
        mine, other = ours(program, shape, s, j, points), theirs(shape, s, j, points)
        assert np.isfinite(mine).all(), f"{name}: {s} {j} {points[~np.isfinite(mine).all(axis=1)][0]}"
        for (region, *_), p, b, c in zip(body, points.tolist(), mine, other):
            apart = np.linalg.norm(b - c) / scale(shape, s, j, p, b)
            done[region].append((s, j, p, b, apart if np.isfinite(apart) else math.inf))
    return done


def disputed(rows, limit, share):
    """Points further apart than the limit: the furthest, and some of every rank."""
    rows = sorted((row for row in rows if row[-1] > limit), key=lambda row: -row[-1])
    worst, rest = rows[:share], rows[share:]
    return worst + rest[:: max(1, len(rest) // share)][:share]


def largest_error(pool, shape, rows):
    """Ours, at points settled by the closed forms."""
    true = pool.map(exact, [(shape, s, j, p) for s, j, p, *_ in rows], chunksize=2)
    errors = [
        np.linalg.norm(b - np.array(t)) / scale(shape, s, j, p, np.array(t))
        for (s, j, p, b, _), t in zip(rows, true)
    ]
    return max(errors, default=0.0)


def told(apart):
    """One digit, marked as the library's rounding, which no two machines have alike."""
    if not math.isfinite(apart):
        return "no value"
    exponent = math.floor(math.log10(apart))
    return f"~{math.ceil(apart / 10.0**exponent) * 10.0**exponent:.0e}".replace("e-0", "e-").replace("e+0", "e")


def stated(limit):
    return "none" if limit is None else f"{limit:.0e}".replace("e-0", "e-")


HEAD = """## Fields against a public library at 100,000 points per shape

`cargo xtask magpylib`: 20 sizes of each shape at random points in each region, by us and by [ortner2020]
(`crates/fields/tests/live/against_magpylib.py`). Nine of ten points must agree within the first limit, which
is what the library can do there; where it has no digits left there is none. High-precision closed forms then
decide at points taken at random, which the table shows, and at as many of those in dispute: the furthest apart
and some of every rank further apart than our own limit, the second. Errors are over |B|, or where B passes
through zero over a tenth of the dipole's field at that distance.

| shape | region | points | 90 % agree within | limit | decided at random | our largest error | limit |
|---|---|---|---|---|---|---|---|
"""


def main():
    program, table, *names = sys.argv[1:]
    warnings.simplefilter("ignore")  # the library divides by zero near axes
    text, faults = HEAD, []
    with Pool() as pool:
        for case in CASES:
            name, shape, _, regions = case
            if names and name not in names:
                continue
            for region, rows in computed(program, case).items():
                agree, limit = regions[region], limit_of(name, region)
                share = 20 if agree is not None else 100
                random_ones = random.Random(f"{name} {region}").sample(rows, share)
                usual = largest_error(pool, shape, random_ones)
                worst = largest_error(pool, shape, disputed(rows, limit, share // 2))
                most = sorted(row[-1] for row in rows)[int(0.9 * len(rows))]
                cells = [name, region, str(len(rows)), told(most), stated(agree), str(share)]
                row = f"| {' | '.join(cells)} | {usual:.1e} | {stated(limit)} |".replace("e-0", "e-")
                print(row, f"in dispute {worst:.1e}", flush=True)
                text += row + "\n"
                if agree is not None and not most <= agree:
                    faults.append(f"{row} one of ten differs by {most:.1e} or more")
                if not max(usual, worst) <= limit:
                    faults.append(f"{row} our error at points in dispute is {worst:.1e}")
    Path(table).parent.mkdir(parents=True, exist_ok=True)
    Path(table).write_text(text)
    sys.exit("\n".join(faults) or 0)


if __name__ == "__main__":
    main()
