"""Replace: water poured for what a heated vessel lost, into it or into the jug that goes into it."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import ClassVar

from benchapp import events as ev
from benchapp.foundation.band import Target
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import to_division
from benchapp.make.acts.base import Context
from benchapp.make.acts.pour import Pour
from benchapp.make.law_now import in_the_end, passed_now
from benchapp.make.view_model import ActView


@dataclass(frozen=True)
class Replace(Pour):
    """Pour what ``lacking`` lost ("": the vessel itself). Passes by itself where less than two divisions are missing."""

    whole_formula: ClassVar[bool] = False

    lacking: str = ""

    @property
    def brief(self) -> str:
        """What for."""
        return tr("Replace the water that was lost")

    def begin(self, context: Context) -> list[ev.Event]:
        """Nothing lost, nothing to do."""
        if self._missing_g(context) < 2 * context.division_g(self.device):
            return [self.finish(context)]
        return []

    def act_view(self, context: Context) -> ActView:
        """The pour, and which ceilings the batch passes as long as the water is missing."""
        view = super().act_view(context)
        return dataclasses.replace(view, not_yet=(*view.not_yet, *passed_now(context, in_the_end(context))))

    def _missing_g(self, context: Context) -> float:
        given = sum(w.net_g for w in context.state.weights.get(self.line, ()) if w.step == self.step.key)
        return context.state.ledger.of(self.lacking or self.vessel).lost_g - given

    def target(self, context: Context) -> Target:
        """What is missing now, to two divisions or 10 %."""
        division = context.division_g(self.device)
        missing = to_division(self._missing_g(context), division)
        margin = max(2 * division, 0.1 * missing)
        return Target.within(missing, margin, division)
