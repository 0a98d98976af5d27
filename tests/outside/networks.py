"""Random phase networks with reference dates and floats -> networks.json.

Four groups, each with its own reference:
- `chain`: FS links only. Longest paths by networkx (Bellman-Ford on negated lengths).
- `mixed`: FS, SS, FF, SF. Linear programs by scipy.optimize.linprog with HiGHS: early dates minimize the sum of the
  starts, late dates maximize it with every finish at or before the end.
- `elapsed`: also lags in calendar days, over weekends, holidays and closed ranges. Rules relaxed over dates until
  nothing moves; late dates by trying day after day.
- `progress`: as `elapsed`, and some of the work is done, begun or failed its inspection on an as-of day in the middle.

Dates by numpy's busday functions, holidays by federal.py. The last method is also run on the first two groups, and the
script stops when the two disagree.
"""

import json
import random
import sys
from datetime import date, timedelta
from pathlib import Path

import holidays
import networkx as nx
import numpy as np
import scipy
from scipy.optimize import linprog

import federal

SEED = 510
GROUPS = [("chain", 190), ("mixed", 200), ("elapsed", 110), ("progress", 140)]
FEDERAL = federal.all_years()
DAY = timedelta(days=1)


class Work:
    """Working days by numpy, counted from the first one on or after the project start."""

    def __init__(self, mask, rule, own, closed, start):
        off = set(own) | (set(FEDERAL) if rule == "us-federal" else set())
        for a, b in closed:
            off |= {a + k * DAY for k in range((b - a).days + 1)}
        self.cal = np.busdaycalendar(weekmask=mask, holidays=np.array(sorted(off), dtype="datetime64[D]"))
        self.zero = np.busday_offset(np.datetime64(start), 0, roll="forward", busdaycal=self.cal)

    def index(self, day):
        """Index of the first working day on or after a day."""
        day = np.datetime64(day)
        if day >= self.zero:
            return int(np.busday_count(self.zero, day, busdaycal=self.cal))
        return -int(np.busday_count(day, self.zero, busdaycal=self.cal))

    def back(self, day):
        """Index of the last working day on or before a day."""
        return self.index(day + DAY) - 1

    def day(self, index):
        return np.busday_offset(self.zero, index, roll="forward", busdaycal=self.cal).astype(date)


class Phase:
    def __init__(self, kind, days):
        self.kind, self.days = kind, days
        self.not_before = self.actual_start = self.actual_finish = self.days_left = None
        self.attempts = []  # [day, passed, correct_by or None]

    def done_on(self):
        passed = [day for day, ok, _ in self.attempts if ok]
        if self.actual_finish:
            return self.actual_finish
        if passed:
            return max(passed)
        return self.actual_start if self.kind == "milestone" else None

    def state(self):
        if self.done_on():
            return "done"
        return "begun" if self.actual_start and not self.attempts else "ahead"

    def row(self):
        extra = {
            "not_before": self.not_before,
            "actual_start": self.actual_start,
            "actual_finish": self.actual_finish,
            "days_left": self.days_left,
            "attempts": self.attempts or None,
        }
        extra = {k: v for k, v in extra.items() if v is not None}
        return [self.kind[0], self.days] + ([extra] if extra else [])


