"""What one channel says: a number in the house unit that the device can mean, or a typed fault. No I/O."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from benchapp.foundation.language import tr, tr_noop
from drivers import units
from drivers.formats.line_format import Meaning
from drivers.readings import FaultKind, Quantity
from drivers.settings import DeviceKind

QUANTITY: dict[DeviceKind, Quantity] = {
    "scale": Quantity.MASS,
    "thermometer": Quantity.TEMPERATURE,
    "ph meter": Quantity.PH,
}

#: Said where a channel reads as no probe at all.
NO_PROBE = tr_noop("no probe connected: check its plug and cable")

FAULT_OF = {
    Meaning.OVERLOAD: (FaultKind.OVERLOAD, tr_noop("above its range")),
    Meaning.UNDERLOAD: (FaultKind.UNDERLOAD, tr_noop("below its range")),
    Meaning.OPEN_PROBE: (FaultKind.OPEN_PROBE, NO_PROBE),
    Meaning.ERROR: (FaultKind.DEVICE_ERROR, tr_noop("the device reports an error: look at its display")),
}


class ChannelReading(NamedTuple):
    """What one channel said in one line: ``value`` in the house unit, or ``fault`` and ``why``.

    ``channel`` counts from 0 in line order; None means the line as a whole. ``unit`` is the unit the line
    itself stated, None where it stated none.
    """

    channel: int | None
    value: float | None
    fault: FaultKind | None = None
    why: str = ""
    stable: bool | None = None
    net: bool | None = None
    resolution: float | None = None
    unit: str | None = None


@cache
def _step(step: float, factor: float) -> float | None:
    return float(f"{step * factor:.12g}") or None


def fault_of(channel: int | None, meaning: Meaning) -> ChannelReading:
    """What a word or number that means trouble says of a channel."""
    kind, why = FAULT_OF[meaning]
    return ChannelReading(channel, None, kind, why)


@dataclass(frozen=True, slots=True)
class PossibleRange:
    """The range of house-unit values one device can mean; anything else is OUT_OF_RANGE, never a number."""

    quantity: Quantity
    low: float
    high: float

    @classmethod
    def of(cls, quantity: Quantity, capacity: float | None = None) -> PossibleRange:
        """The range of a quantity, narrowed by the capacity of a scale.

        A tenth above the capacity is beyond any overload mark (OIML R 76-1 4.2.3: Max + 9 e, from memory);
        no source for the tenth itself.
        """
        low, high = units.POSSIBLE[quantity]
        if capacity is not None:
            low, high = max(low, -1.1 * capacity), min(high, 1.1 * capacity)
        return cls(quantity, low, high)

    def judge(self, reading: ChannelReading, value: float, step: float | None, unit: str) -> ChannelReading:
        """``reading`` with ``value`` (in ``unit``, its last digit worth ``step``), or its fault."""
        _, factor, offset = units.conversion(unit)
        house = value * factor + offset if offset else value * factor
        if not self.low <= house <= self.high:  # also NaN
            if self.quantity is Quantity.TEMPERATURE and value in units.OPEN_PROBE_CODES:
                return fault_of(reading.channel, Meaning.OPEN_PROBE)
            return ChannelReading(
                reading.channel, None, FaultKind.OUT_OF_RANGE, self._impossible(value, unit)
            )
        return reading._replace(value=house, resolution=None if step is None else _step(step, factor))

    def _impossible(self, value: float, unit: str) -> str:
        house = units.shown(units.HOUSE_UNIT[self.quantity])
        span = tr("{low:g} to {high:g} {house}", low=self.low, high=self.high, house=house)
        return tr(
            "{value:g} {shown} cannot be, this device reads {span}: check its settings and cable",
            value=value,
            shown=units.shown(unit),
            span=span,
        )


def unreadable(why: str) -> ChannelReading:
    """Bytes that say nothing of any channel, and why."""
    return ChannelReading(None, None, FaultKind.UNREADABLE, why)
