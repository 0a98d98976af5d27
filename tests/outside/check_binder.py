#!/usr/bin/env python3
"""Reads the binder of a house and its punch list with programs that are not ours.

    /usr/bin/python3 tests/outside/check_binder.py path/to/needline

Needs poppler-utils, and Chromium for the HTML. The sheets of the sample `laundry_room` are read here, in plain Python: what is
in the house is each part of a chosen option that came. Poppler reads the PDF: its text must hold each of these with its
serial number, and nothing that is still to come; its bookmarks must be the chapters with the rooms below them, each leading to
the page on which its title stands; its links must be the manuals. The HTML is read by Python's reader: each link of the
contents must lead to a heading of the same words; and by a browser at 360 points, where nothing may be wider than the window.
"""

import csv
import html.parser
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree

ROOT = pathlib.Path(__file__).resolve().parents[2]
NEEDLINE = pathlib.Path(sys.argv[1]).resolve()
SAMPLE = ROOT / "sample_projects" / "laundry_room"
AS_OF = "2026-11-09"
BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
WIDTH = """<script>addEventListener('load', () => {
  document.title = 'measured ' + document.scrollingElement.scrollWidth + ' of ' + innerWidth;
  parent.postMessage(document.title, '*');
});</script>"""
FRAME = """<!DOCTYPE html><title>nothing</title>
<script>addEventListener('message', told => { document.title = told.data; });</script>
<iframe src="measured.html" style="width:360px;height:740px;border:0"></iframe>"""


def sheet(name):
    with open(SAMPLE / f"{name}.csv", newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def run(*command):
    return subprocess.run([str(part) for part in command], capture_output=True, text=True, check=True).stdout


class Contents(html.parser.HTMLParser):
    """The links of the contents, the headings with their names, and all links that lead elsewhere."""

    def __init__(self):
        super().__init__()
        self.links, self.headings, self.away, self.at = {}, {}, [], None

    def handle_starttag(self, tag, attrs):
        attrs = dict(attrs)
        if tag == "a" and attrs["href"].startswith("#"):
            self.at = (self.links, attrs["href"][1:])
        elif tag == "a":
            self.away.append(attrs["href"])
        elif tag in ("h2", "h3") and "id" in attrs:
            self.at = (self.headings, attrs["id"])

    def handle_endtag(self, tag):
        if tag in ("a", "h2", "h3"):
            self.at = None

    def handle_data(self, data):
        if self.at:
            into, name = self.at
            into[name] = into.get(name, "") + data


def bookmarks(outline, below=0):
    found = []
    for item in outline:
        if item.tag == "item":
            found.append((item.text, int(item.get("page")), below))
        else:
            found += bookmarks(item, below + 1)
    return found


def plain(text):
    return re.sub(r"\s+", "", text)


def main():
    chosen = {row["key"] for row in sheet("options") if row["state"] == "chosen"}
    there = [row for row in sheet("parts") if row["option"] in chosen and row["received_on"]]
    away = [row for row in sheet("parts") if row not in there]
    handed = {row["part"]: row for row in sheet("handover")}
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        run(NEEDLINE, "print", SAMPLE.with_suffix(".ron"), "--as-of", AS_OF, "--out", folder, "--paper", "binder,punch_list",
            "--format", "pdf,html")
        for row in sheet("handover"):
            if row["manual"] and "://" not in row["manual"]:
                kept = (folder / row["manual"]).read_bytes()
                if kept != (SAMPLE.parent / row["manual"]).read_bytes():
                    sys.exit(f"{row['manual']} beside the binder is another")
        text = run("pdftotext", "-raw", folder / "binder.pdf", "-")
        for row in there:
            own = handed.get(row["key"], {})
            for words in (row["article"], own.get("serial", ""), own.get("note", "")):
                if plain(words) not in plain(text):
                    sys.exit(f"binder.pdf: {row['key']}: {words!r} is missing")
        kept = {row["article"] for row in there}
        for row in away:
            if row["article"] not in kept and row["article"] in text:
                sys.exit(f"binder.pdf: {row['key']} is not in the house")

        tree = xml.etree.ElementTree.fromstring(run("pdftohtml", "-xml", "-i", "-stdout", folder / "binder.pdf"))
        pages = [plain("".join(page.itertext())) for page in tree.findall("page")]
        marks = bookmarks(tree.find("outline"))
        for title, page, _ in marks:
            if plain(title) not in pages[page - 1]:
                sys.exit(f"binder.pdf: the bookmark {title!r} leads to page {page}, where it does not stand")
        rooms = {row["name"]: row["level"] for row in sheet("rooms")}
        below = [title for title, _, deep in marks if deep]
        if below != [f"{name}, {level}" for name, level in rooms.items()] or len(marks) - len(below) < 6:
            sys.exit(f"binder.pdf: bookmarks {marks}")
        manuals = {row["manual"] for row in handed.values() if row["manual"]}
        leads = {link.get("href") for link in tree.iter("a")}
        if leads != manuals:
            sys.exit(f"binder.pdf leads to {leads}, and the manuals are {manuals}")

        reader = Contents()
        written = (folder / "binder.html").read_text(encoding="utf-8")
        reader.feed(written)
        if not reader.links or reader.links != reader.headings or set(reader.away) != manuals:
            sys.exit(f"binder.html: {reader.links} lead to {reader.headings}, and away to {reader.away}")

        listed = run("pdftotext", "-raw", folder / "punch_list.pdf", "-")
        left = [row for row in sheet("punch") if not row["checked_on"]]
        for row in sheet("punch"):
            times = plain(listed).count(plain(row["what"]))
            wanted = 0 if row not in left else 1 if row["done_on"] else 2
            if times != wanted:
                sys.exit(f"punch_list.pdf: {row['what']!r} stands there {times} times, and not {wanted}")
        pictures = run("pdfimages", "-list", folder / "punch_list.pdf").splitlines()[2:]
        if len(pictures) != sum(1 for row in left if row["picture"]):
            sys.exit(f"punch_list.pdf has {len(pictures)} pictures")

        widths = []
        for name in ("binder", "punch_list"):
            page = (folder / f"{name}.html").read_text(encoding="utf-8")
            (folder / "measured.html").write_text(page.replace("</head>", WIDTH + "</head>"), encoding="utf-8")
            (folder / "frame.html").write_text(FRAME, encoding="utf-8")
            shown = run(BROWSER, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
                        "--disable-background-networking", "--disable-component-update", "--disable-sync",
                        "--host-resolver-rules=MAP * ~NOTFOUND", f"--user-data-dir={folder / 'browser'}",
                        "--virtual-time-budget=3000", "--dump-dom", (folder / "frame.html").as_uri())
            told = re.search(r"<title>measured (\d+) of (\d+)</title>", shown)
            if not told or told[2] != "360" or int(told[1]) > 360:
                sys.exit(f"{name}.html: {told and told[0]}")
            widths.append(told[1])
    print(f"{len(there)} parts in the binder, {len(away)} not; {len(marks)} bookmarks, {len(leads)} manuals, "
          f"{len(reader.links)} links of the contents; {len(left)} things on the punch list with {len(pictures)} picture; "
          f"{' and '.join(widths)} points wide on a phone")


if __name__ == "__main__":
    main()
