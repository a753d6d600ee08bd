"""What a pour shows: the vessel that fills, what to do now, and the ways out of an over-pour."""

from __future__ import annotations

import dataclasses

from benchapp import events as ev
from benchapp.calculations.landing import landing_g
from benchapp.foundation.band import Target
from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.foundation.numbers import exact
from benchapp.make.acts import spill
from benchapp.make.acts.base import Context
from benchapp.make.acts.pour_line import FAR, PourLine
from benchapp.make.acts.pour_scale import stop_now
from benchapp.make.acts.vessel import live_of, pan_is_empty
from benchapp.make.plan import decimals_of
from benchapp.make.remedies import offer
from benchapp.make.view_model import ActView, Choice, LiveValue, NumberRequest, VesselPicture, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb

#: How a sentence begins that stops the pouring hand.
STOP = tr_noop("Enough")
#: From this share of its target on, a line is poured slowly (common practice, no source).
NEAR_SHARE = 0.9


def act_view_of(pour: PourLine, context: Context) -> ActView:
    """The ingredient, the live net mass, the vessel that fills to its band."""
    target = pour.target(context)
    decimals = decimals_of(context.plan.device(pour.device) if pour.device else None)
    name = pour.name(context)
    ask = NumberRequest(
        tr("mass of {name}", name=name), "g", 0.0, 50_000.0, decimals, usual=not pour.device, band=target.band
    )
    if context.progress.stage == Stage.TYPED:
        return _typed_view(pour, context, name, ask)
    if context.progress.stage == Stage.MAKE_GOOD:
        return spill.remedy_view(context)
    if not pour.device:
        text = tr(
            "Weigh {grams:.{decimals}f} g of {name} and type what the scale shows.",
            grams=target.grams,
            decimals=decimals,
            name=name,
        )
        return ActView(
            text, ask=ask, want=Want(Verb.TYPE, pour.thing(context), pour.vessel, amount=target.grams)
        )
    found = pour.difference(context)
    if found is not None and (found.pouring or context.progress.stage == Stage.SPILL):
        return dataclasses.replace(spill.asked(found, (live_of(context, pour.device),)), ask=ask)
    gross = context.gross_g(pour.device)
    began = context.progress.baseline_g is not None
    net = pour.net_g(context, gross) if gross is not None and began else None
    word = word_of(target, net)
    live = LiveValue(
        name,
        net,
        "g",
        decimals,
        ev.Source.MEASURED,
        pour.device,
        word,
        pour.checked,
        to_go=to_go_of(target, net),
    )
    landing = _landing_g(pour, context, net)
    picture = VesselPicture(
        context.vessel_name(pour.vessel),
        net,
        target.grams,
        target.band.low,
        target.band.high,
        _top(target.band.high),
        landing,
    )
    text, not_yet, choices, want = _prompt(pour, context, net, gross)
    about = pour.taking(context).gone if _may_be_taken(pour, context, net) else None
    move = _move(text, target, net, want)
    return ActView(
        text,
        context.progress.stage,
        (live,),
        picture,
        not_yet,
        choices,
        ask,
        want=want,
        taking=about,
        move=move,
    )


def _may_be_taken(pour: PourLine, context: Context, net: float | None) -> bool:
    """Whether the weight as it rests would be taken by itself."""
    progress = context.progress
    if progress.stage == Stage.REMEDY and context.watch.gone_again_g(pour.device):
        return False  # it only lay there
    if net is not None and pour.in_doubt(context, net):
        return False
    stages = (Stage.FIRST, Stage.REMEDY, Stage.REMOVE)
    ready = net is not None and not progress.lifted and progress.stage in stages
    return ready and net is not None and pour.target(context).band.holds(net)


def _typed_view(pour: PourLine, context: Context, name: str, ask: NumberRequest) -> ActView:
    target = pour.target(context)
    value = context.progress.value or 0.0
    choices = (
        Choice(ChoiceKey.TYPE_AGAIN, tr("Type it again")),
        Choice(ChoiceKey.TYPED_ANYWAY, tr("It is so"), serious=True, reason=True),
    )
    return ActView(tr("{value:g} g of {name}?", value=value, name=name), Stage.TYPED, not_yet=(tr("The band is {low:g} to {high:g} g.", low=target.band.low, high=target.band.high),), choices=choices,
                ask=ask, want=Want(Verb.TYPE, pour.thing(context), pour.vessel, amount=target.grams))  # fmt: skip


