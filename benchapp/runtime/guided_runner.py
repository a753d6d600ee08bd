"""A runner whose moments carry as much guidance as somebody wants; what is recorded stays the same."""

from __future__ import annotations

from benchapp.make.guidance import Level, guided
from benchapp.make.moment import Moment
from benchapp.runtime.runner import Runner
from benchapp.runtime.session import Answer, Session


class GuidedRunner:
    """Passes everything on; only the moments it hands out are drawn at ``level``."""

    def __init__(self, runner: Runner, level: Level) -> None:
        self._runner, self._level = runner, level

    @property
    def session(self) -> Session:
        """The session beneath."""
        return self._runner.session

    def beat(self) -> Moment:
        """The next moment, at the level."""
        return guided(self._runner.beat(), self._level)

    def spare_s(self) -> float:
        """Until the next beat is due, in seconds."""
        return self._runner.spare_s()

    def own_answer(self, moment: Moment) -> Answer | None:
        """What the runner beneath would answer."""
        return self._runner.own_answer(moment)
