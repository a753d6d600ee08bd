"""What heating and holding shows: the vessels in the bath, what each lacks, and when it will do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Context
from benchapp.make.acts.waiting import curve_of, fan_for, foretold
from benchapp.make.next_move import MOST_WORDS
from benchapp.make.pictures import HeatPicture
from benchapp.make.steps.heat_known import HeatedVessels
from benchapp.make.view_model import ActView, Choice, Forecast, LiveValue, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Verb
from benchapp.make.waits import is_far, wait
from procedures.phrases import duration


def _foretold(heat: HeatedVessels, context: Context, held: float) -> tuple[Forecast | None, tuple[str, ...]]:
    """The end of the hold; before that, when every vessel is warm enough: nobody comes back for the first of them."""
    cold = [v for v in heat.vessels if (t := context.temp_c(v)) is None or heat.band.below(t)]
    if not cold or heat.by_hand(context):
        left = max(0.0, heat.hold_s - held)
        return Forecast("held", left, left, left), ()
    answers = [foretold(context, v, _warm_enough(heat, context, v)) for v in cold]
    noticed = tuple(dict.fromkeys(word for _, words in answers for word in words))
    known = [answer for answer, _ in answers if answer is not None]
    if len(known) < len(cold):
        return None, noticed
    middle, early, late = (
        max(f.middle_s for f in known),
        max(f.early_s for f in known),
        max(f.late_s for f in known),
    )
    return Forecast(_all_warm(heat, known), middle, early, late), noticed


def _all_warm(heat: HeatedVessels, known: Sequence[Forecast]) -> str:
    """What is foretold of several vessels at once."""
    if len(known) == 1:
        return known[0].what
    if len(known) == 2:
        return tr("both at {low:g} °C", low=heat.band.low)
    return tr("all at {low:g} °C", low=heat.band.low)


def _move(heat: HeatedVessels, context: Context, forecast: Forecast | None, unread: bool) -> str:
    """What the hands do; before the minutes that stand large, whose they are: one of several vessels by its name, else all
    that lack warmth."""
    temps = {v: context.temp_c(v) for v in heat.vessels}
    if any(heat.band.above(t) for t in temps.values() if t is not None):
        return tr("Turn it down")
    if unread:
        return tr("Heat it up")
    cold = [v for v, t in temps.items() if t is None or heat.band.below(t)]
    if not cold or heat.by_hand(context):
        return tr("Hold it")
    if forecast is None or len(temps) == 1:
        return ""
    if len(cold) == 1:
        name = context.vessel_name(cold[0])
        return f"{name}:" if len(name.split()) <= MOST_WORDS else ""
    return tr("Wait") if is_far(forecast) else tr("Ready in")


def _warm_enough(heat: HeatedVessels, context: Context, vessel: str) -> str:
    """What is foretold of a vessel, which is named where it is one of several."""
    if len(heat.vessels) == 1:
        return tr("at {low:g} °C", low=heat.band.low)
    name = context.vessel_name(vessel)
    return tr("{vessel_name} at {low:g} °C", vessel_name=name, low=heat.band.low)


def act_view_of(heat: HeatedVessels, context: Context) -> ActView:
    """Both vessels in the bath with their temperatures."""
    held = heat.held_s(context)
    live = tuple(_live(heat, context, v, context.temp_c(v)) for v in heat.vessels)
    not_yet = tuple(x.lacks for x in live if x.lacks)
    unread, begun = heat.unread(context), heat.begun(context)
    if not not_yet and unread:
        not_yet = (_uncounted(heat, context),)
    elif not not_yet and held < heat.hold_s:
        not_yet = (tr("Kept hot for {held} of {asked}.", held=wait(held), asked=duration(heat.hold_s)),)
    elif not not_yet and heat.by_hand(context):
        not_yet = (tr("{asked} are over: measure once more, and type it.", asked=duration(heat.hold_s)),)
    forecast, noticed = _foretold(heat, context, held)
    text = tr("Heat to {low:g}–{high:g} °C.", low=heat.band.low, high=heat.band.high)
    then = tr("Then hold {asked}.", asked=duration(heat.hold_s)) if heat.hold_s else ""
    if not begun:
        text, then = tr("See that the heat is on."), text
    move = _move(heat, context, forecast, unread)
    shown = (
        _picture(heat, context, held, forecast) if begun else None
    )  # a chart in which nothing has risen yet says nothing
    return ActView(text, context.progress.stage, live, shown, (*not_yet, *noticed), _choices(heat, context), _ask(heat, context), forecast=forecast,
                want=Want(Verb.HEAT, amount=heat.band.low, limit=heat.band.high), note=then, move=move, then=then)  # fmt: skip


def _picture(heat: HeatedVessels, context: Context, held: float, forecast: Forecast | None) -> HeatPicture:
    """The curves so far, and of those that lack warmth how it is foretold to go on."""
    temps = tuple((v, context.temp_c(v)) for v in heat.vessels)
    rows = tuple((context.vessel_name(v), t, t is not None and not heat.band.below(t)) for v, t in temps)
    curves = tuple(curve_of(context, v) for v in heat.vessels)
    fans = tuple(fan_for(context, v) if t is not None and heat.band.below(t) else () for v, t in temps)
    passes_s = (forecast.early_s, forecast.late_s) if forecast is not None and any(fans) else None
    return HeatPicture(
        rows, heat.band.low, heat.band.high, heat.over_c, held, heat.hold_s, curves, fans, passes_s
    )


def _choices(heat: HeatedVessels, context: Context) -> tuple[Choice, ...]:
    """That the one probe was moved, where there are more vessels than probes."""
    if not heat.thermometers or len(heat.vessels) <= len([v for v in heat.vessels if context.probe_in(v)]):
        return ()
    here = next((v for v in heat.vessels if context.probe_in(v)), heat.vessels[0])
    there = context.vessel_name(heat.next_vessel(here))
    return (Choice(ChoiceKey.MOVED, tr("Probe wiped and moved to the {there}", there=there)),)


def _ask(heat: HeatedVessels, context: Context) -> NumberRequest:
    """The temperature that may be typed."""
    asked = tr("temperature of the {asked}", asked=context.vessel_name(heat.asked(context)))
    return NumberRequest(asked, "°C", 0.0, 110.0, 1, usual=not heat.thermometers, band=heat.band)


def _uncounted(heat: HeatedVessels, context: Context) -> str:
    """What to do while a probe reads nothing that counts: it gives nothing, or was only just put in."""
    for vessel in heat.vessels:
        probe = context.probe_in(vessel)
        if probe is not None and context.shown_c(probe) is None:
            name = context.vessel_name(vessel)
            return tr("No reading from the {name}: put its probe in.", name=name)
    return tr("How long it takes is told once it warms.")


def _live(heat: HeatedVessels, context: Context, vessel: str, temp: float | None) -> LiveValue:
    """A vessel's temperature, and how much it lacks."""
    live = context.live_temp(vessel, _word(heat, temp))
    if temp is None or not heat.band.below(temp):
        return live
    lacks = tr(
        "{vessel_name}: {temp:.1f} °C, needs {low:g} °C.",
        vessel_name=context.vessel_name(vessel),
        temp=temp,
        low=heat.band.low,
    )
    return replace(live, to_go=exact(heat.band.low - temp), lacks=lacks)


def _word(heat: HeatedVessels, temp: float | None) -> str:
    if temp is None:
        return tr_noop("no reading")
    return tr_noop("far above") if temp >= heat.over_c else heat.band.word(temp)
