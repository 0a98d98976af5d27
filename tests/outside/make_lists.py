"""Price lists of suppliers in many layouts, each with what is true of it.

Made from a fixed seed, in the manner of five countries (marks, dates and codes by CLDR 44; headings as the trades write
them, from memory). A layout is written as a text file in some encoding or by openpyxl as a workbook. Beside it stands the
truth, worked out here in Decimal and by nothing of Needline: for each article what one of the units it is counted in
costs in the end, when it comes, how long it takes. `None` is where the list does not say it, or says it so that nobody
could know; then nothing may be taken.
"""

import csv
import datetime
import random
from dataclasses import dataclass, field
from decimal import Decimal

import openpyxl

D = datetime.date


@dataclass
class Country:
    """How lists are written somewhere."""

    name: str
    currency: str
    sign: str
    other: str
    other_sign: str
    decimal: str
    group: str
    dates: str
    short_dates: str
    area: str
    words: dict


COUNTRIES = [
    Country("us", "USD", "$", "CAD", "CA$", ".", ",", "%m/%d/%Y", "%m/%d/%y", "sq ft", {
        "article": "Item number", "name": "Description", "price": "Price", "list": "List price", "net": "Net price",
        "discount": "Discount %", "unit": "Unit", "lead": "Lead time", "eta": "ETA", "ships": "Ships on",
        "stock": "In stock on", "old": "Old price", "new": "New price", "regular": "Regular price", "sale": "Sale price",
        "gross": "Price incl. tax", "total": "Total", "currency": "Currency", "weeks": "weeks", "per": "per",
        "note": "All prices in {}", "value": "Value", "quantity": "Qty", "area": "sq ft", "box": "carton", "pair": "pair",
        "foot": "foot", "offer": "Offer", "pack": "Per box"}),
    Country("gb", "GBP", "£", "EUR", "€", ".", ",", "%d/%m/%Y", "%d/%m/%y", "m²", {
        "article": "Product code", "name": "Product name", "price": "Unit cost", "list": "RRP", "net": "Trade price",
        "discount": "Discount", "unit": "UOM", "lead": "Lead time", "eta": "Expected", "ships": "Ship date",
        "stock": "Available from", "old": "Was price", "new": "Price now", "regular": "Standard price", "sale": "Special price",
        "gross": "Price inc VAT", "total": "Line total", "currency": "Currency", "weeks": "weeks", "per": "per",
        "note": "Prices are in {}", "value": "Figure", "quantity": "Quantity", "area": "m2", "box": "box", "pair": "pair",
        "foot": "foot", "offer": "Deal", "pack": "Pack size"}),
    Country("de", "EUR", "€", "CHF", "CHF", ",", ".", "%d.%m.%Y", "%d.%m.%y", "m²", {
        "article": "Artikelnummer", "name": "Bezeichnung", "price": "Einzelpreis", "list": "Listenpreis", "net": "Nettopreis",
        "discount": "Rabatt %", "unit": "Mengeneinheit", "lead": "Lieferzeit", "eta": "Liefertermin", "ships": "Versand am",
        "stock": "Lieferbar ab", "old": "Preis alt", "new": "Preis neu", "regular": "Normalpreis", "sale": "Aktionspreis",
        "gross": "Bruttopreis", "total": "Gesamtpreis", "currency": "Währung", "weeks": "Wochen", "per": "je",
        "note": "Preise in {}", "value": "Wert", "quantity": "Menge", "area": "qm", "box": "Karton", "pair": "Paar",
        "foot": "foot", "offer": "Angebot", "pack": "VPE"}),
    Country("fr", "EUR", "€", "USD", "$", ",", "\u202f", "%d/%m/%Y", "%d/%m/%y", "m²", {
        "article": "Référence", "name": "Désignation", "price": "Prix unitaire", "list": "Prix public", "net": "Prix net",
        "discount": "Remise %", "unit": "Unité", "lead": "Délai de livraison", "eta": "Date de livraison",
        "ships": "Expédié le", "stock": "Disponible le", "old": "Ancien prix", "new": "Nouveau prix",
        "regular": "Prix normal", "sale": "Prix promo", "gross": "Prix TTC", "total": "Montant", "currency": "Devise",
        "weeks": "semaines", "per": "par", "note": "Tous les prix en {}", "value": "Valeur", "quantity": "Quantité",
        "area": "m2", "box": "boîte", "pair": "paire", "foot": "foot", "offer": "Offre", "pack": "Conditionnement"}),
    Country("es", "EUR", "€", "MXN", "MXN", ",", ".", "%d/%m/%Y", "%d/%m/%y", "m²", {
        "article": "Código", "name": "Descripción", "price": "Precio unitario", "list": "Precio de lista",
        "net": "Precio neto", "discount": "Descuento", "unit": "Unidad", "lead": "Plazo de entrega",
        "eta": "Fecha de entrega", "ships": "Fecha de envío", "stock": "Disponible desde", "old": "Precio anterior",
        "new": "Precio nuevo", "regular": "Precio normal", "sale": "Precio oferta", "gross": "Precio con IVA",
        "total": "Importe", "currency": "Moneda", "weeks": "semanas", "per": "por", "note": "Precios en {}",
        "value": "Valor", "quantity": "Cantidad", "area": "m2", "box": "caja", "pair": "par", "foot": "foot",
        "offer": "Oferta especial", "pack": "Unidades por caja"}),
]


