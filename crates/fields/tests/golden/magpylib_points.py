"""Random points by a public library, 20,000 a shape, 400 of a ring segment: writes magpylib_<shape>.f64.

Run: python3 magpylib_points.py [directory [shape ...]]        (numpy, magpylib; deterministic)

Little-endian f64, six numbers a point: x, y, z (m), Bx, By, Bz (T). The sources are those of
tests/magpylib.rs. Half the points lie within 3 bounding radii, the rest reach out to 10 radii: beyond,
the library's own closed forms lose digits. Coordinates are random f64; none is on a seam by design.
Of the ring segment it has B to about 1e-9, and 1e-6 at some points.
"""

import sys
from pathlib import Path

import magpylib as magpy
import numpy as np

COUNT = {"segment": 400}
J = (0.3, -0.5, 1.1)

SOURCES = {
    "cuboid": magpy.magnet.Cuboid(dimension=(0.010, 0.006, 0.004), polarization=J),
    "cylinder": magpy.magnet.Cylinder(dimension=(0.010, 0.020), polarization=J),
    "ring": [magpy.magnet.Cylinder(dimension=(d, 0.006), polarization=J) for d in (0.020, 0.010)],
    "sphere": magpy.magnet.Sphere(diameter=0.010, polarization=J),
    "loop": magpy.current.Circle(diameter=0.010, current=100),
    "segment": magpy.magnet.CylinderSegment(dimension=(0.005, 0.010, 0.006, -30, 75), polarization=J),
}
EXTENT = {"cuboid": 0.0062, "cylinder": 0.0112, "ring": 0.0105, "sphere": 0.005, "loop": 0.005, "segment": 0.0105}


def write(shape, folder):
    rng = np.random.default_rng([20261125, *shape.encode()])
    n = COUNT.get(shape, 20_000)
    direction = rng.normal(size=(n, 3))
    direction /= np.linalg.norm(direction, axis=1)[:, None]
    near = 3 * EXTENT[shape] * rng.random(n // 2) ** (1 / 3)
    far = 3 * EXTENT[shape] * (10 / 3) ** rng.random(n - n // 2)
    points = direction * np.concatenate([near, far])[:, None]
    if shape == "ring":
        # Outer cylinder less inner: the library's own ring is slow and less exact.
        outer, inner = SOURCES["ring"]
        field = outer.getB(points) - inner.getB(points)
    else:
        field = SOURCES[shape].getB(points)
    np.hstack([points, field]).astype("<f8").tofile(folder / f"magpylib_{shape}.f64")


if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parent)
    for shape in sys.argv[2:] or SOURCES:
        write(shape, folder)
