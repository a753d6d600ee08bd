"""Plays a WAV through whatever the system has for it, as a process of its own that can be cut short."""

from __future__ import annotations

import io
import shutil
import subprocess
import sys
import tempfile
import wave
from collections.abc import Callable
from pathlib import Path
from typing import Protocol

from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.text_files import said_as
from benchapp.voice.errors import NoSound

#: Players of the systems this runs on, the first one found is taken; the file's name is put at the end.
COMMANDS = (("pw-play",), ("paplay",), ("aplay", "-q"), ("afplay",))
#: So long after its end a sound may still play, in seconds: a loudspeaker wakes up first (common practice, no source).
PATIENCE_S = 10.0
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
        unwritten = tr_noop("There is no sound: its file cannot be written ({strerror}).")
        with (
            said_as(NoSound, unwritten),
            tempfile.TemporaryDirectory(prefix="sound-") as folder,
        ):
            file = Path(folder) / "sound.wav"
            file.write_bytes(wav)
            said, code = self._played(file, _length_s(wav) + PATIENCE_S, wanted)
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

    def _played(self, file: Path, at_most_s: float, wanted: Callable[[], bool]) -> tuple[bytes, int]:
        """What the program said, and its exit code."""
        try:
            playing = self._playing = subprocess.Popen(
                (*self._command, str(file)), stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
                stderr=subprocess.PIPE,
            )  # fmt: skip
        except OSError as error:
            raise NoSound(
                tr("There is no sound: {command} cannot be started.", command=self._command[0])
            ) from error
        if not wanted():
            self.cut()  # it was cut while the program was being started
        try:
            _, said = playing.communicate(timeout=at_most_s)
        except subprocess.TimeoutExpired as error:
            playing.kill()
            playing.communicate()
            raise NoSound(
                tr("There is no sound: {command} does not end.", command=self._command[0])
            ) from error
        finally:
            self._playing = None
        return said, playing.returncode

    def cut(self) -> None:
        """End the program."""
        playing = self._playing
        if playing is not None:
            self._cut = True
            playing.kill()  # it has nothing to put in order, and one that hangs hears nothing else


def _length_s(wav: bytes) -> float:
    with wave.open(io.BytesIO(wav)) as file:
        return float(file.getnframes() / file.getframerate())


def find_player() -> Player:
    """The system's player. Raises NoSound where it has none."""
    if sys.platform == "win32":  # pragma: no cover - no such system here
        from benchapp.voice.windows import WindowsPlayer

        return WindowsPlayer()
    for command in COMMANDS:
        if shutil.which(command[0]):
            return CommandPlayer(command)
    raise NoSound(NO_PLAYER)
