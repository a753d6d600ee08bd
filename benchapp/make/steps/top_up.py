"""Top up: weigh a heated vessel again and replace the water it lost."""

from __future__ import annotations

from benchapp.make.acts.base import Act
from benchapp.make.acts.vessel import VesselOn
from benchapp.make.plan import Plan
from benchapp.make.steps.replacing import Replace
from benchapp.make.steps.top_up_by_jug import SteamLoss, by_jug
from procedures.steps import TopUp


def acts(step: TopUp, plan: Plan) -> tuple[Act, ...]:
    """The vessel back on its scale, then water to what it was; by a jug where no scale carries it, and by what is computed or
    stated where none is connected."""
    scale = plan.scale_for(step.vessel)
    line = next(x.key for x in plan.procedure.formula.in_phase(step.phase) if x.material.key == step.material)
    if step.key in plan.topped_by_jug:
        return by_jug(step, line, plan)
    if scale is None:
        return (
            SteamLoss("loss", step, vessel=step.vessel),
            Replace("replace", step, line=line, vessel=step.vessel),
        )
    return (
        VesselOn("vessel", step, vessel=step.vessel, device=scale.name, was_away=True),
        Replace(
            "replace", step, line=line, vessel=step.vessel, device=scale.name, checked=bool(scale.checked)
        ),
    )
