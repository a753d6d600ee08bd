"""What moves a make on: a real bench by the wall's own pace, or a rehearsal in lock-step."""

from __future__ import annotations

from typing import Protocol

from benchapp.make.moment import Moment
from benchapp.runtime.session import Answer, Session


class Runner(Protocol):
    """Moves one make on, however its bench is driven."""

    @property
    def session(self) -> Session:
        """The session that is moved on."""

    def beat(self) -> Moment:
        """Move on by a moment and say how things stand."""

    def spare_s(self) -> float:
        """How long to wait for a person before the next beat, in seconds."""

    def own_answer(self, moment: Moment) -> Answer | None:
        """What the rehearsal itself would answer; None on a real bench."""