class Network:
    def __init__(self, rng, group, number):
        self.name = f"{group} {number}"
        self.rng = rng
        plain = group in ("chain", "mixed") and rng.random() < 0.5
        self.start = date(rng.randrange(1950, 2150), rng.randrange(1, 13), rng.randrange(1, 29))
        self.as_of, self.target, self.wait = self.start, None, 2
        self.mask, self.rule, self.own, self.closed = "1111111", "none", [], []
        if not plain:
            self.mask = rng.choice(["1111100", "1111100", "1111110", "0111110", "1010100"])
            self.rule = rng.choice(["us-federal", "us-federal", "none"])
            near = lambda: self.start + rng.randint(-20, 200) * DAY
            self.own = sorted({near() for _ in range(rng.randrange(0, 4))})
            for _ in range(rng.randrange(0, 3)):
                first = near()
                self.closed.append((first, first + rng.choice([0, 4, 13]) * DAY))
        self.work = Work(self.mask, self.rule, self.own, self.closed, self.start)

        size = min(40, 5 + int(rng.expovariate(1 / 8)))
        self.phases = []
        for _ in range(size):
            kind = rng.choices(["work", "inspection", "milestone"], [8, 2, 1.5])[0]
            days = {"work": rng.randint(1, 12), "inspection": 1, "milestone": 0}[kind]
            self.phases.append(Phase(kind, days))
            if rng.random() < 0.12:
                self.phases[-1].not_before = self.start + rng.randint(-10, 60) * DAY
        order = list(range(size))
        rng.shuffle(order)
        self.order = order
        kinds = {
            "chain": ["FS"],
            "mixed": ["FS", "SS", "FF", "SF"],
            "elapsed": ["FS", "SS", "FF", "SF", "FSe", "FSe", "SSe"],
            "progress": ["FS", "FS", "SS", "FF", "SF", "FSe", "SSe"],
        }[group]
        self.links, seen = [], set()
        for at in range(1, size):
            for _ in range(rng.choice([0, 1, 1, 2, 2, 3])):
                i, j = order[rng.randrange(max(0, at - 8), at)], order[at]
                kind = rng.choice(kinds)
                if (i, j, kind) not in seen:
                    seen.add((i, j, kind))
                    lag = 0 if rng.random() < 0.4 else rng.randint(-3, 10)
                    self.links.append((i, j, kind, lag))

    def floor(self, phase):
        low = max(self.work.index(self.start), self.work.index(self.as_of))
        if phase.not_before:
            low = max(low, self.work.index(phase.not_before))
        if phase.attempts:
            latest = max(d for day, _, correct in phase.attempts for d in (day, correct) if d)
            low = max(low, self.work.index(latest + DAY) + self.wait)
        return low

    def binding(self):
        """Links that can still bind: none into what is done, and only FF and SF into what has begun."""
        for i, j, kind, lag in self.links:
            state = self.phases[j].state()
            if state == "ahead" or (state == "begun" and kind[:2] in ("FF", "SF")):
                yield i, j, kind, lag

    # The reference by relaxing and trying.

    def facts(self):
        """What is known before the passes: start and finish of what is done, the same for what has begun (there the
        finish can still move), the lowest start of the rest."""
        es, ef = [], []
        today = self.work.index(self.as_of)
        for phase in self.phases:
            state = phase.state()
            if state == "done":
                last = phase.done_on()
                finish = self.work.index(last if phase.days == 0 else last + DAY)
                start = self.work.index(phase.actual_start) if phase.actual_start else finish - phase.days
                start = min(start, finish)
            elif state == "begun":
                start = self.work.index(phase.actual_start)
                if phase.days_left is not None:
                    finish = today + phase.days_left
                else:
                    finish = max(start + phase.days, today + 1)
                finish = max(finish, start)
            else:
                start = self.floor(phase)
                finish = start + phase.days
            es.append(start)
            ef.append(finish)
        return es, ef

    def allows(self, link, es, ef, start_j, finish_j):
        """Whether a link is satisfied by the times of both ends, in the words of the rules."""
        i, _, kind, lag = link
        work = self.work
        if kind == "FS":
            return start_j >= ef + lag
        if kind == "SS":
            return start_j >= es + lag
        if kind == "FF":
            return finish_j >= ef + lag
        if kind == "SF":
            return finish_j >= es + lag
        if kind == "SSe":
            return work.day(start_j) >= work.day(es) + lag * DAY
        phase = self.phases[i]
        if phase.days == 0:
            return work.day(start_j) >= work.day(ef) + lag * DAY
        last = phase.done_on() if phase.state() == "done" else work.day(ef - 1)
        return work.day(start_j) >= last + DAY + lag * DAY

    def early(self):
        es, ef = self.facts()
        links = list(self.binding())
        moved = True
        while moved:
            moved = False
            for link in links:
                i, j = link[0], link[1]
                while not self.allows(link, es[i], ef[i], es[j], ef[j]):
                    moved = True
                    ef[j] += 1
                    if self.phases[j].state() == "ahead":
                        es[j] += 1
        return es, ef

    def latest_finish(self, i, finish, times):
        """The latest finish of phase i, from `finish` down, that leaves every phase behind it at `times`."""
        begun = self.phases[i].state() == "begun"
        for link in self.binding():
            if link[0] != i or (begun and link[2][0] == "S"):
                continue
            start_j, finish_j = times[link[1]]
            while not self.allows(link, finish - self.phases[i].days, finish, start_j, finish_j):
                finish -= 1
        return finish

    def late(self, es, ef, end):
        times = [None] * len(self.phases)
        for i in reversed(self.order):
            phase = self.phases[i]
            if phase.state() == "done":
                times[i] = (es[i], ef[i])
                continue
            finish = self.latest_finish(i, end(phase.days), times)
            times[i] = (es[i] if phase.state() == "begun" else finish - phase.days, finish)
        return times

    # The references by other programs.

    def by_networkx(self):
        floor = [self.floor(p) for p in self.phases]
        graph = nx.DiGraph()
        low = min(floor)
        for j, phase in enumerate(self.phases):
            graph.add_edge("start", j, weight=-(floor[j] - low))
            graph.add_edge(j, "end", weight=-phase.days)
        for i, j, _, lag in self.links:
            weight = -(self.phases[i].days + lag)
            if graph.has_edge(i, j):
                weight = min(weight, graph[i][j]["weight"])
            graph.add_edge(i, j, weight=weight)
        down = nx.single_source_bellman_ford_path_length(graph, "start")
        es = np.array([low - down[j] for j in range(len(self.phases))])
        end = low - down["end"]
        up = nx.single_source_bellman_ford_path_length(graph.reverse(), "end")
        ls = np.array([end + up[j] for j in range(len(self.phases))])
        return es.tolist(), ls.tolist(), end

    def by_program(self, target_end=None):
        n = len(self.phases)
        days = [p.days for p in self.phases]
        rows, bounds = [], []
        for i, j, kind, lag in self.links:
            # start_j - start_i >= least, written as -start_j + start_i <= -least
            least = lag + (days[i] if kind[0] == "F" else 0) - (days[j] if kind[1] == "F" else 0)
            row = np.zeros(n)
            row[i], row[j] = 1, -1
            rows.append(row)
            bounds.append(-least)
        matrix = dict(A_ub=np.array(rows), b_ub=np.array(bounds)) if rows else {}
        low = [(self.floor(p), None) for p in self.phases]
        solved = linprog(np.ones(n), bounds=low, method="highs", **matrix)
        assert solved.status == 0
        es = [round(x) for x in solved.x]
        end = max(s + d for s, d in zip(es, days))
        solutions = []
        for high in [[end - d for d in days]] + ([[target_end(d) - d for d in days]] if target_end else []):
            solved = linprog(-np.ones(n), bounds=[(None, h) for h in high], method="highs", **matrix)
            assert solved.status == 0
            solutions.append([round(x) for x in solved.x])
        return es, solutions, end

    # Progress for the last group.

    def add_progress(self):
        rng = self.rng
        es, ef = self.early()
        today = self.work.day(rng.randint(0, max(1, max(ef) * 2 // 3)))
        self.as_of = today + rng.choice([0, 0, 1, 2]) * DAY
        self.wait = rng.choice([0, 1, 2, 2, 4])
        for i, phase in enumerate(self.phases):
            start = self.work.day(es[i]) + rng.choice([0, 0, 0, 1, -1, 2]) * DAY
            if start > self.as_of or rng.random() < 0.15:
                continue
            last = start if phase.days == 0 else self.work.day(self.work.index(start) + phase.days - 1)
            last += rng.choice([0, 0, 1, 2]) * DAY
            if phase.kind == "milestone":
                phase.actual_start = start
            elif phase.kind == "inspection":
                first = start
                if rng.random() < 0.6:
                    correct = rng.choice([None, first + rng.randint(0, 9) * DAY])
                    phase.attempts.append([first, False, correct])
                    first += rng.randint(1, 8) * DAY
                    if rng.random() < 0.3 and first <= self.as_of:
                        phase.attempts.append([first, False, None])
                        first += rng.randint(1, 8) * DAY
                if first <= self.as_of and rng.random() < 0.5:
                    phase.attempts.append([first, True, None])
            else:
                phase.actual_start = start
                if last <= self.as_of and rng.random() < 0.8:
                    phase.actual_finish = last
                elif rng.random() < 0.5:
                    phase.days_left = rng.randint(0, phase.days + 3)

    def target_end(self):
        """A milestone is shown on its own day, work on the last day worked: both must be on or before the target."""
        last = self.work.back(self.target)
        return lambda days: last if days == 0 else last + 1

    def answers(self, group):
        es, ef = self.early()
        end = max(ef)
        late = self.late(es, ef, lambda _: end)
        if self.rng.random() < 0.35:
            self.target = self.work.day(end) + self.rng.randint(-25, 25) * DAY
        target = self.late(es, ef, self.target_end()) if self.target else None
        if group == "chain":
            starts, lates, length = self.by_networkx()
            assert (starts, lates, length) == (es, [s for s, _ in late], end), self.name
        if group == "mixed":
            starts, lates, length = self.by_program(self.target_end() if self.target else None)
            assert (starts, lates[0], length) == (es, [s for s, _ in late], end), self.name
            if self.target:
                assert lates[1] == [s for s, _ in target], self.name
        offset = lambda day: (day - self.start).days
        rows, last = [], []
        for i, phase in enumerate(self.phases):
            state = phase.state()

            def shown(start, finish):
                first = phase.actual_start
                if state == "done":
                    done = phase.done_on()
                    return first or min(self.work.day(start), done), done
                first = first if state == "begun" else self.work.day(start)
                if state == "ahead" and start == finish:
                    return first, first
                return first, max(self.work.day(finish - 1), first)

            early_shown, late_shown = shown(es[i], ef[i]), shown(*late[i])
            last.append(early_shown[1])
            floats = [None, None, None]
            if state != "done":
                times = list(zip(es, ef))
                floats = [
                    late[i][1] - ef[i],
                    self.latest_finish(i, end, times) - ef[i],
                    target[i][1] - ef[i] if target else None,
                ]
            rows.append([offset(d) for d in early_shown + late_shown] + floats)
        text = lambda day: day and str(day)
        return {
            "name": self.name,
            "calendar": [self.mask, self.rule, self.own, self.closed],
            "start": self.start,
            "as_of": self.as_of,
            "target": text(self.target),
            "wait": self.wait,
            "phases": [p.row() for p in self.phases],
            "links": self.links,
            "finish": offset(max(last)),
            "expected": rows,
        }


def main():
    federal.check_against_library()
    rng = random.Random(SEED)
    made_with = (
        f"networks.py with python {sys.version.split()[0]}, numpy {np.__version__}, networkx {nx.__version__}, "
        f"scipy {scipy.__version__} (HiGHS), holidays {holidays.__version__}, seed {SEED}; dates expected are days "
        "after the project start: early start, early finish, late start, late finish; then total, free, target float"
    )
    lines, count = [], {}
    for group, wanted in GROUPS:
        for number in range(wanted):
            network = Network(rng, group, number)
            if group == "progress":
                network.add_progress()
            lines.append(json.dumps(network.answers(group), default=str, separators=(",", ":")))
        count[group] = wanted
    path = Path(__file__).with_name("networks.json")
    path.write_text(f'{{"made_with":{json.dumps(made_with)},\n"networks":[\n' + ",\n".join(lines) + "\n]}\n")
    print(path.name, count, path.stat().st_size, "bytes")


if __name__ == "__main__":
    main()
