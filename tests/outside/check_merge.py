#!/usr/bin/env python3
"""Projects under version control, merged by the real git with the program as its merge driver.

    python3 tests/outside/check_merge.py target/debug/needline

The lines of the configuration are those of README.md, read from there. Two branches change one project; git merges them,
and what came out is read by the program and by plain patterns over its text.
gitattributes(5), "Defining a custom merge driver": the driver leaves its result in the file of %A, and exits with zero
when it merged cleanly.
"""

import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
ROOT = pathlib.Path(__file__).resolve().parents[2]
HOUSE = ROOT / "sample_projects" / "hall_bath.ron"


def configured():
    """The lines that README.md gives: of .gitattributes, and commands to be run once."""
    text = (ROOT / "README.md").read_text()
    attributes = re.search(r"^\*\.ron merge=needline$", text, re.M).group(0)
    commands = re.findall(r"^git config .*$", text, re.M)
    assert len(commands) == 2, commands
    return attributes, commands


def git(folder, *args, code=0):
    env = dict(os.environ, PATH=f"{pathlib.Path(PROGRAM).parent}:{os.environ['PATH']}", HOME=str(folder))
    env.update(GIT_AUTHOR_NAME="a", GIT_AUTHOR_EMAIL="a@localhost", GIT_COMMITTER_NAME="a")
    env.update(GIT_COMMITTER_EMAIL="a@localhost", GIT_CONFIG_NOSYSTEM="1")
    done = subprocess.run(["git", *args], cwd=folder, env=env, capture_output=True, text=True)
    assert done.returncode == code, f"git {args}: {done.returncode}\n{done.stdout}{done.stderr}"
    return done.stdout + done.stderr


def change(path, old, new):
    text = path.read_text()
    assert text.count(old) >= 1, old
    path.write_text(text.replace(old, new, 1))


def repository(folder):
    attributes, commands = configured()
    git(folder, "init", "-q", "-b", "main")
    for command in commands:
        # As a shell would read it.
        subprocess.run(["sh", "-c", command], cwd=folder, check=True)
    (folder / ".gitattributes").write_text(attributes + "\n")
    house = folder / "house.ron"
    shutil.copy(HOUSE, house)
    # As this version writes it, so that a change is one of a line.
    done = subprocess.run([PROGRAM, "check", str(house)], capture_output=True)
    assert done.returncode in (0, 1), done.stderr
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "-m", "base")
    return house


def branch(folder, house, name, changes):
    git(folder, "checkout", "-q", "-b", name, "main")
    for old, new in changes:
        change(house, old, new)
    git(folder, "commit", "-q", "-a", "-m", name)


def reads(house):
    done = subprocess.run([PROGRAM, "check", str(house)], capture_output=True, text=True)
    assert done.returncode in (0, 1), done.stderr


def named(text):
    """What the project is called: the first name in the file."""
    return re.search(r"name: \"([^\"]*)\"", text).group(1)


def main():
    attempts = 0
    # Lines beside each other: git alone would call it a conflict.
    with tempfile.TemporaryDirectory() as made:
        folder = pathlib.Path(made)
        house = repository(folder)
        text = house.read_text()
        hold = re.search(r"^    +hold: \d+,$", text, re.M).group(0)
        wait = re.search(r"^    +reinspect_wait: \d+,$", text, re.M).group(0)
        new_hold, new_wait = re.sub(r"\d+", "9", hold), re.sub(r"\d+", "7", wait)
        branch(folder, house, "one", [(hold, new_hold)])
        branch(folder, house, "two", [(wait, new_wait)])
        told = git(folder, "merge", "--no-edit", "one")
        merged = house.read_text()
        assert new_hold in merged and new_wait in merged, told
        assert "<<<<<<<" not in merged
        reads(house)
        attempts += 1
        left = sorted(p.name for p in folder.iterdir() if p.name not in (".git", ".gitattributes", "house.ron"))
        assert not left, left
        status = git(folder, "status", "--porcelain")
        assert status == "", status

    # The same value on both sides: a conflict for git, the file a whole project with this side's value.
    with tempfile.TemporaryDirectory() as made:
        folder = pathlib.Path(made)
        house = repository(folder)
        name = named(house.read_text())
        branch(folder, house, "one", [(f'name: "{name}"', 'name: "Upper house"')])
        branch(folder, house, "two", [(f'name: "{name}"', 'name: "Lower house"')])
        told = git(folder, "merge", "--no-edit", "one", code=1)
        assert "Lower house" in told and "Upper house" in told and name in told, told
        assert named(house.read_text()) == "Lower house"
        reads(house)
        assert "UU house.ron" in git(folder, "status", "--porcelain")
        attempts += 1

    # A version that cannot be read is a conflict too, and the file stays this side's.
    with tempfile.TemporaryDirectory() as made:
        folder = pathlib.Path(made)
        house = repository(folder)
        branch(folder, house, "one", [("settings: (", "settings: oops (")])
        branch(folder, house, "two", [(f'name: "{named(house.read_text())}"', 'name: "Lower house"')])
        mine = house.read_text()
        told = git(folder, "merge", "--no-edit", "one", code=1)
        assert "line " in told, told
        assert house.read_text() == mine
        attempts += 1
    print(f"{attempts} merges by git, with the lines of README.md")


main()
