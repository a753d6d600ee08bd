"""Hears every view and lets it be heard: new prompts are spoken, changes are sounded. Never blocks, never decides."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from benchapp.make.view_model import ViewModel
from benchapp.voice import tones
from benchapp.voice.cues import Cues
from benchapp.voice.errors import NoSound
from benchapp.voice.espeak import Espeak
from benchapp.voice.player import find_player
from benchapp.voice.prompts import Prompts, key_of
from benchapp.voice.queue import SoundQueue


class Voice(Protocol):
    """What a loop that shows views tells."""

    def hear(self, view: ViewModel) -> None: ...
    def tick(self) -> None: ...
    def close(self) -> None: ...


class Silent:
    """No sound: switched off, or there is nothing to play it on."""

    def hear(self, view: ViewModel) -> None:
        """Nothing is said."""

    def tick(self) -> None:
        """Nothing is sounded."""

    def close(self) -> None:
        """Nothing to end."""


class Announcer:
    """Speaks and sounds through a queue. ``tell`` is given each trouble once, in one sentence."""

    def __init__(self, queue: SoundQueue, tell: Callable[[str], object]) -> None:
        self._queue, self._tell, self._told = queue, tell, 0
        self._prompts, self._cues = Prompts(), Cues()

    def hear(self, view: ViewModel) -> None:
        """The latest view; call it with every one."""
        utterance = self._prompts.next(view)
        if utterance is not None:
            self._queue.say(utterance)
        else:
            self._queue.now_true(key_of(view))
        tone = self._cues.next(view)
        if tone is not None:
            self._queue.sound(tone)
        for sentence in self._queue.trouble[self._told :]:
            self._told += 1
            self._tell(sentence)

    def tick(self) -> None:
        """What is held on the glass has been held for long enough."""
        self._queue.sound(tones.played(tones.TICK))

    def close(self) -> None:
        """End the queue."""
        self._queue.close()


def voice_for(volume: int, tell: Callable[[str], object]) -> Voice:
    """The voice of this machine at that volume in percent; silent where it has no player, and says so once."""
    if volume <= 0:
        return Silent()
    try:
        player = find_player()
    except NoSound as error:
        tell(str(error))
        return Silent()
    return Announcer(SoundQueue(Espeak().render, player, volume), tell)
