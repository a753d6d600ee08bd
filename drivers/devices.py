"""Devices by their language, text lines, Modbus registers or whole messages; and opening one, or a whole bench."""

from __future__ import annotations

from collections.abc import Mapping

from benchapp.foundation.language import tr
from drivers.errors import BadDevice
from drivers.formats import LineFormat, LineParser, formats_with, last_unit, shipped_formats
from drivers.framing import RtuFraming, framing_of, wire_bytes
from drivers.message_devices import message_device
from drivers.modbus import Registers, registers_of
from drivers.port_device import PortDevice
from drivers.ports import AS_USUAL, Reopening
from drivers.readings import Clock, Sink
from drivers.settings import Bench, DeviceSettings
from drivers.units import SPELLINGS

#: What a bench file may set for a device that speaks lines.
LINE_OPTIONS = ("unit", "request")


class LineDevice(PortDevice):
    """A device that speaks text lines, by itself or when asked."""

    def __init__(
        self,
        settings: DeviceSettings,
        line_format: LineFormat,
        clock: Clock,
        sink: Sink,
        reopening: Reopening,
    ) -> None:
        """Raises BadDevice when the settings and the format do not fit each other."""
        self._parser = parser_of(settings, line_format)
        framing = framing_of(line_format.frame)
        super().__init__(settings, clock, sink, framing, reopening, self._parser.line_unit)
        self._format = line_format
        self._read = self._bytes(settings.options.get("request", line_format.request))
        self._last_unit: str | None = None

    def _bytes(self, request: str) -> bytes:
        if not request:
            return b""
        try:
            return wire_bytes(request) + self._format.terminator
        except ValueError as bad:
            raise BadDevice(tr("{name}: the request {bad}.", name=self.name, bad=bad)) from bad

    def _read_request(self) -> bytes:
        return self._read

    def _heard(self, line: bytes, at_s: float) -> None:
        readings = self._parser.read(line, self._last_unit)
        self._last_unit = last_unit(readings, self._last_unit)
        self._pass_on(readings, at_s)


def parser_of(settings: DeviceSettings, line_format: LineFormat) -> LineParser:
    """The parser for one device. Raises BadDevice for options or channels the format cannot have."""
    for option in settings.options:
        if option not in LINE_OPTIONS:
            raise BadDevice(
                tr(
                    "{name}: {option} is not an option of {key}; use {names}.",
                    name=settings.name,
                    option=option,
                    key=line_format.key,
                    names=", ".join(LINE_OPTIONS),
                )
            )
    unit = settings.options.get("unit")
    return LineParser(
        line_format,
        settings.kind,
        len(settings.channels),
        unit=None if unit is None else SPELLINGS.get(unit, unit),
        capacity=settings.capacity_g,
    )


class ModbusDevice(PortDevice):
    """A device whose channels are Modbus RTU registers; also over TCP, where the frames stay RTU."""

    def __init__(
        self,
        settings: DeviceSettings,
        registers: Registers,
        clock: Clock,
        sink: Sink,
        reopening: Reopening,
    ) -> None:
        super().__init__(settings, clock, sink, RtuFraming(), reopening, registers.unit)
        self._registers = registers
        self._request = registers.request()

    def _read_request(self) -> bytes:
        return self._request

    def _heard(self, line: bytes, at_s: float) -> None:
        self._pass_on(self._registers.read(line), at_s)


def open_device(
    settings: DeviceSettings,
    clock: Clock,
    sink: Sink,
    formats: Mapping[str, LineFormat] | None = None,
    reopening: Reopening = AS_USUAL,
) -> PortDevice:
    """A device, not yet started. Nothing is opened before ``start``, and ``start`` never raises for a port.

    Raises BadDevice for an unknown format and for settings that cannot work.
    """
    whole = message_device(settings, clock, sink, reopening)
    if whole is not None:
        return whole
    known = shipped_formats() if formats is None else formats
    line_format = known.get(settings.format)
    if line_format is None:
        raise BadDevice(
            tr(
                "{name}: there is no format {format!r}; use one of {names}.",
                name=settings.name,
                format=settings.format,
                names=", ".join(sorted(known)),
            )
        )
    if line_format.modbus is not None:
        registers = registers_of(settings, line_format.modbus)
        return ModbusDevice(settings, registers, clock, sink, reopening)
    return LineDevice(settings, line_format, clock, sink, reopening)


def check_settings(settings: DeviceSettings, formats: Mapping[str, LineFormat]) -> None:
    """Whether a device can be opened at all, without touching its port. Raises BadDevice with the reason."""
    open_device(settings, lambda: 0.0, lambda spoken: None, formats)


def open_bench(bench: Bench, clock: Clock, sink: Sink) -> tuple[PortDevice, ...]:
    """All devices of a bench, in file order, not yet started.

    Raises BadDevice for settings that cannot work, BadLineFormat for the maker's own formats.
    """
    known = formats_with(bench.formats_folder)
    return tuple(open_device(settings, clock, sink, known) for settings in bench.devices)
