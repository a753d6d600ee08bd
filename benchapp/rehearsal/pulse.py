"""A rehearsal as something that can be guided: lock-step underneath, any pace on top."""

from __future__ import annotations

import time

from benchapp.make.moment import Moment
from benchapp.rehearsal.run import Rehearsal
from benchapp.session import Answer, Session


class RehearsalPulse:
    """Beats a rehearsal at ``pace`` simulated seconds a second; 0: as fast as the machine goes."""

    def __init__(self, rehearsal: Rehearsal, pace: float) -> None:
        self._rehearsal = rehearsal
        self._pace = pace
        self._due = time.monotonic()

    @property
    def session(self) -> Session:
        """The session that is rehearsed."""
        return self._rehearsal.session

    def beat(self) -> Moment:
        """One step of the lock-step."""
        before = self._rehearsal.bench.now_s
        moment = self._rehearsal.step()
        if self._pace > 0:
            self._due += (self._rehearsal.bench.now_s - before) / self._pace
            self._due = max(
                self._due, time.monotonic() - 1.0
            )  # a slow machine is slow; it does not race after
        return moment

    def spare_s(self) -> float:
        """Until the next beat is due."""
        return max(self._due - time.monotonic(), 0.0) if self._pace > 0 else 0.0

    def own_answer(self, moment: Moment) -> Answer | None:
        """What the hands would say."""
        return self._rehearsal.answers.at(moment)
