"""Random networks whose phases are worked by crews with days away, and with days on which nobody came -> crew_days.json.

Phases, links and progress are those of `networks.py`. A phase is worked on the days on which the house and its crew are
open and which were not missed. Everything is walked: from the lowest own day on, a phase whose link or delivery is broken
moves to its next own day, and its finish is counted anew day by day, until nothing is broken, in no order of phases. Late
dates are tried from the end back, own day by own day, phase by phase from the last. Nothing knows of positions in a list
of days.
"""

import json
import random
import sys
from pathlib import Path

import holidays
import numpy as np

import federal
from networks import DAY, Network

SEED = 1214
GROUPS = [("mixed", 110), ("elapsed", 140), ("progress", 180)]
FAR = 4000


class Crew:
    def __init__(self, rng, network):
        self.away = []
        first = network.start + rng.randint(-30, 20) * DAY
        for _ in range(rng.choice([0, 1, 1, 2, 3])):
            last = first + rng.choice([0, 0, 1, 2, 4, 6, 11, 40]) * DAY
            self.away.append((first, last))
            first = last + rng.randint(2, 45) * DAY

    def gone(self, day):
        return any(a <= day <= b for a, b in self.away)


class Delivery:
    def __init__(self, rng, network):
        self.phase = rng.randrange(len(network.phases))
        self.day = network.as_of + rng.randint(1, 70) * DAY
        self.at = rng.choice(["start", "finish", "finish"])
        self.hold = rng.choice([0, 0, 2])

    def row(self):
        return [self.phase, self.day, self.at, self.hold]


