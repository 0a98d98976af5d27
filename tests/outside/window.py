"""Ways to work the real program in a window from outside, for the checks beside this file.

Needs Xvfb, openbox, xdotool and xclip. Every wait is for something that can be seen from outside, and ends.
"""

import os
import subprocess
import sys
import time

WIDTH, HEIGHT = 1280, 800
LONGEST = 90
started = []


def wait(what, look, seconds=LONGEST, pause=0.1):
    """What `look` gives, once it gives something."""
    end = time.monotonic() + seconds
    while True:
        found = look()
        if found:
            return found
        if time.monotonic() > end:
            sys.exit(f"waited {seconds} s in vain for {what}")
        time.sleep(pause)


def start(*command, **options):
    process = subprocess.Popen(command, **options)
    started.append(process)
    return process


def screen():
    """A display of its own; its number is the server's choice. One that began anew whenever its last client left would
    refuse those that come at that moment."""
    reading, writing = os.pipe()
    server = start("Xvfb", "-displayfd", str(writing), "-screen", "0", f"{WIDTH}x{HEIGHT}x24", "-nolisten", "tcp",
                   "-noreset", pass_fds=[writing], stderr=subprocess.DEVNULL)
    os.close(writing)
    with os.fdopen(reading) as numbers:
        number = numbers.readline().strip()
    if not number:
        sys.exit("Xvfb gave no display")
    os.environ["DISPLAY"] = f":{number}"
    os.environ.pop("WAYLAND_DISPLAY", None)
    os.environ["LIBGL_ALWAYS_SOFTWARE"] = "1"
    start("openbox", stderr=subprocess.DEVNULL)
    # A window that is mapped before the manager listens may be lost.
    wait("the window manager", lambda: xdotool("get_num_desktops"))
    return server


def xdotool(*words):
    done = subprocess.run(["xdotool", *map(str, words)], capture_output=True, text=True, timeout=LONGEST)
    return done.stdout.split()


def keys(*names):
    for name in names:
        xdotool("key", "--clearmodifiers", name)
        time.sleep(0.2)


def clipboard():
    try:
        done = subprocess.run(["xclip", "-o", "-selection", "clipboard"], capture_output=True, timeout=10)
    except subprocess.TimeoutExpired:
        return ""
    return done.stdout.decode() if done.returncode == 0 else ""


def give(text):
    """Puts a text on the clipboard, as another program would."""
    subprocess.run(["xclip", "-i", "-selection", "clipboard"], input=text.encode(), check=True, timeout=10,
                   stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def open_window(program, *words, sized=True, **options):
    """The program in a window that takes keys, over the whole screen where it is to be sized."""
    process = start(program, *words, **options)
    # The window manager calls it active only once it is mapped and takes keys.
    window = wait("the window", lambda: xdotool("search", "--onlyvisible", "--class", "needline"))[-1]
    wait("the window to take keys", lambda: xdotool("windowactivate", window) or True)
    wait("the window to be the active one", lambda: xdotool("getactivewindow") == [window])
    if sized:
        xdotool("windowsize", "--sync", window, WIDTH, HEIGHT - 40)
    return process


def window_size():
    """Width and height of the window that takes keys."""
    words = xdotool("getactivewindow", "getwindowgeometry", "--shell")
    said = dict(word.split("=") for word in words if "=" in word)
    return int(said.get("WIDTH", 0)), int(said.get("HEIGHT", 0))


def end_all():
    for process in reversed(started):
        process.terminate()
    for process in started:
        process.wait(timeout=LONGEST)
