"""Text for the ear: numbers as short as they are, units as words. Pure."""

from __future__ import annotations

import re

from benchapp.foundation.language import tr_noop

#: Unit on the glass → (one of it, many of it). "K" is a difference.
UNITS = {
    "g": ("gram", "grams"), "kg": ("kilogram", "kilograms"), "ml": ("millilitre", "millilitres"),
    "°C": (tr_noop("degree Celsius"), tr_noop("degrees Celsius")), "°F": (tr_noop("degree Fahrenheit"), tr_noop("degrees Fahrenheit")),
    "K": ("degree", "degrees"), "%": ("percent", "percent"), "s": ("second", "seconds"),
    "min": ("minute", "minutes"), "h": ("hour", "hours"), "mm": ("millimetre", "millimetres"),
    "g/ml": (tr_noop("gram per millilitre"), tr_noop("grams per millilitre")),
}  # fmt: skip
_UNIT = "|".join(sorted((re.escape(u) for u in UNITS), key=len, reverse=True))
_RANGE = re.compile(r"(?<=\d)\s*[–-]\s*(?=\d)")
_MEASURE = re.compile(rf"(\d+(?:[.,]\d+)?)\s*({_UNIT})(?![A-Za-z/])")
_LOOSE_ZEROS = re.compile(r"(?<![\d.])(\d+)\.(\d*?)0+(?!\d)")
_PH = re.compile(r"\bpH\b")


def spoken(text: str) -> str:
    """The text as it should be read out."""
    plain = text.replace("\u00a0", " ").replace("×", "times")
    plain = _RANGE.sub(" to ", plain)
    plain = _LOOSE_ZEROS.sub(lambda m: f"{m[1]}.{m[2]}" if m[2] else m[1], plain)
    plain = _MEASURE.sub(_measure, plain)
    return _PH.sub("p H", plain).strip()


def _measure(found: re.Match[str]) -> str:
    one, many = UNITS[found[2]]
    return f"{found[1]} {one if found[1] == '1' else many}"


def shape(text: str) -> str:
    """The text without its numbers: what has to change before it is worth saying again."""
    return re.sub(r"\d+(?:[.,]\d+)?", "#", text)
