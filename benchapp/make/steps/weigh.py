"""Weigh: the vessel onto its scale, then each line read back and poured; what a scale is too coarse for, mixed first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from benchapp.calculations.portions import Portion
from benchapp.make.acts.base import Act
from benchapp.make.acts.confirm import ReadBack
from benchapp.make.acts.pour import Pour
from benchapp.make.acts.timed import stirring
from benchapp.make.acts.vessel import VesselOn
from benchapp.make.plan import Plan
from benchapp.make.steps.melting import melted_before
from benchapp.make.steps.paced import SlowPour
from benchapp.make.steps.portions import PortionPour, portioned
from benchapp.make.steps.thinning import ThinnedPour, Thinning
from procedures.steps import Add, Step, Weigh
from procedures.steps.pace import Pace


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
    pace = step.pace if isinstance(step, Add) else Pace()
    for line in lines:
        out += melted_before(step, line)
        out.append(ReadBack(f"read {line}", step, line=line))
        where = _Where(step, line, vessel, scale.name if scale else "", bool(scale and scale.checked))
        out += _poured(where, pace, line in thinned, plan)
    return tuple(out)


@dataclass(frozen=True, slots=True)
class _Where:
    """Which line is poured into what, and on which scale ("" by hand)."""

    step: Step
    line: str
    vessel: str
    device: str
    checked: bool


def _poured(where: _Where, pace: Pace, thinned: bool, plan: Plan) -> list[Act]:
    """The pour of one line: at once, slowly, or in portions with a rest between."""
    step, line = where.step, where.line
    given: dict[str, Any] = {
        "line": line,
        "vessel": where.vessel,
        "device": where.device,
        "checked": where.checked,
    }
    if pace.during_s:
        return [SlowPour(f"pour {line}", step, **given, during_s=pace.during_s)]
    if pace.portions == 1:
        return [(ThinnedPour if thinned else Pour)(f"pour {line}", step, **given)]
    out: list[Act] = []
    each = plan.weighings[line].target_g / pace.portions
    for n in range(1, pace.portions + 1):
        out.append(
            PortionPour(f"pour {line} {n}", step, **given, portion=Portion(line, each, n, pace.portions))
        )
        if pace.between_s and n < pace.portions:
            out.append(stirring(f"rest {line} {n}", step, plan.vessel(where.vessel), pace.between_s))
    return out
