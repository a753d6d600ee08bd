"""What moves a make on: beat by beat on real ports by the wall's own pace; what goes along with it hangs on as hooks."""

from __future__ import annotations

from collections.abc import Callable

from benchapp.make.guidance import guided
from benchapp.make.guidance_levels import Level
from benchapp.make.inputs import ClockSet, Resumed
from benchapp.make.view_model import ViewModel
from benchapp.runtime.clocks import ClockMonitor, wall_clock
from benchapp.runtime.session import Answer, Session
from benchapp.voice.announcer import Voice

#: How often the bench is asked, in seconds.
BEAT_S = 0.05
#: Gets every view and gives the one that is shown: the same, or drawn otherwise.
Hook = Callable[[ViewModel], ViewModel]


class Runner:
    """Beats a session. ``hooks`` get each view in turn; what is recorded stays the same."""

    def __init__(self, session: Session, wall: Callable[[], tuple[float, float]] = wall_clock) -> None:
        self.session = session
        self.hooks: list[Hook] = []
        self._wall, self._clocks = wall, ClockMonitor()

    def beat(self) -> ViewModel:
        """Move on by a moment and say how things stand."""
        view = self.move_on()
        for hook in self.hooks:
            view = hook(view)
        return view

    def move_on(self) -> ViewModel:
        """Ask the session; a computer that slept, or a clock that was set, comes first."""
        now = self.session.clock()
        asleep_s, by_s, zone_s = self._clocks.look(now, *self._wall())
        if asleep_s:  # as after a restart, nobody knows what became of the scales
            self.session.put(Resumed(now, asleep_s))
        if by_s or zone_s:
            self.session.put(ClockSet(now, by_s, zone_s))
        return self.session.poll()

    def spare_s(self) -> float:
        """How long to wait for a person before the next beat, in seconds."""
        return BEAT_S

    def own_answer(self, view: ViewModel) -> Answer | None:
        """What a rehearsal itself would answer; nobody answers for a maker on a real bench."""
        return None


def spoken_by(voice: Voice, quiet: Callable[[], bool] = lambda: False) -> Hook:
    """Lets a voice hear every view; it never holds it up. ``quiet``: whether nobody is spoken to just now."""

    def hook(view: ViewModel) -> ViewModel:
        if not quiet():
            voice.hear(view)
        return view

    return hook


def guided_at(level: Level) -> Hook:
    """Draws every view with as much guidance as somebody wants."""
    return lambda view: guided(view, level)
