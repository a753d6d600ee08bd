"""A pulse whose moments carry as much guidance as somebody wants; what is recorded stays the same."""

from __future__ import annotations

from benchapp.make.guidance import Level, guided
from benchapp.make.moment import Moment
from benchapp.session import Answer, Session
from benchapp.voiced_pulse import Pulse


class GuidedPulse:
    """Passes everything on; only the moments it hands out are drawn at ``level``."""

    def __init__(self, pulse: Pulse, level: Level) -> None:
        self._pulse, self._level = pulse, level

    @property
    def session(self) -> Session:
        """The session beneath."""
        return self._pulse.session

    def beat(self) -> Moment:
        """The next moment, at the level."""
        return guided(self._pulse.beat(), self._level)

    def spare_s(self) -> float:
        """Until the next beat is due, in seconds."""
        return self._pulse.spare_s()

    def own_answer(self, moment: Moment) -> Answer | None:
        """What the pulse beneath would answer."""
        return self._pulse.own_answer(moment)
