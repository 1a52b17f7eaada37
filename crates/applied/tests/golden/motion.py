"""Blades of a contact that close and open with the current of their coil, by an implicit solver.

A gap with a core, pull mu0 A NI^2 / (2 (x + r)^2) and inductance L0 + mu0 A N^2 (1/(x + r) - 1/(g + r)); one mass on a
spring with damping; a coil on a voltage, or left to a resistor, a voltage against the current, and a
capacitor. Radau IIA of order 5, relative tolerance 1e-10.
"""

import sys
from pathlib import Path

import numpy as np
from scipy.integrate import solve_ivp

MU_0 = 1.25663706127e-6

# mass, stiffness, rest, closed, quality, area, core, turns, henries, bias
BLADES = [
    (5.2e-7, 480.0, 25e-6, 4e-6, 60.0, 0.47e-6, 20e-6, 2200.0, 0.02, 0.0),
    (2.0e-6, 300.0, 60e-6, 5e-6, 20.0, 1.5e-6, 60e-6, 5000.0, 0.1, 0.0),
    (2.0e-6, 300.0, 60e-6, 5e-6, 200.0, 1.5e-6, 30e-6, 5000.0, 0.1, 2e-4),
]
# over pull-in, resistance of the coil
SUPPLIES = [(1.1, 200.0), (2.0, 200.0), (3.0, 2000.0)]
# ohms in series, volts against, farads
ENDS = [(0.0, 0.7, np.inf), (0.0, 24.7, np.inf), (1000.0, 0.0, np.inf), (220.0, 0.0, 1e-7)]
RELATIVE = 1e-10


def pull(b, x, i):
    return MU_0 * b[5] * (b[7] * (i + b[9])) ** 2 / (2 * (x + b[6]) ** 2)


def inductance(b, x):
    return b[8] + MU_0 * b[5] * b[7] ** 2 * (1 / (x + b[6]) - 1 / (b[2] + b[6]))


def slope(b, x):
    return -MU_0 * b[5] * b[7] ** 2 / (x + b[6]) ** 2


def pull_in(b):
    return np.sqrt(8 * b[1] * (b[2] + b[6]) ** 3 / (27 * MU_0 * b[5])) / b[7] - b[9]


def motion(b, volts, ohms, against, farads, scale, free):
    natural = np.sqrt(b[1] / b[0])
    rate = np.array([b[2], b[2] * natural, scale, scale * ohms])

    def f(_, y):
        x, v, i, u = y * rate
        if not free:
            v = 0.0
        force = b[1] * (b[2] - x) - pull(b, x, i) - np.sqrt(b[0] * b[1]) / b[4] * v if free else 0.0
        across = volts - ohms * i - against - u
        rise = (across - (i + b[9]) * slope(b, x) * v) / inductance(b, x)
        return np.array([v, force / b[0], rise, i / farads]) / rate / natural

    return natural, rate, f


def run(b, start, volts, ohms, against, farads, scale, free, event):
    natural, rate, f = motion(b, volts, ohms, against, farads, scale, free)
    stop = lambda t, y: event(y * rate)
    stop.terminal = True
    solved = solve_ivp(
        f, (0, 2000.0), start / rate, method="Radau", rtol=RELATIVE, atol=1e-12, events=stop, max_step=5.0
    )
    return solved.t_events[0][0] / natural, solved.y_events[0][0] * rate


def main(folder):
    lines = ["blades,supply,end,volts,ohms,against,farads,time,speed"]
    for k, b in enumerate(BLADES):
        for s, (over, coil) in enumerate(SUPPLIES):
            current = over * pull_in(b)
            volts = current * coil
            touch = lambda y: y[0] - b[3]
            time, y = run(b, np.array([b[2], 0, 0, 0]), volts, coil, 0.0, np.inf, current, True, touch)
            lines.append(f"{k},{s},,{volts!r},{coil!r},0.0,inf,{time!r},{-y[1]!r}")
            for e, (series, against, farads) in enumerate(ENDS):
                held = -volts if np.isfinite(farads) else 0.0
                part = lambda y: pull(b, b[3], y[2]) - b[1] * (b[2] - b[3])
                ohms = coil + series
                start = np.array([b[3], 0, current, held])
                time, y = run(b, start, 0.0, ohms, against, farads, current, False, part)
                lines.append(f"{k},{s},{e},0.0,{ohms!r},{against!r},{farads!r},{time!r},{y[2]!r}")
    lines = [line.replace("np.float64(", "").replace(")", "") for line in lines]
    (Path(folder) / "motion.csv").write_text("\n".join(lines) + "\n")


main(sys.argv[1])
