"""A wait for a temperature, foretold: the forecaster of a vessel, told what the ledger knows of it."""

from __future__ import annotations

from typing import Literal

from benchapp.calculations.forecast import Forecaster
from benchapp.calculations.heat_loss import MeltingShare, VesselPrior
from benchapp.foundation.language import translated
from benchapp.make.acts.base import Context
from benchapp.make.filters import LastForecast
from benchapp.make.view_model import Forecast

#: How often a forecast is worked out anew, in seconds.
TELL_EVERY_S = 5.0
#: The fan is a drawing and costs ten times as much.
FAN_EVERY_S = 30.0


def forecaster(
    context: Context, vessel: str, kind: Literal["cool", "heat"], target_c: float, in_bath: bool = False
) -> Forecaster:
    """The one of this vessel in this act, begun when it is first asked for."""
    found = context.counts.forecasters.get(vessel)
    if found is None:
        past = context.watch.past.get((context.progress.step, vessel), ())
        found = Forecaster(kind, target_c, prior_of(context, vessel, in_bath), past=past, shown=True)
        context.counts.forecasters[vessel] = found
    return found


def prior_of(context: Context, vessel: str, in_bath: bool) -> VesselPrior:
    """What the ledger and the bench know of a vessel that bears on how fast it warms and cools."""
    account = context.state.ledger.of(vessel)
    whole = account.content_g
    waters = sum(g for line, g in account.contents_g.items() if line in context.plan.water_lines)
    share = min(1.0, max(waters / whole, 0.0)) if whole > 0.0 else 0.8
    width = context.plan.vessel(vessel).diameter_mm
    bath = context.watch.bath if in_bath else None
    if whole <= 0.0:
        return VesselPrior(500.0, share, width, in_bath=in_bath, bath=bath)
    melts = tuple(
        MeltingShare(
            account.contents_g[line.key] / whole, line.material.melts_c, line.material.melting_heat_j_g
        )
        for line in context.plan.procedure.formula.lines
        if line.material.melts_c is not None and account.contents_g.get(line.key, 0.0) > 0.0
    )
    return VesselPrior(whole, share, width, in_bath=in_bath, melts=melts, bath=bath)


def foretold(context: Context, vessel: str, what: str) -> tuple[Forecast | None, tuple[str, ...]]:
    """The forecast for a vessel and what was noticed, or why there is none, as a sentence; nothing before there were readings."""
    told = _told(context, vessel)
    if told is None:
        return None, ()
    words = (f"{context.vessel_name(vessel)}: {translated(told.note)}.",) if told.note else ()
    counts = context.temp_c(vessel) is not None
    if told.why_silent and counts:
        words = (translated(told.why_silent),)
    if told.forecast is None or (not counts and told.forecast[0] == 0.0):  # it was there when it last counted
        return None, words
    gone = context.now_s - told.at_s
    middle, early, late = (max(s - gone, 0.0) for s in told.forecast)
    return Forecast(what, middle, early, late), words


def fan_for(context: Context, vessel: str) -> tuple[tuple[float, float, float], ...]:
    """What a drawing shows of it: (seconds from now, lowest °C, highest °C), without what is over since it was worked out.
    Empty where nothing is foretold just now."""
    told = _told(context, vessel)
    if told is None or told.forecast is None:
        return ()
    gone = context.now_s - told.fan_at_s
    return tuple((t - gone, low, high) for t, low, high in told.fan if t > gone)


def curve_of(context: Context, vessel: str) -> tuple[tuple[float, float], ...]:
    """How a vessel's temperature came here: (seconds from now, °C)."""
    probe = context.probe_in(vessel)
    seen = context.watch.probes.get(probe) if probe else None
    return tuple((t - context.now_s, c) for t, c in seen.curve) if seen else ()


def _told(context: Context, vessel: str) -> LastForecast | None:
    """What was last worked out, or worked out anew: a picture is drawn far more often than it changes."""
    known = context.counts.forecasters.get(vessel)
    if known is None:
        return None
    told = context.counts.told.get(vessel)
    if told is None or not 0.0 <= context.now_s - told.at_s < TELL_EVERY_S:
        answer = known.forecast(context.now_s)
        seconds = None if answer is None else (answer.middle_s, answer.early_s, answer.late_s)
        due = told is None or not told.fan or context.now_s - told.fan_at_s >= FAN_EVERY_S
        fan = known.fan(context.now_s, answer) if due and context.watch.draws else None
        drawn = (context.now_s, fan) if fan is not None or told is None else (told.fan_at_s, told.fan)
        silent = known.why_silent(context.now_s) if answer is None else ""
        note = known.note(context.now_s)
        told = LastForecast(context.now_s, seconds, note, drawn[0], drawn[1] or (), silent)
        context.counts.told[vessel] = told
    return told
