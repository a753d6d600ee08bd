"""Sheets in many shapes, as makers keep them: made here, invented for the demo workshop "Low Tide Bench"."""

import xlsxwriter
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table, TableCell, TableRow
from odf.text import P

#: The formula that all tidy samples say, in percent.
KELP = (
    ("water", "Purified water", "Aqua", 82.5), ("water", "Glycerin", "Glycerin", 4.0),
    ("oil", "Sunflower oil", "Helianthus Annuus Seed Oil", 7.0), ("oil", "Emulsifying wax", "", 5.6),
    ("cool-down", "Preservative blend", "", 0.9),
)  # fmt: skip


def xlsx(path, rows, formats=None, name="Formula", hidden=()):
    """``formats``: (row, column) to a number format."""
    book = xlsxwriter.Workbook(str(path))
    sheet = book.add_worksheet(name)
    for r, row in enumerate(rows):
        for c, value in enumerate(row):
            look = (formats or {}).get((r, c))
            look = book.add_format({"num_format": look}) if look else None
            if isinstance(value, str):
                sheet.write_string(r, c, value, look)
            elif value is not None:
                sheet.write_number(r, c, value, look)
    for other in hidden:
        book.add_worksheet(other).hide()
    book.close()
    return path


def ods(path, rows):
    document = OpenDocumentSpreadsheet()
    table = Table(name="Tabelle1")
    for row in rows:
        line = TableRow()
        for value in row:
            if isinstance(value, str):
                cell = TableCell(valuetype="string")
                cell.addElement(P(text=value))
            elif value is None:
                cell = TableCell()
            else:
                cell = TableCell(valuetype="float", value=value)
            line.addElement(cell)
        table.addElement(line)
    document.spreadsheet.addElement(table)
    document.save(str(path))
    return path


def text(path, content, encoding="utf-8"):
    path.write_bytes(content.encode(encoding))
    return path


def tidy_english(folder):
    rows = [("Phase", "Ingredient", "INCI", "% w/w"), *KELP, ("", "Total", "", 100.0)]
    return xlsx(folder / "english.xlsx", rows)


def percent_cells(folder):
    """Cells in percent format: 0.05 is 5 %."""
    rows = [
        ("Kelp lotion",),
        (),
        ("Ingredient", "Phase", "Percent"),
        *((n, p, s / 100) for p, n, _, s in KELP),
    ]
    return xlsx(folder / "percent-cells.xlsx", rows, {(3 + n, 2): "0.00%" for n in range(5)})


def literal_percent(folder):
    """A literal percent sign in the format: 7 is 7 %."""
    rows = [("Material", "Share %"), *((n, s) for _, n, _, s in KELP)]
    return xlsx(folder / "literal.xlsx", rows, {(1 + n, 1): '0.00" %"' for n in range(5)})


def german_grams(folder):
    """Grams for 500, sub-headings as phases, sums under each, German headings, ODS."""
    rows = [("Tang-Lotion", None, None), (None, None, None), ("Rohstoff", "INCI", "Einwaage [g]")]
    for phase, title in (("water", "Wasserphase"), ("oil", "Fettphase"), ("cool-down", "Phase C:")):
        rows.append((title, None, None))
        rows += [(n, i, s * 5) for p, n, i, s in KELP if p == phase]
        rows.append(("Zwischensumme", None, sum(s * 5 for p, _, _, s in KELP if p == phase)))
    return ods(folder / "deutsch.ods", [*rows, ("Summe", None, 500.0)])


def german_csv(folder):
    lines = [f"{n};{str(s).replace('.', ',')}" for _, n, _, s in KELP]
    return text(
        folder / "komma.csv", "Zutat;Prozent\r\n" + "\r\n".join(lines) + "\r\nGesamt;100,0\r\n", "cp1252"
    )


def french_csv(folder):
    lines = [f"{p}\t{n}\t{str(s).replace('.', ',')} %" for p, n, _, s in KELP]
    return text(folder / "francais.csv", "\ufeffPhase\tMatière première\tQuantité\n" + "\n".join(lines))


def english_csv(folder):
    lines = [f'"{n}, as bought",{s},{p}' for p, n, _, s in KELP]
    return text(folder / "quoted.csv", "name,amount in g,phase\n" + "\n".join(lines))


def parts(folder):
    rows = [("Ingredient", "Parts"), *((n, s * 2) for _, n, _, s in KELP)]
    return xlsx(folder / "parts.xlsx", rows)


def rest(folder):
    rows = [("Ingredient", "%"), ("Purified water", "ad 100"), *((n, s) for _, n, _, s in KELP[1:]), ("Citric acid solution 10 %", "q.s.")]  # fmt: skip
    return xlsx(folder / "rest.xlsx", rows)


def no_heading(folder):
    return xlsx(folder / "bare.xlsx", [(n, s) for _, n, _, s in KELP])


def grams_to_a_total(folder):
    rows = [("Zutat", "Menge (g)"), ("Purified water", "auf 250"), *((n, s * 2.5) for _, n, _, s in KELP[1:])]
    return ods(folder / "auf.ods", rows)


def phase_once(folder):
    """The phase stands beside its first ingredient alone; prices and suppliers stand about."""
    rows: list = [("Phase", "Ingredient", "Supplier", "Price", "g for 1 kg", "%", "Function")]
    last = ""
    roles = ("Water", "Humectant", "Emollient", "Emulsifier", "Preservative")
    for (p, n, _, s), role in zip(KELP, roles, strict=True):
        rows.append((p if p != last else None, n, "Quay Supplies", 12.0, s * 10, s, role))
        last = p
    return xlsx(folder / "phase-once.xlsx", rows)


def messy(folder):
    """What a notebook turns into: notes, empty rows, unreadable cells, a total that is none, a second sheet."""
    rows = [
        ("Kelp lotion no. 4, tried in spring",), ("smells of low tide; less oil next time",), (),
        (None, None, "Ingredient", None, "percent "), (None, None, "A - water phase"),
        (None, None, "  Purified water ", None, "82,5"), (None, None, "Glycerin", None, "4.0 %"), (),
        (None, None, "B - oil phase"), (None, None, "Sunflower oil", None, "7-8 %"),
        (None, None, "Emulsifying wax", None, 5.6), (None, None, None, None, 0.3),
        (None, None, "C"), (None, None, "Preservative blend", None, "0,9%"), (),
        (None, None, "TOTAL:", None, 99.7), (), (None, None, "Heat A and B to 72, pour B into A"), (None, None, "Then C."),
    ]  # fmt: skip
    return xlsx(folder / "messy.xlsx", rows, hidden=("old prices",))


def messy_csv(folder):
    """Pasted together: quotes, comments, a comma and a point, figures with spaces, half a row."""
    content = (
        "Seetang-Creme;;\n;;\nPos.;Bezeichnung;Gew.-%\n1;Purified water;ad 100 %\n2;Glycerin;ca. 4,0\n"
        "3;Sunflower oil;7,00\n;;\n4;Emulsifying wax;5.6\n5;Preservative blend;0,9\n6;Xanthan gum;etwas\n;Duft?;\n"
    )
    return text(folder / "zettel.csv", content)


#: Those that all say the same.
TIDY = (
    tidy_english, percent_cells, literal_percent, german_grams, german_csv, french_csv, english_csv, parts, rest, no_heading,
    grams_to_a_total, phase_once,
)  # fmt: skip
