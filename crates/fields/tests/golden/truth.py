"""High-precision flux densities at awkward points: writes truth_<shape>.csv.

Run: python3 truth.py [directory [shape ...]]        (mpmath; deterministic, a few minutes)

Every number is the closed form evaluated with 50 digits at exactly the f64 coordinates written in the
row, so the cancellation that the Rust kernels must avoid costs nothing here. The closed forms are the
textbook ones: eight-corner sums for the cuboid, Legendre's integrals for round bodies, and for the
thick coil a graded 20-point Gauss quadrature of the sheet over the radius.

Columns: shape, group, sizes (up to three), source vector (polarization, or current / ampere-turns in
the first place), point, B. `group` says what is awkward; `edge` rows lie within 1e-4 sizes of an edge.
"""

import random
import sys
from multiprocessing import Pool
from pathlib import Path

from mpmath import mp, mpf

mp.dps = 50
MU_0 = mpf(1.25663706127e-6)  # the f64 the crate uses


def cuboid(sizes, j, p):
    a, b, c = map(mpf, sizes)
    x, y, z = map(mpf, p)
    h = [mpf(0)] * 6
    for sx in (1, -1):
        for sy in (1, -1):
            for sz in (1, -1):
                s = sx * sy * sz
                X, Y, Z = x + sx * a, y + sy * b, z + sz * c
                r = mp.sqrt(X * X + Y * Y + Z * Z)

                def angle(u, v, w):  # atan(uv/(wr)); on the plane w = 0 the mean of both sides
                    return mpf(0) if w == 0 else mp.atan(u * v / (w * r))

                def log(w, u, v):  # ln(w + r) without losing digits when w < 0
                    q = u * u + v * v
                    return mp.log(w + r) if w >= 0 else mp.log(q / (r - w)) if q else -mp.log(-2 * w)

                h[0] -= s * angle(Y, Z, X)
                h[1] -= s * angle(X, Z, Y)
                h[2] -= s * angle(X, Y, Z)
                h[3] += s * log(Z, X, Y)
                h[4] += s * log(X, Y, Z)
                h[5] += s * log(Y, Z, X)
    jx, jy, jz = map(mpf, j)
    inside = mpf(abs(x) < a and abs(y) < b and abs(z) < c)
    k = 4 * mp.pi
    return (
        (h[0] * jx + h[3] * jy + h[5] * jz) / k + inside * jx,
        (h[3] * jx + h[1] * jy + h[4] * jz) / k + inside * jy,
        (h[5] * jx + h[4] * jy + h[2] * jz) / k + inside * jz,
    )


def round_end(a, rho, u):
    """axial, cross, transverse of one end; see the Rust module `cylinder` for what they mean."""
    d = mp.sqrt(a * a + u * u)
    if rho == 0:
        return u / d / 2, mpf(0), -u / d / 4
    beta2 = (a + rho) ** 2 + u * u
    beta = mp.sqrt(beta2)
    m = 4 * a * rho / beta2
    nu = 4 * a * rho / (a + rho) ** 2
    K, E = mp.ellipk(m), mp.ellipe(m)
    cross = -((2 - m) * K - 2 * E) * beta / (4 * mp.pi * rho)
    gamma = (a - rho) / (a + rho)
    if rho == a:  # the mean of both sides of the mantle
        return u / (2 * mp.pi * beta) * K, cross, -u / (mp.pi * beta) * (K - E) / m
    Pi = mp.ellippi(nu, m)
    X = (Pi - K) / nu
    axial = a * u / (mp.pi * beta * (a + rho)) * (K + gamma * (1 - gamma) * X)
    transverse = -a * u / (mp.pi * beta * rho) * ((K - E) / m - gamma**2 * X)
    return axial, cross, transverse


def cylinder_tensor(a, h, rho, z):
    up, down = round_end(a, rho, z + h), round_end(a, rho, z - h)
    return [p - q for p, q in zip(up, down)]


