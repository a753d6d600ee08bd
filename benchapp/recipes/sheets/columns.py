"""Which column of a sheet holds what: by its heading in English, German or French, else by what stands in it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from benchapp.foundation.language import tr
from benchapp.recipes.errors import SheetUnreadable
from benchapp.recipes.sheets.amounts import IN_GRAMS, amount_in
from benchapp.recipes.sheets.sheet_cells import Cell, SheetCells

#: Words of headings, without accents, by what they head. Those further up win.
_WORDS = {
    "percent": "% percent percentage prozent anteil pourcentage pourcent w/w m/m",
    "inci": "inci",
    "phase": "phase phases fase",
    "role": "function role funktion fonction purpose zweck",
    "name": "ingredient ingredients material materials name item component substance zutat zutaten rohstoff rohstoffe inhaltsstoff"
    " inhaltsstoffe bezeichnung stoff ingredients matiere matieres nom designation composant composants",
    "parts": "part parts teil teile parties",
    "grams": "g gram grams gramm gramme grammes weight mass masse gewicht menge einwaage poids quantite amount quantity qty kg",
    "unit": "unit units einheit einheiten unite unites",
}  # fmt: skip
_HEADS = {meaning: frozenset(words.split()) for meaning, words in _WORDS.items()}
#: A heading is looked for in so many rows.
_TOP_ROWS = 40
AMOUNTS = ("percent", "grams", "parts")


@dataclass(frozen=True, slots=True)
class SheetColumns:
    """Column numbers from 0 by what they hold; ``head``: the row of the headings, -1 for none. ``amount`` is what the
    column of amounts is said to hold, "" where no heading says it; ``grams``: how many of them a number without a unit
    is, where that column holds grams."""

    head: int
    of: dict[str, int]
    amount: str
    ignored: tuple[str, ...] = ()
    grams: float = 1.0

    def cell(self, sheet: SheetCells, row: int, meaning: str) -> Cell:
        """What a row has there; None where the sheet has no such column."""
        return sheet.at(row, self.of[meaning]) if meaning in self.of else None


#: What a column can be said to hold.
MEANINGS = ("name", "amount", "phase", "inci", "role")
#: Meaning to column number from 0; -1: no column holds it.
ColumnsGiven = Mapping[str, int]


def columns_of(sheet: SheetCells, given: ColumnsGiven | None) -> SheetColumns:
    """How a sheet is laid out; what a person has ``given`` counts, and the rest is found. Raises SheetUnreadable where
    no names and amounts stand beside each other."""
    if not given:
        return _found(sheet)
    try:
        found = _found(sheet)
    except SheetUnreadable:
        found = SheetColumns(-1, {}, "")
    taken = set(given.values())
    of = {meaning: column for meaning, column in found.of.items() if column not in taken}
    of = {meaning: column for meaning, column in {**of, **given}.items() if column >= 0}
    if "name" not in of or "amount" not in of:
        raise SheetUnreadable(
            tr(
                'In the sheet "{name}" it has to be said which column holds the names and which the amounts.',
                name=sheet.name,
            )
        )
    amount = (
        found.amount
        if of["amount"] == found.of.get("amount")
        else _amount_headed(sheet, found.head, of["amount"])
    )
    grams = _grams_headed(sheet, found.head, of["amount"])
    return SheetColumns(found.head, of, amount, _left_out(sheet, found.head, of), grams)


def _grams_headed(sheet: SheetCells, head: int, column: int) -> float:
    """Grams in the first unit that the heading of a column names, 1 where it names none."""
    words = plain_words(str(sheet.at(head, column) or "")) if head >= 0 else []
    return next((IN_GRAMS[word] for word in words if word in IN_GRAMS), 1.0)


def _amount_headed(sheet: SheetCells, head: int, column: int) -> str:
    """What the heading of a column says its amounts are; "" where it says nothing of it."""
    said = dict(_headings((sheet.at(head, column),))) if head >= 0 else {}
    return next((a for a in AMOUNTS if a in said), "")


def _left_out(sheet: SheetCells, head: int, of: Mapping[str, int]) -> tuple[str, ...]:
    cells = sheet.rows[head] if head >= 0 else ()
    return tuple(str(text) for column, text in enumerate(cells) if text and column not in of.values())


def _found(sheet: SheetCells) -> SheetColumns:
    for row in range(min(len(sheet.rows), _TOP_ROWS)):
        meanings = dict(_headings(sheet.rows[row]))
        amount = next((a for a in AMOUNTS if a in meanings), "")
        if amount and ("name" in meanings or "inci" in meanings):
            of = {m: c for m, c in meanings.items() if m not in AMOUNTS} | {"amount": meanings[amount]}
            ignored = _left_out(sheet, row, of)
            if "name" not in of:
                of["name"] = of["inci"]
            return SheetColumns(row, of, amount, ignored, _grams_headed(sheet, row, of["amount"]))
    return _by_content(sheet)


def plain_words(text: str) -> list[str]:
    """Lower case, without accents, "%" and "w/w" as words of their own."""
    flat = unicodedata.normalize("NFKD", text.casefold())
    flat = "".join(c for c in flat if not unicodedata.combining(c))
    return re.findall(r"[wm]/[wm]|[a-z]+|%", flat)


def _headings(cells: tuple[Cell, ...]) -> Iterator[tuple[str, int]]:
    """What each heading of a row means, the first of a kind."""
    seen: set[str] = set()
    for column, cell in enumerate(cells):
        if not isinstance(cell, str) or len(cell) > 60:
            continue
        words = plain_words(cell)
        meaning = next((m for m, known in _HEADS.items() if known & set(words)), "")
        if meaning and meaning not in seen:
            seen.add(meaning)
            yield meaning, column


def _by_content(sheet: SheetCells) -> SheetColumns:
    """The column with most different texts, and the one with most amounts beside them."""
    width = max((len(row) for row in sheet.rows), default=0)
    texts = {c: {v for r in sheet.rows if c < len(r) and isinstance(v := r[c], str) and amount_in(v) is None}
             for c in range(width)}  # fmt: skip
    names = max(texts, key=lambda c: sum(len(t) > 1 for t in texts[c]), default=-1)
    counts = {
        c: sum(amount_in(r[c]) is not None for r in sheet.rows if c < len(r) and names < len(r) and r[names])
        for c in range(width)
        if c != names
    }
    amounts = max(counts, key=lambda c: (counts[c], -c), default=-1)
    if names < 0 or amounts < 0 or counts[amounts] < 2:
        raise SheetUnreadable(
            tr(
                'In the sheet "{name}" no column of names with amounts beside it is found. Give both a heading, '
                "such as Ingredient and Percent.",
                name=sheet.name,
            )
        )
    phases = [
        c for c in range(width) if c not in (names, amounts) and len(texts[c]) > 0 and _is_phase(texts[c])
    ]
    return SheetColumns(-1, {"name": names, "amount": amounts} | ({"phase": phases[0]} if phases else {}), "")


def _is_phase(texts: set[str]) -> bool:
    return all(len(text) <= 2 or "phase" in text.casefold() for text in texts)
