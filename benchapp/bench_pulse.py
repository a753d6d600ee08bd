"""A real bench as something that can be guided: the session asked many times a second, by the wall's own pace."""

from __future__ import annotations

import time
from collections.abc import Callable

from benchapp.make.moment import Moment
from benchapp.session import Answer, Session

#: How often the bench is asked, in seconds.
BEAT_S = 0.05


class BenchPulse:
    """Beats a session on real ports."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def beat(self) -> Moment:
        """Ask the session."""
        return self.session.poll()

    def spare_s(self) -> float:
        """Until the next beat."""
        return BEAT_S

    def own_answer(self, moment: Moment) -> Answer | None:
        """Nobody answers for a maker."""
        return None


def make_clock(base_s: float) -> Callable[[], float]:
    """Seconds of the make's own time, going on from ``base_s`` by the monotonic clock."""
    start = time.monotonic()
    return lambda: base_s + time.monotonic() - start
