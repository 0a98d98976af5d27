#!/usr/bin/env python3
"""Compares what Needline takes in from other programs' files with what was written into them.

    python3 tests/outside/check_list_import.py path/to/needline

Price lists are written by openpyxl and the csv module, in the manner of several countries, with amounts made here from a
fixed seed; Needline imports them through its mapping, and the sheets it writes afterwards are read by the csv module
again. Every price, lead time and promised day is compared. The sheets of a project are put into one workbook by openpyxl
and imported. Prints what was compared, and ends with an error when anything differs.
"""

import csv
import datetime
import pathlib
import random
import subprocess
import sys
import tempfile
from decimal import Decimal

import openpyxl

ROOT = pathlib.Path(__file__).resolve().parents[2]
NEEDLINE = sys.argv[1]
SHEETS = ROOT / "sample_projects" / "lists" / "guest_bath"
counts = {}


def count(what, n=1):
    counts[what] = counts.get(what, 0) + n


def same(found, wanted, where):
    if found != wanted:
        sys.exit(f"{where}: found {found!r}, wanted {wanted!r}")


def needline(*args, code=0):
    done = subprocess.run([NEEDLINE, *map(str, args)], capture_output=True, text=True, check=False)
    if done.returncode != code:
        sys.exit(f"needline {' '.join(map(str, args))}: {done.returncode} {done.stdout}{done.stderr}")
    return done.stdout + done.stderr


