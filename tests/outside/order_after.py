"""Random networks whose parts are delivered, many of them ordered only after a phase -> order_after.json.

The phases, links and progress are those of `networks.py`, the walk from order to arrival is that of `deliveries.py`. A
part that is ordered only after a phase can be ordered on the first open day of its supplier that is after the last day
of that phase and the calendar days for measuring; others on the as-of day, or the day their choice is made. From
everything at its lowest, every rule that is broken moves one phase by one day, until none is: plain iteration to the
least fixpoint, which knows nothing of an order of phases.

What a part costs is the same once more without it: the days by which the end comes sooner.
"""

import json
import random
import sys
from datetime import date
from functools import lru_cache
from pathlib import Path

import holidays
import numpy as np

import federal
from deliveries import Desk, spread
from networks import DAY, FEDERAL, Network

SEED = 613
GROUPS = [("elapsed", 180), ("progress", 170)]


class Supplier(Desk):
    """A supplier of a house whose calendar is known."""

    def __init__(self, rng, network):
        near = lambda: network.start + rng.randint(-20, 200) * DAY
        self.mask = rng.choice(["1111100", "1111100", "0110110", "1000000"])
        self.closed = []
        for _ in range(rng.choice([0, 0, 1, 2])):
            first = near()
            self.closed.append((first, first + rng.choice([0, 6, 13]) * DAY))
        both = lambda mask: "".join("1" if a == b == "1" else "0" for a, b in zip(network.mask, mask))
        self.delivery = rng.choice(["", "", "0100100", "0010000"])
        if "1" not in both(self.delivery or "1" * 7):
            self.delivery = ""
        self.ship = rng.choice([0, 0, 2, 5])
        kept = set(network.own) | (set(FEDERAL) if network.rule == "us-federal" else set())
        self.shut = spread(self.closed)
        order = self.calendar(self.mask, kept | self.shut)
        receive = self.calendar(both(self.delivery or "1" * 7), kept | spread(network.closed))
        self.takes = lru_cache(maxsize=None)(lambda d: bool(np.is_busday(np.datetime64(d), busdaycal=order)))
        self.gets = lru_cache(maxsize=None)(lambda d: bool(np.is_busday(np.datetime64(d), busdaycal=receive)))
        self.arrives = lru_cache(maxsize=None)(self.arrival)

    def row(self):
        return [self.mask, self.closed, self.delivery, self.ship]


class Part:
    def __init__(self, rng, network, suppliers):
        spots = sorted(rng.sample(range(len(network.order)), 2))
        self.phase = network.order[spots[1]]
        self.after = network.order[spots[0]] if rng.random() < 0.7 else None
        self.days = rng.choice([0, 0, 1, 3, 10]) if self.after is not None else 0
        self.at = rng.choice(["start", "start", "finish"])
        self.hold = rng.choice([0, 0, 2])
        self.unit = rng.choice(["days", "weeks", "working"])
        self.lead = rng.randint(0, {"days": 40, "weeks": 6, "working": 25}[self.unit])
        self.supplier = rng.randrange(len(suppliers))
        self.decide = network.as_of + rng.randint(-5, 30) * DAY if rng.random() < 0.3 else None

    def row(self):
        return [self.phase, self.after, self.days, self.at, self.hold, self.lead, self.unit, self.supplier, self.decide]


class Job:
    def __init__(self, network, suppliers, parts):
        self.network, self.suppliers, self.parts = network, suppliers, parts

    def last_day(self, i, es, ef):
        phase, work = self.network.phases[i], self.network.work
        if phase.state() == "done":
            return phase.done_on()
        if phase.state() == "begun":
            return max(work.day(ef - 1), phase.actual_start)
        return work.day(es) if phase.days == 0 else work.day(ef - 1)

    def comes(self, part, es, ef):
        """First order day where a phase comes first, and arrival."""
        desk = self.suppliers[part.supplier]
        order = max(self.network.as_of, part.decide or self.network.as_of)
        first = None
        if part.after is not None:
            first = self.last_day(part.after, es[part.after], ef[part.after]) + part.days * DAY + DAY
            while not desk.takes(first):
                first += DAY
            order = max(order, first)
        return first, desk.arrives(order, part.lead, part.unit)

    def holds(self, part, arrival, es, ef):
        """Whether the phase must move for a part that comes on a day."""
        j = part.phase
        phase = self.network.phases[j]
        usable = self.network.work.index(arrival) + part.hold
        if phase.state() == "done" or (phase.state() == "begun" and part.at == "start"):
            return False
        if part.at == "start" or phase.days == 0 and phase.state() == "ahead":
            return es[j] < usable
        return ef[j] - 1 < usable

    def least(self, but=None):
        network = self.network
        es, ef = network.facts()
        links, parts = list(network.binding()), [p for p in self.parts if p is not but]

        def push(j):
            ef[j] += 1
            if network.phases[j].state() == "ahead":
                es[j] += 1

        moved = True
        while moved:
            moved = False
            for part in parts:
                _, arrival = self.comes(part, es, ef)
                while self.holds(part, arrival, es, ef):
                    moved = True
                    push(part.phase)
            for link in links:
                i, j = link[0], link[1]
                while not network.allows(link, es[i], ef[i], es[j], ef[j]):
                    moved = True
                    push(j)
        return es, ef

    def answers(self):
        network = self.network
        es, ef = self.least()
        offset = lambda day: (day - network.start).days
        phases = []
        for i, phase in enumerate(network.phases):
            first = phase.actual_start
            if phase.state() == "done":
                first = first or min(network.work.day(es[i]), phase.done_on())
            elif phase.state() == "ahead":
                first = network.work.day(es[i])
            phases.append([offset(first), offset(self.last_day(i, es[i], ef[i]))])
        rows = []
        for part in self.parts:
            first, arrival = self.comes(part, es, ef)
            cost = max(ef) - max(self.least(but=part)[1])
            rows.append([None if first is None else offset(first), offset(arrival), cost])
        return {
            "name": network.name,
            "calendar": [network.mask, network.rule, network.own, network.closed],
            "start": network.start,
            "as_of": network.as_of,
            "target": None,
            "wait": network.wait,
            "phases": [p.row() for p in network.phases],
            "links": network.links,
            "suppliers": [s.row() for s in self.suppliers],
            "parts": [p.row() for p in self.parts],
            "finish": max(last for _, last in phases),
            "expected": phases,
            "expected_parts": rows,
        }


def main():
    federal.check_against_library()
    rng = random.Random(SEED)
    made_with = (
        f"order_after.py with python {sys.version.split()[0]}, numpy {np.__version__}, holidays {holidays.__version__}, "
        f"seed {SEED}; dates expected are days after the project start: of phases first and last day, of parts first "
        "order day and arrival, then the working days it costs"
    )
    lines = []
    for group, wanted in GROUPS:
        for number in range(wanted):
            network = Network(rng, group, number)
            if group == "progress":
                network.add_progress()
            suppliers = [Supplier(rng, network) for _ in range(rng.randint(1, 3))]
            parts = [Part(rng, network, suppliers) for _ in range(rng.randint(1, 9))]
            lines.append(json.dumps(Job(network, suppliers, parts).answers(), default=str, separators=(",", ":")))
    path = Path(__file__).with_name("order_after.json")
    path.write_text(f'{{"made_with":{json.dumps(made_with)},\n"networks":[\n' + ",\n".join(lines) + "\n]}\n")
    print(path.name, len(lines), path.stat().st_size, "bytes")


if __name__ == "__main__":
    main()
