#!/usr/bin/env python3
"""Works the real program in a window from outside, as a person with a spreadsheet beside it would.

    python3 tests/outside/check_window.py path/to/needline

Needs Xvfb, openbox, xdotool and xclip. What is first this week is done by the keyboard. Rows are copied with the keyboard and read by xclip, changed, given back to
xclip, pasted and saved; what was saved is read by `needline figures`. Then a drop-down is opened twice by clicks faster
than a frame. At last it is left larger than usual and opened again. Every wait is for something that can be seen from outside, and ends.
"""

import csv
import io
import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import time
from decimal import Decimal

from window import (HEIGHT, LONGEST, WIDTH, clipboard, end_all, give, keys, open_window, screen, wait, window_size,
                    xdotool)

ROOT = pathlib.Path(__file__).resolve().parents[2]
NEEDLINE = pathlib.Path(sys.argv[1]).resolve()


def copied():
    """All rows, by the keyboard."""
    keys("ctrl+2", "ctrl+a", "ctrl+c")
    text = clipboard()
    return text if text.startswith("Selection\t") else ""


def figures(file):
    done = subprocess.run([NEEDLINE, "figures", file], capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def allowances(file):
    return {s["key"]: Decimal(s["allowance"]) for s in figures(file)["selections"]}


def to_do(file):
    done = subprocess.run([NEEDLINE, "week", file, "--as-of", "2026-09-14"], capture_output=True, text=True, check=True)
    return done.stdout


def check_week(file):
    """The window opens on This week: its first line is done by the keyboard, and comes back by undo."""
    before = to_do(file)
    if "Order Thermostatic valve body" not in before:
        sys.exit(f"the sample has another first line:\n{before}")

    def done():
        if to_do(file) == before:
            keys("Escape", "Home", "Return", "ctrl+s")
        return "Order Thermostatic valve body" not in to_do(file)

    def undone():
        keys("ctrl+z", "ctrl+s")
        return to_do(file) == before

    wait("the part ordered in the file", done)
    wait("the order taken back", undone)
    print("what is first this week noted as ordered by the keyboard, and taken back")


def check_clipboard(file):
    before = allowances(file)
    give("nothing yet")
    text = wait("rows on the clipboard", copied)
    rows = list(csv.DictReader(io.StringIO(text, newline=""), delimiter="\t"))
    if {r["Key"]: Decimal(r["Allowance"]) for r in rows} != before:
        sys.exit(f"the rows copied are not those of the project:\n{text}")

    changed = dict(before)
    changed[rows[0]["Key"]] = Decimal("1234.50")
    rows[0]["Allowance"] = "1234.50"
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, rows[0].keys(), delimiter="\t")
    writer.writeheader()
    writer.writerows(rows)
    give(out.getvalue())

    def pasted():
        keys("Escape", "ctrl+v", "ctrl+Return", "ctrl+s")
        return allowances(file) == changed

    wait("the pasted row in the file", pasted)
    print(f"{len(rows)} rows copied and pasted back, one allowance changed and saved")


def click(x, y):
    """Press and release come together, mostly within one frame of the window."""
    xdotool("mousemove", x, y, "click", 1)
    time.sleep(0.3)


def to_the_end():
    """Scrolls the form to its end, where the measures are."""
    xdotool("mousemove", WIDTH // 2, HEIGHT // 2, "click", "--repeat", 20, "--delay", 15, 5)
    time.sleep(0.4)


def measures(file):
    return file.read_text().split("units: ")[1].split(",")[0]


def pick_measures(file, y, *arrows):
    """Picks from the list at a height of the settings, once for each arrow key, and gives what was saved."""
    keys("Escape", "ctrl+comma")
    to_the_end()
    for arrow in arrows:
        click(WIDTH * 9 // 16, y)
        keys(arrow, "Return")
    keys("ctrl+Return", "ctrl+s")
    return measures(file)


def check_drop_downs(file):
    before = measures(file)
    heights = iter([*range(HEIGHT * 5 // 8, HEIGHT // 3, -12)] * 3)

    def found():
        y = next(heights)
        return y if pick_measures(file, y, "Up") != before else None

    y = wait("a list of measures that can be picked from", found)
    wait("the list to work again and again", lambda: pick_measures(file, y, "Down", "Up", "Down") == before)

    # Escape closes the list, and the form behind it stays with what was typed.
    def named():
        keys("Escape", "ctrl+comma", "End", "Z")
        to_the_end()
        click(WIDTH * 9 // 16, y)
        keys("Escape", "ctrl+Return", "ctrl+s")
        return "Z" in file.read_text().split("name: ")[1].split(",")[0]

    wait("the name typed beside an open list", named)
    print("a list opened by fast clicks five times, and closed by Escape without its form")


def check_crew(file):
    """A crew is added by the keyboard alone: found by the name of what is to be done, named, saved."""

    def added():
        keys("Escape", "ctrl+k")
        xdotool("type", "--delay", "20", "Add a crew")
        keys("Return")
        time.sleep(0.5)
        xdotool("type", "--delay", "20", "Night crew")
        keys("ctrl+Return", "ctrl+s")
        return 'name: "Night crew"' in file.read_text()

    wait("the crew in the file", added)
    print("a crew added by the keyboard alone")


def check_size(file, process):
    """A window that is left larger than usual comes back in its size, start by start, and within the screen."""
    xdotool("getactivewindow", "windowsize", "--sync", 1000, 620)
    keys("ctrl+plus")
    left = wait("the size of the window", lambda: window_size() == (1000, 620) and (1000, 620))
    for _ in range(3):
        keys("ctrl+q")
        process.wait(timeout=LONGEST)
        process = open_window(NEEDLINE, file, sized=False)
        found = wait("the window's size", lambda: window_size()[0] and window_size())
        if found != left:
            sys.exit(f"left at {left}, and came back at {found}")
    kept = (pathlib.Path(os.environ["XDG_DATA_HOME"]) / "needline" / "app.ron").read_text()
    if "zoom_factor:1.1" not in kept.replace(" ", "").replace("\\", ""):
        sys.exit("the larger letters were not kept, so that nothing was tried")
    print("left at 110 percent and 1000x620, it came back so three times")


def main():
    with tempfile.TemporaryDirectory() as folder:
        for name in ("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME"):
            os.environ[name] = folder
        file = pathlib.Path(folder) / "hall_bath.ron"
        shutil.copy(ROOT / "sample_projects" / "hall_bath.ron", file)
        try:
            screen()
            process = open_window(NEEDLINE, file)
            check_week(file)
            check_clipboard(file)
            check_drop_downs(file)
            check_crew(file)
            check_size(file, process)
        finally:
            end_all()


main()
