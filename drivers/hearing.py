"""What a port says at one speed: listened to first, then asked in the ways the formats know, or with the maker's own word."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Literal

from benchapp.foundation.language import tr
from drivers.format_fit import Fit, Misfit, judge, seven_bits
from drivers.formats import LineFormat
from drivers.framing import FrameFraming, Framing, LineFraming, RtuFraming, framing_of, wire_bytes
from drivers.links import READ_WAIT_S, read_chunk
from drivers.modbus import registers_of
from drivers.readings import Clock, FaultKind
from drivers.settings import DeviceSettings, UsbIdentity
from drivers.sysfs_link import SYSFS_ROOT

#: The speeds of bench instruments, the likeliest first. Common practice, no source.
BAUDS = (9600, 19200, 2400, 4800, 38400, 57600, 115200, 1200)

#: Lines after which a port has said enough, and how many bytes of what came are shown.
ENOUGH_LINES, SHOWN_BYTES = 6, 200
_MOST_BYTES = 20_000  # of garbage without an end of line
_ASKS_A_FORMAT = 3
_ASK_WAIT_S = 0.6


@dataclass(frozen=True, slots=True)
class PortReport:
    """What one port said. Without ``fits``, ``trouble`` or ``misfits`` say why nothing can be proposed.

    ``baud``, ``bits`` and ``parity`` are those at which ``lines`` were heard; ``asked`` is the request they
    answer, empty when the device speaks by itself; ``own_request``: the maker gave it, no format knows it. ``raw`` is the
    beginning of what came, ``period_s`` the longest pause between two lines.
    """

    port: str
    description: str = ""
    usb: UsbIdentity | None = None
    baud: int = 0
    bits: Literal[7, 8] = 8
    parity: Literal["N", "E", "O"] = "N"
    asked: str = ""
    own_request: bool = False
    raw: bytes = b""
    lines: tuple[bytes, ...] = ()
    period_s: float | None = None
    fits: tuple[Fit, ...] = ()
    misfits: tuple[Misfit, ...] = ()
    trouble: str = ""
    options: tuple[tuple[str, str], ...] = ()  # what its section in the bench file has to say beside

    def by_kind(self) -> tuple[PortReport, ...]:
        """One report for each kind of device it may be, the likeliest first, so that a maker can say which."""
        kinds = dict.fromkeys(fit.kind for fit in self.fits)
        return tuple(
            replace(self, fits=tuple(fit for fit in self.fits if fit.kind == kind)) for kind in kinds
        )


@dataclass(frozen=True, slots=True)
class Search:
    """How ports are listened to: at which speeds, for how many seconds at each, and with which request of the maker's
    own a device is asked that speaks only then ("": in the ways the formats know). ``sysfs_root``: where Linux shows
    thermometers as files."""

    bauds: Sequence[int] = BAUDS
    seconds: float = 3.0
    request: str = ""
    sysfs_root: Path = SYSFS_ROOT


AS_USUAL = Search()


@dataclass(frozen=True, slots=True)
class Listener:
    """How to listen, with which formats, and whom to tell."""

    search: Search
    formats: Mapping[str, LineFormat]
    progress: Callable[[str], None]
    clock: Clock


def silence_s(search: Search, formats: Mapping[str, LineFormat]) -> float:
    """How many seconds a serial port takes on which nothing is ever said."""
    ways = 1 if search.request else sum(x.is_modbus or bool(x.request) for x in formats.values())
    asking_s = _ASK_WAIT_S + READ_WAIT_S  # the last read of a wait may end after it
    return len(search.bauds) * (search.seconds + READ_WAIT_S + ways * asking_s)


@dataclass(frozen=True, slots=True)
class Received:
    """Complete messages, the longest pause between two in seconds, and every byte that came."""

    lines: tuple[bytes, ...]
    pause_s: float | None
    raw: bytes


def collect(
    link: Any, framing: Framing, seconds: float, clock: Clock, enough: int = ENOUGH_LINES
) -> Received:
    """What comes on a link within so many seconds, or until it is enough."""
    lines: list[bytes] = []
    pause_s: float | None = None
    last_s: float | None = None
    raw = b""
    until_s = clock() + seconds
    while len(lines) < enough and clock() < until_s and len(raw) < _MOST_BYTES:
        chunk = read_chunk(link)
        raw += chunk
        new = [line for line in framing.feed(chunk) if line is not None] if chunk else []
        if new:
            now_s = clock()
            pause_s = pause_s if last_s is None else max(pause_s or 0.0, now_s - last_s)
            last_s = now_s
            lines.extend(new)
    return Received(tuple(lines), pause_s, raw)


@dataclass(frozen=True, slots=True)
class Hearing:
    """A port that is open at one speed, ``at``, and how it is listened to."""

    at: PortReport
    link: Any
    listener: Listener

    def hear(self) -> tuple[PortReport, int]:
        """What is heard, and how many bytes came by themselves."""
        search, formats = self.listener.search, self.listener.formats
        catch = self._collect(LineFraming(), search.seconds, ENOUGH_LINES)
        if not catch.raw:
            return self._ask_own(search.request) if search.request else self._ask_as_known(), 0
        fits, misfits = judge(catch.lines, formats, raw=catch.raw)
        heard = replace(
            self.at,
            raw=catch.raw[:SHOWN_BYTES],
            lines=catch.lines,
            period_s=catch.pause_s,
            fits=fits,
            misfits=misfits,
        )
        if fits:
            return heard, len(catch.raw)
        parity, lines = seven_bits(catch.raw)
        seven = bytes(byte & 0x7F for byte in catch.raw)
        fits, misfits = judge(lines, formats, raw=seven) if parity else ((), ())
        if fits and parity:
            return replace(heard, bits=7, parity=parity, lines=lines, fits=fits, misfits=misfits), len(
                catch.raw
            )
        said = tr(
            "{port} speaks at {baud} baud, but in no format known here.", port=self.at.port, baud=self.at.baud
        )
        return replace(heard, trouble=said), len(catch.raw)

    def _collect(self, framing: Framing, seconds: float, enough: int) -> Received:
        return collect(self.link, framing, seconds, self.listener.clock, enough)

    def _ask_as_known(self) -> PortReport:
        # Text requests first: a device that speaks text is least surprised by them.
        for key, line_format in sorted(self.listener.formats.items(), key=lambda item: item[1].is_modbus):
            ask = self._ask_registers if line_format.is_modbus else self._ask
            answered = ask(key, line_format)
            if answered is not None:
                return answered
        return self.at

    def _ask(self, key: str, line_format: LineFormat) -> PortReport | None:
        """A reading asked for as one format does; None when that brings no answer it can read."""
        asked = line_format.request
        if not asked:
            return None
        lines, raw = self._answers(asked, line_format.terminator, framing_of(line_format.frame))
        fits, misfits = judge(lines, {key: line_format}, asked=True, raw=raw)
        if not fits:
            return None
        why = tr("the device answers to {asked}", asked=asked)
        others = tuple(Misfit(other, why) for other in self.listener.formats if other != key)
        return replace(self.at, asked=asked, raw=raw, lines=lines, fits=fits, misfits=misfits + others)

    def _ask_own(self, asked: str) -> PortReport:
        """What comes when the maker's own word is sent, held against every format."""
        lines, raw = self._answers(asked, b"\r\n", LineFraming())
        if not raw:
            return self.at
        fits, misfits = judge(lines, self.listener.formats, asked=True, raw=raw)
        heard = replace(
            self.at,
            asked=asked,
            own_request=True,
            raw=raw[:SHOWN_BYTES],
            lines=lines,
            fits=fits,
            misfits=misfits,
        )
        if fits:
            return heard
        return replace(
            heard,
            trouble=tr(
                "{port} answers to {asked} at {baud} baud, but in no format known here.",
                port=self.at.port,
                asked=asked,
                baud=self.at.baud,
            ),
        )

    def _answers(
        self, asked: str, end: bytes, framing: LineFraming | FrameFraming
    ) -> tuple[tuple[bytes, ...], bytes]:
        """The complete messages and every byte that a few requests bring; it is asked no more where nothing comes."""
        self.listener.progress(
            tr("{port}: asking at {baud} baud, {asked}", port=self.at.port, baud=self.at.baud, asked=asked)
        )
        lines: tuple[bytes, ...] = ()
        raw = b""
        for _ in range(_ASKS_A_FORMAT):
            framing.opened()
            framing.asked()
            self.link.write(wire_bytes(asked) + end)
            got = self._collect(framing, _ASK_WAIT_S, 1)
            lines, raw = lines + got.lines, raw + got.raw
            if not raw:
                break
        return lines, raw

    def _ask_registers(self, key: str, line_format: LineFormat) -> PortReport | None:
        port = self.at.port
        registers = registers_of(
            DeviceSettings(port, "thermometer", port, key, ("register",)), line_format.modbus or {}
        )
        first = registers.firsts[0]
        self.listener.progress(
            tr(
                "{port}: asking at {baud} baud, register {firsts} of device {address}",
                port=port,
                baud=self.at.baud,
                firsts=first,
                address=registers.address,
            )
        )
        self.link.write(registers.request())
        frames = self._collect(RtuFraming(), _ASK_WAIT_S, 1).lines
        if not frames:
            return None
        # What its numbers are worth is not known yet: any is shown as it is.
        anything = replace(registers.limits, low=-math.inf, high=math.inf)
        reading = replace(registers, limits=anything).read(frames[0])[0]
        if reading.fault is FaultKind.UNREADABLE:
            return None
        said = tr("register {firsts} holds {value:g}", firsts=first, value=reading.value)
        shown = reading.why if reading.value is None else said
        fits = tuple(Fit(key, kind, 1, (shown,), None, (1.0,)) for kind in line_format.kinds)
        return replace(self.at, asked=tr("a register"), lines=frames, fits=fits)
