"""Plays a WAV through whatever the system has for it, as a process of its own that can be cut short."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Protocol

from benchapp.foundation.language import tr, tr_noop
from benchapp.voice.errors import NoSound

#: Players of the systems this runs on, the first one found is taken; the file's name is put at the end.
COMMANDS = (("pw-play",), ("paplay",), ("aplay", "-q"), ("afplay",))
NO_PLAYER = tr_noop(
    "There is no sound: no player is installed (pw-play, paplay, aplay or afplay). The screen says the same."
)


class Player(Protocol):
    """Something that makes a WAV heard."""

    def play(self, wav: bytes, wanted: Callable[[], bool]) -> None:
        """Returns when it is over or was cut; does not go on where ``wanted`` says no. Raises NoSound."""

    def cut(self) -> None:
        """Stop what is playing; any thread. Nothing playing: nothing happens."""


class CommandPlayer:
    """A program that plays a file."""

    def __init__(self, command: tuple[str, ...]) -> None:
        self._command = command
        self._playing: subprocess.Popen[bytes] | None = None
        self._cut = False

    def play(self, wav: bytes, wanted: Callable[[], bool]) -> None:
        """Write it to a file of its own, play that, and wait."""
        self._cut = False
        with tempfile.TemporaryDirectory(prefix="sound-") as folder:
            file = Path(folder) / "sound.wav"
            file.write_bytes(wav)
            try:
                self._playing = subprocess.Popen(
                    (*self._command, str(file)), stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
                    stderr=subprocess.PIPE,
                )  # fmt: skip
            except OSError as error:
                raise NoSound(
                    tr("There is no sound: {command} cannot be started.", command=self._command[0])
                ) from error
            if not wanted():
                self.cut()  # it was cut while the program was being started
            _, said = self._playing.communicate()
            code, self._playing = self._playing.returncode, None
        if code != 0 and not self._cut:
            lines = said.decode(errors="replace").strip().splitlines()
            why = f" ({lines[-1][:120]})" if lines else ""
            raise NoSound(
                tr(
                    "There is no sound: {command} found nothing to play on{why}.",
                    command=self._command[0],
                    why=why,
                )
            )

    def cut(self) -> None:
        """End the program."""
        playing = self._playing
        if playing is not None:
            self._cut = True
            playing.terminate()


def find_player() -> Player:
    """The system's player. Raises NoSound where it has none."""
    if sys.platform == "win32":  # pragma: no cover - no such system here
        from benchapp.voice.windows import WindowsPlayer

        return WindowsPlayer()
    for command in COMMANDS:
        if shutil.which(command[0]):
            return CommandPlayer(command)
    raise NoSound(NO_PLAYER)
