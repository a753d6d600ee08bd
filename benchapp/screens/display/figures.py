"""How figures are written on the glass: decimal point or comma, °C or °F, grams or kilograms. The record stays as it is."""

from __future__ import annotations

import re
from dataclasses import dataclass

#: A decimal point; none of those in the number of a version, as in 3.11.2.
_POINT = re.compile(r"(?<=\d)(?<!\.\d)(?<!\.\d\d)\.(?=\d)(?!\d+\.\d)")
_CELSIUS = re.compile(r"(?:(-?\d+(?:\.\d+)?)( to |–))?(-?\d+(?:\.\d+)?)([ \u00a0])°C")
#: From so many grams on, a mass is written in kilograms where those were chosen.
KILOGRAMS_FROM_G = 1000.0


@dataclass(frozen=True, slots=True)
class Figures:
    """What was chosen on the settings page."""

    comma: bool = False
    fahrenheit: bool = False
    kilograms: bool = False

    def text(self, words: str) -> str:
        """A sentence of the make with its temperatures and decimal points as they were chosen."""
        if self.fahrenheit:
            words = _CELSIUS.sub(_in_fahrenheit, words)
        return self.number(words)

    def number(self, digits: str) -> str:
        """Digits with the decimal sign that was chosen."""
        return _POINT.sub(",", digits) if self.comma else digits

    def live(self, value: float, unit: str, decimals: int) -> tuple[str, str]:
        """A live value and its unit."""
        if unit == "°C" and self.fahrenheit:
            value, unit = fahrenheit(value), "°F"
        elif unit == "g" and self.kilograms and abs(value) >= KILOGRAMS_FROM_G:
            value, unit, decimals = value / 1000.0, "kg", decimals + 3
        return self.number(f"{value:.{decimals}f}"), unit

    def unit(self, unit: str) -> str:
        """The unit a value is typed in."""
        return "°F" if unit == "°C" and self.fahrenheit else unit

    def typed(self, value: float, unit: str) -> float:
        """A typed value in the make's own unit: °F becomes °C."""
        return (value - 32.0) / 1.8 if unit == "°C" and self.fahrenheit else value

    def kelvin(self, difference_k: float) -> float:
        """A difference of temperatures in the unit it is shown in."""
        return difference_k * 1.8 if self.fahrenheit else difference_k

    def limit(self, value: float, unit: str) -> float:
        """A limit in the unit it is typed in."""
        return fahrenheit(value) if unit == "°C" and self.fahrenheit else value


def aligned(digits: str, places: int, unit: str = "") -> str:
    """Digits, with a unit, that end on the right with their point under that of others with so many decimals: what they lack
    is filled at the end with blanks as wide as a digit and a point, never with zeros nobody measured."""
    _, point, decimals = digits.partition(".")
    lacking = max(places - len(decimals), 0)
    return digits + unit + ("\u2008" if lacking and not point else "") + "\u2007" * lacking


def fahrenheit(temp_c: float) -> float:
    """Degrees Fahrenheit of degrees Celsius, by definition of the scale."""
    return temp_c * 1.8 + 32.0


def _in_fahrenheit(found: re.Match[str]) -> str:
    low, between, high, space = found.groups()
    first = f"{_written(low)}{between}" if low is not None else ""
    return f"{first}{_written(high)}{space}°F"


def _written(digits: str) -> str:
    decimals = len(digits.partition(".")[2])
    return f"{fahrenheit(float(digits)):.{decimals}f}"