def read_csv(path):
    with open(path, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def grouped(number, group, decimal, indian=False):
    whole, cents = f"{number:.2f}".split(".")
    head, tail = whole[:-3], whole[-3:]
    parts = [tail]
    size = 2 if indian else 3
    while head:
        parts.insert(0, head[-size:])
        head = head[:-size]
    return group.join(parts) + decimal + cents


# How amounts, dates and lead times are written (CLDR 44, numbers.json and ca-gregorian.json of each locale).
MANNERS = {
    "de": ("EUR", ";", "cp1252", lambda n: grouped(n, ".", ",") + " €", "%d.%m.%Y", "{} Wochen"),
    "fr": ("EUR", ";", "utf-8", lambda n: grouped(n, "\u202f", ",") + "\u00a0€", "%d/%m/%Y", "{} semaines"),
    "de-CH": ("CHF", ";", "utf-8-sig", lambda n: "CHF " + grouped(n, "’", "."), "%d.%m.%Y", "{} Wochen"),
    "en-US": ("USD", ",", "utf-8", lambda n: "$" + grouped(n, ",", "."), "%m/%d/%Y", "{} weeks"),
    "en-IN": ("INR", "\t", "utf-16", lambda n: "₹" + grouped(n, ",", ".", True), "%d/%m/%Y", "{} weeks"),
}
HEADINGS = {
    "de": ["Artikelnummer", "Bezeichnung", "Einzelpreis", "Lieferzeit", "Liefertermin"],
    "fr": ["Référence", "Désignation", "Prix unitaire", "Délai de livraison", "Date de livraison"],
    "de-CH": ["Art.-Nr.", "Bezeichnung", "Preis netto", "Lieferfrist", "Liefertermin"],
    "en-US": ["Item number", "Description", "Unit price", "Lead time", "Promised on"],
    "en-IN": ["Item code", "Description", "Price", "Lead time", "Delivery date"],
}


def project(folder, currency):
    """The guest bath in a currency, with every part of the shop ordered, so that days can be promised."""
    sheets = folder / f"sheets_{currency}"
    sheets.mkdir()
    for source in SHEETS.glob("*.csv"):
        text = source.read_text(encoding="utf-8")
        if source.stem == "settings":
            text = text.replace("currency,EUR", f"currency,{currency}")
        if source.stem == "parts":
            lines = list(csv.DictReader(text.splitlines()))
            with open(sheets / source.name, "w", encoding="utf-8", newline="") as file:
                out = csv.DictWriter(file, lines[0].keys())
                out.writeheader()
                for line in lines:
                    out.writerow({**line, "ordered_on": "2026-10-01"})
            continue
        (sheets / source.name).write_text(text, encoding="utf-8")
    path = folder / f"bath_{currency}.ron"
    needline("import", sheets, "--out", path, "--force")
    for source in sheets.glob("*"):
        source.unlink()
    sheets.rmdir()
    return path


def wanted_rows(seed):
    """Article number to price, weeks and day; prices from cents to millions."""
    dice = random.Random(seed)
    parts = [line for line in read_csv(SHEETS / "parts.csv") if line["article"]]
    rows = {}
    for at, line in enumerate(parts):
        price = Decimal(dice.randrange(1, 10 ** (3 + at % 7))) / 100
        day = datetime.date(2026, 11, 1) + datetime.timedelta(days=dice.randrange(13, 60))
        rows[line["article"]] = (price, dice.randrange(1, 30), day)
    # One day that settles which figure of a date is the month.
    first = next(iter(rows))
    rows[first] = (Decimal("1234.50"), 7, datetime.date(2026, 12, 24))
    return rows


def compare(path, rows, where):
    folder = path.with_suffix("")
    needline("export", path, "--out", folder, "--force")
    seen = 0
    for part in read_csv(folder / "parts.csv"):
        if part["article"] not in rows:
            continue
        price, weeks, day = rows[part["article"]]
        place = f"{where}, {part['key']}"
        same(Decimal(part["unit_price"]), price, f"{place}: price")
        same((part["lead"], part["lead_unit"]), (str(weeks), "weeks"), f"{place}: lead")
        same(datetime.date.fromisoformat(part["promised_on"]), day, f"{place}: promised")
        seen += 1
    same(seen, len(rows), f"{where}: parts")
    count("prices to the cent", seen)
    count("lead times", seen)
    count("promised days", seen)


def accept(path, source):
    """Accepts every change by name, since those of ordered parts wait to be looked at."""
    preview = needline("import-list", source, "--into", path, "--supplier", "fliesenhandel", "--preview")
    changes = [line.split(" row ")[0] for line in preview.splitlines() if " -> " in line]
    needline("import-list", source, "--into", path, "--supplier", "fliesenhandel", "--accept", ",".join(changes))
    count("changes accepted", len(changes))


def csv_lists(folder):
    for seed, (locale, (currency, sign, encoding, amount, order, lead)) in enumerate(MANNERS.items()):
        rows = wanted_rows(seed)
        path = project(folder, currency)
        source = folder / f"list_{locale}.csv"
        with open(source, "w", encoding=encoding, newline="") as file:
            out = csv.writer(file, delimiter=sign)
            out.writerow(["A list", "", "", "", ""])
            out.writerow(HEADINGS[locale])
            for article, (price, weeks, day) in rows.items():
                out.writerow([article, "x", amount(price), lead.format(weeks), day.strftime(order)])
        accept(path, source)
        compare(path, rows, f"CSV {locale}")
        count("CSV lists")


def workbook_lists(folder):
    formats = {"EUR": "#,##0.00 [$€-407]", "CHF": '"CHF" #,##0.00', "USD": '"$"#,##0.00', "INR": "[$₹-4009]#,##0.00"}
    for seed, (locale, (currency, *_)) in enumerate(MANNERS.items()):
        rows = wanted_rows(seed + 50)
        path = project(folder, currency)
        book = openpyxl.Workbook()
        sheet = book.active
        sheet.title = "Liste"
        sheet.merge_cells("A1:E1")
        sheet["A1"] = "A list"
        sheet.append([])
        sheet.append(HEADINGS[locale])
        for article, (price, weeks, day) in rows.items():
            # openpyxl writes the binary number; it must come back as the decimal it stands for.
            sheet.append([article, "x", float(price), f"{weeks} weeks", day])
            sheet.cell(sheet.max_row, 3).number_format = formats[currency]
            sheet.cell(sheet.max_row, 5).number_format = "dd.mm.yyyy"
        sheet.append(["Total", "", f"=SUM(C4:C{sheet.max_row})"])
        source = folder / f"list_{locale}.xlsx"
        book.save(source)
        accept(path, source)
        compare(path, rows, f"XLSX {locale}")
        count("XLSX lists")


def formula_without_result(folder):
    """openpyxl keeps no results of formulas, so a price by formula is a bad row and nothing is written."""
    path = project(folder, "EUR")
    before = path.read_bytes()
    book = openpyxl.Workbook()
    book.active.append(["Artikelnummer", "Einzelpreis"])
    book.active.append(["FL-2040", "=40+2"])
    source = folder / "formula.xlsx"
    book.save(source)
    said = needline("import-list", source, "--into", path, "--accept", "all", code=1)
    same("formula whose result was not kept" in said and "row 2, column Einzelpreis" in said, True, said)
    same(path.read_bytes(), before, "nothing was written")
    count("formulas without a result refused")


def project_in_a_workbook(folder):
    for name in ["orchard_house", "hall_bath"]:
        book = openpyxl.Workbook()
        book.remove(book.active)
        for source in sorted((ROOT / "sample_projects" / name).glob("*.csv")):
            sheet = book.create_sheet(source.stem)
            with open(source, encoding="utf-8", newline="") as file:
                for row in csv.reader(file):
                    sheet.append([None] * len(row))
                    for column, cell in enumerate(row, 1):
                        place = sheet.cell(sheet.max_row, column)
                        try:
                            place.value = datetime.date.fromisoformat(cell)
                        except ValueError:
                            place.value = cell or None
                            place.data_type = "s" if cell else "n"
        file = folder / f"{name}.xlsx"
        book.save(file)
        needline("import", file, "--out", folder / f"{name}.ron")
        needline("import", ROOT / "sample_projects" / name, "--out", folder / f"{name}_folder.ron")
        same(
            (folder / f"{name}.ron").read_text(encoding="utf-8"),
            (folder / f"{name}_folder.ron").read_text(encoding="utf-8"),
            f"{name} as a workbook",
        )
        count("projects in a workbook")


with tempfile.TemporaryDirectory() as temporary:
    FOLDER = pathlib.Path(temporary)
    csv_lists(FOLDER)
    workbook_lists(FOLDER)
    formula_without_result(FOLDER)
    project_in_a_workbook(FOLDER)
    print("equal: " + ", ".join(f"{n} {what}" for what, n in counts.items()))
