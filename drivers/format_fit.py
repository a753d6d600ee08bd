"""Which line formats fit what a port said, what they read there, and why the others do not. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from benchapp.foundation.language import tr
from drivers.errors import BadDevice
from drivers.formats import ChannelReading, LineFormat, LineParser, describe, last_unit
from drivers.framing import LineFraming, framing_of
from drivers.readings import FaultKind
from drivers.settings import DeviceKind

#: The share of lines a format must read before it fits: one line in five may be damaged on a bad cable.
#: No source; a wrong format reads none, as a rule.
FITTING_SHARE = 0.8

_SHOWN_READINGS = 3


@dataclass(frozen=True, slots=True)
class Fit:
    """A format that reads the lines, as a device of one kind. ``reads`` are its first readings, in words.

    ``resolution`` is the finest step seen, in the house unit. ``names_unit``: the lines say themselves in which unit
    they are; else the reading is only what the format takes it for.
    """

    format: str
    kind: DeviceKind
    channels: int
    reads: tuple[str, ...]
    resolution: float | None
    score: tuple[float, ...]
    names_unit: bool = False
    unit: str = ""  # the one the lines name


@dataclass(frozen=True, slots=True)
class Misfit:
    """A format that does not, and why in one sentence."""

    format: str
    why: str


def judge(
    lines: Sequence[bytes], formats: Mapping[str, LineFormat], *, asked: bool = False, raw: bytes = b""
) -> tuple[tuple[Fit, ...], tuple[Misfit, ...]]:
    """Every format against what one port said: those that fit, best first, and the rest.

    ``lines`` are its complete lines; ``raw`` is every byte, for formats whose messages are no lines. Better is what reads more of the lines, then what takes more from each: stillness, net or gross, the unit.
    ``asked`` says that the lines are replies; a format that asks never fits lines that came by themselves.
    """
    fits: list[Fit] = []
    misfits: list[Misfit] = []
    for key, line_format in formats.items():
        if line_format.is_modbus:
            continue
        if line_format.request and not asked:
            misfits.append(
                Misfit(key, tr("it is for a device that answers when asked, and this one speaks by itself"))
            )
            continue
        messages = lines if line_format.frame is None else _framed(line_format, raw)
        verdicts = [_try(line_format, kind, messages) for kind in line_format.kinds]
        found = [verdict for verdict in verdicts if isinstance(verdict, Fit)]
        fits.extend(found)
        if not found:
            misfits.append(Misfit(key, next(v for v in verdicts if isinstance(v, str))))
    fits.sort(key=lambda fit: fit.score, reverse=True)
    return tuple(fits), tuple(misfits)


def _framed(line_format: LineFormat, raw: bytes) -> tuple[bytes, ...]:
    return tuple(one for one in framing_of(line_format.frame).feed(raw) if one is not None)


def _by_turns(spoken: Sequence[ChannelReading]) -> bool:
    """Whether gross and net alternate, as on a ticket: a maker who presses tare changes it once."""
    return sum(one.net is not other.net for one, other in pairwise(spoken)) > 1


def _try(line_format: LineFormat, kind: DeviceKind, lines: Sequence[bytes]) -> Fit | str:
    if not lines:
        return tr("nothing was heard")
    channels = _channels(line_format, lines)
    try:
        parser = LineParser(line_format, kind, channels)
    except BadDevice as bad:
        return str(bad)
    heard = _read(parser, lines)
    good = [readings for readings in heard if _is_good(readings)]
    share = len(good) / len(heard)
    spoken = [reading for readings in good for reading in readings if reading.value is not None]
    if share < FITTING_SHARE or not spoken:
        return _first_why(heard)
    if _by_turns(spoken):
        return tr("it prints gross and net by turns; say in a format of your own which of them counts")
    steps = [reading.resolution for reading in spoken if reading.resolution is not None]
    first = spoken[0]
    unit = next((reading.unit for reading in spoken if reading.unit is not None), "")
    taken = sum(said is not None for said in (first.stable, first.net, first.unit))
    return Fit(
        line_format.key,
        kind,
        channels,
        tuple(describe(readings, kind) for readings in good[:_SHOWN_READINGS]),
        min(steps, default=None),
        (share, taken, channels > 1 or not line_format.between, -len(line_format.kinds)),
        unit != "" or line_format.kinds == ("ph meter",),
        unit,
    )


def _read(parser: LineParser, lines: Sequence[bytes]) -> list[tuple[ChannelReading, ...]]:
    """What each line says; where lines leave the unit out, in the one stated last, or else next."""
    unit = next((unit for line in lines if (unit := last_unit(parser.read(line), None))), None)
    heard = []
    for line in lines:
        heard.append(parser.read(line, unit))
        unit = last_unit(heard[-1], unit)
    return heard


def _channels(line_format: LineFormat, lines: Sequence[bytes]) -> int:
    if not line_format.between:
        return 1
    # The last line is the least likely to have lost its beginning.
    return lines[-1].count(line_format.between.encode("latin-1")) + 1


def _is_good(readings: tuple[ChannelReading, ...]) -> bool:
    wrong = (FaultKind.UNREADABLE, FaultKind.WRONG_UNIT, FaultKind.OUT_OF_RANGE)
    return all(reading.fault not in wrong for reading in readings)


def _first_why(heard: Sequence[tuple[ChannelReading, ...]]) -> str:
    for readings in heard:
        for reading in readings:
            if not _is_good((reading,)):
                return reading.why
    return tr("its lines hold no number")


def seven_bits(raw: bytes) -> tuple[Literal["E", "O"] | None, tuple[bytes, ...]]:
    """The lines of a device that sends seven bits and a parity bit, from bytes read as eight bits.

    The parity is even or odd when every byte says so, None otherwise; also where nothing but degree signs speaks for
    it, since "7°C" of eight bits and "70C" of seven are the same bytes. The first, partial line is dropped.
    """
    ones = {byte.bit_count() % 2 for byte in raw}
    if len(ones) != 1 or all(byte < 0x80 or byte == 0xB0 for byte in raw):
        return None, ()
    lines = LineFraming().feed(bytes(byte & 0x7F for byte in raw))
    return ("O" if ones == {1} else "E"), tuple(line for line in lines if line is not None)
