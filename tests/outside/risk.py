"""What may come, reckoned by numpy and scipy -> risk.json.

Three groups:
- `triangular`: mean, variance and distribution function by `scipy.stats.triang`, held to the formulas here; from them the
  chance of each whole number when what is drawn is rounded half up, and its percentiles.
- `published`: the three-point estimates of published examples, as chains of activities side by side. The exact
  distribution of the finish with triangular activities rounded to whole days, by convolution; what the sources print
  stands beside it, reckoned with other distributions.
- `projects`: random projects, simulated by vectorized numpy in code of its own: phases, links of all types, parts
  with lead times in days, working days and weeks, promised ones, visits that fail, risks, open choices. Quantiles
  with standard errors by 50 batches, chances, shares on chains that fix the finish, and what a week's wait costs.
"""

import json
import sys
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import scipy
from scipy import stats

import federal

SEED = 3909
TRIALS = 200_000
BATCHES = 50
START = date(2026, 6, 1)
DAYS = 3_000


def cdf(spread):
    a, m, b = spread
    return stats.triang((m - a) / (b - a), loc=a, scale=b - a).cdf


def mass(spread):
    """The chance of each whole number from the least to the most, drawn and rounded half up."""
    a, _, b = spread
    if a == b:
        return np.ones(1)
    edges = cdf(spread)(np.arange(a, b + 2) - 0.5)
    edges[0], edges[-1] = 0, 1
    return np.diff(edges)


def triangular(rng):
    cases = [(0, 0, 1), (0, 1, 1), (3, 8, 21), (1, 1, 9), (2, 9, 9), (10, 25, 95), (0, 35, 35_000), (14, 42, 84)]
    for _ in range(60):
        a, m, b = sorted(int(n) for n in rng.integers(0, 400, 3))
        if a < b:
            cases.append((a, m, b))
    found = []
    for a, m, b in cases:
        own = stats.triang((m - a) / (b - a), loc=a, scale=b - a)
        mean, variance = (a + m + b) / 3, (a * a + m * m + b * b - a * m - a * b - m * b) / 18
        assert np.isclose(own.mean(), mean) and np.isclose(own.var(), variance)
        values = np.arange(a, b + 1)
        chances = mass((a, m, b))
        rounded = float((values * chances).sum())
        found.append(
            {
                "spread": [a, m, b],
                "mean": float(own.mean()),
                "variance": float(own.var()),
                "rounded_mean": rounded,
                "rounded_variance": float(((values - rounded) ** 2 * chances).sum()),
                "up_to": [[int(k), float(own.cdf(k + 0.5))] for k in rng.choice(values, min(9, len(values)), False)],
                # The percentile, rounded; a percent at which it lies on a half is left out.
                "percentiles": [
                    [c, int(np.ceil(own.ppf(c / 100) - 0.5))]
                    for c in (1, 10, 25, 50, 80, 90, 95, 99)
                    if abs((own.ppf(c / 100) - 0.5) % 1 - 0.5) < 0.499_999
                ],
            }
        )
    return found


def published():
    examples = [
        {
            "source": "https://flylib.com/books/en/3.287.1.117/1, the path 1-3-5-7",
            "printed": ["P(<= 28)", 28, 0.9633],
            "chains": [[[5, 8, 17], [3, 5, 7], [4, 6, 8], [3, 4, 5]]],
        },
        {
            "source": "https://www.coursehero.com/file/p2vl9tn/, three paths side by side",
            "printed": ["P(<= 24)", 24, 0.96775],
            "chains": [
                [[5, 6, 7], [6, 8, 11], [5, 6, 9]],
                [[9, 12, 15], [5, 6, 7], [2, 3, 7]],
                [[8, 8, 11], [4, 4, 5], [5, 7, 8]],
            ],
        },
    ]
    for example in examples:
        up_to = np.ones(200)
        for chain in example["chains"]:
            own = np.ones(1)
            for spread in chain:
                own = np.convolve(own, np.concatenate([np.zeros(spread[0]), mass(spread)]))
            up_to *= np.concatenate([np.cumsum(own), np.ones(200)])[:200]
        example["up_to"] = [[d, float(up_to[d])] for d in range(200) if 0.001 < up_to[d] < 0.999]
    return examples


