"""Text for the ear: numbers as short as they are, units as words. Pure."""

from __future__ import annotations

import re

from benchapp.foundation.language import tr, tr_noop, translated

#: Unit on the glass → (one of it, many of it). "K" is a difference.
UNITS = {
    "g": (tr_noop("gram"), tr_noop("grams")), "kg": (tr_noop("kilogram"), tr_noop("kilograms")),
    "ml": (tr_noop("millilitre"), tr_noop("millilitres")),
    "°C": (tr_noop("degree Celsius"), tr_noop("degrees Celsius")), "°F": (tr_noop("degree Fahrenheit"), tr_noop("degrees Fahrenheit")),
    "K": (tr_noop("degree"), tr_noop("degrees")), "%": (tr_noop("percent"), tr_noop("percent")),
    "s": (tr_noop("second"), tr_noop("seconds")), "min": (tr_noop("minute"), tr_noop("minutes")),
    "h": (tr_noop("hour"), tr_noop("hours")), "mm": (tr_noop("millimetre"), tr_noop("millimetres")),
    "g/ml": (tr_noop("gram per millilitre"), tr_noop("grams per millilitre")),
}  # fmt: skip
_UNIT = "|".join(sorted((re.escape(u) for u in UNITS), key=len, reverse=True))
_RANGE = re.compile(r"(?<=\d)\s*[–-]\s*(?=\d)")
_MEASURE = re.compile(rf"(\d+(?:[.,]\d+)?)\s*({_UNIT})(?![A-Za-z/])")
_LOOSE_ZEROS = re.compile(r"(?<![\d.,])(\d+)([.,])(\d*?)0+(?!\d)")
_PH = re.compile(r"\bpH\b")


def spoken(text: str) -> str:
    """The text as it should be read out."""
    plain = text.replace("\u00a0", " ").replace("×", tr("times"))
    plain = _RANGE.sub(tr(" to "), plain)
    plain = _LOOSE_ZEROS.sub(lambda m: f"{m[1]}{m[2]}{m[3]}" if m[3] else m[1], plain)
    plain = _MEASURE.sub(_measure, plain)
    return _PH.sub("p H", plain).strip()


def _measure(found: re.Match[str]) -> str:
    one, many = UNITS[found[2]]
    return f"{found[1]} {translated(one if found[1] == '1' else many)}"


def shape(text: str) -> str:
    """The text without its numbers: what has to change before it is worth saying again."""
    return re.sub(r"\d+(?:[.,]\d+)?", "#", text)
