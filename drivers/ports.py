"""One serial port that stays with its device: read by a thread, lost with a fault, opened again by itself."""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from benchapp.foundation.language import tr
from drivers.errors import PortError, PortLost
from drivers.framing import Framing
from drivers.links import LINK_ERRORS, SerialSettings, find_usb, open_link, read_chunk
from drivers.readings import Clock, Fault, FaultKind
from drivers.settings import DeviceSettings, UsbIdentity

#: Seconds to wait before each new try to open; the last one repeats.
RETRY_WAITS_S = (0.25, 0.5, 1.0, 2.0, 5.0)

FindPort = Callable[[UsbIdentity, str], str]
OpenLink = Callable[[str, SerialSettings], Any]


@dataclass(frozen=True, slots=True)
class Reopening:
    """How a port is looked for again: by which finder of adapters, after which waits in seconds, and opened by what."""

    find_port: FindPort = find_usb
    waits_s: Sequence[float] = RETRY_WAITS_S
    open: OpenLink = open_link


AS_USUAL = Reopening()


class Port:
    """Bytes in complete messages, each stamped with ``clock`` when it was read.

    ``on_line`` and ``on_fault`` are called from the port's own thread, never both at once. A port that
    cannot be opened, or goes away, is reported once and then tried again, with waits that grow, until it
    opens; where the settings give a USB identity it is looked for by that and found under any name.
    """

    def __init__(
        self,
        settings: DeviceSettings,
        clock: Clock,
        on_line: Callable[[bytes, float], None],
        on_fault: Callable[[Fault], None],
        framing: Framing,
        reopening: Reopening,
    ) -> None:
        self.url = settings.port
        self._settings = settings
        self._device = settings.name
        self._clock = clock
        self._on_line = on_line
        self._on_fault = on_fault
        self._framing = framing
        self._reopening = reopening
        self._tries = 0
        self._reported: FaultKind | None = None
        self._thread: threading.Thread | None = None
        self._stopping = threading.Event()
        self._dropped = threading.Event()
        self._wire = threading.Lock()  # nobody writes while the port is being closed
        self._state = threading.Condition()  # guards the four below and the framing
        self._link: Any = None
        self._opened_at_s: float | None = None
        self._received = 0
        self._write_failed = False

    @property
    def opened_at_s(self) -> float | None:
        """When this opening began, on the clock; None while the port is not open."""
        return self._opened_at_s

    @property
    def bytes_received(self) -> int:
        """Bytes of this opening whose lines have been handed on."""
        return self._received

    def wait_received(self, n: int, timeout_s: float) -> bool:
        """Wait (in real seconds) until ``n`` bytes of this opening have been handed on. False: too late."""
        with self._state:
            return self._state.wait_for(lambda: self._received >= n, timeout_s)

    def wait_open(self, timeout_s: float) -> bool:
        """Wait (in real seconds) until the port is open. False: it is not."""
        with self._state:
            return self._state.wait_for(lambda: self._opened_at_s is not None, timeout_s)

    def start(self) -> None:
        """Begin opening and reading, in a thread of the port's own."""
        if self._thread is None:
            self._stopping.clear()
            self._thread = threading.Thread(target=self._run, name=f"port {self.url}", daemon=True)
            self._thread.start()

    def stop(self) -> None:
        """Close the port and wait for its thread. May be called again, and from inside ``on_line``."""
        self._stopping.set()
        self._wake()
        if self._thread is not None and self._thread is not threading.current_thread():
            self._thread.join()
            self._thread = None

    def reopen(self) -> None:
        """Close the port and open it again: for a device that went mute on a port that looks well."""
        self._dropped.set()
        self._wake()

    def write(self, data: bytes) -> bool:
        """Send a request. False when the port is not open, or went away (which comes as a fault)."""
        with self._state:
            link = self._link
            if link is None:
                return False
            self._framing.asked()
        try:
            with self._wire:
                link.write(data)
        except LINK_ERRORS:
            self._write_failed = True
            self.reopen()
            return False
        return True

    def _wake(self) -> None:
        with self._state:
            if self._link is not None and hasattr(self._link, "cancel_read"):
                self._link.cancel_read()

    def _run(self) -> None:
        while not self._stopping.is_set():
            try:
                link = self._open()
            except PortError as trouble:
                self._report(trouble)
            else:
                try:
                    self._read_until_gone(link)
                except PortLost as trouble:
                    self._report(trouble)
                finally:
                    self._close(link)
            self._stopping.wait(self._next_wait_s())

    def _open(self) -> Any:
        its = self._settings
        name = self._reopening.find_port(its.usb, self.url) if its.usb else self.url
        link = self._reopening.open(name, SerialSettings(its.baud, its.bits, its.parity, its.stop_bits))
        with self._state:
            self._dropped.clear()
            self._framing.opened()
            self._link = link
            self._opened_at_s = self._clock()
            self._received = 0
            self._write_failed = False
            self._state.notify_all()
        return link

    def _read_until_gone(self, link: Any) -> None:
        try:
            while not self._stopping.is_set() and not self._dropped.is_set():
                chunk = read_chunk(link)
                if chunk:
                    self._hand_on(chunk)
        except LINK_ERRORS as trouble:
            raise PortLost(self._lost_sentence()) from trouble
        if self._write_failed:
            raise PortLost(self._lost_sentence())

    def _hand_on(self, chunk: bytes) -> None:
        at_s = self._clock()
        self._tries = 0
        self._reported = None
        with self._state:
            lines = self._framing.feed(chunk)
        for line in lines:
            if line is None:
                text = tr(
                    "{device} sends bytes without an end of line. Check its baud rate and format.",
                    device=self._device,
                )
                self._on_fault(Fault(self._device, None, FaultKind.UNREADABLE, text, at_s))
            else:
                self._on_line(line, at_s)
        with self._state:
            self._received += len(chunk)
            self._state.notify_all()

    def _close(self, link: Any) -> None:
        with self._state:
            self._link = None
            self._opened_at_s = None
            self._state.notify_all()
        # A port that went away cannot be closed properly either; there is nothing left to tell.
        with self._wire, contextlib.suppress(*LINK_ERRORS):
            link.close()

    def _report(self, trouble: PortError) -> None:
        # After an unplug, "no such port" at every new try says nothing new; "busy" or "no permission" does.
        told = self._reported
        if trouble.kind is told or (told is FaultKind.UNPLUGGED and trouble.kind is FaultKind.NO_PORT):
            return
        self._reported = trouble.kind
        self._on_fault(Fault(self._device, None, trouble.kind, str(trouble), self._clock()))

    def _lost_sentence(self) -> str:
        where = "network" if "://" in self.url else "plug"
        return tr(
            "{url} went away. Check the {where} of {device}; it is taken up again by itself.",
            url=self.url,
            where=where,
            device=self._device,
        )

    def _next_wait_s(self) -> float:
        waits_s = self._reopening.waits_s
        wait_s = waits_s[min(self._tries, len(waits_s) - 1)]
        self._tries += 1
        return wait_s
