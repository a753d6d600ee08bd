"""What a scale brings about in a pour: baseline, lifting, coming back, coming to rest."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.calculations.landing import Lateness, stop_in_s
from benchapp.foundation.band import Band
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import to_division
from benchapp.make.acts.base import Context
from benchapp.make.acts.pan import LIFTED_SHARE, REPEAT_DIVISIONS, pan_is_empty
from benchapp.make.acts.pour_line import OVER, PourLine
from benchapp.make.acts.taking import DWELL_S
from benchapp.make.filters import ScaleFilter
from benchapp.make.vocabulary import Stage

#: "Enough" is said one reading early, because the next one may be too late.
CUE_AHEAD_S = 0.1


def weighed(pour: PourLine, context: Context) -> list[ev.Event]:
    """A reading: baseline first, then lifted or returned, then at rest in the band or above it."""
    progress = context.progress
    gross = context.gross_g(pour.device)
    if gross is None or progress.stage == Stage.MAKE_GOOD:
        return []
    if progress.stage == Stage.SPILL:
        gone = context.still_g(pour.device, 0.5) is not None and pour.difference(context) is None
        return [pour.stage(context, Stage.FIRST)] if gone else []  # it was another vessel, or is off again
    if progress.baseline_g is None:
        return _begin_pour(pour, context)
    moved = off_and_on(pour, context)
    if moved is not None:
        return moved
    scale = context.watch.scales[pour.device]
    crept = scale.drop.crept_g
    if crept and progress.stage == Stage.FIRST:
        return [
            ev.BaselineCrept(
                at_s=context.now_s, step=pour.step.key, act=pour.key, device=pour.device, by_g=crept
            )
        ]
    still = context.rested_g(pour.device, DWELL_S)
    if still is None:
        _cue(pour, context, scale, gross)
        return _mean_taken(pour, context)
    net = context.net_g(pour.device, still)
    scale.late.landed(net)
    context.counts.scratch.pop("cued", None)
    if progress.stage == Stage.REMEDY and scale.gone_again_g:
        return _lay_there(pour, context, scale.gone_again_g)
    return [] if pour.taking(context).held_back else at_rest(pour, context, net, still)


def _mean_taken(pour: PourLine, context: Context) -> list[ev.Event]:
    """In a draught that goes on: its mean, once that was said for as long as a rest is, and what it is."""
    taking = pour.taking(context)
    swing = taking.swing
    if swing is None or swing.told_s < DWELL_S or taking.held_back:
        return []
    gross = to_division(swing.mean_g, context.division_g(pour.device))
    net = context.net_g(pour.device, gross)
    taken = at_rest(pour, context, net, gross)
    text = tr("{name}: {net:g} g is the mean of a scale that swayed by {way_g:g} g.", name=pour.name(context), net=net,
              way_g=swing.way_g)  # fmt: skip
    return [pour.deviation(context, ev.Grade.NOTE, tr_noop("mean of a sway"), text), *taken] if taken else []


def off_and_on(pour: PourLine, context: Context) -> list[ev.Event] | None:
    """That the vessel of a pour that has begun is off its scale, or back on it as it was; None while it stands there."""
    gross, base = context.gross_g(pour.device), context.base_g(pour.device)
    if context.progress.lifted:
        return _returned(pour, context)
    if gross is None or gross >= LIFTED_SHARE * base:
        return None
    return [_lifted(pour, context, gross, base)]


def _begin_pour(pour: PourLine, context: Context) -> list[ev.Event]:
    still = context.rested_g(pour.device, 0.3)
    expected = context.state.ledger.of(pour.vessel).gross_g
    if still is None or pan_is_empty(context, pour.device, still):
        return []
    if expected is not None and not pour.fits(context, still, expected):
        last = pour.late_drop_of(context, still)
        return [] if last is None else _late_drop(pour, context, last, still - expected)
    return [pour.pour_began(context, pour.line, pour.device, still)]


def _late_drop(pour: PourLine, context: Context, last: ev.WeightTaken, more_g: float) -> list[ev.Event]:
    """A little more than was booked, with nothing done since, once it has stood: it belongs to the line before."""
    if context.rested_g(pour.device, DWELL_S) is None:
        return []
    found = ev.LateDropFound(
        at_s=context.now_s, step=pour.step.key, line=last.line, vessel=pour.vessel, device=pour.device,
        drop_g=round(more_g, 4),
    )  # fmt: skip
    total = last.net_g + more_g
    if not Band(last.low_g, last.high_g).above(total):
        return [found]
    name = context.plan.line_name(last.line)
    text = tr(
        "{name}: a late drop made it {total:g} g, band {low_g:g} to {high_g:g} g.",
        name=name,
        total=total,
        low_g=last.low_g,
        high_g=last.high_g,
    )
    return [found, pour.deviation(context, ev.Grade.MINOR, tr_noop("late drop"), text)]


def _lifted(pour: PourLine, context: Context, gross: float, base: float) -> ev.Event:
    least, most = context.last_gross_g(pour.device) or (base, base)
    least = max(least, base)
    return ev.VesselLifted(
        at_s=context.now_s, vessel=pour.vessel, device=pour.device, gross_g=round(gross, 3),
        least_g=round(least, 3), most_g=round(max(most, least), 3),
    )  # fmt: skip


def _returned(pour: PourLine, context: Context) -> list[ev.Event]:
    still = context.still_g(pour.device, 0.5)
    if (
        still is None
        or pan_is_empty(context, pour.device, still, pour.vessel)
        or pour.changed(context, still) is not None
    ):
        return []
    return [pour.back(context, still)]


def _lay_there(pour: PourLine, context: Context, gone_g: float) -> list[ev.Event]:
    """Too much went all at once before anybody chose a remedy: it was no ingredient, and nothing was taken out."""
    text = tr(
        "{name}: {gone_g:.1f} g went all at once, as if it had only lain on the {device}.",
        name=pour.name(context),
        gone_g=gone_g,
        device=pour.device,
    )
    return [
        pour.deviation(context, ev.Grade.NOTE, tr_noop("lay on the scale"), text),
        pour.stage(context, Stage.FIRST),
    ]


def at_rest(pour: PourLine, context: Context, net: float, gross: float) -> list[ev.Event]:
    """What the scale at rest brings about: taken in its band, a remedy above it, nothing below."""
    band = pour.target(context).band
    stage = context.progress.stage
    if pour.in_doubt(context, net):
        return []  # asked: the scale, or the line
    if band.holds(net):
        return [
            *taken_out(pour, context, net),
            *pour.taken(context, net, gross, ev.Source.MEASURED),
            pour.finish(context),
        ]
    if band.above(net) and stage == Stage.FIRST:
        return [_too_much(pour, context, net), pour.stage(context, Stage.REMEDY)]
    if band.above(net) and stage == Stage.REMEDY:  # less of it, and the remedies are others
        out = taken_out(pour, context, net)
        return [*out, _too_much(pour, context, net)] if out else []
    if band.below(net) and stage in (Stage.REMEDY, Stage.REMOVE):
        # Too much was taken out again: book it, and pour on.
        taken = context.progress.taken_g or net
        return [*pour.removal(context, taken - net), pour.stage(context, Stage.FIRST)]
    return []


def _too_much(pour: PourLine, context: Context, net: float) -> ev.Event:
    high_g = pour.target(context).band.high
    return ev.OverpourFound(
        at_s=context.now_s, step=pour.step.key, act=pour.key, line=pour.line, net_g=net, high_g=high_g
    )


def taken_out(pour: PourLine, context: Context, net: float) -> list[ev.Event]:
    """What was taken out of an over-poured weighing that stands at ``net`` grams now, as waste. Where nobody said so, a gust
    lets go of a few divisions."""
    taken, stage = context.progress.taken_g, context.progress.stage
    if taken is None or stage not in OVER or taken <= net:
        return []
    gust_g = 0.0 if stage == Stage.REMOVE else REPEAT_DIVISIONS * context.division_g(pour.device)
    return pour.removal(context, taken - net) if taken - net > gust_g else []


def stop_now(net_g: float, flow_g_s: float, target_g: float, late: Lateness) -> bool:
    """Whether scale and hand together are so late that the pour has to end now."""
    left = stop_in_s(net_g, flow_g_s, target_g, late.late_s)
    return left is not None and left <= CUE_AHEAD_S


def _cue(pour: PourLine, context: Context, scale: ScaleFilter, gross: float) -> None:
    """Note when "stop" was said; from where it then comes to rest the next cue is nearer."""
    if "cued" in context.counts.scratch:
        return
    net, flow = context.net_g(pour.device, gross), scale.flow_g_s
    if stop_now(net, flow, pour.target(context).grams, scale.late):
        context.counts.scratch["cued"] = 1.0
        scale.late.cue(net, flow)
