"""Finding devices: listen at each port and speed, ask where nothing speaks."""

from __future__ import annotations

import contextlib
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from serial.tools import list_ports

from benchapp.foundation.language import tr
from drivers.addresses import scheme_of
from drivers.errors import PortError
from drivers.formats import LineFormat
from drivers.framing import WholeFraming, wire_bytes
from drivers.hearing import (
    AS_USUAL,
    ENOUGH_LINES,
    SHOWN_BYTES,
    Hearing,
    Listener,
    PortReport,
    Search,
    collect,
    silence_s,
)
from drivers.links import LINK_ERRORS, SerialSettings, open_link
from drivers.message_devices import FORMAT_OF
from drivers.message_ports import MessagePort, fit_of, message_ports
from drivers.readings import Clock
from drivers.settings import UsbIdentity


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
    listener = Listener(search, formats, progress, clock)
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


def _listen_whole(port: MessagePort, listener: Listener) -> PortReport:
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
        enough = 1 if asked else ENOUGH_LINES
        catch = collect(link, WholeFraming(), listener.search.seconds, listener.clock, enough)
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
        found, raw=catch.raw[:SHOWN_BYTES], lines=catch.lines, period_s=catch.pause_s, fits=fits, trouble=why
    )


def _with_identity(heard: PortReport, port: Any) -> PortReport:
    if port is None:
        return heard
    usb = None if port.vid is None else UsbIdentity(port.vid, port.pid, port.serial_number)
    return replace(heard, description=port.description or "", usb=usb)


def _listen_at(port: str, listener: Listener) -> PortReport:
    """The first speed at which something fits, or else the speed at which most was heard."""
    bauds = listener.search.bauds
    if len(bauds) > 1:
        listener.progress(
            tr(
                "{port}: waiting for a line. Where none comes, it is asked for one; a silent port takes about {longest:.0f} s "
                "({count} speeds).",
                port=port,
                longest=silence_s(listener.search, listener.formats),
                count=len(bauds),
            )
        )
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
            heard, received = Hearing(PortReport(port, baud=baud), link, listener).hear()
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
