"""How long a make still takes, by finished makes like it: never less than the waiting that surely is to come."""

from __future__ import annotations

import math
from dataclasses import replace

from benchapp.calculations.until_done import MakeSoFar, UntilDone, until_done
from benchapp.make.acts.base import Act
from benchapp.make.core import Make
from benchapp.make.view_model import Forecast
from procedures.steps import Finish


def still_to_take(
    make: Make, now_s: float, sure_s: float, wait: tuple[Act, Forecast | None]
) -> UntilDone | None:
    """Until nothing is left but to sign; None where no such make knows it, where they took less than surely is to come
    (``sure_s``), or where the ``wait`` may never end."""
    past, state, agenda = make.watch.past_makes, make.state, make.agenda
    if not past:
        return None
    to_come = {k for k, s in agenda.steps.items() if not isinstance(s, Finish)}.difference(state.steps_done)
    active = state.times.active & to_come
    ahead = {key: agenda.waits[key][0] for key in to_come - active}
    least_s = max(sure_s - sum(ahead.values()), 0.0)
    now = MakeSoFar(active, ahead, state.times.up_to(now_s), least_s)
    act, forecast = wait
    if act.open_end and forecast is not None:
        if math.isinf(forecast.late_s):
            return None
        now = replace(now, most_s=least_s + forecast.late_s - forecast.early_s, waiting=act.step.key)
    found = until_done(past, now)
    if found is None or found.late_s < sure_s:
        return None
    return replace(found, early_s=max(found.early_s, sure_s), middle_s=max(found.middle_s, sure_s))
