"""A real bench as something that can be guided: the session asked many times a second, by the wall's own pace."""

from __future__ import annotations

from collections.abc import Callable

from benchapp.make.moment import Moment
from benchapp.runtime.clocks import ClockMonitor, wall_clock
from benchapp.runtime.session import Answer, Session

#: How often the bench is asked, in seconds.
BEAT_S = 0.05


class BenchRunner:
    """Beats a session on real ports."""

    def __init__(self, session: Session, wall: Callable[[], tuple[float, float]] = wall_clock) -> None:
        self.session = session
        self._wall, self._watch = wall, ClockMonitor()

    def beat(self) -> Moment:
        """Ask the session; a computer that slept, or a clock that was set, comes first."""
        asleep_s, by_s, zone_s = self._watch.look(self.session.clock(), *self._wall())
        if asleep_s:
            self.session.woke(asleep_s)
        if by_s or zone_s:
            self.session.clock_set(by_s, zone_s)
        return self.session.poll()

    def spare_s(self) -> float:
        """Until the next beat."""
        return BEAT_S

    def own_answer(self, moment: Moment) -> Answer | None:
        """Nobody answers for a maker."""
        return None
