"""Volumes of cylindrical tanks below a level: writes tanks.csv.

Run: python3 tanks.py [directory]        (fluids; deterministic)

Columns: how the tank stands; its ends (an upright one has a flat top); depth of the ends, or dish radius over
diameter; knuckle radius over diameter; level from the lowest place, m; volume below it, m3. Diameter 1.2 m, length
of the shell 2.5 m.
"""

import sys
from pathlib import Path

from fluids.geometry import (
    V_horiz_conical,
    V_horiz_ellipsoidal,
    V_horiz_guppy,
    V_horiz_spherical,
    V_horiz_torispherical,
    V_vertical_conical,
    V_vertical_ellipsoidal,
    V_vertical_spherical,
    V_vertical_torispherical,
)

D, L = 1.2, 2.5
SHARES = [0.02, 0.1, 0.25, 0.4, 0.5, 0.6, 0.75, 0.9, 0.99]
LYING = {
    "conical": V_horiz_conical,
    "ellipsoidal": V_horiz_ellipsoidal,
    "spherical": V_horiz_spherical,
    "guppy": V_horiz_guppy,
}
STANDING = {
    "conical": V_vertical_conical,
    "ellipsoidal": V_vertical_ellipsoidal,
    "spherical": V_vertical_spherical,
}
DEPTH = 0.35
DISH, KNUCKLE = 0.9, 0.08

if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parent)
    rows = ["stands,ends,depth_or_dish,knuckle,level_m,volume_m3"]
    for share in SHARES:
        level = share * D
        for name, volume in LYING.items():
            rows.append(f"horizontal,{name},{DEPTH},0,{level!r},{volume(D=D, L=L, a=DEPTH, h=level)!r}")
        v = V_horiz_torispherical(D=D, L=L, f=DISH, k=KNUCKLE, h=level)
        rows.append(f"horizontal,torispherical,{DISH},{KNUCKLE},{level!r},{v!r}")
        level = share * L
        for name, volume in STANDING.items():
            rows.append(f"upright,{name},{DEPTH},0,{level!r},{volume(D=D, a=DEPTH, h=level)!r}")
        v = V_vertical_torispherical(D=D, f=DISH, k=KNUCKLE, h=level)
        rows.append(f"upright,torispherical,{DISH},{KNUCKLE},{level!r},{v!r}")
    (folder / "tanks.csv").write_text("\n".join(rows) + "\n")
