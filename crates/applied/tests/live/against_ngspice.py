"""Load circuits against ngspice: python3 against_ngspice.py EXAMPLE FOLDER

EXAMPLE is the built example `load_circuits`; FOLDER takes its netlists. Fails where a peak or an integral is further
off than LIMIT.
"""

import re
import subprocess
import sys
from pathlib import Path

LIMIT = 0.01


def measured(netlist, questions):
    """What ngspice measures in a netlist."""
    asked = "".join(f".meas tran q{k} {q}\n" for k, q in enumerate(questions))
    netlist.write_text(netlist.read_text().replace(".end\n", asked + ".end\n"))
    out = subprocess.run(["ngspice", "-b", netlist], capture_output=True, text=True, check=False).stdout
    found = dict(re.findall(r"^q(\d+)\s*=\s*(\S+)", out, re.M))
    if len(found) != len(questions):
        sys.exit(f"{netlist.name}: ngspice does not answer\n{out}")
    return [float(found[str(k)]) for k in range(len(questions))]


def main(example, folder):
    folder = Path(folder)
    said = subprocess.run([example, folder], capture_output=True, text=True, check=True).stdout
    cases = {}
    for line in said.splitlines():
        name, moves, question, value = line.split(",")
        cases.setdefault((name, moves), []).append((question, float(value)))
    worst = 0.0
    for (name, moves), asked in cases.items():
        theirs = measured(folder / f"{name}_{moves}.cir", [q for q, _ in asked])
        for (question, ours), other in zip(asked, theirs):
            off = abs(ours - other) / max(abs(ours), abs(other), 1e-30)
            worst = max(worst, off)
            what = "peak" if question.startswith("MAX") else "integral"
            unit = {"V": "V", "I": "A"}[question.split()[1][0]] + ("" if what == "peak" else "·s")
            mark = "" if off <= LIMIT else "  <-- beyond the limit"
            print(f"{name} {moves} {what}: {ours:.6g} {unit}, ngspice {other:.6g}, off {off:.2%}{mark}")
    if worst > LIMIT:
        sys.exit(f"off by {worst:.2%}, more than {LIMIT:.0%}")


if __name__ == "__main__":
    main(*sys.argv[1:3])
