"""Weigh: the vessel onto its scale, then each line read back and poured; what a scale is too coarse for, mixed first."""

from __future__ import annotations

from benchapp.make.acts.base import Act
from benchapp.make.acts.confirm import ReadBack
from benchapp.make.acts.pour import Pour
from benchapp.make.acts.vessel import VesselOn
from benchapp.make.plan import Plan
from benchapp.make.steps.melting import melted_before
from benchapp.make.steps.portions import portioned
from benchapp.make.steps.thinning import ThinnedPour, Thinning
from procedures.steps import Add, Step, Weigh


def acts(step: Weigh, plan: Plan) -> tuple[Act, ...]:
    """Mixtures, vessel, then read back and pour for every line."""
    return pours(step, step.vessel, step.lines, plan)


def pours(step: Step, vessel: str, lines: tuple[str, ...], plan: Plan) -> tuple[Act, ...]:
    """The acts that weigh these lines into that vessel; by hand where the bench has no scale."""
    if step.key in plan.loads and isinstance(step, Weigh | Add):
        return portioned(step, step.jug, vessel, plan)
    scale = plan.scale_for(vessel)
    thinned = [x for x in lines if plan.weighings[x].mixture is not None]
    out: list[Act] = []
    if scale is not None:
        out += [
            Thinning(f"mix {x}", step, scale=scale.name, scale_checked=bool(scale.checked), line=x)
            for x in thinned
        ]
        out.append(VesselOn(f"vessel {vessel}", step, vessel=vessel, device=scale.name))
    for line in lines:
        out += melted_before(step, line)
        out.append(ReadBack(f"read {line}", step, line=line))
        kind = ThinnedPour if line in thinned else Pour
        out.append(
            kind(
                f"pour {line}", step, line=line, vessel=vessel,
                device=scale.name if scale else "", checked=bool(scale and scale.checked),
            )
        )  # fmt: skip
    return tuple(out)
