"""What one cell says of how much: a number, the rest, as needed; or nothing that can be read."""

from __future__ import annotations

import re
from dataclasses import dataclass

from benchapp.foundation.language import tr_noop
from benchapp.recipes.sheets.sheet_cells import Cell

#: What stands for the rest of a formula, and for what is added until it is right; English, German, French.
_REST = re.compile(
    r"(?:q\.?\s?s\.?\s*)?(?:ad|to|up to|auf|zu|bis|qsp|q\.s\.p\.?|pour|rest|restmenge|balance|complément|solde)\b\.?"
    r"\s*(?P<total>[\d.,\s]*)\s*(?:%|g|ml)?"
)
_AS_NEEDED = re.compile(
    r"q\.?\s?s\.?|as needed|if needed|nach bedarf|n\.?\s?b\.?|bei bedarf|si besoin|selon besoin"
)
_NUMBER = re.compile(
    r"(?:ca\.?|about|~|≈)?\s*(?P<number>\d[\d.,'\s]*|[.,]\d+)\s*(?P<unit>%|kg|g|gr|mg|parts?|teile?|parties?|p\.?)?"
    r"(?:\s*(?:w/w|m/m|by weight))?"
)


@dataclass(frozen=True, slots=True)
class Amount:
    """``number`` of what its ``unit`` says ("" where the cell has none); ``word`` "rest" or "as needed" instead;
    ``total``: what the rest goes up to, where the cell says it."""

    number: float | None = None
    unit: str = ""
    word: str = ""
    total: float | None = None


_VOLUME = re.compile(r".*\d\s*(?:ml|cl|l)\.?")


def is_volume(cell: Cell) -> bool:
    """Whether a cell names a volume, of which nobody can say what it weighs."""
    return isinstance(cell, str) and bool(_VOLUME.fullmatch(cell.strip().casefold()))


def amount_in(cell: Cell) -> Amount | None:
    """What a cell says; None where it can't be read as an amount."""
    if isinstance(cell, bool) or cell is None:
        return None
    if isinstance(cell, int | float):
        return Amount(float(cell)) if cell >= 0 else None
    text = " ".join(cell.replace("\u00a0", " ").replace("\u202f", " ").split()).casefold()
    if _AS_NEEDED.fullmatch(text):
        return Amount(word=tr_noop("as needed"))
    rest = _REST.fullmatch(text)
    if rest:
        return Amount(word="rest", total=number_in(rest["total"].strip()))
    found = _NUMBER.fullmatch(text)
    if found is None:
        return None
    number, unit = number_in(found["number"].strip()), found["unit"] or ""
    if number is None:
        return None
    if unit in ("kg", "mg"):
        number, unit = (number * 1000, "g") if unit == "kg" else (number / 1000, "g")
    return Amount(number, "%" if unit == "%" else "g" if unit in ("g", "gr") else "parts" if unit else "")


def number_in(text: str) -> float | None:
    """A number with either decimal mark: where both marks stand, the last one is it; a lone comma is one, too."""
    plain = text.replace(" ", "").replace("'", "")
    if not plain:
        return None
    if "," in plain and "." in plain:
        thousands = "." if plain.rindex(",") > plain.rindex(".") else ","
        plain = plain.replace(thousands, "")
    plain = plain.replace(",", ".")
    return float(plain) if re.fullmatch(r"\d*\.?\d+|\d+\.", plain) else None
