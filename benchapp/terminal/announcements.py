"""What a terminal that is no screen says, and when: a prompt when it comes, what holds it up, what is left of it after an
interruption, a choice when it may be made, a call when it comes."""

from __future__ import annotations

import re
from collections.abc import Callable

from benchapp.make.view_model import ViewModel
from benchapp.terminal import words

#: What holds the make up is said once it has stood for so many seconds: what passes by itself is not.
STANDS_S = 2.0


class Announcements:
    """Says of each view what is new."""

    def __init__(self, say: Callable[[str], None]) -> None:
        self._say = say
        self._prompt = self._asked = self._called = ""
        self._offered: set[str] = set()
        self._holding = Holding()
        self._interrupted = True  # the program has only just begun

    def tell(self, view: ViewModel) -> None:
        """Say what is new."""
        holding = self._holding.new(view)
        if view.prompt != self._prompt:
            new_step = not self._prompt.startswith(f"{view.step_key}/")
            lines = words.prompt_lines(view, new_step)
            self._prompt, self._offered = view.prompt, set()
            holding = [text for text in holding if text not in lines]
        else:
            lines = words.offer_lines(view, self._offered, self._asked)
        if lines:
            self._asked = view.act_view.instruction
        self._offered |= words.offered_words(view)
        call = words.call_line(view)
        for text in (*lines, *holding, *self._left(view), *([call] if call and not self._called else ())):
            self._say(text)
        self._called = call

    def _left(self, view: ViewModel) -> list[str]:
        """What is left of what was interrupted, once that is known again."""
        if view.trouble is not None:
            self._interrupted = True
            return []
        left = words.left_of(view.act_view.picture) if self._interrupted else ""
        if left is None:
            return []  # no reading yet
        self._interrupted = False
        return [words.left_line(view, left)] if left else []


class Holding:
    """What holds the make up: each thing once, when it has stood for a moment, and anew when it comes back. Figures may
    change meanwhile."""

    def __init__(self) -> None:
        self._since_s: dict[str, float] = {}
        self._told: set[str] = set()

    def new(self, view: ViewModel) -> list[str]:
        """The lines to be said now."""
        now = {re.sub(r"[0-9]+", "#", text): text for text in words.holding_lines(view)}
        self._since_s = {key: self._since_s.get(key, view.at_s) for key in now}
        self._told &= set(now)
        due = [k for k in now if k not in self._told and view.at_s - self._since_s[k] >= STANDS_S]
        self._told |= set(due)
        return [now[key] for key in due]
