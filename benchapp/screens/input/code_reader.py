"""A barcode reader types like a keyboard, only faster than any hand: its characters become one code. No Kivy."""

from __future__ import annotations

from dataclasses import dataclass

#: Readers send a character every few milliseconds; a quick typist needs about 80 (common practice, no source).
QUICK_S = 0.06
#: The glass hears its keys frame by frame, and stands still while a page is made: so long a pause is still the same code.
STALLED_S = 0.5
#: Shorter than this is a slip on a keyboard, longer is noise.
SHORTEST, LONGEST = 3, 80


@dataclass
class CodeReader:
    """Characters with their times go in; a whole code comes out with the Enter that ends it."""

    _typed: str = ""
    _first_s: float = 0.0
    _last_s: float = 0.0

    def character(self, at_s: float, character: str) -> None:
        """One printed character."""
        if not self._typed or at_s - self._last_s > STALLED_S:
            self._typed, self._first_s = "", at_s
        if character.isprintable() and len(self._typed) <= LONGEST:
            self._typed += character
        self._last_s = at_s

    def enter(self, at_s: float) -> str:
        """The Enter at the end: the code, or "" where a hand typed, or too little or too much. Quick it has to be on the
        whole, as pauses of the glass are none of the reader's."""
        code, self._typed = self._typed, ""
        gaps = len(code) - 1
        quick = self._last_s - self._first_s <= QUICK_S * gaps and at_s - self._first_s <= QUICK_S * (
            gaps + 1
        )
        return code if quick and SHORTEST <= len(code) <= LONGEST else ""
