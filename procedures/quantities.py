"""Text with a unit into a plain number: grams, ml, °C, kelvin difference, seconds, percent, mm, g/ml, J/g.

The text is matched by our own pattern and the unit looked up in a list. pint only converts: its own parser
takes "10 C" for coulombs and "1,5 g" for 15 g.
"""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeGuard

from benchapp.foundation.language import tr, tr_noop

from .errors import QuantityError

if TYPE_CHECKING:
    import pint

_FORM = re.compile(r"([+-]?[0-9]{1,9}(?:\.[0-9]{1,9})?)\s*([^\s0-9.](?:.*\S)?)")
_LONGEST = 40


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of quantity: how a maker calls it, the unit it becomes, and the units it may be written in."""

    name: str
    target: str  # pint's name of the unit the plain number is in
    units: dict[str, str]  # as written → pint's name
    example: str
    low: float
    high: float
    shown: str  # the unit of ``low`` and ``high`` in a sentence


MASS = Kind(
    tr_noop("a mass"), "gram",
    {"g": "gram", "kg": "kilogram", "mg": "milligram", "oz": "ounce", "lb": "pound"},
    "500 g", 0.0, 1e6, "g",
)  # fmt: skip
VOLUME = Kind(
    tr_noop("a volume"), "milliliter",
    {"ml": "milliliter", "l": "liter", "US fl oz": "fluid_ounce", "UK fl oz": "imperial_fluid_ounce"},
    "250 ml", 0.0, 1e6, "ml",
)  # fmt: skip
TEMPERATURE = Kind(
    tr_noop("a temperature"), "degree_Celsius",
    dict.fromkeys(("degC", "°C"), "degree_Celsius") | dict.fromkeys(("degF", "°F"), "degree_Fahrenheit"),
    "70 degC", -40.0, 250.0, "degC",
)  # fmt: skip
DIFFERENCE = Kind(
    tr_noop("a temperature difference"), "kelvin",
    {"K": "kelvin", "delta_degC": "delta_degree_Celsius", "delta_degF": "delta_degree_Fahrenheit"},
    "5 K", 0.0, 200.0, "K",
)  # fmt: skip
TIME = Kind(
    tr_noop("a time"), "second",
    {"s": "second", "min": "minute", "h": "hour", "day": "day", "days": "day"},
    "10 min", 0.0, 400 * 86400.0, "s",
)  # fmt: skip
PERCENT = Kind(tr_noop("a percentage"), "percent", {"%": "percent"}, "2 %", 0.0, 100.0, "%")
#: More than all of it can come out by what the weighing allows, where nothing is lost on the way.
YIELD = Kind(tr_noop("a yield"), "percent", {"%": "percent"}, "95 %", 0.0, 110.0, "%")
LENGTH = Kind(
    tr_noop("a length"), "millimeter", {"mm": "millimeter", "cm": "centimeter"}, "40 mm", 0.0, 2000.0, "mm"
)
DENSITY = Kind(
    tr_noop("a density"), "gram / milliliter",
    {"g/ml": "gram / milliliter", "kg/l": "kilogram / liter"},
    tr_noop("0.98 g/ml"), 0.1, 5.0, "g/ml",
)  # fmt: skip
#: Oils that are hardly solid take 20 to 50, waxes and fatty alcohols up to 250, ice 334 (CRC Handbook, from memory).
MELTING_HEAT = Kind(
    tr_noop("a heat of melting"), "joule / gram",
    {"J/g": "joule / gram", "kJ/kg": "kilojoule / kilogram"},
    "180 J/g", 20.0, 350.0, "J/g",
)  # fmt: skip


KINDS = (MASS, VOLUME, TEMPERATURE, DIFFERENCE, TIME, PERCENT, YIELD, LENGTH, DENSITY, MELTING_HEAT)

#: Seconds in the units of time (ISO 80000-3): with the kinds' own units all that most procedures are written in, so
#: that pint, which takes as long to load as all the rest, is only loaded for the others.
_SECONDS = {"minute": 60.0, "hour": 3600.0, "day": 86400.0}


@functools.cache
def _registry() -> pint.UnitRegistry[Any]:
    import pint

    return pint.UnitRegistry()


def _converted(number: float, unit: str, target: str) -> float:
    """A number of one of pint's units in another."""
    if unit == target:
        return number
    if target == "second" and unit in _SECONDS:
        return number * _SECONDS[unit]
    if unit == "second" and target in _SECONDS:
        return number / _SECONDS[target]
    return float(_registry().Quantity(number, unit).m_as(target))


