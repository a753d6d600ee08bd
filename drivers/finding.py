"""Finding devices: listen at each port and speed, ask where nothing speaks, propose the bench section."""

from __future__ import annotations

import contextlib
import math
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Literal

from serial.tools import list_ports

from benchapp.foundation.language import tr
from drivers.addresses import scheme_of
from drivers.errors import PortError
from drivers.format_fit import Fit, Misfit, judge, seven_bits
from drivers.formats import LineFormat
from drivers.framing import (
    FrameFraming,
    Framing,
    LineFraming,
    RtuFraming,
    WholeFraming,
    framing_of,
    wire_bytes,
)
from drivers.links import LINK_ERRORS, READ_WAIT_S, SerialSettings, open_link, read_chunk
from drivers.message_devices import FORMAT_OF
from drivers.message_ports import MessagePort, fit_of, message_ports
from drivers.modbus import registers_of
from drivers.readings import Clock, FaultKind
from drivers.settings import DeviceSettings, UsbIdentity
from drivers.sysfs_link import SYSFS_ROOT

#: The speeds of bench instruments, the likeliest first. Common practice, no source.
BAUDS = (9600, 19200, 2400, 4800, 38400, 57600, 115200, 1200)

#: Lines after which a port has said enough.
ENOUGH_LINES = 6
_MOST_BYTES = 20_000  # of garbage without an end of line
_SHOWN_BYTES = 200
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
class _Listener:
    """How to listen, with which formats, and whom to tell."""

    search: Search
    formats: Mapping[str, LineFormat]
    progress: Callable[[str], None]
    clock: Clock


def listen(
    ports: Sequence[str] | None,
    *,
    search: Search = AS_USUAL,
    formats: Mapping[str, LineFormat],
    progress: Callable[[str], None] = lambda told: None,
    clock: Clock = time.monotonic,
) -> tuple[PortReport, ...]:
    """What every port says: one PortReport each, in order. Never raises for a port.

    ``ports`` None: all serial ports the system lists, USB weighing devices, and thermometers that Linux shows as
    files, but for those with which the computer measures itself. Network ports are only listened to when named. At each speed a serial port is listened to for the seconds of ``search``, less once enough lines came; a port that stays silent is
    asked for a reading in each way the formats know, or with the request of ``search`` alone, and nothing else is ever
    sent. ``progress`` is told each step in one sentence; what it raises ends the search, with every port let go of. Raises ValueError for a request that cannot be sent.
    """
    wire_bytes(search.request)
    listener = _Listener(search, formats, progress, clock)
    serial = {port.device: port for port in list_ports.comports()}
    others, trouble = message_ports(search.sysfs_root)
    messages = {port.address: port for port in others}
    if trouble and ports is None:
        progress(trouble)
    own = sorted({port.own_chip for port in others if port.own_chip})
    if own and ports is None:
        progress(tr("Left out, as they measure the computer itself: {names}.", names=", ".join(own)))
    found = [*serial, *(port.address for port in others if not port.own_chip)]
    names = found if ports is None else list(ports)
    return tuple(
        _listen_whole(messages.get(name, MessagePort(name, "")), listener)
        if scheme_of(name) in FORMAT_OF
        else _with_identity(_listen_at(name, listener), serial.get(name))
        for name in names
    )


def ports_here(search: Search) -> tuple[str, ...]:
    """The address of every port that could be listened to now, network ones apart."""
    others, _ = message_ports(search.sysfs_root)
    return (*(port.device for port in list_ports.comports()), *(port.address for port in others))


def _listen_whole(port: MessagePort, listener: _Listener) -> PortReport:
    """What a device says whose messages come whole: there is no speed to find, and one format."""
    listener.progress(tr("{address}: listening", address=port.address))
    found = PortReport(port.address, port.description, options=port.options)
    try:
        link = open_link(port.address, SerialSettings(), listener.search.sysfs_root)
    except PortError as trouble:
        return replace(found, trouble=str(trouble))
    try:
        asked = hasattr(link, "write")
        if asked:
            link.write(b"\n")
        catch = _collect(
            link, WholeFraming(), listener.search.seconds, listener, 1 if asked else ENOUGH_LINES
        )
    except LINK_ERRORS:
        return replace(
            found,
            trouble=tr(
                "{address} gives no reading just now. Look at its plug and try again.", address=port.address
            ),
        )
    finally:
        link.close()
    fit, why = fit_of(port, catch.lines, link)
    fits = () if fit is None else (fit,)
    return replace(
        found, raw=catch.raw[:_SHOWN_BYTES], lines=catch.lines, period_s=catch.pause_s, fits=fits, trouble=why
    )


