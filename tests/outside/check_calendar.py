#!/usr/bin/env python3
"""Calendars before and after things are settled, read by icalendar.

    python3 tests/outside/check_calendar.py path/to/needline

A calendar program is imitated in plain Python: it takes each file in turn, keeps entries by UID, and takes a later
version of an entry only when its SEQUENCE is not lower (RFC 5545 section 3.8.7.4). After parts were ordered, came, were
swapped away and were removed, what it still shows as to be done must be what the figures say, and nothing else. A file
that says nothing new must not change a byte, and its numbers stay.
"""

import csv
import json
import pathlib
import shutil
import subprocess
import sys
import tempfile

import icalendar

ROOT = pathlib.Path(__file__).resolve().parents[2]
NEEDLINE = sys.argv[1]
counts = {}


def count(what, n=1):
    counts[what] = counts.get(what, 0) + n


def same(found, wanted, where):
    if found != wanted:
        sys.exit(f"{where}: found {found!r}, wanted {wanted!r}")


def needline(*args):
    done = subprocess.run([NEEDLINE, *map(str, args)], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        sys.exit(f"needline {' '.join(map(str, args))}: {done.stderr}")
    return done.stdout


class Calendar:
    """What somebody sees who takes every file."""

    def __init__(self):
        self.entries = {}

    def take(self, path):
        """Takes a file; how many entries are new, changed, and taken back."""
        new, changed, back = 0, 0, 0
        for entry in icalendar.Calendar.from_ical(path.read_bytes()).subcomponents:
            uid, number = str(entry["UID"]), int(entry["SEQUENCE"])
            old = self.entries.get(uid)
            if old is not None:
                said = lambda e: {k: v.to_ical() for k, v in e.items() if k not in ("SEQUENCE", "DTSTAMP")}
                if said(old) == said(entry):
                    same(number, int(old["SEQUENCE"]), f"{path} {entry['SUMMARY']}: nothing changed, the number stays")
                    count("numbers that stay")
                else:
                    same(number > int(old["SEQUENCE"]), True, f"{path} {entry['SUMMARY']}: it changed, the number rises")
                    count("numbers that rise")
                    changed += 1
                if str(entry["STATUS"]) == "CANCELLED" and str(old["STATUS"]) not in ("CANCELLED", "COMPLETED"):
                    back += 1
            else:
                new += 1
            self.entries[uid] = entry
        return new, changed, back

    def open(self, kind, title):
        """What is shown as to be done: name of the entry and its day."""
        day = "DUE" if kind == "VTODO" else "DTSTART"
        done = ("CANCELLED", "COMPLETED")
        own = (e for e in self.entries.values() if e.name == kind and str(e["SUMMARY"]).startswith(title))
        return sorted((str(e["SUMMARY"]), str(e[day].dt)) for e in own if str(e["STATUS"]) not in done)


def figures_of(project):
    return json.loads(needline("figures", project))


def wanted(project, sheets):
    """What is still to be ordered, with its last day: by the figures."""
    read = lambda name: list(csv.DictReader(open(sheets / f"{name}.csv", encoding="utf-8", newline="")))
    names = {r["key"]: r["name"] for r in read("selections")}
    parts = {r["key"]: r["name"] for r in read("parts")}
    gone = {r["part"] for r in figures_of(project)["returns"]}
    open_parts = [p for p in figures_of(project)["parts"] if p["live"] and p["placed"] is None and p["order_by"]] \
        if "placed" in figures_of(project)["parts"][0] else None
    if open_parts is None:
        own = {r["key"]: r for r in read("parts")}
        is_open = lambda p: not any(own[p["key"]][c] for c in ("ordered_on", "received_on", "installed_on"))
        open_parts = [p for p in figures_of(project)["parts"]
                      if p["live"] and p["order_by"] and is_open(p) and p["came"] is None and p["key"] not in gone]
    title = lambda p: f"Last day to order: {names[p['selection']]}, {parts[p['key']]}"
    return sorted((title(p), p["order_by"]) for p in open_parts)


def change(sheets, name, alter):
    path = sheets / f"{name}.csv"
    with open(path, encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
        header = list(rows[0])
    rows = alter(rows)
    with open(path, "w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, header)
        writer.writeheader()
        writer.writerows(rows)


def check(sample, work):
    name = sample.stem
    project, sheets = work / f"{name}.ron", work / f"{name} sheets"
    shutil.copy(sample, project)
    shutil.copytree(sample.with_suffix(""), sheets)
    (sheets / "sent.csv").unlink(missing_ok=True)
    needline("import", sheets, "--out", project, "--force")
    mine = Calendar()
    rounds = iter(range(100))

    def write(remember=True, verb=("buy",)):
        out = work / f"{name} {next(rounds)}"
        said = needline(*verb[:1], project, "--out", out, "--format", "ics", *verb[1:], *(["--remember"] if remember else []))
        same("noted in" in said, remember, f"{out}: what was said")
        return out

    def settle():
        out = write()
        before = project.read_bytes()
        again = write()
        same(project.read_bytes(), before, f"{name}: nothing is noted twice")
        for path in out.iterdir():
            same((again / path.name).read_bytes(), path.read_bytes(), f"{path} written again")
            count("files that stay as they are")
        # Where there is one supplier, its calendar is the one of all.
        whole = out / "all_suppliers.ics"
        taken = mine.take(whole if whole.exists() else next(out.iterdir()))
        needline("export", project, "--out", sheets, "--force")
        for kind in ("VEVENT", "VTODO"):
            same(mine.open(kind, "Last day to order"), wanted(project, sheets), f"{name}: {kind} that are still to be ordered")
            count("things to order in the calendar", len(wanted(project, sheets)))
        return taken

    # Without being told to, a command leaves the project as it is.
    before = project.read_bytes()
    write(remember=False)
    same(project.read_bytes(), before, f"{name}: the project is left alone")
    settle()
    to_order = [p for p in figures_of(project)["parts"] if p["live"] and p["came"] is None and p["order_by"]]
    own = {r["key"]: r for r in csv.DictReader(open(sheets / "parts.csv", encoding="utf-8", newline=""))}
    to_order = [p["key"] for p in to_order if own[p["key"]]["supplier"]
                and not any(own[p["key"]][c] for c in ("ordered_on", "received_on", "installed_on", "order"))]
    named = {r["part"] for sheet in ("conditions", "specs", "facts", "rules") if (sheets / f"{sheet}.csv").exists()
             for r in csv.DictReader(open(sheets / f"{sheet}.csv", encoding="utf-8", newline="")) if r.get("part")}
    as_of = figures_of(project)["as_of"]
    free = [key for key in to_order if key not in named]
    order, come, remove = free[0::4][:6], free[1::4][:6], free[2::4][:6]

    def mark(rows):
        for r in rows:
            if r["key"] in order + come:
                r["ordered_on"] = as_of
            if r["key"] in come:
                r["received_on"] = as_of
        return [r for r in rows if r["key"] not in remove]

    needline("export", project, "--out", sheets, "--force")
    change(sheets, "parts", mark)
    needline("import", sheets, "--out", project, "--force")
    new, changed, back = settle()
    same(back >= len(order) + 2 * len(come) + 3 * len(remove) - 1 or back >= len(order) + len(come) + 2 * len(remove), True,
         f"{name}: {back} entries taken back of {order}, {come}, {remove}")
    count("entries taken back", back)
    # Another choice for what is not ordered: the parts of the first one are taken back.
    options = list(csv.DictReader(open(sheets / "options.csv", encoding="utf-8", newline="")))
    parts = list(csv.DictReader(open(sheets / "parts.csv", encoding="utf-8", newline="")))
    ordered = {p["option"] for p in parts if any(p[c] for c in ("ordered_on", "received_on", "installed_on", "order"))}
    by_selection = {}
    for o in options:
        by_selection.setdefault(o["selection"], []).append(o)
    swapped = []
    for selection, own_options in by_selection.items():
        chosen = [o for o in own_options if o["state"] == "chosen"]
        other = [o for o in own_options if o["state"] != "chosen" and any(p["option"] == o["key"] for p in parts)]
        if chosen and other and chosen[0]["key"] not in ordered and any(p["option"] == chosen[0]["key"] for p in parts):
            swapped.append((chosen[0]["key"], other[0]["key"]))
    swapped = swapped[:5]

    def choose(rows):
        for r in rows:
            for one, other in swapped:
                r["state"] = {one: "", other: "chosen"}.get(r["key"], r["state"])
        return rows

    if swapped:
        # The log of a kept plan would have to lead to the other choice.
        for sheet in ("log", "kept_plans", "kept_phases", "kept_rooms"):
            (sheets / f"{sheet}.csv").unlink(missing_ok=True)
        change(sheets, "options", choose)
        needline("import", sheets, "--out", project, "--force")
        new, changed, back = settle()
        same(new > 0 and back > 0, True, f"{name}: {new} new entries and {back} taken back of {swapped}")
        count("entries taken back", back)
    # The week and the crews: nothing new is said twice, and a longer look does not take back what a shorter one leaves out.
    weeks = Calendar()
    far = write(verb=("week", "--days", "28"))
    weeks.take(far / "week.ics")
    shown = len(weeks.open("VEVENT", ""))
    new, changed, back = weeks.take(write(verb=("week", "--days", "7")) / "week.ics")
    same((new, changed, back), (0, 0, 0), f"{name}: a shorter week")
    same(len(weeks.open("VEVENT", "")), shown, f"{name}: a shorter week takes nothing back")
    count("lines of weeks", shown)
    if figures_of(project)["crews"]:
        crews = {p.stem: Calendar() for p in write(verb=("crew",)).iterdir()}
        for path in write(verb=("crew",)).iterdir():
            crews[path.stem].take(path)
        crew = [r["key"] for r in csv.DictReader(open(sheets / "crews.csv", encoding="utf-8", newline=""))]
        needline("export", project, "--out", sheets, "--force")
        phases = list(csv.DictReader(open(sheets / "phases.csv", encoding="utf-8", newline="")))
        moved = next(p for p in phases if p["crew"] and not p.get("actual_start") and not p.get("actual_finish")
                     and f"crew_{p['crew']}" in crews)
        other = next(c for c in crew if c != moved["crew"])

        def give(rows):
            for r in rows:
                r["crew"] = other if r["key"] == moved["key"] else r["crew"]
            return rows

        for sheet in ("log", "kept_plans", "kept_phases", "kept_rooms"):
            (sheets / f"{sheet}.csv").unlink(missing_ok=True)
        change(sheets, "phases", give)
        needline("import", sheets, "--out", project, "--force")
        out = write(verb=("crew",))
        new, changed, back = crews[f"crew_{moved['crew']}"].take(out / f"crew_{moved['crew']}.ics")
        same(back, 1, f"{name}: {moved['key']} is taken out of the calendar of {moved['crew']}")
        count("phases taken back")
    # What is remembered stands in the sheets, and comes back with them.
    needline("export", project, "--out", sheets, "--force")
    needline("import", sheets, "--out", work / "again.ron", "--force")
    needline("export", work / "again.ron", "--out", work / "again", "--force")
    same((work / "again" / "sent.csv").read_bytes(), (sheets / "sent.csv").read_bytes(), f"{name}: the sheet of what was sent")
    count("rows remembered", len(list(csv.DictReader(open(sheets / "sent.csv", encoding="utf-8", newline="")))))


def main():
    with tempfile.TemporaryDirectory() as folder:
        for name in ("orchard_house", "hall_bath", "walls_open"):
            check(ROOT / "sample_projects" / f"{name}.ron", pathlib.Path(folder))
    for what in sorted(counts):
        print(f"{counts[what]:6} {what}")
    print(f"all equal; icalendar {icalendar.__version__}")


main()
