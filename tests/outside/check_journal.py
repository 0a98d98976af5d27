#!/usr/bin/env python3
"""Ends the real window at random moments while it is worked on, and takes up what the next start offers.

    python3 tests/outside/check_journal.py path/to/needline [KILLS [FOLDER]]

Needs what `window.py` needs. Allowances are pasted by the keyboard, and read back from the screen by copying them, with
the time at which they were seen. Then the window is ended: by KILL, by TERM, and by its display going away. The next
start is to have every allowance that was seen 2 seconds before; it is taken up and saved by the keyboard, and the figures
have to be those of the same project made by another road: its sheets, with the allowance changed in the file.
A picture of the first offer is left in FOLDER where one is given (needs ImageMagick).
POSIX, kill(2): SIGKILL cannot be caught.
"""

import csv
import io
import json
import os
import pathlib
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from decimal import Decimal

from window import clipboard, end_all, give, keys, open_window, screen, started, wait

ROOT = pathlib.Path(__file__).resolve().parents[2]
NEEDLINE = pathlib.Path(sys.argv[1]).resolve()
KILLS = int(sys.argv[2]) if len(sys.argv) > 2 else 4
PICTURES = pathlib.Path(sys.argv[3]).resolve() if len(sys.argv) > 3 else None
SEED = 1  # of the moments; how far the window came by then is up to the machine
SURE = 2.0  # seconds after which what was on screen has to come back


def needline(*words):
    done = subprocess.run([NEEDLINE, *map(str, words)], capture_output=True, text=True)
    assert done.returncode in (0, 1), f"{words}: {done.stderr}"
    return done.stdout


def figures(file):
    return json.loads(needline("figures", file))


def allowance(file, key):
    return Decimal(next(s["allowance"] for s in figures(file)["selections"] if s["key"] == key))


def by_sheets(file, folder, key, amount):
    """The figures of a project with another allowance, which never was in a window."""
    sheets, made = folder / "sheets", folder / "made.ron"
    shutil.rmtree(sheets, ignore_errors=True)
    needline("export", file, "--out", sheets)
    path = sheets / "selections.csv"
    rows = list(csv.DictReader(path.open(encoding="utf-8", newline="")))
    for row in rows:
        if row["key"] == key:
            row["allowance"] = str(amount)
    with path.open("w", encoding="utf-8", newline="") as out:
        writer = csv.DictWriter(out, rows[0].keys())
        writer.writeheader()
        writer.writerows(rows)
    needline("import", sheets, "--out", made, "--force")
    return figures(made)


def rows():
    """All rows on screen, by the keyboard."""
    give("nothing yet")
    keys("ctrl+2", "ctrl+a", "ctrl+c")
    text = clipboard()
    return list(csv.DictReader(io.StringIO(text, newline=""), delimiter="\t")) if text.startswith("Selection\t") else []


def paste(row, amount):
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, row.keys(), delimiter="\t")
    writer.writeheader()
    writer.writerow({**row, "Allowance": str(amount)})
    give(out.getvalue())
    keys("Escape", "ctrl+v", "ctrl+Return")


class Site:
    def __init__(self, folder):
        self.folder = folder
        self.file = folder / "hall_bath.ron"
        self.journal = folder / ".hall_bath.ron.edits"
        self.chance = random.Random(SEED)
        self.amount = 1000
        shutil.copy(ROOT / "sample_projects" / "hall_bath.ron", self.file)
        self.key = None

    def edit(self):
        """Two or three edits; when each was seen, and the row."""
        row = wait("rows of the project", rows)[0]
        self.key = row["Key"]
        seen = [(float("-inf"), Decimal(row["Allowance"]))]
        for _ in range(self.chance.randint(2, 3)):
            self.amount += 1

            def on_screen():
                # A key that came too early for a busy machine is pressed again.
                paste(row, self.amount)
                return any(r["Key"] == self.key and Decimal(r["Allowance"]) == self.amount for r in rows())

            wait(f"{self.amount} on screen", on_screen)
            seen.append((time.monotonic(), Decimal(self.amount)))
        return row, seen

    def end(self, window, how, row, seen):
        """Ends the window, at times with an edit under way; what has to come back at least, and what may."""
        time.sleep(self.chance.uniform(0, 2.5))
        if self.chance.random() < 0.5:
            self.amount += 1
            paste(row, self.amount)
            seen.append((float("inf"), Decimal(self.amount)))
        saved = self.file.read_bytes()
        ended = time.monotonic()
        how(window)
        window.wait(timeout=60)
        assert window.returncode != 0, "it was to be ended, and not to end by itself"
        assert self.file.read_bytes() == saved, "nobody saved it"
        at_least = max(n for n, (when, _) in enumerate(seen) if when <= ended - SURE)
        return [amount for _, amount in seen[at_least:]]

    def take_up(self, may):
        """Takes up what is offered and saves it; what came back."""
        assert self.journal.exists(), f"one of {may} was on screen, and nothing was kept"
        before = figures(self.file)

        def saved():
            keys("ctrl+Return", "ctrl+s")
            return not self.journal.exists()

        wait("what was not saved to be taken up and saved", saved, pause=0.5)
        came = allowance(self.file, self.key)
        assert came in may, f"{came} came back, and not one of {may}"
        now = figures(self.file)
        assert now != before and now == by_sheets(self.file.with_name("hall_bath.ron.1.bak"), self.folder, self.key, came)
        return came


def kill(window):
    window.send_signal(signal.SIGKILL)


def term(window):
    window.send_signal(signal.SIGTERM)


def main():
    with tempfile.TemporaryDirectory() as folder:
        for name in ("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME"):
            os.environ[name] = folder
        site = Site(pathlib.Path(folder))
        quiet = {"stderr": subprocess.DEVNULL}
        try:
            server = screen()

            def unplug(_):
                server.kill()
                server.wait()

            last = 0
            window = open_window(NEEDLINE, site.file, **quiet)
            ways = [*[kill] * KILLS, term, unplug]
            for way in ways:
                row, seen = site.edit()
                may = site.end(window, way, row, seen)
                if way is unplug:
                    screen()
                window = open_window(NEEDLINE, site.file, **quiet)
                time.sleep(1)
                if PICTURES and way is ways[0]:
                    PICTURES.mkdir(parents=True, exist_ok=True)
                    time.sleep(1.5)
                    subprocess.run(["import", "-window", "root", PICTURES / "left_unsaved.png"], check=True)
                came = site.take_up(may)
                last += came == may[-1]
            print(f"{KILLS} times killed, once ended by TERM, once without its display: all that was on screen for "
                  f"{SURE:.0f} s came back, {last} of {len(ways)} times the very last edit too")
        finally:
            for process in started:
                if process.poll() is None:
                    process.kill()
            end_all()


main()
