"""Combine and add: which into which, while temperatures are right, and what stayed in the emptied vessel."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts.base import Act
from benchapp.make.acts.gate import Gate, ensure_probe
from benchapp.make.acts.timed import stirring
from benchapp.make.plan import Plan
from benchapp.make.steps.transfer import PourLimits, boats_into, pour_over
from benchapp.make.steps.weigh import pours
from procedures.steps import Add, Combine


def acts(step: Combine, plan: Plan) -> tuple[Act, ...]:
    """A probe in each vessel where temperatures count, gate on both, pour, weigh the emptied one."""
    band = step.band_c
    limits = PourLimits(
        low_c=band.low if band else None, high_c=band.high if band else None, within_k=step.within_k,
        both=band is not None or step.within_k is not None, grade=ev.Grade.MINOR, pace=step.pace,
    )  # fmt: skip
    probed = (step.into, step.source) if limits.both else ()
    probes = [act for nth, vessel in enumerate(probed) for act in ensure_probe(step, vessel, plan, nth)]
    return (*probes, *pour_over(step, step.source, step.into, "", plan, limits))


def add(step: Add, plan: Plan) -> tuple[Act, ...]:
    """What was weighed before goes in from its boat; what was not is weighed straight into the batch."""
    gated = step.below_c is not None or step.above_c is not None
    out: list[Act] = list(ensure_probe(step, step.vessel, plan)) if gated else []
    direct = plan.declared[step.key].weighs
    limits = PourLimits(high_c=step.below_c, low_c=step.above_c, pace=step.pace)
    if step.source:
        out += pour_over(step, step.source, step.vessel, "", plan, limits)
    out += boats_into(step, step.vessel, tuple(x for x in step.lines if x not in direct), plan, limits)
    if direct:
        if gated:
            out.append(_gate(step, plan))
        out += pours(step, step.vessel, direct, plan)
    if step.stir_s > 0:
        out.append(stirring("stir", step, plan.vessel(step.vessel), step.stir_s))
    return tuple(out)


def _gate(step: Add, plan: Plan) -> Gate:
    name = plan.vessel(step.vessel).name
    return Gate(
        "gate", step, text=tr("The {name} is ready for what comes next.", name=name), yes=tr("Go on"), vessels=(step.vessel,),
        low_c=step.above_c, high_c=step.below_c, grade=ev.Grade.MAJOR, kind=tr_noop("added out of band"),
        thermometers=tuple(dict.fromkeys(d for d, _ in plan.probes)),
    )  # fmt: skip
