"""A month of events on the large sample, by commands alone, with the sums of the log done again in plain Python.

    /usr/bin/python3 tests/outside/check_month.py target/debug/needline [--show]

A plan is kept; then inspections fail, cabinets slip, goods come damaged and in part, a price goes up, a crew is late and
work is found. Each event is a changed sheet taken with `needline update`; work done in between is noted as the forecast
has it. After each, the lines of the log lead from the plan to the figures: to the day, counted here one day after the
other, and to the cent. With `--show` the head, the line and the list of the week are printed.
"""

import csv
import datetime
import json
import pathlib
import subprocess
import sys
import tempfile
from decimal import Decimal

from federal import of_year

ROOT = pathlib.Path(__file__).resolve().parents[2]
DAY = datetime.timedelta(days=1)
PROGRAM = sys.argv[1] if len(sys.argv) > 1 else ""
SHOW = "--show" in sys.argv


def fail(text):
    sys.exit(f"check_month: {text}")


def same(found, wanted, where):
    if found != wanted:
        fail(f"{where}: {found!r} instead of {wanted!r}")


def needline(*args, code=0):
    done = subprocess.run([PROGRAM, *map(str, args)], capture_output=True, text=True, encoding="utf-8")
    if done.returncode != code:
        fail(f"{args[0]} left with {done.returncode}: {done.stdout}{done.stderr}")
    return done.stdout if code == 0 else done.stderr


class Sheet:
    """A sheet of a folder, as rows of words."""

    def __init__(self, folder, name):
        self.path = folder / f"{name}.csv"
        with open(self.path, newline="", encoding="utf-8-sig") as file:
            self.names, *rows = list(csv.reader(file))
        self.rows = [dict(zip(self.names, row)) for row in rows]

    def row(self, key):
        named = "key" if "key" in self.names else self.names[0]
        rows = [row for row in self.rows if row[named] == key]
        same(len(rows), 1, f"rows {key} in {self.path.name}")
        return rows[0]

    def add(self, cells):
        same(set(cells) - set(self.names), set(), f"columns of {self.path.name}")
        self.rows.append(dict.fromkeys(self.names, "") | cells)

    def write(self):
        with open(self.path, "w", newline="", encoding="utf-8") as file:
            csv.writer(file).writerows([self.names] + [[row[name] for name in self.names] for row in self.rows])