class Calendar:
    """Working days from Monday to Friday but for the federal holidays, counted from the start."""

    def __init__(self):
        off = {day for day in federal.all_years()}
        days = [START + timedelta(days=k) for k in range(DAYS)]
        is_open = np.array([day.weekday() < 5 and day not in off for day in days])
        self.index = np.concatenate([[0], np.cumsum(is_open)])[:-1]
        self.day = np.flatnonzero(is_open)


def random_project(rng):
    count = int(rng.integers(8, 15))
    phases, links = [], []
    for i in range(count):
        likely = int(rng.integers(1, 12))
        low, high = max(1, likely - int(rng.integers(0, 5))), likely + int(rng.integers(0, 9))
        check = bool(rng.random() < 0.25)
        phases.append(
            {
                "days": [low, likely, high],
                "fail_pct": int(rng.integers(5, 50)) if check else None,
                "correct_days": int(rng.integers(0, 6)) if check and rng.random() < 0.5 else None,
            }
        )
        for before in {int(n) for n in rng.integers(max(0, i - 4), max(1, i), 2)}:
            if before < i:
                kind = str(rng.choice(["FS", "FS", "FS", "SS", "FF", "SF"]))
                links.append([before, i, kind, int(rng.integers(-1, 4))])
    parts = []
    for _ in range(int(rng.integers(5, 12))):
        likely = int(rng.integers(5, 60))
        unit = str(rng.choice(["days", "working", "weeks"]))
        if unit == "weeks":
            likely = likely // 7 + 1
        low, high = max(0, likely - int(rng.integers(0, likely))), likely + int(rng.integers(0, likely))
        parts.append(
            {
                "phase": int(rng.integers(0, count)),
                "at_finish": bool(rng.random() < 0.25),
                "lead": [low, likely, high],
                "unit": unit,
                "hold": int(rng.integers(0, 3)),
                # Ordered on the first day, and promised for so many days later.
                "promised": int(rng.integers(3, 60)) if rng.random() < 0.3 else None,
            }
        )
    risks = [
        {
            "phase": int(rng.integers(0, count)),
            "chance_pct": int(rng.integers(5, 60)),
            "days": sorted(int(n) for n in rng.integers(0, 15, 3)),
            "cost": sorted(int(n) for n in rng.integers(100, 5_000, 3)),
        }
        for _ in range(3)
    ]
    choices = [[int(n) for n in rng.integers(50, 900, int(rng.integers(1, 5)))] for _ in range(4)]
    return {"phases": phases, "links": links, "parts": parts, "risks": risks, "choices": choices}


def draw(rng, spread):
    a, m, b = spread
    if a == b:
        return np.full(TRIALS, a)
    return np.floor(rng.triangular(a, m, b, TRIALS) + 0.5).astype(int)


