"""Working-day questions with numpy's answers -> calendar_cases.csv.

https://numpy.org/doc/stable/reference/routines.datetime.html (busday_offset, busday_count, is_busday). Holidays by
federal.py, cross-checked there against the `holidays` library for 2022 to 2100.
"""

import random
import sys
from datetime import date, timedelta
from pathlib import Path

import holidays
import numpy as np

import federal

SEED = 20260615
CALENDARS, CASES_EACH = 130, 50
FIRST, LAST = date(1900, 1, 1), date(2200, 12, 31)
FEDERAL = federal.all_years()


def random_calendar(rng, number):
    mask = "1111100" if rng.random() < 0.4 else f"{rng.randrange(1, 128):07b}"
    rule = rng.choice(["us-federal", "us-federal", "none"])
    # Years spread over the whole range, both edges included.
    middle = date(rng.randrange(1900, 2201), rng.randrange(1, 13), rng.randrange(1, 29))
    if number < 6:
        middle = [date(1900, 3, 1), date(2200, 11, 1)][number % 2]

    def near(spread):
        return min(max(middle + timedelta(days=rng.randint(-spread, spread)), FIRST), LAST)

    own = sorted({near(900) for _ in range(rng.randrange(0, 8))})
    closed = []
    for _ in range(rng.randrange(0, 5)):
        start = near(900)
        closed.append((start, min(start + timedelta(days=rng.choice([0, 1, 4, 13, 60])), LAST)))
    return mask, rule, own, closed, near


def main():
    compared = federal.check_against_library()
    rng = random.Random(SEED)
    out = [
        f"# made by calendar_cases.py with python {sys.version.split()[0]}, numpy {np.__version__}, "
        f"holidays {holidays.__version__} ({compared} observed days 2022-2100 compared), seed {SEED}",
        "# calendar,number,weekdays from Monday,rule,own dates,closed ranges",
        "# number,question,day,n or second day,answer",
    ]
    for number in range(CALENDARS):
        mask, rule, own, closed, near = random_calendar(rng, number)
        off = set(own) | (set(FEDERAL) if rule == "us-federal" else set())
        for a, b in closed:
            off |= {a + timedelta(days=k) for k in range((b - a).days + 1)}
        cal = np.busdaycalendar(weekmask=mask, holidays=np.array(sorted(off), dtype="datetime64[D]"))
        ranges = " ".join(f"{a}/{b}" for a, b in closed)
        out.append(f"calendar,{number},{mask},{rule},{' '.join(map(str, own))},{ranges}")
        made = 0
        while made < CASES_EACH:
            day = near(1100)
            if closed and rng.random() < 0.2:
                day = rng.choice(rng.choice(closed))
            if own and rng.random() < 0.1:
                day = rng.choice(own)
            d = np.datetime64(day)
            kind = rng.choice(["offset"] * 4 + ["count"] * 2 + ["open", "forward", "back"])
            arg = ""
            if kind == "offset":
                arg = rng.choice([rng.randint(-400, 400), rng.randint(-8, 8)])
                answer = np.busday_offset(d, arg, roll="forward" if arg >= 0 else "backward", busdaycal=cal)
            elif kind == "count":
                arg = near(1100)
                # Asked in order: for a second day before the first one numpy counts the open days of (second, first],
                # the program those of [second, first), so that count(a, b) = -count(b, a).
                low, high = sorted([day, arg])
                answer = np.busday_count(np.datetime64(low), np.datetime64(high), busdaycal=cal)
                answer = answer if day <= arg else -answer
            elif kind == "open":
                answer = int(np.is_busday(d, busdaycal=cal))
            else:
                answer = np.busday_offset(d, 0, roll={"forward": "forward", "back": "backward"}[kind], busdaycal=cal)
            if isinstance(answer, np.datetime64) and not FIRST <= answer.astype(date) <= LAST:
                continue
            out.append(f"{number},{kind},{day},{arg},{answer}")
            made += 1
    path = Path(__file__).with_name("calendar_cases.csv")
    path.write_text("\n".join(out) + "\n")
    print(path.name, CALENDARS * CASES_EACH, "cases", path.stat().st_size, "bytes")


main()
