"""A pulse whose every moment is heard as well as seen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from benchapp.make.moment import Moment
from benchapp.session import Answer, Session
from benchapp.voice.announcer import Voice


class Pulse(Protocol):
    """What moves a make on."""

    @property
    def session(self) -> Session: ...
    def beat(self) -> Moment: ...
    def spare_s(self) -> float: ...
    def own_answer(self, moment: Moment) -> Answer | None: ...


class VoicedPulse:
    """Hands every moment to a voice before it hands it on; a voice never holds it up."""

    def __init__(self, pulse: Pulse, voice: Voice, quiet: Callable[[], bool] = lambda: False) -> None:
        """``quiet``: whether nobody is spoken to just now; a rehearsal on the way to where it begins says nothing."""
        self._pulse, self._voice, self._quiet = pulse, voice, quiet

    @property
    def session(self) -> Session:
        """The session that beats."""
        return self._pulse.session

    def beat(self) -> Moment:
        """The next moment, heard."""
        moment = self._pulse.beat()
        if not self._quiet():
            self._voice.hear(moment)
        return moment

    def spare_s(self) -> float:
        """Until the next beat, in seconds."""
        return self._pulse.spare_s()

    def own_answer(self, moment: Moment) -> Answer | None:
        """What a rehearsal would say."""
        return self._pulse.own_answer(moment)
