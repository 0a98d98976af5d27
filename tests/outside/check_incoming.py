#!/usr/bin/env python3
"""Lists of suppliers in many layouts of five countries, taken in by Needline and compared with what is true of them.

    python3 tests/outside/check_incoming.py path/to/needline [FOLDER]
    LAYOUTS=all python3 tests/outside/check_incoming.py path/to/needline

Without LAYOUTS=all each layout is tried for three of the five countries, in turn.

make_lists.py writes the lists and knows the truth. Each is brought into a project by the command, with all that the
program takes by itself; the sheets of the outcome are read by the csv module. Each value is right, left as it was with a
reason that was said, or asked about. What is neither was taken silently and wrong, of which there must be none. Prints the
counts; with FOLDER the lists stay there.
"""

import csv
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
from decimal import Decimal

import make_lists

NEEDLINE = sys.argv[1]
counts = {}
wrong = []


def count(what, n=1):
    counts[what] = counts.get(what, 0) + n


def needline(*args):
    return subprocess.run([NEEDLINE, *map(str, args)], capture_output=True, text=True, check=False)


def sheet(folder, name, rows):
    with open(folder / f"{name}.csv", "w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)


def project(folder, country):
    """A project that buys all articles from one shop."""
    sheets = folder / f"sheets_{country.name}"
    sheets.mkdir()
    all_of = make_lists.articles(country)
    units = "us" if country.name == "us" else "metric"
    dates = "month_first" if country.name == "us" else "day_first"
    sheet(sheets, "settings", [["key", "value"], ["name", "House"], ["start", "2026-09-01"], ["as_of", "2026-10-12"],
                               ["currency", country.currency], ["units", units], ["dates", dates]])
    sheet(sheets, "rooms", [["key", "name", "length", "width", "height"], ["bath", "Bath", 10, 8, 8]])
    sheet(sheets, "phases", [["key", "name", "days"], ["setting", "Setting", 5]])
    sheet(sheets, "suppliers", [["key", "name"], ["shop", "The shop"]])
    sheet(sheets, "selections", [["key", "room", "category", "name", "allowance"],
                                 *[[f"s{n}", "bath", "Things", f"Thing {n}", 100] for n in range(len(all_of))]])
    sheet(sheets, "options", [["selection", "key", "name", "state"],
                              *[[f"s{n}", f"o{n}", f"Thing {n}", "chosen"] for n in range(len(all_of))]])
    sheet(sheets, "parts", [["option", "key", "name", "supplier", "phase", "quantity", "unit", "unit_price", "lead", "lead_unit",
                             "ordered_on", "article"],
                            *[[f"o{n}", f"p{n}", f"Thing {n}", "shop", "setting", 2, a.unit, a.price, 1, "weeks", a.ordered or "", a.number]
                              for n, a in enumerate(all_of)]])
    path = folder / f"{country.name}.ron"
    done = needline("import", sheets, "--out", path)
    if done.returncode:
        sys.exit(done.stderr)
    return path


def values(path, folder):
    """What the project says of each article: what one costs in the end, lead time, promised day."""
    if folder.exists():
        shutil.rmtree(folder)
    done = needline("export", path, "--out", folder)
    if done.returncode:
        sys.exit(done.stderr)
    with open(folder / "parts.csv", encoding="utf-8", newline="") as file:
        parts = list(csv.DictReader(file))
    of = {}
    for p in parts:
        left = 1 - Decimal(p["discount_pct"] or 0) / 100
        of[p["article"]] = {
            "price": Decimal(p["unit_price"]) * left,
            "unit": p["unit"],
            "lead": (int(p["lead"]), p["lead_unit"]),
            "promised": p["promised_on"],
            "key": p["key"],
        }
    return of


WORDS = {"price": ("unit_price", "discount_pct"), "lead": ("lead",), "promised": ("promised_on",), "unit": ("unit",)}


def check(layout, source, before_path, before, work):
    target = work / "after.ron"
    done = needline("import-list", source, "--into", before_path, "--supplier", "shop", "--accept", "all", "--skip-bad-rows",
                    "--forget", "--out", target, "--force")
    said = done.stdout + done.stderr
    if done.returncode not in (0, 1):
        sys.exit(f"{source.name}: {done.returncode} {said}")
    after = values(target, work / "after") if done.returncode == 0 and target.exists() else before
    target.unlink(missing_ok=True)
    asked = done.returncode == 1 or any(" (--" in line for line in said.splitlines())
    right = 0
    rows = {str(row[0]): n for n, row in enumerate(layout.rows, 1) if row}
    for number, truth in layout.truth.items():
        if number not in before:
            sys.exit(f"{source.name}: {number} is no article")
        for what in ("price", "lead", "promised", "unit"):
            old, new, key = before[number][what], after[number][what], before[number]["key"]
            known = truth.get(what)
            if what == "promised" and known is not None:
                known = str(known)
            place = f"{source.name} {number} {what}: {old} -> {new}, true is {known}"
            if new != old:
                if known is not None and new == known:
                    count("right")
                    right += 1
                else:
                    wrong.append(f"{place}\n{said}")
            elif known is not None and known == old:
                count("right, as it was")
            elif known is not None or (what == "price" and not truth.get("price")) or what in truth:
                doubted = any(line.startswith(f"{key}:{word} ") and " ? " in line for line in said.splitlines() for word in WORDS[what])
                bad = f"row {rows.get(number, -1)}" in said
                if asked:
                    count("asked")
                elif doubted or bad or "no price" in said or "prices with tax" in said or "stay as they are" in said:
                    count("left with a reason")
                else:
                    wrong.append(f"{place}: left, and nothing is said\n{said}")
    count("layouts")
    count("layouts with values taken", int(right > 0))


def main():
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        lists = pathlib.Path(sys.argv[2]) if len(sys.argv) > 2 else work / "lists"
        lists.mkdir(exist_ok=True)
        for turn, (country, layouts) in enumerate(make_lists.layouts()):
            if os.environ.get("LAYOUTS") != "all":
                layouts = [layout for at, layout in enumerate(layouts) if (at + turn) % 5 < 3]
            path = project(work, country)
            before = values(path, work / "before")
            for layout in layouts:
                check(layout, layout.write(lists), path, before, work)
    for what in sorted(counts):
        print(f"{counts[what]:6} {what}")
    if counts["layouts"] < 150:
        sys.exit("too few layouts")
    print(f"{len(wrong):6} silently wrong")
    if wrong:
        by_list = {line.split(" ")[0]: line for line in reversed(wrong)}
        sys.exit("\n".join(by_list.values()))


main()
