"""Load circuits against ngspice: python3 against_ngspice.py EXAMPLE FOLDER REEDMACE DESIGN

EXAMPLE is the built example `load_circuits`; FOLDER takes its netlists. REEDMACE is the built program, whose netlists
of DESIGN are tried with every kind of protection, on direct and alternating voltage and behind a cable. Fails where a
peak or a mean square is further off than LIMIT.
"""

import json
import os
import re
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

LIMIT = 0.01
KINDS = ["rc", "rc across load", "diode", "zener", "varistor", "resistor", "inductor"]
# What of the design's load is changed: lines taken out, lines put in, and the kinds that can serve then.
VARIANTS = {
    "": ([], "", KINDS[:6]),
    "ac": ([], 'frequency = "50 Hz"', ["rc", "rc across load", "varistor", "resistor"]),
    "supply": (["inductance"], 'capacitance = "100 µF"', ["rc", "resistor", "inductor"]),
    "cable": (["inductance"], 'capacitance = "5 nF"', ["rc", "resistor", "inductor"]),
}
NAMES = {"supply": "capacitive", "cable": "cable"}


def measured(netlist, questions):
    """What ngspice measures in a netlist."""
    asked = "".join(f".meas tran q{k} {q}\n" for k, q in enumerate(questions))
    netlist.write_text(netlist.read_text().replace(".end\n", asked + ".end\n"))
    out = subprocess.run(["ngspice", "-b", netlist], capture_output=True, text=True, check=False).stdout
    found = dict(re.findall(r"^q(\d+)\s*=\s*(\S+)", out, re.M))
    if len(found) != len(questions):
        sys.exit(f"{netlist.name}: ngspice does not answer\n{out}")
    return [float(found[str(k)]) for k in range(len(questions))]


def of_example(example, folder):
    """Every circuit of the example: its netlist, the questions and our answers."""
    said = subprocess.run([example, folder], capture_output=True, text=True, check=True).stdout
    cases = {}
    for line in said.splitlines():
        name, moves, question, value = line.split(",")
        cases.setdefault(f"{name}_{moves}", []).append((question, float(value)))
    return [(folder / f"{name}.cir", asked) for name, asked in cases.items()]


def exported(program, design, folder, variant, kind):
    """The same of what the program exports of the design, changed."""
    without, more, _ = VARIANTS[variant]
    text = design.read_text()
    for key in without:
        text = re.sub(rf"^{key} = .*\n", "", text, flags=re.M)
    if variant in NAMES:
        text = text.replace('kind = "inductive"', f'kind = "{NAMES[variant]}"')
    if kind == "rc" and variant in NAMES:
        # Loads that open without an arc: none is sized, so it is stated.
        more += '\nprotect_resistance = "47 Ω"\nprotect_capacitance = "100 nF"'
    text = text.replace('protect = "rc"', f'protect = "{kind}"\n{more}')
    command = [program, "netlist", "-", "--json"]
    ran = subprocess.run(command, input=text, capture_output=True, text=True, check=False)
    if ran.returncode != 0:
        sys.exit(f"{variant} {kind}: {ran.stderr}")
    cases = []
    for found in json.loads(ran.stdout):
        words = [part for part in ("exported", variant, kind, found["moves"]) if part]
        netlist = folder / ("_".join(words).replace(" ", "_") + ".cir")
        netlist.write_text(found["text"])
        cases.append((netlist, [tuple(one) for one in found["asked"]]))
    return cases


def compared(case):
    """Lines to print, and how far off the worst is."""
    netlist, asked = case
    lines, worst = [], 0.0
    for (question, ours), other in zip(asked, measured(netlist, [q for q, _ in asked])):
        off = abs(ours - other) / max(abs(ours), abs(other), 1e-30)
        worst = max(worst, off)
        what = "root mean square" if question.startswith("RMS") else "peak"
        unit = {"V": "V", "I": "A"}[question.split()[1][0]]
        mark = "" if off <= LIMIT else "  <-- beyond the limit"
        lines.append(f"{netlist.stem} {what}: {ours:.6g} {unit}, ngspice {other:.6g}, off {off:.2%}{mark}")
    return lines, worst


def main(example, folder, program, design):
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    wanted = [(variant, kind) for variant, (*_, kinds) in VARIANTS.items() for kind in kinds]
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        of_design = pool.map(lambda one: exported(program, Path(design), folder, *one), wanted)
        cases = of_example(example, folder) + [case for cases in of_design for case in cases]
        results = list(pool.map(compared, cases))
    for lines, _ in results:
        print("\n".join(lines))
    worst = max(worst for _, worst in results)
    if worst > LIMIT:
        sys.exit(f"off by {worst:.2%}, more than {LIMIT:.0%}")


if __name__ == "__main__":
    main(*sys.argv[1:5])
