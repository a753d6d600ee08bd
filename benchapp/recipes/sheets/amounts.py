"""What one cell says of how much: a number, the rest, as needed; or nothing that can be read."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass

from benchapp.foundation.language import tr_noop
from benchapp.foundation.numbers import exact
from benchapp.recipes.sheets.sheet_cells import Cell

#: What stands for the rest of a formula, and for what is added until it is right; English, German, French.
_REST = re.compile(
    r"(?:q\.?\s?s\.?\s*)?(?:ad|to|up to|auf|zu|bis|qsp|q\.s\.p\.?|pour|rest|restmenge|balance|complément|solde)\b\.?"
    r"\s*(?P<total>[\d.,\s]*)\s*(?P<unit>%|g|ml)?"
)
_AS_NEEDED = re.compile(
    r"q\.?\s?s\.?|as needed|if needed|nach bedarf|n\.?\s?b\.?|bei bedarf|si besoin|selon besoin"
)
_NUMBER = re.compile(
    r"(?:ca\.?|about|~|≈)?\s*(?P<number>\d[\d.,'\s]*|[.,]\d+)\s*(?P<unit>%|kg|g|gr|mg|oz|lbs?|parts?|teile?|parties?|p\.?)?"
    r"(?:\s*(?:w/w|m/m|by weight))?"
)


#: No recipe is written in so much of anything.
MOST = 1e9
#: Grams in a unit of mass; the ounce and the pound are the avoirdupois ones (NIST Handbook 44, Appendix C).
IN_GRAMS = {
    "g": 1.0,
    "gr": 1.0,
    "kg": 1000.0,
    "mg": 0.001,
    "oz": 28.349523125,
    "lb": 453.59237,
    "lbs": 453.59237,
}


@dataclass(frozen=True, slots=True)
class Amount:
    """``number`` of what its ``unit`` says ("" where the cell has none); ``word`` "rest" or "as needed" instead;
    ``total``: what the rest goes up to, in its ``unit``, where the cell says it."""

    number: float | None = None
    unit: str = ""
    word: str = ""
    total: float | None = None


_VOLUME = re.compile(r".*\d\s*(?:ml|cl|l)\.?")


def is_volume(cell: Cell) -> bool:
    """Whether a cell names a volume, of which nobody can say what it weighs."""
    return isinstance(cell, str) and bool(_VOLUME.fullmatch(cell.strip().casefold()))


def amount_in(cell: Cell, groups: str = "") -> Amount | None:
    """What a cell says; None where it can't be read as an amount. ``groups``: the mark between thousands, "" where nobody
    knows (see ``groups_in``)."""
    if isinstance(cell, bool) or cell is None:
        return None
    if isinstance(cell, int | float):
        return Amount(float(cell)) if 0 <= cell < math.inf else None
    text = " ".join(cell.replace("\u00a0", " ").replace("\u202f", " ").split()).casefold()
    if _AS_NEEDED.fullmatch(text):
        return Amount(word=tr_noop("as needed"))
    rest = _REST.fullmatch(text)
    if rest:
        return Amount(None, rest["unit"] or "", "rest", number_in(rest["total"].strip(), groups))
    found = _NUMBER.fullmatch(text)
    if found is None:
        return None
    number, unit = number_in(found["number"].strip(), groups), found["unit"] or ""
    if number is None:
        return None
    if unit in IN_GRAMS:
        return Amount(exact(number * IN_GRAMS[unit]), "g")
    return Amount(number, "%" if unit == "%" else "parts" if unit else "")


def groups_in(cells: Iterable[Cell]) -> str:
    """The mark that stands between thousands in a column, by the cells in which the other can only be the decimal one;
    "" where none says so, or they disagree."""
    texts = [cell for cell in cells if isinstance(cell, str) and amount_in(cell) is not None]
    both = {"," if x.rindex(".") > x.rindex(",") else "." for x in texts if "," in x and "." in x}
    if not both:
        said = {mark: any(mark in x and not _grouped(mark).search(x) for x in texts) for mark in ",."}
        both = {other for mark, other in (",.", ".,") if said[mark] and not said[other]}
    return both.pop() if len(both) == 1 else ""


def is_unclear(cell: Cell) -> bool:
    """Whether a cell's one mark may stand between thousands or before decimals: "1,250" is 1.25 or 1250."""
    return isinstance(cell, str) and any(
        _grouped(mark).search(cell) and cell.count(mark) == 1 and other not in cell
        for mark, other in (",.", ".,")
    )


def _grouped(mark: str) -> re.Pattern[str]:
    """A number whose thousands may be set off by that mark."""
    return re.compile(rf"(?<![\d.,])[1-9]\d{{0,2}}(?:{re.escape(mark)}\d{{3}})+(?!\d)")


def number_in(text: str, groups: str) -> float | None:
    """A number with either decimal mark: where both marks stand, the last one is it; a lone comma is one, too, unless it
    ``groups`` thousands."""
    plain = text.replace(" ", "").replace("'", "")
    if not plain:
        return None
    if groups and _grouped(groups).match(plain):
        plain = plain.replace(groups, "")
    if "," in plain and "." in plain:
        thousands = "." if plain.rindex(",") > plain.rindex(".") else ","
        plain = plain.replace(thousands, "")
    plain = plain.replace(",", ".")
    return float(plain) if re.fullmatch(r"\d{0,9}\.?\d+|\d{1,9}\.", plain) and float(plain) < MOST else None
