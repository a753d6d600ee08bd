"""What happens inside a step: one module per kind, each saying which acts the step is made of."""

from __future__ import annotations

from typing import assert_never, cast

from benchapp.foundation.language import tr
from benchapp.make.acts.base import Act
from benchapp.make.acts.confirm import Task
from benchapp.make.cautions import AWAY, put_away
from benchapp.make.plan import Plan
from benchapp.make.steps import (
    blend,
    combine,
    cool,
    disperse,
    fill,
    finish,
    heat,
    judge,
    measure,
    ph,
    prepare,
    rest,
    top_up,
    weigh,
)
from benchapp.make.steps.melting import set_to_melt
from procedures import steps as s
from procedures.cautions import flammables


def acts_of(step: s.Step, plan: Plan) -> tuple[Act, ...]:
    """The acts of one step of this plan, with what is set to melt in it for weighings to come; before anything is warm there,
    what burns is put away."""
    melting, own = set_to_melt(step, plan), _of_kind(step, plan)
    beside = isinstance(step, s.Weigh) and bool(step.melt) and not _burns(step, plan)
    away = _away(step, plan) if melting or beside or isinstance(step, s.Heat) else ()
    return (*own, *away, *melting) if isinstance(step, s.Prepare) else (*away, *melting, *own)


def _burns(step: s.Weigh, plan: Plan) -> bool:
    """Whether something that burns is weighed there: it cannot be away, and the caution stays."""
    return any(plan.weighings[line].line.material.flammable for line in step.lines)


def _away(step: s.Step, plan: Plan) -> tuple[Act, ...]:
    """An act of its own, so that nothing is warm before somebody has said it."""
    text = put_away(flammables(plan.procedure))
    note = tr("Close it first. What it wetted has to be dry.")
    return (Task(AWAY, step, text, yes=tr("It is away"), note=note),) if text else ()


def _of_kind(step: s.Step, plan: Plan) -> tuple[Act, ...]:  # noqa: C901  one line a kind
    """What its kind says. A kind that is missing here fails in the type checker."""
    known = cast(s.AnyStep, step)
    match known:
        case s.Prepare():
            return prepare.acts(known, plan)
        case s.Weigh():
            return weigh.acts(known, plan)
        case s.Disperse():
            return disperse.acts(known, plan)
        case s.Premix():
            return disperse.premix(known, plan)
        case s.Heat():
            return heat.acts(known, plan)
        case s.TopUp():
            return top_up.acts(known, plan)
        case s.Combine():
            return combine.acts(known, plan)
        case s.Blend():
            return blend.acts(known, plan)
        case s.Cool():
            return cool.acts(known, plan)
        case s.Rest():
            return rest.acts(known, plan)
        case s.Add():
            return combine.add(known, plan)
        case s.MeasurePh():
            return ph.acts(known, plan)
        case s.LookOver():
            return judge.acts(known, plan)
        case s.Density():
            return judge.density(known, plan)
        case s.Measure():
            return measure.acts(known, plan)
        case s.Fill():
            return fill.acts(known, plan)
        case s.CleanUp():
            return prepare.clean_up(known, plan)
        case s.Finish():
            return finish.acts(known, plan)
        case _:
            assert_never(known)
