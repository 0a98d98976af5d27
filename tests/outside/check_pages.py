#!/usr/bin/env python3
"""Opens the pages for a phone in a browser, 360 points wide, and measures them.

    /usr/bin/python3 tests/outside/check_pages.py path/to/needline [FOLDER]

Needs Chromium. Of each sample the pages for whoever approves, a crew, a supplier and an inspector are written by the
program, read by Python's own reader of HTML, and opened by the browser at 360 by 740 points: nothing may be wider than the
window, no text smaller than 15 points, nothing to be tapped lower than 44 (WCAG 2.2, 2.5.5). Pictures of them are left in
FOLDER where one is given.
"""

import html.parser
import json
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
NEEDLINE = pathlib.Path(sys.argv[1]).resolve()
BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
# Elements without an end of their own (HTML, 13.1.2).
VOID = {"meta", "br", "img", "input", "link", "hr"}
MEASURE = """<script>
addEventListener('load', () => {
  const texts = [...document.querySelectorAll('h1,h2,h3,p,dt,dd,a')].filter(e => e.textContent.trim());
  const told = {
    wide: document.scrollingElement.scrollWidth,
    window: innerWidth,
    beyond: texts.filter(e => e.getBoundingClientRect().right > innerWidth + 0.5).map(e => e.textContent).slice(0, 3),
    smallest: Math.min(...texts.map(e => parseFloat(getComputedStyle(e).fontSize))),
    low: [...document.querySelectorAll('a')].filter(e => e.getBoundingClientRect().height < 44).length,
    texts: texts.length,
    broken: [...document.images].filter(e => !e.naturalWidth).length,
  };
  parent.postMessage(JSON.stringify(told), '*');
});
</script>"""
# A window of a browser has a least width of its own; a frame in it has none.
FRAME = """<!DOCTYPE html><title>nothing</title>
<script>addEventListener('message', told => { document.title = 'measured ' + told.data; });</script>
<iframe src="measured.html" style="width:360px;height:740px;border:0"></iframe>"""


class Reader(html.parser.HTMLParser):
    """That every element is closed where it must be, and that there is one heading of the page."""

    def __init__(self):
        super().__init__()
        self.open, self.headings, self.wrong = [], 0, []

    def handle_starttag(self, tag, attrs):
        self.headings += tag == "h1"
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        pass

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)


def browser(folder, page, *more):
    command = [BROWSER, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
               "--disable-background-networking", "--disable-component-update", "--disable-sync", "--hide-scrollbars",
               "--host-resolver-rules=MAP * ~NOTFOUND", f"--user-data-dir={folder / 'browser'}", *more, page.as_uri()]
    return subprocess.run(command, capture_output=True, text=True, timeout=120, check=True).stdout


def main():
    if not BROWSER:
        sys.exit("there is no Chromium")
    pictures = pathlib.Path(sys.argv[2]).resolve() if len(sys.argv) > 2 else None
    pages = texts = 0
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        for sample in sorted((ROOT / "sample_projects").glob("*.ron")):
            sheets = folder / sample.stem
            subprocess.run([NEEDLINE, "export", sample, "--out", sheets], check=True, stdout=subprocess.DEVNULL)

            def keys(name):
                import csv
                with open(sheets / f"{name}.csv", newline="", encoding="utf-8") as sheet:
                    return [row["key"] for row in csv.DictReader(sheet)]

            wanted = [("choices", None), ("visit", None)]
            wanted += [("crew", key) for key in keys("crews")[:3]] + [("supplier", key) for key in keys("suppliers")[:3]]
            for kind, key in wanted:
                page = folder / f"{sample.stem}_{kind}_{key or 'all'}.html"
                chosen = ["--key", key] if key else []
                subprocess.run([NEEDLINE, "share", sample, "--for", kind, *chosen, "--out", page], check=True,
                               stdout=subprocess.DEVNULL)
                text = page.read_text(encoding="utf-8")
                reader = Reader()
                reader.feed(text)
                if reader.open or reader.wrong or reader.headings != 1:
                    sys.exit(f"{page.name}: {reader.open} stay open, {reader.wrong} are closed wrongly, {reader.headings} headings")
                if re.search(r"(src|href)=\"(?!data:|tel:|sms:)", text):
                    sys.exit(f"{page.name} asks for something from elsewhere")
                measured = folder / "measured.html"
                measured.write_text(text.replace("</head>", MEASURE + "</head>"), encoding="utf-8")
                frame = folder / "frame.html"
                frame.write_text(FRAME, encoding="utf-8")
                shown = browser(folder, frame, "--virtual-time-budget=3000", "--dump-dom")
                found = re.search(r"<title>measured (.*?)</title>", shown)
                if not found:
                    sys.exit(f"{page.name}: the browser measured nothing")
                told = json.loads(found[1].replace("&quot;", '"').replace("&amp;", "&"))
                if (told["window"] != 360 or told["wide"] > 360 or told["beyond"] or told["smallest"] < 15
                        or told["low"] or told["broken"]):
                    sys.exit(f"{page.name}: {told}")
                pages, texts = pages + 1, texts + told["texts"]
                if pictures:
                    pictures.mkdir(parents=True, exist_ok=True)
                    browser(folder, page, "--window-size=360,1480", "--force-device-scale-factor=2",
                            f"--screenshot={pictures / page.stem}.png")
    print(f"{pages} pages, {texts} texts: none wider than 360 points, none smaller than 15, nothing to tap lower than 44")


if __name__ == "__main__":
    main()
