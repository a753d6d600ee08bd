"""From one line of bytes to what it says: a number in the house unit, or a typed fault. No I/O."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from drivers import units
from drivers.errors import BadDevice
from drivers.formats.grammar import Template
from drivers.formats.line_format import LineFormat, Meaning
from drivers.framing import MAX_LINE
from drivers.readings import FaultKind, Quantity
from drivers.settings import DeviceKind

QUANTITY: dict[DeviceKind, Quantity] = {
    "scale": Quantity.MASS,
    "thermometer": Quantity.TEMPERATURE,
    "ph meter": Quantity.PH,
}

FAULT_OF = {
    Meaning.OVERLOAD: (FaultKind.OVERLOAD, "above its range"),
    Meaning.UNDERLOAD: (FaultKind.UNDERLOAD, "below its range"),
    Meaning.OPEN_PROBE: (FaultKind.OPEN_PROBE, "no probe connected: check its plug and cable"),
    Meaning.ERROR: (FaultKind.DEVICE_ERROR, "the device reports an error: look at its display"),
}


_ON_A_SCALE = {
    Meaning.OVERLOAD: ": take something off",
    Meaning.UNDERLOAD: ": put the pan on, or empty it and zero",
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
            return ChannelReading(
                reading.channel, None, FaultKind.OUT_OF_RANGE, self._impossible(value, unit)
            )
        return reading._replace(value=house, resolution=None if step is None else _step(step, factor))

    def _impossible(self, value: float, unit: str) -> str:
        house = units.shown(units.HOUSE_UNIT[self.quantity])
        span = f"{self.low:g} to {self.high:g} {house}"
        return (
            f"{value:g} {units.shown(unit)} cannot be, this device reads {span}: check its settings and cable"
        )


class LineParser:
    """Reads the lines of one device: its format, its kind, its number of channels.

    ``unit`` overrides the format's fixed unit where lines have none (bench file option ``unit``).
    ``capacity`` in the house unit makes a number beyond it impossible. Raises BadDevice when the format does
    not suit the device.
    """

    def __init__(
        self,
        line_format: LineFormat,
        kind: DeviceKind,
        channels: int = 1,
        *,
        unit: str | None = None,
        capacity: float | None = None,
    ) -> None:
        if kind not in line_format.kinds:
            raise BadDevice(
                f"The format {line_format.key} is for a {' or '.join(line_format.kinds)}, not a {kind}."
            )
        if channels > 1 and not line_format.between:
            raise BadDevice(f"The format {line_format.key} reads one channel a line, not {channels}.")
        self.format = line_format
        self.quantity = QUANTITY[kind]
        self.channels = channels
        self._unit = unit if unit is not None else line_format.fixed_unit.get(kind, "")
        if self._unit and units.UNITS.get(self._unit) is not self.quantity:
            raise BadDevice(f"{self._unit!r} is not a unit of a {kind}.")
        self._spellings = _spellings(line_format, kind)
        self.limits = PossibleRange.of(self.quantity, capacity)

    def read(self, line: bytes, unit: str | None = None) -> tuple[ChannelReading, ...]:
        """What a line says, one ChannelReading a channel; a line no template fits is one UNREADABLE for it all.

        ``unit`` is the unit the device last stated, for lines whose unit may be absent. Never raises, for
        any bytes; an empty tuple is a line that is known to say nothing.
        """
        if len(line) > MAX_LINE:
            return (unreadable(f"{len(line)} bytes in one line"),)
        text = line.decode("latin-1")
        if not self.format.between:
            reading = self._one(text, 0, unit)
            return () if reading is None else (reading,)
        pieces = text.split(self.format.between) if self.format.between != " " else text.split()
        if len(pieces) != self.channels:
            return (unreadable(f"{len(pieces)} channels in the line, {self.channels} expected"),)
        readings = [
            reading for n, piece in enumerate(pieces) if (reading := self._one(piece, n, unit)) is not None
        ]
        for reading in readings:
            if reading.fault is FaultKind.UNREADABLE:  # a line damaged in one place is not trusted in another
                return (reading,)
        if len({reading.channel for reading in readings}) < len(readings):
            return (unreadable("the line names one channel twice"),)
        return tuple(readings)

    def _one(self, text: str, channel: int, last_unit: str | None) -> ChannelReading | None:
        for template in self.format.lines:
            match = template.match(text)
            if match is not None:
                break
        else:
            return unreadable(self._why_not(text))
        if template.has_channel:
            channel = int(match["channel"]) - 1
            if not 0 <= channel < self.channels:
                return unreadable(f"the line speaks of channel {channel + 1}, the bench has {self.channels}")
        stable: bool | None = None
        net: bool | None = None
        for part in template.words:
            meaning = self.format.words[part][match[part]]
            if meaning is Meaning.STABLE or meaning is Meaning.MOVING:
                stable = meaning is Meaning.STABLE
            elif meaning is Meaning.NET or meaning is Meaning.GROSS:
                net = meaning is Meaning.NET
            elif meaning is Meaning.IGNORE:
                return None
            elif meaning in FAULT_OF:
                return self._fault(channel, meaning)
        if not template.has_value:
            return unreadable("the line has no number and its words do not say why")
        return self._measured(
            ChannelReading(channel, None, None, "", stable, net), template, match, last_unit
        )

    def _measured(
        self, reading: ChannelReading, template: Template, match: re.Match[str], last_unit: str | None
    ) -> ChannelReading:
        """``reading`` with the number of the line, in the unit the line states or its format does."""
        unit = self._unit
        if template.has_unit:
            written = match["unit"].strip()
            if written:
                unit = self._spellings.get(written, "")
                if units.UNITS.get(unit) is not self.quantity:
                    return ChannelReading(
                        reading.channel, None, FaultKind.WRONG_UNIT, self._wrong_unit(written)
                    )
                reading = reading._replace(unit=unit)
            elif not self.format.absent_unit_moving:
                return unreadable("the unit is missing")
            else:
                unit = last_unit or unit
            if self.format.absent_unit_moving:
                reading = reading._replace(stable=bool(written))
        number = self._number(template, match)
        if number is None:
            return unreadable(f"{match['value']!r} is not a number as this format writes them")
        value, last_digit = number
        for sentinel in self.format.sentinels:
            if math.isclose(value, sentinel.value, rel_tol=1e-6):
                return self._fault(reading.channel, sentinel.means)
        return self.limits.judge(reading, value, float(f"1e{last_digit}"), unit)

    def _fault(self, channel: int | None, meaning: Meaning) -> ChannelReading:
        kind, why = FAULT_OF[meaning]
        if self.quantity is Quantity.MASS:
            why += _ON_A_SCALE.get(meaning, "")
        return ChannelReading(channel, None, kind, why)

    def _number(self, template: Template, match: re.Match[str]) -> tuple[float, int] | None:
        text = match["value"]
        if template.columns:
            text = text.lstrip(" ")  # right-justified: blanks behind it mean that the columns are shifted
            if _number_pattern(self.format.style.pattern()).fullmatch(text) is None:
                return None
        return self.format.style.number(text)

    def _wrong_unit(self, written: str) -> str:
        house = [units.shown(unit) for unit, quantity in units.UNITS.items() if quantity is self.quantity]
        shown = written.encode("latin-1").decode("utf-8", "replace")
        return f"the number is in {shown!r}: set the device to {house[0]}"

    def _why_not(self, text: str) -> str:
        """The likeliest reason why no template fits, for the person who connects a device."""
        if not text.strip():
            return "the line is empty"
        if any(sign < " " or "\x7f" <= sign < "\xa0" for sign in text):
            return "bytes that are not text: check the baud rate"
        other = "," if self.format.style.decimal_mark == "." else "."
        if re.search(rf"[0-9]{re.escape(other)}[0-9]", text) and other not in "".join(
            t.text for t in self.format.lines
        ):
            mark = self.format.style.decimal_mark
            return f"{_shown(text)} has {other!r} in its number where this format has {mark!r}"
        return (
            f"{_shown(text)} is not like {' or '.join(template.text for template in self.format.lines[:2])}"
        )


def unreadable(why: str) -> ChannelReading:
    """Bytes that say nothing of any channel, and why."""
    return ChannelReading(None, None, FaultKind.UNREADABLE, why)


def _shown(text: str) -> str:
    return repr(text if len(text) <= 40 else text[:37] + "...")


def _spellings(line_format: LineFormat, kind: DeviceKind) -> Mapping[str, str]:
    """Every way this device may write a unit, in the latin-1 text its bytes are read as.

    A degree sign arrives as one byte (latin-1) or two (UTF-8); both are the same two or three signs here.
    """
    written = {**units.SPELLINGS, **line_format.units}
    return {**written, **{word.encode("utf-8").decode("latin-1"): unit for word, unit in written.items()}}


@cache
def _number_pattern(pattern: str) -> re.Pattern[str]:
    return re.compile(pattern)
