"""Integrates random mass-action networks with SciPy and stores where two of its methods agree.

    npm run build && node tools/fuzz.mjs --sample 60 | python3 checks/outside/random_networks.py > checks/outside/random_networks.json

Needs python3-scipy. Reads {"problems": [{seed, species, y0, toS, reactions: [{k, from: [[place, order]], to}]}]}; writes the same problems
with the state at the end by Radau (relative tolerance 1e-11), kept only when BDF (1e-10) and LSODA (1e-11) are within 1e-7 of it, weighted by
1e-7 of the largest start amount. The rates are written out here from the reactions; nothing of the project is used.
"""

import json
import sys

import numpy as np
import scipy
from scipy.integrate import solve_ivp


def system(problem):
    n = len(problem["species"])
    reactions = problem["reactions"]
    change = np.zeros((n, len(reactions)))
    for r, reaction in enumerate(reactions):
        for i, order in reaction["from"]:
            change[i, r] -= order
        for i, order in reaction["to"]:
            change[i, r] += order

    def rates(_t, y):
        v = [reaction["k"] * np.prod([y[i] ** order for i, order in reaction["from"]]) for reaction in reactions]
        return change @ np.array(v)

    def jacobian(_t, y):
        slopes = np.zeros((len(reactions), n))
        for r, reaction in enumerate(reactions):
            for i, order in reaction["from"]:
                rest = [y[j] ** other for j, other in reaction["from"] if j != i]
                slopes[r, i] = reaction["k"] * order * y[i] ** (order - 1) * np.prod(rest)
        return change @ slopes

    return rates, jacobian


def solve(problem, method, rtol):
    rates, jacobian = system(problem)
    y0 = np.array(problem["y0"], dtype=float)
    run = solve_ivp(rates, (0, problem["toS"]), y0, method=method, jac=jacobian, rtol=rtol, atol=1e-13 * max(y0.max(), 1e-300))
    return run.y[:, -1] if run.success else None


def main():
    kept = []
    dropped = []
    for problem in json.load(sys.stdin)["problems"]:
        reference = solve(problem, "Radau", 1e-11)
        others = [solve(problem, "BDF", 1e-10), solve(problem, "LSODA", 1e-11)]
        if reference is None or any(o is None for o in others):
            dropped.append(problem["seed"])
            continue
        scale = np.abs(reference) + 1e-7 * max(problem["y0"])
        apart = max(float(np.max(np.abs(o - reference) / scale)) for o in others)
        if not apart < 1e-7:
            dropped.append(problem["seed"])
            continue
        kept.append({**problem, "end": reference.tolist(), "methodsApart": apart})
    print(
        json.dumps(
            {
                "source": f"SciPy {scipy.__version__}, solve_ivp: Radau 1e-11, agreed by BDF 1e-10 and LSODA 1e-11 to 1e-7",
                "dropped": dropped,
                "problems": kept,
            }
        )
    )


main()
