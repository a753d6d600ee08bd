"""What happens inside a step: one module per kind, each saying which acts the step is made of."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

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
    ph,
    prepare,
    top_up,
    weigh,
)
from procedures import model as m

#: A new kind of step is one module and one line here.
ACTS: dict[type[m.Step], Callable[[Any, Plan], tuple[Act, ...]]] = {
    m.Prepare: prepare.acts,
    m.Weigh: weigh.acts,
    m.Disperse: disperse.acts,
    m.Premix: disperse.premix,
    m.Heat: heat.acts,
    m.TopUp: top_up.acts,
    m.Combine: combine.acts,
    m.Blend: blend.acts,
    m.Cool: cool.acts,
    m.Add: combine.add,
    m.MeasurePh: ph.acts,
    m.LookOver: judge.acts,
    m.Density: judge.density,
    m.Fill: fill.acts,
    m.CleanUp: prepare.clean_up,
    m.Finish: finish.acts,
}


def acts_of(step: m.Step, plan: Plan) -> tuple[Act, ...]:
    """The acts of one step of this plan."""
    return ACTS[type(step)](step, plan)
