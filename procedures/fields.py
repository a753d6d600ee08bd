"""The kinds of value a procedure file may hold, each read strictly: numbers, texts with units, limits."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import BeforeValidator, PlainValidator, StringConstraints
from pydantic_core import PydanticCustomError

from benchapp.foundation.band import Band
from benchapp.foundation.language import tr

from . import quantities as q
from .errors import QuantityError

#: The pydantic error type whose context carries our own two sentences.
OWN = "maker"

Share = float | Literal["rest", "as needed"]


def refuse(what: str, instead: str) -> PydanticCustomError:
    """An error in our own words, to be raised inside a validator."""
    return PydanticCustomError(OWN, tr("{what}. {instead}"), {"what": what, "instead": instead})


def _measured(kind: q.Kind, *, none: bool = False) -> Callable[[object], float]:
    """A reader of one kind of quantity; ``none``: whether nothing at all is a value too."""

    def read(value: object) -> float:
        try:
            return (q.quantity if none or kind is q.TEMPERATURE else q.some)(value, kind)
        except QuantityError as error:
            raise refuse(error.what, error.instead) from error

    return read


def _number(low: float, high: float, name: str, example: str) -> Callable[[object], float]:
    def read(value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise refuse(
                tr("{name} is a plain number", name=name),
                tr("Write it without quotes and unit, like {example}", example=example),
            )
        if not math.isfinite(value) or not low <= value <= high:
            raise refuse(
                tr("This {name} is far too large", name=name)
                if abs(value) > 1e300
                else tr("{value:g} is no sensible {name}", value=value, name=name),
                tr("It has to lie between {low:g} and {high:g}", low=low, high=high),
            )
        return float(value)

    return read


def _pair(
    one: Callable[[object], float], example: str, *, may_meet: bool = False
) -> Callable[[object], Band]:
    def read(value: object) -> Band:
        like = tr("Write the lower and the upper limit in square brackets, like {example}", example=example)
        if not isinstance(value, list) or len(value) != 2:
            raise refuse(tr("Two limits are wanted here"), like)
        low, high = one(value[0]), one(value[1])
        if low > high:
            raise refuse(tr("The lower limit is above the upper one"), like)
        if low == high and not may_meet:
            raise refuse(tr("The two limits are the same, so nothing lies between them"), like)
        return Band(low, high)

    return read


@dataclass(frozen=True, slots=True)
class ActiveShare:
    """A share that is written as what of the material is active: "1 % active"."""

    percent: float


_ACTIVE = re.compile(r"(\d{1,3}(?:\.\d{1,4})?) ?% active")
#: A smaller share of a formula is a slip of the keyboard (common practice, no source).
SMALLEST_SHARE_PERCENT = 0.0001


def _share(value: object) -> Share | ActiveShare:
    if value == "rest":
        return "rest"
    if value == "as needed":
        return "as needed"
    active = _ACTIVE.fullmatch(value) if isinstance(value, str) else None
    if isinstance(value, str) and active is None:
        raise refuse(
            tr('"{value}" is no share of the formula', value=value[:40]),
            tr('Write a number without quotes, like 3.5, or "rest", or "as needed", or "1 % active"'),
        )
    if active is not None:
        return ActiveShare(_share_of(float(active[1])))
    return _share_of(value)


def _share_of(value: object) -> float:
    share = _number(0.0, 100.0, "percentage", "3.5")(value)
    if share == 0.0:
        raise refuse(tr("An ingredient of 0 % is not in the formula"), tr("Leave it out or give it a share"))
    if share < SMALLEST_SHARE_PERCENT:
        raise refuse(
            tr(
                "{share:g} % is less than a milligram in a kilogram, which nobody here can weigh", share=share
            ),
            tr("Leave it out, or make up a weaker solution of it and give that its share"),
        )
    return share


_percent = _number(0.0, 100.0, "percentage", "3.5")
_ph = _number(0.0, 14.0, "pH", "5.5")

_SHOWN = r"^[^\p{Cc}]*$"  # no control characters
_SHOWN_LINES = r"^([^\p{Cc}]|[\n\t])*$"

#: Several sentences; a name or a title that has to fit the screen on one line.


def _one_or_more(value: object) -> object:
    """One text stands for a list of one."""
    return [value] if isinstance(value, str) else value


Text = Annotated[
    str, StringConstraints(min_length=1, max_length=2000, strip_whitespace=True, pattern=_SHOWN_LINES)
]
Name = Annotated[str, StringConstraints(min_length=1, max_length=60, strip_whitespace=True, pattern=_SHOWN)]


def _one_blank(value: object) -> object:
    """Whatever stands between two words is one blank, and an accent is one sign with its letter."""
    return " ".join(unicodedata.normalize("NFC", value).split()) if isinstance(value, str) else value


Inci = Annotated[Name, BeforeValidator(_one_blank)]

Names = Annotated[list[Text], BeforeValidator(_one_or_more)]

Percent = Annotated[Share | ActiveShare, PlainValidator(_share)]
Mass = Annotated[float, BeforeValidator(_measured(q.MASS))]
Volume = Annotated[float, BeforeValidator(_measured(q.VOLUME))]
Temperature = Annotated[float, BeforeValidator(_measured(q.TEMPERATURE))]
Difference = Annotated[float, BeforeValidator(_measured(q.DIFFERENCE))]
Time = Annotated[float, BeforeValidator(_measured(q.TIME, none=True))]
SomeTime = Annotated[float, BeforeValidator(_measured(q.TIME))]
Part = Annotated[float, BeforeValidator(_measured(q.PERCENT, none=True))]
SomePart = Annotated[float, BeforeValidator(_measured(q.PERCENT))]
Length = Annotated[float, BeforeValidator(_measured(q.LENGTH))]
SpecificMass = Annotated[float, BeforeValidator(_measured(q.DENSITY))]
MeltingHeat = Annotated[float, BeforeValidator(_measured(q.MELTING_HEAT))]
Parts = Annotated[float, BeforeValidator(_number(0.0, 100.0, "number of parts", "9"))]

PercentBand = Annotated[Band, PlainValidator(_pair(_percent, "[10, 20]", may_meet=True))]
YieldBand = Annotated[Band, PlainValidator(_pair(_measured(q.YIELD, none=True), '["92 %", "100 %"]'))]
PhBand = Annotated[Band, PlainValidator(_pair(_ph, "[5.0, 5.8]"))]
TemperatureBand = Annotated[Band, PlainValidator(_pair(_measured(q.TEMPERATURE), '["70 degC", "75 degC"]'))]
DensityBand = Annotated[Band, PlainValidator(_pair(_measured(q.DENSITY), '["0.95 g/ml", "1.00 g/ml"]'))]


#: A smaller content is a slip of the keyboard: no scale here weighs it within its tolerance (common practice, no source).
SMALLEST_CONTENT = 0.1  # ml or g


def _content(value: object) -> tuple[Literal["ml", "g"], float]:
    """A declared content, by volume or by mass; which of the two its unit says."""
    unit, found = _content_of(value)
    if found < SMALLEST_CONTENT:
        raise refuse(
            tr('"{value}" is less than can be filled', value=str(value)),
            tr('Write the declared content, like "100 ml" or "100 g"'),
        )
    return unit, found


def _content_of(value: object) -> tuple[Literal["ml", "g"], float]:
    try:
        q.quantity(value, q.VOLUME)
    except QuantityError as as_volume:
        unit = value.split()[-1:] if isinstance(value, str) else []
        if unit and unit[0] in q.MASS.units:
            return "g", _measured(q.MASS)(value)
        raise refuse(
            as_volume.what, tr('Write the declared content, like "100 ml" or "100 g"')
        ) from as_volume
    return "ml", _measured(q.VOLUME)(value)


Content = Annotated[tuple[Literal["ml", "g"], float], PlainValidator(_content)]
AnyBand = Annotated[Band, PlainValidator(_pair(_number(-1e6, 1e6, "number", "5.5"), "[5.0, 5.8]"))]