class Month:
    def __init__(self, folder):
        self.folder = folder
        self.file = folder / "house.ron"
        self.file.write_bytes((ROOT / "sample_projects/orchard_house.ron").read_bytes())
        closed = Sheet(ROOT / "sample_projects/orchard_house", "closed").rows
        self.closed = [(datetime.date.fromisoformat(a), datetime.date.fromisoformat(b or a)) for a, b in ((r["from"], r["to"]) for r in closed)]

    def figures(self, on):
        return json.loads(needline("figures", self.file, "--as-of", on))

    def keep(self, on, name):
        needline("keep", self.file, "--as-of", on, "--name", name, "--out", self.file, "--force")
        self.plan = self.figures(on)["kept_plans"][-1]
        same((self.plan["name"], self.plan["days"], Decimal(self.plan["money"])), (name, 0, 0), "the plan kept")

    def working(self, day):
        closed = any(a <= day <= b for a, b in self.closed)
        return day.weekday() < 5 and not closed and day not in of_year(day.year)

    def days(self, start, end):
        """Working days from one day to another, one after the other."""
        start, end = datetime.date.fromisoformat(start), datetime.date.fromisoformat(end)
        if end < start:
            return -self.days(str(end), str(start))
        n, day = 0, start
        while day < end:
            day += DAY
            n += self.working(day)
        return n

    def adds_up(self, figures):
        plan, now = figures["kept_plans"][-1], figures["money"]["forecast"]
        same((plan["finish"], plan["total"]), (self.plan["finish"], self.plan["total"]), "the plan stays as it was kept")
        lines = figures["log"][self.lines:]
        finish, total, days = plan["finish"], Decimal(plan["total"]), 0
        for line in lines:
            same((line["finish_before"], Decimal(line["total_before"])), (finish, total), f"{line['what']} begins")
            finish, total = line["finish_after"], Decimal(line["total_after"])
            own = self.days(line["finish_before"], finish)
            same(line["days"], own, f"days of {line['what']}")
            days += own
        same((finish, total), (figures["forecast_finish"], Decimal(now)), "the lines lead to now")
        same(days, self.days(plan["finish"], figures["forecast_finish"]), "days of all lines")
        same((plan["days"], Decimal(plan["money"])), (days, Decimal(now) - Decimal(plan["total"])), "sums of the plan")
        for key in ("days", "money"):
            same(sum(Decimal(c[key]) for c in plan["causes"]), Decimal(plan[key]), f"{key} by cause")
        return lines

    def take(self, on, what, cause, change):
        sheets = self.folder / "sheets"
        needline("export", self.file, "--out", sheets, "--force")
        change(sheets)
        args = ("--as-of", on, "--what", what, "--cause", cause, "--out", self.file, "--force")
        return needline("update", self.file, "--from", sheets, *args)

    def work_goes_on(self, on):
        """What was foreseen at the event before is noted as done: work, goods that came, and orders that were due."""
        seen = self.seen

        def change(sheets):
            phases, parts, found = Sheet(sheets, "phases"), Sheet(sheets, "parts"), Sheet(sheets, "corrections")
            for line in found.rows:
                if line["due"] < on:
                    line["done"] = line["done"] or line["due"]
            found.write()
            for phase in seen["phases"]:
                row = phases.row(phase["key"])
                if row["kind"] == "inspection":
                    continue
                if phase["forecast_start"] < on:
                    row["actual_start"] = row["actual_start"] or phase["forecast_start"]
                if phase["forecast_finish"] < on:
                    row["actual_finish"] = row["actual_finish"] or phase["forecast_finish"]
            for part in seen["parts"]:
                row = parts.row(part["key"])
                if not part["live"] or row["received_on"]:
                    continue
                if row["ordered_on"]:
                    if part["expected"] and part["expected"] < on and not part["came"]:
                        row["received_on"] = part["expected"]
                elif part["order_by"] and part["order_by"] <= on and (part["orderable_from"] or on) <= on:
                    row["ordered_on"] = on
            phases.write()
            parts.write()

        self.take(on, "work done, goods come and ordered as foreseen", "trade", change)

    def event(self, on, what, cause, change):
        before = self.figures(on)
        place = len(self.adds_up(before))
        needline("update", self.file, "--from", self.folder / "nowhere", "--as-of", on, "--out", self.file, "--force", code=2)
        self.take(on, what, cause, change)
        after = self.figures(on)
        lines = self.adds_up(after)
        moved = (before["forecast_finish"], before["money"]["forecast"]) != (after["forecast_finish"], after["money"]["forecast"])
        own = [line for line in lines[place:] if line["what"] == what]
        same(len(own), int(moved), f"{what}: lines of its own")
        same([line["cause"] for line in own], [cause] * len(own), f"{what}: cause")
        same([line["pending"] for line in lines].count(True), 0, f"{what}: nothing is pending after a change")
        self.seen = after
        if SHOW:
            told = needline("log", self.file, "--as-of", on).splitlines()
            week = needline("week", self.file, "--as-of", on).splitlines()
            print(f"\n== {on} {what}")
            print("log: " + ("; ".join(t for t in told[1:-1] if what in t) or "no line, it moves neither finish nor total"))
            print("now: " + told[-1])
            print("\n".join(week[:1] + ["  " + w for w in week[1:] if w and not w.startswith(" ")][:9]))
        return moved


def row(sheet, **cells):
    def change(sheets):
        at = Sheet(sheets, sheet)
        at.add(cells)
        at.write()

    return change


def cell(sheet, key, **cells):
    def change(sheets):
        at = Sheet(sheets, sheet)
        at.row(key).update(cells)
        at.write()

    return change


def came(part, on, quantity, damaged, again):
    """A delivery with damaged pieces, which come again; what was noted as there is not."""

    def change(sheets):
        parts, deliveries = Sheet(sheets, "parts"), Sheet(sheets, "deliveries")
        parts.row(part)["received_on"] = ""
        deliveries.add(dict(part=part, on=on, quantity=quantity, damaged=damaged, reported_on=on, replacement_on=again))
        parts.write()
        deliveries.write()

    return change


