"""What every device on a port has in common: its port, its pace, its requests, its silence."""

from __future__ import annotations

from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact
from drivers.agreement import Agreement
from drivers.formats.channel_reading import QUANTITY, ChannelReading
from drivers.framing import Framing
from drivers.ports import Port, Reopening
from drivers.readings import Clock, DeviceMessage, Fault, FaultKind, Reading, Sink
from drivers.settings import DeviceSettings

#: A device is silent when nothing readable came for so long beyond one period: a computer may be busy for a
#: second and a half, but a maker who pours has to hear within two that the number no longer moves.
SILENT_MARGIN_S = 1.5

#: A device that stays silent has its port opened again ever more seldom, because opening a port resets
#: some devices, which would then never come to speak.
LONGEST_SILENCE_S = 30.0


def silent_after_s(period_s: float) -> float:
    """Seconds without anything readable after which a device of this period is silent."""
    return period_s + SILENT_MARGIN_S


class PortDevice:
    """A device without a language yet.

    ``sink`` is called from the port's thread and from the thread that calls ``tend``; it must bear both. ``line_unit``
    is what a line without a unit is in.
    """

    def __init__(
        self,
        settings: DeviceSettings,
        clock: Clock,
        sink: Sink,
        framing: Framing,
        reopening: Reopening,
        line_unit: str,
    ) -> None:
        self.settings = settings
        self._agreement = Agreement(settings, line_unit)
        self._agreed_opening_s: float | None = None
        self._clock = clock
        self._sink = sink
        self._quantity = QUANTITY[settings.kind]
        self._limit_s = silent_after_s(settings.period_s)
        self._silences = 0
        self._heard_s = -1e18
        self._this_opening_s: float | None = None
        self._asked_s: float | None = None
        self._due_s = 0.0
        self.port = Port(settings, clock, self._heard, sink, framing, reopening)

    @property
    def name(self) -> str:
        """The device's name in the bench file."""
        return self.settings.name

    @property
    def bytes_received(self) -> int:
        """Bytes of this opening of the port that have been read and spoken into the sink."""
        return self.port.bytes_received

    def wait_received(self, n: int, timeout_s: float) -> bool:
        """Wait (in real seconds) until ``n`` bytes of this opening have gone through. False: too late."""
        return self.port.wait_received(n, timeout_s)

    def start(self) -> None:
        """Open the port, now and whenever it comes back."""
        self.port.start()

    def stop(self) -> None:
        """Close the port and end its thread."""
        self.port.stop()

    def tend(self, now_s: float) -> None:
        """Send what is due and notice silence. ``now_s`` is the time on the device's own clock."""
        opened_s = self.port.opened_at_s
        if opened_s != self._this_opening_s:
            self._this_opening_s = opened_s
            self._asked_s = None
            # The first request comes one period after opening, so that the tail of an old reply passes first.
            self._due_s = (opened_s or 0.0) + self.settings.period_s
        if opened_s is None:
            return
        self._ask_what_is_due(now_s)
        limit_s = max(self._limit_s, min(self._limit_s * 2**self._silences, LONGEST_SILENCE_S))
        if now_s - max(opened_s, self._heard_s) > limit_s:
            self._fall_silent(now_s, limit_s)

    def _fall_silent(self, now_s: float, limit_s: float) -> None:
        if self._silences == 0:
            text = tr(
                "{name} has said nothing readable for {limit_s:.1f} s. Is it switched on, connected "
                "and set to send? Its port is opened again.",
                name=self.name,
                limit_s=limit_s,
            )
            self._sink(Fault(self.name, None, FaultKind.SILENT, text, now_s))
        self._silences = min(self._silences + 1, 16)
        self.port.reopen()

    def _ask_what_is_due(self, now_s: float) -> None:
        # A reply that is long overdue is not waited for: the next request goes out before silence is judged.
        if self._asked_s is not None and now_s - self._asked_s < self._limit_s / 2:
            return
        self._asked_s = None
        if now_s < self._due_s:
            return
        self._due_s = max(self._due_s + self.settings.period_s, now_s)
        request = self._read_request()
        if request:
            self._asked_s = now_s  # before the write: the reply may come while it returns
            if not self.port.write(request):
                self._asked_s = None

    def _read_request(self) -> bytes:
        """What asks for a reading; empty where the device speaks by itself."""
        return b""

    def _heard(self, line: bytes, at_s: float) -> None:
        raise NotImplementedError

    def _pass_on(self, readings: tuple[ChannelReading, ...], at_s: float) -> None:
        self._asked_s = None
        if not any(reading.fault is FaultKind.UNREADABLE for reading in readings):
            self._heard_s = at_s
            self._silences = 0
        if self.port.opened_at_s != self._agreed_opening_s:
            self._agreed_opening_s = self.port.opened_at_s
            self._agreement.reopened()
        for reading in readings:
            self._sink(self._spoken(reading, at_s))

    def _spoken(self, reading: ChannelReading, at_s: float) -> DeviceMessage:
        channel = None if reading.channel is None else self.settings.channels[reading.channel]
        kind, why = reading.fault or FaultKind.UNREADABLE, reading.why
        if reading.value is not None and channel is not None:
            said = Reading(
                self.name,
                channel,
                self._quantity,
                exact(reading.value),
                at_s,
                reading.stable,
                reading.net,
                reading.resolution,
                self.settings.simulated,
                reading.unit or "",
            )
            why = self._agreement.objection(said)
            if not why:
                return said
            kind = FaultKind.DISAGREES
        elif channel is not None and kind is FaultKind.OPEN_PROBE:
            self._agreement.gap(channel)
        who = self.name if channel is None or len(self.settings.channels) == 1 else f"{self.name}, {channel}"
        return Fault(self.name, channel, kind, f"{who}: {why.rstrip('.')}.", at_s)