def simulate(rng, job, calendar, with_waits=True):
    n = len(job["phases"])
    days = [draw(rng, p["days"]) for p in job["phases"]]
    fails = []
    for phase in job["phases"]:
        drawn = rng.random((5, TRIALS)) * 100 < (phase["fail_pct"] or 0)
        fails.append(np.cumprod(drawn, axis=0).sum(axis=0))
    total = np.zeros(TRIALS)
    for risk in job["risks"]:
        happens = rng.random(TRIALS) * 100 < risk["chance_pct"]
        days[risk["phase"]] = days[risk["phase"]] + happens * draw(rng, risk["days"])
        cost = rng.triangular(*[risk["cost"][i] for i in (0, 1, 2)], TRIALS) if risk["cost"][0] < risk["cost"][2] else risk["cost"][0]
        total += happens * np.floor(cost * 100 + 0.5)
    for choice in job["choices"]:
        total += np.array(choice)[rng.integers(0, len(choice), TRIALS)] * 100
    leads = [draw(rng, [x * (7 if p["unit"] == "weeks" else 1) for x in p["lead"]]) for p in job["parts"]]

    def comes(at, wait):
        part, lead = job["parts"][at], leads[at]
        if part["promised"] is not None:
            moved = lead - part["lead"][1] * (7 if part["unit"] == "weeks" else 1)
            # What would have come before the first day, a Monday, is overdue: it comes on the next day.
            if part["unit"] == "working":
                other = calendar.index[part["promised"]] + moved
                return np.where(other < 0, 1, other)
            other = part["promised"] + moved
            return np.where(other < -2, 1, calendar.index[np.maximum(other, 0)])
        if part["unit"] == "working":
            return calendar.index[wait] + lead
        return calendar.index[calendar.day[calendar.index[wait]] + lead]

    def forward(later=None):
        start, finish, before, asks = [None] * n, [None] * n, [None] * n, {}
        for j in range(n):
            es = np.zeros(TRIALS, dtype=int)
            for k, (i, to, kind, lag) in enumerate(job["links"]):
                if to == j:
                    base = finish[i] if kind in ("FS", "FF") else start[i]
                    ask = base + lag - (days[j] if kind in ("FF", "SF") else 0)
                    asks["link", k] = ask
                    es = np.maximum(es, ask)
            for k, part in enumerate(job["parts"]):
                if part["phase"] == j:
                    usable = comes(k, 7 if later == k else 0) + part["hold"]
                    ask = usable + 1 - days[j] if part["at_finish"] else usable
                    if part["at_finish"]:
                        ask = np.where(days[j] == 0, usable, ask)
                    asks["part", k] = ask
                    es = np.maximum(es, ask)
            before[j] = es
            phase = job["phases"][j]
            correct = 3 if phase["correct_days"] is None else phase["correct_days"]
            start[j] = es + fails[j] * (correct + 1 + 2)
            finish[j] = start[j] + days[j]
        return start, finish, before, asks, np.max(finish, axis=0)

    start, finish, before, asks, end = forward()
    on = [finish[j] == end for j in range(n)]
    for j in reversed(range(n)):
        for k, (i, to, _, _) in enumerate(job["links"]):
            if to == j:
                on[i] = on[i] | (on[j] & (asks["link", k] == before[j]))
    parts = [on[p["phase"]] & (asks["part", k] == before[p["phase"]]) for k, p in enumerate(job["parts"])]
    waits = [
        float((forward(k)[4] - end).mean()) if with_waits and p["promised"] is None else None
        for k, p in enumerate(job["parts"])
    ]
    last = np.max([np.where(days[j] == 0, start[j], finish[j] - 1) for j in range(n)], axis=0)
    return calendar.day[last], total, [float(x.mean()) for x in on], [float(x.mean()) for x in parts], waits


def percentiles(values):
    found = {}
    for c in (50, 80, 90):
        batches = [np.quantile(b, c / 100, method="inverted_cdf") for b in np.split(values, BATCHES)]
        found[f"p{c}"] = [float(np.quantile(values, c / 100, method="inverted_cdf")),
                          float(np.std(batches, ddof=1) / np.sqrt(BATCHES))]
    return found


def projects(rng):
    calendar = Calendar()
    found = []
    for _ in range(5):
        job = random_project(rng)
        finish, total, phases, parts, waits = simulate(rng, job, calendar)
        days, counts = np.unique(finish, return_counts=True)
        job["answer"] = {
            "finish": percentiles(finish),
            "total": percentiles(total),
            "up_to": [[int(d), float(c)] for d, c in zip(days, np.cumsum(counts) / TRIALS)],
            "phases": phases,
            "parts": parts,
            "waits": waits,
        }
        found.append(job)
    return found


def main():
    rng = np.random.default_rng(SEED)
    answer = {
        "made_with": f"python {sys.version.split()[0]}, numpy {np.__version__}, scipy {scipy.__version__}",
        "trials": TRIALS,
        "start": START.isoformat(),
        "triangular": triangular(rng),
        "published": published(),
        "projects": projects(rng),
    }
    path = Path(__file__).with_name("risk.json")
    path.write_text(json.dumps(answer, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
