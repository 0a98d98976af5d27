#!/usr/bin/env python3
"""Installs a package on a system of its own that has nothing else, and starts the program as a user would.

    /usr/bin/python3 tests/outside/check_package.py FILE.deb [SUITE]

Needs root, debootstrap, and Debian's packages within reach; takes minutes. SUITE is bookworm where it is not given.
In the new system the package is installed by apt, with only what it depends on. Then, on a virtual screen, the window
is opened by the entry in the menu and a project by a click on its file, both by the desktop's own opener. What is on
the screen is told by the titles of its windows. At last the package is removed, and nothing of it may be left.
"""

import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
# A screen, what manages and tells its windows, and the desktop's opener; nothing that the program itself needs.
DESKTOP = ["xvfb", "xdotool", "imagemagick", "openbox", "libglib2.0-bin", "shared-mime-info", "desktop-file-utils",
           "libgl1-mesa-dri", "dbus", "procps"]


class System:
    """A system in a folder."""

    def __init__(self, folder):
        self.folder = pathlib.Path(folder)

    def run(self, *words, check=True, **more):
        environment = {"PATH": "/usr/sbin:/usr/bin:/sbin:/bin", "HOME": "/root", "DISPLAY": ":77", "LANG": "C.UTF-8",
                       "DEBIAN_FRONTEND": "noninteractive", "LIBGL_ALWAYS_SOFTWARE": "1"}
        return subprocess.run(["chroot", self.folder, *words], env=environment, check=check, capture_output=True,
                              text=True, **more)

    def start(self, *words):
        environment = {"PATH": "/usr/sbin:/usr/bin:/sbin:/bin", "HOME": "/root", "DISPLAY": ":77", "LANG": "C.UTF-8",
                       "LIBGL_ALWAYS_SOFTWARE": "1"}
        return subprocess.Popen(["chroot", self.folder, *words], env=environment, stdout=subprocess.DEVNULL,
                                stderr=subprocess.DEVNULL, start_new_session=True)

    def window(self, title, seconds=60):
        """Waits until a window with this title is there."""
        deadline = time.monotonic() + seconds
        while time.monotonic() < deadline:
            if self.run("xdotool", "search", "--name", title, check=False).stdout.strip():
                return
            time.sleep(0.5)
        sys.exit(f"no window with the title {title!r} came")

    def end(self):
        """Ends the program, as a logout does."""
        self.run("pkill", "needline", check=False)
        deadline = time.monotonic() + 20
        while self.run("pgrep", "needline", check=False).stdout.strip() and time.monotonic() < deadline:
            time.sleep(0.2)


def mounted(system):
    for kind, place in (("proc", "proc"), ("devtmpfs", "dev"), ("devpts", "dev/pts"), ("tmpfs", "tmp")):
        subprocess.run(["mount", "-t", kind, kind, system.folder / place], check=True)


def unmounted(system):
    for place in ("tmp", "dev/pts", "dev", "proc"):
        subprocess.run(["umount", "-l", system.folder / place], check=False, stderr=subprocess.DEVNULL)


def checked(system, package, pictures):
    shutil.copy(package, system.folder / "root" / "needline.deb")
    system.run("apt-get", "install", "-y", "--no-install-recommends", "/root/needline.deb")
    needed = system.run("dpkg-query", "-W", "-f", "${Depends}", "needline").stdout
    missing = re.findall(r"(\S+) => not found", system.run("ldd", "/usr/bin/needline").stdout)
    if missing:
        sys.exit(f"the program lacks {missing}")
    code = system.run("needline", "check", "/usr/share/doc/needline/examples/hall_bath.ron", check=False).returncode
    if code not in (0, 1):
        sys.exit(f"`needline check` of a sample ended with {code}")

    system.run("apt-get", "install", "-y", "--no-install-recommends", *DESKTOP)
    project = system.folder / "root" / "my house.ron"
    shutil.copy(ROOT / "sample_projects" / "hall_bath.ron", project)
    kind = system.run("gio", "info", "-a", "standard::content-type", "/root/my house.ron").stdout
    if "application/x-needline" not in kind:
        sys.exit(f"a project is taken for something else: {kind}")

    screen = system.start("Xvfb", ":77", "-screen", "0", "1280x800x24", "-nolisten", "tcp")
    manager = None
    try:
        time.sleep(2)
        manager = system.start("openbox")
        time.sleep(1)
        # The program outlives its opener and has what that writes to, so nobody waits for an end of it.
        system.start("gio", "launch", "/usr/share/applications/needline.desktop").wait(60)
        system.window("^Needline$")
        time.sleep(4)
        taken(system, pictures / "package_menu.png")
        system.end()
        system.start("gio", "open", "/root/my house.ron").wait(60)
        system.window("my house")
        time.sleep(4)
        taken(system, pictures / "package_file.png")
        system.end()
    finally:
        for process in filter(None, (manager, screen)):
            process.terminate()
            process.wait(30)

    listed = system.run("dpkg", "-L", "needline").stdout.split("\n")
    own = [path for path in listed if "needline" in path]
    system.run("apt-get", "purge", "-y", "needline")
    left = [path for path in own if (system.folder / path.lstrip("/")).exists()]
    if left:
        sys.exit(f"left behind: {left}")
    return needed, len(own)


def taken(system, path):
    system.run("import", "-window", "root", "/root/shot.png")
    shutil.copy(system.folder / "root" / "shot.png", path)


def main():
    package = pathlib.Path(sys.argv[1]).resolve()
    suite = sys.argv[2] if len(sys.argv) > 2 else "bookworm"
    pictures = pathlib.Path(os.environ.get("PICTURES", tempfile.gettempdir()))
    with tempfile.TemporaryDirectory() as folder:
        system = System(folder)
        subprocess.run(["debootstrap", "--variant=minbase", suite, folder], check=True, stdout=subprocess.DEVNULL)
        try:
            mounted(system)
            system.run("apt-get", "update")
            needed, files = checked(system, package, pictures)
        finally:
            unmounted(system)
    print(f"{package.name} on {suite}: installed with {needed.count(',') + 1} packages it depends on, started from the menu, "
          f"a project opened by its file, removed with its {files} files")


if __name__ == "__main__":
    main()