def _with_identity(heard: PortReport, port: Any) -> PortReport:
    if port is None:
        return heard
    usb = None if port.vid is None else UsbIdentity(port.vid, port.pid, port.serial_number)
    return replace(heard, description=port.description or "", usb=usb)


def _listen_at(port: str, listener: _Listener) -> PortReport:
    """The first speed at which something fits, or else the speed at which most was heard."""
    bauds = listener.search.bauds
    if len(bauds) > 1:
        listener.progress(_how_long(port, listener))
    best = PortReport(
        port, trouble=tr("{port} said nothing at {names} baud.", port=port, names=", ".join(map(str, bauds)))
    )
    most = 0
    for baud in bauds:
        listener.progress(tr("{port}: listening at {baud} baud", port=port, baud=baud))
        try:
            link = open_link(port, SerialSettings(baud))
        except PortError as trouble:
            return PortReport(port, trouble=str(trouble))
        try:
            heard, received = _hear(port, baud, link, listener)
        except LINK_ERRORS:
            return PortReport(
                port,
                trouble=tr("{port} went away while it was listened to. Plug it in and try again.", port=port),
            )
        finally:
            with contextlib.suppress(*LINK_ERRORS):  # a port that went away cannot be closed properly
                link.close()
        if heard.fits:
            return heard
        if len(heard.lines) > len(best.lines) or (received and not most):
            best, most = heard, received
    return best


def _how_long(port: str, listener: _Listener) -> str:
    """What is waited for at a serial port, and how long where nothing is ever said."""
    search, formats = listener.search, listener.formats.values()
    ways = 1 if search.request else sum(x.is_modbus or bool(x.request) for x in formats)
    asking_s = _ASK_WAIT_S + READ_WAIT_S  # the last read of a wait may end after it
    longest_s = len(search.bauds) * (search.seconds + READ_WAIT_S + ways * asking_s)
    return tr(
        "{port}: waiting for a line. Where none comes, it is asked for one; a silent port takes about {longest:.0f} s "
        "({count} speeds).",
        port=port,
        longest=longest_s,
        count=len(search.bauds),
    )


def _hear(port: str, baud: int, link: Any, listener: _Listener) -> tuple[PortReport, int]:
    """What is heard at one speed, and how many bytes came by themselves."""
    catch = _collect(link, LineFraming(), listener.search.seconds, listener)
    if not catch.raw and listener.search.request:
        return _ask_own(port, baud, link, listener), 0
    if not catch.raw:
        # Text requests first: a device that speaks text is least surprised by them.
        for key, line_format in sorted(listener.formats.items(), key=lambda item: item[1].is_modbus):
            answered = _ask(port, baud, link, key, line_format, listener)
            if answered is not None:
                return answered, 0
        return PortReport(port, baud=baud), 0
    fits, misfits = judge(catch.lines, listener.formats, raw=catch.raw)
    heard = PortReport(
        port,
        baud=baud,
        raw=catch.raw[:_SHOWN_BYTES],
        lines=catch.lines,
        period_s=catch.pause_s,
        fits=fits,
        misfits=misfits,
    )
    if not fits:
        heard = replace(
            heard,
            trouble=tr("{port} speaks at {baud} baud, but in no format known here.", port=port, baud=baud),
        )
        parity, lines = seven_bits(catch.raw)
        seven = bytes(byte & 0x7F for byte in catch.raw)
        fits, misfits = judge(lines, listener.formats, raw=seven) if parity else ((), ())
        if fits and parity:
            heard = replace(heard, bits=7, parity=parity, lines=lines, fits=fits, misfits=misfits, trouble="")
    return heard, len(catch.raw)


@dataclass(frozen=True, slots=True)
class _Received:
    """Complete messages, the longest pause between two in seconds, and every byte that came."""

    lines: tuple[bytes, ...]
    pause_s: float | None
    raw: bytes


