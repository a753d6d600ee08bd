"""Steps that may be done in any order: which others may come first, as long as nothing is done in the one that has begun."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.make.acts.base import Act, Context
from benchapp.make.acts.confirm import Cautions
from benchapp.make.view_model import ActView, Choice
from benchapp.make.vocabulary import ChoiceKey, Stage
from procedures.steps import Step


def groups_of(steps: Iterable[Step]) -> dict[str, str]:
    """The step's key and the name of its group, for those that have one."""
    return {step.key: step.any_order for step in steps if step.any_order}


def others(context: Context, act: Act) -> tuple[Step, ...]:
    """The steps of the same group that are still to be done, where this one has only just begun."""
    state, progress, here = context.state, context.progress, act.step
    if not here.any_order or isinstance(act, Cautions) or state.waiting is not None:
        return ()
    done = {key for step, key in state.acts_done if step == here.key}
    begun = progress.stage != Stage.FIRST or progress.baseline_g is not None or progress.lifted
    if done - {"cautions"} or begun:
        return ()
    steps = context.plan.procedure.steps
    return tuple(
        s for s in steps if s.any_order == here.any_order and s != here and s.key not in state.steps_done
    )


def offered(context: Context, act: Act, act_view: ActView) -> ActView:
    """The face of a step that has only just begun, with those that may come first."""
    steps = others(context, act)
    more = tuple(Choice(ChoiceKey.INSTEAD, tr("First: {title}", title=s.title), of=s.key) for s in steps)
    return dataclasses.replace(act_view, choices=(*act_view.choices, *more)) if more else act_view


def put_off(context: Context, act: Act, into: str) -> list[ev.Event]:
    """Another step of the group comes first; nothing where it may not."""
    if into not in (s.key for s in others(context, act)):
        return []
    return [ev.StepPutOff(at_s=context.now_s, step=act.step.key, into=into)]
