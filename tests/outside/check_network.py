#!/usr/bin/env python3
"""Watches the real program from outside: no command and no window makes a connection of the internet.

    python3 tests/outside/check_network.py path/to/needline

Needs strace, and Xvfb for the window. Every call of the system about sockets is written down by strace; only sockets of the
machine itself (AF_UNIX, and AF_NETLINK to ask the system about its devices) may be among them. That something is written
down at all is checked with a program that does connect.
"""

import os
import pathlib
import re
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
NEEDLINE = pathlib.Path(sys.argv[1]).resolve()
SAMPLE = ROOT / "sample_projects" / "hall_bath.ron"
# Seconds the window is watched: it has drawn by then, and what it would do at its start is done.
WATCHED = 12


def watched(folder, command, seconds=120):
    """The kinds of sockets that a command and its children used, and its exit code; none when it was ended."""
    log = pathlib.Path(folder) / "calls"
    call = ["strace", "-f", "-qq", "-e", "trace=%network", "-o", log, *command]
    process = subprocess.Popen(call, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)
    try:
        code = process.wait(seconds)
    except subprocess.TimeoutExpired:
        code = None
        os.killpg(process.pid, 15)
        process.wait(30)
    return set(re.findall(r"\bAF_[A-Z0-9]+", log.read_text(errors="replace"))), code


def screen():
    reading, writing = os.pipe()
    server = subprocess.Popen(["Xvfb", "-displayfd", str(writing), "-screen", "0", "1280x800x24", "-nolisten", "tcp"],
                              pass_fds=[writing], stderr=subprocess.DEVNULL)
    os.close(writing)
    with os.fdopen(reading) as numbers:
        os.environ["DISPLAY"] = f":{numbers.readline().strip()}"
    os.environ.pop("WAYLAND_DISPLAY", None)
    os.environ["LIBGL_ALWAYS_SOFTWARE"] = "1"
    return server


def main():
    own = {"AF_UNIX", "AF_NETLINK", "AF_UNSPEC"}
    with tempfile.TemporaryDirectory() as folder:
        asks = "import socket\ntry: socket.create_connection(('127.0.0.1', 9), 1)\nexcept OSError: pass"
        kinds, _ = watched(folder, [sys.executable, "-c", asks])
        if "AF_INET" not in kinds:
            sys.exit("strace writes down no connection, so nothing can be told")
        out = pathlib.Path(folder) / "out"
        for words in (["check", SAMPLE], ["figures", SAMPLE], ["buy", SAMPLE, "--out", out],
                      ["print", SAMPLE, "--out", out], ["crew", SAMPLE, "--out", out], ["week", SAMPLE]):
            kinds, code = watched(folder, [NEEDLINE, *words])
            if kinds or code not in (0, 1):
                sys.exit(f"needline {words[0]}: exit code {code}, sockets {kinds}")
        server = screen()
        try:
            kinds, code = watched(folder, [NEEDLINE, SAMPLE], WATCHED)
        finally:
            server.terminate()
            server.wait(30)
        if code is not None:
            sys.exit(f"the window ended by itself with exit code {code}")
        if "AF_UNIX" not in kinds or kinds - own:
            sys.exit(f"the window used sockets of {kinds}")
    print("6 commands used no socket, and the window only those of the machine")


main()
