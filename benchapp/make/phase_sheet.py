"""The sheet beside the work: the lines of this phase with what is done and what comes, and the make as a line of time."""

from __future__ import annotations

from benchapp.make.acts.base import Act, Context
from benchapp.make.acts.confirm import Task
from benchapp.make.acts.pour_line import PourLine
from benchapp.make.agenda import Agenda
from benchapp.make.state import State
from benchapp.make.view_model import Forecast, SheetLine, StepSpan


def sheet_of(
    agenda: Agenda, context: Context, act: Act | None, spans: tuple[StepSpan, ...]
) -> tuple[SheetLine, ...]:
    """What is weighed in this step, or its tasks; the steps of the make (``spans``) where it has neither."""
    state = context.state
    if act is None or state.over:
        return ()
    acts = agenda.acts_now(state.step, state)
    pours = [x for x in acts if isinstance(x, PourLine)]
    if pours:
        now = (
            next((x for x in acts[acts.index(act) :] if isinstance(x, PourLine)), None)
            if act in acts
            else None
        )
        return tuple(_weighed(context, x, x is now) for x in pours)
    tasks = [x for x in acts if type(x) is Task]
    if len(tasks) > 1:
        return tuple(SheetLine(x.text, _state(state, x, x is act)) for x in tasks)
    return tuple(SheetLine(span.title, span.state) for span in spans)


def _state(state: State, act: Act, now: bool) -> str:
    return "done" if (act.step.key, act.key) in state.acts_done else "now" if now else "next"


def _weighed(context: Context, pour: PourLine, now: bool) -> SheetLine:
    state, plan = context.state, context.plan
    taken = [w for w in state.weights.get(pour.line, ()) if (w.step, w.act) == (pour.step.key, pour.key)]
    lot = taken[-1].lot if taken else ""
    if not lot and now and pour.line in state.lots:
        lot = state.lots[pour.line].lot
    weighing = plan.weighings.get(pour.line)
    return SheetLine(
        pour.name(context),
        _state(state, pour, now),
        sum(w.target_g for w in taken) if taken else pour.target(context).grams,
        sum(w.net_g for w in taken) if taken else None,
        weighing.decimals if weighing is not None else 1,
        lot,
    )


def spans_of(agenda: Agenda, state: State) -> tuple[StepSpan, ...]:
    """Every step, and the waiting in it."""
    done, here = state.steps_done, state.step
    return tuple(
        StepSpan(step.title, "done" if key in done else "now" if key == here else "next", *agenda.waits[key])
        for key, step in agenda.steps.items()
    )


def after_s(agenda: Agenda, state: State, act: Act | None) -> float:
    """The waiting that surely is still to come after this act, in seconds."""
    if act is None or state.over:
        return 0.0
    done = state.acts_done
    over = set(state.steps_done)
    begun = {act.step.key, *(step for step, _ in done)} - over
    ahead = agenda.steps.keys() - begun - over
    here = (x for key in begun for x in agenda.acts_now(key, state) if (x.step.key, x.key) not in done)
    later = sum(x.sure_s for x in here if (x.step.key, x.key) != (act.step.key, act.key))
    return later + sum(agenda.waits[key][0] for key in ahead)


def left_s(act: Act, forecast: Forecast | None) -> float:
    """The waiting that surely is left of this act, in seconds: what heats and cools counts once it is foretold."""
    if forecast is None:
        return act.sure_s
    # A hold begins when the temperature is reached: the forecast of that does not hold it.
    return forecast.early_s + (act.sure_s if act.open_end and forecast.what != "held" else 0.0)