def round_b(t, j, p, inside):
    x, y = mpf(p[0]), mpf(p[1])
    jx, jy, jz = map(mpf, j)
    rho = mp.sqrt(x * x + y * y)
    c, s = (x / rho, y / rho) if rho else (mpf(1), mpf(0))
    axial, cross, transverse = t
    jr, jp = jx * c + jy * s, jy * c - jx * s
    br = jz * cross - jr * (axial + transverse) + inside * jr
    bp = (transverse + inside) * jp
    return br * c - bp * s, br * s + bp * c, jz * axial + jr * cross


def rho_z(p):
    return mp.sqrt(mpf(p[0]) ** 2 + mpf(p[1]) ** 2), mpf(p[2])


def cylinder(sizes, j, p):
    a, h = map(mpf, sizes[:2])
    rho, z = rho_z(p)
    return round_b(cylinder_tensor(a, h, rho, z), j, p, mpf(rho < a and abs(z) < h))


def ring(sizes, j, p):
    i, o, h = map(mpf, sizes)
    rho, z = rho_z(p)
    t = [q - r for q, r in zip(cylinder_tensor(o, h, rho, z), cylinder_tensor(i, h, rho, z))]
    return round_b(t, j, p, mpf(i < rho < o and abs(z) < h))


def solenoid(sizes, j, p):
    a, h = map(mpf, sizes[:2])
    rho, z = rho_z(p)
    return round_b(cylinder_tensor(a, h, rho, z), (0, 0, MU_0 * mpf(j[0]) / (2 * h)), p, mpf(0))


def loop(sizes, j, p):
    a = mpf(sizes[0])
    rho, z = rho_z(p)
    beta2, alpha2 = (a + rho) ** 2 + z * z, (a - rho) ** 2 + z * z
    m = 4 * a * rho / beta2
    K, E = mp.ellipk(m), mp.ellipe(m)
    c = MU_0 * mpf(j[0]) / (2 * mp.pi * mp.sqrt(beta2))
    bz = c * (K + (a * a - rho * rho - z * z) / alpha2 * E)
    if rho == 0:
        return mpf(0), mpf(0), bz
    br = c * z / rho * ((a * a + rho * rho + z * z) / alpha2 * E - K)
    return br * mpf(p[0]) / rho, br * mpf(p[1]) / rho, bz


def gauss(n):
    """Nodes and weights of the n-point Gauss-Legendre rule on [-1, 1], by Newton."""
    rule = []
    for k in range(n):
        x = mp.cos(mp.pi * (k + mpf(3) / 4) / (n + mpf(1) / 2))
        for _ in range(60):
            p0, p1 = mpf(1), x
            for m in range(2, n + 1):
                p0, p1 = p1, ((2 * m - 1) * x * p1 - (m - 1) * p0) / m
            slope = n * (x * p1 - p0) / (x * x - 1)
            step = p1 / slope
            x -= step
            if abs(step) < mpf(10) ** (5 - mp.dps):
                break
        rule.append((x, 2 / ((1 - x * x) * slope**2)))
    return rule


RULE = gauss(20)


def coil(sizes, j, p):
    """Sheets over the radius: panels grow threefold away from rho, where logarithms and a jump lie."""
    i, o, h = map(mpf, sizes)
    rho, z = rho_z(p)
    u = min(abs(z - h), abs(z + h))
    axial, cross = mpf(0), mpf(0)
    start = min(max(rho, i), o)
    with mp.workdps(30):
        for sign, end in ((-1, i), (1, o)):
            at = start
            while (end - at) * sign > 0:
                step = mp.sqrt((at - rho) ** 2 + u * u) + mpf(10) ** -20 * o
                to = at + sign * 2 * step
                to = end if (end - to) * sign < step / 2 else to
                for x, w in RULE:
                    t = cylinder_tensor((at + to) / 2 + (to - at) / 2 * x, h, rho, z)
                    weight = abs(to - at) / 2 * w / (o - i)
                    axial += weight * t[0]
                    cross += weight * t[1]
                at = to
    return round_b((axial, cross, mpf(0)), (0, 0, MU_0 * mpf(j[0]) / (2 * h)), p, mpf(0))


