"""Weighing ahead: what can be weighed while a step only waits, and when the wait wants its maker back."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.make.acts.base import Act, Context
from benchapp.make.acts.confirm import Cautions
from benchapp.make.acts.pan import pan_is_empty
from benchapp.make.acts.pour_line import PourLine
from benchapp.make.acts.vessel import VesselOn
from benchapp.make.view_model import ActView, Choice, Forecast
from benchapp.make.vocabulary import ChoiceKey, Stage
from procedures.steps import Weigh
from procedures.steps.base import Hazard

#: How long fetching a vessel takes, and one line with its reading back, in seconds (common practice, no source).
VESSEL_S, LINE_S = 60.0, 60.0
#: So long before its end the wait wants its maker back, in seconds.
RETURN_S = 60.0
#: An empty-handed maker at a resting scale is fetched after so long; in the middle of a pour nobody is.
IDLE_S = 5.0
#: No more than so many weighings are offered at once: the wait itself stays what is read first.
MOST_OFFERED = 2


def doable(
    context: Context,
    act: Act,
    forecast: Forecast | None,
    acts: dict[str, tuple[Act, ...]],
) -> tuple[Weigh, ...]:
    """The weighings after this step that can be done while it waits: their vessel is touched by nothing before
    them, it is not hot, their scale is free and speaks, and there is time enough. Nothing flammable while heat is on."""
    if not act.waits or not act.begun(context) or calls(context, act, forecast):
        return ()
    steps = context.plan.procedure.steps
    flammable = {x.key for x in context.plan.procedure.formula.lines if x.material.flammable}
    here = next(n for n, s in enumerate(steps) if s.key == act.step.key)
    declared = context.plan.declared
    before = set(declared[act.step.key].touches)
    left_s = _earliest_s(forecast)
    out: list[Weigh] = []
    for step in steps[here + 1 :]:
        if step.key in context.state.steps_done:
            continue
        near_heat = Hazard.HEAT_SOURCE in declared[act.step.key].hazards and not flammable.isdisjoint(
            getattr(step, "lines", ())
        )
        if (
            isinstance(step, Weigh)
            and step.vessel not in before
            and not near_heat
            and _free(context, act, step)
        ):
            lines = sum(isinstance(a, PourLine) for a in _left(context, acts[step.key]))
            if lines and (left_s is None or left_s >= RETURN_S + VESSEL_S + LINE_S * lines):
                out.append(step)
        before |= set(declared[step.key].touches)
    return tuple(out[:MOST_OFFERED])


def _left(context: Context, acts: Sequence[Act]) -> list[Act]:
    return [a for a in acts if (a.step.key, a.key) not in context.state.acts_done]


def _free(context: Context, act: Act, step: Weigh) -> bool:
    scale = context.plan.scale_for(step.vessel)
    if scale is None or scale.name in act.uses or context.state.ledger.of(step.vessel).heated:
        return False
    # One that is doubted, as after a restart, is asked about first, like everywhere.
    if scale.name in context.state.lost or not context.watch.speaks(scale.name, context.now_s):
        return False
    gross = context.gross_g(scale.name)
    standing = context.state.on_scale.get(scale.name)
    clear = gross is not None and pan_is_empty(context, scale.name, gross)
    return clear or standing is None or standing not in act.ties


def _earliest_s(forecast: Forecast | None) -> float | None:
    return None if forecast is None else forecast.early_s


def calls(context: Context, act: Act, forecast: Forecast | None) -> str:
    """Why a wait wants its maker, in one sentence; "" while it does not. ``context`` is the wait's own."""
    if (act.step.key, act.key) in context.state.acts_done:
        return tr("{brief}: done.", brief=act.brief)
    lost = next((d for d in act.devices if d in context.state.lost), None)
    if lost is not None:
        return tr("The {lost} is lost: nothing watches this step: {title}.", lost=lost, title=act.step.title)
    said = act.calls(context)
    left_s = _earliest_s(forecast)
    if said or left_s is None or left_s > RETURN_S:
        return said
    return tr("{brief}: any moment now.", brief=act.brief)


def offered(context: Context, act: Act, act_view: ActView, acts: dict[str, tuple[Act, ...]]) -> ActView:
    """The face of a wait with what may be weighed meanwhile, and the vessels that stand ready."""
    steps, ready = doable(context, act, act_view.forecast, acts), _ready(context, act)
    more = tuple(Choice(ChoiceKey.AHEAD, tr("Meanwhile: {title}", title=s.title), of=s.key) for s in steps)
    stands = tr("Keep the {names} covered.", names=", ".join(ready)) if ready else ""
    if not more and not stands:
        return act_view
    note = f"{act_view.note} {stands}".strip()
    return dataclasses.replace(act_view, choices=(*act_view.choices, *more), note=note)


def _ready(context: Context, act: Act) -> tuple[str, ...]:
    """The names of the vessels in which something was weighed ahead of this wait's step."""
    steps = context.plan.procedure.steps
    here = next(n for n, s in enumerate(steps) if s.key == act.step.key)
    done = [s for s in steps[here + 1 :] if isinstance(s, Weigh) and s.key in context.state.steps_done]
    vessels = dict.fromkeys(s.vessel for s in done if context.state.ledger.of(s.vessel).content_g > 0.0)
    return tuple(context.vessel_name(v) for v in vessels)


def with_way_back(act_view: ActView, context: Context, act: Act, title: str) -> ActView:
    """The face of a weighing done ahead, with the way back to the wait (its step's title) where nothing is half done."""
    if not empty_handed(context, act):
        return act_view
    back = Choice(ChoiceKey.BACK, tr("Back to: {title}", title=title))
    return dataclasses.replace(act_view, choices=(*act_view.choices, back))


def empty_handed(context: Context, act: Act) -> bool:
    """Whether this act can be left just so: nothing was poured that is not booked."""
    if not isinstance(act, PourLine):
        return True
    progress = context.progress
    if progress.stage != Stage.FIRST or progress.lifted:
        return False
    if progress.baseline_g is None:
        return True
    gross = context.still_g(act.device, IDLE_S) if act.device else None
    return gross is not None and abs(context.net_g(act.device, gross)) <= 3 * context.division_g(act.device)


def begun(context: Context, act: Act, into: Weigh) -> ev.Event:
    """Stepping aside from a wait into a weighing."""
    return ev.SteppedAside(
        at_s=context.now_s, step=act.step.key, act=act.key, into=into.key, vessels=tuple(sorted(act.ties))
    )


def ended(context: Context, acts: Sequence[Act], why: str) -> ev.Event:
    """Back at the wait. A vessel that was on the scale has to be put there again before more goes in, and what can
    hurt is said again."""
    waiting = context.state.waiting
    assert waiting is not None
    left = _left(context, acts)
    vessels = {a.vessel for a in left if isinstance(a, PourLine)}
    again = tuple(
        a.key
        for a in acts
        if a not in left
        and ((isinstance(a, VesselOn) and a.vessel in vessels) or (left and isinstance(a, Cautions)))
    )
    return ev.SteppedBack(
        at_s=context.now_s, step=waiting.step, left=context.progress.step, why=why, again=again
    )
