"""What a pour shows: the vessel that fills, what to do now, and the ways out of an over-pour."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from benchapp import events as ev
from benchapp.calculations.landing import landing_g
from benchapp.calculations.overpour import Remedies
from benchapp.foundation.band import Target
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import exact
from benchapp.make.acts import spill
from benchapp.make.acts.base import Context
from benchapp.make.acts.pan import TARE_IS_ON, live_of, pan_is_empty
from benchapp.make.acts.pour_by_hand import by_hand
from benchapp.make.acts.pour_line import FAR, PourLine
from benchapp.make.acts.pour_lots import another_offered, so_far_g, which_lot
from benchapp.make.acts.pour_scale import stop_now
from benchapp.make.acts.typed_twice import typed_weight
from benchapp.make.pictures import Outcome, VesselPicture
from benchapp.make.remedies import offer, offer_to_keep
from benchapp.make.view_model import ENOUGH, TOO_MUCH, ActView, Choice, LiveValue, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb

#: From this share of its target on, a line is poured slowly (common practice, no source).
NEAR_SHARE = 0.9
#: The drawing ends a quarter above the band's upper limit.
TOP_SHARE = 1.25


@dataclass(frozen=True, slots=True)
class _Instant:
    """How a pour stands at one instant, worked out once for all that is shown of it. Masses in grams, flow in grams a
    second: ``gross_g`` None where nothing fresh is known, ``net_g`` None before it has begun, ``to_go_g`` None in the band,
    less than nothing above it."""

    pour: PourLine
    context: Context
    target: Target
    name: str
    vessel: str
    gross_g: float | None
    net_g: float | None
    to_go_g: float | None
    flow_g_s: float

    @property
    def decimals(self) -> int:
        """Digits behind the point of its scale's display."""
        return self.context.plan.decimals[self.pour.device]

    @property
    def may_be_taken(self) -> bool:
        """Whether the weight as it rests would be taken by itself."""
        progress, net = self.context.progress, self.net_g
        if net is None or progress.lifted or progress.stage not in (Stage.FIRST, Stage.REMEDY, Stage.REMOVE):
            return False
        if progress.stage == Stage.REMEDY and self.context.watch.scales[self.pour.device].gone_again_g:
            return False  # it only lay there
        return self.to_go_g is None and not self.pour.in_doubt(self.context, net)

    def want(self, verb: Verb) -> Want:
        """That of it, up to its band, from the bench."""
        thing = self.pour.thing(self.context) if verb == Verb.POUR else self.pour.line
        pour, target = self.pour, self.target
        return Want(verb, thing, pour.vessel, pour.device, target.grams, target.band.high)


def act_view_of(pour: PourLine, context: Context) -> ActView:
    """The ingredient, the live net mass, the vessel that fills to its band."""
    target, name, stage = pour.target(context), pour.name(context), context.progress.stage
    decimals = context.plan.decimals[pour.device]
    ask = NumberRequest(
        tr("mass of {name}", name=name), "g", so_far_g(context), 50_000.0, decimals, usual=not pour.device,
        band=target.band,
    )  # fmt: skip
    if stage == Stage.TYPED:
        want = Want(Verb.TYPE, pour.thing(context), pour.vessel, amount=target.grams)
        value = context.progress.value or 0.0
        view = typed_weight(name, value, target.band, ask, want)
        another = another_offered(pour, context) if target.band.below(value) else ()
        return dataclasses.replace(view, choices=(*view.choices, *another))
    if stage == Stage.MAKE_GOOD:
        return spill.remedy_view(context)
    if stage.asks_lot:
        return which_lot(pour, context)
    if not pour.device:
        return by_hand(pour, context, name, ask)
    found = pour.difference(context)
    if found is not None and (found.pouring or stage == Stage.SPILL):
        return dataclasses.replace(spill.asked(found, (live_of(context, pour.device),)), ask=ask)
    gross, scale = context.gross_g(pour.device), context.watch.scales.get(pour.device)
    begun = gross if context.progress.baseline_g is not None else None
    net = None if begun is None else context.net_g(pour.device, begun)
    flow, to_go = 0.0 if scale is None else scale.flow_g_s, to_go_of(target, net)
    vessel = context.vessel_name(pour.vessel)
    now = _Instant(pour, context, target, name, vessel, gross, net, to_go, flow)
    live = LiveValue(
        name, net, "g", decimals, ev.Source.MEASURED, pour.device, word_of(target, net), pour.checked,
        to_go=to_go,
    )  # fmt: skip
    picture = VesselPicture(
        vessel, net, target.grams, target.band.low, target.band.high,
        TOP_SHARE * target.band.high, None if net is None else landing_g(net, flow),
    )  # fmt: skip
    taking = pour.taking(context).gone if now.may_be_taken else None
    return dataclasses.replace(
        _prompt(now), stage=stage, live=(live,), picture=picture, ask=ask, taking=taking
    )