class Job:
    def __init__(self, rng, network):
        self.network = network
        self.crews = [Crew(rng, network) for _ in range(rng.randint(1, 4))]
        self.crew = [rng.randrange(len(self.crews)) if rng.random() < 0.55 else None for _ in network.phases]
        self.missed = []
        for phase in network.phases:
            days = set()
            if phase.kind == "work" and rng.random() < 0.25:
                near = phase.actual_start or network.as_of
                days = {near + rng.randint(0, 12) * DAY for _ in range(rng.choice([1, 1, 2, 4]))}
            self.missed.append(sorted(days))
        self.deliveries = [Delivery(rng, network) for _ in range(rng.randint(0, 5))]
        self.seen = {}

    def own(self, i, index):
        """Whether phase i is worked on the working day of the house with an index."""
        key = (i, index)
        if key not in self.seen:
            day = self.network.work.day(index)
            crew = self.crew[i]
            away = crew is not None and self.crews[crew].gone(day)
            # What is noted of a day to come is no fact yet.
            missed = day in self.missed[i] and day <= self.network.as_of
            self.seen[key] = not away and not missed
        return self.seen[key]

    def forward(self, i, index):
        while not self.own(i, index):
            index += 1
        return index

    def done(self, i, start, days):
        """The half-open finish of so many own days from a day worked on."""
        if days == 0:
            return start
        at, left = start - 1, days
        while left:
            at += 1
            if self.own(i, at):
                left -= 1
        return at + 1

    def first(self):
        network = self.network
        es, ef = network.facts()
        today = network.work.index(network.as_of)
        for i, phase in enumerate(network.phases):
            if phase.state() == "begun":
                if phase.days_left is None:
                    ef[i] = max(self.done(i, es[i], phase.days), self.done(i, today, 1))
                else:
                    ef[i] = self.done(i, today, phase.days_left)
                ef[i] = max(ef[i], es[i])
            elif phase.state() == "ahead":
                es[i] = self.forward(i, es[i])
                ef[i] = self.done(i, es[i], phase.days)
        return es, ef

    def early(self, deliveries=()):
        network = self.network
        es, ef = self.first()

        def push(j):
            if network.phases[j].state() == "ahead":
                es[j] = self.forward(j, es[j] + 1)
                ef[j] = self.done(j, es[j], network.phases[j].days)
            else:
                ef[j] = self.forward(j, ef[j]) + 1

        def holds(part):
            j = part.phase
            phase = network.phases[j]
            arrives = part.day
            while not network.work.index(arrives) < network.work.index(arrives + DAY):
                arrives += DAY
            usable = network.work.index(arrives) + part.hold
            if phase.state() == "done" or (phase.state() == "begun" and part.at == "start"):
                return False
            if part.at == "start" or (phase.days == 0 and phase.state() == "ahead"):
                return es[j] < usable
            return ef[j] - 1 < usable

        links = list(network.binding())
        moved = True
        while moved:
            moved = False
            for part in deliveries:
                while holds(part):
                    moved = True
                    push(part.phase)
            for link in links:
                i, j = link[0], link[1]
                while not network.allows(link, es[i], ef[i], es[j], ef[j]):
                    moved = True
                    push(j)
        return es, ef

    def behind(self, i):
        """The links from a phase that bind it in its late dates."""
        begun = self.network.phases[i].state() == "begun"
        return [l for l in self.network.binding() if l[0] == i and not (begun and l[2][0] == "S")]

    def latest(self, i, es, ef, end, times):
        """Latest start and finish of a phase with those behind it at `times`."""
        network, phase = self.network, self.network.phases[i]
        ok = lambda s, f: all(network.allows(l, s, f, *times[l[1]]) for l in self.behind(i))
        if phase.state() == "begun":
            limit = end
            while not ok(es[i], limit):
                limit -= 1
            finish = limit
            while not self.own(i, finish - 1):
                finish -= 1
            return es[i], max(finish, ef[i]) if limit >= ef[i] else finish
        start = end
        while True:
            assert start > end - FAR
            if self.own(i, start):
                finish = self.done(i, start, phase.days)
                if finish <= end and ok(start, finish):
                    return start, finish
            start -= 1

    def late(self, es, ef, end):
        times = [None] * len(self.network.phases)
        for i in reversed(self.network.order):
            phase = self.network.phases[i]
            done = phase.state() == "done"
            times[i] = (es[i], ef[i]) if done else self.latest(i, es, ef, end(phase.days), times)
        return times

    def shown(self, i, start, finish):
        phase, work = self.network.phases[i], self.network.work
        state = phase.state()
        if state == "done":
            return phase.actual_start or min(work.day(start), phase.done_on()), phase.done_on()
        first = phase.actual_start if state == "begun" else work.day(start)
        if state == "ahead" and start == finish:
            return first, first
        return first, max(work.day(finish - 1), first)

    def answers(self):
        network = self.network
        es, ef = self.early()
        end = max(ef)
        late = self.late(es, ef, lambda _: end)
        times = list(zip(es, ef))
        fs, ff = self.early(self.deliveries)
        offset = lambda day: (day - network.start).days
        rows = []
        for i, phase in enumerate(network.phases):
            floats = [None, None]
            if phase.state() == "begun":
                floats = [late[i][1] - ef[i], self.latest(i, es, ef, end, times)[1] - ef[i]]
            elif phase.state() == "ahead":
                floats = [late[i][0] - es[i], self.latest(i, es, ef, end, times)[0] - es[i]]
            days = self.shown(i, es[i], ef[i]) + self.shown(i, *late[i]) + self.shown(i, fs[i], ff[i])
            rows.append([offset(d) for d in days] + floats)
        return {
            "name": network.name,
            "calendar": [network.mask, network.rule, network.own, network.closed],
            "start": network.start,
            "as_of": network.as_of,
            "target": None,
            "wait": network.wait,
            "phases": [p.row() for p in network.phases],
            "links": network.links,
            "crews": [c.away for c in self.crews],
            "crew": self.crew,
            "missed": self.missed,
            "deliveries": [d.row() for d in self.deliveries],
            "expected": rows,
        }


def main():
    federal.check_against_library()
    rng = random.Random(SEED)
    made_with = (
        f"crew_days.py with python {sys.version.split()[0]}, numpy {np.__version__}, holidays {holidays.__version__}, "
        f"seed {SEED}; dates expected are days after the project start: early start and finish, late start and finish, "
        "forecast start and finish; then total and free float"
    )
    lines = []
    for group, wanted in GROUPS:
        for number in range(wanted):
            network = Network(rng, group, number)
            if group == "progress":
                network.add_progress()
            lines.append(json.dumps(Job(rng, network).answers(), default=str, separators=(",", ":")))
    path = Path(__file__).with_name("crew_days.json")
    path.write_text(f'{{"made_with":{json.dumps(made_with)},\n"networks":[\n' + ",\n".join(lines) + "\n]}\n")
    print(path.name, len(lines), path.stat().st_size, "bytes")


if __name__ == "__main__":
    main()
