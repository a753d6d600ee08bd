"""The voice of the make that runs."""

from __future__ import annotations

import logging
from typing import TYPE_CHECKING

from benchapp.runtime.settings import Preferences

if TYPE_CHECKING:
    from benchapp.voice.announcer import Voice

LOG = logging.getLogger("benchapp")


class SoundOutput:
    """One voice at a time, as the settings have it."""

    def __init__(self) -> None:
        self._voice: Voice | None = None

    def open(self, preferences: Preferences) -> Voice:
        """A voice in place of the one before."""
        from benchapp.voice.announcer import voice_for

        self.close()
        self._voice = voice_for(preferences.volume if preferences.sound else 0, LOG.warning)
        return self._voice

    def tick(self) -> None:
        """A button has been held for long enough."""
        if self._voice is not None:
            self._voice.tick()

    def close(self) -> None:
        """Silence."""
        if self._voice is not None:
            self._voice.close()