def _collect(
    link: Any, framing: Framing, seconds: float, listener: _Listener, enough: int = ENOUGH_LINES
) -> _Received:
    lines: list[bytes] = []
    pause_s: float | None = None
    last_s: float | None = None
    raw = b""
    until_s = listener.clock() + seconds
    while len(lines) < enough and listener.clock() < until_s and len(raw) < _MOST_BYTES:
        chunk = read_chunk(link)
        raw += chunk
        new = [line for line in framing.feed(chunk) if line is not None] if chunk else []
        if new:
            now_s = listener.clock()
            pause_s = pause_s if last_s is None else max(pause_s or 0.0, now_s - last_s)
            last_s = now_s
            lines.extend(new)
    return _Received(tuple(lines), pause_s, raw)


def _ask(
    port: str, baud: int, link: Any, key: str, line_format: LineFormat, listener: _Listener
) -> PortReport | None:
    """A reading asked for as one format does; None when that brings no answer it can read."""
    if line_format.is_modbus:
        return _ask_registers(port, baud, link, key, line_format, listener)
    if not line_format.request:
        return None
    asked = line_format.request
    listener.progress(tr("{port}: asking at {baud} baud, {asked}", port=port, baud=baud, asked=asked))
    lines, raw = _answers(
        link, wire_bytes(asked) + line_format.terminator, framing_of(line_format.frame), listener
    )
    fits, misfits = judge(lines, {key: line_format}, asked=True, raw=raw)
    if not fits:
        return None
    others = tuple(
        Misfit(other, tr("the device answers to {asked}", asked=asked))
        for other in listener.formats
        if other != key
    )
    return PortReport(port, baud=baud, asked=asked, raw=raw, lines=lines, fits=fits, misfits=misfits + others)


def _ask_own(port: str, baud: int, link: Any, listener: _Listener) -> PortReport:
    """What comes when the maker's own word is sent, held against every format."""
    asked = listener.search.request
    listener.progress(tr("{port}: asking at {baud} baud, {asked}", port=port, baud=baud, asked=asked))
    lines, raw = _answers(link, wire_bytes(asked) + b"\r\n", LineFraming(), listener)
    if not raw:
        return PortReport(port, baud=baud)
    fits, misfits = judge(lines, listener.formats, asked=True, raw=raw)
    trouble = (
        ""
        if fits
        else tr(
            "{port} answers to {asked} at {baud} baud, but in no format known here.",
            port=port,
            asked=asked,
            baud=baud,
        )
    )
    return PortReport(
        port,
        baud=baud,
        asked=asked,
        own_request=True,
        raw=raw[:_SHOWN_BYTES],
        lines=lines,
        fits=fits,
        misfits=misfits,
        trouble=trouble,
    )


def _answers(
    link: Any, request: bytes, framing: LineFraming | FrameFraming, listener: _Listener
) -> tuple[tuple[bytes, ...], bytes]:
    """The complete messages and every byte that a few requests bring; it is asked no more where nothing comes."""
    lines: tuple[bytes, ...] = ()
    raw = b""
    for _ in range(_ASKS_A_FORMAT):
        framing.opened()
        framing.asked()
        link.write(request)
        got = _collect(link, framing, _ASK_WAIT_S, listener, enough=1)
        lines, raw = lines + got.lines, raw + got.raw
        if not raw:
            break
    return lines, raw


def _ask_registers(
    port: str, baud: int, link: Any, key: str, line_format: LineFormat, listener: _Listener
) -> PortReport | None:
    settings = DeviceSettings(port, "thermometer", port, key, ("register",))
    registers = registers_of(settings, line_format.modbus or {})
    listener.progress(
        tr(
            "{port}: asking at {baud} baud, register {firsts} of device {address}",
            port=port,
            baud=baud,
            firsts=registers.firsts[0],
            address=registers.address,
        )
    )
    link.write(registers.request())
    frames = _collect(link, RtuFraming(), _ASK_WAIT_S, listener, enough=1).lines
    if not frames:
        return None
    # What its numbers are worth is not known yet: any is shown as it is.
    anything = replace(registers.limits, low=-math.inf, high=math.inf)
    reading = replace(registers, limits=anything).read(frames[0])[0]
    if reading.fault is FaultKind.UNREADABLE:
        return None
    raw = (
        reading.why
        if reading.value is None
        else tr("register {firsts} holds {value:g}", firsts=registers.firsts[0], value=reading.value)
    )
    fits = tuple(Fit(key, kind, 1, (raw,), None, (1.0,)) for kind in line_format.kinds)
    return PortReport(port, baud=baud, asked=tr("a register"), lines=frames, fits=fits)