def limits_in(unit: str) -> tuple[float, float]:
    """Between which two numbers of a unit, as it is written, everything lies that can be meant: by the widest of the kinds
    that are written in it. Raises KeyError for a unit of none."""
    kind = max((k for k in KINDS if unit in k.units), key=lambda k: k.high, default=None)
    if kind is None:
        raise KeyError(unit)
    low, high = (_converted(x, kind.target, kind.units[unit]) for x in (kind.low, kind.high))
    return round(low, 6), round(high, 6)


def quantity(text: object, kind: Kind) -> float:
    """The plain number that ``text`` means in the kind's own unit, both limits of the kind included.

    Raises QuantityError, one sentence saying what is wrong and one saying what to write.
    """
    number, unit = _split(text, kind)
    if unit not in kind.units:
        raise _unknown_unit(str(text), unit, number, kind)
    value = _converted(float(number), kind.units[unit], kind.target)
    if not kind.low <= value <= kind.high:
        raise QuantityError(
            tr('"{text}" is no sensible value for {name}', text=str(text), name=kind.name),
            tr(
                "It has to lie between {low:g} and {high:g} {shown}",
                low=kind.low,
                high=kind.high,
                shown=kind.shown,
            ),
        )
    return round(value, 9)


def some(text: object, kind: Kind) -> float:
    """The same, and more than nothing at all. Raises QuantityError."""
    value = quantity(text, kind)
    if value == 0.0:
        raise QuantityError(
            tr('"{value}" is nothing', value=str(text)),
            tr('Write more than that, like "{example}"', example=kind.example),
        )
    return value


def _split(text: object, kind: Kind) -> tuple[str, str]:
    like = tr('Write one number and one unit, like "{example}"', example=kind.example)
    if not isinstance(text, str):
        bare = (
            tr("{text:g} has no unit", text=text)
            if _is_number(text)
            else tr("{name} is missing here", name=kind.name)
        )
        raise QuantityError(bare, tr("{like}, in quotes", like=like))
    shown = f'"{_shorten(text)}"'
    if re.match(r"\s*[+-]?[0-9]+,[0-9]", text):
        raise QuantityError(
            tr("{shown} has a comma in the number", shown=shown),
            tr('{like}, with a point as in "1.5"', like=like),
        )
    if re.match(r"\s*[+-]?[0-9.]+[eE][+-]?[0-9]", text):
        raise QuantityError(
            tr("{shown} has an exponent", shown=shown), tr("{like}, with all digits written out", like=like)
        )
    found = _FORM.fullmatch(text.strip())
    if found is None and re.fullmatch(r"\s*[+-]?[0-9]{1,9}(\.[0-9]{1,9})?\s*", text):
        raise QuantityError(tr("{shown} has no unit", shown=shown), like)
    if found is None or len(text) > _LONGEST or re.search(r"[0-9*+,;()]", found[2]):
        raise QuantityError(tr("{shown} is not one number and one unit", shown=shown), like)
    return found[1], " ".join(found[2].split())


def _unknown_unit(text: str, unit: str, number: str, kind: Kind) -> QuantityError:
    known = ", ".join(kind.units)
    if kind is DIFFERENCE and unit in TEMPERATURE.units:
        good = f"{number} K" if unit.endswith("C") else f"{number} delta_degF"
        return QuantityError(
            tr('"{text}" is a temperature, and a temperature difference is wanted here', text=text),
            tr('Write "{good}"', good=good),
        )
    if kind is TEMPERATURE and unit in DIFFERENCE.units:
        return QuantityError(
            tr('"{text}" is a temperature difference, and a temperature is wanted here', text=text),
            tr('Write degC or degF, like "{example}"', example=kind.example),
        )
    if kind is TEMPERATURE and unit in ("C", "F"):
        return QuantityError(
            tr('"{unit}" alone is not a unit of temperature', unit=unit),
            tr('Write "{number} deg{unit}"', number=number, unit=unit),
        )
    if kind is VOLUME and unit == "fl oz":
        return QuantityError(tr('"fl oz" is not the same everywhere'), tr('Write "US fl oz" or "UK fl oz"'))
    return QuantityError(
        tr('"{shorten}" is not a unit for {name}', shorten=_shorten(unit), name=kind.name),
        tr("Use one of: {known}", known=known),
    )


def _is_number(value: object) -> TypeGuard[int | float]:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _shorten(text: str) -> str:
    flat = " ".join(text.split())
    return flat if len(flat) <= _LONGEST else f"{flat[:_LONGEST]}…"
