#!/usr/bin/env python3
"""Compares what Needline writes for other programs with `needline figures`, by readers that are not its own.

    python3 tests/outside/check_lists.py path/to/needline

CSV by the csv module, XLSX by openpyxl, iCalendar by icalendar, PDF by pdftotext, HTML by html.parser. Every amount,
date and name of every list is compared, on both samples and on a project with names that are hard to write.
Prints what was compared, and ends with an error when anything differs.
"""

import csv
import datetime
import html.parser
import io
import json
import pathlib
import re
import subprocess
import sys
import tempfile
import unicodedata
from decimal import ROUND_HALF_UP, Decimal

import icalendar
import openpyxl

ROOT = pathlib.Path(__file__).resolve().parents[2]
NEEDLINE = sys.argv[1]
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")
counts = {}


def count(what, n=1):
    counts[what] = counts.get(what, 0) + n


def same(found, wanted, where):
    if found != wanted:
        sys.exit(f"{where}: found {found!r}, wanted {wanted!r}")


def needline(*args):
    done = subprocess.run([NEEDLINE, *map(str, args)], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        sys.exit(f"needline {' '.join(map(str, args))}: {done.stderr}")
    return done.stdout


def read_csv(path):
    if not path.exists():
        return []
    with open(path, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def day(text):
    return datetime.date.fromisoformat(text) if text else None


def on_paper(date):
    return f"{date:%a %b} {date.day}, {date.year}"


def grouped(text):
    return f"{Decimal(text):,}"


class Names:
    """The words of a project, from its own sheets: the guard before what could be a formula is taken off here by
    its rule, one apostrophe before each place where a formula could begin."""

    def __init__(self, folder):
        sheets = {name: read_csv(folder / f"{name}.csv") for name in
                  ("rooms", "phases", "suppliers", "selections", "options", "parts", "orders", "settings", "sent")}
        self.sent = {r["uid"]: (r["form"], self.plain(r["title"]), day(r["day"]), r["whose"] or None)
                     for r in sheets["sent"] if r["calendar"] == "lists"}
        self.rooms = {self.plain(r["key"]): self.plain(r["name"]) for r in sheets["rooms"]}
        self.phases = {self.plain(r["key"]): self.plain(r["name"]) for r in sheets["phases"]}
        self.suppliers = {self.plain(r["key"]): self.plain(r["name"]) for r in sheets["suppliers"]}
        self.returns = {self.plain(r["key"]): r["return_days"] for r in sheets["suppliers"]}
        self.selections = {self.plain(r["key"]): self.plain(r["name"]) for r in sheets["selections"]}
        self.options = {self.plain(r["key"]): r for r in sheets["options"]}
        self.parts = {self.plain(r["key"]): r for r in sheets["parts"]}
        self.orders = {self.plain(r["key"]): r for r in sheets["orders"]}
        settings = {r["key"]: self.plain(r["value"]) for r in sheets["settings"]}
        own = {"Ordered by": settings.get("owner"), "Call": settings.get("phone"), "Ship to": settings.get("ship_to")}
        theirs = (("Supplier", "name"), ("Contact", "contact"), ("Phone", "phone"), ("Email", "email"),
                  ("Account", "account"), ("For delivery", "ship_note"))
        blank = {column: "" for _, column in theirs} | {"name": "No supplier yet", "key": None}
        # What stands above the lines, in one line each.
        line = lambda text: ", ".join(part.strip() for part in (text or "").splitlines())
        self.heads = {}
        for r in [*sheets["suppliers"], blank]:
            known = {title: line(self.plain(r[column])) for title, column in theirs}
            known |= {title: line(text) for title, text in own.items()}
            self.heads[r["key"] and self.plain(r["key"])] = known

    @staticmethod
    def plain(text):
        out, beginning = [], True
        for at, sign in enumerate(text):
            if not (beginning and sign == "'" and begins_formula(text[at + 1:], at == 0)):
                out.append(sign)
            beginning = sign in PARTS
        return "".join(out)


# Behind these a cell begins for one spreadsheet or another.
PARTS = ";\t\r\n"


def begins_formula(cell, first):
    """Whether a spreadsheet could take it for a formula, which skips spaces, apostrophes and control characters."""
    rest = cell
    while rest and (rest[0] == "'" or (rest[0] == '"' and not first)
                    or ((rest[0].isspace() or unicodedata.category(rest[0]) == "Cc") and rest[0] not in PARTS)):
        rest = rest[1:]
    return (first and rest.startswith(("\t", "\r", "\n"))) or rest.startswith(("=", "+", "-", "@", "＝", "＋", "－", "＠"))


def guarded(cell, text, where):
    """A text cell of a CSV file: never a formula, and the text itself or the text behind one apostrophe."""
    if cell.startswith(FORMULA):
        sys.exit(f"{where}: {cell!r} could become a formula")
    same(Names.plain(cell), text, where)
    count("names in CSV")


class Wanted:
    """What a list must say, from the figures and the sheets."""

    def __init__(self, figures, names):
        self.names = names
        self.parts = {p["key"]: p for p in figures["parts"]}
        # By part that is no longer wanted: how far that is, and whether it had come.
        self.back = {r["part"]: (r["state"], r["came"]) for r in figures["returns"]}
        self.by_supplier = {}
        for order in figures["orders"]:
            self.by_supplier.setdefault(order["supplier"], []).append(order)

    def lines(self, supplier):
        for order in self.by_supplier[supplier]:
            for key in order["parts"]:
                yield order, self.parts[key], self.names.parts[key]

    def order_sums(self, order):
        """What is to be paid as a deposit, what was paid and what is still to be paid of an order."""
        if all(self.parts[key]["amount"] is None for key in order["parts"]) and Decimal(order["total"]) == 0:
            return (None, None, None)
        deposit = sum((Decimal(d["amount"]) for d in order["dues"] if d["kind"] == "deposit"), Decimal(0))
        return (deposit, Decimal(order["paid"]), Decimal(order["owed"]))

    def came(self, part, sheet):
        """What came of a part, damaged, and missing: by its deliveries, else all of it or nothing."""
        if part["came"] is not None:
            missing = Decimal(part["backorder"]) + Decimal(part["to_replace"])
            return (Decimal(part["came"]), Decimal(part["damaged"]), missing)
        if not (sheet["ordered_on"] or sheet["received_on"] or sheet["installed_on"]):
            return (None, None, None)
        bought = Decimal(part["quantity_to_buy"])
        return (bought, Decimal(0), Decimal(0)) if part["on_site"] else (Decimal(0), Decimal(0), bought)

    def sums(self, supplier):
        orders = self.by_supplier[supplier]
        return {k: sum((Decimal(o[k]) for o in orders), Decimal(0)) for k in ("goods", "freight", "tax", "total")}

    def return_by(self, part, sheet):
        days = self.names.returns.get(part["supplier"], "")
        if days == "" or not sheet["received_on"] or sheet["installed_on"]:
            return None
        return day(sheet["received_on"]) + datetime.timedelta(days=int(days))

    def amount(self, part, column):
        """An amount of a line; nobody has said the price where `amount` is null, and then nothing stands there but a share
        of the freight."""
        if part["amount"] is not None:
            return Decimal(part[column])
        alone = Decimal(part["freight"]) if column in ("freight", "total") else Decimal(0)
        return alone or None

    BACK = {
        ("to_decide", True): "to decide",
        ("to_decide", False): "to decide",
        ("going_back", True): "going back",
        ("going_back", False): "to cancel",
        ("went_back", True): "went back",
        ("went_back", False): "cancelled",
        ("kept", True): "kept",
        ("written_off", True): "written off",
    }

    def words(self, part, sheet):
        """What a list says of how far a part is."""
        back = self.back.get(part["key"])
        return self.BACK[back] if back else self.state(sheet)

    def state(self, sheet):
        if sheet["received_on"] or sheet["installed_on"]:
            return "on site"
        return "ordered" if sheet["ordered_on"] else "to order"


def check_csv(path, wanted, supplier):
    raw = path.read_bytes()
    same(raw.count(b"\r\n") > 0 and raw.endswith(b"\r\n"), True, f"{path}: line ends (RFC 4180)")
    rows = read_csv(path)
    lines = list(wanted.lines(supplier))
    same(len(rows), len(lines) + 1, f"{path}: rows")
    for row, (order, part, sheet) in zip(rows, lines):
        where = f"{path} {part['key']}"
        names, plain = wanted.names, Names.plain
        same("key" in row, False, f"{where}: what the program knows it by")
        guarded(row["article"], plain(sheet["article"]), where)
        own = names.orders.get(order["key"], {"number": "", "note": ""})
        guarded(row["order_number"], plain(own["number"]), where)
        guarded(row["order_note"], plain(own["note"]), where)
        for column, value in zip(("came", "damaged", "missing"), wanted.came(part, sheet)):
            same(row[column], "" if value is None else f"{value.normalize():f}", f"{where} {column}")
            count("what came, in CSV")
        first = order["parts"][0] == part["key"]
        for column, value in zip(("deposit", "paid", "owed"), wanted.order_sums(order)):
            said = Decimal(row[column]) if row[column] else None
            same(said, value if first else None, f"{where} {column}")
            count("what is paid and owed, in CSV")
        for title, text in names.heads[supplier].items():
            guarded(row[HEADS[title]], text, f"{where} {title}")
            count("heads in CSV")
        guarded(row["selection"], names.selections[part["selection"]], where)
        guarded(row["option"], plain(names.options[part["option"]]["name"]), where)
        guarded(row["finish"], plain(names.options[part["option"]]["finish"]), where)
        guarded(row["part"], plain(sheet["name"]), where)
        guarded(row["room"], names.rooms[part["room"]], where)
        guarded(row["phase"], names.phases.get(part["phase"], ""), where)
        guarded(row["unit"], plain(sheet["unit"]), where)
        for column in ("amount", "freight", "tax", "total"):
            said = Decimal(row[column]) if row[column] else None
            same(said, wanted.amount(part, column), f"{where} {column}")
            count("amounts in CSV")
        same(Decimal(row["quantity"]), Decimal(part["quantity_to_buy"]), f"{where} quantity")
        same(row["unit_price"] == "", sheet["unit_price"] == "", f"{where} unit price")
        same(Decimal(row["unit_price"] or 0), Decimal(sheet["unit_price"] or 0), f"{where} unit price")
        same(row["lead"].startswith("typically"), part["ask_by"] is not None, f"{where} lead")
        same(row["order"], f"placed {order['placed']}" if order["placed"] else "to order", where)
        same(row["state"], wanted.words(part, sheet), where)
        for column, value in (("order_by", part["order_by"]), ("ask_by", part["ask_by"]),
                              ("orderable_from", part["orderable_from"]), ("need_date", part["need_date"]),
                              ("expected", part["arrival"]), ("promised_on", sheet["promised_on"]),
                              ("return_by", wanted.return_by(part, sheet))):
            same(row[column], str(value or ""), f"{where} {column}")
            count("dates in CSV")
    sums = wanted.sums(supplier)
    unpriced = sum(part["amount"] is None for _, part, _ in lines)
    same(rows[-1]["order"] == "total", unpriced == 0, f"{path}: the total is whole")
    same(f"({unpriced} part" in rows[-1]["order"], unpriced > 0, f"{path}: what the total leaves out")
    for column, key in (("amount", "goods"), ("freight", "freight"), ("tax", "tax"), ("total", "total")):
        same(Decimal(rows[-1][column]), sums[key], f"{path} sum of {column}")
        count("sums in CSV")


HEADS = {"Supplier": "supplier", "Contact": "contact", "Phone": "phone", "Email": "email", "Account": "account",
         "For delivery": "for_delivery", "Ordered by": "ordered_by", "Call": "call", "Ship to": "ship_to"}


def cents(value):
    return Decimal(repr(value)).quantize(Decimal("0.01"), ROUND_HALF_UP) if value is not None else None


def check_xlsx(path, wanted, supplier):
    book = openpyxl.load_workbook(path)
    values = openpyxl.load_workbook(path, data_only=True)["Purchase list"]
    sheet = book["Purchase list"]
    same(sheet.freeze_panes, "A2", f"{path}: frozen header")
    header = {cell.value: cell.column for cell in sheet[1]}
    lines = list(wanted.lines(supplier))
    same(sheet.max_row, len(lines) + 2, f"{path}: rows")
    about = {row[0].value: row[1].value for row in book["About"].iter_rows(max_col=2)}
    for title, text in wanted.names.heads[supplier].items():
        same(about.get(title) or "", text, f"{path} About {title}")
        count("heads in XLSX")
    for n, (order, part, own) in enumerate(lines, start=2):
        where = f"{path} row {n}"
        at = lambda title: sheet.cell(n, header[title])
        names, plain = wanted.names, Names.plain
        same("Key" in header, False, f"{where}: what the program knows it by")
        order_row = names.orders.get(order["key"], {"number": "", "note": ""})
        for title, value in zip(("Came", "Damaged", "Missing"), wanted.came(part, own)):
            same(None if at(title).value is None else Decimal(repr(at(title).value)), value, f"{where} {title}")
            count("what came, in XLSX")
        first = order["parts"][0] == part["key"]
        for title, value in zip(("Deposit to pay", "Paid", "Still to pay"), wanted.order_sums(order)):
            same(cents(at(title).value), value if first else None, f"{where} {title}")
            count("what is paid and owed, in XLSX")
        for title, text in (("Article number", plain(own["article"])), ("Order number", plain(order_row["number"])),
                            ("Order note", plain(order_row["note"])), ("Selection", names.selections[part["selection"]]),
                            ("Option", plain(names.options[part["option"]]["name"])),
                            ("Finish", plain(names.options[part["option"]]["finish"])),
                            ("Part", plain(own["name"])), ("Room", names.rooms[part["room"]]),
                            ("Phase", names.phases.get(part["phase"], "")), ("Unit", plain(own["unit"])),
                            ("State", wanted.words(part, own))):
            cell = at(title)
            same((cell.value or "").replace("\r\n", "\n"), text.replace("\r\n", "\n"), f"{where} {title}")
            same(cell.data_type in ("s", "n"), True, f"{where} {title} is text, no formula")
            if text.startswith(FORMULA[:4]):
                same(cell.data_type, "s", f"{where} {title} is text")
                same(bool(cell.quotePrefix), True, f"{where} {title} is marked as text")
                count("guarded cells in XLSX")
            count("names in XLSX")
        for title, key in (("Amount", "amount"), ("Freight", "freight"), ("Tax", "tax")):
            same(at(title).data_type, "n", f"{where} {title} is a number")
            same(cents(at(title).value), wanted.amount(part, key), f"{where} {title}")
            count("amounts in XLSX")
        same(Decimal(repr(at("Quantity").value)), Decimal(part["quantity_to_buy"]), f"{where} quantity")
        total = wanted.amount(part, "total")
        same(at("Total").data_type, "n" if total is None else "f", f"{where} Total is a formula")
        same(cents(values.cell(n, header["Total"]).value), total, f"{where} Total as kept")
        count("amounts in XLSX")
        for title, value in (("Order by", day(part["order_by"])), ("Ask by", day(part["ask_by"])),
                             ("Not before", day(part["orderable_from"])), ("Need date", day(part["need_date"])),
                             ("Expected", day(part["arrival"])), ("Promised on", day(own["promised_on"])),
                             ("Return by", wanted.return_by(part, own))):
            cell = at(title)
            same(cell.value.date() if cell.value else None, value, f"{where} {title}")
            same(cell.value is None or cell.is_date, True, f"{where} {title} is a date")
            count("dates in XLSX")
    last = len(lines) + 2
    sums = wanted.sums(supplier)
    for title, key in (("Amount", "goods"), ("Freight", "freight"), ("Tax", "tax"), ("Total", "total")):
        cell = sheet.cell(last, header[title])
        letter = cell.column_letter
        same(re.fullmatch(rf"=ROUND\(SUM\({letter}2:{letter}{last - 1}\),\d\)", cell.value) is not None, True,
             f"{path} formula {cell.value}")
        column = [cents(values.cell(n, header[title]).value) or Decimal(0) for n in range(2, last)]
        same(sum(column, Decimal(0)), sums[key], f"{path} {title} added up")
        same(cents(values.cell(last, header[title]).value), sums[key], f"{path} {title} as kept")
        count("sums in XLSX")


def plain_line(text):
    """As a calendar may hold it: RFC 5545 section 3.1, CONTROL."""
    return "".join(" " if ord(c) < 32 and c != "\n" else c for c in text.replace("\r\n", "\n"))


def check_ics(path, wanted, suppliers):
    raw = path.read_bytes()
    for line in raw.split(b"\r\n"):
        same(len(line) <= 75 and b"\n" not in line and b"\r" not in line, True, f"{path}: {line!r}")
        line.decode("utf-8")
    calendar = icalendar.Calendar.from_ical(raw)
    same((calendar["VERSION"], "PRODID" in calendar), ("2.0", True), f"{path}: RFC 5545 section 3.6")
    found = {}
    for entry in calendar.subcomponents:
        # A task has its last day, an event its first (RFC 5545 sections 3.6.1 and 3.6.2).
        for key in ("UID", "DTSTAMP", "SEQUENCE", "DUE" if entry.name == "VTODO" else "DTSTART"):
            same(key in entry, True, f"{path} {entry.get('SUMMARY')}: {key}")
        same(entry["UID"] in found, False, f"{path}: {entry['UID']} stands twice")
        found[str(entry["UID"])] = entry
    wanted_entries = []
    for supplier in suppliers:
        for _, part, sheet in wanted.lines(supplier):
            state = wanted.state(sheet)
            title = f"{wanted.names.selections[part['selection']]}, {Names.plain(sheet['name'])}"
            dates = [("Ask the supplier for the lead time", day(part["ask_by"]), "VEVENT VTODO"),
                     ("Last day to order", day(part["order_by"]) if state != "on site" else None, "VEVENT VTODO"),
                     ("Needed on site", day(part["need_date"]), "VEVENT"),
                     ("Last day to send back", wanted.return_by(part, sheet), "VEVENT VTODO")]
            for about, date, kinds in dates:
                for kind in kinds.split():
                    if date is not None:
                        wanted_entries.append((kind, f"{about}: {title}", date, part, supplier, state, about))
    # What was told before and is said no more is taken back.
    for uid, (kind, title, date, whose) in wanted.names.sent.items():
        if whose in suppliers and uid in found and str(found[uid].get("DESCRIPTION")) == "No longer to be done.":
            entry = found.pop(uid)
            first = "DUE" if kind == "todo" else "DTSTART"
            same((str(entry["STATUS"]), str(entry["SUMMARY"]), entry[first].dt), ("CANCELLED", title, date), f"{path} {title}")
            count("entries taken back in iCalendar")
    same(len(found), len(wanted_entries), f"{path}: entries")
    by_title = {}
    for entry in found.values():
        by_title.setdefault((entry.name, str(entry["SUMMARY"])), []).append(entry)
    for kind, summary, date, part, supplier, state, about in wanted_entries:
        where = f"{path} {summary}"
        clean = "".join(" " if ord(c) < 32 and c != "\n" else c for c in summary.replace("\r\n", "\n"))
        entries = by_title.get((kind, clean), [])
        same(f"Key: {part['key']}" in str([str(e["DESCRIPTION"]) for e in entries]), False, where)
        option = plain_line(Names.plain(wanted.names.options[part["option"]]["name"]))
        first = "DUE" if kind == "VTODO" else "DTSTART"
        keyed = [e for e in entries if e[first].dt == date
                 and f"Option: {option}\n" in str(e["DESCRIPTION"]) + "\n"]
        same(len(keyed) >= 1, True, where)
        entry = keyed[0]
        entries.remove(entry)
        for title, text in wanted.names.heads[supplier].items():
            told = f"\n{title}: {plain_line(text)}\n" in "\n" + str(entry["DESCRIPTION"]) + "\n"
            same(told, text != "", f"{where} {title}")
            count("heads in iCalendar")
        same(entry[first].params.get("VALUE"), "DATE", where)
        if kind == "VTODO":
            # DUE is shown as the last day; beside a DTSTART it would have to be later (RFC 5545 section 3.8.2.3).
            same("DTSTART" in entry, False, where)
        else:
            same("DTEND" in entry or "DURATION" in entry, False, where)
            same(str(entry["TRANSP"]), "TRANSPARENT", where)
        back = part["key"] in wanted.back
        done = {"Needed on site": state == "on site", "Last day to send back": False}.get(about, state != "to order")
        gone = back and about != "Last day to send back"
        status = {"VTODO": ("NEEDS-ACTION", "COMPLETED", "CANCELLED"), "VEVENT": ("CONFIRMED", "CANCELLED", "CANCELLED")}[kind]
        status = status[2 if gone else int(done)]
        same(str(entry["STATUS"]), status, where)
        total = "Unit price: no price yet" if part["total"] is None else f"Total: {part['total']} "
        same(total in str(entry["DESCRIPTION"]), True, f"{where} {total}")
        if sheet["article"]:
            same(f"\nArticle number: {plain_line(Names.plain(sheet['article']))}\n" in str(entry["DESCRIPTION"]), True, where)
        count("dates in iCalendar")
        count("amounts in iCalendar")
    return set(found)


class Text(html.parser.HTMLParser):
    """The text of a page, and the cells of its tables."""

    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.words, self.skip, self.tags = [], False, []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self.skip = tag == "style"
        if tag in ("td", "th", "p", "h1", "h2", "dd", "dt", "span"):
            self.words.append("\0")

    def handle_endtag(self, tag):
        if tag == "style":
            self.skip = False

    def handle_data(self, data):
        if not self.skip:
            self.words.append(data)


def page_text(path):
    parser = Text()
    parser.feed(path.read_text(encoding="utf-8"))
    outside = [t for t, a in parser.tags if t in ("script", "img", "link", "iframe") or "src" in a or "onload" in a]
    same(outside, [], f"{path} needs nothing else")
    return "".join(parser.words)


def bare(text):
    """Text without spaces and line breaks, which a page may set as it likes, and without marks of direction."""
    return re.sub(r"[\s\x00-\x1f\u200b-\u200f\u202a-\u202e\u2066-\u2069\ufe0f\u00ad\ufffd]+", "", text)


def pdf_text(path):
    done = subprocess.run(["pdftotext", "-raw", str(path), "-"], capture_output=True, check=True)
    return done.stdout.decode("utf-8")


def check_printed(path, text, what, wanted, supplier, hard):
    flat = bare(text)
    text_as_read = text
    names = wanted.names

    def there(needle, where):
        if bare(needle) not in flat:
            sys.exit(f"{path} {where}: {needle!r} is not there")

    same(re.search(r"\b(article|number) *(,|$)", text), None, f"{path}: words with nothing behind them")
    for text_of_head in wanted.names.heads[supplier].values():
        if text_of_head and not hard:
            there(text_of_head, "above the lines")
            count(f"heads in {what}")
    for order, part, sheet in wanted.lines(supplier):
        where = part["key"]
        came, damaged, missing = wanted.came(part, sheet)
        if came and missing:
            there(f"came {came.normalize():f}", where)
            there(f"missing {missing.normalize():f}", where)
            count(f"what came, in {what}")
        if damaged:
            there(f"damaged {damaged.normalize():f}", where)
        own = names.orders.get(order["key"], {"number": "", "note": ""})
        for words in (Names.plain(sheet["article"]), Names.plain(own["number"]), Names.plain(own["note"])):
            if words and not hard:
                there(words, where)
                count(f"articles, numbers and notes in {what}")
        there("no price yet" if part["amount"] is None else grouped(part["amount"]), where)
        for date in (day(part["order_by"]), day(part["need_date"]), day(part["arrival"]), day(sheet["promised_on"]),
                     wanted.return_by(part, sheet)):
            if date:
                there(on_paper(date), where)
                # On one line, with nothing of it cut off.
                same(on_paper(date) in lines_of(text_as_read), True, f"{path} {where} {on_paper(date)} in one piece")
                count(f"dates in {what}")
        count(f"amounts in {what}")
        if not hard:
            for text in (names.selections[part["selection"]], Names.plain(sheet["name"]), names.rooms[part["room"]],
                         names.phases.get(part["phase"], ""),
                         Names.plain(names.options[part["option"]]["finish"])):
                there(text, where)
                count(f"names in {what}")
    orders = wanted.by_supplier[supplier]
    for order in orders:
        for key in ("goods", "freight", "tax", "total"):
            there(grouped(order[key]), f"{key} of the order")
            count(f"sums in {what}")
        for title, value in zip(("Deposit to pay", "Paid", "Still to pay"), wanted.order_sums(order)):
            if value is not None:
                there(f"{title}{grouped(value)}", f"{title} of the order")
                count(f"what is paid and owed, in {what}")
    there(grouped(str(wanted.sums(supplier)["total"])), "total")


def lines_of(text):
    """Text with its lines as they are and single spaces."""
    return re.sub(r"[^\S\n]+", " ", text.replace("\0", "\n"))


class Rows(html.parser.HTMLParser):
    """The rows of all tables of a page: the text of each cell by its heading."""

    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.rows, self.cell = [], None

    def handle_starttag(self, tag, attrs):
        if tag == "tr":
            self.rows.append({})
        self.cell = dict(attrs).get("data-t", self.cell) if tag != "th" else None

    def handle_endtag(self, tag):
        if tag in ("td", "tr"):
            self.cell = None

    def handle_data(self, data):
        if self.cell:
            self.rows[-1][self.cell] = self.rows[-1].get(self.cell, "") + data


def html_rows(path):
    """Rows as the text that leads to the part, its amount and its dates."""
    parser = Rows()
    parser.feed(path.read_text(encoding="utf-8"))
    rows = [row for row in parser.rows if "Part" in row]
    return [(bare(r["Part"]), [bare(r.get(c, "")) for c in ("Amount", "Order by", "Needed", "Expected")]) for r in rows]


def pdf_rows(path):
    """The same from a page as it is laid out: blocks between blank lines, of which the first line has the figures. A
    row that is parted by the end of a page is in two blocks, so each block is read with the next one as well."""
    done = subprocess.run(["pdftotext", "-layout", str(path), "-"], capture_output=True, check=True)
    blocks = [b for b in re.split(r"\n\s*\n", done.stdout.decode("utf-8")) if b.strip()]
    return [(bare(b), bare(b.lstrip("\f\n").split("\n")[0])) for b in blocks]


def check_rows(path, rows, what, wanted, supplier):
    """The amount and the dates of each part stand in its own row."""
    for _, part, sheet in wanted.lines(supplier):
        dates = [on_paper(day(part[c])) if part[c] else "" for c in ("order_by", "need_date", "arrival")]
        figures = [bare(t) for t in (grouped(part["amount"]) if part["amount"] else "", *dates)]
        title = f"{wanted.names.selections[part['selection']]}: {Names.plain(sheet['name'])}"
        # On a page what the row begins with; long names go on below, between words of the other columns.
        own = [row for text, row in rows if (row.startswith(bare(title)[:8]) if isinstance(row, str) else bare(title) in text)]
        if isinstance(own[0] if own else None, list):
            good = any(all(cell.startswith(f) for cell, f in zip(row, figures)) for row in own)
        else:
            good = any(re.search(".*".join(map(re.escape, figures)), row) for row in own)
        if not good:
            sys.exit(f"{path} row of {part['key']}: {figures} expected, {own} found")
        count(f"rows in {what}")


def check_papers(folder, figures, names):
    for form, read in (("html", page_text), ("pdf", pdf_text)):
        budget = bare(read(folder / f"budget.{form}"))
        money = figures["money"]
        rows = [money, *money["by_category"], *money["by_room"]]
        for row in rows:
            amounts = [row[k] for k in ("allowance", "chosen", "ordered", "paid", "to_pay", "forecast", "over_under")]
            # Where something without a price is left out, the forecast says so on the line under it.
            least = "atleast" if row["left_out"] else ""
            line = "".join(map(grouped, amounts[:6])) + least + grouped(amounts[6])
            if any(Decimal(a) for a in amounts) and line not in budget:
                sys.exit(f"{folder} budget.{form}: {line} is not there")
            count("amounts in papers", len(amounts))
        for key in ("contingency", "contingency_left"):
            same(grouped(money[key]) in budget, True, f"{folder} budget.{form} {key}")
            count("amounts in papers")
        schedule = bare(read(folder / f"schedule.{form}"))
        for phase in figures["phases"]:
            for key in ("early_start", "early_finish", "forecast_start", "forecast_finish"):
                if phase[key]:
                    same(bare(on_paper(day(phase[key]))) in schedule, True, f"schedule.{form} {phase['key']} {key}")
                    count("dates in papers")
        for part in figures["parts"]:
            if part["live"] and part["need_date"] and not names.parts[part["key"]]["installed_on"]:
                same(bare(Names.plain(names.parts[part["key"]]["name"])) in schedule or not names.parts[part["key"]]["name"].isascii(), True,
                     f"schedule.{form} {part['key']}")
                same(bare(on_paper(day(part["need_date"]))) in schedule, True, f"schedule.{form} {part['key']}")
                count("dates in papers")
        for outage in figures["in_use"]["out"]:
            for span in outage["plan"][:3] + outage["forecast"][:3]:
                for end in ("from", "to"):
                    same(bare(on_paper(day(span[end]))) in schedule, True, f"schedule.{form} {outage['what']}")
                    count("dates in papers")
        for selection in figures["selections"]:
            for spec in selection["specs"]:
                if spec["told_on"] or selection["open_specs"]:
                    same(bare(spec["what"]) in schedule, True, f"schedule.{form} {selection['key']} {spec['what']}")
                    count("names in papers")
                    for key in ("known_by", "told_on"):
                        if spec[key]:
                            same(bare(on_paper(day(spec[key]))) in schedule, True, f"schedule.{form} {spec['what']}")
                            count("dates in papers")
        for part in figures["parts"]:
            asked = [part[k] for k in ("ask_by", "orderable_from") if part[k]]
            if part["live"] and part["need_date"] and not names.parts[part["key"]]["installed_on"]:
                for text in asked:
                    same(bare(on_paper(day(text))) in schedule, True, f"schedule.{form} {part['key']}")
                    count("dates in papers")
        selections = bare(read(folder / f"selections.{form}"))
        for key, name in names.selections.items():
            if form == "html" or name.isascii():
                same(bare(name) in selections, True, f"selections.{form} {key}")
                count("names in papers")
        # Each selection stands on the board and the sheet of its room, with the option that counts.
        for paper in ("finish_board", "room_sheets"):
            said = bare(read(folder / f"{paper}.{form}"))
            live = {part["option"] for part in figures["parts"] if part["live"]}
            for name in [*names.selections.values(), *(Names.plain(names.options[key]["name"]) for key in live)]:
                if form == "html" or name.isascii():
                    same(bare(name) in said, True, f"{paper}.{form} {name}")
                    count("names on boards and sheets")
        same(len(read(folder / f"inspections.{form}")) > 100, True, f"inspections.{form}")
        if figures["kept_plans"]:
            check_since_agreed(bare(read(folder / f"since_agreed.{form}")), figures, f"since_agreed.{form}")
        check_how_sure(bare(read(folder / f"how_sure.{form}")), figures, f"how_sure.{form}")
        if figures.get("alternatives"):
            check_side_by_side(bare(read(folder / f"side_by_side.{form}")), figures, f"side_by_side.{form}")


def check_how_sure(said, figures, what):
    """The paper of how sure it is: the days, and the share of the target, of the same trials."""
    risk = figures["risk"]
    wanted = [on_paper(day(risk["finish"][key])) for key in ("p50", "p80", "p90")] if risk["finish"] else []
    wanted += [grouped(risk["total"][key]) for key in ("p50", "p80", "p90")]
    for text in wanted:
        same(bare(text) in said, True, f"{what}: {text}")
        count("chances in papers")


def check_side_by_side(said, figures, what):
    """The paper of alternatives: total and finish of each, and how far they are from now by plain subtraction."""
    for own in figures["alternatives"]:
        more = Decimal(own["total"]) - Decimal(figures["money"]["forecast"])
        same(more, Decimal(own["more"]), f"{what}: {own['key']}")
        now = {r["key"]: Decimal(r["forecast"]) for r in figures["money"]["by_room"]}
        same(sum(Decimal(r["forecast"]) - now[r["key"]] for r in own["by_room"]), more, f"{what}: the rooms of {own['key']}")
        wanted = [own["name"], grouped(own["total"]), on_paper(day(own["finish"]))]
        wanted += [grouped(str(abs(more))) + (" less" if more < 0 else " more")] if more else []
        for text in wanted:
            same(bare(text) in said, True, f"{what}: {text}")
            count("words of alternatives in papers")


def check_since_agreed(said, figures, what):
    """The paper of the plan agreed on: lines that add up to now, by plain sums over the log in the figures."""
    plan = figures["kept_plans"][-1]
    lines = figures["log"]
    place = next(i for i, l in enumerate(lines + [None]) if l is None or (l["total_before"], l["finish_before"]) == (plan["total"], plan["finish"]) and l["on"] >= plan["on"])
    own = lines[place:]
    money = sum((Decimal(l["total_after"]) - Decimal(l["total_before"]) for l in own), Decimal(0))
    same(money, Decimal(plan["money"]), f"{what}: the money of the lines")
    same(money, Decimal(figures["money"]["forecast"]) - Decimal(plan["total"]), f"{what}: the money from then to now")
    same(sum(l["days"] for l in own), plan["days"], f"{what}: the days of the lines")
    for before, after in zip(lines, lines[1:]):
        same(after["finish_before"], before["finish_after"], f"{what}: a line begins where the one before it ends")
        same(after["total_before"], before["total_after"], f"{what}: a line begins where the one before it ends")
    for key in ("days", "money"):
        same(sum(Decimal(c[key]) for c in plan["causes"]), Decimal(plan[key]), f"{what}: {key} by cause")
    now = sum(Decimal(r["now"]) for r in plan["rooms"])
    same(now, Decimal(figures["money"]["forecast"]), f"{what}: the rooms now")
    same(sum(Decimal(r["agreed"] or 0) for r in plan["rooms"]), Decimal(plan["total"]), f"{what}: the rooms then")
    wanted = [grouped(plan["total"]), grouped(figures["money"]["forecast"])]
    wanted += [on_paper(day(d)) for d in (plan["finish"], figures["forecast_finish"]) if d]
    wanted += [l["what"] for l in own] + [grouped(str(abs(Decimal(l["total_after"]) - Decimal(l["total_before"])))) for l in own if l["total_after"] != l["total_before"]]
    for text in wanted:
        same(bare(text) in said, True, f"{what}: {text}")
        count("words of the log in papers")


def check_crews(project, folder, figures, names):
    """The days of crews: a calendar by icalendar, a text, a page and a paper, against the figures."""
    needline("crew", project, "--out", folder, "--format", "ics,txt,html,pdf")
    phases = {p["key"]: p for p in figures["phases"]}
    wanted = {c["key"]: c for c in figures["crews"] if c["phases"]}
    same({p.stem for p in folder.iterdir()}, {f"crew_{key}" for key in wanted}, f"{folder}: files")
    for key, crew in wanted.items():
        calls = [c for c in figures["calls"] if c["crew"] == key]
        raw = (folder / f"crew_{key}.ics").read_bytes()
        same(max(len(line) for line in raw.split(b"\r\n")) <= 75, True, f"{key}: RFC 5545 section 3.1")
        events = icalendar.Calendar.from_ical(raw).subcomponents
        # An event of several days ends on the day after the last one (RFC 5545 section 3.6.1).
        found = sorted((e["DTSTART"].dt, e["DTEND"].dt) for e in events)
        days = [(day(phases[p]["forecast_start"]), day(phases[p]["forecast_finish"])) for p in crew["phases"]]
        same(found, sorted((a, b + datetime.timedelta(days=1)) for a, b in days), f"{key}: days in the calendar")
        count("days of crews in ICS", len(found))
        texts = [(folder / f"crew_{key}.txt").read_text(encoding="utf-8")]
        for call in calls:
            same(call["text"], texts[0], f"{key}: the text that is ready to send")
        texts += [page_text(folder / f"crew_{key}.html"), pdf_text(folder / f"crew_{key}.pdf")]
        for at, text in enumerate(texts):
            text = bare(text)
            for p in crew["phases"]:
                same(bare(on_paper(day(phases[p]["forecast_start"]))) in text, True, f"{key} {p}: first day, form {at}")
            for call in calls:
                same(bare(on_paper(day(call["old"]))) in text, True, f"{key} {call['phase']}: old day, form {at}")
                count("days that crews counted on")


def amounts_on_paper(text):
    """Amounts with grouped thousands, where programs are given them plain."""
    return re.sub(r"(-?\d+\.\d\d) (?=[A-Z]{3}\b)", lambda m: f"{grouped(m.group(1))} ", text)


def check_week(project, folder, figures, hard, has_sent):
    """What is to be done: JSON, a calendar by icalendar, a text, pages and a paper, against the figures."""
    longest = json.loads(needline("week", project, "--days", "28", "--format", "json"))
    keys = ("kind", "about", "last_day", "text")
    for days in ("7", "14", "28"):
        out = folder / days
        needline("week", project, "--days", days, "--out", out, "--format", "text,pdf,html,ics,json")
        lines = json.loads((out / "week.json").read_text(encoding="utf-8"))
        until = day(figures["as_of"]) + datetime.timedelta(days=int(days) - 1)
        same(lines, [line for line in longest if day(line["last_day"]) <= until], f"{out}: a longer look begins with it")
        if days == "7":
            same([{k: line[k] for k in keys} for line in lines], [{k: w[k] for k in keys} for w in figures["week"]], f"{out}: the week")
            text = needline("week", project)
            same(text, (out / "week.txt").read_text(encoding="utf-8"), f"{out}: what is printed")
        raw = (out / "week.ics").read_bytes()
        same(max(len(line) for line in raw.split(b"\r\n")) <= 75, True, f"{out}: RFC 5545 section 3.1")
        entries = icalendar.Calendar.from_ical(raw).subcomponents
        events = [e for e in entries if e.name == "VEVENT"]
        todos = [e for e in entries if e.name == "VTODO"]
        same(len({str(e["UID"]) for e in entries}), len(entries), f"{out}: identifiers differ")
        known = [e for e in events if str(e["STATUS"]) == "CANCELLED"]
        events, todos = ([e for e in all_of if str(e["STATUS"]) != "CANCELLED"] for all_of in (events, todos))
        same(len(known) == 0 or bool(has_sent), True, f"{out}: nothing is taken back that was not told")
        same([e["DTSTART"].dt for e in events[:len(lines)]], [day(line["last_day"]) for line in lines], f"{out}: days of events")
        events = events[:len(lines)]
        # Calendars show a task on the day in DUE.
        due = [day(line["last_day"]) for line in lines if line["kind"] != "be_there"]
        same(any("DTSTART" in e for e in todos), False, f"{out}: tasks have their last day alone")
        todos = todos[:len(due)]
        same([e["DUE"].dt for e in todos], due, f"{out}: days of tasks")
        forms = [(out / "week.txt").read_text(encoding="utf-8"), page_text(out / "week.html"), page_text(out / "week_phone.html")]
        forms += [] if hard else [pdf_text(out / "week.pdf")]
        forms = [bare(form) for form in forms]
        for event, line in zip(events, lines):
            what = bare(amounts_on_paper(line["what"]))
            same(what in bare(str(event["SUMMARY"])), True, f"{out}: {line['what']} in the calendar")
            date = day(line["last_day"])
            year = "" if date.year == day(figures["as_of"]).year else f", {date.year}"
            shown = bare(f"{date:%a %b} {date.day}{year}")
            for at, form in enumerate(forms):
                same(what in form and shown in form, True, f"{out}: {line['what']} on {shown}, form {at}")
            count("lines of weeks")
        phone = Text()
        phone.feed((out / "week_phone.html").read_text(encoding="utf-8"))
        tapped = [a["href"] for t, a in phone.tags if t == "a"]
        numbers = [re.sub(r"[^\d+]", "", line["phone"]) for line in lines if line["phone"]]
        same(tapped, [f"tel:{number}" for number in numbers], f"{out}: numbers to tap")
        count("numbers to tap", len(tapped))


def check(project, work, hard=False):
    name = project.stem
    sheets = work / f"{name} sheets"
    lists, again, papers = work / f"{name} lists", work / f"{name} again", work / f"{name} papers"
    needline("export", project, "--out", sheets)
    figures = json.loads(needline("figures", project, "--risk", "10000", "--seed", "1"))
    names = Names(sheets)
    wanted = Wanted(figures, names)
    formats = "csv,xlsx,pdf,ics,html"
    out = needline("buy", project, "--out", lists, "--format", formats)
    needline("buy", project, "--out", again, "--format", formats)
    for path in lists.iterdir():
        same((again / path.name).read_bytes(), path.read_bytes(), f"{path} written twice")
    stems = {}
    for line in out.splitlines():
        if ".csv: " in line:
            stem, rest = line.split(".csv: ", 1)
            total = re.search(r" (-?[\d.]+) [A-Z]{3}(?:; .*)?$", rest).group(1)
            stems[stem] = Decimal(total)
    found = {}
    for stem in stems:
        listed = sorted((Names.plain(r["supplier"]), Names.plain(r["part"]), r["amount"]) for r in read_csv(lists / f"{stem}.csv")[:-1])
        of = lambda s: sorted((names.heads[s]["Supplier"], Names.plain(sheet["name"]), str(wanted.amount(p, "amount") or ""))
                              for _, p, sheet in wanted.lines(s))
        supplier = [s for s in wanted.by_supplier if of(s) == listed]
        same(len(supplier), 1, f"{lists}/{stem}: whose list it is")
        found[supplier[0]] = stem
    same(set(found), set(wanted.by_supplier), f"{lists}: a list for each supplier")
    uids = set()
    for supplier, stem in found.items():
        same(stems[stem], wanted.sums(supplier)["total"], f"{stem}: the total that was printed")
        check_csv(lists / f"{stem}.csv", wanted, supplier)
        check_xlsx(lists / f"{stem}.xlsx", wanted, supplier)
        uids |= check_ics(lists / f"{stem}.ics", wanted, [supplier])
        check_printed(lists / f"{stem}.html", page_text(lists / f"{stem}.html"), "HTML", wanted, supplier, False)
        check_printed(lists / f"{stem}.pdf", pdf_text(lists / f"{stem}.pdf"), "PDF", wanted, supplier, hard)
        check_rows(lists / f"{stem}.html", html_rows(lists / f"{stem}.html"), "HTML", wanted, supplier)
        if not hard:
            check_rows(lists / f"{stem}.pdf", pdf_rows(lists / f"{stem}.pdf"), "PDF", wanted, supplier)
        count("lists")
    if len(found) > 1:
        same(check_ics(lists / "all_suppliers.ics", wanted, list(found)), uids, f"{lists}/all_suppliers.ics")
    needline("print", project, "--out", papers, "--format", "pdf,html")
    check_papers(papers, figures, names)
    if figures["crews"]:
        check_crews(project, work / f"{name} crews", figures, names)
    check_week(project, work / f"{name} week", figures, hard, names.sent)
    if hard:
        text = "".join(bare(pdf_text(lists / f"{stem}.pdf")) for stem in found.values())
        for part in ("Hülsen", "12\"x24\"", "=1+2", "@sum", "Ω-Profil", "Труба", "日本", "🚿", "שלום", "עולם", "בקבוק", "אריחים"):
            same(bare(part) in text, True, f"{part} in PDF")
            count("hard names in PDF")
    return work / f"{name} sheets"


NASTY = {
    "settings": 'key,value\nname,"House, ""=1+2"" \U0001f6bf שלום"\nstart,2026-06-01\nas_of,2026-06-15\n'
                "currency,USD\nhold,2\n",
    "rooms": 'key,name,length,width,height\nr1,"Bath, ""upper""\nfloor",10,8,8\nr2,\'=1+2,12,12,8\n',
    "phases": "key,name,days\np1,'+Rough,5\np2,\"Труба; \\ Ω-Profil\",4\n",
    "links": "before,after\np1,p2\n",
    "suppliers": 'key,name,tax_pct,freight_flat,return_days\ns1,"\'=HYPERLINK(""http://x"",""y"")",7.25,45.5,30\n'
                 's2,"שלום עולם, בעמ",0,0,\ns3,日本タイル 🚿,8.875,12.35,14\n',
    "selections": "key,room,category,name,allowance\n"
                  'k1,r1,\'@sum,"\'=1+2"";=1+2",500\nk2,r1,Tile,"אריחים, 12""x24""",800.10\n'
                  "k3,r2,\"A,B\",\"line one\nline two\",99.99\nk4,r2,Trim,\"<b>&amp;</b> 👩‍🔧\",10\n",
    "options": "selection,key,name,finish,state\n"
               'k1,o1,"Hülsen, ""fein""",\'-brushed,chosen\nk2,o2,Wandfliese 日本,"rot; blau",chosen\n'
               "k3,o3,'\tTab first,,leaning\nk4,o4,plain,מט,chosen\n",
    "parts": "option,key,name,supplier,phase,quantity,unit,pack,waste_pct,unit_price,discount_pct,lead,lead_unit,"
             "ordered_on,promised_on,received_on,paid\n"
             "o1,'=key,\"'=1+2\"\";=1+2\",s1,p1,3,each,,,19.99,10,2,weeks,,,,\n"
             "o2,k2a,\"Fliese 12\"\"x24\"\", Труба\",s1,p2,100,sq ft,10,10,3.333,,10,days,2026-06-02,2026-07-01,,50\n"
             "o2,k2b,🚿 בקבוק,s2,p2,1,'@sum,,,1250.555,,3,weeks,,,,\n"
             "o3,k3a,\"a, b; c\\d\nsecond line\",s3,p1,7,lf,,,0.125,,1,days,2026-06-01,,2026-06-10,\n"
             "o4,k4a,Ω-Profil,,p2,2,each,,,5,,0,days,,,,\n",
}


def main():
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        nasty = work / "nasty"
        nasty.mkdir()
        for name, text in NASTY.items():
            (nasty / f"{name}.csv").write_text(text, encoding="utf-8", newline="")
        needline("import", nasty, "--out", work / "nasty.ron")
        for project in (ROOT / "sample_projects/orchard_house.ron", ROOT / "sample_projects/hall_bath.ron"):
            check(project, work)
        sheets = check(work / "nasty.ron", work, hard=True)
        # What was exported comes in again and gives the same figures: the guard is taken off on the way in.
        needline("import", sheets, "--out", work / "again.ron")
        same(needline("figures", work / "again.ron"), needline("figures", work / "nasty.ron"), "figures after a round")
        needline("export", work / "again.ron", "--out", work / "again sheets")
        for path in sheets.iterdir():
            same((work / "again sheets" / path.name).read_bytes(), path.read_bytes(), f"{path} after a round")
            count("sheets there and back")
    for what in sorted(counts):
        print(f"{counts[what]:6} {what}")
    print(f"all equal; icalendar {icalendar.__version__}, openpyxl {openpyxl.__version__}")


main()