@dataclass
class Article:
    """A part of the project, as it is before the list."""

    number: str
    unit: str
    price: Decimal
    ordered: D | None


def articles(country):
    """What the project buys: by area, by the piece, by the box, by the pair, by the foot; some of it ordered."""
    rows = []
    for at, unit in enumerate([country.area] * 3 + ["each"] * 4 + ["box"] * 2 + ["pair"] * 2 + ["ft"] * 2):
        ordered = D(2026, 10, 5) if at % 3 == 2 else None
        rows.append(Article(f"KX-{1040 + 13 * at}", unit, Decimal(3000 + 137 * at) / 100, ordered))
    return rows


@dataclass
class Layout:
    """A list: its file, and the truth of it."""

    name: str
    country: Country
    truth: dict = field(default_factory=dict)
    rows: list = field(default_factory=list)
    book: bool = False
    delimiter: str = ";"
    encoding: str = "utf-8"
    merged: list = field(default_factory=list)
    before: list = field(default_factory=list)
    formats: dict = field(default_factory=dict)

    def write(self, folder):
        path = folder / f"{self.country.name}_{self.name}.{'xlsx' if self.book else 'csv'}"
        if not self.book:
            with open(path, "w", encoding=self.encoding, newline="") as file:
                csv.writer(file, delimiter=self.delimiter).writerows(self.rows)
            return path
        book = openpyxl.Workbook()
        book.remove(book.active)
        for name, rows, state in [*self.before, ("List", self.rows, "visible")]:
            sheet = book.create_sheet(name)
            sheet.sheet_state = state
            for row in rows:
                sheet.append([float(c) if isinstance(c, Decimal) else c for c in row])
            if name == "List":
                for (_, column), number_format in ((k, v) for k, v in self.formats.items()):
                    for row in range(1, sheet.max_row + 1):
                        sheet.cell(row, column + 1).number_format = number_format
                for spot in self.merged:
                    sheet.merge_cells(spot)
        book.active = len(book.worksheets) - 1
        book.save(path)
        return path


def grouped(number, country):
    whole, cents = f"{number:.2f}".split(".")
    parts = []
    while len(whole) > 3:
        parts.insert(0, whole[-3:])
        whole = whole[:-3]
    return country.group.join([whole, *parts]) + country.decimal + cents


