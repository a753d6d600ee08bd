"""Disperse or hydrate a gum or powder, and premix: stir for a time, then let it stand."""

from __future__ import annotations

from benchapp.foundation.language import tr
from benchapp.make.acts.base import Act
from benchapp.make.acts.confirm import Task
from benchapp.make.acts.gate import ensure_probe
from benchapp.make.acts.timed import Timed, stirring
from benchapp.make.plan import Plan
from benchapp.make.steps.transfer import PourLimits, boats_into
from benchapp.make.view_model import Want
from benchapp.make.vocabulary import Verb
from procedures.steps import Disperse, Premix
from procedures.walk import bench_at


def acts(step: Disperse, plan: Plan) -> tuple[Act, ...]:
    """Sprinkle in what was weighed before, stir, rest."""
    name = plan.vessel(step.vessel).name
    limits = [b for x in step.lines if (b := plan.weighings[x].line.material.below_c) is not None]
    coolest = min(limits, default=None)
    hot = bench_at(step, plan.procedure).is_hot(step.vessel)
    out: list[Act] = list(ensure_probe(step, step.vessel, plan)) if hot and limits else []
    out += boats_into(step, step.vessel, step.lines, plan, PourLimits(high_c=coolest if hot else None))
    if not out:
        text = step.note or tr("Start stirring the {name}.", name=name)
        out.append(Task("start", step, text, yes="Stirring", want=Want(Verb.STIR, vessel=step.vessel)))
    if step.stir_s > 0:
        out.append(stirring("stir", step, plan.vessel(step.vessel), step.stir_s))
    if step.rest_s > 0:
        out.append(
            Timed(
                "rest",
                step,
                text=tr("Let the {name} stand", name=name),
                wait_s=step.rest_s,
                vessel=step.vessel,
            )
        )
    return tuple(out)


def premix(step: Premix, plan: Plan) -> tuple[Act, ...]:
    """Stir one vessel until it is even."""
    name = plan.vessel(step.vessel).name
    text = tr("Stir the {name} until it is even", name=name)
    return (
        Timed(
            "stir",
            step,
            text=text,
            wait_s=step.stir_s,
            start=tr("Start stirring"),
            vessel=step.vessel,
            verb=Verb.STIR,
        ),
    )
