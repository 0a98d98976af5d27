#!/usr/bin/env python3
"""Two real windows work on one project, each without knowing of the other, and their changes are brought together.

    /usr/bin/python3 tests/outside/check_together.py path/to/needline [FOLDER]

Needs what `window.py` needs. Both windows begin with the same project; the second one works on a copy, as on another
machine, whose file then takes the place of the first one's, as programs that keep folders alike do. Both changed the
allowance of one selection differently, and of one more each. The first window is told to save: it asks, brings both
together, asks about the one conflict and is answered by the keyboard. The file has to hold both changes that do not touch,
and the answer to the other. Pictures of what it asks are left in FOLDER where one is given (needs ImageMagick).
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

from window import clipboard, end_all, give, keys, open_window, screen, started, wait, xdotool

ROOT = pathlib.Path(__file__).resolve().parents[2]
NEEDLINE = pathlib.Path(sys.argv[1]).resolve()
PICTURES = pathlib.Path(sys.argv[2]).resolve() if len(sys.argv) > 2 else None


def allowances(file):
    done = subprocess.run([NEEDLINE, "figures", file], capture_output=True, text=True)
    assert done.returncode in (0, 1), done.stderr
    return {s["key"]: Decimal(s["allowance"]) for s in json.loads(done.stdout)["selections"]}


def rows():
    give("nothing yet")
    keys("ctrl+2", "ctrl+a", "ctrl+c")
    text = clipboard()
    return list(csv.DictReader(io.StringIO(text, newline=""), delimiter="\t")) if text.startswith("Selection\t") else []


def change(wanted):
    """Pastes other allowances of some selections, by their keys, until the window shows them."""
    own = {row["Key"]: row for row in wait("rows of the project", rows)}
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, next(iter(own.values())).keys(), delimiter="\t")
    writer.writeheader()
    writer.writerows({**own[key], "Allowance": str(amount)} for key, amount in wanted.items())

    def shown():
        give(out.getvalue())
        keys("Escape", "ctrl+v", "ctrl+Return")
        now = {row["Key"]: Decimal(row["Allowance"]) for row in rows()}
        return all(now.get(key) == amount for key, amount in wanted.items())

    wait(f"{wanted} on screen", shown)


def picture(name):
    if PICTURES:
        PICTURES.mkdir(parents=True, exist_ok=True)
        time.sleep(1.5)
        subprocess.run(["import", "-window", "root", PICTURES / f"{name}.png"], check=True)


def main():
    with tempfile.TemporaryDirectory() as folder:
        for name in ("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME"):
            os.environ[name] = folder
        folder = pathlib.Path(folder)
        ours, theirs = folder / "hall_bath.ron", folder / "elsewhere" / "hall_bath.ron"
        theirs.parent.mkdir()
        for file in (ours, theirs):
            shutil.copy(ROOT / "sample_projects" / "hall_bath.ron", file)
        base = allowances(ours)
        try:
            screen()
            quiet = {"stderr": subprocess.DEVNULL}
            first = open_window(NEEDLINE, ours, **quiet)
            change({"bath_tub": 510, "bath_fan": 222})
            window = xdotool("getactivewindow")
            second = open_window(NEEDLINE, theirs, **quiet)
            change({"bath_tub": 490, "bath_mirror": 199})
            wait("the second window to save", lambda: keys("ctrl+s") or allowances(theirs)["bath_tub"] == 490)
            second.terminate()
            second.wait(timeout=60)
            os.replace(theirs, ours)
            assert allowances(ours) == {**base, "bath_tub": 490, "bath_mirror": 199}

            wait("the first window", lambda: xdotool("windowactivate", *window) or xdotool("getactivewindow") == window)
            keys("ctrl+s")
            picture("changed_by_somebody_else")
            keys("ctrl+Return")
            picture("one_conflict")
            # Their amount is looked at; ours is kept, by the first answer.
            keys("ctrl+Return")

            def saved():
                keys("ctrl+s", "ctrl+Return")
                return allowances(ours)["bath_fan"] == 222

            wait("both to be together in the file", saved, pause=0.5)
            found = allowances(ours)
            wanted = {**base, "bath_fan": 222, "bath_mirror": 199}
            assert {k: v for k, v in found.items() if k != "bath_tub"} == {k: v for k, v in wanted.items() if k != "bath_tub"}
            assert found["bath_tub"] in (510, 490), found["bath_tub"]
            first.terminate()
            first.wait(timeout=60)
        finally:
            for process in started:
                if process.poll() is None:
                    process.kill()
            end_all()
        print(f"two windows, two changes each, one of them of the same: all are in one file, and the answer was {found['bath_tub']}")


main()
