"""Filling while it is warm, because it thickens: watched from the first container on, told before it is too cool, and asked
about before the next one once it is."""

from __future__ import annotations

import dataclasses

from benchapp import events as ev
from benchapp.events.grades import COOLED_FILLING, FILLED_OUT, grade_of
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.gate import Gate, ensure_probe
from benchapp.make.acts.waiting import forecaster, foretold
from benchapp.make.alarms import unread
from benchapp.make.inputs import Degrees, Input, Press, TypeValue
from benchapp.make.plan import Plan
from benchapp.make.steps.fill_count import ContainerFill
from benchapp.make.view_model import ActView, Choice
from benchapp.make.vocabulary import ChoiceKey, Stage
from benchapp.make.waits import wait
from procedures.steps import Fill
from procedures.walk import bench_at

#: How often the temperature goes into the journal, in seconds.
LOG_EVERY_S = 60.0
#: Too cool counts once it has been read for so long, in seconds.
DWELL_S = 10.0
#: So near its end, in seconds and kelvin, it is said that it will soon be too cool (common practice, no source).
SOON_S, SOON_K = 120.0, 2.0
#: So far back above its limit it is not too cool any more, in kelvin: one that stands on the limit is asked about once.
BACK_K = 0.3
#: Warmed again it is by so many kelvin, where its limits leave room for it: else it is asked about at the next container.
AGAIN_K = 3.0


def warm_gate(step: Fill, plan: Plan) -> Gate | None:
    """Between which temperatures it is filled; None where the step names none.

    It is never warmed above what anything in the vessel bears.
    """
    if step.above_c is None and step.below_c is None:
        return None
    bench = bench_at(step, plan.procedure)
    bears = [x.material.below_c for x in bench.lines(bench.held(step.vessel))]
    high = min((c for c in (step.below_c, *bears) if c is not None), default=None)
    name = plan.vessel(step.vessel).name
    return Gate(
        "warm", step, text=tr("Fill from the {name} while it is warm.", name=name), yes="Fill", vessels=(step.vessel,),
        low_c=step.above_c, high_c=high, kind=FILLED_OUT, thermometers=tuple(dict.fromkeys(d for d, _ in plan.probes)),
        note="" if high is None else tr("Not above {high:g} °C.", high=high),
    )  # fmt: skip


def before_filling(step: Fill, gate: Gate | None, plan: Plan) -> tuple[Act, ...]:
    """The probe in, and the first look at the temperature."""
    return () if gate is None else (*ensure_probe(step, step.vessel, plan), gate)


def watched(fill: ContainerFill, gate: Gate, context: Context, given: Input) -> list[ev.Event] | None:
    """What the temperature brings about; None where filling goes on as it would without."""
    if context.progress.stage == Stage.COOLED and not pressed(given, ChoiceKey.LAST):
        return _decided(fill, gate, context, given)
    if isinstance(given, Degrees) and context.state.probes.get(given.probe) == fill.vessel:
        return _read(fill, gate, context, given)
    asks = unread(context, fill.vessel) and _between(context) and not _went_on(fill, context)
    if asks and context.temp_c(fill.vessel) is None:
        return [fill.stage(context, Stage.COOLED)]  # where no probe tells it is asked for from time to time
    return None


def _between(context: Context) -> bool:
    """Whether no container is begun."""
    return context.progress.baseline_g is None and context.progress.stage == Stage.FIRST


def _went_on(fill: ContainerFill, context: Context) -> bool:
    """Whether the maker has said why it is filled at another temperature."""
    return any(d.kind == FILLED_OUT and d.step == fill.step.key for d in context.state.deviations)


def _read(fill: ContainerFill, gate: Gate, context: Context, given: Degrees) -> list[ev.Event]:
    counts, temp = context.counts.lasting, context.probe_c(given.probe)
    if temp is None:
        counts.pop("cool since", None)
        return []
    out: list[ev.Event] = []
    if gate.low_c is not None:
        forecaster(context, fill.vessel, "cool", gate.low_c).push(context.now_s, temp)
    last = context.state.temps_c.get(fill.vessel)
    if last is None or context.now_s - last[1] >= LOG_EVERY_S:
        out.append(fill.logged(context, (fill.vessel, round(temp, 2))))
    if gate.low_c is None or temp >= gate.low_c + BACK_K:
        counts.pop("cool since", None)
    if not gate.band.below(temp):
        return out
    since = counts.setdefault("cool since", context.now_s)
    if context.now_s - since < DWELL_S or not _between(context) or _went_on(fill, context):
        return out
    text = tr(
        "{vessel_name}: {temp:.1f} °C after {count} filled, has to be at least {low_c:g} °C.",
        vessel_name=context.vessel_name(fill.vessel),
        temp=temp,
        count=len(fill.filled(context)),
        low_c=gate.low_c,
    )
    noted = fill.deviation(context, grade_of(COOLED_FILLING), COOLED_FILLING, text)
    return [fill.logged(context, (fill.vessel, round(temp, 2))), noted, fill.stage(context, Stage.COOLED)]


