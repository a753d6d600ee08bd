"""The sums of the law asked of a make as it stands."""

from __future__ import annotations

from collections.abc import Mapping

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.make.acts.base import Context
from benchapp.make.law import LOST_PERCENT, passed_by
from procedures.model import Procedure
from procedures.steps import Fill


def passed_now(context: Context, grams: Mapping[str, float]) -> tuple[str, ...]:
    """What :func:`passed_by` says, of a make as it stands, ``grams`` being what is in the vessels or is about to be: the one question to ask
    wherever the percentages move. What is filled kettle by kettle is asked kettle by kettle."""
    plan, lost = context.plan, lost_percent(context)
    apart = _filled_apart(plan.procedure)
    if not apart:
        return passed_by(plan.procedure, grams, lost, plan.law)
    kettle_of = {x.key: x.kettle for x in plan.procedure.formula.lines}
    return tuple(
        tr("Kettle {kettle}: {sentence}", kettle=kettle, sentence=sentence)
        for kettle in apart
        for held in ({k: g for k, g in grams.items() if kettle_of.get(k) == kettle},)
        if sum(held.values()) > 0
        for sentence in passed_by(plan.procedure, held, lost, plan.law)
    )


def _filled_apart(procedure: Procedure) -> tuple[int, ...]:
    """The kettles that are filled one after the other, without being brought together before."""
    return tuple(s.kettle for s in procedure.steps if isinstance(s, Fill) and s.kettle)


def lost_percent(context: Context) -> float:
    """The water found missing so far, in percent of what went in; the usual allowance where less was seen."""
    went_in = sum(context.state.weighed_g.values())
    lost = sum(e.lost_g for e in context.state.log if isinstance(e, ev.WaterLost))
    return max(LOST_PERCENT, 100 * lost / went_in if went_in else 0.0)


def in_the_end(context: Context) -> dict[str, float]:
    """Grams of each line as they will be: what was weighed, and what is still to come as planned."""
    targets = {k: context.state.revised.get(k, w.target).grams for k, w in context.plan.weighings.items()}
    return targets | dict(context.state.weighed_g)
