"""What happens inside a step: one module per kind, each saying which acts the step is made of."""

from __future__ import annotations

from typing import assert_never, cast

from benchapp.make.acts.base import Act
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


def acts_of(step: s.Step, plan: Plan) -> tuple[Act, ...]:
    """The acts of one step of this plan, with what is set to melt in it for weighings to come."""
    melting = set_to_melt(step, plan)
    return (
        (*_of_kind(step, plan), *melting)
        if isinstance(step, s.Prepare)
        else (*melting, *_of_kind(step, plan))
    )


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
