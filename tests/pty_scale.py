"""A scale that sends all the time, on a real pty."""

from __future__ import annotations

import os
import threading
import tty


class Scale:
    """A scale on a pty that sends all the time what lies on it, in a shape of its own. ``other_unit``: what its lines say
    instead of g once its unit key was pressed; "" where they say the same."""

    def __init__(self, still: str, moving: str = "", factor: float = 1.0, other_unit: str = "") -> None:
        self.still, self.moving, self.factor = still, moving or still, factor
        self.other_unit = other_unit
        self.grams, self.moves, self.unit_pressed = 0.0, False, False
        self.master, self.slave = os.openpty()
        tty.setraw(self.slave)
        self.port = os.ttyname(self.slave)
        os.set_blocking(self.master, False)
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._speak, daemon=True)
        self._thread.start()

    def _speak(self) -> None:
        n = 0
        while not self._over.wait(0.01):
            n += 1
            shown = self.grams / self.factor * (0.035274 if self.unit_pressed else 1.0)
            shown += (n % 7) * 1.3 if self.moves else 0.0
            line = (self.moving if self.moves else self.still).format(shown)
            if self.unit_pressed and self.other_unit:
                line = line.removesuffix("g") + self.other_unit
            try:
                os.write(self.master, f"{line}\r\n".encode())
            except BlockingIOError:
                continue  # nobody reads

    def close(self) -> None:
        self._over.set()
        self._thread.join()
        os.close(self.master)
        os.close(self.slave)