def word_of(target: Target, net: float | None) -> str:
    """How a weighing stands to its target, in words; None where nothing is weighed yet."""
    far = net is not None and net > target.grams + FAR * (target.band.high - target.grams)
    return tr_noop("far above") if far and target.band.above(net or 0.0) else target.band.word(net)


def to_go_of(target: Target, net: float | None) -> float | None:
    """What is still to be poured, in grams; less than nothing where it is too much, None in the band."""
    return None if net is None or target.band.holds(net) else exact(target.grams - net)


def _prompt(now: _Instant) -> ActView:
    """What to do now, why not yet, what may be said, and what the hands do next."""
    if now.context.progress.lifted:
        text = tr("Put the {vessel} back on the {device}.", vessel=now.vessel, device=now.pour.device)
        return _put_back(now, text)
    if now.net_g is None:
        return _waiting(now)
    if now.context.progress.stage == Stage.REMEDY:
        return _too_much(now, now.net_g)
    if now.context.progress.stage == Stage.REMOVE:
        return _taking_out(now, now.net_g)
    return _pouring(now, now.net_g)


def _pouring(now: _Instant, net: float) -> ActView:
    pour, context, target = now.pour, now.context, now.target.grams
    text = tr(
        "Pour {target:.{decimals}f} g of {name} into the {vessel}.",
        target=target,
        decimals=now.decimals,
        name=now.name,
        vessel=now.vessel,
    )
    if net < target and stop_now(net, now.flow_g_s, target, context.watch.scales[pour.device].late):
        return ActView(
            tr("Enough {name}: stop pouring.", name=now.name),
            note=tr("What still falls is enough. Then it is taken."),
            want=now.want(Verb.POUR),
            move=ENOUGH,
        )
    if now.to_go_g is not None and now.to_go_g > 0:
        less = Choice(ChoiceKey.ACCEPT_LESS, tr("It ran out"), serious=True, reason=True)
        choices = (*another_offered(pour, context), less) if net > 0 else ()
        return ActView(text, choices=choices, want=now.want(Verb.POUR), move=_move(net, target))
    if pour.in_doubt(context, net) and context.still_g(pour.device, 0.5) is not None:
        return _scale_or_line(now)
    # Above its band, but perhaps not by what was poured: asked like what is in it.
    if now.to_go_g is None and pour.taking(context).objected:  # whoever said "not yet" may pour on
        return dataclasses.replace(_in_band(now, text), want=now.want(Verb.POUR), move=tr("Pour on"))
    if now.to_go_g is None:
        return _in_band(now, tr("{name} is good: hands off.", name=now.name))
    if pour.taking(context).at_once_g:
        return _in_band(now, text)
    over = tr(
        "Stop. {net:.{decimals}f} g of {name} too much.",
        net=net - target,
        decimals=now.decimals,
        name=now.name,
    )
    sways = (context.unrest(pour.device),) if context.sways(pour.device) else ()
    return ActView(over, not_yet=(TOO_MUCH, *sways), want=Want(Verb.REST), move=ENOUGH)


def _move(net: float, target: float) -> str:
    """What the pouring hand does next; "" before the first drop."""
    if not net:
        return ""
    return tr("Pour on") if net < NEAR_SHARE * target else tr("Pour slowly")


def _taking_out(now: _Instant, net: float) -> ActView:
    text = tr(
        "Take out {net:.{decimals}f} g of {name}. It is waste now.",
        net=max(net - now.target.grams, 0),
        decimals=now.decimals,
        name=now.name,
    )
    if now.may_be_taken:
        return _in_band(now, text)
    accept = Choice(ChoiceKey.ACCEPT, tr("Accept it"), serious=True, reason=True)
    return ActView(text, choices=(accept,), want=now.want(Verb.REMOVE))


def _too_much(now: _Instant, net: float) -> ActView:
    """An over-pour: the remedies, until it is in its band again."""
    if now.may_be_taken:
        return _in_band(now, tr("{name} is right again.", name=now.name))
    found, pour = now.pour.remedies(now.context), now.pour
    want = Want(Verb.REMEDY, pour.line, pour.vessel, pour.device, now.target.grams)
    against = offer(found) if found else ()
    return ActView(
        tr("Too much {name}. What now?", name=now.name), not_yet=against, choices=_ways(now, found), want=want,
        note="".join(offer_to_keep(found.keep)) if found and not found.keep.why_not else "",
    )  # fmt: skip


