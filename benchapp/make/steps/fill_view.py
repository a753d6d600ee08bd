"""What filling shows: the container that fills, those that are full, and what to do now."""

from __future__ import annotations

import dataclasses

from benchapp import events as ev
from benchapp.foundation.band import Target
from benchapp.foundation.language import tr
from benchapp.make.acts.base import Context
from benchapp.make.acts.pour_view import NEAR_SHARE, to_go_of, word_of
from benchapp.make.acts.typed_twice import typed_weight
from benchapp.make.pictures import BottlesPicture
from benchapp.make.steps.fill_count import ContainerFill
from benchapp.make.steps.fill_warm import cooled_view, with_warmth
from benchapp.make.steps.fill_words import how_many
from benchapp.make.view_model import ENOUGH, ActView, Choice, LiveValue, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb


def act_view_of(fill: ContainerFill, context: Context) -> ActView:
    """The container that is being filled, and those that are; and how warm it is, where that counts."""
    if fill.warm is not None and context.progress.stage == Stage.COOLED:
        return cooled_view(fill, fill.warm, context)
    number, progress = fill.next_number(context), context.progress
    decimals = context.plan.decimals[fill.device]
    gross = context.gross_g(fill.device) if fill.device else None
    began = progress.baseline_g is not None and progress.stage not in (Stage.CLEAR, Stage.LIFT)
    net = context.net_g(fill.device, gross) if began and gross is not None else None
    target, key = fill.target(context), f"{fill.container} {number}"
    band, filled = target.band, tuple(b.net_g for b in fill.filled(context))
    live = LiveValue(
        key, net, "g", decimals, ev.Source.MEASURED, fill.device, word_of(target, net), fill.checked,
        to_go=to_go_of(target, net),
    )  # fmt: skip
    view = ActView(
        "",
        progress.stage,
        (live,) if fill.device else (),
        BottlesPicture(filled, net, target.grams, band.low, band.high, fill.count, fill.container),
        ask=NumberRequest(
            tr("content of {key}", key=key),
            "g",
            0.0,
            fill.most_g(context),
            decimals,
            usual=not fill.device,
            band=band,
        ),
        note=_note(fill, context),
    )
    if progress.stage == Stage.TYPED and view.ask is not None:
        doubted = typed_weight(key, progress.value or 0.0, band, view.ask, Want(Verb.TYPE, key, fill.vessel))
        text = tr("{value:g} g in {key}?", value=progress.value or 0.0, key=key)
        return dataclasses.replace(doubted, instruction=text)
    asked = _asked(fill, context, view, number, net)
    return asked if fill.warm is None else with_warmth(asked, fill.warm, context)


def _asked(fill: ContainerFill, context: Context, view: ActView, number: int, net: float | None) -> ActView:
    """The same with what to do now, and what may be said."""
    text, want = _prompt(fill, context, number, net)
    absurd = net is not None and fill.absurd(context, net)
    not_yet = (
        (
            tr(
                "{net:g} g is more than a {container} holds. What stands on the scale?",
                net=net,
                container=fill.container,
            ),
        )
        if absurd
        else ()
    )
    choices: list[Choice] = []
    about = None
    if fill.may_end(context):
        choices.append(Choice(ChoiceKey.LAST, tr("That was the last"), serious=True))
    if fill.device and fill.may_be_taken(context):
        taking = fill.taking(context)
        about, not_yet = taking.gone, (taking.word,)
        choices = [*taking.choices, *choices]
        text, want = (taking.question or text), (Want(Verb.REST) if taking.held_back else want)
    stood = fill.stood(context)
    over = Choice(ChoiceKey.START_OVER, tr("Begin {key} again", key=stood.name), serious=True)
    if fill.device and stood.by_g:
        lift = Want(Verb.LIFT, stood.name, stood.name, fill.device)
        return stood.asked(dataclasses.replace(view, want=lift), over)
    if stood.left:
        choices.insert(0, over)
        text = tr("Put {key} back on the {device}.", key=stood.name, device=fill.device)
        want = Want(Verb.PUT_BACK, stood.name, fill.vessel, fill.device)
    return dataclasses.replace(
        view, instruction=text, not_yet=not_yet, choices=tuple(choices), want=want, taking=about,
        move=_move(fill.target(context), net) if want.verb == Verb.FILL else "",
    )  # fmt: skip


def _move(target: Target, net: float | None) -> str:
    """What the filling hand does next."""
    if not net:
        return ""
    if not target.band.below(net):
        return ENOUGH
    return tr("Fill on") if net < NEAR_SHARE * target.grams else tr("Fill slowly")


def _note(fill: ContainerFill, context: Context) -> str:
    """What the scale cannot tell, or the mean so far; and how many more there will be."""
    nets = [b.net_g for b in fill.filled(context)]
    mean = sum(nets) / len(nets) if nets else 0.0
    said = (
        tr(
            "Mean so far {mean:.1f} g, label {nominal:.1f} g (computed).",
            mean=mean,
            nominal=fill.nominal(context),
        )
        if nets
        else fill.coarse(context) or tr("Its label asks for {nominal:.1f} g.", nominal=fill.nominal(context))
    )
    target = fill.target(context).grams
    more = how_many(context, fill.vessel, fill.container, target, fill.count, first=not nets)
    return " ".join(filter(None, (said, more)))


def _prompt(fill: ContainerFill, context: Context, number: int, net: float | None) -> tuple[str, Want]:
    target = fill.target(context)
    key = f"{fill.container} {number}"
    if not fill.device:
        return tr("Fill {key} with {grams:.1f} g and type it.", key=key, grams=target.grams), Want(
            Verb.TYPE, key, fill.vessel, amount=target.grams
        )
    if context.progress.stage == Stage.CLEAR:
        return tr("Clear the {device}.", device=fill.device), Want(Verb.LIFT, device=fill.device)
    if context.progress.stage == Stage.LIFT:
        after = tr("set it level") if fill.moulds else tr("close it")
        return tr("Take the {container} off and {after}.", container=fill.container, after=after), Want(
            Verb.LIFT, key, key, fill.device
        )
    if net is None:
        return tr("Put empty {key} on the {device}.", key=key, device=fill.device), Want(
            Verb.BOTTLE_ON, key, fill.vessel, fill.device
        )
    return (
        tr("Fill {key} to {grams:.1f} g.", key=key, grams=target.grams),
        Want(Verb.FILL, key, fill.vessel, fill.device, target.grams, target.band.high),
    )
