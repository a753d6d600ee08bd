"""The sheet beside the work: the lines of this phase with what is done and what comes, and the make as a line of time."""

from __future__ import annotations

from benchapp.make.acts.base import Act
from benchapp.make.acts.confirm import Task
from benchapp.make.acts.pour_line import PourLine
from benchapp.make.core import Make
from benchapp.make.view_model import Forecast, SheetLine, StepSpan


def sheet_of(make: Make, act: Act | None, spans: tuple[StepSpan, ...]) -> tuple[SheetLine, ...]:
    """What is weighed in this step, or its tasks; the steps of the make (``spans``) where it has neither."""
    if act is None or make.state.over:
        return ()
    acts = make.acts_now(make.state.step)
    pours = [x for x in acts if isinstance(x, PourLine)]
    if pours:
        now = (
            next((x for x in acts[acts.index(act) :] if isinstance(x, PourLine)), None)
            if act in acts
            else None
        )
        return tuple(_weighed(make, x, x is now) for x in pours)
    tasks = [x for x in acts if type(x) is Task]
    if len(tasks) > 1:
        return tuple(SheetLine(x.text, _state(make, x, x is act)) for x in tasks)
    return tuple(SheetLine(span.title, span.state) for span in spans)


def _state(make: Make, act: Act, now: bool) -> str:
    return "done" if (act.step.key, act.key) in make.state.acts_done else "now" if now else "next"


def _weighed(make: Make, pour: PourLine, now: bool) -> SheetLine:
    context = make.context()
    state = _state(make, pour, now)
    taken = [w for w in make.state.weights.get(pour.line, ()) if (w.step, w.act) == (pour.step.key, pour.key)]
    lot = taken[-1].lot if taken else ""
    if not lot and now and pour.line in make.state.lots:
        lot = make.state.lots[pour.line].lot
    weighing = make.plan.weighings.get(pour.line)
    return SheetLine(
        pour.name(context),
        state,
        taken[-1].target_g if taken else pour.target(context).grams,
        sum(w.net_g for w in taken) if taken else None,
        weighing.decimals if weighing is not None else 1,
        lot,
    )


def spans_of(make: Make) -> tuple[StepSpan, ...]:
    """Every step, and the waiting in it."""
    done, here = make.state.steps_done, make.state.step
    return tuple(
        StepSpan(step.title, "done" if key in done else "now" if key == here else "next", *make.waits[key])
        for key, step in make.steps.items()
    )


def left_s(make: Make, act: Act | None, forecast: Forecast | None) -> float:
    """The waiting that surely is still to come, in seconds: what heats and cools counts once it is foretold."""
    if act is None or make.state.over:
        return 0.0
    done = make.state.acts_done
    over = set(make.state.steps_done)
    begun = {act.step.key, *(step for step, _ in done)} - over
    ahead = make.steps.keys() - begun - over
    here = (x for key in begun for x in make.acts_now(key) if (x.step.key, x.key) not in done)
    now = act.sure_s if forecast is None else forecast.middle_s + _hold_after(act, forecast)
    later = sum(x.sure_s for x in here if (x.step.key, x.key) != (act.step.key, act.key))
    return now + later + sum(make.waits[key][0] for key in ahead)


def _hold_after(act: Act, forecast: Forecast) -> float:
    """A hold begins when the temperature is reached: the forecast of that does not hold it."""
    return act.sure_s if act.open_end and forecast.what != "held" else 0.0
