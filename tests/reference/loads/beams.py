#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Continuous beams with overhangs against SymPy's beam module (general-purpose computer algebra, Debian's
python3-sympy): exact reactions, bending moments and deflections by singularity functions and integration, which is not
how the program goes about it (three-moment equation)."""
import json, subprocess, sys

from sympy import Rational, Symbol, symbols
from sympy.physics.continuum_mechanics.beam import Beam


def exact(number):
    return Rational(str(number))


def solve(case):
    x = Symbol("x")
    beam = Beam(exact(case["length"]), exact(case["stiffness"]), 1, variable=x)
    names = symbols(f"R0:{len(case['supports'])}")
    for name, place in zip(names, case["supports"]):
        beam.apply_load(name, exact(place), -1)
        beam.bc_deflection.append((exact(place), 0))
    for place, newton in case["forces"]:
        beam.apply_load(-exact(newton), exact(place), -1)
    start, end, load = map(exact, case["spread"])
    beam.apply_load(-load, start, 0, end=end)
    beam.solve_for_reaction_loads(*names)
    reactions = [float(beam.reaction_loads[name]) for name in names]
    moment, sag = beam.bending_moment(), beam.deflection()
    return reactions, [(float(moment.subs(x, exact(p[0]))), float(sag.subs(x, exact(p[0])))) for p in case["at"]]


def signs():
    """Its versions differ in what they call positive: a beam with one load in its middle sags, and says it."""
    simple = {"length": 2, "stiffness": 1, "supports": [0, 2], "forces": [[1, 1]], "spread": [0, 2, 0], "at": [[1]]}
    _, [(moment, sag)] = solve(simple)
    assert abs(abs(moment) - 1 / 2) < 1e-12 and abs(abs(sag) - 8 / 48) < 1e-12  # P l / 4 and P l3 / 48 E I
    return (1 if moment > 0 else -1), (1 if sag > 0 else -1)


worst, count = 0.0, 0
moment_sign, sag_sign = signs()
for line in subprocess.run([sys.argv[1], sys.argv[2]], check=True, capture_output=True, text=True).stdout.splitlines():
    case = json.loads(line)
    reactions, at = solve(case)
    heaviest = max(map(abs, reactions))
    for mine, theirs in zip(case["reactions"], reactions):
        worst = max(worst, abs(mine - theirs) / heaviest)
    moments = max(abs(m) for m, _ in at)
    sags = max(abs(d) for _, d in at)
    for (_, moment, sag), (their_moment, their_sag) in zip(case["at"], at):
        worst = max(worst, abs(moment - moment_sign * their_moment) / moments, abs(sag - sag_sign * their_sag) / sags)
    count += 1
print(f"{count} beams against SymPy: largest difference {worst:.1e} of the largest figure")
sys.exit(0 if count and worst < 1e-9 else 1)
