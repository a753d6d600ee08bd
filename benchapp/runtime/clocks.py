"""Clocks: the make's own never stops and never runs backwards; what the wall's clock does beside it is noticed."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import datetime

#: The wall's clock may differ so much from one look to the next before it counts as set, in seconds: below lies
#: what a time server corrects bit by bit (common practice, no source).
SET_S = 2.0
#: So long between two looks, and the computer slept or was stopped: nobody watched the bench, in seconds.
ASLEEP_S = 10.0


def running_s() -> float:
    """Seconds that pass whatever the wall's clock shows, and while the computer sleeps where the system tells."""
    clock = getattr(time, "CLOCK_BOOTTIME", None)
    return time.monotonic() if clock is None else time.clock_gettime(clock)


def make_clock(base_s: float) -> Callable[[], float]:
    """Seconds of the make's own time, going on from ``base_s``."""
    start = running_s()
    return lambda: base_s + running_s() - start


def wall_clock() -> tuple[float, float]:
    """The wall's clock: seconds since the epoch, and the zone's offset from UTC in seconds."""
    now = datetime.now().astimezone()
    offset = now.utcoffset()
    return now.timestamp(), offset.total_seconds() if offset else 0.0


class ClockMonitor:
    """Compares the wall's clock with the make's own, look by look."""

    def __init__(self) -> None:
        self._last: tuple[float, float, float] | None = None

    def look(self, make_s: float, wall_s: float, zone_s: float) -> tuple[float, float, float]:
        """Since the last look: seconds nobody watched (0 where somebody did), seconds the wall's clock was set by
        (0 where it was not), seconds the zone moved by (daylight saving or a journey; 0 where it did not)."""
        if self._last is None:
            self._last = (make_s, wall_s, zone_s)
            return 0.0, 0.0, 0.0
        was_s, was_wall_s, was_zone_s = self._last
        self._last = (make_s, wall_s, zone_s)
        passed_s = make_s - was_s
        by_s = (wall_s - was_wall_s) - passed_s
        asleep_s = passed_s if passed_s >= ASLEEP_S else 0.0
        return asleep_s, by_s if abs(by_s) >= SET_S else 0.0, zone_s - was_zone_s


def today() -> str:
    """The date as it stands in batch names."""
    return datetime.now().astimezone().strftime("%Y%m%d")


def seconds_since(wall: str) -> float:
    """Wall seconds since an ISO time, never below 0: a clock set back is no reason to go back in time."""
    gone = datetime.now().astimezone() - datetime.fromisoformat(wall)
    return max(gone.total_seconds(), 0.0)


def wall_now() -> str:
    """The wall clock as ISO 8601 with zone, to the millisecond."""
    return datetime.now().astimezone().isoformat(timespec="milliseconds")
