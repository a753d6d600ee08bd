"""A line of an instrument with what it truly says, and the numbers in it."""

from __future__ import annotations

import random
from dataclasses import dataclass

GRAM, CELSIUS, PH, OTHER, ANY = "scale", "thermometer", "ph meter", "other", "any"


#: NIST SP 811, appendix B.8.
GRAMS = {"g": 1.0, "kg": 1e3, "mg": 1e-3, "oz": 28.349523125, "lb": 453.59237, "gr": 0.06479891, "ct": 0.2,
         "ozt": 31.1034768, "t": 1e6, "dwt": 1.55517384}  # fmt: skip


@dataclass(frozen=True)
class Line:
    """One line: its family, its bytes without the line's end, and what it says."""

    family: str
    raw: bytes
    kind: str
    values: tuple[float, ...]


def number(chance: random.Random, low: float, high: float, places: int | None = None) -> str:
    """A number as a display writes it."""
    return f"{chance.uniform(low, high):.{chance.randrange(4) if places is None else places}f}"


def padded(chance: random.Random, text: str) -> str:
    """The number with a sign, zeros or blanks before it, or as it is."""
    sign, digits = ("-", text[1:]) if text.startswith("-") else (chance.choice(("", "+")), text)
    width = chance.choice((0, 7, 8, 9))
    return chance.choice(
        (
            f"{sign}{digits}",
            f"{sign}{digits:0>{width}}",
            f"{sign}{digits:>{width}}",
            f"{sign + digits:>{width}}",
        )
    )


def celsius(value: float, unit: str) -> float:
    """A temperature in degrees Celsius."""
    bare = unit.lstrip("°deg ")
    return (value - 32.0) / 1.8 if bare == "F" else value - 273.15 if bare == "K" else value
