#!/usr/bin/env python3
"""What a desktop makes of the program's entry, icons and file type, asked with the desktop's own tools.

    /usr/bin/python3 tests/outside/check_desktop.py

Needs desktop-file-utils, shared-mime-info and libglib2.0-bin. A data folder is laid out as a package lays it out
(XDG Base Directory and Shared MIME-info specifications); then every project here must be known by what is in it,
whatever its name, nothing else may be taken for one, and the program must be what opens it.
"""

import os
import pathlib
import shutil
import struct
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "assets" / "package"
TYPE = "application/x-needline"
SIZES = (16, 24, 32, 48, 64, 128, 256)


def laid_out(data):
    """The files where a desktop looks for them, with its databases made."""
    for folder in ("applications", "mime/packages"):
        (data / folder).mkdir(parents=True)
    shutil.copy(PACKAGE / "needline.desktop", data / "applications")
    shutil.copy(PACKAGE / "needline.xml", data / "mime" / "packages")
    subprocess.run(["update-mime-database", data / "mime"], check=True, stderr=subprocess.DEVNULL)
    subprocess.run(["update-desktop-database", data / "applications"], check=True)


def type_of(path, environment):
    told = subprocess.run(["gio", "info", "-a", "standard::content-type", path], env=environment, check=True,
                          capture_output=True, text=True).stdout
    return told.rpartition("standard::content-type:")[2].strip()


def main():
    subprocess.run(["desktop-file-validate", PACKAGE / "needline.desktop"], check=True)
    for size in SIZES:
        head = (PACKAGE / f"needline_{size}.png").read_bytes()[:24]
        if head[:8] != b"\x89PNG\r\n\x1a\n" or struct.unpack(">II", head[16:24]) != (size, size):
            sys.exit(f"needline_{size}.png is no picture of {size} by {size}")

    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        data = folder / "share"
        laid_out(data)
        # The program must be found, or an entry that tries it is left out.
        programs = folder / "bin"
        programs.mkdir()
        (programs / "needline").write_text("#!/bin/sh\n")
        (programs / "needline").chmod(0o755)
        environment = dict(os.environ, XDG_DATA_HOME=str(data), XDG_CONFIG_HOME=str(folder / "config"),
                           PATH=f"{programs}:{os.environ['PATH']}")

        projects = sorted((ROOT / "sample_projects").glob("*.ron")) + sorted((ROOT / "tests" / "data").glob("schema_*.ron"))
        renamed = folder / "house without an ending"
        shutil.copy(projects[0], renamed)
        others = [ROOT / "assets" / "words" / "lists.ron", ROOT / "Cargo.toml", ROOT / "README.md",
                  PACKAGE / "needline.svg", pathlib.Path(__file__)]
        settings = folder / "settings.ron"
        settings.write_text("#![enable(implicit_some)]\n(\n  volume: 3,\n  project: none,\n)\n")
        empty = folder / "empty.ron"
        empty.write_text("")
        for path in [*projects, renamed]:
            if type_of(path, environment) != TYPE:
                sys.exit(f"{path} is taken for {type_of(path, environment)}")
        for path in [*others, settings, empty]:
            if type_of(path, environment) == TYPE:
                sys.exit(f"{path} is taken for a project")

        opens = subprocess.run(["gio", "mime", TYPE], env=environment, check=True, capture_output=True, text=True).stdout
        if "needline.desktop" not in opens:
            sys.exit(f"nothing opens {TYPE}: {opens}")
    print(f"{len(projects) + 1} projects known by what is in them, {len(others) + 2} other files left alone, "
          f"{len(SIZES)} icons, one entry that opens projects")


if __name__ == "__main__":
    main()
