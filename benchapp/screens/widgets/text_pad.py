"""A name or a sentence on the letters: as long as a procedure may have it, with what stands there already."""

from __future__ import annotations

from collections.abc import Callable

from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.typeset import typeset
from benchapp.screens.widgets.letter_pad import LetterPad
from benchapp.screens.widgets.text_label import fitting

#: As many signs as a name may have.
NAME_SIGNS = 60


class TextPad(LetterPad):
    """``before``: what stands there now, which may be rubbed out; None: a new one, which has to be something. Only the first word
    begins with a capital by itself."""

    def __init__(
        self, sizes: Sizes, what: str, done: Callable[[str], None], back: Callable[[], None], before: str | None = None,
        longest: int = NAME_SIGNS,
    ) -> None:  # fmt: skip
        super().__init__(sizes, what, done, back, True, before is not None)
        self.longest = longest
        self.typed = before or ""
        self._show()

    def _show(self) -> None:
        """What is asked on one line, and on the next as much of the end of what is typed as has room."""
        s = self.sizes
        wide = self.panel.width - 2 * s.pad
        ruler = typeset(size=s.note, bold=True)
        tail = self.typed or "–"
        while ruler.get_extents(tail)[0] > wide:
            tail = "…" + tail.removeprefix("…")[1:]
        self.value.text = f"{fitting(self._what, s.note, int(wide), s.note * 1.6)}\n{tail}"
        self.value.place(s.pad, self.panel.height - s.pad, wide)

    def _cased(self, sign: str) -> str:
        return sign.lower() if self.typed else sign
