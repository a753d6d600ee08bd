"""From one line of bytes to what it says: a number in the house unit, or a typed fault. No I/O."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from functools import cache

from benchapp.foundation.language import tr, tr_noop
from drivers import units
from drivers.errors import BadDevice
from drivers.formats.channel_reading import (
    FAULT_OF,
    QUANTITY,
    ChannelReading,
    PossibleRange,
    fault_of,
    unreadable,
)
from drivers.formats.grammar import Template
from drivers.formats.line_format import LineFormat, Meaning
from drivers.framing import MAX_LINE
from drivers.readings import FaultKind, Quantity
from drivers.settings import DeviceKind

OUNCES_A_POUND = 16.0
#: Gross, tare and net of a ticket are each rounded: they agree to one division. A hair more, for the sums of floats.
_ONE_DIVISION = 1.000001
_SEVEN_BITS = tr_noop(
    "its degree sign may be a 0 with a parity bit: set bits = 7 and parity in the bench "
    "file, or let the device show decimals"
)
_Match = tuple[Template, re.Match[str]]

_ON_A_SCALE = {
    Meaning.OVERLOAD: tr_noop(": take something off"),
    Meaning.UNDERLOAD: tr_noop(": put the pan on, or empty it and zero"),
}


class LineParser:
    """Reads the lines of one device: its format, its kind, its number of channels.

    ``line_unit`` is what a line without a unit is in: the format's fixed unit, or ``unit`` (bench file option).
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
                tr(
                    "The format {key} is for a {names}, not a {kind}.",
                    key=line_format.key,
                    names=" or ".join(line_format.kinds),
                    kind=kind,
                )
            )
        if channels > 1 and not line_format.between:
            raise BadDevice(
                tr(
                    "The format {key} reads one channel a line, not {channels}.",
                    key=line_format.key,
                    channels=channels,
                )
            )
        self.format = line_format
        self.quantity = QUANTITY[kind]
        self.channels = channels
        self.line_unit = unit if unit is not None else line_format.fixed_unit.get(kind, "")
        if self.line_unit and units.UNITS.get(self.line_unit) is not self.quantity:
            raise BadDevice(
                tr("{line_unit!r} is not a unit of a {kind}.", line_unit=self.line_unit, kind=kind)
            )
        self._spellings = _spellings(line_format, kind)
        self.limits = PossibleRange.of(self.quantity, capacity)
        self._ticket: dict[Meaning, ChannelReading] = {}  # what the ticket being printed has said so far

    def read(self, line: bytes, unit: str | None = None) -> tuple[ChannelReading, ...]:
        """What a line says, one ChannelReading a channel; a line no template fits is one UNREADABLE for it all.

        ``unit`` is the unit the device last stated, for lines whose unit may be absent. Never raises, for
        any bytes; an empty tuple is a line that is known to say nothing.
        """
        if len(line) > MAX_LINE:
            return (unreadable(tr("{count} bytes in one line", count=len(line))),)
        if _maybe_seven_bits(line):
            return (unreadable(_SEVEN_BITS),)
        text = line.decode("latin-1")
        if not self.format.between:
            reading = self._one(text, self._match(text), 0, unit)
            return () if reading is None else (reading,)
        pieces = text.split(self.format.between) if self.format.between != " " else text.split()
        if len(pieces) != self.channels:
            return (
                unreadable(
                    tr(
                        "{count} channels in the line, {channels} expected",
                        count=len(pieces),
                        channels=self.channels,
                    )
                ),
            )
        found = [self._match(piece) for piece in pieces]
        mixed = self._mixed([one for one in found if one is not None])
        if mixed:
            return (unreadable(f"{_shown(text)} {mixed}"),)
        readings = [
            reading
            for n, (piece, one) in enumerate(zip(pieces, found, strict=True))
            if (reading := self._one(piece, one, n, unit)) is not None
        ]
        for reading in readings:
            if reading.fault is FaultKind.UNREADABLE:  # a line damaged in one place is not trusted in another
                return (reading,)
        if len({reading.channel for reading in readings}) < len(readings):
            return (unreadable(tr("the line names one channel twice")),)
        return tuple(readings)

    def _match(self, text: str) -> _Match | None:
        for template in self.format.lines:
            match = template.match(text)
            if match is not None:
                return template, match
        return None

    def _mixed(self, found: Sequence[_Match]) -> str:
        """Why the parts of one line do not belong together, "" where they do.

        A unit at the end may be that of the whole line, a number without decimals the half of a number with a
        decimal comma, or the number of the line: nobody can say, so none of it is read.
        """
        if self.channels == 1:
            return ""
        if len({template.has_channel for template, _ in found}) > 1:
            return tr("names some of its channels and not the others")
        with_unit = {template.has_unit for template, _ in found if template.has_value or template.has_unit}
        if len(with_unit) > 1:
            return tr("has a unit behind some of its numbers and none behind the others")
        values = [match["value"] for template, match in found if template.has_value]
        if True in with_unit or not values or found[0][0].has_channel:
            return ""
        places = {self.format.style.places(value) for value in values}
        if len(places) > 1:
            return tr("has more decimals in one number than in another, so they are not readings of one kind")
        if places == {0} and self.format.between.strip() in (".", ","):
            return tr(
                "may have {between!r} as a decimal mark: set the device to show decimals",
                between=self.format.between,
            )
        return ""

    def _one(
        self, text: str, found: _Match | None, channel: int, last_unit: str | None
    ) -> ChannelReading | None:
        if found is None:
            return unreadable(self._why_not(text))
        template, match = found
        if template.has_channel:
            channel = int(match["channel"]) - 1
            if not 0 <= channel < self.channels:
                return unreadable(
                    tr(
                        "the line speaks of channel {channel}, the bench has {channels}",
                        channel=channel + 1,
                        channels=self.channels,
                    )
                )
        stable: bool | None = None
        net: bool | None = None
        of_ticket: Meaning | None = None
        for part in template.words:
            meaning = self.format.words[part][match[part]]
            if meaning is Meaning.STABLE or meaning is Meaning.MOVING:
                stable = meaning is Meaning.STABLE
            elif meaning is Meaning.NET or meaning is Meaning.GROSS:
                net = meaning is Meaning.NET
            elif meaning is Meaning.TICKET_GROSS or meaning is Meaning.TICKET_TARE:
                of_ticket = meaning
            elif meaning is Meaning.IGNORE:
                return None
            elif meaning in FAULT_OF:
                return self._fault(channel, meaning)
        if not template.has_value:
            return unreadable(tr("the line has no number and its words do not say why"))
        found_now = self._measured(
            ChannelReading(channel, None, None, "", stable, net), template, match, last_unit
        )
        if of_ticket is not None and found_now.fault is None:
            self._ticket[of_ticket] = found_now
            return None
        return self._agreeing(found_now) if net and self._ticket else found_now

    def _agreeing(self, net: ChannelReading) -> ChannelReading:
        """The net line of a ticket, refused where it is not gross less tare, to within a division."""
        parts = [self._ticket.pop(part, None) for part in (Meaning.TICKET_GROSS, Meaning.TICKET_TARE)]
        gross, tare = (None if one is None else one.value for one in parts)
        if net.value is None:
            return net
        if gross is None or tare is None:
            return unreadable(
                tr(
                    "its ticket has no {how} line: print it again",
                    how=tr("gross") if gross is None else tr("tare"),
                )
            )
        steps = (one.resolution or 0.0 for one in (net, *parts) if one is not None)
        if abs(gross - tare - net.value) > max(steps) * _ONE_DIVISION:
            return unreadable(
                tr(
                    "its ticket says gross {gross:g} g, tare {tare:g} g and net {value:g} g, which do "
                    "not go together: print it again",
                    gross=gross,
                    tare=tare,
                    value=net.value,
                )
            )
        return net

    def _measured(
        self, reading: ChannelReading, template: Template, match: re.Match[str], last_unit: str | None
    ) -> ChannelReading:
        """``reading`` with the number of the line, in the unit the line states or its format does."""
        if template.two_parts:
            return self._two_parts(reading, match)
        if not template.columns and _dash(match):
            return unreadable(
                tr(
                    "{shown} has a dash before its number that may not be its sign",
                    shown=_shown(match.string),
                )
            )
        unit = self.line_unit
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
                return unreadable(tr("the unit is missing"))
            elif not (unit := last_unit or unit):
                return unreadable(tr("its unit is not known before the scale has rested once and printed it"))
            if self.format.absent_unit_moving:
                reading = reading._replace(stable=bool(written))
        number = self._number(template, match)
        if number is None:
            return unreadable(
                tr("{value!r} is not a number as this format writes them", value=match["value"])
            )
        value, last_digit = number
        for sentinel in self.format.sentinels:
            if math.isclose(value, sentinel.value, rel_tol=1e-6):
                return self._fault(reading.channel, sentinel.means)
        return self.limits.judge(reading, value, float(f"1e{last_digit}"), unit)

    def _two_parts(self, reading: ChannelReading, match: re.Match[str]) -> ChannelReading:
        if self.quantity is not Quantity.MASS:
            return ChannelReading(reading.channel, None, FaultKind.WRONG_UNIT, self._wrong_unit("lb oz"))
        pounds, _ = self.format.style.number(match["pounds"])
        ounces, last_digit = self.format.style.number(match["ounces"])
        if ounces >= OUNCES_A_POUND:
            return unreadable(tr("{ounces} oz are more than a pound", ounces=match["ounces"]))
        value = OUNCES_A_POUND * pounds + math.copysign(ounces, -1.0 if "-" in match["pounds"] else 1.0)
        return self.limits.judge(reading._replace(unit="oz"), value, float(f"1e{last_digit}"), "oz")

    def _fault(self, channel: int | None, meaning: Meaning) -> ChannelReading:
        fault = fault_of(channel, meaning)
        more = _ON_A_SCALE.get(meaning, "") if self.quantity is Quantity.MASS else ""
        return fault._replace(why=fault.why + more)

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
        return tr("the number is in {shown!r}: set the device to {house}", shown=shown, house=house[0])

    def _why_not(self, text: str) -> str:
        """The likeliest reason why no template fits, for the person who connects a device."""
        if not text.strip():
            return tr("the line is empty")
        if any(sign < " " or "\x7f" <= sign < "\xa0" for sign in text):
            return tr("bytes that are not text: check the baud rate")
        other = "," if self.format.style.decimal_mark == "." else "."
        if re.search(rf"[0-9]{re.escape(other)}[0-9]", text) and other not in "".join(
            t.text for t in self.format.lines
        ):
            mark = self.format.style.decimal_mark
            return tr(
                "{shown} has {other!r} in its number where this format has {mark!r}",
                shown=_shown(text),
                other=other,
                mark=mark,
            )
        return tr(
            "{shown} is not like {names}",
            shown=_shown(text),
            names=" or ".join(template.text for template in self.format.lines[:2]),
        )


def last_unit(readings: Sequence[ChannelReading], before: str | None) -> str | None:
    """The unit a device stated last: in this line, or ``before``."""
    return readings[0].unit if len(readings) == 1 and readings[0].unit is not None else before


def _dash(match: re.Match[str]) -> bool:
    """Whether a minus stands by itself between a word and the number: "T - 23.1" may be 23.1 or -23.1."""
    before, sign, after = match.string[: match.end("value")].rpartition("-")
    apart = bool(sign) and after[:1] in (" ", "\t") and before[-1:] in (" ", "\t")
    return apart and len(before) >= match.start("value") and before.strip() != ""


def _maybe_seven_bits(line: bytes) -> bool:
    """Whether a degree sign may be the digit 0 of a device that sends seven bits and an odd parity bit.

    So ``70C`` arrives as ``7°C``. In a line of eight bits some byte nearly always has an even number of ones.
    """
    plain = line.replace(b"\xc2\xb0", b"")  # as UTF-8 it is one
    return b"\xb0" in plain and all(byte.bit_count() % 2 for byte in plain)


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
