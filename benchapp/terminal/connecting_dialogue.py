"""Connecting a device in the terminal: each question is put, and what is typed answers it."""

from __future__ import annotations

from collections.abc import Callable

from benchapp.foundation.language import tr, tr_noop
from benchapp.service.connecting_questions import ConnectingStep, StepKey
from benchapp.service.connecting_steps import ConnectingSteps
from benchapp.service.errors import CommandError

#: What ends it at any question.
STOP = "stop"
#: How a question is answered here; the others by pressing Enter.
HOW = {
    StepKey.PORT: tr_noop("Type its number, or press Enter to plug it in again."),
    StepKey.SENDING: tr_noop("Enter listens again; stop ends."),
    StepKey.DISPLAY: tr_noop("Enter: yes. Else type the unit of its display, such as F."),
    StepKey.REST: tr_noop("Press Enter once its display stands still."),
    StepKey.LINE: tr_noop("Press Enter once its display stands still."),
    StepKey.CAPACITY: tr_noop("Type it, such as 3000 g."),
    StepKey.UNIT_KEY: tr_noop("Then press Enter. It has none: type none."),
    StepKey.MOTION: tr_noop("Press Enter meanwhile."),
}


class ConnectingDialogue:
    """``ask`` puts a question and returns the line that was typed; ``say`` tells. Raises CommandError where it is
    stopped; nothing is in the bench file then."""

    def __init__(self, steps: ConnectingSteps, ask: Callable[[str], str], say: Callable[[str], None]) -> None:
        self._steps, self._typed, self._say = steps, ask, say

    def connect(self) -> None:
        """From the plug to the bench file."""
        steps = self._steps
        try:
            step = steps.begin()
            while step is not None:
                for found in step.found:
                    self._say(found)
                step = steps.answer("" if step.key is StepKey.ADD else self._ask(step))
        finally:
            steps.end()
        for found in steps.found:
            self._say(found)

    def _ask(self, step: ConnectingStep) -> str:
        for port in step.answers if step.key is StepKey.PORT else ():
            if port.word:
                self._say(f"  {port.word}: {port.label}")
        answer = self._typed(f"{step.question} {_how(step)}").strip()
        if answer.lower() == STOP:
            raise CommandError(tr("Stopped. Nothing was written into the bench file."))
        return answer


def _how(step: ConnectingStep) -> str:
    if step.key is StepKey.KIND:
        return tr("Type {names}.", names=tr(" or ").join(answer.word for answer in step.answers))
    if step.usual:
        return tr("Enter: {usual}.", usual=step.usual)
    return tr(HOW.get(step.key, tr_noop("Then press Enter.")))
