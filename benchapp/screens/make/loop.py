"""The make's own thread: beats the runner, publishes the latest view, takes what a person did in order."""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, replace

from benchapp.events import Source
from benchapp.foundation.language import tr
from benchapp.make.view_model import LiveValue, ViewModel
from benchapp.make.vocabulary import Stage
from benchapp.record.errors import RecordError
from benchapp.runtime.runner import Runner
from benchapp.runtime.session import Session
from drivers.readings import Reading

#: The longest the loop sleeps before it looks again, in seconds.
NAP_S = 0.02
#: A beat that takes longer than this, in seconds, is waiting for the disk: the glass says so.
SLOW_S = 0.25

Channel = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Snapshot:
    """A view, and the readings it was drawn up from."""

    view: ViewModel
    given: dict[Channel, Reading]


class Loop:
    """Owns a runner. ``shown`` is the latest view; the screen reads it whenever it draws, and never waits."""

    def __init__(self, runner: Runner, patience_s: float) -> None:
        self._runner = runner
        runner.session.draw()
        self._patience_s = patience_s
        self._asked: queue.SimpleQueue[Callable[[Session], None]] = queue.SimpleQueue()
        self._stop = threading.Event()
        self._woken = threading.Event()  # something came: look at once
        self._prompt, self._since = "", time.monotonic()
        self.shown: Snapshot | None = None
        self.wake: Callable[[], object] = lambda: None  # called in the make's thread when what came is shown
        started = runner.session.make.state.started
        self.rehearsing = started is not None and started.rehearsal
        self.practising = started is not None and bool(started.scenario)  # and its debrief was not shown yet
        self._beating_since: float | None = None
        self._owed_since: float | None = None  # something was pressed and is not done yet
        self.trouble = ""  # why nothing can be recorded any more, in one sentence
        self._thread = threading.Thread(target=self._run, name="make", daemon=True)

    def start(self) -> None:
        """Begin beating."""
        self._thread.start()

    def stop(self) -> None:
        """End, and wait for it."""
        self._stop.set()
        self._woken.set()
        self._thread.join()

    def do(self, act: Callable[[Session], None]) -> None:
        """Let the make's thread do something to the session."""
        self._owed_since = self._owed_since or time.monotonic()
        self._asked.put(act)
        self._woken.set()

    @property
    def view(self) -> ViewModel | None:
        """The latest view."""
        return self.shown.view if self.shown is not None else None

    @property
    def writing(self) -> bool:
        """Whether the glass has been waiting for the disk for a while that a person notices."""
        now = time.monotonic()
        return any(
            since is not None and now - since > SLOW_S for since in (self._beating_since, self._owed_since)
        )

    def meanwhile(self) -> tuple[LiveValue, ...]:
        """The live values of the latest view moved on by what the devices have said since; not written down."""
        if self.shown is None:
            return ()
        given, latest = self.shown.given, dict(self._runner.session.latest)
        return tuple(_moved(live, given, latest) for live in self.shown.view.act_view.live)

    def _run(self) -> None:
        if not self._runner.session.rehearsing:  # a rehearsal keeps its own pace
            self._runner.session.heard = self._woken.set
        try:
            while not self._stop.is_set():
                came = self._woken.is_set()
                self._woken.clear()
                self._beating_since = time.monotonic()
                self._obey()
                view = self._runner.beat()
                self.shown = Snapshot(view, dict(self._runner.session.given))
                if came:
                    self.wake()
                self._beating_since = None
                self._answer_late(view)
                self._rest(NAP_S if view.over else self._runner.spare_s())
        except RecordError as error:
            self.trouble = str(error)
        finally:
            if (
                not self._stop.is_set() and not self.trouble
            ):  # whatever it was, it is told by the thread's own hook
                self.trouble = tr("Something failed. What was recorded is saved; go on from the bench.")

    def _rest(self, spare_s: float) -> None:
        """Until the next beat is due, or something comes."""
        end_s = time.monotonic() + spare_s
        while not self._stop.is_set() and (left_s := end_s - time.monotonic()) > 0:
            if self._woken.wait(min(left_s, NAP_S)):
                return

    def _obey(self) -> None:
        while True:
            try:
                act = self._asked.get_nowait()
            except queue.Empty:
                self._owed_since = None
                return
            act(self._runner.session)
            self._since = time.monotonic()

    def _answer_late(self, view: ViewModel) -> None:
        now = time.monotonic()
        if view.prompt != self._prompt:
            self._prompt, self._since = view.prompt, now
        # A hold is ended by whoever asked for it.
        own = None if view.act_view.stage == Stage.HELD else self._runner.own_answer(view)
        if own is not None and now - self._since >= self._patience_s:
            self._runner.session.put(own.given(self._runner.session.clock(), view.prompt))


def _moved(live: LiveValue, given: dict[Channel, Reading], latest: dict[Channel, Reading]) -> LiveValue:
    """A measured value as it stands by its device's newest reading: moved by as much as the device moved."""
    if live.source is not Source.MEASURED or live.value is None:
        return live
    channels = [c for c in given if c[0] == live.device and live.channel in ("", c[1])]
    if len(channels) != 1:
        return live
    return replace(live, value=live.value + latest[channels[0]].value - given[channels[0]].value)
