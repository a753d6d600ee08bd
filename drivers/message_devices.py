"""Devices without a serial port, each message of which comes whole: USB weighing devices, and thermometers that
Linux shows as files."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from benchapp.foundation.language import tr
from drivers.addresses import HID, SYSFS, scheme_of
from drivers.errors import BadDevice, PortMissing
from drivers.formats.channel_reading import QUANTITY, ChannelReading, PossibleRange
from drivers.framing import WholeFraming
from drivers.hid_descriptor import USUAL_LAYOUT
from drivers.hid_report import read_report
from drivers.links import SerialSettings
from drivers.port_device import PortDevice
from drivers.ports import Reopening
from drivers.readings import Clock, Sink
from drivers.settings import DeviceKind, DeviceSettings
from drivers.sysfs_link import read_temperature

#: What stands as ``format`` of a device at such a port, and the one kind of device it can be.
FORMAT_OF: dict[str, tuple[str, DeviceKind]] = {
    HID: ("hid-report", "scale"),
    SYSFS: ("temperature-file", "thermometer"),
}
_ASK = b"\n"  # any byte: it only wakes the reader


class MessageDevice(PortDevice):
    """A device of one channel whose messages come whole; ``link`` is what is open just now."""

    def __init__(self, settings: DeviceSettings, clock: Clock, sink: Sink, reopening: Reopening) -> None:
        self._limits = PossibleRange.of(QUANTITY[settings.kind], settings.capacity_g)
        self._open: Callable[[str, SerialSettings], Any] = reopening.open
        super().__init__(settings, clock, sink, WholeFraming(), replace(reopening, open=self._opened), "")

    def _opened(self, url: str, line: SerialSettings) -> Any:
        return self._open(url, line)

    def _read(self, message: bytes) -> tuple[ChannelReading, ...]:
        raise NotImplementedError

    def _heard(self, line: bytes, at_s: float) -> None:
        self._pass_on(self._read(line), at_s)


class HidScaleDevice(MessageDevice):
    """A USB weighing device: it sends reports by itself, in the layout of its descriptor."""

    _layout = USUAL_LAYOUT

    def _opened(self, url: str, line: SerialSettings) -> Any:
        link = self._open(url, line)
        self._layout = link.layout
        return link

    def _read(self, message: bytes) -> tuple[ChannelReading, ...]:
        return read_report(message, self._layout, self._limits)


class TemperatureFileDevice(MessageDevice):
    """A thermometer that Linux shows as a file, read once each period. ``options``: ``chip``, the name its chip has."""

    def _opened(self, url: str, line: SerialSettings) -> Any:
        link = self._open(url, line)
        chip = self.settings.options.get("chip")
        if chip not in (None, link.chip):
            raise PortMissing(
                tr(
                    "{url} is the chip {chip} now, and the bench file says {chip_2}: the system has "
                    "numbered its chips anew. benchapp listen shows where it is; correct the port in the "
                    "bench file.",
                    url=url,
                    chip=link.chip or tr("without a name"),
                    chip_2=chip,
                )
            )
        return link

    def _read_request(self) -> bytes:
        return _ASK

    def _read(self, message: bytes) -> tuple[ChannelReading, ...]:
        return read_temperature(message, self._limits)


def message_device(
    settings: DeviceSettings, clock: Clock, sink: Sink, reopening: Reopening
) -> MessageDevice | None:
    """The device at such a port, not yet started; None for a port of another sort, which has a line format.

    Raises BadDevice for settings that do not go with the port.
    """
    scheme = scheme_of(settings.port)
    for its, (key, kind) in FORMAT_OF.items():
        if (its == scheme) is not (key == settings.format):
            where = tr("a port that begins with {its}:", its=its)
            raise BadDevice(
                tr(
                    "{name}: format {key} is for {where}, and such a port has no other format.",
                    name=settings.name,
                    key=key,
                    where=where,
                )
            )
        if its == scheme and settings.kind != kind:
            raise BadDevice(
                tr(
                    "{name}: a port that begins with {its}: is a {kind}; correct kind or port.",
                    name=settings.name,
                    its=its,
                    kind=kind,
                )
            )
    if scheme not in FORMAT_OF:
        return None
    _require_plain(settings, ("chip",) if scheme == SYSFS else ())
    made = HidScaleDevice if scheme == HID else TemperatureFileDevice
    return made(settings, clock, sink, reopening)


def _require_plain(settings: DeviceSettings, options: tuple[str, ...]) -> None:
    unknown = [option for option in settings.options if option not in options]
    if unknown:
        raise BadDevice(
            tr(
                "{name}: {unknown} is not an option of {format}; take it out.",
                name=settings.name,
                unknown=unknown[0],
                format=settings.format,
            )
        )
    if settings.usb is not None:
        raise BadDevice(
            tr(
                "{name}: usb finds serial adapters; this port names its device. Take usb out.",
                name=settings.name,
            )
        )
    if len(settings.channels) != 1:
        raise BadDevice(
            tr(
                "{name}: {format} has one probe; write one section for each.",
                name=settings.name,
                format=settings.format,
            )
        )