def _landing_g(pour: PourLine, context: Context, net: float | None) -> float | None:
    seen = context.watch.scales.get(pour.device)
    if net is None or seen is None or seen.still:
        return net
    return landing_g(net, seen.flow_g_s)


def word_of(target: Target, net: float | None) -> str:
    """How a weighing stands to its target, in words; None where nothing is weighed yet."""
    far = net is not None and net > target.grams + FAR * (target.band.high - target.grams)
    return tr_noop("far above") if far and target.band.above(net or 0.0) else target.band.word(net)


def to_go_of(target: Target, net: float | None) -> float | None:
    """What is still to be poured, in grams; less than nothing where it is too much, None in the band."""
    return None if net is None or target.band.holds(net) else exact(target.grams - net)


def _move(text: str, target: Target, net: float | None, want: Want) -> str:
    """What the pouring hand does next; "" where the act wants something else."""
    if text.startswith(translated(STOP)):
        return STOP
    if want.verb != Verb.POUR or not net:
        return ""
    return tr("Pour on") if net < NEAR_SHARE * target.grams else tr("Pour slowly")


def _prompt(
    pour: PourLine, context: Context, net: float | None, gross: float | None
) -> tuple[str, tuple[str, ...], tuple[Choice, ...], Want]:
    target, band = pour.target(context).grams, pour.target(context).band
    decimals = decimals_of(context.plan.device(pour.device))
    name, vessel = pour.name(context), context.vessel_name(pour.vessel)
    progress = context.progress
    back = Want(Verb.PUT_ON, vessel=pour.vessel, device=pour.device)
    if progress.lifted:
        return tr("Put the {vessel} back on the {device}.", vessel=vessel, device=pour.device), (), (), back
    if net is None:
        return _waiting(pour, context, gross, back)
    go_on = Want(Verb.POUR, pour.thing(context), pour.vessel, pour.device, target, band.high)
    if progress.stage == Stage.REMEDY and _may_be_taken(pour, context, net):
        return _in_band(pour, context, tr("{name} is in its band again.", name=name))
    if progress.stage == Stage.REMEDY:
        taken = progress.taken_g or net
        text = tr("{taken:.{decimals}f} g of {name} is too much.", taken=taken, decimals=decimals, name=name)
        found = pour.remedies(context)
        want = Want(Verb.REMEDY, pour.line, pour.vessel, pour.device, target)
        return text, offer(found) if found else (), _ways(pour, context), want
    if progress.stage == Stage.REMOVE:
        text = tr(
            "Take out {net:.{decimals}f} g of {name}. It is waste now.",
            net=max(net - target, 0),
            decimals=decimals,
            name=name,
        )
        if _may_be_taken(pour, context, net):
            return _in_band(pour, context, text)
        return text, (), (Choice(ChoiceKey.ACCEPT, tr("Accept it"), serious=True, reason=True),), Want(
            Verb.REMOVE, pour.line, pour.vessel, pour.device, target, band.high
        )  # fmt: skip
    text = tr(
        "Pour {target:.{decimals}f} g of {name} into the {vessel}.",
        target=target,
        decimals=decimals,
        name=name,
        vessel=vessel,
    )
    if net < target and stop_now(pour, context, net, target):
        return tr("{stop}. {name} lands on its target.", stop=STOP, name=name), (), (), go_on
    if band.below(net):
        less = (
            (Choice(ChoiceKey.ACCEPT_LESS, tr("No more left"), serious=True, reason=True),) if net > 0 else ()
        )
        return text, (), less, go_on
    if pour.in_doubt(context, net) and context.still_g(pour.device, 0.5) is not None:
        return _scale_or_line(pour, context, name)
    if band.holds(net):
        return _in_band(pour, context, text)
    if pour.taking(context).at_once_g:
        return _in_band(pour, context, text)  # above it, but perhaps not by what was poured
    over = tr(
        "{stop}. {net:.{decimals}f} g of {name} too much.",
        stop=STOP,
        net=net - target,
        decimals=decimals,
        name=name,
    )
    return over, (tr("Above the band: stop."),), (), Want(Verb.REST)


