"""A barcode reader types like a keyboard, only faster than any hand: its characters become one code. No Kivy."""

from __future__ import annotations

from dataclasses import dataclass

#: Readers send a character every few milliseconds; a quick typist needs about 80 (common practice, no source).
QUICK_S = 0.06
#: Shorter than this is a slip on a keyboard, longer is noise.
SHORTEST, LONGEST = 3, 80


@dataclass
class CodeReader:
    """Characters with their times go in; a whole code comes out with the Enter that ends it."""

    _typed: str = ""
    _last_s: float = 0.0

    def character(self, at_s: float, character: str) -> None:
        """One printed character."""
        if self._typed and at_s - self._last_s > QUICK_S:
            self._typed = ""
        if character.isprintable() and len(self._typed) < LONGEST:
            self._typed += character
        self._last_s = at_s

    def enter(self, at_s: float) -> str:
        """The Enter at the end: the code, or "" where a hand typed, or too little."""
        code, self._typed = self._typed, ""
        quick = at_s - self._last_s <= QUICK_S
        return code if quick and len(code) >= SHORTEST else ""
