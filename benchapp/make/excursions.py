"""Too hot or too cold while a vessel is heated and held: followed to its end, and recorded with peak and length."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp import events as ev
from benchapp.calculations.excursion import graded
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts.base import Act, Context
from benchapp.make.inputs import Degrees
from procedures.steps import Heat

ABOVE, BELOW = "above", "below"
#: So far back inside its limit it is over, in kelvin: one that stands on the limit is one excursion, not many.
BACK_K = 0.3
#: What ends every excursion of a step.
ENDS = (ev.ActFinished, ev.StepSkipped, ev.MakeAbandoned)


def followed(context: Context, act: Act | None, given: Degrees) -> list[ev.Event]:
    """What a counting reading means for the limits of the band: out, further out, in again."""
    vessel = context.state.probes.get(given.probe)
    if vessel is None or act is None or not isinstance(act.step, Heat) or vessel not in act.temperatures:
        return []
    band, temp = act.step.band_c, given.temp_c
    held = vessel in context.progress.in_band
    out: list[ev.Event] = []
    if band.above(temp):
        out += _further(context, act, vessel, ABOVE, band.high, temp)
    elif temp <= band.high - BACK_K:
        out += _back(context, vessel, ABOVE)
    if (held or (vessel, BELOW) in context.state.excursions) and temp < band.low - BACK_K:
        out += _further(context, act, vessel, BELOW, band.low, temp)
    elif not band.below(temp):
        out += _back(context, vessel, BELOW)
    return out


def _further(
    context: Context, act: Act, vessel: str, side: str, limit_c: float, temp: float
) -> list[ev.Event]:
    key = f"peak {vessel} {side}"
    further = max if side == ABOVE else min
    context.counts.scratch[key] = further(context.counts.scratch.get(key, temp), temp)
    if (vessel, side) in context.state.excursions:
        return []
    return [
        ev.ExcursionBegan(
            at_s=context.now_s, step=act.step.key, vessel=vessel, side=side, limit_c=limit_c, temp_c=temp
        )
    ]


def _back(context: Context, vessel: str, side: str) -> list[ev.Event]:
    began = context.state.excursions.get((vessel, side))
    return [] if began is None else _ended(context, began)


def _ended(context: Context, began: ev.ExcursionBegan) -> list[ev.Event]:
    vessel, side = began.vessel, began.side
    logged = context.state.peaks_c[vessel, side]
    live = context.counts.scratch.pop(f"peak {vessel} {side}", logged)
    peak = max(logged, live) if side == ABOVE else min(logged, live)
    lasted = round(context.now_s - began.at_s, 1)
    step = next((s for s in context.plan.procedure.steps if s.key == began.step), None)
    over = isinstance(step, Heat) and side == ABOVE and peak >= step.over_c
    grade = ev.Grade(graded(abs(peak - began.limit_c), lasted, over))
    kind = (
        tr_noop("too hot")
        if over
        else tr_noop("above the heating band")
        if side == ABOVE
        else tr("below the heating band")
    )
    name, most = context.vessel_name(vessel), tr("peak") if side == ABOVE else tr("lowest")
    text = tr(
        "{name}: for {long} {side} {limit_c:g} °C, {peak:.1f} °C at its {most}.",
        name=name,
        long=_long(lasted),
        side=side,
        limit_c=began.limit_c,
        peak=peak,
        most=most,
    )
    return [
        ev.ExcursionEnded(
            at_s=context.now_s, step=began.step, vessel=vessel, side=side, limit_c=began.limit_c,
            peak_c=round(peak, 2), lasted_s=lasted,
        ),
        ev.DeviationNoted(at_s=context.now_s, number=0, grade=grade, kind=kind, step=began.step, text=text),
    ]  # fmt: skip


def _long(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds < 90 else tr("{seconds:.1f} min", seconds=seconds / 60)


def closed(context: Context, events: Sequence[ev.Event]) -> list[ev.Event]:
    """The events; where they end a step or the make, what is still out of its limits is recorded as far as it went."""
    over = next((e for e in events if isinstance(e, ENDS)), None)
    if over is None or not context.state.excursions:
        return list(events)
    ended = {(e.vessel, e.side) for e in events if isinstance(e, ev.ExcursionEnded)}
    step = getattr(over, "step", "")
    still = [
        began
        for key, began in context.state.excursions.items()
        if key not in ended and step in ("", began.step)
    ]
    return [*(e for began in still for e in _ended(context, began)), *events]
