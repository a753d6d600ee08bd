"""The player Windows has built in. Written from its documentation; not tried, no such system was at hand."""

from __future__ import annotations

import sys
from collections.abc import Callable

from benchapp.foundation.language import tr
from benchapp.voice.errors import NoSound

if sys.platform == "win32":  # pragma: no cover - no such system here
    import winsound

    class WindowsPlayer:
        """Plays from memory; what plays cannot be cut short, so it is only kept from beginning."""

        def play(self, wav: bytes, wanted: Callable[[], bool]) -> None:
            """Play it to its end."""
            if not wanted():
                return
            try:
                winsound.PlaySound(wav, winsound.SND_MEMORY)
            except RuntimeError as error:
                raise NoSound(tr("There is no sound: Windows found nothing to play on.")) from error

        def cut(self) -> None:
            """Nothing to be done."""