class Maker:
    """Makes the layouts of one country."""

    def __init__(self, country):
        self.country = country
        self.words = country.words
        self.dice = random.Random(country.name)
        self.layouts = []

    def prices(self):
        """New prices, none of which is far from what it was."""
        all_of = articles(self.country)
        return {a.number: (a, (a.price * Decimal(self.dice.randrange(70, 190)) / 100).quantize(Decimal("0.01"))) for a in all_of}

    def text(self, number, layout):
        return number if layout.book else grouped(number, self.country)

    def put(self, name, columns, only=None, asked=False, notes=(), extra=None, **how):
        """A layout of columns: each a heading and what stands in it for an article and its new price, and what it means.

        `columns` gives for each (heading, cell of (article, price, layout)); `truth` of a layout is the price that is paid
        in the end, unless it is asked about.
        """
        layout = Layout(name, self.country, **{k: v for k, v in how.items() if k in Layout.__dataclass_fields__})
        final = how.get("final", lambda article, price: price)
        layout.rows.extend([list(note) for note in notes])
        layout.rows.append([self.words["article"], self.words["name"], *(heading for heading, _ in columns)])
        for number, (article, price) in self.prices().items():
            if only and article.unit not in only:
                continue
            cells = [cell(article, price, layout) for _, cell in columns]
            layout.rows.append([number, f"Thing {number}", *cells])
            truth = {} if asked else {"price": final(article, price)}
            truth |= {key: of(article) for key, of in how.get("also", {}).items()}
            layout.truth[number] = truth
        if extra:
            extra(layout)
        self.layouts.append(layout)
        return layout

    def make(self):
        w, c = self.words, self.country
        price = lambda a, p, l: self.text(p, l)
        marked = lambda sign: lambda a, p, l: f"{grouped(p, c)} {sign}" if c.decimal == "," else f"{sign}{grouped(p, c)}"
        # Discounts of which the list price is made, so that the price in the end is exact.
        twenty = lambda a, p, l: self.text((p / Decimal("0.8")).quantize(Decimal("0.01")), l)
        after = lambda factor: lambda a, p: (p / factor).quantize(Decimal("0.01")) * factor
        fixed = lambda value: lambda a, p, l: value
        ways = [dict(delimiter=";"), dict(delimiter="\t", encoding="utf-16"), dict(delimiter="|", encoding="utf-8-sig"), dict(book=True)]
        if c.decimal == ".":
            ways.append(dict(delimiter=","))
        latin = dict(delimiter=";", encoding="cp1252") if c.group != "\u202f" else dict(delimiter=";")
        ways.append(latin)
        for at, way in enumerate(ways):
            self.put(f"plain_{at}", [(w["price"], price)], **way)
            self.put(f"titled_{at}", [(w["price"], price)], notes=[["A list", "", ""], [], ["Valid from 2026", "", ""]], **way)
        self.put("sign_in_cells", [(w["price"], marked(c.sign))])
        self.put("currency_format", [(w["price"], price)], book=True, formats={("all", 2): f'#,##0.00 "{c.currency}"'})
        self.put("own_currency_in_heading", [(f"{w['price']} ({c.currency})", price)])
        self.put("own_currency_in_column", [(w["price"], price), (w["currency"], fixed(c.currency))])
        self.put("own_currency_above", [(w["price"], price)], notes=[[w["note"].format(c.currency), "", ""]])
        # Another currency, wherever it stands, is not taken.
        self.put("other_currency_in_heading", [(f"{w['price']} ({c.other})", price)], asked=True)
        self.put("other_currency_in_column", [(w["price"], price), (w["currency"], fixed(c.other))], asked=True)
        self.put("other_currency_above", [(w["price"], price)], notes=[[w["note"].format(c.other), "", ""]], asked=True)
        self.put("other_currency_above_book", [(w["price"], price)], notes=[[w["note"].format(c.other_sign), "", ""]], asked=True, book=True)
        self.put("other_currency_in_cells", [(w["price"], marked(c.other_sign))], asked=True)
        self.put("other_currency_format", [(w["price"], price)], book=True, asked=True, formats={("all", 2): f'#,##0.00 "{c.other}"'})
        # What is paid in the end, of list price, discount and net price.
        self.put("list_alone", [(w["list"], price)])
        self.put("net_alone", [(w["net"], price)])
        self.put("list_and_discount", [(w["list"], twenty), (w["discount"], fixed("20"))], final=after(Decimal("0.8")))
        self.put("list_and_discount_format", [(w["list"], twenty), (w["discount"], fixed(Decimal("0.2")))], final=after(Decimal("0.8")), book=True, formats={("all", 3): "0%"})
        self.put("list_discount_net", [(w["list"], twenty), (w["discount"], fixed("20")), (w["net"], price)])
        self.put("list_discount_net_book", [(w["list"], twenty), (w["discount"], fixed(20)), (w["net"], price)], book=True)
        self.put("net_first", [(w["net"], price), (w["list"], twenty), (w["discount"], fixed("20"))])
        self.put("list_and_net", [(w["list"], twenty), (w["net"], price)])
        self.put("net_and_discount", [(w["net"], twenty), (w["discount"], fixed("20"))], asked=True)
        self.put("chain", [(w["list"], lambda a, p, l: self.text((p / Decimal("0.45")).quantize(Decimal("0.01")), l)), (w["discount"], fixed("50/10"))], final=after(Decimal("0.45")))
        self.put("chain_plus", [(w["list"], lambda a, p, l: self.text((p / Decimal("0.36")).quantize(Decimal("0.01")), l)), (w["discount"], fixed("40+40%"))], final=after(Decimal("0.36")))
        self.put("discount_in_money", [(w["list"], price), (w["discount"], marked(c.sign))], asked=True)
        self.put("gross_beside", [(w["gross"], lambda a, p, l: self.text((p * Decimal("1.19")).quantize(Decimal("0.01")), l)), (w["price"], price)])
        self.put("gross_alone", [(w["gross"], price)], asked=True)
        self.put("sum_beside", [(w["quantity"], fixed("3")), (w["price"], price), (w["total"], lambda a, p, l: self.text(p * 3, l))])
        # Several that could be the price.
        self.put("old_and_new", [(w["old"], twenty), (w["new"], price)], asked=True)
        self.put("new_and_old", [(w["new"], price), (w["old"], twenty)], asked=True, book=True)
        self.put("regular_and_sale", [(w["regular"], twenty), (w["sale"], price)], asked=True)
        self.put("price_and_sale", [(w["price"], twenty), (w["sale"], price)], asked=True)
        self.put("price_and_offer", [(w["price"], twenty), (w["offer"], marked(c.sign))], asked=True)
        self.put("list_and_price", [(w["list"], twenty), (w["price"], price)], asked=True)
        self.put("no_price_known", [(w["value"], price)], asked=True)

        def under_one(layout):
            """Headings in two rows: one over both prices."""
            top = ["", "", w["price"], ""]
            layout.rows.insert(0, top)
            layout.merged.append("C1:D1")

        self.put("merged_list_net", [(w["list"].split()[0], twenty), (w["net"].split()[-1] if c.name != "us" else "Net", price)], extra=under_one, book=True)
        self.put("merged_old_new", [(w["old"], twenty), (w["new"], price)], extra=under_one, book=True, asked=True)
        # What a price is for.
        for word, units in ((w["area"], [c.area]), (w["box"], ["box"]), (w["pair"], ["pair"]), (w["foot"], ["ft"])):
            self.put(f"per_{word}", [(f"{w['price']} {w['per']} {word}", price)], only=units)
            self.put(f"stroke_{word}", [(f"{w['price']}/{word}", price)], only=units, book=True)
            self.put(f"sign_stroke_{word}", [(f"{c.sign}/{word}", price)], only=units)
            self.put(f"unit_{word}", [(w["unit"], fixed(word)), (w["price"], price)], only=units)
            self.put(f"cell_{word}", [(w["price"], lambda a, p, l, word=word: f"{grouped(p, c)} {c.sign}/{word}")], only=units)
        self.put("per_box_of_others", [(f"{w['price']}/{w['box']}", price)], only=[c.area, "each"], asked=True)
        self.put("per_area_of_pieces", [(f"{w['price']} {w['per']} {w['area']}", price)], only=["each", "pair"], asked=True)
        self.put("unit_of_others", [(w["unit"], fixed(w["box"])), (w["price"], price)], only=[c.area], asked=True)
        self.put("heading_against_unit", [(w["unit"], fixed(w["box"])), (f"{w['price']}/{w['area']}", price)], only=["box"], asked=True)
        self.put("per_hundred", [(f"{w['price']}/100", lambda a, p, l: self.text(p * 100, l))], only=["each"])
        # Rows wider than the headings: a comma in a file of commas.
        if c.decimal == ",":
            def broken(layout):
                layout.rows = [[cell for piece in row for cell in str(piece).split(",")] for row in layout.rows]

            self.put("comma_in_commas", [(w["price"], lambda a, p, l: f"{p:.2f}".replace(".", ",")), (w["lead"], fixed(f"4 {w['weeks']}"))], extra=broken, delimiter=",", asked=True)
            self.put("comma_in_commas_last", [(w["price"], lambda a, p, l: f"{p:.2f}".replace(".", ","))], extra=broken, delimiter=",", asked=True)
        # Hidden sheets.
        old = [[w["article"], w["name"], w["price"], w["lead"], w["unit"]], *[[a.number, "x", Decimal("999.99"), f"9 {w['weeks']}", a.unit] for a in articles(c)]]
        self.put("hidden_first", [(w["price"], price)], book=True, before=[("Old", old, "hidden")])
        self.put("very_hidden_first", [(w["price"], price)], book=True, before=[("Old", old, "veryHidden")])
        # Lead times and days.
        lead = {a.number: self.dice.randrange(2, 12) for a in articles(c)}
        weeks = lambda a, p, l: f"{lead[a.number]} {w['weeks']}"
        self.put("lead", [(w["price"], price), (w["lead"], weeks)], also={"lead": lambda a: (lead[a.number], "weeks")})
        day = {a.number: D(2026, 11, 1) + datetime.timedelta(days=self.dice.randrange(13, 60)) for a in articles(c)}
        day[articles(c)[2].number] = D(2026, 12, 24)
        written = lambda pattern: lambda a, p, l: day[a.number].strftime(pattern) if not l.book else day[a.number]
        comes = {"promised": lambda a: day[a.number] if a.ordered else None}
        self.put("eta", [(w["price"], price), (w["eta"], written(c.dates))], also=comes)
        self.put("eta_book", [(w["price"], price), (w["eta"], written(c.dates))], also=comes, book=True)
        self.put("eta_alone", [(w["eta"], written(c.dates))], also=comes, asked=True)
        self.put("short_years", [(w["price"], price), (w["eta"], written(c.short_dates))], also=comes)
        self.put("stock_on", [(w["price"], price), (w["stock"], written(c.dates))], also=comes)
        # The day it leaves is not the day it comes.
        self.put("ships_on", [(w["price"], price), (w["ships"], written(c.dates))], also={"promised": lambda a: None})
        past = lambda a, p, l: D(2026, 9, 24).strftime(c.dates)
        self.put("before_the_order", [(w["price"], price), (w["eta"], past)], also={"promised": lambda a: None})
        return self.layouts


def layouts():
    """All of them, by country."""
    for country in COUNTRIES:
        yield country, Maker(country).make()
