"""A runner whose every moment is heard as well as seen."""

from __future__ import annotations

from collections.abc import Callable

from benchapp.make.moment import Moment
from benchapp.runtime.runner import Runner
from benchapp.runtime.session import Answer, Session
from benchapp.voice.announcer import Voice


class VoicedRunner:
    """Hands every moment to a voice before it hands it on; a voice never holds it up."""

    def __init__(self, runner: Runner, voice: Voice, quiet: Callable[[], bool] = lambda: False) -> None:
        """``quiet``: whether nobody is spoken to just now; a rehearsal on the way to where it begins says nothing."""
        self._runner, self._voice, self._quiet = runner, voice, quiet

    @property
    def session(self) -> Session:
        """The session that beats."""
        return self._runner.session

    def beat(self) -> Moment:
        """The next moment, heard."""
        moment = self._runner.beat()
        if not self._quiet():
            self._voice.hear(moment)
        return moment

    def spare_s(self) -> float:
        """Until the next beat, in seconds."""
        return self._runner.spare_s()

    def own_answer(self, moment: Moment) -> Answer | None:
        """What a rehearsal would say."""
        return self._runner.own_answer(moment)
