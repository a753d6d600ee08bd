"""The make's own thread: beats the pulse, publishes the latest moment, takes what a person did in order."""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Callable
from typing import Protocol

from benchapp.make.moment import Moment
from benchapp.record.errors import RecordError
from benchapp.session import Answer, Session

#: A person on a rehearsal is waited for so long before it answers for itself, in seconds.
PATIENCE_S = 8.0
#: The longest the loop sleeps before it looks again, in seconds.
NAP_S = 0.02


class Pulse(Protocol):
    """What moves a make on."""

    session: Session

    def beat(self) -> Moment: ...
    def spare_s(self) -> float: ...
    def own_answer(self, moment: Moment) -> Answer | None: ...


class Loop:
    """Owns a pulse. ``moment`` is the latest one; the screen reads it whenever it draws, and never waits."""

    def __init__(self, pulse: Pulse, patience_s: float = PATIENCE_S) -> None:
        self._pulse = pulse
        self._patience_s = patience_s
        self._asked: queue.SimpleQueue[Callable[[Session], None]] = queue.SimpleQueue()
        self._stop = threading.Event()
        self._woken = threading.Event()  # something came: look at once
        self._prompt, self._since = "", time.monotonic()
        self.moment: Moment | None = None
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
        self._asked.put(act)
        self._woken.set()

    def _run(self) -> None:
        if not self._pulse.session.rehearsing:  # a rehearsal keeps its own pace
            self._pulse.session.heard = self._woken.set
        try:
            while not self._stop.is_set():
                self._woken.clear()
                self._obey()
                self.moment = self._pulse.beat()
                self._answer_late(self.moment)
                self._rest(NAP_S if self.moment.over else self._pulse.spare_s())
        except RecordError as error:
            self.trouble = str(error)

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
                return
            act(self._pulse.session)
            self._since = time.monotonic()

    def _answer_late(self, moment: Moment) -> None:
        now = time.monotonic()
        if moment.prompt != self._prompt:
            self._prompt, self._since = moment.prompt, now
        own = self._pulse.own_answer(moment)
        if own is not None and now - self._since >= self._patience_s:
            self._pulse.session.say(moment.prompt, own)
