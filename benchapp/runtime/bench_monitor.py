"""The bench as it reads while nothing is being made: each device's latest value, how old it is, what is wrong with it."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from benchapp.foundation.numbers import to_division
from benchapp.make.filters import SensorFilters
from benchapp.make.inputs import Grams
from benchapp.runtime.session import as_input
from drivers.devices import open_device
from drivers.errors import BadDevice
from drivers.formats import formats_with
from drivers.port_device import PortDevice
from drivers.readings import DeviceMessage, Fault, FaultKind, Reading
from drivers.settings import DeviceSettings

#: How often devices are tended, in seconds.
TEND_S = 0.1
#: A reading older than this, in seconds, or than three of its device's periods, says nothing about now.
OLD_S = 3.0
#: A scale counts as at rest after it has been still for so long, in seconds.
STILL_S = 1.0
#: A pH or temperature counts as at rest when its last few readings within so many seconds differ less than this.
REST_S, REST_PH, REST_K = 5.0, 0.03, 0.3


@dataclass(frozen=True, slots=True)
class ChannelStatus:
    """One channel of one device: its latest reading, how old in seconds, at rest (in its unit), or what is wrong, of which
    kind."""

    device: DeviceSettings
    channel: str
    reading: Reading | None
    age_s: float
    rest: float | None
    trouble: str
    fault: FaultKind | None = None

    @property
    def fresh(self) -> bool:
        """Whether the reading says something about now."""
        return self.reading is not None and self.age_s <= max(OLD_S, 3 * self.device.period_s)


class BenchMonitor:
    """Opens every device it can and keeps the latest of each. ``stop`` lets go of all ports before it returns.

    ``clock`` is the devices' own, in seconds; ``before`` is called before each tending (a simulated bench moves
    its world there), ``after`` once at the end.
    """

    def __init__(
        self,
        devices: Sequence[DeviceSettings],
        formats_folder: str | None = None,
        clock: Callable[[], float] = time.monotonic,
        before: Callable[[], None] = lambda: None,
        after: Callable[[], None] = lambda: None,
    ) -> None:
        self._settings = tuple(devices)
        self._formats_folder = formats_folder
        self._clock, self._before, self._after = clock, before, after
        self._latest: dict[tuple[str, str], Reading] = {}
        self._faults: dict[tuple[str, str | None], Fault] = {}
        self._refused: dict[str, str] = {}
        self._recent: dict[tuple[str, str], list[Reading]] = {}
        self._watch = SensorFilters()
        self._opened: list[PortDevice] = []
        self._lock = threading.Lock()
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="bench watch", daemon=True)
        self.heard = threading.Condition(self._lock)  # notified whenever a device spoke

    def start(self) -> None:
        """Open what can be opened. Raises BadLineFormat for the maker's own formats."""
        formats = formats_with(self._formats_folder)
        for settings in self._settings:
            try:
                device = open_device(settings, self._clock, self._sink, formats)
            except BadDevice as why:
                self._refused[settings.name] = str(why)
                continue
            device.start()
            self._opened.append(device)
        self._thread.start()

    def stop(self) -> None:
        """Let go of every port."""
        self._stop.set()
        if self._thread.is_alive():
            self._thread.join()
        for device in self._opened:
            device.stop()
        self._opened.clear()
        self._after()

    def _run(self) -> None:
        while not self._stop.wait(TEND_S):
            self._before()
            now = self._clock()
            for device in self._opened:
                device.tend(now)

    def _sink(self, spoken: DeviceMessage) -> None:
        with self._lock:
            if isinstance(spoken, Reading):
                key = (spoken.device, spoken.channel)
                self._latest[key] = spoken
                self._faults = {k: f for k, f in self._faults.items() if k[0] != spoken.device}
                recent = self._recent.setdefault(key, [])
                recent.append(spoken)
                del recent[:-100]
            else:
                self._faults[(spoken.device, spoken.channel)] = spoken
            given = as_input(spoken)
            if isinstance(given, Grams):
                self._watch.grams(given, self._division_g(given.device))
            self.heard.notify_all()

    def _division_g(self, name: str) -> float:
        return next((s.readability_g for s in self._settings if s.name == name and s.readability_g), 0.1)

    def seen(self) -> tuple[ChannelStatus, ...]:
        """Every channel of every device, in the order of the bench; any thread."""
        now = self._clock()
        with self._lock:
            return tuple(self._of(s, channel, now) for s in self._settings for channel in s.channels)

    def at_rest(self, device: str, channel: str, within_s: float) -> ChannelStatus:
        """That channel once it has come to rest, or as it stands after so many seconds."""
        end = time.monotonic() + within_s
        while True:
            one = next(s for s in self.seen() if (s.device.name, s.channel) == (device, channel))
            left = end - time.monotonic()
            if (one.rest is not None and one.fresh) or left <= 0:
                return one
            with self.heard:
                self.heard.wait(min(left, TEND_S))

    def _of(self, settings: DeviceSettings, channel: str, now: float) -> ChannelStatus:
        reading = self._latest.get((settings.name, channel))
        fault = self._faults.get((settings.name, channel)) or self._faults.get((settings.name, None))
        trouble = self._refused.get(settings.name, "") or (fault.text if fault else "")
        age = now - reading.at_s if reading else float("inf")
        rest = None if trouble or reading is None else self._rest(settings, reading, now)
        return ChannelStatus(settings, channel, reading, age, rest, trouble, fault.kind if fault else None)

    def _rest(self, settings: DeviceSettings, reading: Reading, now: float) -> float | None:
        if settings.kind == "scale":
            scale = self._watch.scales.get(settings.name)
            if scale is None or not scale.motion.still:
                return None
            rested_s = scale.motion.latest_at_s - scale.motion.still_since_s
            return None if rested_s < STILL_S else to_division(scale.motion.rest_g, scale.motion.division_g)
        window = [r for r in self._recent[(reading.device, reading.channel)] if r.at_s >= now - REST_S]
        values = [r.value for r in window]
        limit = REST_K if settings.kind == "thermometer" else REST_PH
        long_enough = len(values) >= 3 and window[-1].at_s - window[0].at_s >= 0.6 * REST_S
        return reading.value if long_enough and max(values) - min(values) <= limit else None