def visit(on, result, note="", correct_by="", corrections=()):
    """A visit to the electrical work with what is to be put right; what was is."""

    def change(sheets):
        attempts, found = Sheet(sheets, "attempts"), Sheet(sheets, "corrections")
        attempts.rows = [r for r in attempts.rows if (r["phase"], r["result"]) != ("electrical_check", "booked")]
        attempts.add(dict(phase="electrical_check", date=on, result=result, note=note, correct_by=correct_by))
        for line in found.rows:
            line["done"] = line["done"] or on
        for what, trade in corrections:
            found.add(dict(phase="electrical_check", found=on, what=what, trade=trade, due=correct_by))
        attempts.write()
        found.write()

    return change


def main():
    with tempfile.TemporaryDirectory() as work:
        month = Month(pathlib.Path(work))
        month.keep("2026-09-21", "Agreed with the family")
        month.seen = month.figures("2026-09-21")
        month.lines = len(month.seen["log"])
        bad_sheets(month)
        moved = []
        events = [
            ("2026-09-22", "base cabinets ordered", "delivery", cell("parts", "kitchen_base_cabinets_made_to_order", ordered_on="2026-09-22", promised_on="2026-12-08")),
            ("2026-09-28", "second visit failed", "sign-off", visit("2026-09-28", "failed", "Nail plates", "2026-10-02", [("Nail plates at the plumber's holes", "Plumber")])),
            ("2026-10-05", "third visit failed", "sign-off", visit("2026-10-05", "failed", "Furring covers a box", "2026-10-12", [("Furring cut back from the box", "Carpenter")])),
            ("2026-10-14", "fourth visit failed", "correction", visit("2026-10-14", "failed", "Label missing", "2026-10-16", [("Label at the panel", "Electrician")])),
            ("2026-10-19", "fifth visit passed", "sign-off", visit("2026-10-19", "passed")),
            ("2026-10-20", "a third of the drywall came damaged", "delivery", came("house_drywall_half_inch_sheets", "2026-10-20", "158", "60", "2026-11-09")),
            ("2026-10-21", "foam that is owed comes later", "delivery", cell("deliveries", "house_backer_foam", rest_on="2026-11-12", replacement_on="2026-11-12")),
            ("2026-10-22", "island cabinet costs more", "price", cell("parts", "kitchen_island_oak_island", unit_price="3490.00")),
            ("2026-10-26", "drywall crew four days late", "trade", row("crew_away", crew="drywall_b", **{"from": "2026-11-10", "to": "2026-11-13", "why": "Delayed at another house"})),
            ("2026-10-28", "rot found in the bath wall", "found work", row("changes", key="rot", what="Rot in the bath wall", phase="hang_drywall", days="3", amount="1450", found_on="2026-10-28", agreed_by="Owner", agreed_on="2026-10-28")),
            ("2026-10-29", "wall cabinets come later", "delivery", cell("parts", "kitchen_wall_cabinets_oak_wall", promised_on="2027-02-05")),
        ]
        for on, what, cause, change in events:
            month.work_goes_on(on)
            if month.event(on, what, cause, change):
                moved.append(what)
        print(f"check_month: {len(events)} events, {len(moved)} of them moved finish or total; the sums are right")


def bad_sheets(month):
    """Bad cells in the sheets of plans and log are named, and nothing is written."""
    before = month.file.read_bytes()
    cases = [
        (row("log", on="2026-13-01", what="x", cause="other", total_before="1", total_after="2"), "log.csv"),
        (row("log", on="2026-09-22", what="x", cause="weather", total_before="1", total_after="2"), "cause"),
        (row("kept_plans", key="twice", name="", on="soon", total="1", lines="0"), "kept_plans.csv"),
        (row("kept_phases", plan="nobody", phase="permits", start="2026-07-06", finish="2026-07-06"), "nobody"),
    ]
    for n, (change, word) in enumerate(cases):
        sheets = month.folder / f"bad {n}"
        needline("export", month.file, "--out", sheets)
        change(sheets)
        said = needline("update", month.file, "--from", sheets, "--as-of", "2026-09-21", "--out", month.file, "--force", code=2)
        same(word in said and "row" in said, True, f"{said} names {word} and the row")
        same(month.file.read_bytes(), before, "nothing is written")


if __name__ == "__main__":
    main()
