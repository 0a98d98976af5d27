"""Arrival and order-by days by walking day by day through the words of the rules -> deliveries.csv.

Open days by numpy.is_busday (https://numpy.org/doc/stable/reference/generated/numpy.is_busday.html), holidays by
federal.py. The rules, in short: an order is taken on the supplier's next open day (its weekdays, less the project's
holidays, less its own closed ranges, but not the project's closed ranges). `working` counts its open days; `days` and
`weeks` count calendar days, one more for each day of its closed ranges in (order day, ready day], until stable. Then
the days on the road, then the first receiving day (project working day, and a delivery weekday where given).
Order-by is the latest open day whose arrival is not after the need date.
"""

import random
import sys
from datetime import date, timedelta
from functools import lru_cache
from pathlib import Path

import holidays
import numpy as np

import federal

SEED = 33
SUPPLIERS, CASES_EACH = 240, 12
FEDERAL = frozenset(federal.all_years())
DAY = timedelta(days=1)


def spread(ranges):
    return {a + k * DAY for a, b in ranges for k in range((b - a).days + 1)}


class Desk:
    def __init__(self, rng):
        self.start = date(rng.randrange(1905, 2190), rng.randrange(1, 13), rng.randrange(1, 29))
        self.house_mask = rng.choice(["1111100", "1111100", "1111110", "1111111", f"{rng.randrange(1, 128):07b}"])
        self.rule = rng.choice(["us-federal", "us-federal", "none"])
        self.own = sorted({self.near(rng) for _ in range(rng.randrange(0, 4))})
        self.house_closed = self.ranges(rng, rng.randrange(0, 3))
        self.mask = rng.choice(["1111100", "1111100", f"{rng.randrange(1, 128):07b}"])
        self.closed = self.ranges(rng, rng.choice([0, 0, 1, 2, 4]))
        self.delivery = ""
        if rng.random() < 0.5:
            self.delivery = f"{rng.randrange(1, 128):07b}"
            if not int(self.delivery, 2) & int(self.house_mask, 2):
                self.delivery = ""
        self.ship = rng.choice([0, 0, 1, 3, 5, 12])
        kept = (FEDERAL if self.rule == "us-federal" else frozenset()) | set(self.own)
        both = "".join("1" if a == b == "1" else "0" for a, b in zip(self.house_mask, self.delivery or "1" * 7))
        self.order_days = self.calendar(self.mask, kept | spread(self.closed))
        self.receiving = self.calendar(both, kept | spread(self.house_closed))
        self.shut = spread(self.closed)
        self.takes = lru_cache(maxsize=None)(lambda d: bool(np.is_busday(np.datetime64(d), busdaycal=self.order_days)))
        self.gets = lru_cache(maxsize=None)(lambda d: bool(np.is_busday(np.datetime64(d), busdaycal=self.receiving)))

    def near(self, rng):
        return self.start + rng.randint(-250, 450) * DAY

    def ranges(self, rng, count):
        out = []
        for _ in range(count):
            first = self.near(rng)
            out.append((first, first + rng.choice([0, 2, 6, 13, 30]) * DAY))
        return out

    @staticmethod
    def calendar(mask, off):
        return np.busdaycalendar(weekmask=mask, holidays=np.array(sorted(off), dtype="datetime64[D]"))

    def arrival(self, d, count, unit):
        while not self.takes(d):
            d += DAY
        if unit == "working":
            ready = d
            for _ in range(count):
                ready += DAY
                while not self.takes(ready):
                    ready += DAY
        else:
            length = count * (7 if unit == "weeks" else 1)
            ready, before = d + length * DAY, None
            while ready != before:
                before = ready
                inside = sum(d < x <= ready for x in self.shut)
                ready = d + (length + inside) * DAY
        ready += self.ship * DAY
        while not self.gets(ready):
            ready += DAY
        return ready

    def order_by(self, need, count, unit):
        d = need
        while not (self.takes(d) and self.arrival(d, count, unit) <= need):
            d -= DAY
        return d

    def line(self, number):
        pairs = lambda ranges: " ".join(f"{a}/{b}" for a, b in ranges)
        return (
            f"supplier,{number},{self.start},{self.house_mask},{self.rule},{' '.join(map(str, self.own))},"
            f"{pairs(self.house_closed)},{self.mask},{pairs(self.closed)},{self.delivery},{self.ship}"
        )


def main():
    federal.check_against_library()
    rng = random.Random(SEED)
    out = [
        f"# made by deliveries.py with python {sys.version.split()[0]}, numpy {np.__version__}, "
        f"holidays {holidays.__version__}, seed {SEED}",
        "# supplier,number,project start,project weekdays,rule,own dates,project closed,weekdays,closed,delivery,ship",
        "# number,question,day,lead,unit,answer",
    ]
    for number in range(SUPPLIERS):
        desk = Desk(rng)
        out.append(desk.line(number))
        for k in range(CASES_EACH):
            unit = rng.choice(["days", "weeks", "working"])
            count = rng.choice([0, 1, rng.randint(0, 9), rng.randint(0, {"days": 90, "weeks": 14, "working": 60}[unit])])
            day = desk.near(rng)
            edges = [d for pair in desk.closed + desk.house_closed for d in pair]
            if edges and rng.random() < 0.3:
                day = rng.choice(edges) + rng.randint(-2, 2) * DAY
            question = ["arrival", "order_by"][k % 2]
            out.append(f"{number},{question},{day},{count},{unit},{getattr(desk, question)(day, count, unit)}")
    path = Path(__file__).with_name("deliveries.csv")
    path.write_text("\n".join(out) + "\n")
    print(path.name, SUPPLIERS * CASES_EACH, "cases", path.stat().st_size, "bytes")


if __name__ == "__main__":
    main()