def sphere(sizes, j, p):
    a = mpf(sizes[0])
    q = [mpf(c) / a for c in p]
    r2 = sum(c * c for c in q)
    if r2 < 1:
        return tuple(mpf(2) / 3 * mpf(c) for c in j)
    dot = sum(c * mpf(k) for c, k in zip(q, j))
    r = mp.sqrt(r2)
    return tuple((q[n] * dot / r2 - mpf(j[n]) / 3) / r**3 for n in range(3))


SHAPES = dict(
    cuboid=cuboid, cylinder=cylinder, ring=ring, sphere=sphere, loop=loop, solenoid=solenoid, coil=coil
)


def direction(rng):
    while True:
        v = [rng.gauss(0, 1) for _ in range(3)]
        n = sum(c * c for c in v) ** 0.5
        if n > 1e-3:
            return [c / n for c in v]


def log_uniform(rng, low, high):
    return low * (high / low) ** rng.random()


def sizes_of(shape, rng):
    mm = 1e-3
    flat = rng.choice([1, 1, 1, 0.01, 100])  # plates and needles too
    if shape == "cuboid":
        s = [rng.uniform(1, 10) * mm for _ in range(3)]
        s[rng.randrange(3)] *= rng.choice([1, 1, 1, 0.01, 30])
        return s
    a = rng.uniform(1, 10) * mm
    if shape in ("loop", "sphere"):
        return [a]
    h = rng.uniform(0.3, 3) * a * flat
    if shape in ("cylinder", "solenoid"):
        return [a, h]
    wall = rng.choice([0.5, 0.5, 0.9, 0.1, 0.01])
    if shape == "coil":
        wall, h = max(wall, 0.1), rng.uniform(0.3, 3) * a
    return [a * (1 - wall), a, h]


def extent(shape, s):
    return {
        "cuboid": lambda: (s[0] ** 2 + s[1] ** 2 + s[2] ** 2) ** 0.5,
        "loop": lambda: s[0],
        "sphere": lambda: s[0],
    }.get(shape, lambda: (s[-2] ** 2 + s[-1] ** 2) ** 0.5)()


def turn(rng, rho):
    """A point at distance about rho from the axis; on the x axis half the time, where it is exact."""
    if rng.random() < 0.5:
        return [rho, 0.0]
    c, s = direction(rng)[:2]
    n = (c * c + s * s) ** 0.5
    return [rho * c / n, rho * s / n]


def cuboid_point(group, s, rng):
    sign = [rng.choice([-1, 1]) for _ in range(3)]
    p = [rng.uniform(-1.5, 1.5) * h for h in s]
    i, j, k = rng.sample(range(3), 3)
    near = lambda: log_uniform(rng, 1e-9, 1e-2) * max(s) * rng.choice([-1, 1])
    if group == "face":  # just off a face, over it
        p[i] = sign[i] * s[i] + near()
        p[j], p[k] = rng.uniform(-0.9, 0.9) * s[j], rng.uniform(-0.9, 0.9) * s[k]
    elif group == "plane":  # exactly in a face's plane, outside the face
        p[i] = sign[i] * s[i]
        p[j] = sign[j] * s[j] * rng.uniform(1.05, 5)
    elif group == "extension":  # on, or just off, the line of an edge, beyond its end
        p[i] = sign[i] * s[i] + rng.choice([0, near()])
        p[j] = sign[j] * s[j] + rng.choice([0, near()])
        p[k] = sign[k] * s[k] * rng.choice([rng.uniform(1.05, 5), log_uniform(rng, 5, 1000)])
    elif group == "axis":
        p[i], p[j] = rng.choice([0, near()]), rng.choice([0, near()])
        p[k] = rng.uniform(-6, 6) * s[k]
    elif group == "edge":
        d = log_uniform(rng, 1e-6, 1e-4) * max(s)
        p[i], p[j] = sign[i] * s[i] + d * rng.uniform(-1, 1), sign[j] * s[j] + d
        p[k] = rng.uniform(-1, 1) * s[k]
    return p


