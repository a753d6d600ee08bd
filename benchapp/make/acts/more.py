"""More of a line that was weighed before, so that the formula holds after an over-pour."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar

from benchapp.foundation.band import Target
from benchapp.foundation.language import tr
from benchapp.make.acts.base import Act, Context
from benchapp.make.acts.confirm import ReadBack
from benchapp.make.acts.pour import Pour
from benchapp.make.acts.vessel import VesselOn
from benchapp.make.plan import Plan
from benchapp.make.remedies import again_key
from procedures.steps import Step


@dataclass(frozen=True)
class More(Pour):
    """Pour ``grams`` on top."""

    whole_formula: ClassVar[bool] = False

    grams: float = 0.0

    @property
    def brief(self) -> str:
        """What for."""
        return tr("Weigh what keeps the formula")

    def target(self, context: Context) -> Target:
        """To the line's own tolerance, taken of all of it; one division at the least."""
        w = context.plan.weighings[self.line]
        share = (w.target.band.high - w.target_g) / w.target_g if w.target_g else 0.0
        whole = context.state.weighed_g.get(self.line, 0.0) + self.grams
        return Target.within(self.grams, max(share * whole, w.division_g), w.division_g)


def additions_of(step: Step, rounds: Iterable[tuple[tuple[str, float], ...]], plan: Plan) -> tuple[Act, ...]:
    """The acts of every remedy of this step: vessel, read back, pour, for each line."""
    out: list[Act] = []
    for n, additions in enumerate(rounds, 1):
        for line, grams in additions:
            w = plan.weighings[line]
            device = w.device.name if w.device else ""
            if device:
                out.append(
                    VesselOn(f"vessel {w.vessel} for {line} {n}", step, vessel=w.vessel, device=device)
                )
            out.append(ReadBack(f"read {line} again {n}", step, line=line, grams=grams))
            out.append(
                More(
                    again_key(line, n), step, line=line, vessel=w.vessel, device=device,
                    checked=bool(w.device and w.device.checked), grams=grams,
                )
            )  # fmt: skip
    return tuple(out)
