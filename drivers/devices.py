"""Devices by their language, text lines or Modbus registers; and opening one, or a whole bench."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping, Sequence

from drivers.errors import BadDevice
from drivers.formats import LineFormat, LineParser, formats_with, shipped_formats
from drivers.framing import LineFraming, RtuFraming
from drivers.modbus import Registers, registers_of
from drivers.opening import find_usb
from drivers.port_device import PortDevice
from drivers.ports import RETRY_WAITS_S, FindPort
from drivers.readings import Clock, Fault, FaultKind, Sink
from drivers.settings import Bench, DeviceSettings
from drivers.units import SPELLINGS

#: How long a tare or zero request may wait for its acknowledgement: a scale waits for rest first.
ACKNOWLEDGE_S = 5.0

#: What a bench file may set for a device that speaks lines.
LINE_OPTIONS = ("unit", "request", "tare", "zero")


class LineDevice(PortDevice):
    """A device that speaks text lines, by itself or when asked."""

    def __init__(
        self,
        settings: DeviceSettings,
        line_format: LineFormat,
        clock: Clock,
        sink: Sink,
        *,
        find_port: FindPort = find_usb,
        retry_waits_s: Sequence[float] = RETRY_WAITS_S,
    ) -> None:
        """Raises BadDevice when the settings and the format do not fit each other."""
        super().__init__(settings, clock, sink, LineFraming(), find_port, retry_waits_s)
        self._format = line_format
        self._parser = parser_of(settings, line_format)
        options = settings.options
        self._read = self._bytes(options.get("request", line_format.requests.read))
        self._orders = {
            "tare": self._bytes(options.get("tare", line_format.requests.tare)),
            "zero": self._bytes(options.get("zero", line_format.requests.zero)),
        }
        self._waiting: deque[str] = deque()
        self._sent: tuple[str, float] | None = None  # the order awaiting its acknowledgement, and since when
        self._last_unit: str | None = None

    @property
    def can_tare(self) -> bool:
        """Whether the format knows how to ask for a tare."""
        return bool(self._orders["tare"])

    @property
    def can_zero(self) -> bool:
        """Whether the format knows how to ask for a zero."""
        return bool(self._orders["zero"])

    def tare(self) -> None:
        """Ask the scale to tare. Sent by the next ``tend``; a refusal, or no answer, comes as a fault.

        Raises BadDevice where the format has no such request.
        """
        self._order("tare")

    def zero(self) -> None:
        """Ask the scale to set zero; otherwise as ``tare``."""
        self._order("zero")

    def _order(self, order: str) -> None:
        if not self._orders[order]:
            raise BadDevice(f"{self.name} cannot be asked to {order}; press the key on the device.")
        self._waiting.append(order)

    def _bytes(self, request: str) -> bytes:
        if not request:
            return b""
        if not all(" " <= sign <= "~" for sign in request):
            raise BadDevice(f"{self.name}: the request {request!r} has signs that are not printable ASCII.")
        return request.encode("ascii") + self._format.terminator

    def _read_request(self) -> bytes:
        return self._read

    def _is_busy(self, now_s: float) -> bool:
        sent = self._sent
        if sent is None:
            return False
        order, since_s = sent
        if now_s - since_s < ACKNOWLEDGE_S:
            return True
        self._sent = None
        self._heard_s = now_s  # it may speak again before it is judged silent
        self._order_failed(f"did not answer the {order} request; look at its display", now_s)
        return False

    def _next_command(self, now_s: float) -> bytes | None:
        if not self._waiting:
            return None
        order = self._waiting.popleft()
        if order in self._format.acknowledgements:
            self._sent = (order, now_s)
        return self._orders[order]

    def _not_open(self) -> None:
        # An order from before the port went away must not reach whatever stands on the pan afterwards.
        lost = [self._sent[0]] if self._sent else []
        lost += self._waiting
        self._sent = None
        self._waiting.clear()
        for order in lost:
            self._order_failed(f"is not connected, so {order} was not done; ask again", self._clock())

    def _order_failed(self, why: str, at_s: float) -> None:
        channel = self.settings.channels[0]
        self._speak(Fault(self.name, channel, FaultKind.DEVICE_ERROR, f"{self.name} {why}.", at_s))

    def _heard(self, line: bytes, at_s: float) -> None:
        sent = self._sent  # the owner's thread may give up waiting at any moment
        if sent is not None and self._answered(sent[0], line, at_s):
            return
        spokes = self._parser.read(line, self._last_unit)
        if spokes and spokes[0].fault is FaultKind.UNREADABLE and self._late_answer(line):
            spokes = ()
        if len(spokes) == 1 and spokes[0].unit is not None:
            self._last_unit = spokes[0].unit
        self._speak_spokes(spokes, at_s)

    def _answered(self, order: str, line: bytes, at_s: float) -> bool:
        answer = self._parser.acknowledges(order, line)
        if answer is None:
            return False
        done, why = answer
        self._sent = None
        self._speak_spokes((), at_s)
        if not done:
            self._order_failed(
                f"refused to {order}{f' ({why})' if why else ''}; let it come to rest and ask again", at_s
            )
        return True

    def _late_answer(self, line: bytes) -> bool:
        return any(self._parser.acknowledges(order, line) for order in self._format.acknowledgements)


def parser_of(settings: DeviceSettings, line_format: LineFormat) -> LineParser:
    """The parser for one device. Raises BadDevice for options or channels the format cannot have."""
    for option in settings.options:
        if option not in LINE_OPTIONS:
            raise BadDevice(
                f"{settings.name}: {option} is not an option of {line_format.key}; "
                f"use {', '.join(LINE_OPTIONS)}."
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

    can_tare = False

    def __init__(
        self,
        settings: DeviceSettings,
        registers: Registers,
        clock: Clock,
        sink: Sink,
        *,
        find_port: FindPort = find_usb,
        retry_waits_s: Sequence[float] = RETRY_WAITS_S,
    ) -> None:
        super().__init__(settings, clock, sink, RtuFraming(), find_port, retry_waits_s)
        self._registers = registers
        self._request = registers.request()

    def tare(self) -> None:
        """Not possible over registers. Raises BadDevice."""
        raise BadDevice(f"{self.name} cannot be asked to tare; press the key on the device.")

    def zero(self) -> None:
        """Not possible over registers. Raises BadDevice."""
        raise BadDevice(f"{self.name} cannot be asked to zero; press the key on the device.")

    def _read_request(self) -> bytes:
        return self._request

    def _heard(self, line: bytes, at_s: float) -> None:
        self._speak_spokes(self._registers.read(line), at_s)


def open_device(
    settings: DeviceSettings,
    clock: Clock,
    sink: Sink,
    formats: Mapping[str, LineFormat] | None = None,
    *,
    find_port: FindPort = find_usb,
    retry_waits_s: Sequence[float] = RETRY_WAITS_S,
) -> LineDevice | ModbusDevice:
    """A device, not yet started. Nothing is opened before ``start``, and ``start`` never raises for a port.

    Raises BadDevice for an unknown format and for settings that cannot work.
    """
    known = shipped_formats() if formats is None else formats
    line_format = known.get(settings.format)
    if line_format is None:
        raise BadDevice(
            f"{settings.name}: there is no format {settings.format!r}; use one of {', '.join(sorted(known))}."
        )
    if line_format.modbus is not None:
        registers = registers_of(settings, line_format.modbus)
        return ModbusDevice(
            settings, registers, clock, sink, find_port=find_port, retry_waits_s=retry_waits_s
        )
    return LineDevice(settings, line_format, clock, sink, find_port=find_port, retry_waits_s=retry_waits_s)


def check_settings(settings: DeviceSettings, formats: Mapping[str, LineFormat]) -> None:
    """Whether a device can be opened at all, without touching its port. Raises BadDevice with the reason."""
    open_device(settings, lambda: 0.0, lambda spoken: None, formats)


def open_bench(
    bench: Bench, clock: Clock, sink: Sink, formats: Mapping[str, LineFormat] | None = None
) -> tuple[LineDevice | ModbusDevice, ...]:
    """All devices of a bench, in file order, not yet started.

    Raises BadDevice for settings that cannot work, BadLineFormat for the maker's own formats.
    """
    known = formats_with(bench.formats_folder) if formats is None else formats
    return tuple(open_device(settings, clock, sink, known) for settings in bench.devices)
