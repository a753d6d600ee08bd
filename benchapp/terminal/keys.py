"""Keys from a terminal without waiting for them, and lines from a pipe in a thread of their own."""

from __future__ import annotations

import contextlib
import os
import queue
import re
import sys
import threading
from collections.abc import Iterator
from typing import TextIO


class Lines:
    """Lines of a pipe; ``over`` once it has ended, ``some`` once there was one."""

    def __init__(self, stream: TextIO) -> None:
        self._queue: queue.SimpleQueue[str | None] = queue.SimpleQueue()
        self.over = self.some = False
        threading.Thread(target=self._read, args=(stream,), name="answers", daemon=True).start()

    def _read(self, stream: TextIO) -> None:
        for line in stream:
            self._queue.put(line.rstrip("\n"))
        self._queue.put(None)

    def next(self, wait_s: float) -> str | None:
        """The next line, None when none has come within ``wait_s`` seconds or the pipe has ended."""
        if self.over:
            return None
        try:
            line = self._queue.get(timeout=wait_s) if wait_s > 0 else self._queue.get_nowait()
        except queue.Empty:
            return None
        if line is None:
            self.over = True
        else:
            self.some = True
        return line


#: What a terminal sends for a key that is no character, and for the keys a foot switch types: page down and F13.
SEQUENCE = re.compile(r"\x1b(?:\[[0-9;]*[~A-Za-z]|O[A-Za-z])")
PEDAL = ("\x1b[6~", "\x1b[25~")


class Keys:
    """Typed characters gathered into a line, while the screen goes on being drawn."""

    def __init__(self) -> None:
        self.typed = ""
        self.pedal = False  # a foot switch was heard since this was last set to False
        self._ahead = ""  # typed or pasted faster than it was taken

    def next(self, wait_s: float) -> str | None:
        """A finished line, or None when none was finished within ``wait_s`` seconds."""
        self._ahead += _chars(0.0 if self._ahead else wait_s)
        while self._ahead:
            sequence = SEQUENCE.match(self._ahead)
            if sequence is not None:
                self.pedal = self.pedal or sequence.group() in PEDAL
                self._ahead = self._ahead[sequence.end() :]
                continue
            char, self._ahead = self._ahead[0], self._ahead[1:]
            if char in "\r\n":
                line, self.typed = self.typed, ""
                return line
            if char in "\x7f\b":
                self.typed = self.typed[:-1]
            elif char == "\x03":
                raise KeyboardInterrupt
            elif char.isprintable():
                self.typed += char
        return None


if sys.platform == "win32":  # pragma: no cover - no such system here
    import msvcrt
    import time

    @contextlib.contextmanager
    def raw_keys() -> Iterator[Keys]:
        """Keys as they are pressed."""
        yield Keys()

    def _chars(wait_s: float) -> str:
        end = time.monotonic() + wait_s
        while not msvcrt.kbhit() and time.monotonic() < end:
            time.sleep(0.01)
        return msvcrt.getwch() if msvcrt.kbhit() else ""

else:
    import select
    import termios
    import tty

    @contextlib.contextmanager
    def raw_keys() -> Iterator[Keys]:
        """Keys as they are pressed; the terminal is put back as it was."""
        fd = sys.stdin.fileno()
        before = termios.tcgetattr(fd)
        try:
            tty.setcbreak(fd)
            yield Keys()
        finally:
            termios.tcsetattr(fd, termios.TCSADRAIN, before)

    def _chars(wait_s: float) -> str:
        ready, _, _ = select.select([sys.stdin], [], [], wait_s)
        return os.read(sys.stdin.fileno(), 64).decode(errors="replace") if ready else ""
