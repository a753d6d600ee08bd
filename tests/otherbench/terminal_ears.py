"""A maker who knows no more than the plain terminal says: whatever is done without having been told is put down."""

from __future__ import annotations

import re

from benchapp.make.view_model import ViewModel
from benchapp.terminal.announcements import Announcements
from benchapp.terminal.typed import NotUnderstood, understand


class TerminalEars:
    """Hears what ``guide`` writes on a pipe, view by view; ``untold`` is what a hand or a word needed and was not said:
    words and grams since the prompt came, vessels and scales since the step did."""

    def __init__(self, procedure) -> None:
        self._vessels = {v.key: v.name for v in procedure.vessels.values()}
        self._names = {x.key: x.name for x in procedure.formula.lines}
        self.lines: list[str] = []
        self.untold: list[str] = []
        self._announced = Announcements(self.lines.append)
        self._prompt, self._from = "", 0
        self._step, self._step_from = "", 0

    def hear(self, view: ViewModel) -> None:
        """What is said of this view."""
        if view.step_key != self._step:
            self._step, self._step_from = view.step_key, len(self.lines)
        if view.prompt != self._prompt:
            self._prompt, self._from = view.prompt, len(self.lines)
        self._announced.tell(view)

    @property
    def said(self) -> str:
        """All that was said since the prompt came."""
        return "\n".join(self.lines[self._from :])

    @property
    def said_in_step(self) -> str:
        """All that was said since the step came."""
        return "\n".join(self.lines[self._step_from :])

    def word(self, choice: str, reason: str, view: ViewModel) -> None:
        """A word that is pressed has to have been offered, and has to be understood as it is typed."""
        self.hear(view)
        if not re.search(rf"^  > {re.escape(choice)}\b", self.said, re.MULTILINE):
            self._miss(f"{choice} was not offered", view)
        self._typed(f"{choice}: {reason}" if reason else choice, "press", view)

    def number(self, value: float, view: ViewModel) -> None:
        """A number that is typed has to be understood as one."""
        self.hear(view)
        self._typed(f"{value:g}", "type", view)

    def vessel(self, key: str, view: ViewModel) -> None:
        """A vessel that is moved has to have been named."""
        self.hear(view)
        name = self._vessels.get(key, "")
        if name and name.casefold() not in self.said_in_step.casefold():
            self._miss(f"the {name} was not named", view)

    def scale(self, device: str, vessel: str, view: ViewModel) -> None:
        """A scale that is used has to have been named, in this step or as that vessel's before."""
        self.hear(view)
        name = self._vessels.get(vessel, "")
        known = bool(name) and any(device in x and name.casefold() in x.casefold() for x in self.lines)
        if device not in self.said_in_step and not known:
            self._miss(f"the {device} was not named", view)

    def grams(self, line: str, amount: float, view: ViewModel) -> None:
        """What is poured has to have been named, and how much of it."""
        self.hear(view)
        name = self._names.get(line, "")
        if name and name not in self.said:
            self._miss(f"{name} was not named", view)
        shown = {float(x) for x in re.findall(r"\d+(?:\.\d+)?", self.said)}
        if not any(abs(x - amount) <= 0.051 for x in shown):
            self._miss(f"{amount:g} g was not said", view)

    def _typed(self, line: str, command: str, view: ViewModel) -> None:
        try:
            if understand(line, view).command != command:
                self._miss(f"{line!r} is understood as something else", view)
        except NotUnderstood as error:
            self._miss(f"{line!r} is not understood: {error}", view)

    def _miss(self, what: str, view: ViewModel) -> None:
        found = f"{view.prompt}: {what}. Said: {self.said}"
        if found not in self.untold:
            self.untold.append(found)