def _again(gate: Gate) -> Gate:
    """The same with the temperature to which it is warmed once it has cooled."""
    if gate.low_c is None:
        return gate
    low = gate.low_c + AGAIN_K
    if gate.high_c is not None:
        low = min(low, round((gate.low_c + gate.high_c) / 2, 1))
    return dataclasses.replace(gate, low_c=low)


def _decided(fill: ContainerFill, gate: Gate, context: Context, given: Input) -> list[ev.Event]:
    """Warm again, or on with a reason."""
    gate = _again(gate)
    why = gate.why_not(context)
    if isinstance(given, TypeValue):
        return gate.take(context, given)
    on = fill.stage(context, Stage.CLEAR if fill.device else Stage.FIRST)
    if pressed(given, ChoiceKey.YES) and not why:
        context.counts.forecasters.pop(fill.vessel, None)  # it cools anew
        context.counts.lasting.pop("cool since", None)
        return [on]
    if isinstance(given, Press) and given.key == ChoiceKey.ANYWAY and why and given.reason:
        return [
            fill.deviation(
                context,
                gate.grade,
                gate.kind,
                tr("{names} Filled on: {reason}", names=" ".join(why), reason=given.reason),
            ),
            on,
        ]
    return []


def cooled_view(fill: ContainerFill, gate: Gate, context: Context) -> ActView:
    """What became too cool, the two ways on, and that nothing more is filled."""
    gate = _again(gate)
    view, name = gate.act_view(context), context.vessel_name(gate.vessels[0])
    temp = context.temp_c(gate.vessels[0])
    if temp is None and unread(context, gate.vessels[0]):
        return dataclasses.replace(
            view, instruction=tr("How warm is the {name}?", name=name), stage=Stage.COOLED
        )
    last = (Choice(ChoiceKey.LAST, tr("That was the last"), serious=True),) if fill.filled(context) else ()
    ways = tuple(
        Choice(ChoiceKey.YES, tr("Fill on"))
        if c.key == ChoiceKey.YES
        else dataclasses.replace(c, label="Fill on all the same")
        for c in view.choices
    )
    text = tr("Warm the {name} again.", name=name)
    if temp is not None and not gate.band.below(temp):
        text = (
            tr("Let the {name} cool.", name=name)
            if gate.band.above(temp)
            else tr("The {name} can be filled again.", name=name)
        )
    return dataclasses.replace(view, instruction=text, choices=(*ways, *last), stage=Stage.COOLED)


def with_warmth(view: ActView, gate: Gate, context: Context) -> ActView:
    """The face of filling with the temperature, and how long it can still be filled."""
    vessel = gate.vessels[0]
    temp, low = context.temp_c(vessel), gate.low_c
    live = context.live_temp(vessel, gate.band.word(temp))
    weighing = any(x.value is not None for x in view.live)
    if temp is None:
        return view if weighing else dataclasses.replace(view, live=(live,))
    if view.taking is None:
        # With nothing on the scale, how warm it is is all there is to read; while the grams are taken, they are.
        view = dataclasses.replace(view, live=(*view.live, live) if weighing else (live,))
    if low is None:
        return view
    if "cool since" in context.counts.lasting or gate.band.below(temp):
        why = tr("{temp:.1f} °C, has to be at least {low:g} °C.", temp=temp, low=low)
        return _hurried(view, tr("Too cool after this one."), why)
    forecast, _ = foretold(context, vessel, tr("below {low:g} °C", low=low))
    view = dataclasses.replace(view, forecast=forecast)
    if exact(temp - low) >= SOON_K and (forecast is None or forecast.early_s >= SOON_S):
        return view
    left = tr(" in about {wait}", wait=wait(forecast.middle_s)) if forecast is not None else ""
    return _hurried(
        view,
        tr("Soon too cool."),
        tr("{temp:.1f} °C: below {low:g} °C{left} it is too cool to fill.", temp=temp, low=low, left=left),
    )


def _hurried(view: ActView, head: str, why: str) -> ActView:
    return dataclasses.replace(view, instruction=f"{head} {view.instruction}", not_yet=(*view.not_yet, why))
