"""The unit edge of this room: a whitelist of units, and their conversion to g, °C and pH through pint."""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from benchapp.foundation.language import tr
from drivers.errors import DriverError
from drivers.readings import Quantity

if TYPE_CHECKING:
    from pint import UnitRegistry

#: The units a line may speak in, and what they measure.
UNITS: dict[str, Quantity] = {
    "g": Quantity.MASS,
    "kg": Quantity.MASS,
    "mg": Quantity.MASS,
    "oz": Quantity.MASS,
    "lb": Quantity.MASS,
    "degC": Quantity.TEMPERATURE,
    "degF": Quantity.TEMPERATURE,
    "K": Quantity.TEMPERATURE,
    "pH": Quantity.PH,
}

#: The ways a device writes them. A format may add its own, but not change these.
SPELLINGS: dict[str, str] = {
    **{unit: unit for unit in UNITS},
    "C": "degC",
    "°C": "degC",
    "F": "degF",
    "°F": "degF",
}

HOUSE_UNIT: dict[Quantity, str] = {Quantity.MASS: "g", Quantity.TEMPERATURE: "degC", Quantity.PH: "pH"}

#: What a maker reads for them.
SHOWN: dict[str, str] = {"degC": "°C", "degF": "°F"}

#: Outside these no device of a small bench can mean what it says: a tonne; colder than any freezer, hotter than any
#: bath of oil, where there are only the numbers by which thermometers say that a probe is missing.
POSSIBLE: dict[Quantity, tuple[float, float]] = {
    Quantity.MASS: (-1e6, 1e6),
    Quantity.TEMPERATURE: (-50.0, 300.0),
    Quantity.PH: (-2.0, 16.0),
}

#: Numbers that thermometers send for a probe that is open or missing, in whatever unit. Common practice, no source.
OPEN_PROBE_CODES = frozenset(
    {-127.0, 850.0, *(sign * n for n in (999.0, 999.9, 9999.0, 9999.9) for sign in (1, -1))}
)

#: The only way this room lets a person write a number.
NUMBER = re.compile(r"[+-]?[0-9]{1,9}(?:\.[0-9]{1,9})?")

_SECONDS = {"ms": 0.001, "s": 1.0, "min": 60.0}
_QUANTITY = re.compile(rf"(?P<number>{NUMBER.pattern}) ?(?P<unit>[A-Za-z°]{{1,8}})")


class Conversion(NamedTuple):
    """``house = value * factor + offset``; exact for these units, which are all linear in one another."""

    quantity: Quantity
    factor: float
    offset: float


@cache
def _registry() -> UnitRegistry[float]:
    from pint import UnitRegistry  # takes long to load, and a bench in grams and °C never needs it

    return UnitRegistry()


@cache
def conversion(unit: str) -> Conversion:
    """How a unit of the whitelist becomes the house unit of its quantity (g, °C, pH).

    Factor and offset are what pint says of ``Quantity(0, unit)`` and ``Quantity(100, unit)``, rounded to 14
    digits to take back the noise of its own sums (1 oz would be 28.349523125000005 g).
    Raises DriverError for a unit that is not on the whitelist.
    """
    if unit not in UNITS:
        raise DriverError(
            tr(
                "{unit!r} is not a unit this bench reads; use one of {names}.",
                unit=unit,
                names=", ".join(UNITS),
            )
        )
    quantity = UNITS[unit]
    house = HOUSE_UNIT[quantity]
    if unit == house:
        return Conversion(quantity, 1.0, 0.0)
    registry = _registry()
    name = "kelvin" if unit == "K" else unit
    at_0 = float(registry.Quantity(0.0, name).m_as(house))
    at_100 = float(registry.Quantity(100.0, name).m_as(house))
    return Conversion(quantity, _rounded((at_100 - at_0) / 100.0), _rounded(at_0))


def _rounded(number: float) -> float:
    return float(f"{number:.14g}")


def shown(unit: str) -> str:
    """The unit as a maker writes it."""
    return SHOWN.get(unit, unit)


def read_mass_g(text: str) -> float:
    """Grams from a text such as ``"3000 g"`` or ``"3 kg"``. Raises DriverError for anything else."""
    number, _ = _split(text)
    return number * conversion(read_mass_unit(text)).factor


def read_mass_unit(text: str) -> str:
    """The unit of a text such as ``"0.01 oz"``. Raises DriverError for anything but a mass."""
    _, unit = _split(text)
    known = SPELLINGS.get(unit)
    if known is None or UNITS[known] is not Quantity.MASS:
        raise DriverError(
            tr('{text!r} is not a mass; write a number and g, kg, mg, oz or lb, as in "3000 g".', text=text)
        )
    return known


def read_time_s(text: str) -> float:
    """Seconds from a text such as ``"0.2 s"`` or ``"200 ms"``. Raises DriverError for anything else."""
    number, unit = _split(text)
    if unit not in _SECONDS:
        raise DriverError(
            tr('{text!r} is not a time; write a number and ms, s or min, as in "0.2 s".', text=text)
        )
    return number * _SECONDS[unit]


def _split(text: str) -> tuple[float, str]:
    match = _QUANTITY.fullmatch(text.strip())
    if match is None:
        raise DriverError(
            tr(
                '{text!r} is not a number and a unit; write it with a decimal point, as in "0.2 s".',
                text=text,
            )
        )
    return float(match["number"]), match["unit"]
