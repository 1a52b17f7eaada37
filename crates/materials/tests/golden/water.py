"""Density of liquid water at 0.1 MPa: writes water.csv.

Run: python3 water.py [directory]        (iapws; deterministic)

Columns: temperature, degrees Celsius; density by the supplementary release for liquid water at 0.1 MPa, and by the
formulation of 1995, kg/m3.
"""

import sys
from pathlib import Path

from iapws import IAPWS95
from iapws._iapws import _Liquid

CELSIUS = [1, 2, 4, 7, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 90, 99]

if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parent)
    rows = ["celsius,at_one_bar,iapws95"]
    for celsius in CELSIUS:
        kelvin = celsius + 273.15
        rows.append(f"{celsius},{_Liquid(kelvin)['rho']!r},{IAPWS95(T=kelvin, P=0.1).rho!r}")
    (folder / "water.csv").write_text("\n".join(rows) + "\n")
