#!/usr/bin/env python3
"""Ends the real program at random moments while it saves, and lets many of them write one project.

    python3 tests/outside/check_kills.py target/debug/needline [KILLS]

After each kill the project is read by the program, and each earlier version too: every one has to be whole, and the
project has to be as it was before or as it was to become. At the end nothing of the killed runs is left beside it.
Then 40 commands write one project at once, and each one that said it was written has to be found in it.
POSIX, kill(2) and rename(2): SIGKILL cannot be caught, and a rename is there or is not.
"""

import os
import pathlib
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time

PROGRAM = os.path.abspath(sys.argv[1])
KILLS = int(sys.argv[2]) if len(sys.argv) > 2 else 100
HOUSE = pathlib.Path(__file__).resolve().parents[2] / "sample_projects" / "orchard_house.ron"
SEED = 1  # of the moments; how far a run came by then is up to the machine


def keep(project, name):
    """A command that writes `project`, not waited for."""
    args = [PROGRAM, "keep", str(project), "--name", name, "--out", str(project)]
    return subprocess.Popen(args, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def plans(project):
    """The names of the plans kept in a project, read from its text; the program must be able to read it too."""
    read = subprocess.run([PROGRAM, "check", str(project)], capture_output=True, text=True)
    assert read.returncode in (0, 1), f"{project}: {read.stderr}"
    return set(re.findall(r'"(plan \d+)"', project.read_text()))


def names(folder):
    return sorted(entry.name for entry in folder.iterdir())


def kills(folder):
    """Commands killed at random moments of about the time that one takes."""
    project = folder / "house.ron"
    shutil.copy(HOUSE, project)
    start = time.monotonic()
    for n in range(3):
        assert keep(project, f"plan {900_000 + n}").wait() == 0
    whole = (time.monotonic() - start) / 3
    chance = random.Random(SEED)
    known, ended, littered, fresh = plans(project), 0, 0, whole
    for n in range(KILLS):
        if n % 20 == 0:
            # A project that grows by a plan each time would soon be slow to read.
            shutil.copy(HOUSE, project)
            known = plans(project)
        run = keep(project, f"plan {n}")
        # Most of the time goes into reading; the last part is where it writes.
        moment = chance.uniform(0.3, 1.2) * whole
        time.sleep(moment)
        run.kill()
        run.communicate()
        ended += run.returncode != 0
        now = plans(project)
        assert now in (known, known | {f"plan {n}"}), f"kill {n}: {sorted(now ^ known)} came or went"
        assert run.returncode != 0 or now != known, f"kill {n}: said to be written, and is not"
        known = now
        littered += any(name.startswith(".") and not name.endswith(".lock") for name in names(folder))
        if n % 10 == 0:
            for version in folder.glob("house.ron.*.bak"):
                copy = folder / "version.ron"
                shutil.copy(version, copy)
                plans(copy)
                copy.unlink()
    assert keep(project, "plan 999999").wait() == 0
    left = [name for name in names(folder) if name.startswith(".")]
    assert not left, f"left beside the project: {left}"
    assert ended > KILLS // 4, f"only {ended} of {KILLS} runs were killed before they ended"
    print(f"{KILLS} kills, {ended} in the middle, {littered} times something was left over and cleared away later")


def together(folder):
    """40 commands at once: every one is written, and every one that says so is found."""
    project = folder / "many.ron"
    shutil.copy(HOUSE, project)
    runs = [(f"plan {n}", keep(project, f"plan {n}")) for n in range(40)]
    said = set()
    for name, run in runs:
        _, err = run.communicate()
        if run.returncode == 0:
            said.add(name)
        else:
            assert "has this project open" in err and "try again" in err, err
    found = plans(project)
    assert found == said, f"said and not found: {sorted(said - found)}; found and not said: {sorted(found - said)}"
    left = [name for name in names(folder) if name.startswith(".")]
    assert not left, left
    print(f"40 commands at once: {len(said)} said that they had written, {len(found)} are recorded")


with tempfile.TemporaryDirectory() as folder:
    kills(pathlib.Path(folder))
with tempfile.TemporaryDirectory() as folder:
    together(pathlib.Path(folder))
