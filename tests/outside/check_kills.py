#!/usr/bin/env python3
"""Ends the real program at random moments while it saves, and lets many of them write one project.

    python3 tests/outside/check_kills.py target/debug/needline [KILLS]

After each kill the project is read by the program, and each earlier version too: every one has to be whole, and the
project has to be as it was before or as it was to become. At the end nothing of the killed runs is left beside it.
Lists in five formats are killed while they are written over others: the next run must leave all of them old or all new.
Then 40 commands write one project at once, and each one that said it was written has to be found in it. Where there is
Xvfb, a real window shows a project while a command would write it, and is killed.
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
import zipfile

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


def lists(folder, day):
    """A command that writes purchase lists in five formats over those that are there, not waited for."""
    args = [PROGRAM, "buy", str(HOUSE), "--as-of", day, "--out", str(folder), "--format", "csv,xlsx,pdf,html,ics", "--force"]
    return subprocess.Popen(args, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)


def contents(folder):
    """What every file holds; of a workbook its sheet, since its parts may lie in another order."""
    def of(entry):
        if entry.suffix != ".xlsx":
            return entry.read_bytes()
        with zipfile.ZipFile(entry) as book:
            return {name: book.read(name) for name in sorted(book.namelist()) if "sheet" in name or "sharedStrings" in name}
    return {entry.name: of(entry) for entry in folder.iterdir() if not entry.name.startswith(".")}


def sets(folder):
    """Lists that are written over older ones, killed: what the next run leaves is all of the old or all of the new ones."""
    days = ("2026-09-21", "2026-09-28")
    whole = {}
    start = time.monotonic()
    for day in days:
        made = folder / day
        assert lists(made, day).wait() == 0
        whole[day] = contents(made)
    took = (time.monotonic() - start) / 2
    assert set(whole[days[0]]) == set(whole[days[1]]) and whole[days[0]] != whole[days[1]]
    goal = folder / "lists"
    shutil.copytree(folder / days[0], goal)
    now, chance = days[0], random.Random(SEED)
    ended = mixed = old = new = 0
    for n in range(KILLS):
        to = days[1] if now == days[0] else days[0]
        run = lists(goal, to)
        # The writing is the last part of it.
        time.sleep(chance.uniform(0.75, 1.02) * took)
        run.kill()
        run.communicate()
        ended += run.returncode != 0
        mixed += contents(goal) not in (whole[now], whole[to])
        other = [PROGRAM, "print", str(HOUSE), "--paper", "how_sure", "--format", "html", "--out", str(goal), "--force"]
        assert subprocess.run(other, stdout=subprocess.DEVNULL).returncode == 0
        (goal / "how_sure.html").unlink()
        found = contents(goal)
        assert found in (whole[now], whole[to]), f"kill {n}: neither the lists of {now} nor those of {to}"
        left = [name for name in names(goal) if name.startswith(".")]
        assert not left, f"kill {n}: left in the folder: {left}"
        if found == whole[to]:
            now, new = to, new + 1
        else:
            old += 1
    print(f"{KILLS} kills of lists being written, {ended} in the middle, {mixed} times old and new were mixed; the next run "
          f"left all old ones {old} times, all new ones {new} times")


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


def beside_a_window(folder):
    """While a real window shows a project commands leave it alone, and say who has it; a killed window has nothing."""
    project = folder / "shown.ron"
    shutil.copy(HOUSE, project)
    reader, writer = os.pipe()
    screen = subprocess.Popen(["Xvfb", "-displayfd", str(writer), "-screen", "0", "1200x800x24", "-nolisten", "tcp"],
                              pass_fds=[writer], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    os.close(writer)
    display = ":" + os.read(reader, 20).decode().strip()
    home = {name: str(folder) for name in ("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME")}
    quiet = {key: value for key, value in os.environ.items() if key != "WAYLAND_DISPLAY"}
    window = subprocess.Popen([PROGRAM, str(project)], env={**quiet, **home, "DISPLAY": display, "LIBGL_ALWAYS_SOFTWARE": "1"},
                              stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
    try:
        lock = folder / ".shown.ron.lock"
        for _ in range(600):
            assert window.poll() is None, window.stderr.read()
            if lock.exists() and lock.read_text().startswith("window"):
                break
            time.sleep(0.1)
        before = project.read_text()
        run = keep(project, "plan 1")
        _, err = run.communicate()
        assert run.returncode == 2 and "a window" in err and f"(process {window.pid})" in err, err
        assert project.read_text() == before
        window.kill()
        window.wait()
        assert lock.exists(), "what a killed run left is what is tried here"
        assert keep(project, "plan 1").wait() == 0
        assert plans(project) == {"plan 1"} and not lock.exists()
    finally:
        for run in (window, screen):
            run.kill()
            run.wait()
    print("a window: its project was left alone, and written as soon as the window was killed")


with tempfile.TemporaryDirectory() as folder:
    kills(pathlib.Path(folder))
with tempfile.TemporaryDirectory() as folder:
    sets(pathlib.Path(folder))
with tempfile.TemporaryDirectory() as folder:
    together(pathlib.Path(folder))
if shutil.which("Xvfb") and b"has no window" not in subprocess.run(
    [PROGRAM, "nothing.ron"], capture_output=True, env={"PATH": os.environ["PATH"]}
).stderr:
    with tempfile.TemporaryDirectory() as folder:
        beside_a_window(pathlib.Path(folder))
else:
    print("without a screen, or a window in this build: not tried beside a window")