def _scale_or_line(
    pour: PourLine, context: Context, name: str
) -> tuple[str, tuple[str, ...], tuple[Choice, ...], Want]:
    crept, decimals = context.progress.crept_g, decimals_of(context.plan.device(pour.device))
    way = tr("rose") if crept > 0 else tr("fell")
    why = tr(
        "Before the first drop the {device} {way} by {crept:.{decimals}f} g.",
        device=pour.device,
        way=way,
        crept=abs(crept),
        decimals=decimals,
    )
    choices = (
        Choice(ChoiceKey.FROM_HERE, tr("It was the scale"), serious=True),
        Choice(ChoiceKey.HAD_BEGUN, tr("I had begun to pour"), serious=True),
        Choice(ChoiceKey.UNKNOWN, tr("I don't know"), serious=True),
    )
    return tr("Was that the scale, or {name}?", name=name), (why,), choices, Want(Verb.REST)


def _in_band(
    pour: PourLine, context: Context, text: str
) -> tuple[str, tuple[str, ...], tuple[Choice, ...], Want]:
    taking = pour.taking(context)
    word = taking.word or (
        context.unrest(pour.device) if context.sways(pour.device) else tr("Hands off: it is taken by itself.")
    )
    return taking.question or text, (word,), taking.choices, Want(Verb.REST)


def _ways(pour: PourLine, context: Context) -> tuple[Choice, ...]:
    """The remedies that can be had now."""
    found = pour.remedies(context)
    decimals = decimals_of(context.plan.device(pour.device))
    target, taken = pour.target(context).grams, context.progress.taken_g or 0.0
    out: list[Choice] = []
    if found is None or not found.remove.why_not:
        waste = tr(
            "{taken:.{decimals}f} g become waste, the batch stays as it is",
            taken=max(taken - target, 0.0),
            decimals=decimals,
        )
        out.append(Choice(ChoiceKey.REMOVE, tr("Take some out"), serious=True, effect=waste))
    if found is not None and not found.keep.why_not:
        was = context.state.batch_g or context.plan.batch_g
        larger = tr(
            "{was:.0f} g become {batch_g:.0f} g, {sum:.2f} g on top",
            was=was,
            batch_g=found.keep.batch_g,
            sum=sum(found.keep.additions_g.values()),
        )
        out.append(Choice(ChoiceKey.KEEP, tr("Keep the formula"), serious=True, effect=larger))
    passed = found is not None and found.accept.why_not
    label = tr("Accept over the limit") if passed else tr("Accept it")
    stays = tr(
        "{taken:.{decimals}f} g stay in, {target:.{decimals}f} g were wanted",
        taken=taken,
        decimals=decimals,
        target=target,
    )
    out.append(Choice(ChoiceKey.ACCEPT, label, serious=True, reason=True, effect=stays))
    return tuple(out)


def _waiting(
    pour: PourLine, context: Context, gross: float | None, back: Want
) -> tuple[str, tuple[str, ...], tuple[Choice, ...], Want]:
    vessel = context.vessel_name(pour.vessel)
    still = context.still_g(pour.device, 0.3)
    if context.watch.tared(pour.device):
        said = tr("The scale says that a tare is on. Empty the pan and press its zero or tare key.")
        return (
            tr("Clear the scale's tare."),
            (said,),
            (),
            Want(Verb.CLEAR_TARE, vessel=pour.vessel, device=pour.device),
        )
    if gross is None:
        return tr("Wait for the scale."), (tr("No reading yet."),), (), Want(Verb.REST)
    if still is not None and pan_is_empty(context, pour.device, still):
        return tr("Put the {vessel} on the {device}.", vessel=vessel, device=pour.device), (), (), back
    found = pour.difference(context)
    if found is not None:
        drifted = Choice(ChoiceKey.FROM_HERE, tr("The scale drifted: go on from here"), serious=True)
        begun = (
            (Choice(ChoiceKey.HAD_BEGUN, tr("I had begun to pour"), serious=True),) if found.gained_g else ()
        )
        ways = (*begun, drifted, *found.choices)
        return (
            tr("Put the {vessel} on the {device}, and nothing else.", vessel=vessel, device=pour.device),
            (found.why,),
            ways,
            back,
        )
    return tr("Hands off for a moment."), (context.unrest(pour.device),), (), Want(Verb.REST)


def _top(high_g: float) -> float:
    """Where the drawing ends: a quarter more than the band's upper limit."""
    return high_g * 1.25
