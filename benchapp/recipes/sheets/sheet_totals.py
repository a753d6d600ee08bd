"""Which rows of a sheet are sums of others, and no ingredients."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.recipes.sheets.columns import plain_words

_TOTALS = {
    "total", "totals", "totaal", "sum", "subtotal", "gesamt", "gesamtmenge", "summe", "zwischensumme", "somme", "ergibt",
}  # fmt: skip
#: What may stand beside such a word; anything else may be the name of a material.
_BESIDE = {
    "phase", "of", "der", "die", "das", "de", "la", "le", "weight", "mass", "gewicht", "masse", "poids", "grand", "batch", "kg",
}  # fmt: skip


def is_total(name: str, number: float | None, empty: bool, above: Sequence[float]) -> bool:
    """Whether a row is a sum of the numbers ``above`` it: by its name, or where that is none, or may be the name of a
    material ("total tocopherols"), by its own number. ``empty``: it has no amount."""
    if is_plain_total(name) or (empty and _speaks_of_one(name)):
        return True
    return (not name or _speaks_of_one(name)) and _is_sum(number, above, whole=not name)


def is_plain_total(name: str) -> bool:
    """Whether a name says that it is a sum, and no more."""
    others = set(plain_words(name)) - _TOTALS - _BESIDE
    return _speaks_of_one(name) and all(len(word) == 1 for word in others)


def _speaks_of_one(name: str) -> bool:
    return bool(set(plain_words(name)) & _TOTALS)


def _is_sum(said: float | None, above: Sequence[float], whole: bool) -> bool:
    """Of all of them, or, unless it has to be the whole, of the last of them."""
    sums = [sum(above[n:]) for n in range(1 if whole else len(above))]
    return said is not None and bool(above) and any(abs(said - x) < 0.02 * x + 1e-9 for x in sums)