def _scale_or_line(now: _Instant) -> ActView:
    crept, device = now.context.progress.crept_g, now.pour.device
    way = tr("rose") if crept > 0 else tr("fell")
    why = tr(
        "Before the first drop the {device} {way} by {crept:.{decimals}f} g.",
        device=device,
        way=way,
        crept=abs(crept),
        decimals=now.decimals,
    )
    choices = (
        Choice(ChoiceKey.FROM_HERE, tr("It was the scale"), serious=True),
        Choice(ChoiceKey.HAD_BEGUN, tr("I had begun to pour"), serious=True),
        Choice(ChoiceKey.UNKNOWN, tr("I don't know"), serious=True),
    )
    asked = tr("Was that the scale, or {name}?", name=now.name)
    return ActView(asked, not_yet=(why,), choices=choices, want=Want(Verb.REST))


def _in_band(now: _Instant, text: str) -> ActView:
    taking, context, device = now.pour.taking(now.context), now.context, now.pour.device
    word = taking.word or (context.unrest(device) if context.sways(device) else tr("It is taken by itself."))
    return ActView(taking.question or text, not_yet=(word,), choices=taking.choices, want=Want(Verb.REST))


def _ways(now: _Instant, found: Remedies | None) -> tuple[Choice, ...]:
    """The remedies that can be had now."""
    target, taken = now.target.grams, now.context.progress.taken_g or 0.0
    batch_g, over_g = now.context.state.batch_g or now.context.plan.batch_g, max(taken - target, 0.0)
    out: list[Choice] = []
    if found is None or not found.remove.why_not:
        waste = tr("Spoon {taken:.{decimals}f} g into the waste", taken=over_g, decimals=now.decimals)
        after = Outcome(batch_g, waste_g=over_g)
        out.append(Choice(ChoiceKey.REMOVE, tr("Take some out"), serious=True, effect=waste, outcome=after))
    if found is not None and not found.keep.why_not:
        grams, more_g = sum(found.keep.additions_g.values()), found.keep.batch_g - batch_g
        larger = (
            tr("Add {sum:.2f} g of others, more later", sum=grams)
            if grams < more_g - over_g - 0.01
            else tr("Add {sum:.2f} g of the others now", sum=grams)
        )
        after = Outcome(batch_g, more_g=more_g)
        out.append(
            Choice(ChoiceKey.KEEP, tr("Make a larger batch"), serious=True, effect=larger, outcome=after)
        )
    passed = found is not None and found.accept.why_not
    label = tr("Accept over the limit") if passed else tr("Accept it")
    stays = tr(
        "{taken:.{decimals}f} g stay: formula off",
        taken=taken,
        decimals=now.decimals,
    )
    after = Outcome(batch_g, over_g=over_g)
    out.append(Choice(ChoiceKey.ACCEPT, label, serious=True, reason=True, effect=stays, outcome=after))
    return tuple(out)


def _put_back(now: _Instant, text: str) -> ActView:
    want = Want(Verb.PUT_ON, vessel=now.pour.vessel, device=now.pour.device)
    return ActView(text, want=want)


def _waiting(now: _Instant) -> ActView:
    """Before it has begun: what the scale waits for."""
    pour, context, device = now.pour, now.context, now.pour.device
    still = context.still_g(device, 0.3)
    if context.watch.tared(device):
        said = tr(TARE_IS_ON)
        want = Want(Verb.CLEAR_TARE, vessel=pour.vessel, device=device)
        return ActView(tr("Clear the scale's tare."), not_yet=(said,), want=want)
    if now.gross_g is None:
        another = another_offered(pour, context) if context.progress.baseline_g is not None else ()
        silent = (tr("No reading yet."),)
        return ActView(tr("Wait for the scale."), not_yet=silent, choices=another, want=Want(Verb.REST))
    if still is not None and pan_is_empty(context, device, still):
        return _put_back(now, tr("Put the {vessel} on the {device}.", vessel=now.vessel, device=device))
    found = pour.difference(context)
    if found is None:
        moves = (context.unrest(device),)
        return ActView(tr("Hands off for a moment."), not_yet=moves, want=Want(Verb.REST))
    drifted = Choice(ChoiceKey.FROM_HERE, tr("The scale drifted: go on from here"), serious=True)
    begun = (Choice(ChoiceKey.HAD_BEGUN, tr("I had begun to pour"), serious=True),) if found.gained_g else ()
    asked = _put_back(
        now, tr("Put the {vessel} on the {device}, and nothing else.", vessel=now.vessel, device=device)
    )
    return dataclasses.replace(asked, not_yet=(found.why,), choices=(*begun, drifted, *found.choices))
