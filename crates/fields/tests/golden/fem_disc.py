"""A steel disc between a magnet and the point, by finite elements: writes fem_disc.csv.

Run: python3 fem_disc.py [directory]        (numpy, scipy, scikit-fem; deterministic, a minute)

A cylinder of polarization J along z stands over a disc on the same axis, so everything is a matter of r and
z. The magnetic scalar potential u (mu_0 H = -grad u, T m) obeys div(mu grad u) = div J with mu the relative
permeability, in the weak form

    integral mu grad u . grad v r dr dz = integral J . grad v r dr dz

on cubic elements of a rectangular mesh, which shrink towards every face and rim and grow towards the end of
the world, 2 m away, where u = 0. Nothing in common with charges on panels but Maxwell.

Columns: case, radius and half thickness of the disc, its permeability, radius, half length and middle of the
magnet, J, r, z, B_r, B_z; metres, tesla. On a mesh with steps half as long again every B is the same to
within a thousandth of its length, or this fails.
"""

import sys
from pathlib import Path

import numpy as np
from skfem import Basis, BilinearForm, ElementQuadP, LinearForm, MeshQuad, condense, solve

WORLD = 2.0

# name, disc radius, half thickness, permeability, magnet radius, half length, middle, J; mm
CASES = [
    ("plate", 20, 1.0, 1000, 5, 2.5, 8.0, 1.2),
    ("foil", 20, 0.25, 200, 5, 2.5, 5.0, 1.2),
    ("block", 8, 4.0, 50, 5, 2.5, 9.0, 1.2),
]


def graded(length, fine):
    """Steps from a face outwards that add up to the length: they grow by half each, but not beyond half a
    millimetre or an eighth of the way behind them."""
    finest, largest = 4e-6 / fine, 5e-4 / fine
    steps, way = [], 0.0
    while way < length:
        steps.append(min(finest * 1.5 ** (len(steps) / fine), max(largest, way / 8 / fine)))
        way += steps[-1]
    return np.array(steps) * length / way


def between(faces, fine):
    """Planes between two faces and more, finest at each."""
    at = [np.array(faces[:1])]
    for low, high in zip(faces, faces[1:]):
        half = graded((high - low) / 2, fine)
        at.append(low + np.cumsum(np.concatenate([half, half[::-1]])))
        at[-1][-1] = high
    return np.concatenate(at)


def mesh_of(disc, magnet, fine):
    (radius, half), (a, h, middle) = disc, magnet
    outer = np.cumsum(graded(WORLD, fine))
    inner = min(a, radius) - np.cumsum(graded(min(a, radius), fine))[::-1]
    inner[0] = 0.0
    faces = sorted([a, radius])
    r = np.concatenate([inner, between(faces, fine), faces[-1] + outer])
    faces = sorted([-half, half, middle - h, middle + h])
    z = np.concatenate([faces[0] - outer[::-1], between(faces, fine), faces[-1] + outer])
    return MeshQuad.init_tensor(r, z)


def field(case, points, fine):
    """B at points (r, z)."""
    _, radius, half, mu, a, h, middle, j = case
    mesh = mesh_of((radius, half), (a, h, middle), fine)
    basis = Basis(mesh, ElementQuadP(3), intorder=8)
    in_disc = lambda r, z: (r < radius) & (abs(z) < half)
    in_magnet = lambda r, z: (r < a) & (abs(z - middle) < h)

    @BilinearForm
    def stiffness(u, v, w):
        r, z = w.x
        return np.where(in_disc(r, z), mu, 1.0) * (u.grad[0] * v.grad[0] + u.grad[1] * v.grad[1]) * r

    @LinearForm
    def load(v, w):
        r, z = w.x
        return np.where(in_magnet(r, z), j, 0.0) * v.grad[1] * r

    end = basis.get_dofs(lambda x: (x[0] > 0.999 * WORLD) | (abs(x[1]) > 0.999 * WORLD))
    u = solve(*condense(stiffness.assemble(basis), load.assemble(basis), D=end))
    b = np.zeros((len(points), 2))
    find = mesh.element_finder()
    for row, point in enumerate(points):
        x = np.array(point, float)[:, None]
        cell = find(*x)
        local = mesh.mapping().invF(x[:, :, None], cell)
        for i in range(basis.Nbfun):
            value = basis.elem.gbasis(basis.mapping, local, i, tind=cell)[0]
            b[row] -= u[basis.element_dofs[i, cell[0]]] * value.grad[:, 0, 0]
    return b


def points_of(case):
    _, radius, half, _, a, h, middle, _ = case
    gap = middle - h - half
    over, under = half + 0.5 * gap, -half - 0.5 * gap
    return [
        (0.0, over), (0.6 * a, over), (0.8 * radius, half + 0.4 * gap), (0.0, middle + h + 3e-3),
        (0.0, under), (0.0, -half - 2 * gap), (a, under), (0.5 * radius, -half - 3e-3),
        (radius + 3e-3, 0.0), (radius + 1e-3, half + 1e-3), (1.5 * radius, -5e-3), (0.0, -half - 30e-3),
    ]


if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parent)
    lines = ["case,radius,half,mu,a,h,middle,j,r,z,br,bz"]
    for name, *numbers in CASES:
        radius, half, mu, *magnet, j = numbers
        mm = lambda sizes: [c * 1e-3 for c in sizes]
        case = (name, *mm([radius, half]), mu, *mm(magnet), j)
        points = points_of(case)
        coarse, fine = field(case, points, 0.5), field(case, points, 0.75)
        for (r, z), b, before in zip(points, fine, coarse):
            change = np.linalg.norm(b - before) / np.linalg.norm(b)
            assert change < 1e-3, f"{name} {r} {z}: {change}"
            b[0] = b[0] if r > 0 else 0.0
            lines.append(",".join([name] + [repr(float(c)) for c in [*case[1:], r, z, *b]]))
    (folder / "fem_disc.csv").write_text("\n".join(lines) + "\n")