def round_point(group, shape, s, rng):
    radii = s[:2] if shape in ("ring", "coil") else s[:1]
    a = rng.choice(radii)
    o = max(radii)
    h = s[-1] if shape not in ("loop", "sphere") else 0.0 if shape == "loop" else s[0]
    sign = rng.choice([-1, 1])
    near = lambda size: log_uniform(rng, 1e-9, 1e-2) * size * rng.choice([-1, 1])
    away = lambda: sign * (h + rng.uniform(0.05, 3) * o)
    if group == "near":
        return turn(rng, rng.uniform(0, 2.5) * o) + [rng.uniform(-1, 1) * (h + 2 * o)]
    if group == "axis":
        rho = rng.choice([0.0, log_uniform(rng, 1e-14, 1e-1) * a])
        return turn(rng, rho) + [rng.uniform(-1, 1) * (h + 2 * o)]
    if group == "mantle":  # at the mantle radius, exactly or nearly, beyond the ends
        return [a + rng.choice([0, near(a)]), 0.0, away()]
    if group == "face":  # just off an end face, or exactly in its plane outside the body
        if rng.random() < 0.5:
            return turn(rng, rng.uniform(0.05, 0.95) * a) + [sign * h + near(o)]
        return turn(rng, rng.uniform(1.05, 3) * o) + [sign * h]
    if group == "wall":  # just off the mantle, between the ends
        if shape == "coil":
            return turn(rng, o * (1 + log_uniform(rng, 1e-4, 1e-2))) + [rng.uniform(-0.9, 0.9) * h]
        return [a + near(a), 0.0, rng.uniform(-0.9, 0.9) * h]
    if group == "seam":  # both sides of where the kernels change form
        if rng.random() < 0.6:
            rho = a * rng.choice([0.1, 10.0]) * (1 + rng.choice([-1, 1]) * 1e-12)
            return turn(rng, rho) + [rng.uniform(-1, 1) * (h + o)]
        c = direction(rng)
        r = 4 * extent(shape, s) * (1 + rng.choice([-1, 1]) * 1e-12)
        return [r * q for q in c]
    if group == "edge":
        d, e = log_uniform(rng, 1e-6, 1e-4) * o, rng.uniform(-1, 1)
        return [a + d * e, 0.0, sign * h + d * rng.choice([-1, 1])]
    raise ValueError(group)


GROUPS = dict(
    cuboid=["near", "face", "plane", "extension", "axis", "seam", "far", "edge"],
    loop=["near", "axis", "mantle", "face", "far", "edge"],
    sphere=["near", "far"],
)
ROUND = ["near", "axis", "mantle", "face", "wall", "seam", "far", "edge"]


def cases(shape):
    rng = random.Random(f"20261125 {shape}")
    for group in GROUPS.get(shape, ROUND):
        for _ in range(6 if shape == "coil" else 80):
            s = sizes_of(shape, rng)
            reach = extent(shape, s)
            if group == "far":
                r = reach * log_uniform(rng, 3, 5000)
                p = [r * c for c in direction(rng)]
            elif shape == "cuboid" and group == "seam":
                r = 2 * reach * (1 + rng.choice([-1, 1]) * 1e-12)
                p = [r * c for c in direction(rng)]
            elif shape == "cuboid":
                p = cuboid_point(group, s, rng)
            else:
                p = round_point(group, shape, s, rng)
            if shape in ("loop", "solenoid", "coil"):
                j = [rng.uniform(1, 200), 0.0, 0.0]
            else:
                axes = rng.choice([(1, 1, 1), (1, 1, 1), (0, 0, 1), (1, 0, 0)])
                j = [1.2 * c * w for c, w in zip(direction(rng), axes)]
            yield shape, group, s, j, p


def row(case):
    shape, group, s, j, p = case
    b = [float(c) for c in SHAPES[shape](s, j, p)]
    sizes = list(s) + [0.0] * (3 - len(s))
    return ",".join([group] + [repr(float(v)) for v in sizes + list(j) + list(p) + b])


if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parent)
    header = "group,s0,s1,s2,jx,jy,jz,x,y,z,bx,by,bz"
    with Pool() as pool:
        for shape in sys.argv[2:] or SHAPES:
            rows = pool.map(row, list(cases(shape)), chunksize=4)
            (folder / f"truth_{shape}.csv").write_text("\n".join([header] + rows) + "\n")
