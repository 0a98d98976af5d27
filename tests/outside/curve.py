"""Random houses with open choices -> curve.json: the best trades between cost and finish, by integer programs.

Every day is worked and open, so a day is its number from the start. A phase starts when those before it are finished and
what is picked for it is there; a part ordered only after a phase comes its lead time after that phase. For each finish,
HiGHS (through `scipy.optimize.milp`) gives the least cost, then the soonest finish at that cost, then the fewest changes.
"""

import json
import random
import sys
from pathlib import Path

import numpy as np
import scipy
from scipy.optimize import Bounds, LinearConstraint, milp

SEED = 911
HOUSES = 20
FAR = 200


def house(rng):
    n = rng.randint(5, 7)
    phases = [
        {"days": rng.randint(1, 7), "after": sorted(rng.sample(range(i), min(i, rng.randint(1, 2))))} for i in range(n)
    ]
    selections = []
    for _ in range(rng.randint(7, 8)):
        options = []
        for _ in range(rng.randint(2, 3)):
            phase = rng.randrange(n)
            tied = phase > 0 and rng.random() < 0.12
            options.append(
                {
                    "phase": phase,
                    "lead": rng.randint(0, 45),
                    "price": rng.randint(100, 900),
                    "order_after": rng.randrange(phase) if tied else None,
                }
            )
        selections.append(options)
    return {"phases": phases, "selections": selections}


class Program:
    """Variables: the start of each phase, the end, then one for each option."""

    def __init__(self, house):
        self.phases, self.selections = house["phases"], house["selections"]
        self.n = len(self.phases)
        self.first, at = [], self.n + 1
        for options in self.selections:
            self.first.append(at)
            at += len(options)
        self.size = at
        self.rows, self.low, self.high = [], [], []
        for i, phase in enumerate(self.phases):
            for before in phase["after"]:
                self.row({i: 1, before: -1}, self.phases[before]["days"])
            self.row({self.n: 1, i: -1}, phase["days"])
        for first, options in zip(self.first, self.selections):
            self.row({first + o: 1 for o in range(len(options))}, 1, 1)
            for o, option in enumerate(options):
                if option["order_after"] is None:
                    self.row({option["phase"]: 1, first + o: -option["lead"]}, 0)
                else:
                    after = option["order_after"]
                    wait = self.phases[after]["days"] + option["lead"]
                    self.row({option["phase"]: 1, after: -1, first + o: -FAR}, wait - FAR)
        self.cost, self.changes, self.end = np.zeros(at), np.zeros(at), np.zeros(at)
        self.end[self.n] = 1
        for first, options in zip(self.first, self.selections):
            for o, option in enumerate(options):
                self.cost[first + o] = option["price"]
                self.changes[first + o] = o > 0

    def row(self, values, low, high=np.inf):
        row = np.zeros(self.size)
        for at, value in values.items():
            row[at] += value
        self.rows.append(row)
        self.low.append(low)
        self.high.append(high)

    def solve(self, goal, *most):
        rows, low, high = list(self.rows), list(self.low), list(self.high)
        for row, limit in most:
            rows.append(row)
            low.append(-np.inf)
            high.append(limit)
        upper = np.full(self.size, float(FAR))
        upper[self.n + 1 :] = 1
        found = milp(
            goal,
            integrality=np.ones(self.size),
            bounds=Bounds(np.zeros(self.size), upper),
            constraints=LinearConstraint(np.array(rows), low, high),
            options={"mip_rel_gap": 0},
        )
        return None if found.x is None else round(found.fun)


def answer(house):
    program, points, limit = Program(house), [], FAR - 1
    while True:
        cost = program.solve(program.cost, (program.end, limit))
        if cost is None:
            return points[::-1]
        end = program.solve(program.end, (program.cost, cost + 0.5))
        changes = program.solve(program.changes, (program.cost, cost + 0.5), (program.end, end + 0.5))
        points.append({"end": end, "cost": cost, "changes": changes})
        limit = end - 0.5


def main():
    rng = random.Random(SEED)
    houses = []
    while len(houses) < HOUSES:
        one = house(rng)
        one["points"] = answer(one)
        if len(one["points"]) > 1:
            houses.append(one)
    made_with = {"python": sys.version.split()[0], "numpy": np.__version__, "scipy": scipy.__version__}
    text = json.dumps({"made_with": made_with, "seed": SEED, "houses": houses}, separators=(",", ":"))
    Path(__file__).with_name("curve.json").write_text(text.replace('{"phases"', '\n{"phases"') + "\n")


main()
