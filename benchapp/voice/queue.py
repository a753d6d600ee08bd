"""What is waiting to be heard: never blocking, the newest wins, and what is no longer true is not said."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable

from benchapp.voice.errors import NoSound, NoSpeech
from benchapp.voice.player import Player
from benchapp.voice.prompts import Utterance
from benchapp.voice.tones import at_volume

#: So many sentences are kept as they were rendered: a make asks the same things again and again.
KEPT = 64


class SoundQueue:
    """One place for a sentence and one for a tone, and a thread of its own that plays them whole.

    ``render`` makes a WAV of a text before anything of it is heard. What fails is told in ``trouble``, once, and from
    then on nothing of its kind is tried.
    """

    def __init__(self, render: Callable[[str], bytes], player: Player, volume: int = 100) -> None:
        self._render, self._player = render, player
        self.volume = volume  # percent; 0 is mute
        self.trouble: list[str] = []
        self._change = threading.Condition()
        self._speech: Utterance | None = None
        self._tone: bytes | None = None
        self._playing: Utterance | None = None
        self._true = ""  # the key of what is true now
        self._closed = self._dumb = self._deaf = False
        self._kept: OrderedDict[str, bytes] = OrderedDict()
        self._thread = threading.Thread(target=self._run, name="sound", daemon=True)
        self._thread.start()

    # --- from the make's thread; returns at once --------------------------------------------------------

    def now_true(self, key: str) -> None:
        """What stands on the glass now: a sentence with another key is dropped, or cut where it is being said."""
        with self._change:
            self._true = key
            if self._speech is not None and self._speech.key != key:
                self._speech = None
            stale = self._playing is not None and self._playing.key != key
        if stale:
            self._player.cut()

    def say(self, utterance: Utterance) -> None:
        """Say it next, in place of whatever waits; at once where it is urgent."""
        with self._change:
            self._true = utterance.key
            self._speech = utterance
            cut = self._playing is not None and (utterance.urgent or self._playing.key != utterance.key)
            self._change.notify_all()
        if cut:
            self._player.cut()

    def sound(self, wav: bytes) -> None:
        """Play a tone next, in place of one that waits. A tone never cuts a sentence."""
        with self._change:
            self._tone = wav
            self._change.notify_all()

    def close(self) -> None:
        """Say nothing more, and wait for the thread."""
        with self._change:
            self._closed, self._speech, self._tone = True, None, None
            self._change.notify_all()
        self._player.cut()
        self._thread.join()

    # --- the thread of its own ------------------------------------------------------------------------

    def _run(self) -> None:
        while True:
            with self._change:
                while not (self._closed or self._speech or self._tone):
                    self._change.wait()
                if self._closed:
                    return
                tone, speech = self._tone, None
                self._tone = None
                if tone is None:
                    speech, self._speech = self._speech, None
            if tone is not None:
                self._play(tone, lambda: not self._closed)
            elif speech is not None:
                self._speak(speech)

    def _speak(self, utterance: Utterance) -> None:
        wav = self._rendered(utterance.text)
        with self._change:
            if wav is None or self._closed or utterance.key != self._true:
                return  # the moment has gone on while it was being made
            self._playing = utterance
        self._play(wav, lambda: not self._closed and utterance.key == self._true)
        with self._change:
            self._playing = None

    def _rendered(self, text: str) -> bytes | None:
        if self._dumb:
            return None
        if text not in self._kept:
            try:
                self._kept[text] = self._render(text)
            except NoSpeech as error:
                self._dumb = True
                self.trouble.append(str(error))
                return None
            if len(self._kept) > KEPT:
                self._kept.popitem(last=False)
        self._kept.move_to_end(text)
        return self._kept[text]

    def _play(self, wav: bytes, wanted: Callable[[], bool]) -> None:
        if self._deaf or self.volume <= 0:
            return
        try:
            self._player.play(at_volume(wav, self.volume), wanted)
        except NoSound as error:
            self._deaf = True
            self.trouble.append(str(error))
